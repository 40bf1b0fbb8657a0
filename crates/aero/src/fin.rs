//! What a fin is worth on its body and beside its tailplane.
//! Source: USAF Stability and Control DATCOM, section 5.3.1.1 (AFFDL-TR-79-3032, 1979; charts
//! 5.3.1.1-22 as digitised in its computer form, not seen printed).

use airframe::{Geometry, Part, Planform};
use nalgebra::Vector3;

use crate::chart::look_up;
use crate::coefficients::Coefficients;
use crate::strip::Strip;

/// A fin with its body and tailplane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Fin {
    /// Aspect ratio of the upper fin as it stands, from root to tip.
    pub(crate) exposed_aspect: f64,
    /// Aspect ratio that its lift slope belongs to.
    pub(crate) aspect: f64,
    /// Scale on its load: small fins on thick bodies carry less.
    pub(crate) kept: f64,
    /// From the root down to the body's axis \[m\], as far as no lower fin stands there.
    gap: f64,
}

/// (span to the axis over body height, aspect ratio on the body over that alone: taper up to 0.6,
/// taper 1, share of the load kept).
const ON_BODY: [(f64, f64, f64, f64); 10] = [
    (0.5, 1.18, 0.99, 0.75),
    (1.0, 1.46, 1.32, 0.75),
    (1.5, 1.60, 1.46, 0.75),
    (2.0, 1.64, 1.51, 0.75),
    (2.5, 1.53, 1.42, 0.835),
    (3.0, 1.36, 1.27, 0.92),
    (3.5, 1.21, 1.17, 1.0),
    (4.0, 1.13, 1.10, 1.0),
    (5.0, 1.06, 1.04, 1.0),
    (7.0, 1.02, 1.02, 1.0),
];

/// (height of the tailplane above the axis over the fin's span, aspect ratio with it over that
/// without: its quarter chord at 0.5, at 0.8 of the fin's chord).
const WITH_TAILPLANE: [(f64, f64, f64); 7] = [
    (0.0, 1.05, 1.29),
    (0.2, 0.94, 1.09),
    (0.4, 0.87, 0.97),
    (0.6, 0.87, 0.94),
    (0.8, 1.06, 1.12),
    (0.9, 1.29, 1.36),
    (1.0, 1.70, 1.70),
];

/// (area of the tailplane over that of the fin, share of the tailplane's effect).
const TAILPLANE_SIZE: [(f64, f64); 8] =
    [(0.0, 0.0), (0.2, 0.29), (0.4, 0.52), (0.6, 0.70), (0.8, 0.83), (1.2, 0.98), (1.6, 1.07), (2.0, 1.13)];

impl Fin {
    /// The upper fin of `geometry`.
    pub(crate) fn of(geometry: &Geometry, c: &Coefficients) -> Self {
        let plan = geometry.planform(Part::Fin).unwrap_or_else(|| geometry.wing());
        let section = geometry.body.section_at(plan.root.x).unwrap_or_default();
        let low = geometry.planform(Part::LowerFin);
        let to_axis = (section.centre_z - plan.root.z).max(0.0);
        let gap = low.map_or(to_axis, |l| to_axis.min((l.root.z - plan.root.z).max(0.0)));
        let exposed_aspect = plan.aspect();
        let (on_body, kept) = on_body(geometry, plan, to_axis, 0.5 * section.height);
        let whole = low.map_or(0.0, |l| tip_to_tip(plan, l, gap));
        let plain = c.fin_aspect * exposed_aspect;
        let mix = |simple: f64, chart: f64| simple + c.fin_on_body * (chart - simple);
        Self {
            exposed_aspect,
            aspect: mix(plain, on_body.max(whole)),
            kept: mix(1.0, if whole > on_body { 1.0 } else { kept }),
            gap: c.fin_on_body * gap,
        }
    }

    /// The load that the fin carries over onto the body, as a strip between its root and the
    /// body's axis; none where the fin ends at the axis. `root` is the fin's lowest strip.
    pub(crate) fn carried_over(&self, plan: &Planform, root: &Strip) -> Option<Strip> {
        (self.gap > 1e-6).then(|| {
            let down = Vector3::new(0.0, 0.0, self.gap);
            Strip {
                position: plan.root + down * 0.5,
                chord: plan.root_chord,
                area: plan.root_chord * self.gap,
                start: plan.root + down,
                end: plan.root,
                drag: 0.0,
                ..root.clone()
            }
        })
    }
}

/// Aspect ratio of the fin down to the axis, on the body and with the tailplane, and the share of
/// the load kept.
fn on_body(geometry: &Geometry, plan: &Planform, gap: f64, half_height: f64) -> (f64, f64) {
    let span = plan.length + gap;
    let area = plan.area() + gap * plan.root_chord;
    let taper = (plan.tip_chord / plan.root_chord).clamp(0.6, 1.0);
    let ratio = span / (2.0 * half_height).max(1e-3);
    let row = |f: fn((f64, f64, f64, f64)) -> f64| look_up(&ON_BODY, ratio, |r| r.0, f);
    let (slim, full, kept) = (row(|r| r.1), row(|r| r.2), row(|r| r.3));
    let alone = span * span / area * (slim + (full - slim) * (taper - 0.6) / 0.4);
    let Some(tail) = geometry.planform(Part::Tailplane) else { return (alone, kept) };
    let height = (plan.root.z + gap - tail.root.z) / span;
    let chord = plan.root_chord;
    let place = (plan.root.x + 0.25 * chord - tail.root.x) / chord;
    let towards_rear = ((place - 0.5) / 0.3).clamp(0.0, 1.0);
    let with = look_up(&WITH_TAILPLANE, height, |r| r.0, |r| r.1 + (r.2 - r.1) * towards_rear);
    let size = look_up(&TAILPLANE_SIZE, tail.area() / area, |r| r.0, |r| r.1);
    (alone * (1.0 + size * (with - 1.0)), kept)
}

/// Aspect ratio of upper and lower fin as one surface.
fn tip_to_tip(upper: &Planform, lower: &Planform, gap: f64) -> f64 {
    let span = upper.length + gap + lower.length;
    span * span / (upper.area() + gap * upper.root_chord + lower.area())
}
