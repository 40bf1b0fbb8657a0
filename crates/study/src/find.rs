//! Which blend cancels a coupling: the needed deflection along the lead, the simplest blend that
//! serves, and how sure that is.

mod pose;

pub use pose::{Pose, Posed, Stand, StandError};
