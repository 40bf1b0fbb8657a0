//! From what somebody typed to a text: a path, or the name of a demo file.

use core::fmt;
use std::path::Path;

use crate::demo::{demo, demo_names};
use crate::kind::Kind;
use crate::nearest::nearest;
use crate::reader::clean;
use crate::source::{OpenError, Source};

/// Opens a file, or the demo file of that name. A file in reach wins over a demo name; a folder
/// does not.
///
/// # Errors
/// No such file and no such name, or a file that cannot be read.
pub fn find(kind: Kind, name_or_path: &str) -> Result<Source, FindError> {
    let path = Path::new(name_or_path);
    if path.is_file() {
        return Ok(Source::open(path)?);
    }
    if let Some(source) = demo(kind, name_or_path.trim()) {
        return Ok(source);
    }
    if path.exists() {
        return Ok(Source::open(path)?);
    }
    Err(FindError::Unknown { kind, wanted: name_or_path.to_owned() })
}

/// Why nothing was found.
#[derive(Debug, thiserror::Error)]
pub enum FindError {
    /// It is there, but cannot be read.
    #[error(transparent)]
    Open(#[from] OpenError),
    /// Neither a file nor a demo name.
    #[error("{}", Unknown { kind: *kind, wanted })]
    Unknown {
        /// What was looked for.
        kind: Kind,
        /// As typed.
        wanted: String,
    },
}

struct Unknown<'w> {
    kind: Kind,
    wanted: &'w str,
}

impl fmt::Display for Unknown<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (kind, article) = (self.kind.word(), self.kind.with_article());
        write!(f, "\"{}\" is neither a file nor a demo {kind}; ", clean(self.wanted))?;
        if let Some(near) = nearest(stem(self.wanted), demo_names(self.kind)) {
            write!(f, "did you mean \"{near}\"? ")?;
        }
        let known: Vec<_> = demo_names(self.kind).collect();
        if known.is_empty() {
            write!(f, "give the path of {article} file (there is no demo {kind})")
        } else {
            write!(f, "give the path of {article} file, or one of the demo names {}", known.join(", "))
        }
    }
}

/// The name of a file without folders and ending: somebody may have typed `demo/larkspur.toml`.
pub(crate) fn stem(wanted: &str) -> &str {
    let file = wanted.rsplit(['/', '\\']).next().unwrap_or_default();
    file.strip_suffix(".toml").unwrap_or(file)
}
