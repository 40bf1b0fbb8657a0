use nalgebra::Vector3;

use crate::causes::{Cause, Causes};
use crate::coefficients::Coefficients;
use crate::four::Four;
use crate::lattice::Lattice;
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

/// What the places of four strips against the body fix once and for all.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct FieldSpots {
    x: Four,
    y: Four,
    z: Four,
    /// Speed along chord and normal per speed of the cross flow; 0 where there is no body.
    pub(crate) along: Four,
    pub(crate) across: Four,
    /// y^2 and a little, over which the change from windward to lee is smoothed [m^2].
    width2: Four,
    travel2: Four,
    /// Share of the lee's loss that acts here.
    lee: Four,
    /// Speed along the normal, per speed of the cross flow, that the neighbours take off before it separates a strip.
    eased: Four,
}

impl FieldSpots {
    pub(crate) fn of(strips: [&Strip; 4]) -> Self {
        let number = |f: &dyn Fn(&Strip) -> f64| Four::of(|k| f(strips[k]));
        Self {
            x: number(&|s| s.position.x),
            y: number(&|s| s.position.y),
            z: number(&|s| s.position.z),
            along: number(&|s| doublet(s).dot(&s.chord_dir)),
            across: number(&|s| doublet(s).dot(&s.normal)),
            width2: number(&|s| s.position.y * s.position.y + 0.09 * s.beside.doublet),
            travel2: number(&|s| s.beside.travel * s.beside.travel),
            lee: number(&|s| s.beside.lee),
            eased: number(&|s| s.beside.eased),
        }
    }
}

/// Velocity at a strip per speed of the cross flow, in the whole doublet.
fn doublet(strip: &Strip) -> Vector3<f64> {
    let (r, k) = (strip.position, strip.beside.doublet);
    if k <= 0.0 {
        return Vector3::zeros();
    }
    let (y, z) = (r.y, r.z - strip.beside.centre_z);
    let r2 = (y * y + z * z).max(k);
    let strength = strip.beside.gain * k / (r2 * r2);
    Vector3::new(0.0, strength * (y * y - z * z), strength * 2.0 * y * z)
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

    /// Speed of the air across the body, towards +y, as the doublet at each strip sees it [m/s].
    ///
    /// Lee share `(1 + y U/root)/2` with `root = sqrt((y U)^2 + 0.09 K U^2)`, times the loss
    /// `t^2/(t^2 + t0^2)`: one quotient.
    #[inline]
    pub(crate) fn at(&self, spots: &FieldSpots) -> Four {
        if !self.on {
            return Four::default();
        }
        let cross = self.cross(spots);
        let root = (spots.width2 * cross * cross + 1e-9).sqrt();
        let t2 = self.travel2 * spots.travel2;
        let lost =
            self.lee_loss * spots.lee * t2 * (root + spots.y * cross) / (2.0 * root * (t2 + self.onset2));
        (1.0 - lost) * cross
    }

    /// What the strips' neighbours take off the speeds along their normals before they separate [m/s].
    #[inline]
    pub(crate) fn eased(&self, spots: &FieldSpots) -> Four {
        if self.on { self.cross(spots) * spots.eased } else { Four::default() }
    }

    #[inline]
    fn cross(&self, spots: &FieldSpots) -> Four {
        -(self.sideways + self.rate.z * spots.x - self.rate.x * spots.z)
    }
}

/// Tells wing strips how much of the field their neighbours take off before it separates them: the upwash beside the
/// body is steep and narrow, and a wing spreads its lift over more than that.
pub(crate) fn ease(wings: &mut [Strip], lattice: &Lattice, c: &Coefficients) {
    let whole: Vec<f64> = wings.iter().map(|s| doublet(s).dot(&s.normal)).collect();
    for ((strip, whole), felt) in wings.iter_mut().zip(&whole).zip(lattice.felt(&whole)) {
        strip.beside.eased = c.eased_upwash * (whole - felt);
    }
}
