//! What can be wrong with a mix.

use crate::{Follower, Lead};
use core::fmt;
use measure::{Fault, Severity, Span, Stick};

/// A blend by its place in [`crate::Mix::blends`] (from 0) and its name: the name alone would not
/// tell two of the same name apart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BlendAt {
    /// Place in the file, from 0.
    pub index: usize,
    /// Its name.
    pub name: String,
}

/// Which of the two numbers of a rate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RatePart {
    /// Share of full throw at full stick.
    Throw,
    /// Expo.
    Expo,
}

/// Which of a blend's two times.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TimePart {
    /// Coming in and going out.
    Fade,
    /// The follower's way through 100 %.
    Slow,
}

/// What has no name though it needs one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Nameless {
    /// A set of rates.
    Rates,
    /// A blend.
    Blend,
    /// A lever that a blend reads.
    Lever,
    /// A switch, or the position of one, that a blend asks for.
    Switch,
    /// A lever on which a blend is tuned.
    TuningLever,
}

/// A mix that cannot be flown, and why. Shares of one stand for percent, as in [`crate::Mix`].
#[derive(Debug, Clone, PartialEq)]
pub enum MixError {
    /// An empty name.
    NoName {
        /// Of what.
        what: Nameless,
        /// Place of the set of rates or of the blend in the file, from 0.
        index: usize,
    },
    /// Two sets of rates share a name.
    DuplicateRates {
        /// The name.
        name: String,
    },
    /// Two blends share a name.
    DuplicateBlend {
        /// The second of them.
        blend: BlendAt,
    },
    /// A throw or expo that is no number or outside its range.
    Rate {
        /// The set.
        rates: String,
        /// The stick.
        stick: Stick,
        /// Which number.
        part: RatePart,
        /// What it is.
        found: f64,
        /// What it may be.
        allowed: (f64, f64),
    },
    /// A follower value that is no number or absurdly large.
    Share {
        /// The blend.
        blend: BlendAt,
        /// What it is.
        found: f64,
        /// Largest size allowed.
        largest: f64,
    },
    /// A curve with fewer than two points.
    CurveTooShort {
        /// The blend.
        blend: BlendAt,
        /// How many it has.
        points: usize,
    },
    /// A curve whose leads do not rise from point to point.
    CurveNotRising {
        /// The blend.
        blend: BlendAt,
        /// The point at fault, counted from 1.
        point: usize,
        /// Its lead.
        found: f64,
        /// The lead of the point before.
        before: f64,
    },
    /// A curve point that its lead cannot reach, or whose lead is no number.
    CurveOutside {
        /// The blend.
        blend: BlendAt,
        /// The point at fault, counted from 1.
        point: usize,
        /// Its lead.
        found: f64,
        /// Where the lead runs.
        allowed: (f64, f64),
    },
    /// A time that is negative or no number.
    Time {
        /// The blend.
        blend: BlendAt,
        /// Which time.
        part: TimePart,
        /// What it is, in seconds.
        found: f64,
    },
    /// A blend is engaged under rates that are not there.
    UnknownRates {
        /// The blend.
        blend: BlendAt,
        /// The name it uses.
        found: String,
        /// The sets there are.
        known: Vec<String>,
    },
    /// A threshold that can never be passed, or is no number.
    Threshold {
        /// The blend.
        blend: BlendAt,
        /// The stick or lever.
        control: Lead,
        /// `true` for "above", `false` for "below".
        above: bool,
        /// What it is.
        found: f64,
    },
    /// A blend is tuned between factors that are no numbers, absurdly large, or the same.
    Tuning {
        /// The blend.
        blend: BlendAt,
        /// The factors at both ends of the lever.
        found: (f64, f64),
    },
    /// A blend is tuned on a lever that moves something itself.
    BusyLever {
        /// The blend.
        blend: BlendAt,
        /// The lever.
        lever: String,
    },
    /// `all` or `any` of nothing.
    EmptyGroup {
        /// The blend.
        blend: BlendAt,
        /// `true` for "all", `false` for "any".
        all: bool,
    },
    /// `after` names a blend that is not there.
    UnknownAfter {
        /// The blend.
        blend: BlendAt,
        /// The name it uses.
        found: String,
        /// The other blends.
        known: Vec<String>,
    },
    /// `after` names a blend that moves something other than this one's lead.
    AfterElsewhere {
        /// The blend.
        blend: BlendAt,
        /// Its lead.
        lead: Lead,
        /// The blend it names.
        after: String,
        /// What that one moves.
        moves: Follower,
    },
    /// Blends that wait for each other.
    Loop {
        /// Each comes after the next, and the last after the first. Begins with the first by name.
        members: Vec<BlendAt>,
    },
    /// A blend was asked for by a name that is not there.
    UnknownBlend {
        /// The name.
        found: String,
        /// The blends there are.
        known: Vec<String>,
    },
}

/// The parts of a message, in words.
struct Words {
    field: String,
    found: String,
    allowed: String,
    next: String,
}

impl MixError {
    /// The place in [`crate::Mix::blends`] of the blend at fault, from 0, where it is one.
    #[must_use]
    pub fn blend(&self) -> Option<usize> {
        match self {
            Self::DuplicateBlend { blend }
            | Self::Share { blend, .. }
            | Self::CurveTooShort { blend, .. }
            | Self::CurveNotRising { blend, .. }
            | Self::CurveOutside { blend, .. }
            | Self::Time { blend, .. }
            | Self::UnknownRates { blend, .. }
            | Self::Threshold { blend, .. }
            | Self::Tuning { blend, .. }
            | Self::BusyLever { blend, .. }
            | Self::EmptyGroup { blend, .. }
            | Self::UnknownAfter { blend, .. }
            | Self::AfterElsewhere { blend, .. } => Some(blend.index),
            Self::Loop { members } => members.first().map(|blend| blend.index),
            Self::NoName { what: Nameless::Rates, .. }
            | Self::DuplicateRates { .. }
            | Self::Rate { .. }
            | Self::UnknownBlend { .. } => None,
            Self::NoName { index, .. } => Some(*index),
        }
    }

    /// The key of the blend or of the rate that is at fault: `after`, `engaged`, `expo`.
    #[must_use]
    pub const fn key(&self) -> &'static str {
        match self {
            Self::NoName { what: Nameless::Rates | Nameless::Blend, .. } => "name",
            Self::NoName { what: Nameless::Lever, .. } => "from",
            Self::NoName { what: Nameless::Switch, .. } => "engaged",
            Self::NoName { what: Nameless::TuningLever, .. } => "tuned",
            Self::Tuning { .. } | Self::BusyLever { .. } => "tuned",
            Self::DuplicateRates { .. } | Self::DuplicateBlend { .. } | Self::UnknownBlend { .. } => "name",
            Self::Rate { part: RatePart::Throw, .. } => "throw",
            Self::Rate { part: RatePart::Expo, .. } => "expo",
            Self::Share { .. } => "share",
            Self::CurveTooShort { .. } | Self::CurveNotRising { .. } | Self::CurveOutside { .. } => "curve",
            Self::Time { part: TimePart::Fade, .. } => "fade",
            Self::Time { part: TimePart::Slow, .. } => "slow",
            Self::UnknownRates { .. } | Self::Threshold { .. } | Self::EmptyGroup { .. } => "engaged",
            Self::UnknownAfter { .. } | Self::AfterElsewhere { .. } | Self::Loop { .. } => "after",
        }
    }

    /// The same as a fault at a place in a text.
    #[must_use]
    pub fn fault(&self, span: Span) -> Fault {
        let Words { field, found, allowed, next } = self.words();
        Fault { span, severity: Severity::Error, field, found, allowed, next }
    }

    fn words(&self) -> Words {
        let (found, allowed, next) = self.found_allowed_next();
        Words { field: self.field(), found, allowed, next }
    }

    /// Where, as a path: `blend.knife-edge pitch.after`, `rates.aloft.rudder.expo`.
    fn field(&self) -> String {
        let key = self.key();
        match self {
            Self::NoName { what: Nameless::Rates, index } => format!("rates.{index}.{key}"),
            Self::NoName { index, .. } => format!("blend.{index}.{key}"),
            Self::DuplicateRates { name } => format!("rates.{name}"),
            Self::Rate { rates, stick, .. } => format!("rates.{rates}.{}.{key}", stick.word()),
            Self::UnknownBlend { .. } => "blend".into(),
            Self::Loop { members } => {
                format!("blend.{}.{key}", members.first().map_or("", |blend| &blend.name))
            }
            Self::DuplicateBlend { blend }
            | Self::Share { blend, .. }
            | Self::CurveTooShort { blend, .. }
            | Self::CurveNotRising { blend, .. }
            | Self::CurveOutside { blend, .. }
            | Self::Time { blend, .. }
            | Self::UnknownRates { blend, .. }
            | Self::Threshold { blend, .. }
            | Self::Tuning { blend, .. }
            | Self::BusyLever { blend, .. }
            | Self::EmptyGroup { blend, .. }
            | Self::UnknownAfter { blend, .. }
            | Self::AfterElsewhere { blend, .. } => format!("blend.{}.{key}", blend.name),
        }
    }

    fn found_allowed_next(&self) -> (String, String, String) {
        match self {
            Self::NoName { what, .. } => (
                format!("{} without a name", what.words()),
                "a name of at least one letter".into(),
                "give it the name the pilot knows it by".into(),
            ),
            Self::DuplicateRates { name } => (
                format!("two sets of rates called \"{name}\""),
                "one set of each name".into(),
                "rename one of them".into(),
            ),
            Self::DuplicateBlend { blend } => (
                format!("two blends called \"{}\"", blend.name),
                "one blend of each name".into(),
                "rename one of them, or put both into one curve".into(),
            ),
            Self::Rate { part, found, allowed, .. } => (
                percent(*found),
                range(*allowed),
                match part {
                    RatePart::Throw => "for more throw at full stick, set the linkage, not the rate".into(),
                    RatePart::Expo => "positive expo softens the middle, negative sharpens it".into(),
                },
            ),
            Self::Share { found, largest, .. } => (
                percent(*found),
                range((-*largest, *largest)),
                "give percent of the follower's full throw, and check the decimal point".into(),
            ),
            Self::CurveTooShort { points, .. } => (
                match points {
                    1 => "a curve of one point".into(),
                    _ => "a curve without points".into(),
                },
                "two points or more".into(),
                "add a point at each end of the lead's travel".into(),
            ),
            Self::CurveNotRising { point, found, before, .. } => (
                format!("point {point} at lead {} after one at {}", percent(*found), percent(*before)),
                "leads that rise from point to point".into(),
                "sort the points by their first number and keep one for each lead".into(),
            ),
            Self::CurveOutside { point, found, allowed, .. } => (
                format!("point {point} at lead {}", percent(*found)),
                format!("leads from {}", range(*allowed)),
                match allowed.0 < 0.0 {
                    true => "move the point into the lead's travel".into(),
                    false => "move the point into the lead's travel; throttle and levers start at 0 %".into(),
                },
            ),
            Self::Time { part, found, .. } => (
                format!("{found} s"),
                "0 s or longer".into(),
                match part {
                    TimePart::Fade => "leave `fade` out for a blend that comes in at once".into(),
                    TimePart::Slow => "leave `slow` out for a follower that moves at once".into(),
                },
            ),
            Self::UnknownRates { found, known, .. } => (
                format!("rates \"{found}\""),
                one_of(known, "no rates: this mix has none"),
                "use one of these, or add a set of that name".into(),
            ),
            Self::Threshold { control, above, found, .. } => {
                let (low, high) = control.range();
                let (side, limits) = match above {
                    true => ("above", format!("from {} to less than {}", percent(low), percent(high))),
                    false => ("below", format!("from more than {} to {}", percent(low), percent(high))),
                };
                (
                    format!("{} {side} {}", control.word(), percent(*found)),
                    limits,
                    "choose a threshold that can be passed both ways".into(),
                )
            }
            Self::Tuning { found: (least, most), .. } => (
                format!("tuned from {} to {}", percent(*least), percent(*most)),
                "two factors that differ, each from -1000 % to 1000 %".into(),
                "write from = \"0 %\" and to = \"200 %\" for twice as much at the lever's end".into(),
            ),
            Self::BusyLever { lever, .. } => (
                format!("the lever \"{lever}\", which moves something itself"),
                "a lever that nothing else follows".into(),
                "tune it on a spare lever of its own name".into(),
            ),
            Self::EmptyGroup { all, .. } => (
                format!("`{}` with no conditions", if *all { "all" } else { "any" }),
                "one condition or more".into(),
                "write \"always\" for a blend that always acts".into(),
            ),
            Self::UnknownAfter { found, known, .. } => (
                format!("\"{found}\""),
                one_of(known, "nothing: there is no other blend"),
                "use one of these names, or leave `after` out".into(),
            ),
            Self::AfterElsewhere { lead, after, moves, .. } => (
                format!("\"{after}\", which moves the {}", moves.word()),
                format!("a blend that moves this one's lead, the {}", lead.word()),
                "leave `after` out, or lead from what that blend moves".into(),
            ),
            Self::Loop { members } => {
                (chain(members), "chains that end".into(), "take `after` out of one of these".into())
            }
            Self::UnknownBlend { found, known } => (
                format!("\"{found}\""),
                one_of(known, "none: this mix has no blends"),
                "check the spelling against the mix file".into(),
            ),
        }
    }
}

impl Nameless {
    const fn words(self) -> &'static str {
        match self {
            Self::Rates => "a set of rates",
            Self::Blend => "a blend",
            Self::Lever => "a lever",
            Self::Switch => "a switch or switch position",
            Self::TuningLever => "a lever for tuning",
        }
    }
}

impl fmt::Display for MixError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Words { field, found, allowed, next } = self.words();
        write!(f, "{field}: found {found}; allowed: {allowed}; {next}")
    }
}

impl core::error::Error for MixError {}

/// "a" after "b" after "a".
fn chain(members: &[BlendAt]) -> String {
    let round = members.iter().chain(members.first());
    round.map(|blend| format!("\"{}\"", blend.name)).collect::<Vec<_>>().join(" after ")
}

/// A share of one in words; files keep all digits, a message needs no more than these.
fn percent(share: f64) -> String {
    let rounded = format!("{:.3}", share * 100.0);
    let short = match rounded.contains('.') {
        true => rounded.trim_end_matches('0').trim_end_matches('.'),
        false => &rounded,
    };
    format!("{short} %")
}

fn range((low, high): (f64, f64)) -> String {
    format!("{} to {}", percent(low), percent(high))
}

pub(crate) fn one_of(known: &[String], if_none: &str) -> String {
    match known {
        [] => if_none.into(),
        _ => known.iter().map(|name| format!("\"{name}\"")).collect::<Vec<_>>().join(", "),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn percentages_are_short() {
        assert_eq!(percent(0.07), "7 %");
        assert_eq!(percent(-0.125), "-12.5 %");
        assert_eq!(percent(1.0), "100 %");
        assert_eq!(percent(f64::NAN), "NaN %");
    }

    #[test]
    fn a_message_says_where_what_is_allowed_and_what_to_try() {
        let error = MixError::Rate {
            rates: "aloft".into(),
            stick: Stick::Rudder,
            part: RatePart::Throw,
            found: 1.2,
            allowed: (0.0, 1.0),
        };
        assert_eq!(
            error.to_string(),
            "rates.aloft.rudder.throw: found 120 %; allowed: 0 % to 100 %; \
             for more throw at full stick, set the linkage, not the rate"
        );
        let fault = error.fault(Span { start: 3, end: 9 });
        assert_eq!((fault.found.as_str(), fault.span.end), ("120 %", 9));
    }
}
