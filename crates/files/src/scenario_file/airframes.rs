//! The airframes that a scenario names.

use crate::demo::demo_names;
use crate::filled::Filled;
use crate::find::{is_known, stem};
use crate::kind::Kind;
use crate::reader::{Item, Read, Says, clean, did_you_mean};

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
    if let Some(path) = item.beside(&name) {
        return Ok(path);
    }
    if !is_known(Kind::Airframe, &name) {
        let known: Vec<_> = demo_names(Kind::Airframe).collect();
        item.caution(Says::new(
            format!("\"{}\", neither a file nor a demo airframe", clean(&name)),
            format!("the path of an airframe file, or one of the demo names {}", known.join(", ")),
            did_you_mean(stem(&name), known)
                .unwrap_or_else(|| "check the path; it begins at the scenario's folder".to_owned()),
        ));
    }
    Ok(name)
}
