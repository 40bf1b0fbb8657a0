//! What a follower that is off by a little does in the first two seconds.

use crate::find::pose::{Posed, Stand};
use flight::{AircraftState, Bench, Controls};
use mix::Commands;
use nalgebra::Vector3;

/// Time after which a left-over is told \[s\]: when a pilot has seen it.
pub const SECONDS: f64 = 2.0;

/// Steps for the differences: share of throw, rate [rad/s], angle \[rad\].
const SHARE: f64 = 0.02;
const RATE: f64 = 0.1;
const NOSE: f64 = 0.02;

/// Turn about the follower's own axis over [`SECONDS`] \[rad\] per share of full throw too much of
/// it: bank for the aileron, direction of the path for elevator and rudder. Linear, around the pose
/// held until then: `turn' = push share - damping turn - stiffness nose`, `path' = lift nose`.
pub(crate) fn answer(stand: &Stand, posed: &Posed, place: usize, bench: &mut Bench) -> f64 {
    let slope = |state: &AircraftState, controls: &Controls, bench: &mut Bench| {
        stand.aircraft.steady_slope(state, &stand.around, controls, bench).body
    };
    let commands = |step: f64| {
        let mut sticks = posed.sticks;
        sticks[place] += step;
        let set = posed.pose.set;
        let all = Commands {
            aileron: set.aileron + sticks[0],
            elevator: set.elevator + sticks[1],
            rudder: set.rudder + sticks[2],
            ..set
        };
        Controls { deflections: stand.deflections(&all), ..posed.controls }
    };
    let turned = |step: f64| {
        let mut state = posed.state;
        state.body.rate[place] += step;
        state
    };
    let speed = posed.pose.speed;
    let aside = |step: f64| {
        let mut state = posed.state;
        state.body.velocity += nose(place) * (speed * step);
        state
    };
    let mut both = |a: (&AircraftState, &Controls), b: (&AircraftState, &Controls), step: f64| {
        let (plus, minus) = (slope(a.0, a.1, bench), slope(b.0, b.1, bench));
        (
            (plus.rate[place] - minus.rate[place]) / (2.0 * step),
            (plus.velocity - minus.velocity) / (2.0 * step),
        )
    };
    let (state, controls) = (&posed.state, &posed.controls);
    let push = both((state, &commands(SHARE)), (state, &commands(-SHARE)), SHARE).0;
    let damping = -both((&turned(RATE), controls), (&turned(-RATE), controls), RATE).0;
    if place == 0 {
        return after(push, damping);
    }
    let (turn, pull) = both((&aside(NOSE), controls), (&aside(-NOSE), controls), NOSE);
    let lift = if place == 1 { -pull.z } else { pull.y } / speed;
    // nose and path settle to one another quickly: the path turns as fast as the nose
    let held = if lift > 0.0 { (-turn / lift).max(0.0) } else { 0.0 };
    after(push, damping + held)
}

/// Velocity per speed and angle when the nose leaves the path about an axis: nose up, the air comes
/// from below; nose right, from the left.
fn nose(place: usize) -> Vector3<f64> {
    if place == 1 { Vector3::z() } else { -Vector3::y() }
}

/// `turn' = push - damping turn` from rest, summed over the time.
fn after(push: f64, damping: f64) -> f64 {
    let damping = damping.max(1e-3);
    push / damping * (SECONDS - (1.0 - libm::exp(-damping * SECONDS)) / damping)
}
