use nalgebra::Vector3;

use crate::body_field::{BodyField, FieldSpot};
use crate::body_vortices::BodyVortices;
use crate::coefficients::Coefficients;
use crate::instant::Instant;
use crate::jet::{Jet, JetSpot};
use crate::model::Model;
use crate::propulsor::Propulsor;
use crate::strip::Strip;

/// What makes up the flow at a strip, but for the wings' wake.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LocalFlow {
    /// Velocity of the centre of mass relative to the air [m/s].
    pub(crate) flow: Vector3<f64>,
    rate: Vector3<f64>,
    field: BodyField,
    vortices: BodyVortices,
    pub(crate) jet: Option<Jet>,
}

impl LocalFlow {
    pub(crate) fn new(model: &Model, at: &Instant, jet: Option<Jet>) -> Self {
        let flow = at.velocity - at.air;
        let c: &Coefficients = &model.parts.coefficients;
        Self {
            flow,
            rate: at.rate,
            field: BodyField::new(flow, at.rate, model.parts.lee_onset, c, at.causes),
            vortices: BodyVortices::new(flow, at.rate, c),
            jet,
        }
    }

    /// Velocity of a strip relative to the air [m/s], taken half a chord behind its quarter
    /// chord, and the velocity of the turning air that it contains.
    #[inline]
    pub(crate) fn at(&self, strip: &Strip, spot: &Spot) -> (Vector3<f64>, Vector3<f64>) {
        let mut l = self.flow + self.rate.cross(&spot.point) + self.field.at(&spot.field);
        if self.vortices.act() {
            l += self.vortices.at(strip);
        }
        let Some(jet) = &self.jet else { return (l, Vector3::zeros()) };
        let jet = jet.at(strip.part, &spot.jet);
        l += jet.axial - jet.swirl;
        (l, jet.swirl)
    }
}

/// What a strip's place fixes once and for all.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Spot {
    /// Half a chord behind the quarter chord \[m\].
    point: Vector3<f64>,
    field: FieldSpot,
    jet: JetSpot,
    /// Chord cross normal: the axis of the section's moment.
    pub(crate) twist: Vector3<f64>,
    /// Induced drag coefficient per square of the lift coefficient (tail surfaces).
    pub(crate) induced: f64,
}

impl Spot {
    pub(crate) fn of(strip: &Strip, propulsor: Option<&Propulsor>, c: &Coefficients) -> Self {
        let r = strip.position;
        Self {
            point: Vector3::new(r.x - 0.5 * strip.chord, r.y, r.z),
            field: FieldSpot::of(strip),
            jet: propulsor.map_or_else(JetSpot::default, |p| JetSpot::of(r, p)),
            twist: strip.chord_dir.cross(&strip.normal),
            induced: 1.0 / (c.tail_efficiency * core::f64::consts::PI * strip.aspect),
        }
    }
}
