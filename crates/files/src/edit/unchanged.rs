//! Back to the disk, unless the file is no longer what was read.

use std::path::{Path, PathBuf};

use crate::source::{OpenError, Source};
use crate::write::{Existing, WriteError, write_file};

/// Replaces a file by an edited text, if it still holds the bytes that were read.
///
/// Between the comparison and the rename another program could still write; the file is whole
/// even then, but it is ours.
///
/// # Errors
/// See [`SaveError`]; the file is then as it was.
pub fn save(path: &Path, read: &Source, edited: &Source) -> Result<(), SaveError> {
    let now = Source::open(path)?;
    if now.bytes() != read.bytes() {
        return Err(SaveError::Changed { path: path.to_owned() });
    }
    Ok(write_file(path, &edited.bytes(), Existing::Replace)?)
}

/// Why an edited text was not saved.
#[derive(Debug, thiserror::Error)]
pub enum SaveError {
    /// Somebody else wrote to the file.
    #[error(
        "{}: the file was changed by another program since it was read; nothing was written, read it again",
        path.display()
    )]
    Changed {
        /// The file.
        path: PathBuf,
    },
    /// It cannot be read again.
    #[error(transparent)]
    Open(#[from] OpenError),
    /// It cannot be written.
    #[error(transparent)]
    Write(#[from] WriteError),
}
