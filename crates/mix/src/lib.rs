//! Sticks -> rates and expo -> blends -> commands in percent. Pure, but for fades and slow
//! followers, whose state is a plain value. Knows no aircraft and no degrees.
//!
//! A [`Mix`] is what a pilot wrote. `Program::try_from(&mix)` checks it and turns its names into
//! numbers, once. A [`Hand`] is what the pilot sets; [`evaluate`] makes [`Commands`] of it and
//! moves the [`Fades`] on; [`steady`] does so where there is no time.
//!
//! - A blend reads its lead after rates and expo; conditions read sticks and levers as they stand.
//! - Sums are formed in the order of the blends' names, so the order in the file means nothing,
//!   not even to the last bit.
//! - Trims are added behind the mix and never seen here.

mod chain;
mod check;
mod commands;
mod compile;
mod edit;
mod error;
mod evaluate;
mod fades;
mod follower;
mod gate;
mod hand;
mod limits;
mod program;
mod rate;
mod setup;
mod shape;
mod sure;
mod tuning;

pub use check::LARGEST_SHARE;
pub use commands::Commands;
pub use error::{BlendAt, MixError, Nameless, RatePart, TimePart};
pub use evaluate::{evaluate, steady};
pub use fades::Fades;
pub use gate::HYSTERESIS;
pub use hand::{Hand, HandError};
pub use limits::Limits;
pub use program::{DOOR_LEVER, FLAP_LEVER, LeverId, Program, RatesId, SwitchNames, SwitchPosition};
pub use rate::EXPO_RANGE;
pub use setup::*;
