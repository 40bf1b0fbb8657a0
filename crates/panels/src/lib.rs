//! The panels of the window as plain functions over plain state, and the live re-flying behind
//! them. Knows egui, but neither the scene nor any file.
//!
//! [`State`] is everything; [`window()`] draws it and lets it be edited; [`Refly`] flies what was
//! edited on another thread.

mod beside;
mod blends;
mod clock;
mod curve;
mod device;
mod engaged;
mod flap;
mod flown;
mod fly_panel;
mod flying;
mod found;
mod hand_levers;
mod help;
mod history;
mod key_sticks;
mod keys;
mod learn;
mod levers;
mod look;
mod measured;
mod moment;
mod new_blend;
mod reason;
mod refly;
mod seek;
mod setup;
mod show;
mod state;
mod strips;
mod surfaces;
#[cfg(test)]
mod testing;
mod time;
mod tour;
mod track;
mod verdict;
mod view;
mod why;
mod window;
mod words;

pub use clock::{Clock, RATES};
pub use device::Devices;
pub use flap::{Flap, Section, Span, flaps, section, span};
pub use flying::{Flying, Phase};
pub use history::History;
pub use learn::Learn;
pub use look::{Look, TEXT_SIZES, dress, ink};
pub use measured::{Remeasured, remeasured};
pub use new_blend::Draft;
pub use reason::{Reason, Taken};
pub use refly::{Generation, Outcome, Refly};
pub use seek::{Answer, Glide, Seek};
pub use setup::Setup;
pub use show::{Show, aside, fly};
pub use state::{Ask, Club, Open, State};
pub use tour::{STOPS, Stop, Tour};
pub use track::{Pose, Track};
pub use view::{Eye, View, ZOOMS};
pub use window::{bare, window};
