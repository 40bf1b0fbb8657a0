//! The airframes that a scenario names.

use crate::demo::demo_names;
use crate::filled::Filled;
use crate::find::stem;
use crate::kind::Kind;
use crate::reader::{Item, Read, Says, clean, did_you_mean};
use crate::source::Source;
use std::path::Path;

/// Flown when none is named: each a file in reach or a demo name, as on the command line.
pub(super) fn airframes(root: &Filled<'_>) -> Read<Vec<String>> {
    let Some(list) = root.get("airframes") else { return Ok(Vec::new()) };
    let read: Vec<_> = list.list()?.iter().map(airframe).collect();
    read.into_iter().collect()
}

/// A file beside the scenario, a file in reach, or a demo name. Anything else is a caution: another
/// airframe may be named on the command line.
fn airframe(item: &Item<'_>) -> Read<String> {
    let name = item.text()?;
    if let Some(path) = item.beside(&name).or_else(|| Path::new(&name).is_file().then(|| name.clone())) {
        return of_its_kind(item, path);
    }
    let known: Vec<_> = demo_names(Kind::Airframe).collect();
    if !known.contains(&name.trim()) {
        item.caution(Says::new(
            format!("\"{}\", neither a file nor a demo airframe", clean(&name)),
            format!("the path of an airframe file, or one of the demo names {}", known.join(", ")),
            did_you_mean(stem(&name), known)
                .unwrap_or_else(|| "check the path; it begins at the scenario's folder".to_owned()),
        ));
    }
    Ok(name)
}

/// A scenario that names itself, or a mix, is told before anything is flown. What cannot be opened,
/// or is of no kind, is told when it is read.
fn of_its_kind(item: &Item<'_>, path: String) -> Read<String> {
    let kind = Source::open(Path::new(&path)).ok().and_then(|source| Kind::of(&source));
    match kind.filter(|kind| *kind != Kind::Airframe) {
        None => Ok(path),
        Some(other) => Err(item.fault(Says::new(
            format!("\"{}\", {}", clean(&path), other.with_article()),
            "the path of an airframe file, or a demo name",
            "name the airframe's own file here",
        ))),
    }
}
