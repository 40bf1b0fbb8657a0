use core::f64::consts::PI;

use nalgebra::{DMatrix, Vector3};

use crate::causes::Cause;
use crate::coefficients::Coefficients;
use crate::columns::multiply;
use crate::instant::Instant;
use crate::model::Model;
use crate::strip::Strip;
use crate::wake_loss::pressure_left;

/// The wake's nodes: every distinct end of a bound vortex once, so that neighbours share a leg.
#[derive(Debug, Clone, PartialEq)]
pub struct WakeGrid {
    xs: Vec<f64>,
    ys: Vec<f64>,
    zs: Vec<f64>,
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
        let along = |axis: usize| nodes.iter().map(|n| n[axis]).collect();
        Self { xs: along(0), ys: along(1), zs: along(2), ends }
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
    spokes: Spokes,
}

/// All nodes seen from one tail strip, number by number so that the loops over them are wide.
#[derive(Debug, Clone, PartialEq)]
struct Spokes {
    /// From the node to the strip \[m\], and how far.
    to: [Vec<f64>; 3],
    length: Vec<f64>,
    /// What the node's trailing leg induces, times 4 pi.
    leg: [Vec<f64>; 3],
}

impl Spokes {
    fn new(count: usize) -> Self {
        let zeros = || vec![0.0; count];
        Self { to: [zeros(), zeros(), zeros()], length: zeros(), leg: [zeros(), zeros(), zeros()] }
    }

    /// Looks from `point` at all nodes, whose legs run along `dir`. The core belongs in every leg:
    /// legs sweep past the tail.
    fn look(&mut self, grid: &WakeGrid, point: Vector3<f64>, dir: Vector3<f64>, core2: f64) {
        let n = self.length.len();
        let [tx, ty, tz] = self.to.each_mut().map(|v| &mut v[..n]);
        let [lx, ly, lz] = self.leg.each_mut().map(|v| &mut v[..n]);
        let (xs, ys, zs, length) = (&grid.xs[..n], &grid.ys[..n], &grid.zs[..n], &mut self.length[..n]);
        for i in 0..n {
            let (x, y, z) = (point.x - xs[i], point.y - ys[i], point.z - zs[i]);
            let r = (x * x + y * y + z * z).sqrt();
            let k = 1.0 / (r * (r - (x * dir.x + y * dir.y + z * dir.z)) + core2);
            (tx[i], ty[i], tz[i], length[i]) = (x, y, z, r);
            lx[i] = k * (dir.y * z - dir.z * y);
            ly[i] = k * (dir.z * x - dir.x * z);
            lz[i] = k * (dir.x * y - dir.y * x);
        }
    }

    fn to(&self, i: usize) -> Vector3<f64> {
        Vector3::new(self.to[0][i], self.to[1][i], self.to[2][i])
    }

    fn leg(&self, i: usize) -> Vector3<f64> {
        Vector3::new(self.leg[0][i], self.leg[1][i], self.leg[2][i])
    }
}

impl Wake {
    /// Room for the wake of `model`, blowing straight aft.
    #[must_use]
    pub fn new(model: &Model) -> Self {
        let (wings, tail) = (model.wing_strips, model.parts.strips.len() - model.wing_strips);
        Self {
            direction: -Vector3::x(),
            induced: DMatrix::zeros(3 * tail, wings),
            pressure: vec![0.0; tail],
            spokes: Spokes::new(model.grid.xs.len()),
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
        for (k, strip) in model.parts.strips[model.wing_strips..].iter().enumerate() {
            self.pressure[k] = pressure_left(
                strip.position,
                direction,
                &model.parts.wake_rows,
                &model.parts.body_wake,
                acts,
                &model.parts.coefficients,
                factor(strip, &model.parts.coefficients),
            );
            if acts {
                self.spokes.look(&model.grid, strip.position, direction, model.core2);
                self.fill_rows(model, k);
            }
        }
    }

    fn fill_rows(&mut self, model: &Model, k: usize) {
        let rows = self.induced.nrows();
        let cells = self.induced.as_mut_slice();
        for (j, &(start, end)) in model.grid.ends.iter().enumerate() {
            let (to_a, to_b) = (self.spokes.to(start), self.spokes.to(end));
            let (a, b) = (self.spokes.length[start], self.spokes.length[end]);
            let (sum, product) = (a + b, a * b);
            let bound = to_a.cross(&to_b)
                * (sum / (product * (product + to_a.dot(&to_b)) + model.core2 * sum * sum * 0.5));
            let v = (self.spokes.leg(end) - self.spokes.leg(start) + bound) * (0.25 / PI);
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
        multiply(&model.parts.lattice.downwash, strengths, work);
        let sum: f64 = work.iter().zip(&model.parts.strips).map(|(w, s)| w * s.area).sum();
        let downwash = sum / model.wing_area;
        let sink = (model.parts.coefficients.wake_sink * downwash / speed).clamp(-0.3, 0.3);
        dir = downstream(dir - model.wing_normal * sink);
    }
    dir
}

/// Load of a tail surface against a clean isolated one.
fn factor(strip: &Strip, c: &Coefficients) -> f64 {
    if strip.part.is_fin() { c.fin_factor } else { c.tail_factor }
}

/// Keeps a direction behind the wing, and of unit length.
fn downstream(dir: Vector3<f64>) -> Vector3<f64> {
    let dir = Vector3::new(dir.x.min(-0.2), dir.y, dir.z);
    dir / dir.norm()
}
