use airframe::{BodyLine, Geometry, Part, Planform};
use core::f64::consts::PI;
use nalgebra::Vector3;

use crate::causes::Cause;
use crate::chart::look_up;
use crate::coefficients::Coefficients;
use crate::columns::multiply;
use crate::four::Four;
use crate::instant::Instant;
use crate::jet::gain;
use crate::local_flow::LocalFlow;
use crate::model::{Model, Room};
use crate::propulsor::Propulsor;
use crate::strip::cross_flow_length_factor;
use crate::tally::{Effect, Tally};
use crate::wash::Wash;

/// Number of slices of the body.
pub(crate) const BODY_STRIPS: usize = 14;

/// A slice of the fuselage, body axes. "Side" is the force along y, "lift" along z.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct BodyStrip {
    /// Middle \[m\].
    pub x: f64,
    /// Length \[m\].
    pub length: f64,
    /// Height \[m\].
    pub height: f64,
    /// Width \[m\].
    pub width: f64,
    /// z of the middle of the section \[m\].
    pub z: f64,
    /// Apparent-mass area of the front face against sideways flow [m^2].
    pub side_front: f64,
    /// Of the rear face.
    pub side_rear: f64,
    /// Of the front face against up-and-down flow [m^2].
    pub lift_front: f64,
    /// Of the rear face.
    pub lift_rear: f64,
    /// Cross-flow drag coefficient sideways.
    pub side_drag: f64,
    /// Cross-flow drag coefficient up and down.
    pub lift_drag: f64,
    /// Axial drag area [m^2].
    pub axial_drag: f64,
    /// Share of the potential side force that is kept.
    pub side_kept: f64,
    /// Share of the potential lift that is kept.
    pub lift_kept: f64,
    /// Side-force area that a wing on top or below adds here [m^2].
    pub wing_side: f64,
}

/// x of the faces between the slices, nose to tail \[m\].
pub(crate) fn faces(body: &BodyLine) -> Vec<f64> {
    let step = (body.tail() - body.nose()) / BODY_STRIPS as f64;
    (0..=BODY_STRIPS)
        .map(|i| if i == BODY_STRIPS { body.tail() } else { body.nose() + i as f64 * step })
        .collect()
}

/// Apparent mass of a sharp box against that of an ellipse of the same height `across` the flow
/// and depth `along` it. Fit to tabulated values 1.14, 1.21, 1.36, 1.51, 1.70 at depth over height
/// 0.1, 0.2, 0.5, 1, 2 (from memory).
pub(crate) fn apparent_mass(squareness: f64, across: f64, along: f64) -> f64 {
    1.0 + 0.51 * squareness * libm::pow(along / across.max(0.001), 0.55)
}

/// Drag coefficient of a long box across the flow, by depth over face height. 2.6 at 2/3 and 2.0
/// at 1 from an abstract on rectangular cylinders, the rest from memory.
fn box_drag(ratio: f64) -> f64 {
    const TABLE: [(f64, f64); 8] =
        [(0.0, 2.0), (0.35, 2.3), (0.67, 2.6), (1.0, 2.05), (1.5, 1.75), (2.0, 1.5), (3.0, 1.3), (6.0, 1.0)];
    let Some(i) = TABLE.iter().position(|&(x, _)| x > ratio) else { return TABLE[7].1 };
    if i == 0 {
        return TABLE[0].1;
    }
    let ((x0, y0), (x1, y1)) = (TABLE[i - 1], TABLE[i]);
    y0 + (y1 - y0) / (x1 - x0) * (ratio - x0)
}

/// Slices the body and gives each slice its numbers.
#[must_use]
pub fn body_strips(geometry: &Geometry, c: &Coefficients) -> Vec<BodyStrip> {
    let body = &geometry.body;
    let xs = faces(body);
    let side_end = side_force_end(body, c);
    let mut strips: Vec<BodyStrip> =
        xs.windows(2).map(|x| slice(body, c, x[0], x[1], side_end.kept_to)).collect();
    share_axial_drag(body, &mut strips);
    add_wing_side_force(geometry, c, side_end.handbook, &mut strips);
    // a blunt nose carries the whole force up to its area
    strips[0].side_front = 0.0;
    strips[0].lift_front = 0.0;
    strips
}

fn slice(body: &BodyLine, c: &Coefficients, front: f64, rear: f64, kept_to: f64) -> BodyStrip {
    let x = 0.5 * (front + rear);
    let (f, m, r) = (body.section_held(front), body.section_held(x), body.section_held(rear));
    let square = body.squareness;
    let face = |across: f64, along: f64| apparent_mass(square, across, along) * PI / 4.0 * across * across;
    let cross = |ratio: f64| {
        c.cross_flow * cross_flow_length_factor(body) * (1.2 * (1.0 - square) + square * box_drag(ratio))
    };
    BodyStrip {
        x,
        length: front - rear,
        height: m.height,
        width: m.width,
        z: m.centre_z,
        side_front: face(f.height, f.width),
        side_rear: face(r.height, r.width),
        lift_front: face(f.width, f.height),
        lift_rear: face(r.width, r.height),
        side_drag: cross(m.width / m.height),
        lift_drag: cross(m.height / m.width),
        axial_drag: 0.0,
        side_kept: c.body_side * ((front - kept_to.max(rear)) / (front - rear)).clamp(0.0, 1.0),
        lift_kept: 1.0,
        wing_side: 0.0,
    }
}

/// Axial drag on the frontal area, spread by the surface.
fn share_axial_drag(body: &BodyLine, strips: &mut [BodyStrip]) {
    let skin = |s: &BodyStrip| (s.height + s.width) * s.length;
    let all: f64 = strips.iter().map(skin).sum();
    let drag = 0.8 * body.drag * body.max_height() * body.max_width();
    for strip in strips {
        strip.axial_drag = drag * skin(strip) / all;
    }
}

struct SideForceEnd {
    /// Station up to which the handbook keeps the potential side force.
    handbook: f64,
    /// Station up to which the model keeps it.
    kept_to: f64,
}

/// Where the potential side force of the forebody ends: the handbook's x0 = 0.378 L + 0.527 x1
/// (from memory), x1 where the section area first falls most steeply; the model goes on part of
/// the way from the highest station to there.
fn side_force_end(body: &BodyLine, c: &Coefficients) -> SideForceEnd {
    const GRID: usize = 401;
    let step = (body.tail() - body.nose()) / (GRID - 1) as f64;
    let x = |i: usize| body.nose() + i as f64 * step;
    let area = |i: usize| {
        let h = body.section_held(x(i)).height;
        h * h
    };
    let mut steepest = (0, f64::INFINITY);
    for i in 0..GRID - 1 {
        let fall = area(i + 1) - area(i);
        if fall < steepest.1 {
            steepest = (i, fall);
        }
    }
    let handbook = body.nose() - (0.378 * body.length() + 0.527 * (body.nose() - x(steepest.0)));
    SideForceEnd { handbook, kept_to: handbook + c.body_side_end * (body.highest_station() - handbook) }
}

/// A wing at the bottom or on top acts as a plate on the body: handbook 5.2.2.1 (from memory).
fn add_wing_side_force(geometry: &Geometry, c: &Coefficients, end: f64, strips: &mut [BodyStrip]) {
    let gain = geometry.wings().map(|w| wing_gain(w, &geometry.body, c)).fold(0.0, f64::max);
    let boxed = strips[nearest(strips, end)].side_front;
    let area = boxed + c.wing_side_round * (round_side_area(&geometry.body, end) - boxed);
    let wing = geometry.wing();
    let at_wing = nearest(strips, wing.root.x - 0.25 * wing.root_chord);
    strips[at_wing].wing_side = gain * area;
}

/// Side-force area of a round body of finite length whose height is that at `end` [m^2]: the
/// handbook's (k2 - k1) S0. Source: as above, apparent-mass factors by length over diameter.
fn round_side_area(body: &BodyLine, end: f64) -> f64 {
    const FACTOR: [(f64, f64); 7] =
        [(4.0, 0.77), (5.0, 0.825), (6.0, 0.865), (8.0, 0.91), (10.0, 0.94), (12.0, 0.955), (20.0, 0.975)];
    let slender = body.length() / (body.max_height() * body.max_width()).sqrt();
    let height = body.section_held(end).height;
    look_up(&FACTOR, slender, |r| r.0, |r| r.1) * PI / 4.0 * height * height
}

fn wing_gain(wing: &Planform, body: &BodyLine, c: &Coefficients) -> f64 {
    let section = body.section_at(wing.root.x).unwrap_or_default();
    let low = ((wing.root.z - section.centre_z) / (0.5 * section.height)).clamp(-1.0, 1.0);
    if low > 0.0 { c.low_wing_gain * low } else { -c.high_wing_gain * low }
}

fn nearest(strips: &[BodyStrip], x: f64) -> usize {
    let distance = |i: usize| (strips[i].x - x).abs();
    (1..strips.len()).fold(0, |best, i| if distance(i) < distance(best) { i } else { best })
}

/// Four slices of the body abreast, number by number: what stays the same about them, ready for the
/// loop. Where fewer are left, the last stands in for the missing ones, without forces.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Slices {
    count: usize,
    /// Middle, faces, and z of the middle \[m\].
    x: Four,
    front: Four,
    rear: Four,
    z: Four,
    /// Share of the cross flow that is left at the faces.
    front_open: Four,
    rear_open: Four,
    axial_drag: Four,
    /// Cross-flow drag areas [m^2].
    side_drag: Four,
    lift_drag: Four,
    /// Areas of the potential forces [m^2].
    side_front: Four,
    side_rear: Four,
    lift_front: Four,
    lift_rear: Four,
    wing_side: Four,
    /// Gain of the propeller's jet: 0 ahead of the disc.
    jet_gain: Four,
}

/// Forces on four slices \[N\], kind by kind.
struct SliceForces {
    axial: Four,
    cross_flow: [Four; 2],
    potential: [Four; 2],
}

impl Slices {
    pub(crate) fn all(strips: &[BodyStrip], wash: &Wash, propulsor: Option<&Propulsor>) -> Vec<Self> {
        let open = wash.open.windows(2).collect::<Vec<_>>();
        strips.chunks(4).zip(open.chunks(4)).map(|(four, open)| Self::of(four, open, propulsor)).collect()
    }

    fn of(strips: &[BodyStrip], open: &[&[f64]], propulsor: Option<&Propulsor>) -> Self {
        let count = strips.len();
        let strip = |k: usize| &strips[k.min(count - 1)];
        let number = |f: &dyn Fn(&BodyStrip) -> f64| Four::of(|k| f(strip(k)));
        let area = |f: &dyn Fn(&BodyStrip) -> f64| Four::of(|k| if k < count { f(strip(k)) } else { 0.0 });
        Self {
            count,
            x: number(&|b| b.x),
            front: number(&|b| b.x + 0.5 * b.length),
            rear: number(&|b| b.x - 0.5 * b.length),
            z: number(&|b| b.z),
            front_open: Four::of(|k| open[k.min(count - 1)][0]),
            rear_open: Four::of(|k| open[k.min(count - 1)][1]),
            axial_drag: area(&|b| b.axial_drag),
            side_drag: area(&|b| b.side_drag * b.height * b.length),
            lift_drag: area(&|b| b.lift_drag * b.width * b.length),
            side_front: area(&|b| b.side_kept * b.side_front),
            side_rear: area(&|b| b.side_kept * b.side_rear),
            lift_front: area(&|b| b.lift_kept * b.lift_front),
            lift_rear: area(&|b| b.lift_kept * b.lift_rear),
            wing_side: area(&|b| b.wing_side),
            jet_gain: number(&|b| propulsor.map_or(0.0, |p| jet_gain(b, p))),
        }
    }

    /// Forces in the flow `u` of the centre of mass, turning at `om`, with the wing's downwash at the
    /// faces; `whole`: not only the axial drag.
    #[inline]
    fn forces(&self, at: &Instant, local: &LocalFlow, whole: bool, downwash: [Four; 2]) -> SliceForces {
        let (u, om) = (local.flow, at.rate);
        let along = u.x + om.y * self.z + local.jet.map_or(0.0, |jet| jet.added(1.0)) * self.jet_gain;
        let axial = -0.5 * at.density * self.axial_drag * along * along.abs();
        if !whole {
            return SliceForces { axial, cross_flow: [Four::default(); 2], potential: [Four::default(); 2] };
        }
        let (side, up) = (u.y + om.z * self.x - om.x * self.z, u.z - om.y * self.x);
        let lift_at = |x: Four, wash: Four, open: Four| (u.z - om.y * x - wash) * open;
        let side_at = |x: Four| u.y + om.z * x - om.x * self.z;
        let lift_front = lift_at(self.front, downwash[0], self.front_open);
        let lift_rear = lift_at(self.rear, downwash[1], self.rear_open);
        let cross2 = side * side + up * up;
        let drag = -0.5 * at.density * cross2.sqrt();
        let cross_flow =
            [drag * self.side_drag * side, drag * self.lift_drag * 0.5 * (lift_front + lift_rear)];
        let q = along * along;
        let flow = q / (q + cross2 + 1e-9) * at.density * along;
        let pushed = self.side_rear * side_at(self.rear) - self.side_front * side_at(self.front);
        let potential = [
            -flow * (pushed + self.wing_side * side),
            -flow * (self.lift_rear * lift_rear - self.lift_front * lift_front),
        ];
        SliceForces { axial, cross_flow, potential }
    }

    #[inline]
    fn act<T: Tally>(&self, forces: &SliceForces, tally: &mut T) {
        let SliceForces { axial, cross_flow, potential } = forces;
        if T::TELLS_APART {
            for k in 0..self.count {
                let here = Vector3::new(self.x.0[k], 0.0, self.z.0[k]);
                let axial = Vector3::new(axial.0[k], 0.0, 0.0);
                let across = |[side, lift]: &[Four; 2]| Vector3::new(0.0, side.0[k], lift.0[k]);
                let kinds = [
                    (Effect::BodyAxial, axial),
                    (Effect::BodyCrossFlow, across(cross_flow)),
                    (Effect::BodyPotential, across(potential)),
                ];
                for (effect, force) in kinds {
                    tally.add(Part::Body, effect, force, here, Vector3::zeros());
                }
            }
        } else {
            let (side, lift) = (cross_flow[0] + potential[0], cross_flow[1] + potential[1]);
            let force = Vector3::new(axial.sum(), side.sum(), lift.sum());
            // place x force, with y = 0
            let moment = Vector3::new(
                -(self.z * side).sum(),
                (self.z * *axial - self.x * lift).sum(),
                (self.x * side).sum(),
            );
            tally.add(Part::Body, Effect::BodyPotential, force, Vector3::zeros(), moment);
        }
    }
}

/// Forces on the body. Potential part: Munk, NACA Report 184 (title; form from memory); in the
/// wing's field, Multhopp, NACA TM 1036 (secondary text, form from memory). Cross flow: Allen and
/// Perkins, NACA Report 1048 (secondary text, form from memory).
pub(crate) fn act<T: Tally>(model: &Model, at: &Instant, local: &LocalFlow, s: &mut Room, tally: &mut T) {
    let whole = at.causes.has(Cause::BodyForces);
    if whole {
        let faces = model.parts.wash.field.nrows();
        let circulation = &s.circulation[..model.wing_strips];
        multiply(&model.parts.wash.field, circulation, &mut s.body_wash[..faces]);
    }
    for (i, slices) in model.body.iter().enumerate() {
        // the rear face of a slice is the front face of the next
        let downwash = [Four::read(&s.body_wash, i), Four::read(&s.body_wash[1..], i)];
        slices.act(&slices.forces(at, local, whole, downwash), tally);
    }
}

/// Gain of the propeller's jet at a slice: 0 ahead of the disc.
fn jet_gain(b: &BodyStrip, p: &Propulsor) -> f64 {
    let behind = p.hub.x - b.x;
    if behind >= 0.0 { gain(behind, 0.5 * p.diameter) } else { 0.0 }
}
