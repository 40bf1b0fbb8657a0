//! A steep descent at a large incidence.

use super::amount::{degrees, left_for_the_flare, tenths_below_ten};
use super::short::Short;

/// Numbers of [`manoeuvre::Finding::Descent`].
#[derive(Debug, Clone, Copy)]
pub(super) struct Descent {
    pub(super) sink: f64,
    pub(super) angle: f64,
    pub(super) incidence: f64,
    pub(super) unsteady: f64,
    pub(super) flare: f64,
}

/// Said once under every descent.
pub(super) const WING_ROCK: &str =
    "whether its wings would rock cannot be judged: this model of the air has no wing rock";
/// A rate of sinking that changes by more than this has not settled \[m/s\] (judgement).
const SETTLED: f64 = 1.0;

impl Descent {
    pub(super) fn does(&self) -> String {
        let unsettled = if self.unsteady > SETTLED {
            format!(", not settled (changing by {} m/s)", tenths_below_ten(self.unsteady))
        } else {
            String::new()
        };
        format!(
            "sinks {} m/s, {} deg below the horizon at an angle of attack of {} deg{unsettled}, with {}",
            tenths_below_ten(self.sink),
            degrees(self.angle),
            degrees(self.incidence),
            left_for_the_flare(self.flare),
        )
    }

    pub(super) fn short(&self) -> Vec<Short> {
        vec![Short::plain(self.sink, "sink", " m/s"), Short::degrees(self.angle.abs(), "path", "path")]
    }
}
