//! The model as measured (ruler, scale, incidence meter) and what follows from it by geometry
//! alone: strips, planforms, the body line, moving surfaces, masses. No aerodynamic constant
//! lives here. Knows no time, no sticks, no files.

mod body_line;
mod geometry;
mod inertia;
mod measured;
mod outline;
mod planform;
mod strip;
mod surface;
mod varied;

pub use body_line::{BodyLine, BodySection};
pub use geometry::{DoorShape, DragPoint, Geometry, GeometryError, PropulsorShape};
pub use inertia::carried_air;
pub use measured::*;
pub use outline::{Outline, outline};
pub use planform::Planform;
pub use strip::Strip;
pub use surface::{MAX_SURFACES, Surface};
