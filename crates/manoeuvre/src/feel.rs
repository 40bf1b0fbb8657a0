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

/// What the propeller's wash adds to the answer about one axis.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Wash {
    /// Angular acceleration per share of stick at full throttle, standing still [rad/s^2]; grows with the square
    /// of the rotor speed.
    push: f64,
    /// Angular deceleration per rate of turn there [1/s]; grows with the rotor speed.
    damping: f64,
    /// Angular deceleration per speed across, nose on the other side of it [rad/s^2 per m/s]: the wash
    /// makes a weathercock of a hanging model, too, and turns the nose to where it drifts. Grows with
    /// the rotor speed.
    drift: f64,
    /// Rotor speed there [rev/s]; 0: nothing blows.
    rotor: f64,
}

/// Airspeed at which the wash is measured [m/s]: nearly none, but enough to have a direction.
const STILL: f64 = 0.5;
/// From this share of the trimmed speed on the feel of trimmed flight, which has its own wash in
/// it, stands alone (judgement).
const WASH_ENDS: f64 = 0.6;

/// Steps for the differences: share of stick, rate of turn [rad/s], angle \[rad\].
const STICK: f64 = 0.05;
const TURN: f64 = 0.1;
const NOSE: f64 = 0.02;
/// And speed across \[m/s\].
const DRIFT: f64 = 0.25;

/// Feel of roll (by aileron), pitch (by elevator) and yaw (by rudder) around `level`.
pub(crate) fn feel(rig: &Rig, level: &Trimmed, bench: &mut Bench) -> [Feel; 3] {
    let air = flow(rig, level);
    let speed = air.norm();
    core::array::from_fn(|axis| {
        let [push, damping] = answers(rig, level, axis, bench);
        let (turn, pull) = change(rig, level, bench, NOSE, axis, &|state, _, d| {
            state.body.velocity += nose_velocity(axis) * (speed * d);
        });
        let (stiffness, lift) = match axis {
            0 => (0.0, 0.0),
            1 => (-turn, -pull.z / speed),
            _ => (-turn, pull.y / speed),
        };
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

/// What the wash adds to `feel`, measured at full throttle, standing still, sticks as in `level`.
pub(crate) fn wash(rig: &Rig, level: &Trimmed, feel: &[Feel; 3], bench: &mut Bench) -> [Wash; 3] {
    let Some(propulsor) = &rig.aircraft.model.parts().propulsor else { return [Wash::default(); 3] };
    let axis = propulsor.axis;
    let mut hangs = *level;
    let forwards = axis * (STILL * axis.x.signum());
    let moved = forwards - flow(rig, level);
    hangs.state.body.velocity += moved;
    hangs.throttle = 1.0;
    let density = rig.around.density(&level.state.body.position);
    hangs.state.rotor = rig.aircraft.steady_rotor(&forwards, hangs.throttle, density);
    let rotor = hangs.state.rotor;
    core::array::from_fn(|axis| {
        let [push, damping] = answers(rig, &hangs, axis, bench);
        let without = feel[axis].in_still_air(STILL / rig.trimmed_speed);
        let drift = -change(rig, &hangs, bench, DRIFT, axis, &|state, _, d| {
            state.body.velocity += nose_velocity(axis) * d;
        })
        .0;
        // a fan that blows over no tail adds nothing
        Wash {
            push: (push - without.push).max(0.0),
            damping: (damping - without.damping).max(0.0),
            drift: drift - without.stiffness / STILL,
            rotor,
        }
    })
}

/// Velocity through the air, body axes [m/s].
fn flow(rig: &Rig, at: &Trimmed) -> Vector3<f64> {
    let to_body = earth_from_body(&at.state.body.attitude).transpose();
    at.state.body.velocity - to_body * rig.around.air.velocity(0.0)
}

/// Push and damping about `axis` around a state.
fn answers(rig: &Rig, at: &Trimmed, axis: usize, bench: &mut Bench) -> [f64; 2] {
    let push = change(rig, at, bench, STICK, axis, &|_, sticks, d| sticks[axis] += d).0;
    let damping = -change(rig, at, bench, TURN, axis, &|state, _, d| state.body.rate[axis] += d).0;
    [push, damping]
}

/// Changes of a state and its sticks by a step.
type Alter<'a> = &'a dyn Fn(&mut AircraftState, &mut [f64; 3], f64);

/// Angular acceleration about `axis` and acceleration, body axes, per size of an alteration.
fn change(
    rig: &Rig,
    at: &Trimmed,
    bench: &mut Bench,
    step: f64,
    axis: usize,
    alter: Alter<'_>,
) -> (f64, Vector3<f64>) {
    let mut slope = |step: f64| {
        let (mut state, mut sticks) = (at.state, at.sticks);
        alter(&mut state, &mut sticks, step);
        let controls =
            Controls { deflections: rig.deflections_of(sticks), throttle: at.throttle, causes: Causes::ALL };
        rig.aircraft.steady_slope(&state, &rig.around, &controls, bench).body
    };
    let (plus, minus) = (slope(step), slope(-step));
    let turn = (plus.rate[axis] - minus.rate[axis]) / (2.0 * step);
    (turn, (plus.velocity - minus.velocity) / (2.0 * step))
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
    /// At another airspeed [m/s] than the trimmed one, with the wash of a rotor at `rotor` [rev/s].
    pub(crate) fn at(&self, airspeed: f64, trimmed_speed: f64, wash: &Wash, rotor: f64) -> Self {
        let faster = airspeed / trimmed_speed;
        let dry = self.in_still_air(faster);
        if wash.rotor <= 0.0 {
            return dry;
        }
        let spins = rotor / wash.rotor;
        // level at both ends: a flight stays a smooth function of what it is flown with
        let left = (1.0 - faster / WASH_ENDS).clamp(0.0, 1.0);
        let share = left * left * (3.0 - 2.0 * left);
        Self {
            push: dry.push + share * wash.push * spins * spins,
            damping: dry.damping + share * wash.damping * spins,
            stiffness: dry.stiffness + share * wash.drift * spins * airspeed,
            ..dry
        }
    }

    /// At another airspeed, `faster` times the trimmed one, by the airspeed alone.
    fn in_still_air(&self, faster: f64) -> Self {
        // a model that stands still answers a little
        let answers = faster.max(0.2);
        Self {
            push: self.push * answers * answers,
            damping: self.damping * answers,
            stiffness: self.stiffness * faster * faster,
            lift: self.lift * answers,
            ..*self
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TRIMMED: Feel =
        Feel { push: 90.0, damping: 12.0, stiffness: 40.0, lift: 9.0, level: 0.04, zero: 0.0 };
    const BLOWN: Wash = Wash { push: 45.0, damping: 6.0, drift: 5.0, rotor: 100.0 };

    #[test]
    fn the_wash_fades_smoothly_and_leaves_flight_alone() {
        let at = |airspeed: f64, rotor: f64| TRIMMED.at(airspeed, 20.0, &BLOWN, rotor);
        let dry = |airspeed: f64| TRIMMED.at(airspeed, 20.0, &Wash::default(), 100.0);
        assert_eq!(at(20.0, 100.0), TRIMMED);
        assert_eq!(at(12.0, 100.0), dry(12.0));
        assert_eq!(at(3.0, 0.0), dry(3.0));
        let [half, full] = [50.0, 100.0].map(|rotor| at(0.5, rotor).push - dry(0.5).push);
        assert!((full / half - 4.0).abs() < 1e-12 && (full / BLOWN.push - 1.0).abs() < 0.01);
        // no step and no kink where the wash ends
        let near = |speed: f64| at(speed, 100.0).push - dry(speed).push;
        assert!(near(12.0 - 1e-3) < 1e-5 * BLOWN.push);
    }
}
