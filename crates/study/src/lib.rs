//! Questions asked of many flights: how a manoeuvre goes with and without named blends, and which
//! blend cancels a coupling. Knows no files and no drawing.

mod compare;
pub mod find;
mod sentence;

pub use compare::{CompareError, Comparison, Contestant, Flight, Label, Needed, Run, compare};
pub use sentence::{bend, roll, side_words};
