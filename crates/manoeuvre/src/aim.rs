//! What a pilot sees of a model at an instant, relative to the air.

use core::f64::consts::{PI, TAU};
use flight::{AircraftState, earth_from_body};
use nalgebra::{Matrix3, Vector3};

/// What a pilot sees of a model at an instant.
#[derive(Debug, Clone, Copy)]
pub(crate) struct View {
    /// Body to earth.
    pub(crate) attitude: Matrix3<f64>,
    /// Rate of turn, body axes [rad/s].
    pub(crate) rate: Vector3<f64>,
    /// Unit vector of the path through the air, earth NED.
    pub(crate) path: Vector3<f64>,
    /// Airspeed [m/s].
    pub(crate) airspeed: f64,
    /// Height above the field \[m\].
    pub(crate) height: f64,
    /// Rotor speed, as it is heard [rev/s].
    pub(crate) rotor: f64,
}

impl View {
    /// Of a state in air that moves with `wind`, earth NED [m/s].
    pub(crate) fn of(state: &AircraftState, wind: &Vector3<f64>) -> Self {
        let attitude = earth_from_body(&state.body.attitude);
        let flow = attitude * state.body.velocity - wind;
        let airspeed = flow.norm();
        Self {
            attitude,
            rate: state.body.rate,
            path: flow / airspeed.max(1e-6),
            airspeed,
            height: -state.body.position.z,
            rotor: state.rotor,
        }
    }

    /// As it will be in `time` \[s\] if nose and wings turn on as they do: a roll brings another
    /// wing round, also to where the nose was going.
    pub(crate) fn turned_on(&self, time: f64) -> Self {
        let (sin, cos) = libm::sincos(self.rate.x * time);
        let roll = Matrix3::new(1.0, 0.0, 0.0, 0.0, cos, -sin, 0.0, sin, cos);
        let nose = turned_by(&(Vector3::new(0.0, self.rate.y, self.rate.z) * time));
        Self { attitude: self.attitude * nose * roll, rate: roll.tr_mul(&self.rate), ..*self }
    }

    /// Compass direction of the path \[rad\].
    pub(crate) fn track(&self) -> f64 {
        libm::atan2(self.path.y, self.path.x)
    }

    /// Climb angle of the path \[rad\].
    pub(crate) fn climb(&self) -> f64 {
        libm::asin((-self.path.z).clamp(-1.0, 1.0))
    }

    /// Roll about a line whose frame without bank is `frame` \[rad\].
    pub(crate) fn roll(&self, frame: &Matrix3<f64>) -> f64 {
        let about = frame.tr_mul(&self.attitude);
        libm::atan2(about[(2, 1)], about[(2, 2)])
    }

    /// Direction in which elevator (canopy) or rudder (right wing) move the nose, earth, unit.
    pub(crate) fn side(&self, rudder: bool) -> Vector3<f64> {
        if rudder { self.attitude.column(1).into_owned() } else { -self.attitude.column(2) }
    }
}

/// Rotation by a vector \[rad\].
fn turned_by(by: &Vector3<f64>) -> Matrix3<f64> {
    let angle = by.norm();
    if angle < 1e-9 {
        return Matrix3::identity() + by.cross_matrix();
    }
    let (sin, cos) = libm::sincos(angle);
    let about = by.cross_matrix() / angle;
    Matrix3::identity() + about * sin + about * about * (1.0 - cos)
}

/// The same angle within half a turn \[rad\].
pub(crate) fn wrapped(angle: f64) -> f64 {
    angle - TAU * ((angle + PI) / TAU).floor()
}
