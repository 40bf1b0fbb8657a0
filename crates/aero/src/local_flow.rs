use nalgebra::Vector3;

use crate::body_field::BodyField;
use crate::body_vortices::BodyVortices;
use crate::coefficients::Coefficients;
use crate::instant::Instant;
use crate::jet::Jet;
use crate::model::Model;
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
        let c: &Coefficients = &model.coefficients;
        Self {
            flow,
            rate: at.rate,
            field: BodyField::new(flow, at.rate, model.lee_onset, c, at.causes),
            vortices: BodyVortices::new(flow, at.rate, c),
            jet,
        }
    }

    /// Velocity of a strip relative to the air [m/s], taken half a chord behind its quarter
    /// chord, and the velocity of the turning air that it contains.
    #[inline]
    pub(crate) fn at(&self, strip: &Strip) -> (Vector3<f64>, Vector3<f64>) {
        let r = strip.position;
        let p = Vector3::new(r.x - 0.5 * strip.chord, r.y, r.z);
        let mut l = self.flow + self.rate.cross(&p) + self.field.at(strip) + self.vortices.at(strip);
        let Some(jet) = &self.jet else { return (l, Vector3::zeros()) };
        let jet = jet.at(strip.part, r);
        l += jet.axial - jet.swirl;
        (l, jet.swirl)
    }
}
