use core::f64::consts::PI;

use nalgebra::{DMatrix, Vector3};

use crate::causes::Cause;
use crate::instant::Instant;
use crate::model::Model;
use crate::strip::Strip;
use crate::wake_loss::pressure_left;
use crate::wing::multiply;

/// The wake's nodes: every distinct end of a bound vortex once, so that neighbours share a leg.
#[derive(Debug, Clone, PartialEq)]
pub struct WakeGrid {
    nodes: Vec<Vector3<f64>>,
    /// Start and end node of every wing strip.
    ends: Vec<(usize, usize)>,
}

impl WakeGrid {
    /// Of the wing strips.
    #[must_use]
    pub fn new(wings: &[Strip]) -> Self {
        let mut nodes: Vec<Vector3<f64>> = Vec::new();
        let mut find = |p: Vector3<f64>| {
            nodes.iter().position(|n| (n - p).abs().sum() < 1e-9).unwrap_or_else(|| {
                nodes.push(p);
                nodes.len() - 1
            })
        };
        let ends = wings.iter().map(|s| (find(s.start), find(s.end))).collect();
        Self { nodes, ends }
    }
}

/// The wake as the tail sees it: its direction, what each unit of wing strength induces at each
/// tail strip, and the pressure left there. Sampled once per tick and held over it; strengths
/// stay continuous.
#[derive(Debug, Clone, PartialEq)]
pub struct Wake {
    direction: Vector3<f64>,
    /// Rows: x, y, z of every tail strip; columns: wing strips.
    induced: DMatrix<f64>,
    /// Share of the dynamic pressure left at every tail strip.
    pub(crate) pressure: Vec<f64>,
    spokes: Vec<Spoke>,
}

/// A node seen from a tail strip.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Spoke {
    to: Vector3<f64>,
    length: f64,
    leg: Vector3<f64>,
}

impl Wake {
    /// Room for the wake of `model`, blowing straight aft.
    #[must_use]
    pub fn new(model: &Model) -> Self {
        let (wings, tail) = (model.wing_strips, model.strips.len() - model.wing_strips);
        Self {
            direction: -Vector3::x(),
            induced: DMatrix::zeros(3 * tail, wings),
            pressure: vec![0.0; tail],
            spokes: vec![Spoke::default(); model.grid.nodes.len()],
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
        let acts = at.causes.has(Cause::WingWake);
        if !acts {
            self.induced.fill(0.0);
        }
        for (k, strip) in model.strips[model.wing_strips..].iter().enumerate() {
            self.pressure[k] = pressure_left(
                strip.position,
                direction,
                &model.wake_rows,
                &model.body_wake,
                acts,
                &model.coefficients,
            );
            if acts {
                self.look_from(model, strip.position);
                self.fill_rows(model, k);
            }
        }
    }

    fn look_from(&mut self, model: &Model, point: Vector3<f64>) {
        let dir = self.direction;
        for (spoke, node) in self.spokes.iter_mut().zip(&model.grid.nodes) {
            let to = point - node;
            let length = to.norm();
            // the core belongs in every leg: legs sweep past the tail
            let leg = dir.cross(&to) / (length * (length - to.dot(&dir)) + model.core2);
            *spoke = Spoke { to, length, leg };
        }
    }

    fn fill_rows(&mut self, model: &Model, k: usize) {
        let rows = self.induced.nrows();
        let cells = self.induced.as_mut_slice();
        for (j, &(start, end)) in model.grid.ends.iter().enumerate() {
            let (a, b) = (&self.spokes[start], &self.spokes[end]);
            let sum = a.length + b.length;
            let product = a.length * b.length;
            let bound = a.to.cross(&b.to)
                * (sum / (product * (product + a.to.dot(&b.to)) + model.core2 * sum * sum * 0.5));
            let v = (b.leg - a.leg + bound) / (4.0 * PI);
            let cell = j * rows + 3 * k;
            cells[cell..cell + 3].copy_from_slice(v.as_slice());
        }
    }

    /// Velocity of the air that the wake of `strengths` induces at the tail strips: x, y, z of
    /// each in turn [m/s].
    pub(crate) fn induce(&self, strengths: &[f64], out: &mut [f64]) {
        multiply(&self.induced, strengths, out);
    }
}

/// Where the wake of `strengths` goes: with the stream, and down with its own downwash between
/// wing and tail.
pub(crate) fn direction(model: &Model, at: &Instant, strengths: &[f64], work: &mut [f64]) -> Vector3<f64> {
    let flow = at.velocity - at.air;
    let speed = flow.norm() + 1e-6;
    let mut dir = downstream(-flow / speed);
    if at.causes.has(Cause::WingWake) {
        multiply(&model.lattice.downwash, strengths, work);
        let sum: f64 = work.iter().zip(&model.strips).map(|(w, s)| w * s.area).sum();
        let downwash = sum / model.wing_area;
        let sink = (model.coefficients.wake_sink * downwash / speed).clamp(-0.3, 0.3);
        dir = downstream(dir - model.wing_normal * sink);
    }
    dir
}

/// Keeps a direction behind the wing, and of unit length.
fn downstream(dir: Vector3<f64>) -> Vector3<f64> {
    let dir = Vector3::new(dir.x.min(-0.2), dir.y, dir.z);
    dir / dir.norm()
}
