//! Writes the list of demo files under `scenarios/` for `demo.rs` to include.

use std::error::Error;
use std::fmt::Write as _;
use std::path::Path;
use std::{env, fs};

fn main() -> Result<(), Box<dyn Error>> {
    let scenarios = Path::new(&env::var("CARGO_MANIFEST_DIR")?).join("../../scenarios").canonicalize()?;
    let mut code = String::new();
    for (list, folder) in [("AIRFRAMES", "airframes"), ("MIXES", "mixes"), ("SCENARIOS", ".")] {
        let folder = scenarios.join(folder);
        println!("cargo::rerun-if-changed={}", folder.display());
        writeln!(code, "pub(super) const {list}: &[(&str, &str)] = &[{}];", entries(&folder)?)?;
    }
    fs::write(Path::new(&env::var("OUT_DIR")?).join("demo_club.rs"), code)?;
    Ok(())
}

/// `("name", include_str!("path")),` for every TOML file of a folder, by name.
fn entries(folder: &Path) -> Result<String, Box<dyn Error>> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.extension().is_some_and(|ending| ending == "toml") {
            files.push(path);
        }
    }
    files.sort();
    let mut code = String::new();
    for path in files {
        let name =
            path.file_stem().and_then(|stem| stem.to_str()).ok_or("a demo file whose name is no text")?;
        write!(code, "({name:?}, include_str!({path:?})),")?;
    }
    Ok(code)
}
