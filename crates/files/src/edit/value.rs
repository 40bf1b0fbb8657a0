//! Changes to single values of a file of any kind, by the bytes of each.

use measure::{Dimension, Fault, Severity, Span};
use toml::de::DeTable;

use super::place::{Document, Value};
use super::spelling::{quoted, respelled, written};
use super::whole_blend::without;
use super::{Splice, spliced};
use crate::airframe_file::read_airframe;
use crate::kind::Kind;
use crate::mix_file::read_mix;
use crate::report::Report;
use crate::scenario_file::read_scenario;
use crate::source::Source;

/// A new value for something in a file.
#[derive(Debug, Clone, PartialEq)]
pub struct ValueChange {
    /// Where, as for [`Source::locate`]: `panel.2.root.incidence`, places in lists from 1.
    pub path: String,
    /// What.
    pub to: NewValue,
}

/// What is written.
#[derive(Debug, Clone, PartialEq)]
pub enum NewValue {
    /// A quantity in SI units; unit, tolerance and spelling of the author stay.
    Quantity(f64, Dimension),
    /// A list of names; `None`: the key is taken out.
    Names(Option<Vec<String>>),
    /// Names with a share of travel each; none: the key is taken out.
    Levers(Vec<(String, f64)>),
    /// Names with a position each; none: the key is taken out.
    Switches(Vec<(String, String)>),
}

/// The text with new values; a key that is not there is added to its table, and a table of its own
/// that is not there (such as `wind`) to the end of the file. Every other byte is as it was.
///
/// # Errors
/// A file of this kind that has faults, before or after the changes; a path that leads nowhere; a
/// value written with dots or under a heading where it cannot be replaced.
pub fn change_values(source: &Source, kind: Kind, changes: &[ValueChange]) -> Result<Source, Report> {
    check(source, kind)?;
    let mut edited = source.clone();
    for change in changes {
        edited = changed(&edited, change)?;
    }
    check(&edited, kind)?;
    Ok(edited)
}

fn check(source: &Source, kind: Kind) -> Result<(), Report> {
    match kind {
        Kind::Airframe => read_airframe(source.clone()).map(drop),
        Kind::Mix => read_mix(source.clone()).map(drop),
        Kind::Scenario => read_scenario(source.clone()).map(drop),
    }
}

fn changed(source: &Source, ValueChange { path, to }: &ValueChange) -> Result<Source, Report> {
    let (tree, _) = DeTable::parse_recoverable(source.text());
    let document = Document::new(source, tree.get_ref());
    let (parent, key) = path.rsplit_once('.').unwrap_or(("", path));
    let Some(table) = document.table(parent) else {
        let text = to.text().filter(|_| !parent.contains('.')).ok_or_else(|| nowhere(source, path))?;
        return Ok(spliced(source, vec![section(source, parent, key, &text)]));
    };
    if let Some(splices) = table.entry(key).and_then(|entry| member_by_member(source, &entry.value, to)) {
        return Ok(spliced(source, splices));
    }
    let splice = match (to, table.entry(key), to.text()) {
        (NewValue::Quantity(value, dimension), Some(entry), _) => {
            let span = entry.value.span;
            let said = entry.value.tree.as_str().unwrap_or_default();
            let text = respelled(source.excerpt(span), said, *value, *dimension);
            Some(Splice { start: span.start, end: span.end, text })
        }
        (_, _, Some(text)) => table.put(key, &text),
        (_, Some(entry), None) => Some(table.out(&entry)),
        (_, None, None) if !table.has(key) => return Ok(source.clone()),
        (_, None, None) => None,
    };
    let splice = splice.ok_or_else(|| document.unwritable(path, source.locate(path)))?;
    Ok(spliced(source, vec![splice]))
}

/// A list of names and values changed where it differs, so that a comment between its members stays; `None` where it
/// has to be written anew: nothing is left of it, or its names stand in another order.
fn member_by_member(source: &Source, list: &Value<'_>, to: &NewValue) -> Option<Vec<Splice>> {
    let wanted: Vec<(&str, Wanted<'_>)> = match to {
        NewValue::Levers(levers) => {
            levers.iter().map(|(name, share)| (name.as_str(), Wanted::Share(*share))).collect()
        }
        NewValue::Switches(switches) => {
            switches.iter().map(|(name, is)| (name.as_str(), Wanted::Word(is))).collect()
        }
        NewValue::Quantity(..) | NewValue::Names(_) => return None,
    };
    let members = list.members();
    let name = |member: &Value<'_>| Some(member.members().first()?.tree.as_str()?.trim().to_owned());
    let there: Vec<String> = members.iter().map(name).collect::<Option<_>>()?;
    let kept: Vec<usize> =
        (0..there.len()).filter(|&i| wanted.iter().any(|(name, _)| *name == there[i])).collect();
    let order = kept.iter().map(|&i| there[i].as_str());
    if kept.is_empty() || !order.eq(wanted.iter().take(kept.len()).map(|(name, _)| *name)) {
        return None;
    }
    let mut splices = Vec::new();
    for (&i, (_, to)) in kept.iter().zip(&wanted) {
        splices.push(to.instead(source, members[i].members().get(1)?));
    }
    let gone = (0..there.len()).filter(|i| !kept.contains(i));
    splices.extend(gone.map(|i| without(source, list, &members[i])));
    let more = wanted[kept.len()..].iter().map(|(name, to)| format!(", [{}, {}]", quoted(name), to.text()));
    let last = members.last()?.span.end;
    splices.push(Splice { start: last, end: last, text: more.collect() });
    Some(splices)
}

/// What a member of a list shall say.
enum Wanted<'a> {
    Share(f64),
    Word(&'a str),
}

impl Wanted<'_> {
    fn text(&self) -> String {
        match self {
            Self::Share(share) => quoted(&written(*share, Dimension::Share)),
            Self::Word(word) => quoted(word),
        }
    }

    fn instead(&self, source: &Source, value: &Value<'_>) -> Splice {
        let (raw, said) = (source.excerpt(value.span), value.tree.as_str().unwrap_or_default());
        let text = match self {
            Self::Share(share) => respelled(raw, said, *share, Dimension::Share),
            Self::Word(word) if said.trim() == *word => raw.to_owned(),
            Self::Word(word) => quoted(word),
        };
        Splice { start: value.span.start, end: value.span.end, text }
    }
}

/// A table of its own at the end of the file.
fn section(source: &Source, name: &str, key: &str, value: &str) -> Splice {
    let (text, end) = (source.text(), source.line_end());
    let open = if text.is_empty() || text.ends_with('\n') { "" } else { end };
    let text_there = format!("{open}{end}[{name}]{end}{key} = {value}{end}");
    Splice { start: text.len(), end: text.len(), text: text_there }
}

fn nowhere(source: &Source, path: &str) -> Report {
    let fault = Fault {
        span: Span::default(),
        severity: Severity::Error,
        field: path.to_owned(),
        found: "nothing of that name to change".to_owned(),
        allowed: "something that stands in the file".to_owned(),
        next: "write it into the file by hand once; then it can be changed".to_owned(),
    };
    Report::new(source.clone(), vec![fault])
}

impl NewValue {
    /// As it is written; `None` where there is nothing to write.
    fn text(&self) -> Option<String> {
        let list = |members: Vec<String>| (!members.is_empty()).then(|| format!("[{}]", members.join(", ")));
        let pair = |name: &str, value: &str| format!("[{}, {}]", quoted(name), quoted(value));
        match self {
            Self::Quantity(value, dimension) => Some(quoted(&written(*value, *dimension))),
            Self::Names(names) => names.as_ref().map(|names| {
                let names: Vec<String> = names.iter().map(|name| quoted(name)).collect();
                format!("[{}]", names.join(", "))
            }),
            Self::Levers(levers) => list(
                levers.iter().map(|(name, share)| pair(name, &written(*share, Dimension::Share))).collect(),
            ),
            Self::Switches(switches) => list(switches.iter().map(|(name, is)| pair(name, is)).collect()),
        }
    }
}
