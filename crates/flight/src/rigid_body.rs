//! Motion of a rigid body. Body axes FRD: x forward, y right, z down, origin at the centre of
//! mass, right-hand rotations. Earth axes NED, flat, not rotating. SI units, radians.

use crate::attitude::earth_from_body;
use crate::mass_properties::MassProperties;
use crate::state::State;
use crate::wrench::{Loads, Wrench};
use nalgebra::{Quaternion, Vector3};

/// Where a rigid body is and how it moves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BodyState {
    /// Position of the centre of mass, earth NED \[m\].
    pub position: Vector3<f64>,
    /// Velocity of the centre of mass over ground, body FRD [m/s].
    pub velocity: Vector3<f64>,
    /// Attitude, unit quaternion (w, x, y, z), body to earth.
    pub attitude: Quaternion<f64>,
    /// Rate of rotation p, q, r relative to the earth, body FRD [rad/s].
    pub rate: Vector3<f64>,
}

impl BodyState {
    /// Slope of the state under `loads` and the acceleration of `gravity`, earth NED [m/s^2]:
    /// ```text
    /// position' = R v                 v'  = F/m + R^T gravity - om x v
    /// attitude' = q (0, om)/2         om' = I^-1 (M - om x (I om + spin))
    /// ```
    /// Newton's and Euler's equations in body axes; Goldstein, Poole & Safko, *Classical
    /// Mechanics*, 3rd ed., section 5.5 (section number from memory).
    #[must_use]
    pub fn slope(&self, mass: &MassProperties, gravity: &Vector3<f64>, loads: &Loads) -> Self {
        let to_earth = earth_from_body(&self.attitude);
        let rate = self.rate;
        let momentum = mass.inertia() * rate + loads.spin;
        Self {
            position: to_earth * self.velocity,
            velocity: loads.force / mass.mass() + to_earth.tr_mul(gravity) - rate.cross(&self.velocity),
            attitude: self.attitude * Quaternion::from_imag(rate / 2.0),
            rate: mass.inverse_inertia() * (loads.moment - rate.cross(&momentum)),
        }
    }

    /// Velocity of the centre of mass over ground, earth NED [m/s].
    #[must_use]
    pub fn earth_velocity(&self) -> Vector3<f64> {
        earth_from_body(&self.attitude) * self.velocity
    }
}

/// The slope function of a body under a `wrench`, as the marcher takes it.
/// `gravity`: acceleration, earth NED [m/s^2].
pub fn motion<'a>(
    mass: &'a MassProperties,
    gravity: Vector3<f64>,
    wrench: &'a impl Wrench,
) -> impl Fn(f64, &BodyState) -> BodyState + 'a {
    move |time, body| body.slope(mass, &gravity, &wrench.loads(time, body))
}

impl State for BodyState {
    fn advance(&mut self, factor: f64, slope: &Self) {
        self.position += slope.position * factor;
        self.velocity += slope.velocity * factor;
        self.attitude += slope.attitude * factor;
        self.rate += slope.rate * factor;
    }

    fn is_finite(&self) -> bool {
        let vectors = [self.position, self.velocity, self.rate];
        vectors.iter().flatten().chain(self.attitude.coords.iter()).all(|entry| entry.is_finite())
    }

    fn settled(self) -> Self {
        Self { attitude: self.attitude.normalize(), ..self }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::attitude::Euler;
    use nalgebra::Matrix3;

    fn still() -> BodyState {
        BodyState {
            position: Vector3::zeros(),
            velocity: Vector3::zeros(),
            attitude: Quaternion::identity(),
            rate: Vector3::zeros(),
        }
    }

    fn body() -> MassProperties {
        MassProperties::new(2.0, Matrix3::from_diagonal(&Vector3::new(0.2, 0.3, 0.4))).unwrap()
    }

    #[test]
    fn a_resting_body_falls_down_whatever_its_attitude() {
        let gravity = Vector3::new(0.0, 0.0, 9.8);
        let attitude = Euler { roll: 1.0, pitch: -0.7, yaw: 2.0 }.attitude();
        let state = BodyState { attitude, ..still() };
        let slope = state.slope(&body(), &gravity, &Loads::default());
        assert!((earth_from_body(&attitude) * slope.velocity - gravity).norm() < 1e-14);
        assert_eq!(slope.rate, Vector3::zeros());
    }

    #[test]
    fn forces_and_moments_accelerate_along_and_about_their_axes() {
        let loads = Loads {
            force: Vector3::new(4.0, 2.0, -6.0),
            moment: Vector3::new(0.1, -0.3, 0.2),
            ..Loads::default()
        };
        let slope = still().slope(&body(), &Vector3::zeros(), &loads);
        assert_eq!(slope.velocity, Vector3::new(2.0, 1.0, -3.0));
        assert!((slope.rate - Vector3::new(0.5, -1.0, 0.5)).norm() < 1e-15);
    }

    /// A propeller that turns clockwise seen from behind has its spin along +x. Raising the nose
    /// then swings it to the right: M = -om x h = (0, 0, +q h).
    #[test]
    fn raising_the_nose_over_a_clockwise_propeller_yaws_right() {
        let state = BodyState { rate: Vector3::new(0.0, 0.5, 0.0), ..still() };
        let loads = Loads { spin: Vector3::new(0.08, 0.0, 0.0), ..Loads::default() };
        let slope = state.slope(&body(), &Vector3::zeros(), &loads);
        assert!((slope.rate - Vector3::new(0.0, 0.0, 0.5 * 0.08 / 0.4)).norm() < 1e-15, "{slope:?}");
    }

    #[test]
    fn position_moves_with_the_velocity_in_earth_axes() {
        let east = Euler { roll: 0.0, pitch: 0.0, yaw: core::f64::consts::FRAC_PI_2 }.attitude();
        let state = BodyState { attitude: east, velocity: Vector3::new(12.0, 0.0, 0.0), ..still() };
        let slope = state.slope(&body(), &Vector3::zeros(), &Loads::default());
        assert!((slope.position - Vector3::new(0.0, 12.0, 0.0)).norm() < 1e-14);
        assert_eq!(slope.position, state.earth_velocity());
    }

    #[test]
    fn settling_touches_nothing_but_the_length_of_the_quaternion() {
        let stretched = BodyState { attitude: Quaternion::new(2.0, 0.0, 0.0, 0.0), ..still() };
        assert_eq!(stretched.settled(), still());
    }

    #[test]
    fn one_bad_entry_anywhere_is_noticed() {
        let nan = f64::NAN;
        let bad = Vector3::new(0.0, nan, 0.0);
        assert!(still().is_finite());
        assert!(!BodyState { position: bad, ..still() }.is_finite());
        assert!(!BodyState { velocity: bad, ..still() }.is_finite());
        assert!(!BodyState { rate: bad, ..still() }.is_finite());
        assert!(!BodyState { attitude: Quaternion::new(1.0, 0.0, 0.0, nan), ..still() }.is_finite());
    }
}
