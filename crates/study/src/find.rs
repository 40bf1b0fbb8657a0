//! Which blend cancels a coupling: the needed deflection along the lead, the simplest blend that
//! serves, and how sure that is.

mod answer;
mod coupling;
mod draw;
mod fit;
mod found;
mod hand;
mod movement;
mod pose;
mod proof;
mod roll_in;
mod stall;
mod sure;
mod sweep;
mod words;

pub use answer::SECONDS;
pub use coupling::{Coupling, Manoeuvre};
pub use fit::{Fit, Form};
pub use found::{
    BySetting, FLOOR, FindError, Findings, Found, LARGE, LeftOver, Options, SideFound, Verdict, find,
    find_unless,
};
pub(crate) use found::{swallowed, wanted};
pub use movement::Movement;
pub use pose::{Pose, Posed, Stand, StandError};
pub use proof::{AGREE, CORRECTED, Proof, prove};
pub use sure::{CERTAIN, Sure};
pub(crate) use sweep::Sweeper;
pub use sweep::{Line, Point, Sweep};
pub use words::{NOT_CERTAIN, SharedLead, share_words, way};
