//! The moving air: a steady wind with gusts riding on it.

use crate::gusts::Gusts;
use nalgebra::{Matrix3, Vector3};

/// Air that moves the same everywhere at an instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    wind: Vector3<f64>,
    gusts: Option<Gusts>,
}

/// A wind that is not a number.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("the wind has the component {found} m/s, but every component must be a finite number")]
pub struct WindFault {
    /// Given component [m/s].
    pub found: f64,
}

impl Air {
    /// Air at rest.
    pub const STILL: Self = Self { wind: Vector3::new(0.0, 0.0, 0.0), gusts: None };

    /// Air that moves steadily with the velocity `wind`, earth NED [m/s]: where it goes *to*, so
    /// a north wind has a negative first component.
    ///
    /// # Errors
    /// [`WindFault`] if a component is not finite.
    pub fn steady(wind: Vector3<f64>) -> Result<Self, WindFault> {
        match wind.iter().find(|component| !component.is_finite()) {
            Some(&found) => Err(WindFault { found }),
            None => Ok(Self { wind, gusts: None }),
        }
    }

    /// The same air with gusts; "along" is where the wind goes to, north if there is none.
    #[must_use]
    pub fn with_gusts(self, gusts: Gusts) -> Self {
        Self { gusts: Some(gusts), ..self }
    }

    /// Velocity of the air at `time` \[s\], earth NED [m/s].
    #[must_use]
    pub fn velocity(&self, time: f64) -> Vector3<f64> {
        match &self.gusts {
            Some(gusts) => self.wind + self.earth_from_wind() * gusts.velocity(time),
            None => self.wind,
        }
    }

    fn earth_from_wind(&self) -> Matrix3<f64> {
        let level = Vector3::new(self.wind.x, self.wind.y, 0.0);
        let along = level.try_normalize(0.0).unwrap_or_else(Vector3::x);
        let down = Vector3::z();
        Matrix3::from_columns(&[along, down.cross(&along), down])
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::gusts::Turbulence;

    fn gusts(wind: f64) -> Gusts {
        Gusts::new(&Turbulence::low_altitude(30.0, wind).unwrap(), 20.0, 11).unwrap()
    }

    #[test]
    fn still_and_steady_air_do_not_change() {
        let wind = Vector3::new(-3.0, 1.5, 0.2);
        assert_eq!(Air::STILL.velocity(5.0), Vector3::zeros());
        assert_eq!(Air::steady(wind).unwrap().velocity(0.0), wind);
        assert_eq!(Air::steady(wind).unwrap().with_gusts(gusts(0.0)).velocity(17.3), wind);
    }

    #[test]
    fn gusts_turn_with_the_wind() {
        let blown =
            |wind: Vector3<f64>| Air::steady(wind).unwrap().with_gusts(gusts(6.0)).velocity(2.0) - wind;
        let met = gusts(6.0).velocity(2.0);
        assert!((blown(Vector3::zeros()) - met).norm() < 1e-14);
        let going_east = Vector3::new(-met.y, met.x, met.z);
        assert!((blown(Vector3::new(0.0, 6.0, 0.0)) - going_east).norm() < 1e-14);
    }

    #[test]
    fn a_wind_that_is_no_number_is_refused() {
        assert!(Air::steady(Vector3::new(0.0, f64::NAN, 0.0)).is_err());
    }
}
