use nalgebra::Vector3;

use crate::abreast::Abreast;
use crate::body_field::BodyField;
use crate::body_vortices::BodyVortices;
use crate::coefficients::Coefficients;
use crate::four::{Four, FourVectors};
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

/// Speeds along the chords and along the normals of four strips [m/s].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Speeds {
    pub(crate) along: Four,
    pub(crate) across: Four,
}

impl Speeds {
    /// Whether all are 0.
    #[inline]
    pub(crate) fn none(&self) -> bool {
        self.along == Four::default() && self.across == Four::default()
    }
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

    /// Speeds of four strips relative to the air, taken half a chord behind their quarter chords,
    /// but for the jet: flow, turning `rate x point`, and the field of the body.
    #[inline]
    pub(crate) fn at(&self, four: &Abreast, strips: &[Strip]) -> Speeds {
        let field = self.field.at(&four.field);
        let turning = |arm: &FourVectors| arm.dot(&self.rate);
        let mut speeds = Speeds {
            along: four.chord_dir.dot(&self.flow) + turning(&four.chord_arm) + field * four.field.along,
            across: four.normal.dot(&self.flow) + turning(&four.normal_arm) + field * four.field.across,
        };
        if self.vortices.act() {
            for (k, i) in four.each() {
                let velocity = self.vortices.at(&strips[i]);
                speeds.along.0[k] += velocity.dot(&strips[i].chord_dir);
                speeds.across.0[k] += velocity.dot(&strips[i].normal);
            }
        }
        speeds
    }

    /// What the strips' neighbours take off the speeds along their normals before they separate [m/s].
    #[inline]
    pub(crate) fn eased(&self, four: &Abreast) -> Four {
        self.field.eased(&four.field)
    }

    /// Adds the propeller's jet, if there is one, to the speeds of four strips; returns how much of that
    /// is taken off by its swirl.
    #[inline]
    pub(crate) fn blow(&self, four: &Abreast, speeds: &mut Speeds) -> Speeds {
        match (&self.jet, &four.jet) {
            (Some(jet), Some(spots)) => jet.blow(spots, speeds),
            _ => Speeds::default(),
        }
    }
}
