//! From text to tree: faults of the grammar, each line's first, with advice for the usual slips.

use measure::{Severity, Span};
use toml::de::{DeTable, DeValue};

use crate::reader::{Faults, Read, Reported, Says, clean};
use crate::source::Source;

const DUPLICATE: &str = "duplicate key";
const TOML: &str = "the file format TOML: lines like key = \"value\", headings in brackets";

/// Parses a text. Every fault of its grammar is reported; with one, there is no tree.
pub(crate) fn parse<'d>(source: &'d Source, faults: &Faults<'d>) -> Read<DeValue<'d>> {
    // A wrong bracket can make a fault of every line after it.
    const MOST: usize = 50;
    let (tree, errors) = DeTable::parse_recoverable(source.text());
    let mut reported = Vec::new();
    // a heading that was not understood makes twins of all that follow
    let only_twins = errors.iter().all(|error| error.message().starts_with(DUPLICATE));
    for error in errors.iter().filter(|error| only_twins || !error.message().starts_with(DUPLICATE)) {
        let span = Span::from(error.span().unwrap_or_default());
        // what follows in the same line is a consequence of the first
        let line = source.line_start(span.start);
        if reported.len() < MOST && !reported.contains(&line) {
            reported.push(line);
            faults.add(says(source, span, error.message()).at(span, String::new(), Severity::Error));
        }
    }
    if errors.is_empty() { Ok(DeValue::Table(tree.into_inner())) } else { Err(Reported) }
}

fn says(source: &Source, span: Span, message: &str) -> Says {
    let text = source.excerpt(span).trim();
    if let Some(number) = decimal_comma(source.text(), span.start) {
        return Says::new(
            format!("{number}, with a comma in a number"),
            "a decimal point; a comma parts the members of a list",
            format!("write {}; with a unit in quotes: \"{0} mm\"", number.replacen(',', ".", 1)),
        );
    }
    if message.starts_with("string values must be quoted") && !text.is_empty() {
        let bare = clean(text.trim_matches(['“', '”', '„', '‘', '’', '\'', '"']));
        return Says::new(
            format!("{}, without straight quotes", clean(text)),
            "a text or a quantity in straight double quotes",
            format!("write \"{bare}\""),
        );
    }
    Says::new(message, TOML, next_after(message))
}

/// The next thing to try, by the beginning of what the parser says.
fn next_after(message: &str) -> &'static str {
    const NEXT: [(&str, &str); 7] = [
        (
            DUPLICATE,
            "keep one of the two; of several wings, blends and the like each starts with its own \
             [[...]] line",
        ),
        ("unclosed array table", "close the heading with ]]"),
        ("unclosed table", "close the heading with ]"),
        ("unclosed", "close the bracket that was opened"),
        ("key with no value", "write key = \"value\""),
        ("invalid basic string", "close the text with a straight double quote in the same line"),
        ("cannot recurse", "take brackets out: nothing that means anything nests so deep"),
    ];
    let known = NEXT.iter().find(|(begins, _)| message.starts_with(begins));
    known
        .map_or("compare this line with a demo file; the mistake may be at the end of the line before", |n| {
            n.1
        })
}

/// The number around a byte, if it is written with a comma: `0,22`.
fn decimal_comma(text: &str, byte: usize) -> Option<&str> {
    let part = |c: char| c.is_ascii_digit() || c == ',';
    let byte = text.floor_char_boundary(byte);
    let before = text[..byte].trim_end_matches(part).len();
    let after = text.len() - text[byte..].trim_start_matches(part).len();
    let number = text[before..after].trim_end_matches(',');
    let (whole, decimals) = number.split_once(',')?;
    let digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
    (digits(whole) && digits(decimals)).then_some(number)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_comma_in_a_number_is_seen_from_any_side() {
        let text = "drag = 0,22, x = 1,2,3 y = ,5";
        assert_eq!(decimal_comma(text, 8), Some("0,22"));
        assert_eq!(decimal_comma(text, 11), Some("0,22"));
        assert_eq!(decimal_comma(text, 3), None);
        assert_eq!(decimal_comma(text, 18), None, "three members are a list");
        assert_eq!(decimal_comma(text, 28), None);
        assert_eq!(decimal_comma(text, 1000), None);
    }
}
