//! A turn with the wings level, by rudder alone: the turn, and what the rudder does besides.

use super::amount::{degrees, is_nothing, metres, way};
use super::short::Short;
use manoeuvre::Verdict;

/// Numbers of [`manoeuvre::Finding::Turn`].
#[derive(Debug, Clone, Copy)]
pub(super) struct Turn {
    pub(super) turned: f64,
    pub(super) radius: f64,
    pub(super) sideslip: f64,
}

/// A circle wider than this is none \[m\].
const STRAIGHT: f64 = 2000.0;

impl Turn {
    pub(super) fn does(&self, v: &Verdict) -> String {
        let circle = if self.radius.abs() < STRAIGHT {
            format!(" (a circle of {} m radius)", metres(self.radius))
        } else {
            String::new()
        };
        format!(
            "turns {} deg {}{circle} at {} deg of sideslip, {} and {} {} m",
            degrees(self.turned),
            way(self.turned, "right", "left"),
            degrees(self.sideslip),
            roll(v),
            way(v.height, "climbs", "sinks"),
            metres(v.height),
        )
    }

    /// All at the end, as the turn is.
    pub(super) fn short(&self, v: &Verdict) -> Vec<Short> {
        vec![
            Short::degrees(self.turned, "turn R", "turn L"),
            Short::degrees(v.end.roll, "roll R", "roll L"),
            Short::metres(v.height, "up", "down"),
        ]
    }
}

/// Over the whole turn.
fn roll(v: &Verdict) -> String {
    let angle = degrees(v.end.roll);
    if is_nothing(&angle) {
        "does not roll".to_owned()
    } else {
        format!("rolls {} {angle} deg", way(v.end.roll, "right", "left"))
    }
}
