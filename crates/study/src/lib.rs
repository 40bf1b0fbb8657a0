//! Questions asked of many flights: how a manoeuvre goes with and without named blends, and which
//! blend cancels a coupling. Knows no files and no drawing.

mod beyond;
mod by_hand;
mod compare;
pub mod explain;
pub mod find;
mod look;
mod outcome;
mod overview;
mod sentence;

pub use beyond::Beyond;
pub use by_hand::{ByHand, End, LONGEST};
pub use compare::{
    Case, CompareError, Comparison, Contestant, Earlier, Flight, Label, Needed, Progress, Run, compare,
    compare_each, compare_one, sketch,
};
pub use look::{Balance, Climb, Look, look};
pub use outcome::Outcome;
pub use overview::{Cell, Overview, overview};
pub use sentence::{bend, on_edge, roll, side_of, side_words, wind_words};
