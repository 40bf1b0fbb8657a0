//! Where a value stands in the text of a mix file.

use measure::{Fault, Severity, Side, Span, Stick};
use toml::de::{DeTable, DeValue};

use super::entry::{Entry, Table};
use crate::reader::{clean, did_you_mean};
use crate::report::Report;
use crate::source::Source;

/// A mix file that was read without faults, as a tree with spans.
pub(super) struct Document<'d> {
    source: &'d Source,
    root: &'d DeTable<'d>,
}

/// A value and where it stands.
#[derive(Clone, Copy)]
pub(super) struct Value<'d> {
    pub(super) tree: &'d DeValue<'d>,
    pub(super) span: Span,
}

impl<'d> Value<'d> {
    pub(super) fn child(&self, key: &str) -> Option<Self> {
        let value = self.tree.as_table()?.get(key)?;
        Some(Self { tree: value.get_ref(), span: value.span().into() })
    }

    /// The members of a list, none of anything else.
    pub(super) fn members(&self) -> Vec<Self> {
        let list = self.tree.as_array().into_iter().flatten();
        list.map(|value| Self { tree: value.get_ref(), span: value.span().into() }).collect()
    }

    fn name(&self) -> Option<&'d str> {
        self.tree.as_table()?.get("name")?.get_ref().as_str().map(str::trim)
    }
}

impl<'d> Document<'d> {
    pub(super) const fn new(source: &'d Source, root: &'d DeTable<'d>) -> Self {
        Self { source, root }
    }

    fn at_root(&self, key: &str) -> Option<Value<'d>> {
        let value = self.root.get(key)?;
        Some(Value { tree: value.get_ref(), span: value.span().into() })
    }

    fn blends(&self) -> Vec<Value<'d>> {
        self.at_root("blend").map_or_else(Vec::new, |list| list.members())
    }

    /// The list of blends, if it is written in brackets and not under headings.
    pub(super) fn inline_blends(&self) -> Option<Value<'d>> {
        let list = self.at_root("blend")?;
        let text = self.source.excerpt(list.span);
        (text.starts_with('[') && text.ends_with(']') && !text.starts_with("[[")).then_some(list)
    }

    pub(super) fn blend(&self, name: &str) -> Result<(usize, Value<'d>), Report> {
        let blends = self.blends();
        let found = blends.iter().position(|blend| blend.name() == Some(name.trim()));
        found.map(|i| (i + 1, blends[i])).ok_or_else(|| {
            let known: Vec<_> = blends.iter().filter_map(Value::name).collect();
            self.unknown("blend", name, &known)
        })
    }

    /// A value of a blend.
    pub(super) fn in_blend(&self, name: &str, key: &str) -> Result<Value<'d>, Report> {
        let (number, blend) = self.blend(name)?;
        blend.child(key).ok_or_else(|| self.missing(format!("blend.{number}"), blend.span, key))
    }

    /// A blend as a table, and where it stands among the others: `blend.2`.
    pub(super) fn blend_table(&self, name: &str) -> Result<(String, Table<'d>), Report> {
        let (number, blend) = self.blend(name)?;
        let path = format!("blend.{number}");
        let table = Table::of(self.source, &blend);
        Ok((path.clone(), table.ok_or_else(|| self.unwritable(&path, blend.span))?))
    }

    /// The entries of a blend's shape: both sides or one, or a curve.
    pub(super) fn shape(&self, name: &str) -> Result<(Table<'d>, Vec<Entry<'d>>), Report> {
        let (_, table) = self.blend_table(name)?;
        let entries =
            ["left", "down", "right", "up", "full", "curve"].iter().filter_map(|key| table.entry(key));
        Ok((table, entries.collect()))
    }

    /// Whether the blend's lead has two sides; not known of one with a curve.
    pub(super) fn has_two_sides(&self, name: &str) -> Result<bool, Report> {
        let (_, blend) = self.blend(name)?;
        Ok(blend.child("full").is_none())
    }

    /// What stands at a path such as `panel.2.root`, places in lists counted from 1; the file itself
    /// for an empty one.
    pub(super) fn table(&self, path: &str) -> Option<Table<'d>> {
        let mut parts = path.split('.').filter(|part| !part.is_empty());
        let Some(first) = parts.next() else { return Some(Table::root(self.source, self.root)) };
        let mut here = self.at_root(first)?;
        for part in parts {
            here = match here.tree {
                DeValue::Array(_) => *here.members().get(part.parse::<usize>().ok()?.checked_sub(1)?)?,
                _ => here.child(part)?,
            };
        }
        Table::of(self.source, &here)
    }

    /// A value that is there, but not in a way that can be changed by its bytes.
    pub(super) fn unwritable(&self, path: &str, span: Span) -> Report {
        self.fault(Fault {
            span,
            severity: Severity::Error,
            field: path.to_owned(),
            found: "a value that is written with dots, or under a heading of its own".to_owned(),
            allowed: "a value behind its key, in braces if it has several parts".to_owned(),
            next: "write it in braces by hand once; then it can be changed".to_owned(),
        })
    }

    /// A blend whose lines do not stand together.
    pub(super) fn scattered(source: &Source, blend: &str) -> Report {
        let fault = Fault {
            span: Span::default(),
            severity: Severity::Error,
            field: "blend".to_owned(),
            found: format!("\"{}\", with another table between its lines", clean(blend)),
            allowed: "a blend whose lines stand together, to be taken out".to_owned(),
            next: "move its lines together by hand once; then it can be taken out".to_owned(),
        };
        Report::new(source.clone(), vec![fault])
    }

    /// The share of one side, whatever its key.
    pub(super) fn side(&self, name: &str, side: Side) -> Result<Value<'d>, Report> {
        let keys: &[&str] = match side {
            Side::Left => &["left", "down"],
            Side::Right => &["right", "up", "full"],
        };
        let (number, blend) = self.blend(name)?;
        keys.iter()
            .find_map(|key| blend.child(key))
            .ok_or_else(|| self.missing(format!("blend.{number}"), blend.span, keys[0]))
    }

    /// `throw` or `expo` of a stick.
    pub(super) fn rate(&self, rates: &str, stick: Stick, key: &str) -> Result<Value<'d>, Report> {
        let sets = self.at_root("rates");
        let Some(set) = sets.and_then(|sets| sets.child(rates)) else {
            let known: Vec<_> = sets
                .and_then(|sets| sets.tree.as_table())
                .into_iter()
                .flat_map(|sets| sets.keys().map(|key| key.get_ref().as_ref()))
                .collect();
            return Err(self.unknown("set of rates", rates, &known));
        };
        let path = format!("rates.{}", clean(rates));
        let word = stick.word();
        let of_stick = set.child(word).ok_or_else(|| self.missing(path.clone(), set.span, word))?;
        of_stick.child(key).ok_or_else(|| self.missing(format!("{path}.{word}"), of_stick.span, key))
    }

    fn missing(&self, path: String, span: Span, key: &str) -> Report {
        self.fault(Fault {
            span,
            severity: Severity::Error,
            field: format!("{path}.{key}"),
            found: format!("no \"{key}\" to change"),
            allowed: "a value that stands in the file".to_owned(),
            next: format!("write {key} into the file by hand once; then it can be changed"),
        })
    }

    fn unknown(&self, what: &str, name: &str, known: &[&str]) -> Report {
        let names: Vec<_> = known.iter().map(|name| format!("\"{}\"", clean(name))).collect();
        let next = did_you_mean(name, known.iter().copied());
        self.fault(Fault {
            span: Span::default(),
            severity: Severity::Error,
            field: String::new(),
            found: format!("no {what} \"{}\"", clean(name)),
            allowed: if names.is_empty() { "none: the file has none".to_owned() } else { names.join(", ") },
            next: next.unwrap_or_else(|| "use one of these names, or add it to the file".to_owned()),
        })
    }

    fn fault(&self, fault: Fault) -> Report {
        Report::new(self.source.clone(), vec![fault])
    }
}
