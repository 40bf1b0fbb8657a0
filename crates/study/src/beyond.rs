//! What a hand could not hold because its stick came to the end of the travel.

use manoeuvre::{Flown, Judged, Pose, Quantity, Scenario};
use measure::{DEG, Stick};

/// A stick that stood at its end while what it was to hold went away.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beyond {
    /// Which.
    pub stick: Stick,
    /// What it was to hold.
    pub quantity: Quantity,
    /// How far that was off at the end of its leg: rad, or m for a height.
    pub error: f64,
}

/// Shorter than this at the end of the travel is a hand's ordinary work \[s\] (judgement).
const LONG: f64 = 0.5;
/// Angles held within this are held \[rad\] (judgement).
const ANGLE: f64 = 10.0 * DEG;
/// Heights held within this are held \[m\] (judgement).
const HEIGHT: f64 = 5.0;

/// The worst of all legs up to the last that is judged, against what is still called held.
/// Throttle does not count, nor do rates of roll and pitch: to want more of them is no failure.
pub(crate) fn beyond(flown: &Flown, scenario: &Scenario) -> Option<Beyond> {
    let (_, judged) = scenario.judged()?;
    let legs = flown.legs.iter().take(judged.end() + 1);
    let lost = legs.flat_map(|leg| &leg.held).filter(|held| held.at_stop > LONG).filter_map(|held| {
        let times = held.error.abs() / allowed(held.quantity)?;
        (times > 1.0 && held.stick != Stick::Throttle).then_some((times, held))
    });
    let worst = lost.max_by(|a, b| a.0.total_cmp(&b.0))?.1;
    Some(Beyond { stick: worst.stick, quantity: worst.quantity, error: worst.error })
}

const fn allowed(quantity: Quantity) -> Option<f64> {
    match quantity {
        Quantity::Bank
        | Quantity::Line
        | Quantity::Track
        | Quantity::Climb
        | Quantity::Nose
        | Quantity::Sideslip => Some(ANGLE),
        Quantity::Height => Some(HEIGHT),
        Quantity::RollRate | Quantity::PitchRate | Quantity::Airspeed => None,
    }
}

impl Beyond {
    /// `"hold height in knife-edge: beyond rudder"`.
    #[must_use]
    pub fn words(&self, judged: &Judged) -> String {
        let what = match (self.quantity, self.stick, judged.pose()) {
            (Quantity::Line, Stick::Rudder, Pose::KnifeEdge) => "height",
            (Quantity::Climb | Quantity::Height, ..) => "height",
            (Quantity::Bank, ..) => "its bank",
            (Quantity::Track, ..) => "its heading",
            (Quantity::Nose, ..) => "its nose",
            (Quantity::Sideslip, ..) => "its sideslip",
            _ => "the line",
        };
        let place = match judged.pose() {
            Pose::KnifeEdge => " in knife-edge",
            Pose::Inverted => " inverted",
            Pose::UpLine => " in the up-line",
            Pose::DownLine => " in the down-line",
            Pose::Upright => "",
        };
        format!("hold {what}{place}: {}", self.short())
    }

    /// `"beyond rudder"`.
    #[must_use]
    pub fn short(&self) -> String {
        format!("beyond {}", self.stick.word())
    }
}
