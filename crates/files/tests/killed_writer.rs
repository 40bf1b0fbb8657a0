//! A run that is killed in the middle of writing leaves the old file or the new one, never half of
//! one. This program starts itself as the writer that is killed.
#![allow(clippy::unwrap_used, reason = "a test")]

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

use files::{Existing, write_file, write_folder};

const KILLS: u64 = 60;
/// Longest life of a writer [us]: some tens of writes.
const LONGEST: u64 = 25_000;
const SIZE: usize = 200_000;

fn main() {
    let mut args = std::env::args().skip(1);
    match (args.next().as_deref(), args.next(), args.next()) {
        (Some("write-until-killed"), Some(folder), Some(first)) => {
            write_until_killed(Path::new(&folder), first.parse().unwrap());
        }
        _ => files_stay_whole(),
    }
}

/// Writes a file and a folder of two again and again, each time filled with another letter.
fn write_until_killed(folder: &Path, first: usize) {
    for letter in (b'a'..=b'z').cycle().skip(first) {
        let bytes = vec![letter; SIZE];
        write_file(&folder.join("mine.toml"), &bytes, Existing::Replace).unwrap();
        let outputs = [("a.svg".to_owned(), bytes.clone()), ("b.svg".to_owned(), bytes)];
        write_folder(&folder.join("plots"), &outputs, Existing::Replace).unwrap();
    }
}

fn files_stay_whole() {
    let folder = tempfile::tempdir().unwrap();
    let mut seen = BTreeMap::new();
    let (mut lives, mut drafts) = (0, 0);
    for kill in 0..KILLS {
        let mut child = Command::new(std::env::current_exe().unwrap())
            .arg("write-until-killed")
            .arg(folder.path())
            .arg((kill % 26).to_string())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        // Moments spread evenly over the longest life, in no simple step with the writing.
        std::thread::sleep(Duration::from_micros(kill * 7_919 % LONGEST));
        lives += u32::from(child.try_wait().unwrap().is_none());
        child.kill().unwrap(); // SIGKILL on Unix
        child.wait().unwrap();
        for name in ["mine.toml", "plots/a.svg", "plots/b.svg"] {
            if let Ok(bytes) = fs::read(folder.path().join(name)) {
                assert_eq!(bytes.len(), SIZE, "{name} is whole");
                assert!(bytes.iter().all(|b| *b == bytes[0]), "{name} is of one piece");
                *seen.entry((name, bytes[0])).or_insert(0) += 1;
            }
        }
        drafts = drafts.max(left_over(folder.path()));
    }
    assert_eq!(u64::from(lives), KILLS, "every writer was killed at work");
    assert!(seen.len() > 6, "the kills fell on different files: {seen:?}");
    assert!(drafts > 0, "some kill fell into a write");
    // What was left behind is no obstacle.
    write_file(&folder.path().join("mine.toml"), b"last", Existing::Replace).unwrap();
    assert_eq!(fs::read(folder.path().join("mine.toml")).unwrap(), b"last");
}

/// Drafts in the folder; nothing else may lie there but what was written.
fn left_over(folder: &Path) -> usize {
    let names = fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap());
    let others = names.filter(|name| name != "mine.toml" && name != "plots");
    others.inspect(|name| assert!(name.starts_with("countermix-unfinished-"), "{name}")).count()
}
