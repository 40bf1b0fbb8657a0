//! A pilot's own files: what `find --write` leaves in a mix, levers that nothing reads.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop")]

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

fn countermix(args: &[&str], folder: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_countermix")).args(args).current_dir(folder).output().unwrap()
}

/// Written twice it is what it was after the first time, one-sided blends included, and the
/// manoeuvres about them put them in: the down-line bends less.
#[test]
fn blends_are_written_once_and_act() {
    let folder = tempfile::tempdir().unwrap();
    let write = ["find", "foxglove", "power-roll", "down-line-pitch", "--write", "mine.toml", "--draws", "0"];
    assert!(countermix(&write, folder.path()).status.success());
    let first = fs::read_to_string(folder.path().join("mine.toml")).unwrap();
    assert!(first.contains("full = ") && first.contains("curve = "), "{first}");
    let again = countermix(&write, folder.path());
    assert!(again.status.success(), "{}", String::from_utf8_lossy(&again.stderr));
    assert_eq!(fs::read_to_string(folder.path().join("mine.toml")).unwrap(), first);
    let flown =
        countermix(&["compare", "down-line", "foxglove", "--mix", "mine.toml", "--json"], folder.path());
    let told: serde_json::Value = serde_json::from_slice(&flown.stdout).unwrap();
    let run = &told["runs"][0];
    assert_eq!(run["blends"][0], "down-line pitch");
    let [without, with] = [0, 1].map(|i| run["flights"][i]["path_2s_m"].as_f64().unwrap().abs());
    assert!(with < 0.8 * without, "{with} {without}");
}

/// A misspelt lever would move nothing, and the flight would look as if it needed nothing.
#[test]
fn a_lever_that_nothing_reads_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let demo = include_str!("../scenarios/flap-drop.toml");
    fs::write(folder.path().join("mine.toml"), demo.replace("[[\"flap\"", "[[\"flpa\"")).unwrap();
    let refused = countermix(&["compare", "mine.toml", "foxglove"], folder.path());
    assert_eq!(refused.status.code(), Some(2));
    let words = String::from_utf8_lossy(&refused.stderr).into_owned();
    assert!(words.contains("\"flpa\"") && words.contains("known here: flap, door"), "{words}");
    assert!(!folder.path().join("countermix-out").exists());
}
