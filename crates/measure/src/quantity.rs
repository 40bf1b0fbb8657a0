//! Quantities as people write them: `"985 ± 2 mm"`, `"38.8 in"`, `"12 deg"`, `"6010 rpm"`.
//! A number and a unit, optionally a tolerance; never a bare number where a unit is possible.

use core::fmt;

use crate::{DEG, Measured};

/// What kind of quantity a text shall be. Fixes the units that are accepted and the SI unit of
/// the result.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    /// \[m\].
    Length,
    /// \[m^2\].
    Area,
    /// \[kg\].
    Mass,
    /// Moment of inertia \[kg m^2\].
    Inertia,
    /// \[m/s\].
    Speed,
    /// \[rad\].
    Angle,
    /// Angular speed of a surface or of the model \[rad/s\].
    AngularRate,
    /// Speed of a shaft \[rev/s\].
    Revolutions,
    /// \[s\].
    Time,
    /// A share of one, written in percent.
    Share,
    /// \[V\].
    Voltage,
    /// A coefficient without a unit.
    Number,
}

impl Dimension {
    /// All of them.
    pub const ALL: [Self; 12] = [
        Self::Length,
        Self::Area,
        Self::Mass,
        Self::Inertia,
        Self::Speed,
        Self::Angle,
        Self::AngularRate,
        Self::Revolutions,
        Self::Time,
        Self::Share,
        Self::Voltage,
        Self::Number,
    ];

    /// With its article, for sentences: `"a length"`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Area => "an area",
            Self::Mass => "a mass",
            Self::Inertia => "a moment of inertia",
            Self::Speed => "a speed",
            Self::Angle => "an angle",
            Self::AngularRate => "an angular speed",
            Self::Revolutions => "a speed of rotation",
            Self::Time => "a time",
            Self::Share => "a percentage",
            Self::Voltage => "a voltage",
            Self::Number => "a plain number",
        }
    }

    /// The accepted units, the commonest first; empty for [`Dimension::Number`].
    pub fn units(self) -> impl Iterator<Item = Unit> {
        UNITS.iter().copied().filter(move |unit| unit.dimension == self)
    }

    /// How one is written: `"420 mm"`.
    #[must_use]
    pub const fn example(self) -> &'static str {
        match self {
            Self::Length => "420 mm",
            Self::Area => "45 cm2",
            Self::Mass => "4.2 kg",
            Self::Inertia => "0.25 kg m2",
            Self::Speed => "25 m/s",
            Self::Angle => "12 deg",
            Self::AngularRate => "600 deg/s",
            Self::Revolutions => "6010 rpm",
            Self::Time => "0.12 s",
            Self::Share => "35 %",
            Self::Voltage => "44.4 V",
            Self::Number => "0.18",
        }
    }

    /// What is accepted, in words: `"a length in mm, cm, m, in or ft"`.
    #[must_use]
    pub fn accepted(self) -> String {
        let words: Vec<_> = self.units().map(|unit| unit.word).collect();
        match words.split_last() {
            None => self.word().to_owned(),
            Some((last, [])) => format!("{} in {last}", self.word()),
            Some((last, rest)) => format!("{} in {} or {last}", self.word(), rest.join(", ")),
        }
    }
}

/// A unit of one dimension.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// As it is written: `"mm"`.
    pub word: &'static str,
    /// What it measures.
    pub dimension: Dimension,
    /// SI value of `1 unit` is `numerator / denominator`. Two numbers, so that decimal
    /// measurements in decimal units become the nearest possible SI value.
    numerator: f64,
    denominator: f64,
}

const fn unit(word: &'static str, dimension: Dimension, numerator: f64, denominator: f64) -> Unit {
    Unit { word, dimension, numerator, denominator }
}

/// Every unit. Inch, foot, pound and mile are exact: the international yard is 0.9144 m and the
/// international pound 0.453 592 37 kg (yard and pound agreement of 1959; numbers from memory).
const UNITS: [Unit; 33] = [
    unit("mm", Dimension::Length, 1.0, 1e3),
    unit("cm", Dimension::Length, 1.0, 1e2),
    unit("m", Dimension::Length, 1.0, 1.0),
    unit("in", Dimension::Length, 254.0, 1e4),
    unit("ft", Dimension::Length, 3048.0, 1e4),
    unit("cm2", Dimension::Area, 1.0, 1e4),
    unit("m2", Dimension::Area, 1.0, 1.0),
    unit("mm2", Dimension::Area, 1.0, 1e6),
    unit("in2", Dimension::Area, 254.0 * 254.0, 1e8),
    unit("kg", Dimension::Mass, 1.0, 1.0),
    unit("g", Dimension::Mass, 1.0, 1e3),
    unit("lb", Dimension::Mass, 45_359_237.0, 1e8),
    unit("oz", Dimension::Mass, 45_359_237.0, 16e8),
    unit("kg m2", Dimension::Inertia, 1.0, 1.0),
    unit("g m2", Dimension::Inertia, 1.0, 1e3),
    unit("kg cm2", Dimension::Inertia, 1.0, 1e4),
    unit("m/s", Dimension::Speed, 1.0, 1.0),
    unit("km/h", Dimension::Speed, 1.0, 3.6),
    unit("mph", Dimension::Speed, 1_609_344.0, 36e5),
    unit("ft/s", Dimension::Speed, 3048.0, 1e4),
    unit("deg", Dimension::Angle, DEG, 1.0),
    unit("rad", Dimension::Angle, 1.0, 1.0),
    unit("deg/s", Dimension::AngularRate, DEG, 1.0),
    unit("rad/s", Dimension::AngularRate, 1.0, 1.0),
    unit("rpm", Dimension::Revolutions, 1.0, 60.0),
    unit("rev/s", Dimension::Revolutions, 1.0, 1.0),
    unit("s", Dimension::Time, 1.0, 1.0),
    unit("ms", Dimension::Time, 1.0, 1e3),
    unit("min", Dimension::Time, 60.0, 1.0),
    unit("%", Dimension::Share, 1.0, 1e2),
    unit("V", Dimension::Voltage, 1.0, 1.0),
    unit("mV", Dimension::Voltage, 1.0, 1e3),
    unit("", Dimension::Number, 1.0, 1.0),
];

impl Unit {
    /// The unit written so, in any of its spellings: `m²`, `m^2` and `m2`; `°` and `deg`; small
    /// and capital letters alike.
    #[must_use]
    pub fn find(word: &str) -> Option<Self> {
        let wanted = plain_spelling(word);
        UNITS.into_iter().find(|unit| plain_spelling(unit.word) == wanted)
    }

    fn si_value(self, number: f64) -> f64 {
        number * self.numerator / self.denominator
    }

    fn number(self, si: f64) -> f64 {
        si * self.denominator / self.numerator
    }

    /// A measured value as it stands in a file, with all digits: `"985 ± 2 mm"`, without the
    /// tolerance if that is 0. [`parse`] reads it back.
    #[must_use]
    pub fn text(self, measured: Measured) -> String {
        let value = self.number(measured.value);
        let mut text = if measured.tolerance == 0.0 {
            format!("{value}")
        } else {
            format!("{value} ± {}", self.number(measured.tolerance))
        };
        if !self.word.is_empty() {
            text.push(' ');
            text.push_str(self.word);
        }
        text
    }
}

/// One spelling for all that mean the same unit. No two accepted units differ in the case of
/// their letters only.
fn plain_spelling(word: &str) -> String {
    word.to_lowercase()
        .replace('²', "2")
        .replace('°', "deg")
        .replace([' ', '\t', '\u{a0}', '\u{202f}', '^', '·', '*'], "")
}

/// A number with the tolerance that stood beside it, if any; SI, radians, shares of one, rev/s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quantity {
    /// The value.
    pub value: f64,
    /// Half the width of the interval, not negative; `None` where none was written.
    pub tolerance: Option<f64>,
}

impl Quantity {
    /// With a tolerance for the case that none was written.
    #[must_use]
    pub fn or_tolerance(self, default: f64) -> Measured {
        Measured::with_tolerance(self.value, self.tolerance.unwrap_or(default))
    }
}

/// Why a text is not the quantity that was wanted. `Display` says all of it; [`Self::found`] and
/// [`Self::next`] are its halves for a [`crate::Fault`].
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("found {}; allowed is {}; {}", self.found(), self.wanted.accepted(), self.next())]
pub struct QuantityError {
    /// The whole text.
    pub text: String,
    /// What was wanted.
    pub wanted: Dimension,
    /// What is wrong with it.
    pub reason: QuantityFault,
}

/// What is wrong with a text that should be a quantity.
#[derive(Debug, Clone, PartialEq)]
pub enum QuantityFault {
    /// Nothing, or only blanks.
    Empty,
    /// No number where one should stand.
    NoNumber {
        /// What stands there.
        part: String,
    },
    /// A comma inside a number.
    Comma {
        /// The number.
        part: String,
    },
    /// More than one number, a fraction or a range.
    SeveralNumbers {
        /// The first of them.
        first: String,
        /// The same as one number, where a fraction was meant: `"10.625 in"`.
        decimal: Option<String>,
    },
    /// Infinite, not a number, or too large to calculate with.
    NotFinite {
        /// As written.
        part: String,
    },
    /// A number alone.
    MissingUnit {
        /// The number.
        number: String,
    },
    /// No unit that is known.
    UnknownUnit {
        /// As written.
        unit: String,
    },
    /// A unit of another kind.
    WrongDimension {
        /// As written.
        unit: String,
        /// Its kind.
        is: Dimension,
    },
    /// A tolerance below zero.
    NegativeTolerance {
        /// The number.
        number: String,
    },
    /// More than one `±`.
    SeveralTolerances,
}

impl QuantityError {
    /// What was found, in words.
    #[must_use]
    pub fn found(&self) -> String {
        let text = Quoted(&self.text);
        match &self.reason {
            QuantityFault::Empty => "an empty text".to_owned(),
            QuantityFault::NoNumber { part } if part.is_empty() => {
                format!("{text}, in which a number is missing")
            }
            QuantityFault::NoNumber { part } if *part == self.text => format!("{text}, not a number"),
            QuantityFault::NoNumber { part } => {
                format!("{text}, in which {} is not a number", Quoted(part))
            }
            QuantityFault::Comma { .. } => format!("{text}, with a comma in a number"),
            QuantityFault::SeveralNumbers { .. } => format!("{text}, with more than one number"),
            QuantityFault::NotFinite { part } if *part == self.text => {
                format!("{text}, not a finite number")
            }
            QuantityFault::NotFinite { part } => {
                format!("{text}, in which {} is not a finite number", Quoted(part))
            }
            QuantityFault::MissingUnit { .. } => format!("{text}, without a unit"),
            QuantityFault::UnknownUnit { unit } => {
                format!("{text}, in which {} is no unit known here", Quoted(unit))
            }
            QuantityFault::WrongDimension { is, .. } => format!("{text}, {}", is.word()),
            QuantityFault::NegativeTolerance { .. } => format!("{text}, with a tolerance below zero"),
            QuantityFault::SeveralTolerances => format!("{text}, with more than one tolerance"),
        }
    }

    /// The next thing to try, in words.
    #[must_use]
    pub fn next(&self) -> String {
        match &self.reason {
            QuantityFault::Comma { part } => {
                let point = part.replacen(',', ".", 1);
                format!("write a decimal point, \"{point}\", and no separator between thousands")
            }
            QuantityFault::SeveralNumbers { first, decimal } => {
                let one = decimal.clone().unwrap_or_else(|| self.with_unit(first));
                format!("write one number, fractions as decimals: \"{one}\"")
            }
            QuantityFault::MissingUnit { number } => {
                format!("add the unit: \"{}\"", self.with_unit(number))
            }
            QuantityFault::NegativeTolerance { number } => {
                format!("write it without its sign: \"± {}\"", number.trim_start_matches(['-', '−']))
            }
            // what a ruler says of a throw or an incidence
            QuantityFault::WrongDimension { is: Dimension::Length, .. } if self.wanted == Dimension::Angle => {
                "turn it into degrees: the sine of the angle is the travel of the trailing edge over the depth of what \
                 turns, so 20 mm on 60 mm are \"19.5 deg\""
                    .to_owned()
            }
            QuantityFault::WrongDimension { .. } | QuantityFault::UnknownUnit { .. } => {
                "check the unit, and that the value stands at the right key".to_owned()
            }
            _ => format!("write it like \"{}\"", self.wanted.example()),
        }
    }

    /// The number as found, in the commonest unit.
    fn with_unit(&self, number: &str) -> String {
        self.wanted.units().next().map_or_else(String::new, |unit| {
            if unit.word.is_empty() { number.to_owned() } else { format!("{number} {}", unit.word) }
        })
    }
}

/// Text in quotes, shortened and without control characters, fit for a message.
struct Quoted<'t>(&'t str);

impl fmt::Display for Quoted<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        const LONGEST: usize = 40;
        let mut clean = self.0.chars().map(|c| if c.is_control() { char::REPLACEMENT_CHARACTER } else { c });
        let head: String = clean.by_ref().take(LONGEST).collect();
        let more = if clean.next().is_some() { "..." } else { "" };
        write!(f, "\"{head}{more}\"")
    }
}

/// Reads one quantity: `NUMBER [UNIT] [± NUMBER] UNIT`, with `+-` and `+/-` for `±`. The unit of
/// the value may be left out where that of the tolerance stands behind both.
///
/// # Errors
/// Whatever is not exactly one finite number with a unit of the wanted dimension.
pub fn parse(text: &str, wanted: Dimension) -> Result<Quantity, QuantityError> {
    read(text, wanted).map_err(|reason| QuantityError { text: text.trim().to_owned(), wanted, reason })
}

fn read(text: &str, wanted: Dimension) -> Result<Quantity, QuantityFault> {
    if text.trim().is_empty() {
        return Err(QuantityFault::Empty);
    }
    let plain = text.replace("+/-", "±").replace("+-", "±");
    let mut parts = plain.split('±').map(str::trim);
    let value = Written::read(parts.next().unwrap_or_default())?;
    let tolerance = parts.next().map(Written::read).transpose()?;
    if parts.next().is_some() {
        return Err(QuantityFault::SeveralTolerances);
    }
    let Some(tolerance) = tolerance else {
        return Ok(Quantity { value: value.si(value.unit, wanted)?, tolerance: None });
    };
    if tolerance.number < 0.0 {
        return Err(QuantityFault::NegativeTolerance { number: tolerance.digits.to_owned() });
    }
    let shared = if value.unit.is_empty() { tolerance.unit } else { value.unit };
    Ok(Quantity { value: value.si(shared, wanted)?, tolerance: Some(tolerance.si(tolerance.unit, wanted)?) })
}

/// A number and the unit behind it, as written.
struct Written<'t> {
    number: f64,
    digits: &'t str,
    unit: &'t str,
}

impl<'t> Written<'t> {
    fn read(part: &'t str) -> Result<Self, QuantityFault> {
        let (digits, unit) = part.split_at(number_length(part));
        let unit = unit.trim();
        if let Some(mistake) = mistaken_number(part, digits, unit) {
            return Err(mistake);
        }
        let number: f64 = digits
            .replace('−', "-")
            .parse()
            .map_err(|_| QuantityFault::NoNumber { part: part.to_owned() })?;
        if number.is_finite() {
            Ok(Self { number, digits, unit })
        } else {
            Err(QuantityFault::NotFinite { part: digits.to_owned() })
        }
    }

    /// The number in SI, taken in a unit.
    fn si(&self, unit: &str, wanted: Dimension) -> Result<f64, QuantityFault> {
        if unit.is_empty() && wanted != Dimension::Number {
            return Err(QuantityFault::MissingUnit { number: self.digits.to_owned() });
        }
        let Some(known) = Unit::find(unit) else {
            return Err(QuantityFault::UnknownUnit { unit: unit.to_owned() });
        };
        if known.dimension != wanted {
            return Err(QuantityFault::WrongDimension { unit: unit.to_owned(), is: known.dimension });
        }
        let value = known.si_value(self.number);
        if value.is_finite() {
            Ok(value)
        } else {
            Err(QuantityFault::NotFinite { part: self.digits.to_owned() })
        }
    }
}

/// The usual ways in which something is not one number.
fn mistaken_number(part: &str, digits: &str, unit: &str) -> Option<QuantityFault> {
    let spelled = ["nan", "inf"];
    let bare = part.trim_start_matches(['+', '-', '−']).to_lowercase();
    if digits.is_empty() {
        return spelled
            .iter()
            .any(|word| bare.starts_with(word))
            .then(|| QuantityFault::NotFinite { part: part.to_owned() });
    }
    if let Some(rest) = unit.strip_prefix(',') {
        let tail = &rest[..rest.len() - rest.trim_start_matches(|c: char| c.is_ascii_digit()).len()];
        return Some(QuantityFault::Comma { part: format!("{digits},{tail}") });
    }
    // A unit never starts with a sign, a slash or a digit; a second number does.
    let starts_number = |word: &str| {
        word.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '+' | '-' | '−' | '/' | '.'))
    };
    unit.split_whitespace()
        .any(starts_number)
        .then(|| QuantityFault::SeveralNumbers { first: digits.to_owned(), decimal: fraction(digits, unit) })
}

/// `"10"` and `"5/8 in"`, or `"5"` and `"/8 in"`, as one number with its unit.
fn fraction(digits: &str, rest: &str) -> Option<String> {
    let first: f64 = digits.parse().ok()?;
    let (over, under) = rest.split_once('/')?;
    let under = under.trim_start();
    let (below, unit) = under.split_at(number_length(under));
    let below: f64 = below.parse().ok().filter(|below| *below > 0.0)?;
    let unit = Unit::find(unit)?;
    let value =
        if over.is_empty() { first / below } else { first + over.trim().parse::<f64>().ok()? / below };
    Some(format!("{value} {}", unit.word))
}

/// How many bytes at the start of a text are a decimal number: sign, digits, one point, exponent.
#[must_use]
pub fn number_length(text: &str) -> usize {
    let mut end = 0;
    let rest = |end: usize| text.get(end..).unwrap_or_default();
    let sign = |end: usize| {
        rest(end).chars().next().filter(|c| matches!(c, '+' | '-' | '−')).map_or(0, char::len_utf8)
    };
    let digits = |end: usize| rest(end).bytes().take_while(u8::is_ascii_digit).count();
    end += sign(0);
    let whole = digits(end);
    end += whole;
    let mut decimals = 0;
    if rest(end).starts_with('.') {
        decimals = digits(end + 1);
        end += 1 + decimals;
    }
    if whole + decimals == 0 {
        return 0;
    }
    if rest(end).starts_with(['e', 'E']) {
        let after_sign = end + 1 + sign(end + 1);
        let exponent = digits(after_sign);
        if exponent > 0 {
            end = after_sign + exponent;
        }
    }
    end
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn value(text: &str, wanted: Dimension) -> f64 {
        parse(text, wanted).unwrap().value
    }

    fn says(text: &str, wanted: Dimension) -> String {
        parse(text, wanted).unwrap_err().to_string()
    }

    #[test]
    fn reads_what_a_pilot_writes() {
        assert_eq!(
            parse("985 ± 2 mm", Dimension::Length).unwrap(),
            Quantity { value: 0.985, tolerance: Some(0.002) }
        );
        assert_eq!(value("39 in", Dimension::Length), 0.9906);
        assert!((value("38.8 in", Dimension::Length) - 0.985_52).abs() < 1e-15);
        assert_eq!(value("3 ft", Dimension::Length), 0.9144);
        assert_eq!(value("12 deg", Dimension::Angle), 12.0 * DEG);
        assert_eq!(value("-2.5°", Dimension::Angle), -2.5 * DEG);
        assert_eq!(value("35 %", Dimension::Share), 0.35);
        assert_eq!(value("35%", Dimension::Share), 0.35);
        assert_eq!(value("4.2 kg", Dimension::Mass), 4.2);
        assert_eq!(value("6010 rpm", Dimension::Revolutions), 6010.0 / 60.0);
        assert_eq!(value("0.12 s", Dimension::Time), 0.12);
        assert_eq!(value("45 deg/s", Dimension::AngularRate), 45.0 * DEG);
        assert_eq!(value("44.4 V", Dimension::Voltage), 44.4);
        for area in ["0.0045 m2", "0.0045 m²", "0.0045 m^2", "45 cm2", "45 cm²", "4500 mm2"] {
            assert_eq!(value(area, Dimension::Area), 0.0045, "{area}");
        }
        for inertia in ["0.25 kg m2", "0.25 kg m²", "0.25 kg·m²", "0.25 kgm^2", "250 g m2"] {
            assert_eq!(value(inertia, Dimension::Inertia), 0.25, "{inertia}");
        }
        assert_eq!(value("-0.035", Dimension::Number), -0.035);
        assert_eq!(value("−7 mm", Dimension::Length), -0.007);
        assert_eq!(value("1e2 MM", Dimension::Length), 0.1);
    }

    /// Definitions, from memory: pound 0.453 592 37 kg, inch 25.4 mm, mile 1609.344 m.
    #[test]
    fn units_of_the_trade_are_exact() {
        assert_eq!(value("90 km/h", Dimension::Speed), 25.0);
        assert_eq!(value("100 mph", Dimension::Speed), 44.704);
        assert_eq!(value("1 lb", Dimension::Mass), 0.453_592_37);
        assert_eq!(value("16 oz", Dimension::Mass), 0.453_592_37);
        assert_eq!(value("1 in2", Dimension::Area), 0.000_645_16);
        assert_eq!(value("180 deg", Dimension::Angle), core::f64::consts::PI);
    }

    #[test]
    fn tolerances_are_read_in_every_spelling() {
        for text in
            ["985 ± 2 mm", "985±2mm", "985 +- 2 mm", "985 +/- 2 mm", "985 mm ± 2 mm", "98.5 cm ± 2 mm"]
        {
            let read = parse(text, Dimension::Length).unwrap();
            assert_eq!((read.value, read.tolerance), (0.985, Some(0.002)), "{text}");
        }
        let number = parse("0.18 ± 0.03", Dimension::Number).unwrap();
        assert_eq!((number.value, number.tolerance), (0.18, Some(0.03)));
        assert_eq!(number.or_tolerance(1.0), Measured::with_tolerance(0.18, 0.03));
        assert_eq!(
            parse("1 mm", Dimension::Length).unwrap().or_tolerance(0.002),
            Measured::with_tolerance(0.001, 0.002)
        );
    }

    #[test]
    fn says_what_is_wrong_and_what_to_do() {
        let length = "allowed is a length in mm, cm, m, in or ft";
        let cases = [
            ("", format!("found an empty text; {length}; write it like \"420 mm\"")),
            ("420", format!("found \"420\", without a unit; {length}; add the unit: \"420 mm\"")),
            ("mm", format!("found \"mm\", not a number; {length}; write it like \"420 mm\"")),
            (
                "3 4 mm",
                format!(
                    "found \"3 4 mm\", with more than one number; {length}; \
                     write one number, fractions as decimals: \"3 mm\""
                ),
            ),
            (
                "1,5 mm",
                format!(
                    "found \"1,5 mm\", with a comma in a number; {length}; \
                     write a decimal point, \"1.5\", and no separator between thousands"
                ),
            ),
            (
                "4 furlongs",
                format!(
                    "found \"4 furlongs\", in which \"furlongs\" is no unit known here; {length}; \
                     check the unit, and that the value stands at the right key"
                ),
            ),
            (
                "4 kg",
                format!(
                    "found \"4 kg\", a mass; {length}; \
                     check the unit, and that the value stands at the right key"
                ),
            ),
            (
                "4 ± -1 mm",
                format!(
                    "found \"4 ± -1 mm\", with a tolerance below zero; {length}; \
                     write it without its sign: \"± 1\""
                ),
            ),
            (
                "4 ± mm",
                format!(
                    "found \"4 ± mm\", in which \"mm\" is not a number; {length}; write it like \"420 mm\""
                ),
            ),
            (
                "4 ± 1 ± 1 mm",
                format!(
                    "found \"4 ± 1 ± 1 mm\", with more than one tolerance; {length}; write it like \"420 mm\""
                ),
            ),
        ];
        for (text, message) in cases {
            assert_eq!(says(text, Dimension::Length), message);
        }
    }

    #[test]
    fn refuses_what_is_no_finite_number() {
        for text in ["nan mm", "NaN mm", "inf mm", "-inf mm", "infinity mm", "1e400 mm", "1e308 ft", "± 2 mm"]
        {
            assert!(parse(text, Dimension::Length).is_err(), "{text}");
        }
        assert!(says("inf mm", Dimension::Length).contains("not a finite number"));
        assert!(says("1e400 mm", Dimension::Length).contains("\"1e400\" is not a finite number"));
    }

    #[test]
    fn refuses_ranges_and_fractions() {
        for text in ["3-4 mm", "1/2 in", "38 1/2 in", "4 mm 5 mm", "4 mm, 5 mm", "1.2.3 mm", "--3 mm"] {
            assert!(parse(text, Dimension::Length).is_err(), "{text}");
        }
    }

    #[test]
    fn a_tolerance_without_a_unit_is_refused_when_the_value_has_one() {
        assert!(says("985 mm ± 2", Dimension::Length).contains("without a unit"));
    }

    #[test]
    fn every_unit_has_its_own_spelling() {
        for unit in UNITS {
            assert_eq!(Unit::find(unit.word), Some(unit));
        }
        assert_eq!(Unit::find("furlong"), None);
    }

    #[test]
    fn long_and_strange_text_is_shortened_in_messages() {
        let message = says(&format!("4 \u{1b}[31m{}", "x".repeat(500)), Dimension::Length);
        assert!(message.chars().count() < 300 && !message.contains('\u{1b}'), "{message}");
    }

    fn any_dimension() -> impl Strategy<Value = Dimension> {
        prop::sample::select(Dimension::ALL.to_vec())
    }

    #[test]
    fn millimetres_for_an_angle_are_told_how_to_become_one() {
        let next = parse("20 mm", Dimension::Angle).unwrap_err().next();
        assert!(next.contains("19.5 deg"), "{next}");
        let next = parse("20 kg", Dimension::Angle).unwrap_err().next();
        assert!(!next.contains("19.5 deg"), "{next}");
    }

    proptest! {
        #[test]
        fn never_panics(text in "\\PC*", wanted in any_dimension()) {
            if let Err(error) = parse(&text, wanted) {
                prop_assert!(!error.to_string().is_empty());
            }
        }

        #[test]
        fn never_panics_on_nearly_right_text(
            text in "[-+−]?[0-9.,e/]{0,6}[ ±+-]{0,3}[0-9.]{0,3} ?(mm|kg m²|°|%|in)?",
            wanted in any_dimension(),
        ) {
            if let Err(error) = parse(&text, wanted) {
                prop_assert!(!error.to_string().is_empty());
            }
        }

        /// Two multiplications or divisions each way: within four roundings.
        #[test]
        fn what_is_written_reads_back(
            index in 0..UNITS.len(), value in -1e6..1e6_f64, tolerance in 0.0..1e3_f64,
        ) {
            let unit = UNITS[index];
            let text = unit.text(Measured::with_tolerance(value, tolerance));
            let read = parse(&text, unit.dimension).unwrap().or_tolerance(0.0);
            prop_assert!((read.value - value).abs() <= 4.0 * f64::EPSILON * value.abs(), "{text}");
            prop_assert!((read.tolerance - tolerance).abs() <= 4.0 * f64::EPSILON * tolerance, "{text}");
        }
    }
}
