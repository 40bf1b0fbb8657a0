//! What every command has: help that ends in examples, JSON and completions that can be read.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop")]

use serde_json::Value;
use std::process::Command;

fn said(args: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_countermix")).args(args).output().unwrap();
    assert!(output.status.success(), "{args:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

/// The commands that `--help` lists.
fn commands() -> Vec<String> {
    let help = said(&["--help"]);
    let list = help.lines().skip_while(|line| *line != "Commands:").skip(1);
    let names = list.take_while(|line| !line.is_empty()).filter_map(|line| line.split_whitespace().next());
    names.filter(|name| *name != "help").map(str::to_owned).collect()
}

#[test]
fn help_ends_in_examples() {
    let commands = commands();
    for name in
        ["compare", "find", "explain", "look", "new", "check", "schema", "fleet", "view", "completions"]
    {
        assert!(commands.iter().any(|known| known == name), "{name} is not listed");
    }
    for command in &commands {
        let help = said(&[command, "--help"]);
        let (_, examples) = help.rsplit_once("Examples:\n").unwrap_or_else(|| panic!("{command}: {help}"));
        let typed = format!("  countermix {command}");
        assert!(examples.lines().count() > 0, "{command}");
        assert!(examples.lines().all(|line| line.starts_with(&typed)), "{command}: {examples}");
    }
    let (_, examples) =
        said(&["--help"]).rsplit_once("Examples:\n").map(|(a, b)| (a.len(), b.to_owned())).unwrap();
    for command in commands.iter().filter(|name| *name != "completions") {
        assert!(examples.contains(&format!("countermix {command}")), "no example of {command}");
    }
}

#[test]
fn the_fleet_as_json_is_the_fleet_in_words() {
    let fleet: Value = serde_json::from_str(&said(&["fleet", "--json"])).unwrap();
    let words = said(&["fleet"]);
    for (kind, count) in [("airframes", 7), ("mixes", 7), ("manoeuvres", 16)] {
        let names = fleet[kind].as_array().unwrap();
        assert_eq!(names.len(), count, "{kind}");
        for name in names {
            assert!(words.contains(name.as_str().unwrap()), "{name}");
        }
    }
}

/// A line says what each of them is, and names may be written in capitals.
#[test]
fn the_fleet_says_what_each_is() {
    let words = said(&["fleet"]);
    for known in ["foxglove           a low-wing warbird type with flaps", "knife-edge-pass    Rudder holds"]
    {
        assert!(words.contains(known), "{words}");
    }
    assert_eq!(said(&["look", "LARKSPUR"]), said(&["look", "larkspur"]));
}

/// Without a terminal nothing is guessed that was not asked for.
#[test]
fn new_guesses_only_when_told_to() {
    let folder = tempfile::tempdir().unwrap();
    let run = |more: &[&str]| {
        std::process::Command::new(env!("CARGO_BIN_EXE_countermix"))
            .args(["new", "--class", "aerobat", "--name", "Yarrow"])
            .args(more)
            .stdin(std::process::Stdio::null())
            .current_dir(folder.path())
            .output()
            .unwrap()
    };
    let silent = run(&["--span", "2 m"]);
    let words = String::from_utf8(silent.stderr).unwrap();
    assert_eq!(silent.status.code(), Some(2), "{words}");
    assert!(words.contains("--guess") && words.contains("--mass") && !words.contains("--span"), "{words}");
    assert!(std::fs::read_dir(folder.path()).unwrap().next().is_none(), "nothing written");
    let negative = run(&["--span", "-1500 mm", "--guess"]);
    let words = String::from_utf8(negative.stderr).unwrap();
    assert!(words.starts_with("--span: found -1500 mm; allowed"), "{words}");
    assert_eq!(run(&["--span", "2 m", "--guess"]).status.code(), Some(0));
}

#[test]
fn completions_know_every_command() {
    let commands = commands();
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let script = said(&["completions", shell]);
        for command in &commands {
            assert!(script.contains(command.as_str()), "{shell} does not know {command}");
        }
        assert!(script.contains("draws"), "{shell} does not know the options of find");
    }
}
