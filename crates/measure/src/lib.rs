//! What everything else is spoken in: quantities with units and a tolerance, spans and faults,
//! axes, and the names of sticks and sides. Knows no other crate of the project.
//!
//! # Axes
//! - **Body**: x forward, y right, z down, origin at the centre of mass, right-hand rotations.
//! - **Earth**: north, east, down; flat, not rotating.
//! - **Airframe file**: station (aft, +), waterline (up, +), buttline (right, +) from any one
//!   datum: the open aviation terms. Station, waterline and buttline are `-x`, `-z` and `y`.
//!
//! SI units and radians everywhere inside; human units only at the edge (files, reports).

mod fault;
mod measured;
pub mod quantity;
mod side;
mod stick;

pub use fault::{Fault, Severity, Span};
pub use measured::Measured;
pub use quantity::{Dimension, Quantity, QuantityError, QuantityFault, Unit};
pub use side::Side;
pub use stick::Stick;

/// Degrees to radians.
pub const DEG: f64 = core::f64::consts::PI / 180.0;
/// Standard acceleration of gravity [m/s^2] (exact by definition, 3rd CGPM, 1901).
pub const G0: f64 = 9.806_65;
