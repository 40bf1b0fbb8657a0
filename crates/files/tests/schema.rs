//! The JSON Schema knows what the readers know, and no more.
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use files::{Kind, Source, demo_names, find, read_airframe, read_mix, read_scenario, schema};
use jsonschema::Validator;
use measure::{Dimension, quantity};
use proptest::prelude::*;
use serde_json::{Value, json};

fn validator(kind: Kind) -> Validator {
    jsonschema::draft202012::new(&schema(kind)).unwrap()
}

/// A TOML text as JSON, as an editor would hand it to its schema.
fn as_json(text: &str) -> Value {
    let (tree, errors) = toml::de::DeTable::parse_recoverable(text);
    assert!(errors.is_empty(), "{errors:?}");
    table(tree.get_ref())
}

fn table(entries: &toml::de::DeTable<'_>) -> Value {
    Value::Object(entries.iter().map(|(k, v)| (k.get_ref().to_string(), value(v.get_ref()))).collect())
}

fn value(value_: &toml::de::DeValue<'_>) -> Value {
    use toml::de::DeValue;
    match value_ {
        DeValue::String(text) => json!(text),
        DeValue::Integer(i) => json!(i.as_str().parse::<i64>().unwrap()),
        DeValue::Float(f) => json!(f.as_str().parse::<f64>().unwrap()),
        DeValue::Boolean(b) => json!(b),
        DeValue::Datetime(d) => json!(d.to_string()),
        DeValue::Array(list) => list.iter().map(|item| value(item.get_ref())).collect(),
        DeValue::Table(entries) => table(entries),
    }
}

fn faults(validator: &Validator, text: &str) -> Vec<String> {
    let json = as_json(text);
    validator.iter_errors(&json).map(|fault| format!("{}: {fault}", fault.instance_path())).collect()
}

fn reads(kind: Kind, text: &str) -> bool {
    let source = Source::new("x", text);
    match kind {
        Kind::Airframe => read_airframe(source).is_ok(),
        Kind::Mix => read_mix(source).is_ok(),
        Kind::Scenario => read_scenario(source).is_ok(),
    }
}

#[test]
fn demo_files_are_valid() {
    for kind in Kind::ALL {
        let validator = validator(kind);
        for name in demo_names(kind) {
            let found = faults(&validator, find(kind, name).unwrap().text());
            assert!(found.is_empty(), "{name}: {found:#?}");
        }
    }
}

#[test]
fn slips_are_found() {
    let larkspur = find(Kind::Airframe, "larkspur").unwrap().text().to_owned();
    let foxglove = find(Kind::Mix, "foxglove").unwrap().text().to_owned();
    let (airframe, mix) = (validator(Kind::Airframe), validator(Kind::Mix));
    for (validator, text, old, new) in [
        (&airframe, &larkspur, "\"5.00 kg\"", "5.0"),
        (&airframe, &larkspur, "\"5.00 kg\"", "\"5.00\""),
        (&airframe, &larkspur, "\"5.00 kg\"", "\"5.00 m\""),
        (&airframe, &larkspur, "all_up", "allup"),
        (&airframe, &larkspur, "part = \"wing\"", "part = \"wings\""),
        (&airframe, &larkspur, "[propeller]", "[prop]"),
        (&airframe, &larkspur, "drag = 0.012", "drag = 12"),
        (&airframe, &larkspur, "throw = \"28 deg\"", ""),
        (&mix, &foxglove, "from = \"rudder\"", "from = \"ruder\""),
        (&mix, &foxglove, "\nright = ", "\nup = "),
        (&mix, &foxglove, "{ rates = \"aloft\" }", "{ rates = \"aloft\", any = [] }"),
    ] {
        assert!(text.contains(old), "{old}");
        let found = faults(validator, &text.replacen(old, new, 1));
        assert!(!found.is_empty(), "{old} -> {new}");
    }
}

/// Whatever reads without a fault is valid: every demo file without each of its lines in turn.
#[test]
fn what_reads_is_valid() {
    let mut read = 0;
    for kind in Kind::ALL {
        let validator = validator(kind);
        for name in demo_names(kind) {
            let text = find(kind, name).unwrap().text().to_owned();
            let lines: Vec<&str> = text.lines().collect();
            for left_out in 0..lines.len() {
                let rest = [&lines[..left_out], &lines[left_out + 1..]].concat().join("\n");
                if reads(kind, &rest) {
                    read += 1;
                    let found = faults(&validator, &rest);
                    assert!(found.is_empty(), "{name} without line {}: {found:#?}", left_out + 1);
                }
            }
        }
    }
    assert!(read > 50, "{read} files read");
}

/// The pattern of a dimension, dug out of the schemas.
fn pattern_of(dimension: Dimension) -> Option<Validator> {
    let (kind, form, key) = match dimension {
        Dimension::Length => (Kind::Airframe, "end", "chord"),
        Dimension::Area => (Kind::Airframe, "door", "area"),
        Dimension::Mass => (Kind::Airframe, "mass", "all_up"),
        Dimension::Inertia => (Kind::Airframe, "inertia", "roll"),
        Dimension::Speed => (Kind::Airframe, "trimmed", "speed"),
        Dimension::Angle => (Kind::Airframe, "hinge", "throw"),
        Dimension::AngularRate => (Kind::Airframe, "servo", "rate"),
        Dimension::Revolutions => (Kind::Airframe, "motor", "full"),
        Dimension::Time => (Kind::Airframe, "servo", "delay"),
        Dimension::Share => (Kind::Mix, "blend", "left"),
        Dimension::Voltage => (Kind::Airframe, "motor", "voltage"),
        Dimension::Number => return None, // a number or a text; its limits differ
    };
    Some(jsonschema::draft202012::new(&schema(kind)["$defs"][form]["properties"][key]).unwrap())
}

#[test]
fn every_spelling_of_a_quantity_is_valid() {
    for text in ["985 mm", "985±2 MM", "98.5 cm +/- 2 mm", ".5 m", "1. m", "−7 mm", "1e2 mm", "3 +- 1 in"]
    {
        assert!(quantity::parse(text, Dimension::Length).is_ok(), "{text}");
        assert!(pattern_of(Dimension::Length).unwrap().is_valid(&json!(text)), "{text}");
    }
    for (text, dimension) in [
        ("0.25 kg·m²", Dimension::Inertia),
        ("0.25 kgm^2", Dimension::Inertia),
        ("250 g m2", Dimension::Inertia),
        ("45 cm²", Dimension::Area),
        ("-2.5°", Dimension::Angle),
        ("-2.5 Deg", Dimension::Angle),
        ("600°/s", Dimension::AngularRate),
        ("35%", Dimension::Share),
    ] {
        assert!(quantity::parse(text, dimension).is_ok(), "{text}");
        assert!(pattern_of(dimension).unwrap().is_valid(&json!(text)), "{text}");
    }
    for text in ["985", "985 kg", "mm", "1,5 mm", "3 4 mm", "", "inf mm", "985 mm ± 2", "1/2 in"] {
        assert!(!pattern_of(Dimension::Length).unwrap().is_valid(&json!(text)), "{text}");
    }
}

proptest! {
    /// The pattern and the parser agree on nearly right texts, but for numbers too large to
    /// calculate with and negative tolerances.
    #[test]
    fn pattern_and_parser_agree(text in "[-+−]?[0-9.]{0,4}[ ]?(±|\\+-)?[ ]?[0-9.]{0,2} ?(mm|m|in|kg m²|°|%|ft)?") {
        let valid = pattern_of(Dimension::Length).unwrap().is_valid(&json!(text));
        prop_assert_eq!(quantity::parse(&text, Dimension::Length).is_ok(), valid, "{}", text);
    }
}
