//! Hanging on the propeller.

use super::amount::{degrees, metres, way};
use super::short::Short;
use manoeuvre::Verdict;

/// Numbers of [`manoeuvre::Finding::Hover`].
#[derive(Debug, Clone, Copy)]
pub(super) struct Hover {
    pub(super) rolled: f64,
    pub(super) aside: f64,
    pub(super) nose: f64,
}

impl Hover {
    pub(super) fn does(&self, v: &Verdict) -> String {
        format!(
            "rolls {} deg {}, moves {} m aside and {} {} m, its nose up to {} deg from the vertical",
            degrees(self.rolled),
            way(self.rolled, "right", "left"),
            metres(self.aside),
            way(v.height, "climbs", "sinks"),
            metres(v.height),
            degrees(self.nose),
        )
    }

    pub(super) fn short(&self, v: &Verdict) -> Vec<Short> {
        vec![
            Short::plain(self.aside, "aside", " m"),
            Short::degrees(self.rolled, "roll R", "roll L"),
            Short::metres(v.height, "up", "down"),
        ]
    }
}
