//! What comes from the disk and goes to it.
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use std::fs;
use std::path::Path;

use files::{
    Existing, FindError, Kind, LARGEST, OpenError, Source, WriteError, find, write_file, write_folder,
};
use tempfile::{TempDir, tempdir};

fn with(bytes: &[u8]) -> (TempDir, std::path::PathBuf) {
    let folder = tempdir().unwrap();
    let path = folder.path().join("mine.toml");
    fs::write(&path, bytes).unwrap();
    (folder, path)
}

fn names_in(folder: &Path) -> Vec<String> {
    let mut names: Vec<_> =
        fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn a_byte_order_mark_and_any_line_ends_are_accepted() {
    let larkspur = find(Kind::Airframe, "larkspur").unwrap();
    let text = format!("\u{feff}{}", larkspur.text().replace('\n', "\r\n"));
    let (_folder, path) = with(text.as_bytes());
    let read = files::read_airframe(Source::open(&path).unwrap()).unwrap_or_else(|report| panic!("{report}"));
    assert_eq!(read.value, files::read_airframe(larkspur).unwrap().value);
}

#[test]
fn what_is_no_text_is_refused() {
    let (_folder, path) = with(b"name = \"a\"\nb = \"\xff\xfe\"\n");
    assert!(matches!(Source::open(&path), Err(OpenError::NotUtf8 { line: 2, .. })));
    let (_folder, path) = with(b"\xff\xfen\0a\0");
    let message = Source::open(&path).unwrap_err().to_string();
    assert_eq!(message, format!("{}: the file is saved as UTF-16; save it as UTF-8", path.display()));
}

#[test]
fn what_is_too_large_is_refused() {
    let (_folder, path) = with(&vec![b'#'; LARGEST as usize]);
    assert_eq!(Source::open(&path).unwrap().text().len() as u64, LARGEST);
    let (_folder, path) = with(&vec![b'#'; LARGEST as usize + 1]);
    assert!(matches!(Source::open(&path), Err(OpenError::TooLarge { size: 4_000_001, .. })));
}

#[test]
fn folders_and_missing_files_are_refused() {
    let folder = tempdir().unwrap();
    assert!(matches!(Source::open(folder.path()), Err(OpenError::Folder { .. })));
    assert!(matches!(Source::open(&folder.path().join("no.toml")), Err(OpenError::NotFound { .. })));
    let (_folder, path) = with(b"");
    assert!(matches!(Source::open(&path.join("under a file")), Err(OpenError::NotFound { .. })));
}

/// A pipe would be waited for without end.
#[cfg(unix)]
#[test]
fn devices_and_pipes_are_refused() {
    assert!(matches!(Source::open(Path::new("/dev/zero")), Err(OpenError::NotAFile { .. })));
    let folder = tempdir().unwrap();
    let pipe = folder.path().join("pipe");
    let made = std::process::Command::new("mkfifo").arg(&pipe).status().unwrap();
    assert!(made.success());
    assert!(matches!(Source::open(&pipe), Err(OpenError::NotAFile { .. })));
}

#[test]
fn paths_and_demo_names_are_found_each_in_its_kind() {
    let (_folder, path) = with(b"name = \"mine\"");
    assert_eq!(find(Kind::Mix, path.to_str().unwrap()).unwrap().text(), "name = \"mine\"");
    let demo = find(Kind::Mix, "foxglove").unwrap();
    assert_eq!(demo.name(), "foxglove (demo mix)");
    assert!(demo.text().starts_with("# Foxglove, club set-up."));
    assert_ne!(find(Kind::Airframe, "foxglove").unwrap().text(), demo.text());
}

#[test]
fn an_unknown_name_is_told_with_the_nearest_and_all() {
    let error = find(Kind::Mix, "foxgloev").unwrap_err();
    assert!(matches!(error, FindError::Unknown { kind: Kind::Mix, .. }));
    let message = error.to_string();
    assert!(
        message.starts_with(
            "\"foxgloev\" is neither a file nor a demo mix; did you mean \"foxglove\"? \
             give the path of a mix file, or one of the demo names "
        ),
        "{message}"
    );
    assert!(message.contains("foxglove, larkspur"), "{message}");
    let path = find(Kind::Airframe, "models/larkspr.toml").unwrap_err().to_string();
    assert!(path.contains("did you mean \"larkspur\"?"), "{path}");
    for strange in ["", "\0", "a\nb", &"x".repeat(10_000)] {
        assert!(find(Kind::Airframe, strange).unwrap_err().to_string().len() < 400);
    }
}

#[test]
fn an_existing_file_is_replaced_only_on_request() {
    let (folder, path) = with(b"old");
    let refused = write_file(&path, b"new", Existing::Keep).unwrap_err();
    assert_eq!(
        refused.to_string(),
        format!(
            "{}: it exists already; choose another name, or add --force to replace it",
            fs::canonicalize(&path).unwrap().display()
        )
    );
    assert_eq!(fs::read(&path).unwrap(), b"old");
    write_file(&path, b"new", Existing::Replace).unwrap();
    assert_eq!(fs::read(&path).unwrap(), b"new");
    assert_eq!(names_in(folder.path()), ["mine.toml"]);
}

#[test]
fn missing_folders_are_made_and_impossible_targets_refused() {
    let (folder, path) = with(b"old");
    let deep = folder.path().join("a/b/c.svg");
    write_file(&deep, b"new", Existing::Keep).unwrap();
    assert_eq!(fs::read(&deep).unwrap(), b"new");
    let file_on_folder = write_file(folder.path(), b"x", Existing::Replace);
    assert!(matches!(file_on_folder, Err(WriteError::IsAFolder { .. })));
    let under_a_file = write_file(&path.join("x"), b"x", Existing::Replace);
    assert!(matches!(under_a_file, Err(WriteError::NotAFolder { .. } | WriteError::Other { .. })));
    assert!(matches!(write_file(Path::new(""), b"x", Existing::Keep), Err(WriteError::NoFileName { .. })));
    let outputs = [("a.svg".to_owned(), b"a".to_vec())];
    let folder_on_file = write_folder(&path, &outputs, Existing::Replace);
    assert!(matches!(folder_on_file, Err(WriteError::NotAFolder { .. })));
}

#[cfg(unix)]
#[test]
fn permissions_stay_and_protected_files_too() {
    use std::os::unix::fs::PermissionsExt;
    let (_folder, path) = with(b"old");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
    write_file(&path, b"new", Existing::Replace).unwrap();
    assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o640);
    fs::set_permissions(&path, fs::Permissions::from_mode(0o440)).unwrap();
    let refused = write_file(&path, b"newer", Existing::Replace).unwrap_err();
    assert!(matches!(refused, WriteError::Protected { .. }), "{refused}");
    assert_eq!(fs::read(&path).unwrap(), b"new");
}

#[cfg(unix)]
#[test]
fn a_link_is_followed() {
    let (folder, path) = with(b"old");
    let link = folder.path().join("link.toml");
    std::os::unix::fs::symlink(&path, &link).unwrap();
    write_file(&link, b"new", Existing::Replace).unwrap();
    assert!(link.is_symlink());
    assert_eq!(fs::read(&path).unwrap(), b"new");
}

#[test]
fn a_folder_of_outputs_is_written_whole_or_not_at_all() {
    let folder = tempdir().unwrap();
    let out = folder.path().join("result/first");
    let outputs = [("a.svg".to_owned(), b"a".to_vec()), ("b.csv".to_owned(), b"b".to_vec())];
    write_folder(&out, &outputs, Existing::Keep).unwrap();
    assert_eq!(names_in(&out), ["a.svg", "b.csv"]);
    assert_eq!(names_in(out.parent().unwrap()), ["first"]);

    fs::write(out.join("notes.txt"), "mine").unwrap();
    let more = [("new.csv".to_owned(), b"n".to_vec()), ("b.csv".to_owned(), b"B".to_vec())];
    assert!(matches!(write_folder(&out, &more, Existing::Keep), Err(WriteError::Exists { .. })));
    assert_eq!(names_in(&out), ["a.svg", "b.csv", "notes.txt"]);
    write_folder(&out, &more, Existing::Replace).unwrap();
    assert_eq!(names_in(&out), ["a.svg", "b.csv", "new.csv", "notes.txt"]);
    assert_eq!(fs::read(out.join("b.csv")).unwrap(), b"B");
}

#[test]
fn output_names_cannot_leave_their_folder() {
    let folder = tempdir().unwrap();
    for name in ["../a", "/a", "a/b", "", ".", "..", "a\\b", "c:d"] {
        let outputs = [(name.to_owned(), Vec::new())];
        let result = write_folder(&folder.path().join("out"), &outputs, Existing::Replace);
        assert!(matches!(result, Err(WriteError::BadName { .. })), "{name}");
    }
    let twins = [("A.svg".to_owned(), Vec::new()), ("a.svg".to_owned(), Vec::new())];
    let result = write_folder(&folder.path().join("out"), &twins, Existing::Replace);
    assert!(matches!(result, Err(WriteError::BadName { .. })));
    assert!(names_in(folder.path()).is_empty());
}
