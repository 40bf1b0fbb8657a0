//! The examples of docs/files.md are files that work.
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use files::{Source, read_airframe, read_mix, read_scenario};

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
