//! Where a model flies and where it should: the errors a pilot sees, relative to the air.

use crate::scenario::Quantity;
use core::f64::consts::{PI, TAU};
use flight::{AircraftState, Euler, earth_from_body};
use nalgebra::{Matrix3, Vector3};

/// What a pilot sees of a model at an instant.
#[derive(Debug, Clone, Copy)]
pub(crate) struct View {
    /// Body to earth.
    pub(crate) attitude: Matrix3<f64>,
    /// Unit vector of the path through the air, earth NED.
    pub(crate) path: Vector3<f64>,
    /// Airspeed [m/s].
    pub(crate) airspeed: f64,
    /// Bank, + right wing down \[rad\].
    pub(crate) bank: f64,
}

impl View {
    /// Of a state in air that moves with `wind`, earth NED [m/s].
    pub(crate) fn of(state: &AircraftState, wind: &Vector3<f64>) -> Self {
        let attitude = earth_from_body(&state.body.attitude);
        let flow = attitude * state.body.velocity - wind;
        let airspeed = flow.norm();
        Self {
            attitude,
            path: flow / airspeed.max(1e-6),
            airspeed,
            bank: Euler::from_attitude(&state.body.attitude).roll,
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

    /// Value of a quantity in its unit.
    pub(crate) fn value(&self, quantity: Quantity) -> f64 {
        match quantity {
            Quantity::Bank => self.bank,
            Quantity::Track => self.track(),
            Quantity::Climb => self.climb(),
            Quantity::Airspeed => self.airspeed,
        }
    }

    /// Unit vector along which the path turns when its track (or else its climb) grows.
    pub(crate) fn growth(&self, quantity: Quantity) -> Vector3<f64> {
        let (sin, cos) = libm::sincos(self.track());
        if quantity == Quantity::Track {
            return Vector3::new(-sin, cos, 0.0);
        }
        let (up, level) = libm::sincos(self.climb());
        Vector3::new(-up * cos, -up * sin, -level)
    }

    /// How far the nose stands from the path along `direction` \[rad\].
    pub(crate) fn nose(&self, direction: &Vector3<f64>) -> f64 {
        libm::asin(self.attitude.column(0).dot(direction).clamp(-1.0, 1.0))
    }
}

/// The same angle within half a turn \[rad\].
pub(crate) fn wrapped(angle: f64) -> f64 {
    angle - TAU * ((angle + PI) / TAU).floor()
}
