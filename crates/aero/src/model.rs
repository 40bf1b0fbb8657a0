use airframe::{Geometry, Part};
use nalgebra::Vector3;

use crate::body::{self, BodyStrip, body_strips, faces, jet_gains};
use crate::coefficients::Coefficients;
use crate::fittings::{self, Door, DragItem};
use crate::flap::{FlapGroup, FlapState};
use crate::instant::Instant;
use crate::jet::Jet;
use crate::lattice::Lattice;
use crate::local_flow::{LocalFlow, Spot};
use crate::propulsor::{Propulsor, Thrust};
use crate::section::SectionFlow;
use crate::strip::Strip;
use crate::swirl_shares::SwirlShares;
use crate::tail;
use crate::tally::Tally;
use crate::wake::{self, Wake, WakeGrid};
use crate::wake_loss::{BodyWake, WakeRow};
use crate::wash::Wash;
use crate::wing;

/// The most wing strips a model may have: lagged wake strengths travel in a fixed-size array.
pub const MAX_WING_STRIPS: usize = 48;

/// An airframe ready for its forces to be asked for. Body axes about the centre of mass, SI.
#[derive(Debug, Clone, PartialEq)]
pub struct Model {
    /// Wing strips first, then tailplane, fin, lower fin.
    pub strips: Vec<Strip>,
    /// The first so many strips are wing.
    pub wing_strips: usize,
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
    pub drag_items: Vec<DragItem>,
    /// Doors.
    pub doors: Vec<Door>,
    /// Propeller or fan; `None`: removed. Its place and size are used in numbers made beforehand:
    /// assemble anew to move it.
    pub propulsor: Option<Propulsor>,
    /// Travel in radii at which half of the lee loss is reached.
    pub lee_onset: f64,
    /// Square of the core radius of the wake's legs at the tail [m^2].
    pub core2: f64,
    /// Strength of the skewed wake.
    pub skew_strength: f64,
    /// Distance over which the wake travels from wing to tail [m].
    pub lag_length: f64,
    /// The empirical numbers it was made with.
    pub coefficients: Coefficients,
    pub(crate) grid: WakeGrid,
    pub(crate) spots: Vec<Spot>,
    pub(crate) body_gain: Vec<f64>,
    pub(crate) groups: Vec<usize>,
    pub(crate) flap_groups: Vec<FlapGroup>,
    pub(crate) wing_area: f64,
    pub(crate) wing_normal: Vector3<f64>,
}

/// Everything of a [`Model`] but what follows from the rest: for building one from raw strips.
#[derive(Debug, Clone, PartialEq)]
pub struct RawModel {
    /// See [`Model::strips`].
    pub strips: Vec<Strip>,
    /// See [`Model::lattice`].
    pub lattice: Lattice,
    /// See [`Model::body`].
    pub body: Vec<BodyStrip>,
    /// See [`Model::wash`].
    pub wash: Wash,
    /// See [`Model::wake_rows`].
    pub wake_rows: Vec<WakeRow>,
    /// See [`Model::body_wake`].
    pub body_wake: BodyWake,
    /// See [`Model::drag_items`].
    pub drag_items: Vec<DragItem>,
    /// See [`Model::doors`].
    pub doors: Vec<Door>,
    /// See [`Model::propulsor`].
    pub propulsor: Option<Propulsor>,
    /// See [`Model::lee_onset`].
    pub lee_onset: f64,
    /// Core radius of the wake's legs at the tail [m].
    pub core: f64,
    /// See [`Model::skew_strength`].
    pub skew_strength: f64,
    /// See [`Model::lag_length`].
    pub lag_length: f64,
    /// See [`Model::coefficients`].
    pub coefficients: Coefficients,
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
    room: Room,
    steady: Wake,
}

/// What an evaluation writes down on its way.
#[derive(Debug, Clone)]
pub(crate) struct Room {
    pub(crate) flaps: Vec<FlapState>,
    pub(crate) flows: Vec<SectionFlow>,
    pub(crate) separated: Vec<f64>,
    pub(crate) wash: Vec<f64>,
    pub(crate) calm: Vec<f64>,
    pub(crate) strength: Vec<f64>,
    pub(crate) work: Vec<f64>,
    pub(crate) circulation: Vec<f64>,
    pub(crate) tail_air: Vec<f64>,
    pub(crate) body_wash: Vec<f64>,
}

impl Scratch {
    /// Room for `model`.
    #[must_use]
    pub fn new(model: &Model) -> Self {
        let (wings, tail) = (model.wing_strips, model.strips.len() - model.wing_strips);
        let zeros = || vec![0.0; wings];
        let room = Room {
            flaps: vec![FlapState::default(); model.flap_groups.len()],
            flows: vec![SectionFlow::default(); wings],
            separated: zeros(),
            wash: zeros(),
            calm: zeros(),
            strength: zeros(),
            work: zeros(),
            circulation: zeros(),
            tail_air: vec![0.0; 3 * tail],
            body_wash: vec![0.0; model.body.len() + 1],
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
    /// Prepares an airframe.
    #[must_use]
    pub fn prepare(geometry: &Geometry, c: &Coefficients) -> Self {
        let mut model = Self::assemble(raw(geometry, c));
        let shares = SwirlShares::of(&mut model, geometry, c);
        if let Some(p) = model.propulsor.as_mut() {
            p.swirl = shares;
        }
        model
    }

    /// Adds what follows from the rest.
    #[must_use]
    pub fn assemble(raw: RawModel) -> Self {
        let wing_strips = raw.strips.iter().filter(|s| s.part.is_wing()).count();
        let wings = &raw.strips[..wing_strips];
        let area: f64 = wings.iter().map(|s| s.area).sum();
        let normal: Vector3<f64> = wings.iter().map(|s| s.normal * s.area).sum();
        let mut flap_groups: Vec<FlapGroup> = Vec::new();
        let groups = raw
            .strips
            .iter()
            .map(|s| {
                let group = FlapGroup::of(s, &raw.coefficients);
                flap_groups.iter().position(|g| *g == group).unwrap_or_else(|| {
                    flap_groups.push(group);
                    flap_groups.len() - 1
                })
            })
            .collect();
        Self {
            wing_strips,
            grid: WakeGrid::new(wings),
            spots: raw
                .strips
                .iter()
                .map(|s| Spot::of(s, raw.propulsor.as_ref(), &raw.coefficients))
                .collect(),
            body_gain: jet_gains(&raw.body, raw.propulsor.as_ref()),
            groups,
            flap_groups,
            wing_area: area,
            wing_normal: normal / (normal.norm_squared() + 1e-12).sqrt(),
            strips: raw.strips,
            lattice: raw.lattice,
            body: raw.body,
            wash: raw.wash,
            wake_rows: raw.wake_rows,
            body_wake: raw.body_wake,
            drag_items: raw.drag_items,
            doors: raw.doors,
            propulsor: raw.propulsor,
            lee_onset: raw.lee_onset,
            core2: raw.core * raw.core,
            skew_strength: raw.skew_strength,
            lag_length: raw.lag_length,
            coefficients: raw.coefficients,
        }
    }

    /// Forces with the wake held in `wake` and its strengths lagged in `strengths` [m^2/s], as in
    /// motion. The strengths that the wing sends out now are left in `scratch`.
    pub fn forces<T: Tally>(
        &self,
        at: &Instant,
        wake: &Wake,
        strengths: &[f64],
        scratch: &mut Scratch,
        tally: &mut T,
    ) -> Outcome {
        let room = &mut scratch.room;
        let (local, outcome) = self.ahead_of_the_tail(at, room, tally);
        wake.induce(strengths, &mut room.tail_air);
        self.behind_the_wing(at, &local, wake, room, tally);
        outcome
    }

    /// Forces with the wake that belongs to this very state: for steady states.
    pub fn forces_steady<T: Tally>(&self, at: &Instant, scratch: &mut Scratch, tally: &mut T) -> Outcome {
        let Scratch { room, steady } = scratch;
        let (local, outcome) = self.ahead_of_the_tail(at, room, tally);
        let direction = wake::direction(self, at, &room.circulation, &mut room.work);
        steady.lay(self, at, direction);
        steady.induce(&room.circulation, &mut room.tail_air);
        self.behind_the_wing(at, &local, steady, room, tally);
        outcome
    }

    /// Lays `wake` for the tick that begins at this state, where the tail sees the lagged
    /// `strengths` [m^2/s].
    pub fn lay_wake(&self, at: &Instant, strengths: &[f64], scratch: &mut Scratch, wake: &mut Wake) {
        let direction = wake::direction(self, at, strengths, &mut scratch.room.work);
        wake.lay(self, at, direction);
    }

    fn ahead_of_the_tail<T: Tally>(&self, at: &Instant, s: &mut Room, tally: &mut T) -> (LocalFlow, Outcome) {
        let mut outcome = Outcome::default();
        let mut jet = None;
        if let Some(p) = &self.propulsor {
            let thrust = p.at(at);
            p.act(at, &thrust, tally);
            jet = Jet::new(p, &thrust, at.density, at.causes);
            outcome = Outcome { thrust, motor_torque: p.motor.torque(at.throttle, at.rotor) };
        }
        let local = LocalFlow::new(self, at, jet);
        for (state, group) in s.flaps.iter_mut().zip(&self.flap_groups) {
            *state = group.state(&at.deflections, &self.coefficients, at.causes);
        }
        wing::act(self, at, &local, s, tally);
        (local, outcome)
    }

    fn behind_the_wing<T: Tally>(
        &self,
        at: &Instant,
        local: &LocalFlow,
        wake: &Wake,
        s: &mut Room,
        tally: &mut T,
    ) {
        tail::act(self, at, local, wake, s, tally);
        body::act(self, at, local, s, tally);
        fittings::act(self, at, tally);
    }
}

/// Everything but the swirl shares, which need forces.
fn raw(geometry: &Geometry, c: &Coefficients) -> RawModel {
    let fin = geometry.planform(Part::Fin).unwrap_or_else(|| geometry.wing());
    let strips: Vec<Strip> = geometry
        .planforms
        .iter()
        .flat_map(|plan| {
            geometry.strips[plan.first_strip..plan.first_strip + plan.strip_count]
                .iter()
                .map(|s| Strip::prepare(s, plan, fin, &geometry.body, c))
        })
        .collect();
    let wings = &strips[..geometry.wing_strips];
    let body = body_strips(geometry, c);
    let wing = geometry.wing();
    RawModel {
        lattice: Lattice::new(wings, c),
        wash: Wash::new(&faces(&geometry.body), &geometry.body, wings, &geometry.wings().collect::<Vec<_>>()),
        wake_rows: geometry.wings().map(wake_row).collect(),
        body_wake: body_wake(geometry, &body, c),
        drag_items: geometry
            .drag_points
            .iter()
            .map(|d| DragItem { position: d.position, drag_area: d.drag_area })
            .collect(),
        doors: geometry
            .doors
            .iter()
            .map(|d| Door {
                hinge: d.hinge,
                area: d.area,
                length: d.length,
                opening: d.opening,
                surface: d.surface,
            })
            .collect(),
        propulsor: Some(Propulsor::prepare(&geometry.propulsor, &geometry.motor, c)),
        lee_onset: c.lee_onset * (2.5 - 2.0 * geometry.body.squareness),
        core: c.wake_core * wing.span(),
        skew_strength: c.wing_skew * (wing.tip_chord / wing.root_chord).min(1.0),
        lag_length: geometry
            .planform(Part::Tailplane)
            .map_or(wing.root_chord, |t| (t.root.x - wing.root.x).abs()),
        coefficients: c.clone(),
        strips,
        body,
    }
}

fn wake_row(wing: &airframe::Planform) -> WakeRow {
    WakeRow {
        edge: wing.root_trailing_edge(),
        z: wing.root.z,
        chord: wing.mean_chord(),
        drag: wing.section.drag.value,
        half_span: wing.half_span(),
    }
}

/// A round wake of 0.6 body heights radius that carries a share of the body's drag: a cos^2
/// deficit over radius R holds pi (1/2 - 2/pi^2) R^2 = 0.934 R^2 of drag area.
fn body_wake(geometry: &Geometry, strips: &[BodyStrip], c: &Coefficients) -> BodyWake {
    let radius = 0.6 * geometry.body.max_height();
    let drag: f64 = strips.iter().map(|s| s.axial_drag).sum();
    let tail = geometry.planform(Part::Tailplane).map_or(0.0, |t| t.root.x);
    BodyWake {
        x: geometry.wing().root.x,
        z: geometry.body.section_at(tail).unwrap_or_default().centre_z,
        radius,
        loss: (c.body_wake * drag / (0.934 * radius * radius)).min(0.45),
    }
}
