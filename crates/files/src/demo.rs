//! The demo club, embedded: its names work from any folder.

use crate::kind::Kind;
use crate::source::Source;

/// Name and text of every demo file, by name; written by the build script from `scenarios/`.
mod embedded {
    include!(concat!(env!("OUT_DIR"), "/demo_club.rs"));
}

fn files(kind: Kind) -> &'static [(&'static str, &'static str)] {
    match kind {
        Kind::Airframe => embedded::AIRFRAMES,
        Kind::Mix => embedded::MIXES,
        Kind::Scenario => embedded::SCENARIOS,
    }
}

/// The names of all demo files of a kind, in alphabetical order.
pub fn demo_names(kind: Kind) -> impl Iterator<Item = &'static str> {
    files(kind).iter().map(|(name, _)| *name)
}

/// A demo file by its name.
pub(crate) fn demo(kind: Kind, name: &str) -> Option<Source> {
    let (name, text) = files(kind).iter().find(|(known, _)| *known == name)?;
    Some(Source::new(format!("{name} (demo {})", kind.word()), *text))
}
