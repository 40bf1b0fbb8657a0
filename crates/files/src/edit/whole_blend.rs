//! A blend put into a mix, or taken out of it.

use measure::Span;
use mix::{Blend, Mix};
use toml::de::DeValue;

use super::place::{Document, Value};
use super::spelling::{blend_inline, blend_lines};
use super::{MixChange, Splice};
use crate::report::Report;
use crate::source::Source;

/// One more blend at the end; line ends are those of the text.
pub(super) fn added(source: &Source, document: &Document<'_>, blend: &Blend) -> Splice {
    match document.inline_blends() {
        Some(list) => into_list(&list, blend),
        None => at_the_end(source, blend),
    }
}

fn at_the_end(source: &Source, blend: &Blend) -> Splice {
    let (text, line_end) = (source.text(), source.line_end());
    let open_line = if text.is_empty() || text.ends_with('\n') { "" } else { line_end };
    let gap = if text.is_empty() { "" } else { line_end };
    let lines = blend_lines(blend).replace('\n', line_end);
    Splice { start: text.len(), end: text.len(), text: format!("{open_line}{gap}{lines}") }
}

/// Behind the last member: a comma that follows it then follows the new one.
fn into_list(list: &Value<'_>, blend: &Blend) -> Splice {
    let text = blend_inline(blend);
    let (at, text) = match list.members().last() {
        Some(last) => (last.span.end, format!(", {text}")),
        None => (list.span.start + 1, text),
    };
    Splice { start: at, end: at, text }
}

/// Without a blend. Comments stay, those between its lines as well, and keep the line that they stand in.
pub(super) fn removed(source: &Source, document: &Document<'_>, name: &str) -> Result<Splice, Report> {
    let (number, blend) = document.blend(name)?;
    let text = source.text();
    match document.inline_blends() {
        Some(list) => Ok(without(source, &list, &blend)),
        None if source.excerpt(blend.span).starts_with("[[") => {
            let last = last_byte(blend.tree).max(blend.span.end);
            let rest = text[last..].split('\n').next().unwrap_or_default().trim_end();
            let span = Span { start: blend.span.start, end: last + rest.len() };
            let kept = comments(source.excerpt(span), source.line_end());
            Ok(whole_lines(source, span, kept))
        }
        None => Err(document.unwritable(&format!("blend.{number}"), blend.span)),
    }
}

/// A list without one of its members, and the comma behind it.
pub(super) fn without(source: &Source, list: &Value<'_>, member: &Value<'_>) -> Splice {
    let Span { start, mut end } = member.span;
    let behind = source.text()[end..list.span.end].trim_start();
    if let Some(rest) = behind.strip_prefix(',') {
        end = list.span.end - rest.trim_start_matches([' ', '\t']).len();
    }
    whole_lines(source, Span { start, end }, String::new())
}

/// Where the last value of a table ends.
fn last_byte(tree: &DeValue<'_>) -> usize {
    let members: Vec<_> = match tree {
        DeValue::Table(map) => map.values().collect(),
        DeValue::Array(list) => list.iter().collect(),
        _ => Vec::new(),
    };
    members
        .into_iter()
        .map(|value| value.span().end.max(last_byte(value.get_ref())))
        .max()
        .unwrap_or_default()
}

/// `kept` in place of a span. Lines that held nothing else go with it, and one of two blank lines that would meet.
fn whole_lines(source: &Source, span: Span, kept: String) -> Splice {
    let text = source.text();
    let Span { mut start, mut end } = span;
    let line = source.line_start(start);
    let rest = text[end..].split_inclusive('\n').next().unwrap_or_default();
    let blank = |text: &str| text.trim().is_empty();
    if blank(&text[line..start]) && kept.is_empty() && blank(rest) {
        (start, end) = (line, end + rest.len());
        let next = text[end..].split_inclusive('\n').next().unwrap_or_default();
        let before = text[..start].split_inclusive('\n').next_back().unwrap_or_default();
        if blank(before) && blank(next) {
            end += next.len();
        }
    }
    Splice { start, end, text: kept }
}

/// The comments of a piece of TOML, a line each.
fn comments(text: &str, line_end: &str) -> String {
    const QUOTES: [&str; 4] = ["\"\"\"", "'''", "\"", "'"];
    let mut found = Vec::new();
    let mut rest = text;
    while !rest.is_empty() {
        if let Some(quotes) = QUOTES.into_iter().find(|quotes| rest.starts_with(quotes)) {
            rest = behind_string(&rest[quotes.len()..], quotes);
        } else if rest.starts_with('#') {
            let comment = rest.split('\n').next().unwrap_or_default();
            found.push(comment.trim_end());
            rest = &rest[comment.len()..];
        } else {
            let mut chars = rest.chars();
            chars.next();
            rest = chars.as_str();
        }
    }
    found.join(line_end)
}

/// What follows a string whose opening quotes are gone.
fn behind_string<'t>(text: &'t str, quotes: &str) -> &'t str {
    let mut rest = text;
    while !rest.is_empty() {
        if let Some(behind) = rest.strip_prefix(quotes) {
            return behind;
        }
        let escaped = quotes.starts_with('"') && rest.starts_with('\\');
        let mut chars = rest.chars();
        chars.by_ref().take(if escaped { 2 } else { 1 }).for_each(drop);
        rest = chars.as_str();
    }
    rest
}

/// A table of another kind may stand among those of a blend: nothing but what was meant may have gone.
pub(super) fn only_what_was_meant(
    source: &Source,
    changes: &[MixChange],
    before: &Mix,
    after: &Mix,
) -> Result<(), Report> {
    let mut blends: Vec<&str> = before.blends.iter().map(|blend| blend.name.as_str()).collect();
    for change in changes {
        match change {
            MixChange::Added(blend) => blends.push(blend.name.trim()),
            MixChange::Removed { blend } => blends.retain(|name| *name != blend.trim()),
            _ => {}
        }
    }
    let names = |mix: &Mix| mix.rates.iter().map(|set| set.name.clone()).collect::<Vec<_>>();
    let same =
        after.blends.iter().map(|blend| blend.name.as_str()).eq(blends) && names(before) == names(after);
    let removed = changes.iter().find_map(|change| match change {
        MixChange::Removed { blend } => Some(blend),
        _ => None,
    });
    match removed.filter(|_| !same) {
        None => Ok(()),
        Some(name) => Err(Document::scattered(source, name)),
    }
}
