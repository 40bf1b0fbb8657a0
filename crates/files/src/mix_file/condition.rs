//! When a blend acts, as written.

use measure::Dimension;
use mix::Condition;

use super::{LEAD_SHARE, STICK_WORDS, STICKS};
use crate::filled::Filled;
use crate::form::{Accepts, Field, Form};
use crate::reader::{Item, Read, Says, clean};

/// What `engaged` and the members of `all` and `any` may be.
pub(super) static ENGAGED: Accepts = Accepts::Either(&CONDITIONS);
static CONDITIONS: [Accepts; 2] = [Accepts::Words(&["always"]), Accepts::Table(&CONDITION)];

static CONDITION: Form = Form::new(
    "condition",
    "when a blend acts: only what a hand can set",
    &[
        Field::text("rates", "\"aloft\"", "under this set of rates").absent(OTHER),
        Field::text("switch", "\"spin\"", "a switch, with is").absent(OTHER),
        Field::text("is", "\"on\"", "the position of that switch").absent("not about a switch"),
        Field::words("gear", &["down", "up"], "the gear switch").absent(OTHER),
        Field::text("lever", "\"flap\"", "a lever, with above or below").absent(OTHER),
        Field::words("stick", &STICK_WORDS, "a stick, with above or below").absent(OTHER),
        Field::quantity("above", LEAD_SHARE, "of that lever or stick")
            .like("\"10 %\"")
            .absent("no such limit"),
        Field::quantity("below", LEAD_SHARE, "of that lever or stick")
            .like("\"10 %\"")
            .absent("no such limit"),
        Field::new("all", Accepts::Each(&ENGAGED), "all of these").absent(OTHER),
        Field::new("any", Accepts::Each(&ENGAGED), "at least one of these").absent(OTHER),
        Field::new("not", Accepts::Either(&CONDITIONS), "not this").absent(OTHER),
    ],
    &[&["rates"], &["switch", "is"], &["gear"], &["lever"], &["stick"], &["all"], &["any"], &["not"]],
);

const OTHER: &str = "about something else";
/// Exactly one of these says what a condition is about.
const SUBJECTS: [&str; 8] = ["rates", "switch", "gear", "lever", "stick", "all", "any", "not"];
const ALLOWED: &str =
    "\"always\", or a table with one of rates, switch, gear, lever, stick, all, any and not";

/// `engaged`; always where it is not given.
pub(super) fn engaged(blend: &Filled<'_>) -> Read<Condition> {
    blend.get("engaged").map_or(Ok(Condition::Always), |item| condition(&item))
}

fn condition(item: &Item<'_>) -> Read<Condition> {
    match item.as_str() {
        Some("always") => Ok(Condition::Always),
        Some(other) => Err(item.fault(Says::new(
            format!("\"{}\"", clean(other)),
            ALLOWED,
            format!("for a set of rates write {{ rates = \"{}\" }}", clean(other)),
        ))),
        None => from_table(&item.form(&CONDITION)?),
    }
}

fn from_table(table: &Filled<'_>) -> Read<Condition> {
    let subjects: Vec<&str> = SUBJECTS.into_iter().filter(|subject| table.has(subject)).collect();
    let [subject] = subjects.as_slice() else {
        let found = if subjects.is_empty() { "none of these".to_owned() } else { subjects.join(" beside ") };
        return Err(table.item.fault(Says::new(
            found,
            ALLOWED,
            "write one condition in each table and join them: { all = [{ ... }, { ... }] }",
        )));
    };
    companions(table, subject)?;
    match *subject {
        "rates" => table.text("rates").map(Condition::Rates),
        "gear" => {
            let is = table.choice("gear", &[("down", "down"), ("up", "up")])?;
            Ok(Condition::Switch { name: "gear".to_owned(), is: is.to_owned() })
        }
        "switch" => {
            let (name, is) = (table.text("switch"), table.text("is"));
            Ok(Condition::Switch { name: name?, is: is? })
        }
        "all" => group(table, "all").map(Condition::All),
        "any" => group(table, "any").map(Condition::Any),
        "not" => {
            let item = table.need("not")?;
            Ok(Condition::Not(Box::new(condition(&item)?)))
        }
        "lever" => {
            let name = table.text("lever");
            let (above, below) = thresholds(table)?;
            let name = name?;
            Ok(both(
                above.map(|threshold| Condition::LeverAbove { name: name.clone(), threshold }),
                below.map(|threshold| Condition::LeverBelow { name: name.clone(), threshold }),
            ))
        }
        _ => {
            let stick = table.choice("stick", &STICKS);
            let (above, below) = thresholds(table)?;
            let stick = stick?;
            Ok(both(
                above.map(|threshold| Condition::StickAbove { stick, threshold }),
                below.map(|threshold| Condition::StickBelow { stick, threshold }),
            ))
        }
    }
}

/// `is` belongs to a switch, `above` and `below` to sticks and levers.
fn companions(table: &Filled<'_>, subject: &str) -> Read<()> {
    for (key, owners) in
        [("is", &["switch"][..]), ("above", &["lever", "stick"]), ("below", &["lever", "stick"])]
    {
        if let Some(item) = table.get(key).filter(|_| !owners.contains(&subject)) {
            return Err(item.fault(Says::new(
                format!("\"{key}\" beside \"{subject}\""),
                format!("\"{key}\" only beside {}", owners.join(" or ")),
                "remove it, or check what the condition is about",
            )));
        }
    }
    Ok(())
}

fn group(table: &Filled<'_>, key: &str) -> Read<Vec<Condition>> {
    let members = table.need(key)?.list()?;
    let read: Vec<_> = members.iter().map(condition).collect();
    read.into_iter().collect()
}

fn thresholds(table: &Filled<'_>) -> Read<(Option<f64>, Option<f64>)> {
    let above = table.maybe_quantity("above");
    let below = table.maybe_quantity("below");
    let (above, below) = (above?.map(|m| m.value), below?.map(|m| m.value));
    if above.is_none() && below.is_none() {
        let allowed = format!("above or below, {}", Dimension::Share.accepted());
        return Err(table.missing("above", &allowed, "add it, such as above = \"10 %\""));
    }
    Ok((above, below))
}

/// Between two thresholds both hold.
fn both(above: Option<Condition>, below: Option<Condition>) -> Condition {
    match (above, below) {
        (Some(only), None) | (None, Some(only)) => only,
        (above, below) => Condition::All(above.into_iter().chain(below).collect()),
    }
}
