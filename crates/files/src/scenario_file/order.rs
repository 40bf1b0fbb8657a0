//! What a stick does during a leg, as written.

use manoeuvre::{Order, Quantity, Target};
use measure::{Dimension, Stick};

use super::{ANGLE, SPEED, TIME, wanted};
use crate::reader::{Item, Read, Says, Table, Wanted};

const ORDER: &[&str] = &["hold", "left_alone", "at", "line"];
const ALLOWED: &str = "\"keep\", a position such as \"60 %\", or a table with hold, left_alone or line";

const QUANTITIES: [(&str, Quantity); 4] = [
    ("bank", Quantity::Bank),
    ("track", Quantity::Track),
    ("climb", Quantity::Climb),
    ("airspeed", Quantity::Airspeed),
];

/// A stick that is not named stays where it is.
pub(super) fn order(leg: &Table<'_>, stick: Stick) -> Read<Order> {
    let Some(item) = leg.get(stick.word()) else { return Ok(Order::Keep) };
    match item.as_str() {
        Some("keep") => Ok(Order::Keep),
        Some(_) => item.quantity(position(stick)).map(|share| Order::Fixed(share.value)),
        None if item.is_table() => from_table(&item, stick),
        None => Err(item.fault(Says::new("neither a text nor a table", ALLOWED, "write it like \"keep\""))),
    }
}

const fn position(stick: Stick) -> Wanted {
    let (least, most) = stick.range();
    wanted(Dimension::Share, least, most)
}

fn from_table(item: &Item<'_>, stick: Stick) -> Read<Order> {
    let table = item.table(ORDER)?;
    let subjects: Vec<&str> =
        ["hold", "left_alone", "line"].into_iter().filter(|key| table.has(key)).collect();
    match subjects.as_slice() {
        ["hold"] => held(&table, "hold", stick).map(|(quantity, target)| Order::Hold(quantity, target)),
        ["left_alone"] => {
            held(&table, "left_alone", stick).map(|(quantity, target)| Order::LeftAlone(quantity, target))
        }
        ["line"] => line(&table, stick),
        _ => {
            let found =
                if subjects.is_empty() { "none of these".to_owned() } else { subjects.join(" beside ") };
            Err(item.fault(Says::new(found, ALLOWED, "keep one of them")))
        }
    }
}

/// What is held, and where.
fn held(table: &Table<'_>, key: &'static str, stick: Stick) -> Read<(Quantity, Target)> {
    let quantity = table.choice(key, &QUANTITIES)?;
    if !can_hold(stick, quantity) {
        let item = table.need(key, ALLOWED, "\"bank\"")?;
        return Err(item.fault(Says::new(
            format!("the {} holding the {}", stick.word(), word(quantity)),
            "bank by aileron, track and climb by elevator or rudder, airspeed by throttle",
            format!("hold {} with the {}", holdable(stick), stick.word()),
        )));
    }
    if stick == Stick::Throttle && key == "left_alone" {
        let item = table.need(key, ALLOWED, "\"bank\"")?;
        return Err(item.fault(Says::new(
            "a throttle left alone",
            "left_alone for aileron, elevator and rudder: a throttle has no middle",
            "write throttle = \"keep\"",
        )));
    }
    let at = table.need("at", "where it is held, or \"entry\"", "\"entry\"")?;
    Ok((quantity, target(&at, quantity)?))
}

fn target(item: &Item<'_>, quantity: Quantity) -> Read<Target> {
    if item.as_str() == Some("entry") {
        return Ok(Target::Entry);
    }
    let wanted = if quantity == Quantity::Airspeed { SPEED } else { ANGLE };
    item.quantity(wanted).map(|value| Target::Value(value.value))
}

const fn can_hold(stick: Stick, quantity: Quantity) -> bool {
    matches!(
        (stick, quantity),
        (Stick::Aileron, Quantity::Bank)
            | (Stick::Elevator | Stick::Rudder, Quantity::Track | Quantity::Climb)
            | (Stick::Throttle, Quantity::Airspeed)
    )
}

const fn holdable(stick: Stick) -> &'static str {
    match stick {
        Stick::Aileron => "bank",
        Stick::Elevator | Stick::Rudder => "track or climb",
        Stick::Throttle => "airspeed",
    }
}

fn word(quantity: Quantity) -> &'static str {
    QUANTITIES.iter().find(|(_, q)| *q == quantity).map_or("", |(word, _)| word)
}

/// Straight lines through points, times rising.
fn line(table: &Table<'_>, stick: Stick) -> Read<Order> {
    let list =
        table.need("line", "points of time and position", "[[\"0 s\", \"0 %\"], [\"1 s\", \"60 %\"]]")?;
    let items = list.list()?;
    let read: Vec<_> = items.iter().map(|item| point(item, stick)).collect();
    let points: Vec<(f64, f64)> = read.into_iter().collect::<Read<_>>()?;
    if points.is_empty() {
        return Err(list.fault(Says::new("a line without points", "at least one point", "add a point")));
    }
    if let Some(i) = (1..points.len()).find(|&i| points[i].0 <= points[i - 1].0) {
        return Err(items[i].fault(Says::new(
            "a time that is not after the one before it",
            "points in the order of time",
            "put the points in order, each time once",
        )));
    }
    Ok(Order::Line(points))
}

fn point(item: &Item<'_>, stick: Stick) -> Read<(f64, f64)> {
    let numbers = item.list()?;
    let [time, share] = numbers.as_slice() else {
        return Err(item.fault(Says::new(
            format!("a point with {} values", numbers.len()),
            "two: time and position",
            "write it like [\"0.5 s\", \"60 %\"]",
        )));
    };
    let (time, share) = (time.quantity(TIME), share.quantity(position(stick)));
    Ok((time?.value, share?.value))
}
