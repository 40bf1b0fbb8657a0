//! Flaps or a door coming out: the balloon, and what is left for the flare.

use super::amount::{degrees, is_nothing, left_for_the_flare, metres, tenths_below_ten, way};
use super::short::Short;

/// Numbers of [`manoeuvre::Finding::Flaps`].
#[derive(Debug, Clone, Copy)]
pub(super) struct Flaps {
    pub(super) balloon: f64,
    pub(super) nose: f64,
    pub(super) speed: f64,
    pub(super) change: f64,
    pub(super) flare: f64,
}

/// A speed that changes by more than this in a second has not settled \[m/s\] (judgement).
const SETTLED: f64 = 0.5;

impl Flaps {
    pub(super) fn does(&self) -> String {
        let balloon = metres(self.balloon);
        let rises = if is_nothing(&balloon) {
            "does not balloon".to_owned()
        } else {
            format!("balloons {balloon} m")
        };
        let settles = if self.change.abs() < SETTLED { "settles at" } else { "has not settled, ending at" };
        format!(
            "{rises}, its nose going {} deg {}, and {settles} {} m/s with {}",
            degrees(self.nose),
            way(self.nose, "up", "down"),
            tenths_below_ten(self.speed),
            left_for_the_flare(self.flare),
        )
    }

    pub(super) fn short(&self) -> Vec<Short> {
        vec![
            Short::plain(self.balloon, "balloon", " m"),
            Short::degrees(self.nose, "nose up", "nose down"),
            Short::plain(self.speed, "ends at", " m/s"),
        ]
    }
}
