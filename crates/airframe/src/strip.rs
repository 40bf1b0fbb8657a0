use core::f64::consts::PI;

use measure::Side;
use nalgebra::Vector3;

use crate::measured::{Panel, Part};
use crate::planform::Planform;

/// A slice of a wing, tailplane or fin, body axes about the centre of mass.
///
/// The suction side at positive incidence lies along `normal`; a deflection is positive when it
/// moves the trailing edge towards `-normal` (down; on fins to the left).
#[derive(Debug, Clone, PartialEq)]
pub struct Strip {
    /// Which part.
    pub part: Part,
    /// Which half of a mirrored part.
    pub side: Option<Side>,
    /// Quarter-chord point of its middle \[m\].
    pub position: Vector3<f64>,
    /// Unit vector along the chord towards the leading edge, square to the swept span line.
    pub chord_dir: Vector3<f64>,
    /// Unit vector square to chord and span line.
    pub normal: Vector3<f64>,
    /// Streamwise chord \[m\].
    pub chord: f64,
    /// Area [m^2].
    pub area: f64,
    /// Bound vortex, on the quarter chord: start \[m\]. From `start` to `end` runs to +y (fins:
    /// root to tip).
    pub start: Vector3<f64>,
    /// Bound vortex: end \[m\].
    pub end: Vector3<f64>,
    /// Middle as a share of the panel's length.
    pub mid: f64,
    /// Index of the moving surface on it.
    pub surface: Option<usize>,
    /// Share of the chord behind the hinge line, 0 where nothing moves.
    pub hinge_chord: f64,
}

/// A hinge as the strips need it: its two ends, chord share, surface index.
#[derive(Debug, Clone, Copy)]
pub(crate) struct HingeSpan {
    pub(crate) from: f64,
    pub(crate) to: f64,
    pub(crate) chord: f64,
    pub(crate) surface: usize,
}

const fn default_strips(part: Part) -> usize {
    match part {
        Part::Wing | Part::LowerWing => 10,
        Part::LowerFin => 3,
        _ => 6,
    }
}

/// Slices one half of a part (`side` `None`: a fin), root to tip.
pub(crate) fn slice(panel: &Panel, plan: &Planform, side: Option<Side>, hinges: &[HingeSpan]) -> Vec<Strip> {
    let count = panel.strips.unwrap_or_else(|| default_strips(panel.part));
    let frame = HalfFrame::new(plan, side);
    edges(count, hinges).windows(2).map(|e| frame.strip(plan, side, e[0], e[1], hinges)).collect()
}

/// Cuts at every hinge end, and between them about `count` per whole panel.
fn edges(count: usize, hinges: &[HingeSpan]) -> Vec<f64> {
    let mut breaks: Vec<f64> =
        [0.0, 1.0].into_iter().chain(hinges.iter().flat_map(|h| [h.from, h.to])).collect();
    breaks.sort_by(f64::total_cmp);
    breaks.dedup();
    let mut edges = Vec::new();
    for pair in breaks.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let pieces = (count as f64 * (b - a)).round_ties_even().max(1.0);
        let step = (b - a) / pieces;
        edges.extend((0..pieces as usize).map(|k| a + k as f64 * step));
    }
    edges.push(1.0);
    edges
}

/// Directions shared by all strips of one half.
struct HalfFrame {
    root: Vector3<f64>,
    /// Root to tip.
    reach: Vector3<f64>,
    /// Chord direction and normal at no incidence.
    chord_dir: Vector3<f64>,
    normal: Vector3<f64>,
    /// The vortex runs tip to root on the left half, so that it always runs to +y.
    inward: bool,
}

impl HalfFrame {
    fn new(plan: &Planform, side: Option<Side>) -> Self {
        let mirror = if side == Some(Side::Left) { -1.0 } else { 1.0 };
        let flip = |v: Vector3<f64>| Vector3::new(v.x, mirror * v.y, v.z);
        let reach = flip(plan.reach);
        let across = Vector3::new(0.0, reach.y, reach.z) / plan.length;
        let sweep = plan.sweep();
        let chord_dir = Vector3::x() * libm::cos(sweep) + across * libm::sin(sweep);
        let up = Vector3::x().cross(&across);
        // wings and tailplane: upwards; fins: to the right
        let normal = if plan.part.is_fin() { up * up.y.signum() } else { up * -up.z.signum() };
        Self { root: flip(plan.root), reach, chord_dir, normal, inward: side == Some(Side::Left) }
    }

    fn strip(&self, plan: &Planform, side: Option<Side>, from: f64, to: f64, hinges: &[HingeSpan]) -> Strip {
        const SLACK: f64 = 1e-9;
        let mid = 0.5 * (from + to);
        let chord = plan.root_chord + (plan.tip_chord - plan.root_chord) * mid;
        let (sin, cos) = libm::sincos(plan.incidence + plan.twist * mid);
        let at = |share: f64| self.root + self.reach * share;
        let (start, end) = if self.inward { (at(to), at(from)) } else { (at(from), at(to)) };
        let hinge = hinges.iter().rev().find(|h| h.from - SLACK <= mid && mid <= h.to + SLACK);
        Strip {
            part: plan.part,
            side,
            position: at(mid),
            chord_dir: self.chord_dir * cos + self.normal * sin,
            normal: self.chord_dir * -sin + self.normal * cos,
            chord,
            area: chord * plan.length * (to - from),
            start,
            end,
            mid,
            surface: hinge.map(|h| h.surface),
            hinge_chord: hinge.map_or(0.0, |h| h.chord),
        }
    }
}

impl Strip {
    /// Mass of the air that the strip carries along when it moves along its normal \[kg\]: that of
    /// the cylinder around the chord, `pi/4 rho c^2` per length (thin plate, long span).
    #[must_use]
    pub fn carried_air(&self, density: f64) -> f64 {
        0.25 * PI * density * self.chord * self.area
    }

    /// Half-chord point, where that mass acts \[m\].
    #[must_use]
    pub fn half_chord_point(&self) -> Vector3<f64> {
        self.position - self.chord_dir * (0.25 * self.chord)
    }
}
