//! Faults with the file they stand in: the only place that turns spans into lines.

use core::fmt;

use measure::{Fault, Severity, Span};

use crate::source::Source;

/// How many faults are shown; a file with more has one cause for most of them.
const MOST_SHOWN: usize = 30;
/// Longest piece of a line that is shown [characters].
const WIDEST: usize = 96;

/// Everything wrong in one source, in the order of the text. `Display` shows each fault with
/// line, column, the line and a marker.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Report {
    source: Source,
    faults: Vec<Fault>,
}

impl Report {
    /// Faults of a source, in any order.
    #[must_use]
    pub fn new(source: Source, mut faults: Vec<Fault>) -> Self {
        faults.sort_by(|a, b| (a.span, &a.field).cmp(&(b.span, &b.field)));
        Self { source, faults }
    }

    /// The same with one more.
    #[must_use]
    pub fn with(self, fault: Fault) -> Self {
        let Self { source, mut faults } = self;
        faults.push(fault);
        Self::new(source, faults)
    }

    /// The text they stand in.
    #[must_use]
    pub const fn source(&self) -> &Source {
        &self.source
    }

    /// The faults, in the order of the text.
    #[must_use]
    pub fn faults(&self) -> &[Fault] {
        &self.faults
    }

    /// Nothing to say.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.faults.is_empty()
    }

    /// Whether a fault stops the work.
    #[must_use]
    pub fn stops(&self) -> bool {
        self.count(Severity::Error) > 0
    }

    fn count(&self, severity: Severity) -> usize {
        self.faults.iter().filter(|fault| fault.severity == severity).count()
    }

    fn write_fault(&self, f: &mut fmt::Formatter<'_>, fault: &Fault) -> fmt::Result {
        let place = self.source.place(fault.span.start);
        write!(f, "{}:{}:{}:", self.source.name(), place.line, place.column)?;
        if fault.severity == Severity::Caution {
            f.write_str(" caution:")?;
        }
        writeln!(f, " {}", if fault.field.is_empty() { "the file" } else { &fault.field })?;
        let number = place.line.to_string();
        let (line, marker) = self.marked_line(fault.span);
        writeln!(f, "  {number} | {line}")?;
        writeln!(f, "  {:width$} | {marker}", "", width = number.len())?;
        writeln!(f, "  found: {}", fault.found)?;
        writeln!(f, "  allowed: {}", fault.allowed)?;
        writeln!(f, "  next: {}", fault.next)
    }

    /// The line in which a span starts, cut to a readable width, and the marker to go under it.
    fn marked_line(&self, span: Span) -> (String, String) {
        let place = self.source.place(span.start);
        let line: Vec<char> = place.text.chars().map(shown).collect();
        let marked = self.source.excerpt(span).split(['\n', '\r']).next().unwrap_or_default();
        let start = (place.column - 1).min(line.len());
        let end = (start + marked.chars().count().max(1)).min(line.len().max(start + 1));
        let first = if line.len() <= WIDEST { 0 } else { start.saturating_sub(WIDEST / 2) };
        let last = line.len().min(first + WIDEST);
        let before = if first > 0 { "... " } else { "" };
        let after = if last < line.len() { " ..." } else { "" };
        let piece: String = line[first..last].iter().collect();
        let indent = before.len() + start - first;
        let length = end.min(last.max(start + 1)) - start;
        (format!("{before}{piece}{after}"), format!("{:indent$}{}", "", "^".repeat(length)))
    }
}

/// A character as it may appear on a terminal: no control sequences, one column for a tab.
fn shown(c: char) -> char {
    match c {
        '\t' => ' ',
        c if c.is_control() => char::REPLACEMENT_CHARACTER,
        c => c,
    }
}

impl fmt::Display for Report {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for fault in self.faults.iter().take(MOST_SHOWN) {
            self.write_fault(f, fault)?;
        }
        if self.faults.len() > MOST_SHOWN {
            writeln!(f, "and {} more of the kind", self.faults.len() - MOST_SHOWN)?;
        }
        let (faults, cautions) = (self.count(Severity::Error), self.count(Severity::Caution));
        let plural = |n: usize| if n == 1 { "" } else { "s" };
        write!(f, "{}: {faults} fault{}", self.source.name(), plural(faults))?;
        if cautions > 0 {
            write!(f, ", {cautions} caution{}", plural(cautions))?;
        }
        Ok(())
    }
}

impl core::error::Error for Report {}

/// What a file says, with the cautions that came up on the way.
#[derive(Debug, Clone, PartialEq)]
pub struct Checked<T> {
    /// What it says.
    pub value: T,
    /// Cautions; never a fault that stops the work.
    pub cautions: Report,
}
