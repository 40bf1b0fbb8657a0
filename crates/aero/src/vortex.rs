//! Velocity induced by straight vortices of unit strength, times 4 pi.
//!
//! Biot and Savart's law with a core: `core2` [m^2] keeps the denominator away from zero.

use core::f64::consts::PI;

use nalgebra::Vector3;

/// A vortex that starts at `from` and runs for ever along the unit vector `dir`, seen from
/// `point`; times 4 pi.
#[must_use]
#[inline]
pub fn leg(point: Vector3<f64>, from: Vector3<f64>, dir: Vector3<f64>, core2: f64) -> Vector3<f64> {
    let r = point - from;
    let n = r.norm();
    dir.cross(&r) / (n * (n - r.dot(&dir)) + core2)
}

/// A vortex from `start` to `end`, seen from `point`; times 4 pi.
#[must_use]
#[inline]
pub fn bound(point: Vector3<f64>, start: Vector3<f64>, end: Vector3<f64>, core2: f64) -> Vector3<f64> {
    let (r1, r2) = (point - start, point - end);
    let (n1, n2) = (r1.norm(), r2.norm());
    let sum = n1 + n2;
    r1.cross(&r2) * (sum / (n1 * n2 * (n1 * n2 + r1.dot(&r2)) + core2 * sum * sum * 0.5))
}

/// A bound vortex whose both ends trail along `dir`; the velocity itself [1/m].
#[must_use]
pub fn horseshoe(
    point: Vector3<f64>,
    start: Vector3<f64>,
    end: Vector3<f64>,
    dir: Vector3<f64>,
    core2: f64,
) -> Vector3<f64> {
    (leg(point, end, dir, core2) - leg(point, start, dir, core2) + bound(point, start, end, core2))
        / (4.0 * PI)
}
