//! What a pilot has in the fingers: how an airframe answers its sticks.

use crate::rig::Rig;
use aero::Causes;
use flight::{AircraftState, Bench, Controls, Trimmed, earth_from_body};
use measure::G0;
use nalgebra::Vector3;

/// Answer about one axis, around trimmed level flight:
/// `turn' = push stick - damping turn - stiffness (nose - level)`, `path' = lift (nose - zero)` and
/// what the weight does.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Feel {
    /// Angular acceleration per share of stick [rad/s^2]; grows with the square of the airspeed.
    pub push: f64,
    /// Angular deceleration per rate of turn [1/s]; grows with the airspeed.
    pub damping: f64,
    /// Angular deceleration per angle of the nose from the path [1/s^2]; grows with its square.
    pub stiffness: f64,
    /// Turn of the path per angle of the nose from it [1/s]; grows with the airspeed.
    pub lift: f64,
    /// Angle of the nose from the path in trimmed level flight \[rad\].
    pub level: f64,
    /// The same where the path is not bent by it \[rad\].
    pub zero: f64,
}

/// Steps for the differences: share of stick, rate of turn [rad/s], angle \[rad\].
const STICK: f64 = 0.05;
const TURN: f64 = 0.1;
const NOSE: f64 = 0.02;

/// Feel of roll (by aileron), pitch (by elevator) and yaw (by rudder) around `level`.
pub(crate) fn feel(rig: &Rig, level: &Trimmed, bench: &mut Bench) -> [Feel; 3] {
    let to_body = earth_from_body(&level.state.body.attitude).transpose();
    let wind = to_body * rig.around.air.velocity(0.0);
    let speed = (level.state.body.velocity - wind).norm();
    core::array::from_fn(|axis| {
        let mut change = |step: f64, alter: &dyn Fn(&mut AircraftState, &mut [f64; 3], f64)| {
            let mut slope = |step: f64| {
                let (mut state, mut sticks) = (level.state, level.sticks);
                alter(&mut state, &mut sticks, step);
                let controls = Controls {
                    deflections: rig.deflections_of(sticks),
                    throttle: level.throttle,
                    causes: Causes::ALL,
                };
                rig.aircraft.steady_slope(&state, &rig.around, &controls, bench).body
            };
            let (plus, minus) = (slope(step), slope(-step));
            let turn = (plus.rate[axis] - minus.rate[axis]) / (2.0 * step);
            (turn, (plus.velocity - minus.velocity) / (2.0 * step))
        };
        let push = change(STICK, &|_, sticks, d| sticks[axis] += d).0;
        let damping = -change(TURN, &|state, _, d| state.body.rate[axis] += d).0;
        let (turn, pull) = change(NOSE, &|state, _, d| {
            state.body.velocity += nose_velocity(axis) * (speed * d);
        });
        let (stiffness, lift) = match axis {
            0 => (0.0, 0.0),
            1 => (-turn, -pull.z / speed),
            _ => (-turn, pull.y / speed),
        };
        let air = level.state.body.velocity - wind;
        let level = match axis {
            0 => 0.0,
            1 => libm::asin(air.z / speed),
            _ => -libm::asin(air.y / speed),
        };
        // in pitch, level flight carries the weight
        let zero = if axis == 1 { level - G0 / (speed * lift) } else { level };
        Feel { push, damping, stiffness, lift, level, zero }
    })
}

/// Velocity per speed and angle when the nose moves off the path about `axis`: nose up, the air
/// comes from below; nose right, from the left.
fn nose_velocity(axis: usize) -> Vector3<f64> {
    match axis {
        1 => Vector3::z(),
        2 => -Vector3::y(),
        _ => Vector3::zeros(),
    }
}

impl Feel {
    /// At another airspeed, `faster` times the trimmed one.
    pub(crate) fn at(&self, faster: f64) -> Self {
        // a model that hangs on its propeller still answers a little
        let faster = faster.max(0.2);
        Self {
            push: self.push * faster * faster,
            damping: self.damping * faster,
            stiffness: self.stiffness * faster * faster,
            lift: self.lift * faster,
            ..*self
        }
    }
}
