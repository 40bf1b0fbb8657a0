//! The model as measured (ruler, scale, incidence meter) and what follows from it by geometry
//! alone: strips, planform numbers, body stations, masses. Knows no time, no sticks, no files.

mod measured;

pub use measured::*;
