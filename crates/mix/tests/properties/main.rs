//! What holds for every mix and every hand.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a panic is how a test fails; the lint spares test functions, not what they share"
)]

mod arbitrary;
mod blends;
mod faults;
mod mirror;
mod order;
mod passage;
mod time;
