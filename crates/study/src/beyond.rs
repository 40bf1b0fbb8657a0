//! What a hand could not hold because its stick came to the end of the travel.

use manoeuvre::{Flown, HeldStick, Judged, Judging, Pose, Quantity, Scenario, Shortfall, shortfalls};
use measure::Stick;

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

/// The worst of all that a surface was not enough for. Throttle does not count, nor do rates of roll
/// and pitch: to want more of them is no failure.
pub(crate) fn beyond(flown: &Flown, scenario: &Scenario) -> Option<Beyond> {
    let lost = shortfalls(flown, scenario).into_iter().filter_map(|shortfall| match shortfall {
        Shortfall::BeyondStick { held, .. } if counts(&held) => Some(held),
        _ => None,
    });
    let worst = lost.max_by(|a, b| a.missed().total_cmp(&b.missed()))?;
    Some(Beyond { stick: worst.stick, quantity: worst.quantity, error: worst.error })
}

const fn counts(held: &HeldStick) -> bool {
    !matches!(held.stick, Stick::Throttle)
        && !matches!(held.quantity, Quantity::RollRate | Quantity::PitchRate | Quantity::Airspeed)
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
            _ if judged.as_what == Judging::Hover => " in the hover",
            _ if judged.as_what == Judging::Roll => " in the roll",
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
