//! A tumble: how tight, how true, and the rate of pitch as its price.

use super::amount::{degrees, metres, tenths_below_ten, way};
use super::short::Short;
use manoeuvre::Verdict;
use measure::DEG;

/// Numbers of [`manoeuvre::Finding::Tumble`].
#[derive(Debug, Clone, Copy)]
pub(super) struct Tumble {
    pub(super) pitched: f64,
    pub(super) pitch_rate: f64,
    pub(super) radius: f64,
    pub(super) heading: f64,
    pub(super) tilt: f64,
}

impl Tumble {
    pub(super) fn does(&self, v: &Verdict) -> String {
        format!(
            "turns over {} deg within {} m of its middle at up to {} deg/s, ends {} deg off its plane with a wing up \
             to {} deg down, {} m {}",
            degrees(self.pitched),
            tenths_below_ten(self.radius),
            degrees(self.pitch_rate),
            degrees(self.heading),
            degrees(self.tilt),
            metres(v.height),
            way(v.height, "higher", "lower"),
        )
    }

    pub(super) fn short(&self) -> Vec<Short> {
        vec![
            Short::plain(self.radius, "radius", " m"),
            Short::plain(self.pitch_rate.abs() / DEG, "rate", "°/s"),
            Short::degrees(self.heading.abs(), "plane off", "plane off"),
        ]
    }
}
