//! The one writer. A file appears whole or not at all: it is written beside its target under
//! another name, brought to the disk, and then renamed, which replaces in one step.

use std::fs::{self, File};
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

/// What the writer asks of the system, in this order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Step {
    Folder,
    Create,
    Write,
    Sync,
    Rename,
}

/// Asked before each step about the path it works on, so that tests can let any of them fail.
type Watch<'w> = &'w dyn Fn(Step, &Path) -> io::Result<()>;

fn unwatched(_: Step, _: &Path) -> io::Result<()> {
    Ok(())
}

/// Writes one file. Missing folders are made. A link is followed: what it points to is replaced.
/// A file that is replaced keeps its permissions; one that is write-protected is not replaced.
///
/// # Errors
/// See [`WriteError`]; the target is then as it was.
pub fn write_file(path: &Path, bytes: &[u8], existing: Existing) -> Result<(), WriteError> {
    write_file_watched(path, bytes, existing, &unwatched)
}

fn write_file_watched(
    path: &Path,
    bytes: &[u8],
    existing: Existing,
    watch: Watch<'_>,
) -> Result<(), WriteError> {
    let failed = |error| WriteError::from_io(path, error);
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    refuse(&target, existing)?;
    let (Some(folder), Some(_)) = (folder_of(&target), target.file_name()) else {
        return Err(WriteError::NoFileName { path: path.to_owned() });
    };
    make_folder(folder, watch).map_err(failed)?;
    let draft = Draft::file(folder, bytes, watch).map_err(failed)?;
    draft.rename_to(&target, watch).map_err(failed)?;
    sync_folder(folder);
    Ok(())
}

/// Writes all outputs into a folder. They are written in full before the first takes its place;
/// a folder that is not there yet appears with all of them at once.
///
/// # Errors
/// See [`WriteError`]. What was there stays, but for [`WriteError::Partly`]: the system failed
/// between two renames.
pub fn write_folder(
    folder: &Path,
    outputs: &[(String, Vec<u8>)],
    existing: Existing,
) -> Result<(), WriteError> {
    write_folder_watched(folder, outputs, existing, &unwatched)
}

fn write_folder_watched(
    folder: &Path,
    outputs: &[(String, Vec<u8>)],
    existing: Existing,
    watch: Watch<'_>,
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
        let draft = Draft::folder(folder, outputs, watch)?;
        for (done, (name, _)) in outputs.iter().enumerate() {
            rename(&draft.path.join(name), &folder.join(name), watch).map_err(|error| match done {
                0 => failed(error),
                _ => WriteError::Partly { path: folder.to_owned(), done, of: outputs.len(), error },
            })?;
        }
        sync_folder(folder);
        return Ok(());
    }
    let Some(parent) = folder_of(folder) else {
        return Err(WriteError::NoFileName { path: folder.to_owned() });
    };
    make_folder(parent, watch).map_err(failed)?;
    Draft::folder(parent, outputs, watch)?.rename_to(folder, watch).map_err(failed)?;
    sync_folder(parent);
    Ok(())
}

fn make_folder(folder: &Path, watch: Watch<'_>) -> io::Result<()> {
    watch(Step::Folder, folder)?;
    fs::create_dir_all(folder)
}

/// Takes the place of what is there, whose permissions stay.
fn rename(draft: &Path, target: &Path, watch: Watch<'_>) -> io::Result<()> {
    if let Ok(old) = fs::metadata(target)
        && old.is_file()
    {
        fs::set_permissions(draft, old.permissions())?;
    }
    watch(Step::Rename, target)?;
    fs::rename(draft, target)
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
    if target.metadata().is_ok_and(|there| there.permissions().readonly()) {
        return Err(WriteError::Protected { path: target.to_owned() });
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
    fn file(folder: &Path, bytes: &[u8], watch: Watch<'_>) -> io::Result<Self> {
        let (draft, file) = Self::under_free_name(folder, watch, |path| File::create_new(path))?;
        fill(file, &draft.path, bytes, watch)?;
        Ok(draft)
    }

    fn folder(parent: &Path, outputs: &[(String, Vec<u8>)], watch: Watch<'_>) -> Result<Self, WriteError> {
        let (draft, ()) = Self::under_free_name(parent, watch, |path| fs::create_dir(path))
            .map_err(|error| WriteError::from_io(parent, error))?;
        for (name, bytes) in outputs {
            let path = draft.path.join(name);
            watch(Step::Create, &path)
                .and_then(|()| File::create_new(&path))
                .and_then(|file| fill(file, &path, bytes, watch))
                .map_err(|error| WriteError::from_io(&parent.join(name), error))?;
        }
        sync_folder(&draft.path);
        Ok(draft)
    }

    /// Tries names until one is free: an earlier run may have been killed and left its draft. The
    /// name tells whoever finds it that it may go.
    fn under_free_name<T>(
        folder: &Path,
        watch: Watch<'_>,
        make: impl Fn(&Path) -> io::Result<T>,
    ) -> io::Result<(Self, T)> {
        const MOST: u32 = 1000;
        let mut failure = io::Error::from(io::ErrorKind::AlreadyExists);
        for number in 0..MOST {
            let path = folder.join(format!("countermix-unfinished-{}-{number}.tmp", process::id()));
            watch(Step::Create, &path)?;
            match make(&path) {
                Ok(made) => return Ok((Self { path }, made)),
                Err(error) if error.kind() == io::ErrorKind::AlreadyExists => failure = error,
                Err(error) => return Err(error),
            }
        }
        Err(failure)
    }

    fn rename_to(self, target: &Path, watch: Watch<'_>) -> io::Result<()> {
        rename(&self.path, target, watch)
    }
}

fn fill(mut file: File, path: &Path, bytes: &[u8], watch: Watch<'_>) -> io::Result<()> {
    watch(Step::Write, path)?;
    file.write_all(bytes)?;
    watch(Step::Sync, path)?;
    file.sync_all()
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
    /// The file that is to be replaced is write-protected.
    #[error("{}: it is write-protected; remove the protection, or choose another name", path.display())]
    Protected {
        /// The target.
        path: PathBuf,
    },
    /// Some outputs took their place in a folder, others did not. Each is whole.
    #[error("{}: {done} of {of} files were written, then the system refused ({error}); write them again", path.display())]
    Partly {
        /// The folder.
        path: PathBuf,
        /// How many took their place.
        done: usize,
        /// How many there are.
        of: usize,
        /// What the system said.
        #[source]
        error: io::Error,
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
        let draft = Draft::file(folder.path(), b"half", &unwatched).unwrap();
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
        drop(draft);
        drop(Draft::folder(folder.path(), &two(b"a", b"b"), &unwatched).unwrap());
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
    }

    #[test]
    fn a_draft_left_by_a_killed_run_is_no_obstacle() {
        let folder = tempfile::tempdir().unwrap();
        let left = Draft::file(folder.path(), b"old", &unwatched).unwrap();
        let fresh = Draft::file(folder.path(), b"new", &unwatched).unwrap();
        assert_ne!(left.path, fresh.path);
        let name = left.path.file_name().unwrap().to_str().unwrap();
        assert!(name.starts_with("countermix-unfinished-"), "{name}");
    }

    fn two(a: &[u8], b: &[u8]) -> Vec<(String, Vec<u8>)> {
        vec![("a.svg".to_owned(), a.to_vec()), ("b.csv".to_owned(), b.to_vec())]
    }

    /// What a folder holds, by name; folders in it with what they hold.
    fn holds(folder: &Path) -> Vec<(String, Vec<u8>)> {
        let mut all = Vec::new();
        for entry in fs::read_dir(folder).unwrap() {
            let entry = entry.unwrap();
            let name = entry.file_name().into_string().unwrap();
            if entry.path().is_dir() {
                all.push((format!("{name}/"), Vec::new()));
                all.extend(holds(&entry.path()).into_iter().map(|(n, b)| (format!("{name}/{n}"), b)));
            } else {
                all.push((name, fs::read(entry.path()).unwrap()));
            }
        }
        all.sort();
        all
    }

    const STEPS: [Step; 5] = [Step::Folder, Step::Create, Step::Write, Step::Sync, Step::Rename];
    /// Disk full, quota, read-only disk, no permission, a disk that fails.
    const FAULTS: [io::ErrorKind; 5] = [
        io::ErrorKind::StorageFull,
        io::ErrorKind::QuotaExceeded,
        io::ErrorKind::ReadOnlyFilesystem,
        io::ErrorKind::PermissionDenied,
        io::ErrorKind::Other,
    ];

    /// Fails at the `nth` step of a kind, a write after half of it has reached the disk.
    fn failing(step: Step, nth: u32, fault: io::ErrorKind) -> impl Fn(Step, &Path) -> io::Result<()> {
        let seen = core::cell::Cell::new(0);
        move |now, path| {
            if now != step {
                return Ok(());
            }
            seen.set(seen.get() + 1);
            if seen.get() != nth {
                return Ok(());
            }
            if now == Step::Write {
                fs::write(path, b"ha").unwrap();
            }
            Err(fault.into())
        }
    }

    fn fits(error: &WriteError, fault: io::ErrorKind) -> bool {
        match fault {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
                matches!(error, WriteError::DiskFull { .. })
            }
            io::ErrorKind::ReadOnlyFilesystem | io::ErrorKind::PermissionDenied => {
                matches!(error, WriteError::NoPermission { .. })
            }
            _ => matches!(error, WriteError::Other { .. }),
        }
    }

    /// Whatever fails at whatever step: the old file is whole, or there is none, and no draft.
    #[test]
    fn a_file_survives_a_fault_at_any_step() {
        for (step, fault) in STEPS.into_iter().flat_map(|s| FAULTS.map(|f| (s, f))) {
            let folder = tempfile::tempdir().unwrap();
            let path = folder.path().join("mine.toml");
            for old in [None, Some(b"old".to_vec())] {
                old.iter().for_each(|old| fs::write(&path, old).unwrap());
                let before = holds(folder.path());
                let watch = failing(step, 1, fault);
                let error = write_file_watched(&path, b"new", Existing::Replace, &watch).unwrap_err();
                assert!(fits(&error, fault), "{step:?} {fault:?}: {error}");
                assert!(error.to_string().starts_with(&format!("{}: ", path.display())), "{error}");
                assert_eq!(holds(folder.path()), before, "{step:?} {fault:?}");
            }
        }
    }

    #[test]
    fn a_new_folder_appears_whole_or_not_at_all() {
        for (step, fault) in STEPS.into_iter().flat_map(|s| FAULTS.map(|f| (s, f))) {
            for nth in 1..=steps_of(step, 1) {
                let folder = tempfile::tempdir().unwrap();
                let out = folder.path().join("out");
                let watch = failing(step, nth, fault);
                let error = write_folder_watched(&out, &two(b"a", b"b"), Existing::Keep, &watch).unwrap_err();
                assert!(fits(&error, fault), "{step:?} {fault:?}: {error}");
                assert_eq!(holds(folder.path()), [], "{step:?} {nth} {fault:?}");
            }
        }
    }

    /// How often a folder of two outputs comes to a step.
    const fn steps_of(step: Step, renames: u32) -> u32 {
        match step {
            Step::Folder => 1,
            Step::Create => 3,
            Step::Write | Step::Sync => 2,
            Step::Rename => renames,
        }
    }

    /// In a folder that is there each output takes its place by itself: whole, and told if not all.
    #[test]
    fn outputs_in_an_old_folder_are_whole_each() {
        for step in STEPS.into_iter().filter(|step| *step != Step::Folder) {
            for nth in 1..=steps_of(step, 2) {
                let folder = tempfile::tempdir().unwrap();
                write_folder(folder.path(), &two(b"old a", b"old b"), Existing::Keep).unwrap();
                let watch = failing(step, nth, io::ErrorKind::StorageFull);
                let new = two(b"new a", b"new b");
                let error = write_folder_watched(folder.path(), &new, Existing::Replace, &watch).unwrap_err();
                if (step, nth) == (Step::Rename, 2) {
                    assert!(matches!(error, WriteError::Partly { done: 1, of: 2, .. }), "{error}");
                    assert_eq!(holds(folder.path()), two(b"new a", b"old b"));
                } else {
                    assert!(matches!(error, WriteError::DiskFull { .. }), "{step:?} {nth}: {error}");
                    assert_eq!(holds(folder.path()), two(b"old a", b"old b"), "{step:?} {nth}");
                }
            }
        }
    }

    /// No step fails unseen: the same watch without a fault lets the new file through.
    #[test]
    fn a_watch_that_lets_pass_changes_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let seen = core::cell::RefCell::new(Vec::new());
        let watch = |step, _: &Path| {
            seen.borrow_mut().push(step);
            Ok(())
        };
        write_file_watched(&folder.path().join("a"), b"new", Existing::Keep, &watch).unwrap();
        assert_eq!(*seen.borrow(), STEPS);
        assert_eq!(holds(folder.path()), [("a".to_owned(), b"new".to_vec())]);
    }
}
