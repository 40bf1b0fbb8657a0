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
    /// Radii of sideways travel per radius moved back from the nose.
    travel_rate: f64,
    lee_loss: f64,
    onset2: f64,
    on: bool,
}

impl BodyField {
    pub(crate) fn new(
        flow: Vector3<f64>,
        rate: Vector3<f64>,
        onset: f64,
        c: &Coefficients,
        causes: Causes,
    ) -> Self {
        Self {
            rate,
            sideways: flow.y,
            travel_rate: flow.y.abs() / (flow.x.abs() + 0.2 * flow.y.abs() + 1e-6),
            lee_loss: if causes.has(Cause::LeeLoss) { c.lee_loss } else { 0.0 },
            onset2: onset * onset,
            on: causes.has(Cause::BodyField),
        }
    }

    /// Added to the velocity of the strip relative to the air [m/s].
    #[inline]
    pub(crate) fn at(&self, strip: &Strip) -> Vector3<f64> {
        let k = strip.beside.doublet;
        if !self.on || k <= 0.0 {
            return Vector3::zeros();
        }
        let r = strip.position;
        let (y, z) = (r.y, r.z - strip.beside.centre_z);
        // speed of the air across the body, towards +y
        let cross = -(self.sideways + self.rate.z * r.x - self.rate.x * r.z);
        let r2 = (y * y + z * z).max(k);
        let across = y * cross;
        let lee = 0.5 * (1.0 + across / (across * across + 0.09 * k * cross * cross + 1e-9).sqrt());
        let t = self.travel_rate * strip.beside.travel;
        let t2 = t * t;
        let loss = self.lee_loss * t2 / (t2 + self.onset2) * lee;
        let f = (1.0 - loss) * k * cross / (r2 * r2);
        Vector3::new(0.0, f * (y * y - z * z), 2.0 * f * y * z)
    }
}
