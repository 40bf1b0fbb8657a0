use nalgebra::{DMatrix, Vector3};

use crate::coefficients::Coefficients;
use crate::columns::multiply;
use crate::strip::Strip;
use crate::vortex::{bound, horseshoe, leg};

/// Core of the lattice's own vortices [m^2]: only guards points in line with a vortex.
const CORE2: f64 = 1e-9;

/// All wings as one vortex lattice: one horseshoe per strip, flow tangent at three quarters of
/// the chord. The control point is offset along the stream also on swept wings: along the swept
/// chord it would land behind the neighbour's leg.
/// Source: Weissinger, NACA TM 1120, 1947 (secondary text; form from memory).
#[derive(Debug, Clone, PartialEq)]
pub struct Lattice {
    /// Strengths [m^2/s] from the normal wash at the strips [m/s].
    pub strength: DMatrix<f64>,
    /// Downwash at the bound vortices [m/s] from the strengths.
    pub downwash: DMatrix<f64>,
    /// Change of strength with the tangent of the wake's skew, from the strengths.
    pub skew: DMatrix<f64>,
}

impl Lattice {
    /// Of the wing strips.
    #[must_use]
    pub fn new(wings: &[Strip], c: &Coefficients) -> Self {
        let n = wings.len();
        let aft = -Vector3::x();
        let wash_at = |point: fn(&Strip) -> Vector3<f64>| {
            DMatrix::from_fn(n, n, |i, j| {
                let (s, v) = (&wings[i], &wings[j]);
                -s.normal.dot(&horseshoe(point(s), v.start, v.end, aft, CORE2))
            })
        };
        let inverse = wash_at(control_point).try_inverse().unwrap_or_else(|| DMatrix::zeros(n, n));
        let skewing = DMatrix::from_fn(n, n, |i, j| skew_derivative(&wings[i], &wings[j]));
        let mut downwash = wash_at(|s| s.position);
        for i in 0..n {
            downwash[(i, i)] = own_legs(&wings[i]);
        }
        let skew = product(&inverse, &skewing) * -1.0;
        Self { strength: inverse * c.section_slope, downwash, skew }
    }

    /// The even wash [m/s] that would load each strip as the normal wash `wash` at all of them does: what a strip
    /// feels of a gust or field that is narrower than the wing. Where nothing loads a strip (a lattice that has no answer), the
    /// wash itself.
    #[must_use]
    pub fn felt(&self, wash: &[f64]) -> Vec<f64> {
        let load = |wash: &[f64]| {
            let mut strengths = vec![0.0; wash.len()];
            multiply(&self.strength, wash, &mut strengths);
            strengths
        };
        let felt = |((own, even), wash): ((&f64, f64), &f64)| if even == 0.0 { *wash } else { own / even };
        load(wash).iter().zip(load(&vec![1.0; wash.len()])).zip(wash).map(felt).collect()
    }
}

/// `a b`, column by column. The library's own product of large matrices picks another order of
/// sums, and fused operations, by the processor it finds.
pub(crate) fn product(a: &DMatrix<f64>, b: &DMatrix<f64>) -> DMatrix<f64> {
    let mut c = DMatrix::zeros(a.nrows(), b.ncols());
    for (from, mut to) in b.column_iter().zip(c.column_iter_mut()) {
        multiply(a, from.as_slice(), to.as_mut_slice());
    }
    c
}

/// Where the flow is tangent: half a chord behind the bound vortex, along the stream.
fn control_point(s: &Strip) -> Vector3<f64> {
    s.position - Vector3::new(0.5 * s.chord, 0.0, 0.0)
}

/// Downwash of a strip's own legs at its own bound vortex; a straight vortex induces nothing on
/// itself.
fn own_legs(s: &Strip) -> f64 {
    let aft = -Vector3::x();
    let nothing = bound(s.position, s.start, s.end, CORE2) / (4.0 * core::f64::consts::PI);
    -s.normal.dot(&(horseshoe(s.position, s.start, s.end, aft, CORE2) - nothing))
}

/// Derivative of the wash of strip `v` at strip `s` by the tangent of the wake's skew. The legs
/// lie on the wing to its trailing edge, then follow the stream.
fn skew_derivative(s: &Strip, v: &Strip) -> f64 {
    const STEP: f64 = 0.03;
    let edge = Vector3::new(0.75 * v.chord, 0.0, 0.0);
    let point = control_point(s);
    let wash = |slope: f64| {
        let dir = Vector3::new(-1.0, -slope, 0.0) / (1.0 + slope * slope).sqrt();
        let legs = leg(point, v.end - edge, dir, CORE2) - leg(point, v.start - edge, dir, CORE2);
        -s.normal.dot(&legs) / (4.0 * core::f64::consts::PI)
    };
    (wash(STEP) - wash(-STEP)) / (2.0 * STEP)
}
