use core::f64::consts::PI;

use nalgebra::{DMatrix, Vector3};

use crate::causes::Cause;
use crate::columns::multiply;
use crate::four::{Four, FourVectors};
use crate::instant::Instant;
use crate::lattice::Lattice;
use crate::local_flow::Speeds;
use crate::model::Model;
use crate::strip::Strip;
use crate::vortex::bound;

/// What of the wake does not depend on where it goes. The ends of the bound vortices are its nodes,
/// every distinct one once, so that neighbours share a leg.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct WakeGrid {
    /// Start and end node of every wing strip.
    ends: Vec<(usize, usize)>,
    /// The nodes as the tail strips see them, four by four: all strips for the first node, then for
    /// the next.
    views: Vec<View>,
    /// What the bound vortices induce, as in [`Wake`].
    bound: DMatrix<f64>,
    /// Mean downwash at the wings per strength [1/m], by strip.
    mean_downwash: Vec<f64>,
}

/// A node as four tail strips see it.
#[derive(Debug, Clone, PartialEq)]
struct View {
    /// From the node to the strips \[m\], and how far.
    to: FourVectors,
    length: Four,
    /// Moments of the strips' chords and normals about the node, over 4 pi: what the leg along `dir`
    /// induces along a chord, `(dir x to)/(4 pi) . chord`, is `dir . (to x chord)/(4 pi)`.
    chord_moment: FourVectors,
    normal_moment: FourVectors,
}

impl WakeGrid {
    /// From wing strips to tail strips; `core`: radius of the wake's vortices \[m\].
    pub(crate) fn new(wings: &[Strip], tail: &[Strip], lattice: &Lattice, core: f64) -> Self {
        let mut nodes: Vec<Vector3<f64>> = Vec::new();
        let mut find = |p: Vector3<f64>| {
            nodes.iter().position(|n| (n - p).abs().sum() < 1e-9).unwrap_or_else(|| {
                nodes.push(p);
                nodes.len() - 1
            })
        };
        let ends = wings.iter().map(|s| (find(s.start), find(s.end))).collect();
        let views = nodes.iter().flat_map(|node| tail.chunks(4).map(|four| View::of(*node, four)));
        let area: f64 = wings.iter().map(|s| s.area).sum();
        let mean = |column: usize| -> f64 {
            let at = lattice.downwash.column(column);
            at.iter().zip(wings).map(|(w, s)| w * s.area).sum::<f64>() / area
        };
        Self {
            ends,
            views: views.collect(),
            bound: bound_field(wings, tail, core * core),
            mean_downwash: (0..wings.len()).map(mean).collect(),
        }
    }
}

impl View {
    fn of(node: Vector3<f64>, four: &[Strip]) -> Self {
        let strip = |k: usize| &four[k.min(four.len() - 1)];
        let to = |k: usize| strip(k).position - node;
        Self {
            to: FourVectors::of(to),
            length: Four::of(|k| to(k).norm()),
            chord_moment: FourVectors::of(|k| to(k).cross(&strip(k).chord_dir) * (0.25 / PI)),
            normal_moment: FourVectors::of(|k| to(k).cross(&strip(k).normal) * (0.25 / PI)),
        }
    }

    /// Speeds that the node's trailing leg along `dir` induces. The core belongs in every leg: legs
    /// sweep past the tail.
    #[inline]
    fn leg(&self, dir: &Vector3<f64>, core2: f64) -> Speeds {
        let k = 1.0 / (self.length * (self.length - self.to.dot(dir)) + core2);
        Speeds { along: k * self.chord_moment.dot(dir), across: k * self.normal_moment.dot(dir) }
    }
}

/// What the bound vortices of the wings induce at the tail strips, rows and columns as in [`Wake`].
fn bound_field(wings: &[Strip], tail: &[Strip], core2: f64) -> DMatrix<f64> {
    let rows = tail.len().next_multiple_of(4);
    let mut field = DMatrix::zeros(2 * rows, wings.len());
    for (j, wing) in wings.iter().enumerate() {
        for (k, strip) in tail.iter().enumerate() {
            let v = bound(strip.position, wing.start, wing.end, core2) * (0.25 / PI);
            field[(k, j)] = v.dot(&strip.chord_dir);
            field[(rows + k, j)] = v.dot(&strip.normal);
        }
    }
    field
}

/// The wake as the tail sees it: its direction, what each unit of wing strength induces at each
/// tail strip, and the pressure left there. Sampled once per tick and held over it; strengths
/// stay continuous.
#[derive(Debug, Clone, PartialEq)]
pub struct Wake {
    direction: Vector3<f64>,
    /// Rows: speeds along the chords of all tail strips, filled up to whole fours, then along their
    /// normals; columns: wing strips.
    induced: DMatrix<f64>,
    /// Share of the dynamic pressure left at every tail strip.
    pub(crate) pressure: Vec<f64>,
    /// What the trailing legs induce, in the order of the grid's views.
    legs: Vec<Speeds>,
}

impl Wake {
    /// Room for the wake of `model`, blowing straight aft.
    #[must_use]
    pub fn new(model: &Model) -> Self {
        let rows = 4 * model.tail.len();
        Self {
            direction: -Vector3::x(),
            induced: DMatrix::zeros(2 * rows, model.wing_strips),
            pressure: vec![0.0; rows],
            legs: vec![Speeds::default(); model.grid.views.len()],
        }
    }

    /// Unit vector along which the wake leaves, body axes.
    #[must_use]
    pub const fn direction(&self) -> Vector3<f64> {
        self.direction
    }

    /// Lays the wake along `direction`. With the cause switched off it induces nothing.
    pub(crate) fn lay(&mut self, model: &Model, at: &Instant, direction: Vector3<f64>) {
        self.direction = direction;
        if self.legs.is_empty() {
            return; // no tail, or no wing
        }
        let acts = at.causes.has(Cause::WingWake);
        for (pressure, spot) in self.pressure.iter_mut().zip(&model.loss_spots) {
            *pressure = spot.pressure_left(&direction, acts);
        }
        if acts {
            let core2 = model.parts.core * model.parts.core;
            for (leg, view) in self.legs.iter_mut().zip(&model.grid.views) {
                *leg = view.leg(&direction, core2);
            }
            self.add_up(&model.grid, model.tail.len());
        } else {
            self.induced.fill(0.0);
        }
    }

    /// Every strip of the wing: its bound vortex, the leg of its end, less the leg of its start.
    fn add_up(&mut self, grid: &WakeGrid, fours: usize) {
        let rows = 8 * fours;
        let columns = self.induced.as_mut_slice().chunks_exact_mut(rows);
        let bound = grid.bound.as_slice().chunks_exact(rows);
        for ((column, bound), &(start, end)) in columns.zip(bound).zip(&grid.ends) {
            let from = &self.legs[start * fours..(start + 1) * fours];
            let to = &self.legs[end * fours..(end + 1) * fours];
            for (i, (from, to)) in from.iter().zip(to).enumerate() {
                (to.along - from.along + Four::read(bound, i)).write(column, i);
                (to.across - from.across + Four::read(bound, fours + i)).write(column, fours + i);
            }
        }
    }

    /// What the wake of `strengths` induces at the tail strips: speeds along their chords, then along
    /// their normals [m/s].
    pub(crate) fn induce(&self, strengths: &[f64], out: &mut [f64]) {
        multiply(&self.induced, strengths, out);
    }
}

/// Where the wake of `strengths` goes: with the stream, and down with its own downwash between
/// wing and tail.
pub(crate) fn direction(model: &Model, at: &Instant, strengths: &[f64]) -> Vector3<f64> {
    let flow = at.velocity - at.air;
    let speed = flow.norm() + 1e-6;
    let mut dir = downstream(-flow / speed);
    if at.causes.has(Cause::WingWake) {
        let downwash: f64 = model.grid.mean_downwash.iter().zip(strengths).map(|(w, g)| w * g).sum();
        let sink = (model.parts.coefficients.wake_sink * downwash / speed).clamp(-0.3, 0.3);
        dir = downstream(dir - model.wing_normal * sink);
    }
    dir
}

/// Keeps a direction behind the wing, and of unit length.
fn downstream(dir: Vector3<f64>) -> Vector3<f64> {
    let dir = Vector3::new(dir.x.min(-0.2), dir.y, dir.z);
    dir / dir.norm()
}
