//! Walks a parsed TOML tree and collects every fault on the way. A reading function returns
//! `Err(Reported)` when it has reported a fault; callers read all fields first and only then
//! build their value, so that one pass finds everything.

use core::cell::RefCell;
use std::path::Path;

use measure::quantity::Unit;
use measure::{Dimension, Fault, Measured, Quantity, Severity, Span, quantity};
use toml::de::{DeTable, DeValue};

use crate::grammar::parse;
use crate::nearest::nearest;
use crate::report::{Checked, Report};
use crate::source::Source;

/// A fault has been reported; there is no value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Reported;

pub(crate) type Read<T> = Result<T, Reported>;

/// The faults found so far.
pub(crate) struct Faults<'d> {
    source: &'d Source,
    found: RefCell<Vec<Fault>>,
}

impl<'d> Faults<'d> {
    fn new(source: &'d Source) -> Self {
        Self { source, found: RefCell::default() }
    }

    fn into_list(self) -> Vec<Fault> {
        self.found.into_inner()
    }

    /// The line of a span, for messages that name a second place.
    fn line(&self, span: Span) -> usize {
        self.source.place(span.start).line
    }

    /// What stands at a span, in one line.
    fn excerpt(&self, span: Span) -> String {
        const LONGEST: usize = 40;
        let text = self.source.excerpt(span);
        let line: String = text.chars().take_while(|c| !c.is_control()).take(LONGEST).collect();
        if line.len() < text.len() { format!("{line}...") } else { line }
    }

    pub(crate) fn add(&self, fault: Fault) -> Reported {
        self.found.borrow_mut().push(fault);
        Reported
    }
}

/// The three sentences of a fault.
pub(crate) struct Says {
    pub(crate) found: String,
    pub(crate) allowed: String,
    pub(crate) next: String,
}

impl Says {
    pub(crate) fn new(found: impl Into<String>, allowed: impl Into<String>, next: impl Into<String>) -> Self {
        Self { found: found.into(), allowed: allowed.into(), next: next.into() }
    }

    pub(crate) fn at(self, span: Span, field: String, severity: Severity) -> Fault {
        Fault { span, severity, field, found: self.found, allowed: self.allowed, next: self.next }
    }
}

/// Reads a whole file, whose tables `read` knows.
pub(crate) fn read_source<T>(
    source: Source,
    read: impl FnOnce(&Item<'_>) -> Read<T>,
) -> Result<Checked<T>, Report> {
    let faults = Faults::new(&source);
    let value = parse(&source, &faults).and_then(|tree| read(&Item::root(&tree, &faults)));
    let list = faults.into_list();
    let report = Report::new(source, list);
    match value {
        Ok(value) if !report.stops() => Ok(Checked { value, cautions: report }),
        _ => Err(report),
    }
}

/// A value, the place where it stands and the way to it.
#[derive(Clone)]
pub(crate) struct Item<'d> {
    pub(crate) faults: &'d Faults<'d>,
    pub(crate) path: String,
    pub(crate) span: Span,
    pub(crate) value: &'d DeValue<'d>,
}

/// What a quantity may be. Limits in SI, both allowed.
#[derive(Clone, Copy)]
pub(crate) struct Wanted {
    pub(crate) dimension: Dimension,
    pub(crate) least: f64,
    pub(crate) most: f64,
    pub(crate) tolerance: Tolerance,
}

/// How far a value may be off when its author did not say.
#[derive(Clone, Copy)]
pub(crate) enum Tolerance {
    /// So much, in SI.
    Plain(f64),
    /// This share of the value.
    Relative(f64),
}

impl Tolerance {
    fn of(self, value: f64) -> f64 {
        match self {
            Self::Plain(tolerance) => tolerance,
            Self::Relative(share) => share * value.abs(),
        }
    }
}

impl Wanted {
    /// The next thing to try for a value out of its range.
    pub(crate) const ADVICE: &str = "check its sign, its decimal point and its unit";

    pub(crate) const fn with_tolerance(self, tolerance: Tolerance) -> Self {
        Self { tolerance, ..self }
    }

    pub(crate) const fn between(self, least: f64, most: f64) -> Self {
        Self { least, most, ..self }
    }

    /// `"a length from 1 mm to 5000 mm"`.
    pub(crate) fn range(self) -> String {
        let unit = unit_for(self.dimension, self.least.abs().max(self.most.abs()));
        let [least, most] = [self.least, self.most].map(|si| shown_in(unit, si));
        format!("{} from {least} to {most}", self.dimension.word())
    }
}

/// An SI value in the commonest unit of its dimension, without the noise of its last bits:
/// `"420 mm"`.
pub(crate) fn shown(dimension: Dimension, si: f64) -> String {
    shown_in(unit_for(dimension, si.abs()), si)
}

/// The commonest, but for lengths that nobody says in millimetres.
fn unit_for(dimension: Dimension, si: f64) -> Option<Unit> {
    const LONG: f64 = 10.0;
    let metres = if dimension == Dimension::Length && si >= LONG { Unit::find("m") } else { None };
    metres.or_else(|| dimension.units().next())
}

fn shown_in(unit: Option<Unit>, si: f64) -> String {
    let Some(unit) = unit else { return si.to_string() };
    let text = unit.text(Measured::exact(si));
    let (number, word) = text.split_once(' ').unwrap_or((text.as_str(), ""));
    let rounded = number.parse().ok().and_then(|n: f64| format!("{n:.8e}").parse().ok()).unwrap_or(f64::NAN);
    // Adding zero turns -0 into 0.
    format!("{} {word}", rounded + 0.0).trim_end().to_owned()
}

impl<'d> Item<'d> {
    /// The whole file.
    fn root(value: &'d DeValue<'d>, faults: &'d Faults<'d>) -> Self {
        Self { faults, path: String::new(), span: Span::default(), value }
    }

    pub(crate) fn fault(&self, says: Says) -> Reported {
        self.faults.add(says.at(self.span, self.path.clone(), Severity::Error))
    }

    pub(crate) fn caution(&self, says: Says) {
        self.faults.add(says.at(self.span, self.path.clone(), Severity::Caution));
    }

    /// The path of a file that lies beside the one being read, if there is one of that name.
    pub(crate) fn beside(&self, name: &str) -> Option<String> {
        let path = Path::new(self.faults.source.name()).parent()?.join(name);
        path.is_file().then(|| path.display().to_string())
    }

    /// `"panel.1.root.chord on line 12"`.
    pub(crate) fn name_and_line(&self) -> String {
        format!("{} on line {}", self.path, self.faults.line(self.span))
    }

    /// Its text in one line.
    pub(crate) fn excerpt(&self) -> String {
        self.faults.excerpt(self.span)
    }

    /// The way to it as a heading has it, without the places in lists: `panel.hinge`.
    pub(crate) fn heading(&self) -> String {
        let keys = self.path.split('.').filter(|key| key.parse::<usize>().is_err());
        keys.collect::<Vec<_>>().join(".")
    }

    /// The kind of value and its text, for `found`.
    pub(crate) fn described(&self) -> String {
        let text = self.faults.excerpt(self.span);
        match self.value {
            DeValue::String(_) => format!("the text {text}"),
            DeValue::Float(f) if ["nan", "inf"].iter().any(|word| f.as_str().ends_with(word)) => {
                format!("{text}, not a finite number")
            }
            DeValue::Integer(_) | DeValue::Float(_) => format!("{text}, a bare number"),
            DeValue::Boolean(_) => format!("{text}, a yes-or-no value"),
            DeValue::Datetime(_) => format!("{text}, a date"),
            DeValue::Array(_) => format!("a list, {text}"),
            DeValue::Table(_) => format!("a table, {text}"),
        }
    }

    pub(crate) fn as_str(&self) -> Option<&'d str> {
        self.value.as_str()
    }

    pub(crate) const fn is_table(&self) -> bool {
        matches!(self.value, DeValue::Table(_))
    }

    /// A text that is not blank, without blanks around it.
    pub(crate) fn text(&self) -> Read<String> {
        match self.as_str().map(str::trim) {
            Some(text) if !text.is_empty() => Ok(text.to_owned()),
            Some(_) => Err(self.fault(Says::new("an empty text", "a name", "write a name in quotes"))),
            None => {
                Err(self.fault(Says::new(self.described(), "a text in quotes", "write a text in quotes")))
            }
        }
    }

    /// A quantity of the wanted kind and size.
    pub(crate) fn quantity(&self, wanted: Wanted) -> Read<Measured> {
        self.quantity_or_advice(wanted, Wanted::ADVICE)
    }

    /// The same, with the next thing to try where it is out of its range.
    pub(crate) fn quantity_or_advice(&self, wanted: Wanted, advice: &str) -> Read<Measured> {
        let read = self.unbounded(wanted.dimension)?;
        if (wanted.least..=wanted.most).contains(&read.value) {
            return Ok(read.or_tolerance(wanted.tolerance.of(read.value)));
        }
        Err(self.fault(Says::new(self.excerpt(), wanted.range(), advice)))
    }

    fn unbounded(&self, dimension: Dimension) -> Read<Quantity> {
        if let Some(text) = self.as_str() {
            return quantity::parse(text, dimension)
                .map_err(|e| self.fault(Says::new(e.found(), dimension.accepted(), e.next())));
        }
        let number = self.plain_number();
        match (dimension, number) {
            (Dimension::Number, Some(value)) if value.is_finite() => Ok(Quantity { value, tolerance: None }),
            (Dimension::Number, _) => Err(self.fault(Says::new(
                self.described(),
                "a plain, finite number, or a text with a tolerance",
                format!("write it like {0} or \"{0} ± 0.02\"", dimension.example()),
            ))),
            _ => Err(self.fault(Says::new(
                self.described(),
                dimension.accepted(),
                self.quoted_with_unit(dimension),
            ))),
        }
    }

    fn quoted_with_unit(&self, dimension: Dimension) -> String {
        match (self.plain_number(), dimension.units().next()) {
            (Some(_), Some(unit)) => format!(
                "write it in quotes with its unit: \"{} {}\"",
                self.faults.excerpt(self.span),
                unit.word
            ),
            _ => format!("write it like \"{}\"", dimension.example()),
        }
    }

    fn plain_number(&self) -> Option<f64> {
        match self.value {
            DeValue::Integer(i) if i.radix() == 10 => i.as_str().parse().ok(),
            DeValue::Float(f) => f.as_str().parse().ok(),
            _ => None,
        }
    }

    /// A whole number within limits, both allowed.
    pub(crate) fn count(&self, least: u32, most: u32) -> Read<u32> {
        let number = match self.value {
            DeValue::Integer(i) if i.radix() == 10 => i.as_str().parse::<u32>().ok(),
            _ => None,
        };
        number.filter(|n| (least..=most).contains(n)).ok_or_else(|| {
            self.fault(Says::new(
                self.described(),
                format!("a whole number from {least} to {most}, without quotes"),
                format!("write it like {least}"),
            ))
        })
    }

    /// One of a few words, and what it stands for.
    pub(crate) fn choice<T: Copy>(&self, words: &[(&str, T)]) -> Read<T> {
        let known = || words.iter().map(|(word, _)| *word);
        let Some(text) = self.as_str().map(str::trim) else {
            let says = Says::new(self.described(), one_of(known()), "write one of these words in quotes");
            return Err(self.fault(says));
        };
        words.iter().find(|(word, _)| *word == text).map(|(_, value)| *value).ok_or_else(|| {
            let next = did_you_mean(text, known()).unwrap_or_else(|| "write one of these words".to_owned());
            self.fault(Says::new(format!("\"{}\"", clean(text)), one_of(known()), next))
        })
    }

    /// A table whose keys are names that the author chose.
    pub(crate) fn names(&self, allowed: &str) -> Read<Vec<(String, Self)>> {
        match self.value {
            DeValue::Table(entries) => {
                Ok(in_order(entries).filter_map(|key| Some((key.to_owned(), self.child(key)?))).collect())
            }
            _ => Err(self.fault(Says::new(self.described(), allowed, "write a heading in brackets"))),
        }
    }

    /// The value of a key, if this is a table that has it.
    pub(crate) fn child(&self, key: &str) -> Option<Self> {
        match self.value {
            DeValue::Table(entries) => entries.get(key).map(|value| Self {
                faults: self.faults,
                path: path_to(&self.path, key),
                span: value.span().into(),
                value: value.get_ref(),
            }),
            _ => None,
        }
    }

    /// The members of a list.
    pub(crate) fn list(&self) -> Read<Vec<Self>> {
        match self.value {
            DeValue::Array(array) => Ok(array
                .iter()
                .enumerate()
                .map(|(i, value)| Item {
                    faults: self.faults,
                    path: format!("{}.{}", self.path, i + 1),
                    span: value.span().into(),
                    value: value.get_ref(),
                })
                .collect()),
            _ => {
                Err(self.fault(Says::new(self.described(), "a list", "write it like [ first, second, ... ]")))
            }
        }
    }
}

/// The keys in the order of the text.
fn in_order<'d>(entries: &'d DeTable<'d>) -> impl Iterator<Item = &'d str> {
    let mut keys: Vec<_> = entries.keys().collect();
    keys.sort_by_key(|key| key.span().start);
    keys.into_iter().map(|key| key.get_ref().as_ref())
}

pub(crate) fn path_to(table: &str, key: &str) -> String {
    if table.is_empty() { clean(key) } else { format!("{table}.{}", clean(key)) }
}

/// Reports the second of every two that bear the same name.
pub(crate) fn report_twins<'d>(named: &[(String, Item<'d>)]) {
    for (i, (name, item)) in named.iter().enumerate() {
        if let Some((_, first)) = named[..i].iter().find(|(other, _)| other == name) {
            item.fault(Says::new(
                format!("the name \"{}\" again", clean(name)),
                "names that differ".to_owned(),
                format!("rename it, or remove it; the first is {}", first.name_and_line()),
            ));
        }
    }
}

/// Words for a message: no control characters, not endless.
pub(crate) fn clean(text: &str) -> String {
    const LONGEST: usize = 40;
    text.chars().take(LONGEST).map(|c| if c.is_control() { char::REPLACEMENT_CHARACTER } else { c }).collect()
}

pub(crate) fn did_you_mean<'c>(word: &str, known: impl IntoIterator<Item = &'c str>) -> Option<String> {
    nearest(word, known).map(|near| format!("did you mean \"{near}\"?"))
}

pub(crate) fn one_of<'c>(words: impl IntoIterator<Item = &'c str>) -> String {
    let words: Vec<_> = words.into_iter().map(|word| format!("\"{word}\"")).collect();
    joined(&words, "or")
}

pub(crate) fn listed<'c>(words: impl IntoIterator<Item = &'c str>) -> String {
    let words: Vec<_> = words.into_iter().map(str::to_owned).collect();
    joined(&words, "and")
}

fn joined(words: &[String], last_word: &str) -> String {
    match words.split_last() {
        None => "none".to_owned(),
        Some((only, [])) => only.clone(),
        Some((last, rest)) => format!("{} {last_word} {last}", rest.join(", ")),
    }
}
