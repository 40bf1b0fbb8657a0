use nalgebra::Vector3;

use crate::geometry::Geometry;
use crate::measured::Part;
use crate::planform::Planform;

/// A flat piece of the model as it is drawn: corners in body axes \[m\].
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    /// Which part.
    pub part: Part,
    /// Corners in order.
    pub corners: Vec<Vector3<f64>>,
}

/// The model as a picture needs it: wings, tail and fins as flat pieces, the body as its side view
/// and its top view crossed.
#[must_use]
pub fn outline(geometry: &Geometry) -> Vec<Outline> {
    let mut pieces: Vec<Outline> = geometry.planforms.iter().flat_map(halves).collect();
    let side = profile(geometry, |x, s, up| Vector3::new(x, 0.0, s.centre_z - up * 0.5 * s.height));
    let top = profile(geometry, |x, s, right| Vector3::new(x, right * 0.5 * s.width, s.centre_z));
    pieces.extend([side, top].map(|corners| Outline { part: Part::Body, corners }));
    pieces
}

fn halves(plan: &Planform) -> Vec<Outline> {
    let right = quadrilateral(plan);
    let left = right.iter().map(|c| Vector3::new(c.x, -c.y, c.z)).collect();
    let piece = |corners| Outline { part: plan.part, corners };
    if plan.part.is_fin() { vec![piece(right)] } else { vec![piece(right), piece(left)] }
}

/// Leading edge root and tip, trailing edge tip and root; incidence is too small to be seen.
fn quadrilateral(plan: &Planform) -> Vec<Vector3<f64>> {
    let tip = plan.root + plan.reach;
    let ahead = |at: Vector3<f64>, chord: f64, share: f64| at + Vector3::new(share * chord, 0.0, 0.0);
    vec![
        ahead(plan.root, plan.root_chord, 0.25),
        ahead(tip, plan.tip_chord, 0.25),
        ahead(tip, plan.tip_chord, -0.75),
        ahead(plan.root, plan.root_chord, -0.75),
    ]
}

/// Along one edge of the body and back along the other.
fn profile(
    geometry: &Geometry,
    corner: impl Fn(f64, crate::BodySection, f64) -> Vector3<f64>,
) -> Vec<Vector3<f64>> {
    let there = geometry.body.stations().map(|(x, s)| corner(x, s, 1.0));
    let mut back: Vec<_> = geometry.body.stations().map(|(x, s)| corner(x, s, -1.0)).collect();
    back.reverse();
    there.chain(back).collect()
}
