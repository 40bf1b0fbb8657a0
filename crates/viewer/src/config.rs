//! What the window remembers from one start to the next, in the user's configuration folder. Failing to remember is
//! no error: the worst is a hint seen twice.

use std::path::{Path, PathBuf};

/// The file that stands for a hint that was read.
const HINT_READ: &str = "hint-read";

/// Where this user's programs keep such things; `None` where the computer does not say.
pub(crate) fn folder() -> Option<PathBuf> {
    let set = |name: &str| std::env::var_os(name).filter(|value| !value.is_empty()).map(PathBuf::from);
    let above = if cfg!(windows) {
        set("APPDATA")
    } else if cfg!(target_os = "macos") {
        set("HOME").map(|home| home.join("Library/Application Support"))
    } else {
        set("XDG_CONFIG_HOME").or_else(|| set("HOME").map(|home| home.join(".config")))
    };
    Some(above?.join("countermix"))
}

/// Whether the hint of the first run was closed once.
pub(crate) fn hint_was_read(folder: Option<&Path>) -> bool {
    folder.is_some_and(|folder| folder.join(HINT_READ).exists())
}

/// Remembers that it was.
pub(crate) fn remember_hint(folder: Option<&Path>) {
    if let Some(folder) = folder {
        let _ = std::fs::create_dir_all(folder).and_then(|()| std::fs::write(folder.join(HINT_READ), ""));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hint_is_read_once_and_where_nothing_can_be_written_again() {
        let folder = tempfile::tempdir().unwrap();
        let mine = folder.path().join("deep/countermix");
        assert!(!hint_was_read(Some(&mine)));
        remember_hint(Some(&mine));
        assert!(hint_was_read(Some(&mine)));
        let blocked = mine.join(HINT_READ).join("below-a-file");
        remember_hint(Some(&blocked));
        remember_hint(None);
        assert!(!hint_was_read(Some(&blocked)) && !hint_was_read(None));
    }
}
