//! Between the axes of flight and those of the scene: earth NED becomes x east, y up, -z north, and the same
//! map turns body FRD into a model with its nose along -z, its right wing along x.

use bevy::math::{Quat, Vec3};
use nalgebra::{Quaternion, Vector3};

/// A vector, earth NED or body FRD.
pub(crate) fn vector(v: &Vector3<f64>) -> Vec3 {
    Vec3::new(v.y as f32, -v.z as f32, -v.x as f32)
}

/// An attitude, body FRD to earth NED.
pub(crate) fn attitude(q: &Quaternion<f64>) -> Quat {
    Quat::from_xyzw(q.j as f32, -q.k as f32, -q.i as f32, q.w as f32)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn turning_and_mapping_commute() {
        let turn = Quaternion::new(0.5, -0.1, 0.7, 0.3).normalize();
        let body = Vector3::new(1.0, -2.0, 0.5);
        let unit = nalgebra::UnitQuaternion::from_quaternion(turn);
        let there = vector(&(unit * body));
        let here = attitude(&turn) * vector(&body);
        assert!((there - here).length() < 1e-5, "{there} {here}");
    }
}
