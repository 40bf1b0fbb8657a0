//! The sheet of measurements that a starter airframe is made from: what is asked, what may be
//! answered, and what is guessed where nobody measured.

use super::proportions::{Class, PITCH_RESERVE, STATIC_THRUST};
use measure::{DEG, Dimension, G0, Measured};

/// What is asked, those that matter most first; each may lean on those before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Item {
    Span,
    RootChord,
    TipChord,
    Length,
    WingHeight,
    TailArm,
    TailSpan,
    TailChord,
    FinHeight,
    FinChord,
    Mass,
    Centre,
    AileronThrow,
    ElevatorThrow,
    RudderThrow,
    Propeller,
    Pitch,
    Revolutions,
}

use Item as I;

impl Item {
    pub(crate) const ALL: [Self; 18] = [
        I::Span,
        I::RootChord,
        I::TipChord,
        I::Length,
        I::WingHeight,
        I::TailArm,
        I::TailSpan,
        I::TailChord,
        I::FinHeight,
        I::FinChord,
        I::Mass,
        I::Centre,
        I::AileronThrow,
        I::ElevatorThrow,
        I::RudderThrow,
        I::Propeller,
        I::Pitch,
        I::Revolutions,
    ];

    /// What it is called, and how it is measured.
    pub(crate) const fn words(self) -> (&'static str, &'static str) {
        match self {
            I::Span => ("span", "from wing tip to wing tip, straight across"),
            I::RootChord => ("root chord", "of the wing, its edges drawn on to the middle of the body"),
            I::TipChord => ("tip chord", "of the wing, where a rounded tip begins"),
            I::Length => ("length", "from the spinner's tip to the end of the tail"),
            I::WingHeight => {
                ("wing height", "of the wing root above the middle line of the body, - below; to 1 cm")
            }
            I::TailArm => {
                ("tail arm", "from leading edge to leading edge, wing and tailplane, at their roots")
            }
            I::TailSpan => ("tailplane span", "from tip to tip"),
            I::TailChord => ("tailplane chord", "half way out, elevator included"),
            I::FinHeight => ("fin height", "from the body to its top"),
            I::FinChord => ("fin chord", "half way up, rudder included"),
            I::Mass => ("mass", "ready to fly, battery or half the fuel in, on a scale"),
            I::Centre => ("centre of mass", "behind the wing's leading edge at the root, where it balances"),
            I::AileronThrow => ("aileron throw", "at 100 %, with a throw meter, up and down the same"),
            I::ElevatorThrow => ("elevator throw", "at 100 %, with a throw meter"),
            I::RudderThrow => ("rudder throw", "at 100 %, with a throw meter"),
            I::Propeller => ("propeller diameter", "as printed on the blade"),
            I::Pitch => ("propeller pitch", "as printed on the blade"),
            I::Revolutions => ("revolutions", "at full throttle with a tachometer, the model held"),
        }
    }

    pub(crate) const fn dimension(self) -> Dimension {
        match self {
            I::Mass => Dimension::Mass,
            I::AileronThrow | I::ElevatorThrow | I::RudderThrow => Dimension::Angle,
            I::Revolutions => Dimension::Revolutions,
            _ => Dimension::Length,
        }
    }

    /// Unit in the file, its size in SI, and how many of its smallest steps it has.
    const fn unit(self) -> (&'static str, f64, f64) {
        match self.dimension() {
            Dimension::Mass => ("kg", 1.0, 1e3),
            Dimension::Angle => ("deg", DEG, 1e1),
            Dimension::Revolutions => ("rpm", 1.0 / 60.0, 1.0),
            _ => ("mm", 1e-3, 1e1),
        }
    }

    /// As it stands in the file.
    pub(crate) fn text(self, value: Measured) -> String {
        let (unit, size, steps) = self.unit();
        let digits = |si: f64| (si / size * steps).round() / steps + 0.0;
        if value.tolerance == 0.0 {
            format!("{} {unit}", digits(value.value))
        } else {
            format!("{} ± {} {unit}", digits(value.value), digits(value.tolerance).max(1.0 / steps))
        }
    }

    /// To one digit of its tolerance: a guess that pretends no more than it knows.
    pub(crate) fn rounded(self, value: f64, tolerance: f64) -> Measured {
        let (_, size, _) = self.unit();
        let off = tolerance / size;
        if off <= 0.0 {
            return Measured::exact(value);
        }
        let step = libm::pow(10.0, libm::floor(libm::log10(off)));
        let to_step = |si: f64| (si / size / step).round() * step * size;
        Measured::with_tolerance(to_step(value), to_step(tolerance))
    }
}

/// An entry of the sheet. A measured one without tolerance takes the reader's default.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Entry {
    pub(crate) value: Measured,
    pub(crate) guess: bool,
}

/// Everything answered so far.
#[derive(Debug, Clone)]
pub(crate) struct Sheet {
    pub(crate) class: Class,
    pub(crate) name: String,
    entries: [Option<Entry>; Item::ALL.len()],
}

/// Of lengths, masses and revolutions that were guessed.
const GUESS: f64 = 0.15;
/// Of the speed at which it is trimmed.
pub(crate) const SPEED_GUESS: f64 = 0.15;
/// Of throws that were guessed.
const THROW_GUESS: f64 = 5.0 * DEG;
/// Sea level standard day [kg/m^3].
const DENSITY: f64 = 1.225;

impl Sheet {
    pub(crate) fn new(class: Class, name: &str) -> Self {
        Self { class, name: name.to_owned(), entries: [None; Item::ALL.len()] }
    }

    pub(crate) fn entry(&self, item: Item) -> Entry {
        self.entries[item as usize].unwrap_or_else(|| self.guess(item))
    }

    /// Value in SI, measured or guessed.
    pub(crate) fn si(&self, item: Item) -> f64 {
        self.entry(item).value.value
    }

    /// Checks an answer against what stands before it.
    pub(crate) fn answer(&mut self, item: Item, text: &str) -> Result<(), String> {
        let quantity = measure::quantity::parse(text, item.dimension()).map_err(|e| e.to_string())?;
        let (least, most) = self.allowed(item);
        if !(least..=most).contains(&quantity.value) {
            let [found, least, most] = [quantity.value, least, most].map(|si| item.text(Measured::exact(si)));
            let (what, how) = item.words();
            return Err(format!(
                "found {found}; allowed for the {what} is {least} to {most} with the answers before; measure {how}, and \
                 check the unit"
            ));
        }
        let value = quantity.or_tolerance(0.0);
        self.entries[item as usize] = Some(Entry { value, guess: false });
        Ok(())
    }

    /// Least and largest that can be right, given what stands before. Wide: it catches a wrong unit.
    fn allowed(&self, item: Item) -> (f64, f64) {
        let of = |least: f64, most: f64, whole: f64| (least * whole, most * whole);
        match item {
            I::Span => (0.2, 6.0),
            I::RootChord => of(0.05, 0.5, self.si(I::Span)),
            I::TipChord => of(0.1, 1.2, self.si(I::RootChord)),
            I::Length => of(0.4, 1.6, self.si(I::Span)),
            I::WingHeight => of(-0.12, 0.12, self.si(I::Length)),
            I::TailArm => {
                let (least, most) = of(0.3, 0.75, self.si(I::Length));
                (least.max(1.1 * self.si(I::RootChord)), most)
            }
            I::TailSpan => of(0.15, 0.7, self.si(I::Span)),
            I::TailChord => (0.1 * self.si(I::RootChord), self.behind_the_arm()),
            I::FinHeight => of(0.04, 0.4, self.si(I::Span)),
            I::FinChord => (0.1 * self.si(I::RootChord), 1.5 * self.behind_the_arm()),
            I::Mass => of(0.5, 40.0, self.area()),
            I::Centre => {
                let (leading, chord) = self.mean_chord();
                (leading - 0.05 * chord, leading + 0.6 * chord)
            }
            I::AileronThrow | I::ElevatorThrow | I::RudderThrow => (2.0 * DEG, 60.0 * DEG),
            I::Propeller => of(0.04, 0.6, self.si(I::Span)),
            I::Pitch => of(0.2, 1.6, self.si(I::Propeller)),
            I::Revolutions => (10.0, 700.0),
        }
    }

    /// The largest tailplane chord that leaves the body a nose.
    fn behind_the_arm(&self) -> f64 {
        ((0.95 * self.si(I::Length) - self.si(I::TailArm)) / TAIL_END).min(self.si(I::RootChord))
    }

    fn guess(&self, item: Item) -> Entry {
        let c = &self.class;
        let [span, root, length] = [I::Span, I::RootChord, I::Length]
            .map(|i| if i as usize >= item as usize { 0.0 } else { self.si(i) });
        let (value, tolerance) = match item {
            // asked always; a number for a sheet that is still empty
            I::Span => (1.5, 0.0),
            I::RootChord => within(span / c.aspect),
            I::TipChord => within(c.tip * root),
            I::Length => within(c.length * span),
            I::WingHeight => (c.wing_height * length, 0.015 * length),
            I::TailArm => within(c.arm * length),
            I::TailSpan => within(c.tail_span * span),
            I::TailChord => within(c.tail_chord * root),
            I::FinHeight => within(c.fin_height * span),
            I::FinChord => within(c.fin_chord * root),
            I::Mass => within(c.loading * span * self.area()),
            I::Centre => {
                let (leading, chord) = self.mean_chord();
                (leading + c.centre * chord, 0.05 * chord)
            }
            I::AileronThrow => (c.throws[0] * DEG, THROW_GUESS),
            I::ElevatorThrow => (c.throws[1] * DEG, THROW_GUESS),
            I::RudderThrow => (c.throws[2] * DEG, THROW_GUESS),
            I::Propeller => within(c.propeller * span),
            I::Pitch => within(c.pitch * self.si(I::Propeller)),
            I::Revolutions => within(self.usual_revolutions()),
        };
        let (least, most) = self.allowed(item);
        let value = item.rounded(value, tolerance);
        // where the answers before leave little room, the guess stays within it
        Entry { value: Measured { value: value.value.max(least).min(most), ..value }, guess: true }
    }

    /// Enough for the usual thrust of the class, and for a jet faster than the model.
    fn usual_revolutions(&self) -> f64 {
        let (d, pitch) = (self.si(I::Propeller), self.si(I::Pitch));
        let thrust = self.class.thrust * self.si(I::Mass) * G0;
        let for_thrust = (thrust / (DENSITY * d * d * d * d * STATIC_THRUST)).sqrt();
        for_thrust.max(PITCH_RESERVE * self.trimmed_speed() / pitch)
    }

    /// Area of the wing [m^2].
    fn area(&self) -> f64 {
        0.5 * self.si(I::Span) * (self.si(I::RootChord) + self.si(I::TipChord))
    }

    /// Station of its leading edge, and the mean chord; the quarter-chord line is straight.
    fn mean_chord(&self) -> (f64, f64) {
        let (root, tip) = (self.si(I::RootChord), self.si(I::TipChord));
        (0.125 * (root - tip), 0.5 * (root + tip))
    }

    /// From wing loading and the usual lift coefficient [m/s].
    pub(crate) fn trimmed_speed(&self) -> f64 {
        (2.0 * self.si(I::Mass) * G0 / (DENSITY * self.area() * self.class.lift)).sqrt()
    }
}

/// Leading edge of the tailplane to the end of the body, over the tailplane's chord.
pub(crate) const TAIL_END: f64 = 1.3;

fn within(value: f64) -> (f64, f64) {
    (value, GUESS * value)
}
