use airframe::{BodyLine, Planform};
use nalgebra::{DMatrix, Vector3};

use crate::strip::Strip;
use crate::vortex::horseshoe;

/// What the wing does to the flow along the body: downwash at the faces of the body strips, and
/// which faces lie inside a wing's root.
#[derive(Debug, Clone, PartialEq)]
pub struct Wash {
    /// z velocity at every face per unit of wing strength [1/m]; columns: wing strips.
    pub field: DMatrix<f64>,
    /// Share of the cross flow that is left at every face: 0 inside a wing's root, else 1.
    pub open: Vec<f64>,
}

impl Wash {
    /// At the faces `xs`, nose to tail \[m\].
    #[must_use]
    pub fn new(xs: &[f64], body: &BodyLine, strips: &[Strip], wings: &[&Planform]) -> Self {
        let aft = -Vector3::x();
        let field = DMatrix::from_fn(xs.len(), strips.len(), |f, j| {
            let section = body.section_held(xs[f]);
            let core = (0.5 * section.width).max(0.02);
            let point = Vector3::new(xs[f], 0.0, section.centre_z);
            horseshoe(point, strips[j].start, strips[j].end, aft, core * core).z
        });
        let open = xs.iter().map(|&x| if wings.iter().any(|w| blocks(w, body, x)) { 0.0 } else { 1.0 });
        Self { field, open: open.collect() }
    }
}

/// Whether the root of a wing that goes through the body fills it at `x`.
fn blocks(wing: &Planform, body: &BodyLine, x: f64) -> bool {
    let section = body.section_at(wing.root.x).unwrap_or_default();
    let through = (wing.root.z - section.centre_z).abs() < 0.6 * section.height;
    let (front, rear) = (wing.root.x + 0.25 * wing.root_chord, wing.root_trailing_edge());
    through && (rear..=front).contains(&x)
}
