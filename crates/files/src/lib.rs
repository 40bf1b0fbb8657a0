//! The only crate that reads and writes files: finds them, reads them with every fault at its
//! line, writes results whole or not at all, and carries the demo club. Knows no physics.
//!
//! [`find()`] a file or a demo name, then [`read_airframe`] or [`read_mix`]; [`write_file`] and
//! [`write_folder`] for results.

mod airframe_file;
mod demo;
mod devices;
mod edit;
mod filled;
mod find;
mod form;
mod grammar;
mod kind;
mod mix_file;
mod nearest;
mod reader;
mod recording;
mod reference;
mod report;
mod scenario_file;
mod schema;
mod source;
mod write;

pub use airframe_file::read_airframe;
pub use demo::{demo_names, demo_remark};
pub use devices::{devices_text, read_devices};
pub use edit::{MixChange, NewValue, SaveError, ValueChange, change_mix, change_values, save};
pub use find::{FindError, find};
pub use kind::Kind;
pub use mix_file::read_mix;
pub use recording::{Recording, read_recording};
pub use reference::reference;
pub use report::{Checked, Report};
pub use scenario_file::read_scenario;
pub use schema::schema;
pub use source::{LARGEST, OpenError, Place, Source};
pub use write::{Existing, WriteError, write_file, write_folder};
