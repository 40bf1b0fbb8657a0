//! `countermix view`: opens the window, a program of its own beside this one.

use crate::load::Trouble;
use std::path::{Path, PathBuf};
use std::process::Command;

#[derive(clap::Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Args {
    /// What the window is to show: handed to it as it stands, see `countermix view -- --help`.
    #[arg(trailing_var_arg = true, allow_hyphen_values = true)]
    rest: Vec<String>,
}

const EXAMPLES: &str = "\
Examples:
  countermix view
  countermix view knife-edge-pass larkspur
  countermix view my-pass.toml my-model.toml --mix my-mix.toml
  countermix view --replay my-flight.toml";

/// How the window is built in a clone; its profile has a folder of its own.
const BUILD: &str = "cargo build --profile desk -p viewer --features window";
const PROGRAM: &str = "countermix-viewer";

pub(crate) fn run(args: &Args) -> Result<(), Trouble> {
    let here = std::env::current_exe()?;
    let Some(program) = sibling(&here) else {
        return Err(Trouble::new(&format!(
            "the window is a program of its own, {PROGRAM}, and is not beside this one; in a clone build it with: \
             {BUILD}"
        )));
    };
    let status = Command::new(&program).args(&args.rest).status()?;
    if status.success() { Ok(()) } else { Err(Trouble::new(&format!("{PROGRAM} ended with {status}"))) }
}

/// Beside this program, or in the folder of one of the window's own build profiles: for use, for tests.
fn sibling(here: &Path) -> Option<PathBuf> {
    let name = format!("{PROGRAM}{}", std::env::consts::EXE_SUFFIX);
    let folder = here.parent()?;
    let profiles = ["desk", "window"].map(|profile| folder.with_file_name(profile).join(&name));
    core::iter::once(folder.join(&name)).chain(profiles).find(|place| place.is_file())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_window_is_found_beside_or_in_its_own_profile() {
        let target = tempfile::tempdir().unwrap();
        let here = target.path().join("release").join("countermix");
        let name = format!("{PROGRAM}{}", std::env::consts::EXE_SUFFIX);
        for folder in ["release", "window", "desk"] {
            std::fs::create_dir(target.path().join(folder)).unwrap();
        }
        assert_eq!(sibling(&here), None);
        for profile in ["window", "desk"] {
            let own = target.path().join(profile).join(&name);
            std::fs::write(&own, "").unwrap();
            assert_eq!(sibling(&here), Some(own));
        }
        let beside = target.path().join("release").join(&name);
        std::fs::write(&beside, "").unwrap();
        assert_eq!(sibling(&here), Some(beside));
    }
}
