//! A text with the name it is known by, and the bounded reading of it from disk.

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use measure::Span;
use toml::de::{DeTable, DeValue};

/// Largest file that is read \[bytes\]. A hundred times the largest airframe anybody would measure.
pub const LARGEST: u64 = 4_000_000;

/// The byte order mark that some editors put before a text.
const MARK: &str = "\u{feff}";

/// A text to be read, and the name that its faults are reported under.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    name: String,
    text: String,
    /// A byte order mark stood before the text.
    marked: bool,
}

/// Where something stands in a source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place<'s> {
    /// Line, from 1.
    pub line: usize,
    /// Character in the line, from 1.
    pub column: usize,
    /// The line without its end.
    pub text: &'s str,
}

impl Source {
    /// A text that is already at hand.
    #[must_use]
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        Self { name: name.into(), text: text.into(), marked: false }
    }

    /// Another text under the same name, with a byte order mark if this one has it.
    #[must_use]
    pub(crate) fn with_text(&self, text: String) -> Self {
        Self { name: self.name.clone(), text, marked: self.marked }
    }

    /// The bytes that a file of this text has, byte order mark and all.
    #[must_use]
    pub fn bytes(&self) -> Vec<u8> {
        let mark = if self.marked { MARK } else { "" };
        [mark, &self.text].concat().into_bytes()
    }

    /// Reads a file: UTF-8 with or without a byte order mark (which is dropped), any line ends,
    /// at most [`LARGEST`] bytes. Pipes and devices are refused: they may never end.
    ///
    /// # Errors
    /// See [`OpenError`].
    pub fn open(path: &Path) -> Result<Self, OpenError> {
        let failed = |error| OpenError::from_io(path, error);
        let kind = fs::metadata(path).map_err(failed)?;
        if kind.is_dir() {
            return Err(OpenError::Folder { path: path.to_owned() });
        }
        if !kind.is_file() {
            return Err(OpenError::NotAFile { path: path.to_owned() });
        }
        let mut bytes = Vec::new();
        // One byte more than allowed: the file may have grown since its size was asked.
        File::open(path).map_err(failed)?.take(LARGEST + 1).read_to_end(&mut bytes).map_err(failed)?;
        if bytes.len() as u64 > LARGEST {
            return Err(OpenError::TooLarge { path: path.to_owned(), size: kind.len().max(LARGEST + 1) });
        }
        let text = decode(path, bytes)?;
        let (text, marked) = match text.strip_prefix(MARK) {
            Some(rest) => (rest.to_owned(), true),
            None => (text, false),
        };
        Ok(Self { name: path.display().to_string(), text, marked })
    }

    /// The name: a path, or that of a demo file.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The text.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Line and column of a byte; the end of the text for bytes beyond it.
    #[must_use]
    pub fn place(&self, byte: usize) -> Place<'_> {
        let byte = self.text.floor_char_boundary(byte);
        let before = &self.text[..byte];
        let start = before.rfind('\n').map_or(0, |end| end + 1);
        let line = self.text[start..].split('\n').next().unwrap_or_default();
        Place {
            line: 1 + before.matches('\n').count(),
            column: 1 + self.text[start..byte].chars().count(),
            text: line.trim_end_matches('\r'),
        }
    }

    /// Where the value at a path stands, places in lists counted from 1: `blend.2.to`. Where a part
    /// of the path is not there: what there is of it.
    #[must_use]
    pub fn locate(&self, path: &str) -> Span {
        let (tree, _) = DeTable::parse_recoverable(&self.text);
        let mut here = path.split('.');
        let mut found = here.next().and_then(|key| tree.get_ref().get(key));
        let mut span = Span::default();
        while let Some(value) = found {
            span = value.span().into();
            found = here.next().and_then(|key| match value.get_ref() {
                DeValue::Table(entries) => entries.get(key),
                DeValue::Array(list) => list.get(key.parse::<usize>().ok()?.checked_sub(1)?),
                _ => None,
            });
        }
        span
    }

    /// How its lines end.
    pub(crate) fn line_end(&self) -> &'static str {
        if self.text.contains("\r\n") { "\r\n" } else { "\n" }
    }

    /// The first byte of the line in which a byte stands.
    pub(crate) fn line_start(&self, byte: usize) -> usize {
        let byte = self.text.floor_char_boundary(byte);
        self.text[..byte].rfind('\n').map_or(0, |end| end + 1)
    }

    /// The text of a span; empty where the span does not fit the text.
    #[must_use]
    pub fn excerpt(&self, span: Span) -> &str {
        self.text.get(span.start..span.end).unwrap_or_default()
    }
}

fn decode(path: &Path, bytes: Vec<u8>) -> Result<String, OpenError> {
    let path = path.to_owned();
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Err(OpenError::Utf16 { path });
    }
    String::from_utf8(bytes).map_err(|error| {
        let valid = error.utf8_error().valid_up_to();
        let line = 1 + error.as_bytes()[..valid].iter().filter(|b| **b == b'\n').count();
        OpenError::NotUtf8 { path, line }
    })
}

/// Why a file could not be read. Each says what to try next.
#[derive(Debug, thiserror::Error)]
pub enum OpenError {
    /// Nothing is there.
    #[error("{}: there is no such file; check the name and the folder", path.display())]
    NotFound {
        /// As asked for.
        path: PathBuf,
    },
    /// A folder.
    #[error("{}: this is a folder; name a file in it", path.display())]
    Folder {
        /// As asked for.
        path: PathBuf,
    },
    /// A pipe, a socket or a device.
    #[error("{}: this is no ordinary file; save the text to a file and name that", path.display())]
    NotAFile {
        /// As asked for.
        path: PathBuf,
    },
    /// Over [`LARGEST`].
    #[error("{}: the file has {size} bytes, allowed are {LARGEST}; is it the right file?", path.display())]
    TooLarge {
        /// As asked for.
        path: PathBuf,
        /// Its size \[bytes\].
        size: u64,
    },
    /// Text in two-byte characters.
    #[error("{}: the file is saved as UTF-16; save it as UTF-8", path.display())]
    Utf16 {
        /// As asked for.
        path: PathBuf,
    },
    /// Not text in UTF-8.
    #[error("{}: line {line} is not text in UTF-8; save the file as UTF-8, or is it the right file?",
        path.display())]
    NotUtf8 {
        /// As asked for.
        path: PathBuf,
        /// The first line that is not, from 1.
        line: usize,
    },
    /// The system forbids it.
    #[error("{}: no permission to read it; change its permissions or copy it", path.display())]
    NoPermission {
        /// As asked for.
        path: PathBuf,
    },
    /// Anything else the system says.
    #[error("{}: it could not be read ({error})", path.display())]
    Other {
        /// As asked for.
        path: PathBuf,
        /// What the system said.
        #[source]
        error: io::Error,
    },
}

impl OpenError {
    fn from_io(path: &Path, error: io::Error) -> Self {
        let path = path.to_owned();
        match error.kind() {
            io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => Self::NotFound { path },
            io::ErrorKind::PermissionDenied => Self::NoPermission { path },
            io::ErrorKind::IsADirectory => Self::Folder { path },
            _ => Self::Other { path, error },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_count_lines_and_characters_from_one() {
        let source = Source::new("x", "a = 1\r\nb = \"°°\" # ü\n");
        assert_eq!(source.place(0), Place { line: 1, column: 1, text: "a = 1" });
        let hash = source.text().find('#').unwrap();
        assert_eq!(source.place(hash), Place { line: 2, column: 10, text: "b = \"°°\" # ü" });
        assert_eq!(source.place(usize::MAX).line, 3);
        // In the middle of a character: its start.
        let degree = source.text().find('°').unwrap();
        assert_eq!(source.place(degree + 1), source.place(degree));
    }

    #[test]
    fn paths_lead_to_values() {
        let source = Source::new("x", "a = { b = \"c\" }\n[[d]]\ne = 1\n[[d]]\ne = 2\n");
        let at = |path| source.excerpt(source.locate(path));
        assert_eq!(at("a.b"), "\"c\"");
        assert_eq!(at("d.2.e"), "2");
        assert_eq!(at("a.x.y"), "{ b = \"c\" }", "as far as it goes");
        assert_eq!(at("d.0.e"), at("d"));
        assert_eq!(at("nothing"), "");
    }

    #[test]
    fn the_system_s_refusals_are_told_apart() {
        let says = |kind: io::ErrorKind| OpenError::from_io(Path::new("a.toml"), kind.into()).to_string();
        assert_eq!(
            says(io::ErrorKind::PermissionDenied),
            "a.toml: no permission to read it; change its permissions or copy it"
        );
        assert_eq!(
            says(io::ErrorKind::NotFound),
            "a.toml: there is no such file; check the name and the folder"
        );
        assert!(says(io::ErrorKind::TimedOut).starts_with("a.toml: it could not be read ("));
    }
}
