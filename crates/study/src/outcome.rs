//! What came of one airframe in one manoeuvre: judged, or why not.

use crate::beyond::Beyond;
use crate::compare::{CompareError, Run};
use manoeuvre::{FlyError, Judging, RigError};

/// What came of one airframe in one manoeuvre.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// Flown and judged.
    Flown,
    /// A line or a roll that was not held: a stick was not enough for it.
    Beyond(Beyond),
    /// It was never where the judged line begins.
    NeverSettles,
    /// It could not even begin, or the flight ended before it could be judged.
    Refused(CompareError),
}

impl Outcome {
    /// Of a run, by its flight without the blends.
    #[must_use]
    pub fn of(run: &Result<Run, CompareError>) -> Self {
        let run = match run {
            Ok(run) => run,
            Err(error) => return Self::Refused(error.clone()),
        };
        let without = &run.flights[0];
        match (without.beyond, without.verdict.judged.as_what) {
            (Some(beyond), Judging::Line | Judging::Roll) => Self::Beyond(beyond),
            _ if !without.verdict.settled() => Self::NeverSettles,
            _ => Self::Flown,
        }
    }

    /// One word or two for each kind, for other programs.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Flown => "flown",
            Self::Beyond(_) => "beyond control",
            Self::NeverSettles => "never settles",
            Self::Refused(_) => "refused",
        }
    }

    /// Why it cannot, in few words; `None` if it can.
    #[must_use]
    pub fn why_not(&self) -> Option<String> {
        match self {
            Self::Flown => None,
            Self::Beyond(beyond) => Some(beyond.short()),
            Self::NeverSettles => Some(self.word().to_owned()),
            Self::Refused(error) => Some(refused(error)),
        }
    }
}

fn refused(error: &CompareError) -> String {
    match error {
        CompareError::Rig(RigError::BeyondTravel { what, .. })
        | CompareError::Fly(FlyError::Entry(RigError::BeyondTravel { what, .. })) => format!("beyond {what}"),
        CompareError::NothingThere { what, .. } => format!("no {what}"),
        CompareError::NoSuchLever { lever, .. } => format!("no {lever}"),
        CompareError::Fly(FlyError::NoEntry { .. } | FlyError::NotHeld { .. }) => "no such line".to_owned(),
        CompareError::NotJudged { .. } => "ends early".to_owned(),
        CompareError::Rig(RigError::NoSurface { follower, .. }) => format!("no {follower}"),
        CompareError::Rig(_) => "is not trimmed".to_owned(),
        CompareError::Blend { .. } | CompareError::Fly(_) | CompareError::Wind(_) => {
            "does not fit".to_owned()
        }
    }
}
