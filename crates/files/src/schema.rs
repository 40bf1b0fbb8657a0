//! JSON Schema (draft 2020-12) of each kind of file, from the lists that the readers use.
//!
//! It knows keys, types, units, limits of plain numbers and which keys exclude each other. What
//! only reading can tell (limits of quantities with units, measurements that contradict each
//! other) is said in descriptions. A file that reads without a fault is valid; not the reverse.

use measure::{Dimension, Measured, Unit};
use serde_json::{Map, Value, json};

use crate::form::{Absent, Accepts, Field, Form, reachable};
use crate::kind::Kind;
use crate::reader::Wanted;

/// The schema of a kind of file.
#[must_use]
pub fn schema(kind: Kind) -> Value {
    let root = kind.form();
    let inner = reachable(root).into_iter().skip(1);
    let definitions: Map<_, _> = inner.map(|form| (form.name.to_owned(), table(form))).collect();
    let mut schema = json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": format!("Countermix {}", kind.word()),
    });
    if let (Value::Object(schema), Value::Object(root)) = (&mut schema, table(root)) {
        schema.extend(root);
        schema.insert("$defs".to_owned(), Value::Object(definitions));
    }
    schema
}

fn table(form: &Form) -> Value {
    let properties: Map<_, _> =
        form.fields.iter().map(|field| (field.key.to_owned(), property(field))).collect();
    let needed = form.fields.iter().filter(|field| matches!(field.absent, Absent::Fault));
    let mut table = json!({
        "type": "object",
        "description": form.about,
        "properties": properties,
        "required": needed.map(|field| field.key).collect::<Vec<_>>(),
        "additionalProperties": false,
    });
    if !form.alternatives.is_empty() {
        let groups: Vec<_> = form.alternatives.iter().map(|keys| json!({ "required": keys })).collect();
        table["oneOf"] = Value::Array(groups);
    }
    table
}

fn property(field: &Field) -> Value {
    let mut property = value(&field.accepts);
    let mut words = format!("{}: {}", field.about, field.accepts.allowed_in_full());
    if let Some(absent) = field.when_absent() {
        words += &format!("; where absent: {absent}");
    }
    property["description"] = words.into();
    if let (Absent::Taken(taken), Accepts::Quantity(wanted)) = (field.absent, field.accepts) {
        property["default"] = written(wanted.dimension, taken);
    }
    property
}

/// As it would stand in a file.
fn written(dimension: Dimension, measured: Measured) -> Value {
    match dimension.units().next() {
        Some(unit) => unit.text(measured).into(),
        None => measured.value.into(),
    }
}

fn value(accepts: &Accepts) -> Value {
    match accepts {
        Accepts::Text => json!({ "type": "string", "pattern": "\\S" }),
        Accepts::Quantity(wanted) => quantity(*wanted),
        Accepts::Count(least, most) => json!({ "type": "integer", "minimum": least, "maximum": most }),
        Accepts::Words(words) => json!({ "enum": words }),
        Accepts::Table(form) => reference(form),
        Accepts::Tables(form) => json!({ "type": "array", "items": reference(form) }),
        Accepts::Named(form) => json!({ "type": "object", "additionalProperties": reference(form) }),
        Accepts::Each(member) => json!({ "type": "array", "items": value(member) }),
        Accepts::Tuple(members) => json!({
            "type": "array",
            "prefixItems": members.iter().map(value).collect::<Vec<_>>(),
            "minItems": members.len(),
            "maxItems": members.len(),
        }),
        Accepts::Either(ways) => json!({ "anyOf": ways.iter().map(value).collect::<Vec<_>>() }),
    }
}

fn reference(form: &Form) -> Value {
    json!({ "$ref": format!("#/$defs/{}", form.name.replace(' ', "%20")) })
}

fn quantity(wanted: Wanted) -> Value {
    let text = json!({ "type": "string", "pattern": pattern(wanted.dimension) });
    if wanted.dimension == Dimension::Number {
        let number = json!({ "type": "number", "minimum": wanted.least, "maximum": wanted.most });
        return json!({ "anyOf": [number, text] });
    }
    text
}

/// What [`measure::quantity::parse`] reads, as a regular expression of ECMA-262.
fn pattern(dimension: Dimension) -> String {
    const NUMBER: &str = r"[-+−]?(\d+(\.\d*)?|\.\d+)([eE][-+−]?\d+)?";
    const TOLERANCE: &str = r"(±|\+-|\+/-)";
    let units: Vec<_> = dimension.units().map(spellings).collect();
    let unit = format!("({})", units.join("|"));
    format!(
        r"^\s*{NUMBER}\s*{unit}\s*({TOLERANCE}\s*{NUMBER}\s*{unit}\s*)?$|^\s*{NUMBER}\s*{TOLERANCE}\s*{NUMBER}\s*{unit}\s*$"
    )
}

/// Every spelling of a unit: capitals or not, `m²`, `m^2` and `m2`, `°` and `deg`.
fn spellings(unit: Unit) -> String {
    const BETWEEN: &str = "[ \\t\u{a0}\u{202f}^·*]*";
    let letter = |c: char| match c {
        '2' => "[2²]".to_owned(),
        c if c.is_alphabetic() => format!("[{}{}]", c.to_lowercase(), c.to_uppercase()),
        c => c.to_string(),
    };
    let spell = |word: &str| word.chars().map(letter).collect::<Vec<_>>().join(BETWEEN);
    let plain = unit.word.replace(' ', "");
    match plain.strip_prefix("deg") {
        Some("") => format!("({}|°)", spell("deg")),
        Some(rest) => format!("({}|°){BETWEEN}{}", spell("deg"), spell(rest)),
        None => spell(&plain),
    }
}
