//! Attitude of the body: unit quaternion (w, x, y, z), body axes FRD to earth axes NED.
//! Angles in radians. Euler angles are for display and for starting a flight, never for marching.

use nalgebra::{Matrix3, Quaternion};

/// Rotation matrix R of a *unit* quaternion: `earth = R body`.
/// The norm is not divided out; the marcher keeps it at one, once per step.
#[must_use]
pub fn earth_from_body(attitude: &Quaternion<f64>) -> Matrix3<f64> {
    let (w, x, y, z) = (attitude.w, attitude.i, attitude.j, attitude.k);
    Matrix3::new(
        1.0 - 2.0 * (y * y + z * z),
        2.0 * (x * y - w * z),
        2.0 * (x * z + w * y),
        2.0 * (x * y + w * z),
        1.0 - 2.0 * (x * x + z * z),
        2.0 * (y * z - w * x),
        2.0 * (x * z - w * y),
        2.0 * (y * z + w * x),
        1.0 - 2.0 * (x * x + y * y),
    )
}

/// Euler angles in the order yaw, pitch, roll (3-2-1), from earth NED to body FRD \[rad\].
///
/// At pitch +-90 deg yaw and roll turn about the same axis and only their sum or difference is
/// defined: do not compute with them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Euler {
    /// About body x, right wing down is positive, -pi..pi.
    pub roll: f64,
    /// Nose above the horizon is positive, -pi/2..pi/2.
    pub pitch: f64,
    /// Heading of the nose, clockwise from north seen from above, -pi..pi.
    pub yaw: f64,
}

impl Euler {
    /// Reads the angles off an `earth_from_body` matrix.
    #[must_use]
    pub fn from_matrix(earth_from_body: &Matrix3<f64>) -> Self {
        let r = earth_from_body;
        Self {
            roll: libm::atan2(r[(2, 1)], r[(2, 2)]),
            // Rounding may leave the sine just outside -1..1.
            pitch: libm::asin((-r[(2, 0)]).clamp(-1.0, 1.0)),
            yaw: libm::atan2(r[(1, 0)], r[(0, 0)]),
        }
    }

    /// Reads the angles off an attitude.
    #[must_use]
    pub fn from_attitude(attitude: &Quaternion<f64>) -> Self {
        Self::from_matrix(&earth_from_body(attitude))
    }

    /// The attitude with these angles.
    #[must_use]
    pub fn attitude(self) -> Quaternion<f64> {
        let about_z = half_turned(self.yaw, |s, c| Quaternion::new(c, 0.0, 0.0, s));
        let about_y = half_turned(self.pitch, |s, c| Quaternion::new(c, 0.0, s, 0.0));
        let about_x = half_turned(self.roll, |s, c| Quaternion::new(c, s, 0.0, 0.0));
        about_z * about_y * about_x
    }
}

fn half_turned(angle: f64, about: fn(f64, f64) -> Quaternion<f64>) -> Quaternion<f64> {
    let (sin, cos) = libm::sincos(angle / 2.0);
    about(sin, cos)
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::Vector3;
    use proptest::prelude::*;

    #[test]
    fn each_angle_turns_the_way_its_words_say() {
        let quarter = core::f64::consts::FRAC_PI_2;
        let level = Euler { roll: 0.0, pitch: 0.0, yaw: 0.0 };
        let nose = |e: Euler| earth_from_body(&e.attitude()) * Vector3::x();
        let right_wing = |e: Euler| earth_from_body(&e.attitude()) * Vector3::y();
        assert!((nose(Euler { yaw: quarter, ..level }) - Vector3::y()).norm() < 1e-15, "heads east");
        assert!((nose(Euler { pitch: quarter, ..level }) + Vector3::z()).norm() < 1e-15, "nose up");
        assert!((right_wing(Euler { roll: quarter, ..level }) - Vector3::z()).norm() < 1e-15, "wing down");
    }

    proptest! {
        #[test]
        fn angles_survive_the_round_trip(roll in -3.1..3.1, pitch in -1.5..1.5, yaw in -3.1..3.1) {
            let there = Euler { roll, pitch, yaw };
            let back = Euler::from_attitude(&there.attitude());
            for (a, b) in [(there.roll, back.roll), (there.pitch, back.pitch), (there.yaw, back.yaw)] {
                prop_assert!((a - b).abs() < 1e-12, "{there:?} {back:?}");
            }
        }

        #[test]
        fn the_matrix_is_a_rotation(roll in -3.1..3.1, pitch in -1.5..1.5, yaw in -3.1..3.1) {
            let r = earth_from_body(&Euler { roll, pitch, yaw }.attitude());
            prop_assert!((r * r.transpose() - Matrix3::identity()).norm() < 1e-14);
            prop_assert!((r.determinant() - 1.0).abs() < 1e-14);
        }
    }
}
