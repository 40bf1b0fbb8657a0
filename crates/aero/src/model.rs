//! An airframe ready for its forces to be asked for, and the room they are calculated in.

use airframe::{DoorShape, DragPoint};
use nalgebra::Vector3;

use crate::abreast::Abreast;
use crate::body::{BodyStrip, Slices};
use crate::coefficients::Coefficients;
use crate::flap::{FlapGroup, FlapState};
use crate::four::Four;
use crate::lattice::Lattice;
use crate::propulsor::{Propulsor, Thrust};
use crate::response::Response;
use crate::section::SectionFlow;
use crate::strip::Strip;
use crate::wake::{Wake, WakeGrid};
use crate::wake_loss::{BodyWake, LossSpot, WakeRow};
use crate::wash::Wash;

/// The most wing strips a model may have: lagged wake strengths travel in a fixed-size array.
pub const MAX_WING_STRIPS: usize = 48;

/// Everything that makes a [`Model`], from measurements ([`Model::prepare`]) or raw. Body axes
/// about the centre of mass, SI.
#[derive(Debug, Clone, PartialEq)]
pub struct Parts {
    /// Wing strips first, then tailplane, fin, lower fin.
    pub strips: Vec<Strip>,
    /// The wings' vortex lattice.
    pub lattice: Lattice,
    /// The fuselage.
    pub body: Vec<BodyStrip>,
    /// The wing's wash along it.
    pub wash: Wash,
    /// Viscous wakes of the wings.
    pub wake_rows: Vec<WakeRow>,
    /// Viscous wake of the body.
    pub body_wake: BodyWake,
    /// Things that only make drag.
    pub drag_points: Vec<DragPoint>,
    /// Doors.
    pub doors: Vec<DoorShape>,
    /// Propeller or fan; `None`: removed.
    pub propulsor: Option<Propulsor>,
    /// Travel in radii at which half of the lee loss is reached.
    pub lee_onset: f64,
    /// Core radius of the wake's legs at the tail \[m\].
    pub core: f64,
    /// Strength of the skewed wake.
    pub skew_strength: f64,
    /// Distance over which the wake travels from wing to tail \[m\].
    pub lag_length: f64,
    /// The empirical numbers it was made with.
    pub coefficients: Coefficients,
}

/// An airframe ready for its forces to be asked for: its parts, and what follows from them.
#[derive(Debug, Clone, PartialEq)]
pub struct Model {
    pub(crate) parts: Parts,
    /// The first so many strips are wing.
    pub(crate) wing_strips: usize,
    pub(crate) grid: WakeGrid,
    /// The tail strips in the viscous wakes.
    pub(crate) loss_spots: Vec<LossSpot>,
    pub(crate) response: Response,
    /// The strips, four by four.
    pub(crate) wings: Vec<Abreast>,
    pub(crate) tail: Vec<Abreast>,
    /// The body, four slices at a time.
    pub(crate) body: Vec<Slices>,
    pub(crate) flap_groups: Vec<FlapGroup>,
    pub(crate) wing_normal: Vector3<f64>,
}

/// What an evaluation says besides forces and moments.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Outcome {
    /// What the propeller does.
    pub thrust: Thrust,
    /// Torque of the motor [N m].
    pub motor_torque: f64,
}

/// Room to calculate in; holds no state between evaluations but the wake strengths of the last.
#[derive(Debug, Clone)]
pub struct Scratch {
    pub(crate) room: Room,
    pub(crate) steady: Wake,
}

/// What an evaluation writes down on its way.
#[derive(Debug, Clone)]
pub(crate) struct Room {
    pub(crate) flaps: Vec<FlapState>,
    pub(crate) flows: Vec<SectionFlow>,
    pub(crate) separated: Vec<Four>,
    pub(crate) wash: Vec<f64>,
    pub(crate) calm: Vec<f64>,
    /// Strengths, then downwash, of the loaded lattice; and what its skew changes in them.
    pub(crate) response: Vec<f64>,
    pub(crate) skewed: Vec<f64>,
    pub(crate) circulation: Vec<f64>,
    /// What the wake does to the speeds of the tail strips along their chords, then along normals.
    pub(crate) tail_air: Vec<f64>,
    pub(crate) body_wash: Vec<f64>,
}

impl Scratch {
    /// Room for `model`.
    #[must_use]
    pub fn new(model: &Model) -> Self {
        let (wings, tail) = (model.wings.len(), model.tail.len());
        let zeros = |fours: usize| vec![0.0; 4 * fours];
        let room = Room {
            flaps: vec![FlapState::default(); model.flap_groups.len()],
            flows: vec![SectionFlow::default(); wings],
            separated: vec![Four::default(); wings],
            wash: zeros(wings),
            calm: zeros(wings),
            response: zeros(2 * wings),
            skewed: zeros(2 * wings),
            circulation: vec![0.0; model.wing_strips],
            tail_air: zeros(2 * tail),
            body_wash: vec![0.0; 4 * model.body.len() + 1],
        };
        Self { room, steady: Wake::new(model) }
    }

    /// Strengths of the wings' wake at the last evaluation [m^2/s], strip by strip.
    #[must_use]
    pub fn circulation(&self) -> &[f64] {
        &self.room.circulation
    }
}

impl Model {
    /// Adds what follows from the parts.
    #[must_use]
    pub fn assemble(parts: Parts) -> Self {
        let wing_strips = parts.strips.iter().filter(|s| s.part.is_wing()).count();
        let (wings, tail) = parts.strips.split_at(wing_strips);
        let normal: Vector3<f64> = wings.iter().map(|s| s.normal * s.area).sum();
        let (flap_groups, groups) = group_flaps(&parts);
        let propulsor = parts.propulsor.as_ref();
        let fours = |strips: &[Strip], first: usize| {
            Abreast::all(strips, first, &groups, propulsor, &parts.coefficients)
        };
        let (wing_fours, tail_fours) = (fours(wings, 0), fours(tail, wing_strips));
        Self {
            wing_strips,
            grid: WakeGrid::new(wings, tail, &parts.lattice, parts.core),
            loss_spots: tail.iter().map(|s| loss_spot(s, &parts)).collect(),
            response: Response::of(&parts.lattice),
            wings: wing_fours,
            tail: tail_fours,
            body: Slices::all(&parts.body, &parts.wash, propulsor),
            flap_groups,
            wing_normal: normal / (normal.norm_squared() + 1e-12).sqrt(),
            parts,
        }
    }

    /// What it was made of.
    #[must_use]
    pub const fn parts(&self) -> &Parts {
        &self.parts
    }

    /// The first so many strips are wing.
    #[must_use]
    pub const fn wing_strips(&self) -> usize {
        self.wing_strips
    }

    /// The same airframe with its propeller or fan taken off.
    #[must_use]
    pub fn without_propulsor(&self) -> Self {
        Self::assemble(Parts { propulsor: None, ..self.parts.clone() })
    }
}

fn loss_spot(strip: &Strip, parts: &Parts) -> LossSpot {
    let c = &parts.coefficients;
    let factor = if strip.part.is_fin() { c.fin_factor } else { c.tail_factor };
    LossSpot::of(strip.position, &parts.wake_rows, &parts.body_wake, c, factor)
}

/// Strips that share surface, hinge and camber share a group: the groups, and each strip's.
fn group_flaps(parts: &Parts) -> (Vec<FlapGroup>, Vec<usize>) {
    let mut groups: Vec<FlapGroup> = Vec::new();
    let mut find = |strip: &Strip| {
        let group = FlapGroup::of(strip, &parts.coefficients);
        groups.iter().position(|g| *g == group).unwrap_or_else(|| {
            groups.push(group);
            groups.len() - 1
        })
    };
    let of_strips = parts.strips.iter().map(&mut find).collect();
    (groups, of_strips)
}
