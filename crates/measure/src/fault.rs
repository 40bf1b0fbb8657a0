/// Bytes `start..end` of a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span {
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

impl From<core::ops::Range<usize>> for Span {
    fn from(range: core::ops::Range<usize>) -> Self {
        Self { start: range.start, end: range.end }
    }
}

/// Whether a fault stops the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// The file cannot be used.
    Error,
    /// It can be used, but the pilot should know.
    Caution,
}

/// Something wrong in a text, without the name of the file: that is known one layer up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Where.
    pub span: Span,
    /// Whether it stops the work.
    pub severity: Severity,
    /// The field, as a path: `panel.2.hinge.1.chord`.
    pub field: String,
    /// What was found, in words.
    pub found: String,
    /// What is allowed, in words.
    pub allowed: String,
    /// The next thing to try.
    pub next: String,
}
