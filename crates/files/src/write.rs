//! The one writer. A file appears whole or not at all: it is written beside its target under
//! another name, brought to the disk, and then renamed, which replaces in one step.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Component, Path, PathBuf};
use std::process;

/// What to do with a file that is there already.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Existing {
    /// Leave it and refuse to write.
    Keep,
    /// Replace it, `--force`.
    Replace,
}

/// Writes one file. Missing folders are made. A link is followed: what it points to is replaced.
///
/// # Errors
/// See [`WriteError`]; the target is then as it was.
pub fn write_file(path: &Path, bytes: &[u8], existing: Existing) -> Result<(), WriteError> {
    let failed = |error| WriteError::from_io(path, error);
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    refuse(&target, existing)?;
    let (Some(folder), Some(_)) = (folder_of(&target), target.file_name()) else {
        return Err(WriteError::NoFileName { path: path.to_owned() });
    };
    fs::create_dir_all(folder).map_err(failed)?;
    let draft = Draft::file(folder, bytes).map_err(failed)?;
    draft.rename_to(&target).map_err(failed)?;
    sync_folder(folder);
    Ok(())
}

/// Writes all outputs into a folder. They are written in full before the first takes its place;
/// a folder that is not there yet appears with all of them at once.
///
/// # Errors
/// See [`WriteError`]. What was there stays, unless the system fails between two renames.
pub fn write_folder(
    folder: &Path,
    outputs: &[(String, Vec<u8>)],
    existing: Existing,
) -> Result<(), WriteError> {
    check_names(outputs)?;
    let failed = |error| WriteError::from_io(folder, error);
    if folder.exists() && !folder.is_dir() {
        return Err(WriteError::NotAFolder { path: folder.to_owned() });
    }
    for (name, _) in outputs {
        refuse(&folder.join(name), existing)?;
    }
    if folder.exists() {
        let draft = Draft::folder(folder, outputs)?;
        for (name, _) in outputs {
            fs::rename(draft.path.join(name), folder.join(name)).map_err(failed)?;
        }
        sync_folder(folder);
        return Ok(());
    }
    let Some(parent) = folder_of(folder) else {
        return Err(WriteError::NoFileName { path: folder.to_owned() });
    };
    fs::create_dir_all(parent).map_err(failed)?;
    Draft::folder(parent, outputs)?.rename_to(folder).map_err(failed)?;
    sync_folder(parent);
    Ok(())
}

/// The folder that a path lies in; the present one for a bare name.
fn folder_of(path: &Path) -> Option<&Path> {
    path.parent().map(|folder| if folder.as_os_str().is_empty() { Path::new(".") } else { folder })
}

fn refuse(target: &Path, existing: Existing) -> Result<(), WriteError> {
    if target.is_dir() {
        return Err(WriteError::IsAFolder { path: target.to_owned() });
    }
    if existing == Existing::Keep && target.symlink_metadata().is_ok() {
        return Err(WriteError::Exists { path: target.to_owned() });
    }
    Ok(())
}

/// Names are ours, but some are made of what a pilot called a blend: no way out of the folder,
/// and no two alike, not even on a disk that ignores case.
fn check_names(outputs: &[(String, Vec<u8>)]) -> Result<(), WriteError> {
    for (i, (name, _)) in outputs.iter().enumerate() {
        let mut parts = Path::new(name).components();
        let plain = matches!((parts.next(), parts.next()), (Some(Component::Normal(part)), None) if part == name.as_str());
        let twin = outputs[..i].iter().any(|(other, _)| other.to_lowercase() == name.to_lowercase());
        if !plain || twin || name.contains(['\\', ':', '\0']) {
            return Err(WriteError::BadName { name: name.clone() });
        }
    }
    Ok(())
}

/// Something half written, under a name of its own; removed unless it is renamed.
struct Draft {
    path: PathBuf,
}

impl Draft {
    fn file(folder: &Path, bytes: &[u8]) -> io::Result<Self> {
        let (draft, mut file) =
            Self::under_free_name(folder, |path| OpenOptions::new().write(true).create_new(true).open(path))?;
        file.write_all(bytes)?;
        file.sync_all()?;
        Ok(draft)
    }

    fn folder(parent: &Path, outputs: &[(String, Vec<u8>)]) -> Result<Self, WriteError> {
        let (draft, ()) = Self::under_free_name(parent, |path| fs::create_dir(path))
            .map_err(|error| WriteError::from_io(parent, error))?;
        for (name, bytes) in outputs {
            let path = draft.path.join(name);
            let written = File::create_new(&path).and_then(|mut file| {
                file.write_all(bytes)?;
                file.sync_all()
            });
            written.map_err(|error| WriteError::from_io(&path, error))?;
        }
        sync_folder(&draft.path);
        Ok(draft)
    }

    /// Tries names until one is free: an earlier run may have been killed and left its draft.
    fn under_free_name<T>(folder: &Path, make: impl Fn(&Path) -> io::Result<T>) -> io::Result<(Self, T)> {
        const MOST: u32 = 1000;
        let mut failure = io::Error::from(io::ErrorKind::AlreadyExists);
        for number in 0..MOST {
            let path = folder.join(format!(".countermix-{}-{number}.tmp", process::id()));
            match make(&path) {
                Ok(made) => return Ok((Self { path }, made)),
                Err(error) if error.kind() == io::ErrorKind::AlreadyExists => failure = error,
                Err(error) => return Err(error),
            }
        }
        Err(failure)
    }

    fn rename_to(self, target: &Path) -> io::Result<()> {
        fs::rename(&self.path, target)
    }
}

impl Drop for Draft {
    /// After a rename nothing is left to remove; a failure to remove changes no result.
    fn drop(&mut self) {
        let _ = if self.path.is_dir() { fs::remove_dir_all(&self.path) } else { fs::remove_file(&self.path) };
    }
}

/// Brings a rename to the disk where the system can; where it cannot, the files are whole anyway.
fn sync_folder(folder: &Path) {
    let _ = File::open(folder).and_then(|folder| folder.sync_all());
}

/// Why nothing was written. Each says what to try next.
#[derive(Debug, thiserror::Error)]
pub enum WriteError {
    /// The target is there and may not be replaced.
    #[error("{}: it exists already; choose another name, or add --force to replace it", path.display())]
    Exists {
        /// The target.
        path: PathBuf,
    },
    /// A folder stands where the file should go.
    #[error("{}: this is a folder; name a file in it", path.display())]
    IsAFolder {
        /// The target.
        path: PathBuf,
    },
    /// A file stands where the folder should go.
    #[error("{}: this is a file, not a folder; choose another folder", path.display())]
    NotAFolder {
        /// The target.
        path: PathBuf,
    },
    /// A path that ends in no name.
    #[error("{}: this names no file; add a name", path.display())]
    NoFileName {
        /// The target.
        path: PathBuf,
    },
    /// The name of an output that is not simply a name of its own.
    #[error("\"{}\" cannot be the name of an output; rename the blend or manoeuvre it comes from", name.escape_debug())]
    BadName {
        /// The name.
        name: String,
    },
    /// The system forbids it.
    #[error("{}: no permission to write it; choose another folder", path.display())]
    NoPermission {
        /// The target.
        path: PathBuf,
    },
    /// No space is left.
    #[error("{}: the disk is full, nothing was written; free some space or choose another disk", path.display())]
    DiskFull {
        /// The target.
        path: PathBuf,
    },
    /// Anything else the system says.
    #[error("{}: it could not be written ({error})", path.display())]
    Other {
        /// The target.
        path: PathBuf,
        /// What the system said.
        #[source]
        error: io::Error,
    },
}

impl WriteError {
    fn from_io(path: &Path, error: io::Error) -> Self {
        let path = path.to_owned();
        match error.kind() {
            io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
                Self::NoPermission { path }
            }
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => Self::DiskFull { path },
            io::ErrorKind::NotADirectory => Self::NotAFolder { path },
            io::ErrorKind::IsADirectory => Self::IsAFolder { path },
            _ => Self::Other { path, error },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_system_s_refusals_are_told_apart() {
        let says = |kind: io::ErrorKind| WriteError::from_io(Path::new("out/a.svg"), kind.into()).to_string();
        assert_eq!(
            says(io::ErrorKind::StorageFull),
            "out/a.svg: the disk is full, nothing was written; free some space or choose another disk"
        );
        assert_eq!(
            says(io::ErrorKind::PermissionDenied),
            "out/a.svg: no permission to write it; choose another folder"
        );
    }

    #[test]
    fn a_draft_that_is_given_up_leaves_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let draft = Draft::file(folder.path(), b"half").unwrap();
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
        drop(draft);
        let outputs = [("a.svg".to_owned(), b"a".to_vec())];
        drop(Draft::folder(folder.path(), &outputs).unwrap());
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
    }

    #[test]
    fn a_draft_left_by_a_killed_run_is_no_obstacle() {
        let folder = tempfile::tempdir().unwrap();
        let left = Draft::file(folder.path(), b"old").unwrap();
        let fresh = Draft::file(folder.path(), b"new").unwrap();
        assert_ne!(left.path, fresh.path);
    }
}
