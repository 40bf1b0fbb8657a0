//! The list of what the model misses, with causes: `tests/data/misses.toml`.

/// Name of the check and cause, in the order of the file.
pub(crate) fn listed() -> Vec<(String, String)> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/misses.toml");
    let text = std::fs::read_to_string(path).unwrap();
    let lines = text.lines().filter(|l| l.starts_with('"'));
    lines.map(|l| pair(l).unwrap_or_else(|| panic!("not a line of the list: {l}"))).collect()
}

/// `"name" = "cause"`.
fn pair(line: &str) -> Option<(String, String)> {
    let (name, cause) = line.split_once("\" = \"")?;
    Some((name.strip_prefix('"')?.to_owned(), cause.strip_suffix('"')?.to_owned()))
}
