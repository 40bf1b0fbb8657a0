//! Questions asked of many flights. Today: how a manoeuvre goes with and without named blends.
//! Knows no files and no drawing.

mod compare;
mod sentence;

pub use compare::{CompareError, Comparison, Contestant, Flight, Label, Needed, Run, compare};
pub use sentence::{bend, roll, side_words};
