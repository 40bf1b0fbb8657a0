//! Keys of a table in its text: a value put where none stands, an entry in place of another, an
//! entry taken out. Comments and everything else stay.

use measure::Span;
use toml::de::{DeTable, DeValue};

use super::Splice;
use super::place::Value;
use crate::source::Source;

/// A table that stands under a heading (or is the file itself), or in braces.
#[derive(Clone, Copy)]
pub(super) struct Table<'d> {
    source: &'d Source,
    map: &'d DeTable<'d>,
    braces: bool,
}

/// A key with its value.
#[derive(Clone, Copy)]
pub(super) struct Entry<'d> {
    pub(super) value: Value<'d>,
    /// From the key's first byte to the value's last.
    span: Span,
}

impl<'d> Table<'d> {
    /// The whole file.
    pub(super) const fn root(source: &'d Source, map: &'d DeTable<'d>) -> Self {
        Self { source, map, braces: false }
    }

    /// A value that is a table.
    pub(super) fn of(source: &'d Source, value: &Value<'d>) -> Option<Self> {
        let DeValue::Table(map) = value.tree else { return None };
        Some(Self { source, map, braces: source.excerpt(value.span).starts_with('{') })
    }

    /// An entry whose value stands behind its key; `None` where there is none, or where it is
    /// written with dots or under a heading of its own.
    pub(super) fn entry(&self, key: &str) -> Option<Entry<'d>> {
        let (name, value) = self.map.get_key_value(key)?;
        let value = Value { tree: value.get_ref(), span: value.span().into() };
        let span = Span { start: name.span().start, end: value.span.end };
        behind_its_key(self.source, &value).then_some(Entry { value, span })
    }

    /// Whether the key is there, however it is written.
    pub(super) fn has(&self, key: &str) -> bool {
        self.map.contains_key(key)
    }

    /// `key = text`: in place of the value that stands there, else behind the last entry. `None`
    /// where the value is written in a way that cannot be replaced.
    pub(super) fn put(&self, key: &str, text: &str) -> Option<Splice> {
        if let Some(Entry { value, .. }) = self.entry(key) {
            return Some(Splice { start: value.span.start, end: value.span.end, text: text.to_owned() });
        }
        if self.has(key) {
            return None;
        }
        let last = self.map.keys().filter_map(|key| self.entry(key.get_ref())).map(|e| e.span.end).max()?;
        let line = format!("{key} = {text}");
        Some(if self.braces {
            Splice { start: last, end: last, text: format!(", {line}") }
        } else {
            let rest =
                self.source.text()[last..].split('\n').next().unwrap_or_default().trim_end_matches('\r');
            let at = last + rest.len();
            Splice { start: at, end: at, text: format!("{}{line}", self.source.line_end()) }
        })
    }

    /// Other entries in place of one.
    pub(super) fn instead(&self, entry: &Entry<'d>, lines: &[String]) -> Splice {
        let text = lines.join(if self.braces { ", " } else { self.source.line_end() });
        Splice { start: entry.span.start, end: entry.span.end, text }
    }

    /// Without an entry. A line that held nothing else goes with it; a comment stays.
    pub(super) fn out(&self, entry: &Entry<'d>) -> Splice {
        let text = self.source.text();
        let Span { mut start, mut end } = entry.span;
        let blank = |text: &str| text.trim_matches([' ', '\t']).is_empty();
        if self.braces {
            let rest = &text[end..];
            if let Some(behind) = rest.trim_start().strip_prefix(',') {
                end = text.len() - behind.trim_start_matches(' ').len();
            } else {
                start = text[..start].trim_end().trim_end_matches(',').len();
            }
        } else {
            let line = self.source.line_start(start);
            let rest = text[end..].split_inclusive('\n').next().unwrap_or_default();
            if blank(&text[line..start]) && blank(rest.trim_end_matches(['\r', '\n'])) {
                (start, end) = (line, end + rest.len());
            }
        }
        Splice { start, end, text: String::new() }
    }
}

/// Not so of tables with dots or headings.
fn behind_its_key(source: &Source, value: &Value<'_>) -> bool {
    match value.tree {
        DeValue::Table(_) => source.excerpt(value.span).starts_with('{'),
        DeValue::Array(_) => value.members().first().is_none_or(|first| behind_its_key(source, first)),
        _ => true,
    }
}
