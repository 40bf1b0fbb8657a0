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
        }
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

/// The same angle within half a turn \[rad\].
pub(crate) fn wrapped(angle: f64) -> f64 {
    angle - TAU * ((angle + PI) / TAU).floor()
}
