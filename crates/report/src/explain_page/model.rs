//! The model for a three-view drawing: what the other pages show as crossed planes has sections here.

use crate::run_page::shape;
use crate::silhouette::{Facet, ModelShape, Vector};
use airframe::{BodySection, Geometry, Part, Planform};
use measure::Side;

/// Corners of a body section.
const ROUND: usize = 32;
/// A rib: share of the chord from the leading edge, half its thickness over the chord. Any symmetrical
/// section of a tenth; it is only drawn.
const RIB: [(f64, f64); 7] =
    [(0.0, 0.0), (0.03, 0.024), (0.12, 0.042), (0.3, 0.05), (0.55, 0.04), (0.8, 0.019), (1.0, 0.0)];
/// Ribs are parts of their own, numbered from here.
const RIBS: usize = 100;

/// With the sections of the body, and ribs at the ends of wings and tailplane.
pub(super) fn solid(geometry: &Geometry) -> ModelShape {
    let mut model = shape(geometry);
    let squareness = geometry.body.squareness;
    let sections = geometry
        .body
        .stations()
        .map(|(x, section)| Facet { part: Part::Body.index(), corners: around(x, section, squareness) });
    model.facets.extend(sections);
    let winged = geometry.planforms.iter().filter(|p| !p.part.is_fin());
    for (i, plan) in winged.enumerate() {
        for side in [Side::Left, Side::Right] {
            let part = RIBS + 2 * i + usize::from(side == Side::Right);
            model.facets.push(Facet { part, corners: rib(plan, side, 1.0) });
            if plan.part.is_wing() {
                model.facets.push(Facet { part, corners: rib(plan, side, 0.12) });
            }
        }
    }
    model
}

/// A section of the body, between an ellipse and a box.
fn around(x: f64, section: BodySection, squareness: f64) -> Vec<Vector> {
    let power = 2.0 / (2.0 + 8.0 * squareness);
    let part = |s: f64| s.signum() * libm::pow(s.abs(), power);
    (0..ROUND)
        .map(|i| {
            let (sin, cos) = libm::sincos(core::f64::consts::TAU * i as f64 / ROUND as f64);
            let (y, z) = (0.5 * section.width * part(cos), 0.5 * section.height * part(sin));
            [x, y, section.centre_z + z]
        })
        .collect()
}

/// Where a panel ends, or `out` of the way to its tip.
fn rib(plan: &Planform, side: Side, out: f64) -> Vec<Vector> {
    let at = plan.root + plan.reach * out;
    let chord = plan.root_chord + out * (plan.tip_chord - plan.root_chord);
    let corner = |&(along, thick): &(f64, f64), up: f64| {
        [at.x + (0.25 - along) * chord, side.sign() * at.y, at.z - up * thick * chord]
    };
    let upper = RIB.iter().map(|p| corner(p, 1.0));
    upper.chain(RIB[1..RIB.len() - 1].iter().rev().map(|p| corner(p, -1.0))).collect()
}
