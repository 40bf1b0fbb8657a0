use nalgebra::Vector3;

use crate::causes::{Cause, Causes};
use crate::coefficients::Coefficients;
use crate::strip::Strip;

/// The flow that the body's cross flow adds at strips beside, above and below it: a doublet.
/// This is what makes the height of wing and tail count in sideslip.
/// Sources: Etkin (from memory); Multhopp, NACA TM 1036, 1942 (secondary text).
///
/// On the lee side the doublet is weakened: a section that moves back from the nose sees a cross
/// flow that starts at once and separates after about two radii of travel when round, at once
/// when sharp-edged (from memory).
#[derive(Debug, Clone, Copy)]
pub(crate) struct BodyField {
    rate: Vector3<f64>,
    sideways: f64,
    /// Square of the radii of sideways travel per radius moved back from the nose.
    travel2: f64,
    lee_loss: f64,
    onset2: f64,
    on: bool,
}

/// What a strip's place against the body fixes once and for all.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct FieldSpot {
    x: f64,
    y: f64,
    z: f64,
    /// Velocity along y and z per speed of the cross flow.
    along: f64,
    up: f64,
    /// y^2 and a little, over which the change from windward to lee is smoothed [m^2].
    width2: f64,
    travel2: f64,
    beside_body: bool,
}

impl FieldSpot {
    pub(crate) fn of(strip: &Strip) -> Self {
        let (r, k) = (strip.position, strip.beside.doublet);
        let (y, z) = (r.y, r.z - strip.beside.centre_z);
        let r2 = (y * y + z * z).max(k);
        let beside_body = k > 0.0;
        let strength = if beside_body { strip.beside.gain * k / (r2 * r2) } else { 0.0 };
        Self {
            x: r.x,
            y,
            z: r.z,
            along: strength * (y * y - z * z),
            up: strength * 2.0 * y * z,
            width2: y * y + 0.09 * k,
            travel2: strip.beside.travel * strip.beside.travel,
            beside_body,
        }
    }
}

impl BodyField {
    pub(crate) fn new(
        flow: Vector3<f64>,
        rate: Vector3<f64>,
        onset: f64,
        c: &Coefficients,
        causes: Causes,
    ) -> Self {
        let travel = flow.y.abs() / (flow.x.abs() + 0.2 * flow.y.abs() + 1e-6);
        Self {
            rate,
            sideways: flow.y,
            travel2: travel * travel,
            lee_loss: if causes.has(Cause::LeeLoss) { c.lee_loss } else { 0.0 },
            onset2: onset * onset,
            on: causes.has(Cause::BodyField),
        }
    }

    /// Added to the velocity of the strip relative to the air [m/s].
    ///
    /// Lee share `(1 + y U/root)/2` with `root = sqrt((y U)^2 + 0.09 K U^2)`, times the loss
    /// `t^2/(t^2 + t0^2)`: one quotient.
    #[inline]
    pub(crate) fn at(&self, spot: &FieldSpot) -> Vector3<f64> {
        if !(self.on && spot.beside_body) {
            return Vector3::zeros();
        }
        // speed of the air across the body, towards +y
        let cross = -(self.sideways + self.rate.z * spot.x - self.rate.x * spot.z);
        let root = (spot.width2 * cross * cross + 1e-9).sqrt();
        let t2 = self.travel2 * spot.travel2;
        let lost = self.lee_loss * t2 * (root + spot.y * cross) / (2.0 * root * (t2 + self.onset2));
        let left = (1.0 - lost) * cross;
        Vector3::new(0.0, left * spot.along, left * spot.up)
    }
}
