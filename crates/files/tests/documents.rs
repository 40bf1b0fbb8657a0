//! The examples of docs/files.md are files that work, and docs/keys.md is what the readers know.
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use files::{Kind, Source, read_airframe, read_mix, read_scenario, reference};

#[test]
fn examples_read_without_a_word() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/files.md");
    let text = std::fs::read_to_string(path).unwrap();
    let mut kinds = Vec::new();
    for block in text.split("```toml\n").skip(1) {
        let block = block.split("```").next().unwrap();
        let source = Source::new("docs/files.md", block);
        let kind = block.lines().next().unwrap().trim_start_matches("# ").to_owned();
        let cautions = match kind.as_str() {
            "airframe" => read_airframe(source).unwrap_or_else(|r| panic!("{r}")).cautions,
            "mix" => read_mix(source).unwrap_or_else(|r| panic!("{r}")).cautions,
            "scenario" => read_scenario(source).unwrap_or_else(|r| panic!("{r}")).cautions,
            other => panic!("a block of no known kind: {other}"),
        };
        assert!(cautions.is_empty(), "{cautions}");
        kinds.push(kind);
    }
    assert_eq!(kinds, ["airframe", "mix", "scenario"]);
}

/// `COUNTERMIX_RENEW=1 cargo test -p files` writes the document anew.
#[test]
fn every_key_is_documented() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/keys.md");
    let mut text = "# Every key\n\nWritten by the program from the lists that it reads files with: \
                    `COUNTERMIX_RENEW=1 cargo test -p files`. With examples: [files.md](files.md).\n"
        .to_owned();
    for (kind, heading) in
        [(Kind::Airframe, "The airframe"), (Kind::Mix, "The mix"), (Kind::Scenario, "The manoeuvre")]
    {
        text += &format!("\n## {heading}\n\n{}", reference(kind));
    }
    if std::env::var_os("COUNTERMIX_RENEW").is_some() {
        std::fs::write(path, &text).unwrap();
    }
    let found = std::fs::read_to_string(path).unwrap_or_default().replace('\r', "");
    assert!(found == text, "docs/keys.md is out of date: COUNTERMIX_RENEW=1 cargo test -p files");
}
