use airframe::MAX_SURFACES;
use nalgebra::Vector3;

use crate::causes::Causes;

/// Deflection of every surface \[rad\], by its index in the airframe's list; positive moves the
/// trailing edge down, a rudder's to the left, opens a door.
pub type Deflections = [f64; MAX_SURFACES];

/// What the forces at an instant depend on. Body axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Instant {
    /// Velocity of the centre of mass over ground [m/s].
    pub velocity: Vector3<f64>,
    /// Rates of roll, pitch, yaw [rad/s].
    pub rate: Vector3<f64>,
    /// Velocity of the air over ground [m/s].
    pub air: Vector3<f64>,
    /// Deflection of every surface \[rad\].
    pub deflections: Deflections,
    /// 0 idle .. 1 full.
    pub throttle: f64,
    /// Rotor speed [rev/s].
    pub rotor: f64,
    /// Density of the air [kg/m^3].
    pub density: f64,
    /// Which causes act.
    pub causes: Causes,
}

impl Instant {
    /// In still air of 1.225 kg/m^3 with everything centred, at `velocity` [m/s, body axes].
    #[must_use]
    pub fn at(velocity: Vector3<f64>) -> Self {
        Self {
            velocity,
            rate: Vector3::zeros(),
            air: Vector3::zeros(),
            deflections: [0.0; MAX_SURFACES],
            throttle: 0.0,
            rotor: 0.0,
            density: 1.225,
            causes: Causes::ALL,
        }
    }
}
