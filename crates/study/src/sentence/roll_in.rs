//! A roll into a turn: how far the nose goes the wrong way.

use super::amount::{degrees, tenths_below_ten};
use super::short::Short;
use measure::DEG;

/// Numbers of [`manoeuvre::Finding::RollIn`].
#[derive(Debug, Clone, Copy)]
pub(super) struct RollIn {
    pub(super) sideslip: f64,
    pub(super) nose_off: f64,
    pub(super) rolled: f64,
}

impl RollIn {
    pub(super) fn does(&self) -> String {
        format!(
            "slips up to {} deg, its nose going {} deg the wrong way while it rolls {} deg",
            tenths_below_ten(self.sideslip / DEG),
            tenths_below_ten(self.nose_off / DEG),
            degrees(self.rolled),
        )
    }

    pub(super) fn short(&self) -> Vec<Short> {
        vec![
            Short::plain(self.sideslip.abs() / DEG, "slip", "°"),
            Short::plain(self.nose_off / DEG, "wrong way", "°"),
        ]
    }
}
