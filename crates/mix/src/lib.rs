//! Sticks -> rates and expo -> blends -> commands in percent. Pure, but for fades and slow
//! followers, whose state is a plain value. Knows no aircraft and no degrees.

mod setup;

pub use setup::*;
