//! How values and blends are written.

use measure::{Dimension, Measured, Stick, Unit, quantity};
use mix::{Blend, Condition, Lead, Shape, Tuning};

/// Fewest digits that read back to a value in a unit; all digits where none do.
fn number(value: f64, unit: Unit) -> String {
    const MOST_DIGITS: usize = 17;
    let full = unit.text(Measured::exact(value));
    let digits = full.split(' ').next().unwrap_or_default();
    let in_unit: f64 = digits.parse().unwrap_or(value);
    let reads_back = |text: &String| {
        quantity::parse(&format!("{text} {}", unit.word), unit.dimension)
            .is_ok_and(|read| read.value == value)
    };
    (0..MOST_DIGITS)
        .filter_map(|decimals| format!("{in_unit:.decimals$e}").parse::<f64>().ok())
        // Adding zero turns -0 into 0.
        .map(|rounded| (rounded + 0.0).to_string())
        .find(reads_back)
        .unwrap_or_else(|| digits.to_owned())
}

/// A quantity in its commonest unit: `-3 %`.
pub(super) fn written(value: f64, dimension: Dimension) -> String {
    dimension.units().next().map_or_else(
        || value.to_string(),
        |unit| format!("{} {}", number(value, unit), unit.word).trim_end().to_owned(),
    )
}

/// A literal with another value: quotes, blanks, unit and tolerance stay. One that says the value
/// already stays as it is; one with escapes is written anew.
pub(super) fn respelled(raw: &str, text: &str, to: f64, dimension: Dimension) -> String {
    let says = |text: &str| quantity::parse(text, dimension).map(|read| read.value).ok();
    if says(text) == Some(to) {
        return raw.to_owned();
    }
    let anew = written(to, dimension);
    let target = says(&anew);
    let quotes = ["\"\"\"", "'''", "\"", "'"].into_iter().find(|quotes| raw.starts_with(quotes));
    let inner = quotes.and_then(|quotes| raw.strip_prefix(quotes)?.strip_suffix(quotes));
    if let (Some(quotes), Some(inner)) = (quotes, inner.filter(|inner| !inner.contains('\\'))) {
        let blank = inner.len() - inner.trim_start().len();
        let (lead, rest) = inner.split_at(blank);
        let rest = &rest[quantity::number_length(rest)..];
        // Only the unit that stands there reads back to the value.
        for unit in dimension.units() {
            let respelled = format!("{lead}{}{rest}", number(to, unit));
            if says(&respelled) == target {
                return format!("{quotes}{respelled}{quotes}");
            }
        }
    }
    quoted(&anew)
}

/// A text as a basic string.
pub(super) fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            c if c.is_control() => out += &format!("\\u{:04X}", u32::from(c)),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

fn share(value: f64) -> String {
    quoted(&written(value, Dimension::Share))
}

/// The points of a curve as a list in one line.
pub(super) fn curve(points: &[(f64, f64)]) -> String {
    let points = points.iter().map(|(lead, follower)| format!("[{}, {}]", share(*lead), share(*follower)));
    format!("[{}]", points.collect::<Vec<_>>().join(", "))
}

/// A blend under its heading, a key a line.
pub(super) fn blend_lines(blend: &Blend) -> String {
    let lines = keys(blend).into_iter().map(|(key, value)| format!("{key} = {value}\n"));
    format!("[[blend]]\n{}", lines.collect::<String>())
}

/// A blend as a member of a list.
pub(super) fn blend_inline(blend: &Blend) -> String {
    let keys = keys(blend).into_iter().map(|(key, value)| format!("{key} = {value}"));
    format!("{{ {} }}", keys.collect::<Vec<_>>().join(", "))
}

/// Keys and values of a blend; what is at its default is left out.
fn keys(blend: &Blend) -> Vec<(&'static str, String)> {
    let mut keys =
        vec![("name", quoted(&blend.name)), ("from", lead(&blend.from)), ("to", quoted(blend.to.word()))];
    keys.extend(shape(&blend.shape, &blend.from));
    if blend.engaged != Condition::Always {
        keys.push(("engaged", condition(&blend.engaged)));
    }
    for (key, time) in [("fade", blend.fade), ("slow", blend.slow)] {
        if time != 0.0 {
            keys.push((key, quoted(&written(time, Dimension::Time))));
        }
    }
    keys.extend(blend.tuned.as_ref().map(|by| ("tuned", tuning(by))));
    keys.extend(blend.after.as_ref().map(|other| ("after", quoted(other))));
    keys
}

pub(super) fn tuning(by: &Tuning) -> String {
    format!("{{ lever = {}, from = {}, to = {} }}", quoted(&by.lever), share(by.least), share(by.most))
}

fn lead(lead: &Lead) -> String {
    match lead {
        Lead::Stick(stick) => quoted(stick.word()),
        Lead::Lever(name) => format!("{{ lever = {} }}", quoted(name)),
    }
}

/// Keys and values of a shape, as lines.
pub(super) fn shape_lines(what: &Shape, from: &Lead) -> Vec<String> {
    shape(what, from).into_iter().map(|(key, value)| format!("{key} = {value}")).collect()
}

fn shape(what: &Shape, from: &Lead) -> Vec<(&'static str, String)> {
    match (what, from) {
        (Shape::Curve(points), _) => vec![("curve", curve(points))],
        (Shape::TwoSided { right, .. }, Lead::Stick(Stick::Throttle) | Lead::Lever(_)) => {
            vec![("full", share(*right))]
        }
        (Shape::TwoSided { left, right }, Lead::Stick(Stick::Elevator)) => {
            vec![("down", share(*left)), ("up", share(*right))]
        }
        (Shape::TwoSided { left, right }, Lead::Stick(_)) => {
            vec![("left", share(*left)), ("right", share(*right))]
        }
    }
}

pub(super) fn condition(what: &Condition) -> String {
    let at = |key: &str, name: &str, side: &str, threshold: f64| {
        format!("{{ {key} = {}, {side} = {} }}", quoted(name), share(threshold))
    };
    let group = |key: &str, members: &[Condition]| {
        let members: Vec<_> = members.iter().map(condition).collect();
        format!("{{ {key} = [{}] }}", members.join(", "))
    };
    match what {
        Condition::Always => quoted("always"),
        Condition::Rates(name) => format!("{{ rates = {} }}", quoted(name)),
        Condition::Switch { name, is } => format!("{{ switch = {}, is = {} }}", quoted(name), quoted(is)),
        Condition::LeverAbove { name, threshold } => at("lever", name, "above", *threshold),
        Condition::LeverBelow { name, threshold } => at("lever", name, "below", *threshold),
        Condition::StickAbove { stick, threshold } => at("stick", stick.word(), "above", *threshold),
        Condition::StickBelow { stick, threshold } => at("stick", stick.word(), "below", *threshold),
        Condition::All(members) => group("all", members),
        Condition::Any(members) => group("any", members),
        Condition::Not(inner) => format!("{{ not = {} }}", condition(inner)),
    }
}
