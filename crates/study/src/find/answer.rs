//! What a follower that is off by a little does in the first two seconds.

use crate::find::pose::{Posed, Stand};
use flight::{AircraftState, Bench, Controls};
use nalgebra::Vector3;

/// Time after which a left-over is told \[s\]: when a pilot has seen it.
pub const SECONDS: f64 = 2.0;

/// Steps for the differences: share of throw, rate [rad/s], angle \[rad\].
const SHARE: f64 = 0.02;
const RATE: f64 = 0.1;
const NOSE: f64 = 0.02;
/// What does not damp itself is treated as damped by this [1/s].
const LEAST: f64 = 1e-3;

/// How a pose answers a follower about its own axis: bank for the aileron, direction of the path for
/// elevator and rudder. Linear, around the pose: `turn' = push share - damping turn`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Answer {
    /// Angular acceleration per share of full throw [rad/s^2].
    push: f64,
    /// [1/s]
    damping: f64,
}

impl Answer {
    /// About the axis of the follower at `place`. Where the nose turns away from the path it is held
    /// back, and the path follows it: `turn' = push share - damping turn - stiffness nose`,
    /// `path' = lift nose`.
    pub(crate) fn of(stand: &Stand, posed: &Posed, place: usize, bench: &mut Bench) -> Self {
        let mut slope = |state: &AircraftState, controls: &Controls| {
            stand.aircraft.steady_slope(state, &stand.around, controls, bench).body
        };
        let commands = |step: f64| {
            let mut sticks = posed.sticks;
            sticks[place] += step;
            Controls { deflections: stand.deflections(&posed.commands(sticks)), ..posed.controls }
        };
        let turned = |step: f64| {
            let mut state = posed.state;
            state.body.rate[place] += step;
            state
        };
        let aside = |step: f64| {
            let mut state = posed.state;
            state.body.velocity += nose(place) * (posed.pose.speed * step);
            state
        };
        let mut both = |a: (&AircraftState, &Controls), b: (&AircraftState, &Controls), step: f64| {
            let (plus, minus) = (slope(a.0, a.1), slope(b.0, b.1));
            (
                (plus.rate[place] - minus.rate[place]) / (2.0 * step),
                (plus.velocity - minus.velocity) / (2.0 * step),
            )
        };
        let (state, controls) = (&posed.state, &posed.controls);
        let push = both((state, &commands(SHARE)), (state, &commands(-SHARE)), SHARE).0;
        let damping = -both((&turned(RATE), controls), (&turned(-RATE), controls), RATE).0;
        if place == 0 {
            return Self { push, damping: damping.max(LEAST) };
        }
        let (turn, pull) = both((&aside(NOSE), controls), (&aside(-NOSE), controls), NOSE);
        let lift = if place == 1 { -pull.z } else { pull.y } / posed.pose.speed;
        // nose and path settle to one another quickly: the path turns as fast as the nose
        let held = if lift > 0.0 { (-turn / lift).max(0.0) } else { 0.0 };
        Self { push, damping: (damping + held).max(LEAST) }
    }

    /// Turn over [`SECONDS`] \[rad\] per share of full throw too much, from rest.
    pub(crate) fn turned(&self) -> f64 {
        self.rate() * (SECONDS - (1.0 - libm::exp(-self.damping * SECONDS)) / self.damping)
    }

    /// Turn per second in the end [rad/s] per share of full throw.
    pub(crate) fn rate(&self) -> f64 {
        self.push / self.damping
    }
}

/// Velocity per speed and angle when the nose leaves the path about an axis: nose up, the air comes
/// from below; nose right, from the left.
fn nose(place: usize) -> Vector3<f64> {
    if place == 1 { Vector3::z() } else { -Vector3::y() }
}
