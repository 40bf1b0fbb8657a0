//! `countermix check` as a pilot types it.
#![allow(clippy::unwrap_used, reason = "a test may stop")]

use serde_json::Value;
use std::path::Path;
use std::process::{Command, Output};

fn check(args: &[&str], folder: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_countermix"))
        .arg("check")
        .args(args)
        .current_dir(folder)
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

fn demo(kind: &str, name: &str) -> String {
    let path =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios").join(kind).join(format!("{name}.toml"));
    std::fs::read_to_string(path).unwrap()
}

#[test]
fn good_files_are_good_alone_and_together() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("model.toml"), demo("airframes", "foxglove")).unwrap();
    std::fs::write(folder.path().join("mix.toml"), demo("mixes", "foxglove")).unwrap();
    std::fs::write(folder.path().join("pass.toml"), demo(".", "knife-edge-pass")).unwrap();
    let output = check(&["model.toml", "mix.toml", "pass.toml"], folder.path());
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    assert_eq!(
        text(&output.stdout),
        "model.toml: good, an airframe\nmix.toml: good, a mix\npass.toml: good, a scenario\n\
         model.toml with mix.toml: good\n"
    );
}

#[test]
fn every_fault_of_every_file_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let broken =
        demo("airframes", "foxglove").replace("\"22 m/s\"", "22").replace("\"200 mm\"", "\"-200 mm\"");
    std::fs::write(folder.path().join("model.toml"), broken).unwrap();
    std::fs::write(folder.path().join("letter.toml"), "dear = \"club\"").unwrap();
    let output = check(&["model.toml", "letter.toml", "nothing.toml"], folder.path());
    assert_eq!(output.status.code(), Some(2));
    let words = text(&output.stdout);
    for piece in [
        "model.toml:13:9: trimmed.speed",
        "22, a bare number",
        "-200 mm",
        "letter.toml: this is neither",
        "nothing.toml",
    ] {
        assert!(words.contains(piece), "{piece}: {words}");
    }
    let output = check(&["model.toml", "--json"], folder.path());
    let all: Value = serde_json::from_slice(&output.stdout).unwrap();
    let faults = all["files"][0]["faults"].as_array().unwrap();
    assert!(faults.iter().any(|f| f["field"] == "trimmed.speed" && f["line"] == 13), "{faults:?}");
}

#[test]
fn a_mix_is_held_against_the_airframe() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("model.toml"), demo("airframes", "larkspur")).unwrap();
    let mix = demo("mixes", "larkspur").replacen("to = \"elevator\"", "to = \"flap\"", 1);
    std::fs::write(folder.path().join("mix.toml"), mix).unwrap();
    let output = check(&["model.toml", "mix.toml"], folder.path());
    assert_eq!(output.status.code(), Some(2));
    let words = text(&output.stdout);
    assert!(words.contains("found: the flap, which model.toml lacks"), "{words}");
}
