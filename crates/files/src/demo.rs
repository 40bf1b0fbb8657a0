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

/// What a demo file says of itself: its first remark, after the name, up to the end of the sentence.
#[must_use]
pub fn demo_remark(kind: Kind, name: &str) -> Option<String> {
    let (_, text) = files(kind).iter().find(|(known, _)| *known == name)?;
    let remark = text.lines().map_while(|line| line.strip_prefix('#')).map(str::trim);
    let remark = remark.collect::<Vec<_>>().join(" ");
    let (_, what) = remark.split_once(", ")?;
    let end = [": ", ". "].iter().filter_map(|mark| what.find(mark)).min().unwrap_or(what.len());
    Some(what[..end].to_owned())
}

/// A demo file by its name, in capitals or not.
pub(crate) fn demo(kind: Kind, name: &str) -> Option<Source> {
    let (name, text) = files(kind).iter().find(|(known, _)| known.eq_ignore_ascii_case(name))?;
    Some(Source::new(format!("{name} (demo {})", kind.word()), *text))
}
