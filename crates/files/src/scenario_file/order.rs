//! What a stick does during a leg, as written.

use manoeuvre::{Order, Quantity, Target};
use measure::{DEG, Dimension, Stick, quantity};

use super::{BANK, CLIMB, COMPASS, HEIGHT, SPEED, TIME, wanted};
use crate::filled::Filled;
use crate::form::{Accepts, Field, Form, words_of};
use crate::reader::{Item, Read, Says, Wanted, did_you_mean};

static ORDER: Form = Form::new(
    "order",
    "what a stick does during a leg; aileron: bank, roll rate; elevator: line, track, climb, nose, pitch rate; rudder: line, track, climb, nose, sideslip; throttle: airspeed, height",
    &[
        Field::words("hold", &words_of(&QUANTITIES), "held by a hand that sees at once")
            .absent("another stands"),
        Field::words(
            "corrected",
            &words_of(&QUANTITIES),
            "held by a hand that sees late and overlooks a little",
        )
        .absent("another stands"),
        Field::words(
            "left_alone",
            &words_of(&QUANTITIES),
            "centred (a throttle: as it was), so that the drift of this shows; corrected to see the work",
        )
        .absent("another stands"),
        Field::new(
            "at",
            TARGET,
            "where it is held; entry: as when the manoeuvre began; line and nose have none",
        )
        .like("\"entry\"")
        .absent("a line stands, or line or nose is held"),
        Field::new("line", Accepts::Each(&POINT), "points of time and position, times rising")
            .like("[[\"0 s\", \"0 %\"], [\"1 s\", \"60 %\"]]")
            .absent("another stands"),
    ],
    &[&["hold"], &["corrected"], &["left_alone"], &["line"]],
);

/// What aileron, elevator and rudder may do, and the throttle.
pub(super) const ORDERS: Accepts =
    Accepts::Either(&[KEEP, Accepts::Quantity(position(Stick::Rudder)), Accepts::Table(&ORDER)]);
pub(super) const THROTTLE: Accepts =
    Accepts::Either(&[KEEP, Accepts::Quantity(position(Stick::Throttle)), Accepts::Table(&ORDER)]);
const KEEP: Accepts = Accepts::Words(&["keep"]);
const TARGET: Accepts = Accepts::Either(&[
    Accepts::Words(&["entry"]),
    Accepts::Quantity(COMPASS),
    Accepts::Quantity(SPEED),
    Accepts::Quantity(RATE),
    Accepts::Quantity(HEIGHT),
]);
const RATE: Wanted = wanted(Dimension::AngularRate, -1000.0 * DEG, 1000.0 * DEG);
pub(super) static POINT: Accepts =
    Accepts::Tuple(&[Accepts::Quantity(TIME), Accepts::Quantity(position(Stick::Rudder))]);
const ALLOWED: &str =
    "\"keep\", a position such as \"60 %\", or a table with hold, corrected, left_alone or line";

const QUANTITIES: [(&str, Quantity); 10] = [
    ("bank", Quantity::Bank),
    ("roll rate", Quantity::RollRate),
    ("line", Quantity::Line),
    ("track", Quantity::Track),
    ("climb", Quantity::Climb),
    ("nose", Quantity::Nose),
    ("pitch rate", Quantity::PitchRate),
    ("sideslip", Quantity::Sideslip),
    ("airspeed", Quantity::Airspeed),
    ("height", Quantity::Height),
];

/// A stick that is not named stays where it is.
pub(super) fn order(leg: &Filled<'_>, stick: Stick) -> Read<Order> {
    let Some(item) = leg.get(stick.word()) else { return Ok(Order::Keep) };
    match item.as_str().map(str::trim) {
        Some("keep") => Ok(Order::Keep),
        Some(_) => quantity_or_word(&item, position(stick), "keep", ALLOWED).map(Order::Fixed),
        None if item.is_table() => from_table(&item, stick),
        None => Err(item.fault(Says::new(item.described(), ALLOWED, "write it like \"keep\""))),
    }
}

/// A quantity where a word may stand as well: what is neither is told both.
fn quantity_or_word(item: &Item<'_>, wanted: Wanted, word: &str, allowed: &str) -> Read<f64> {
    if let Some(text) = item.as_str()
        && let Err(fault) = quantity::parse(text, wanted.dimension)
    {
        let next = did_you_mean(text.trim(), [word]).unwrap_or_else(|| fault.next());
        return Err(item.fault(Says::new(fault.found(), allowed, next)));
    }
    item.quantity(wanted).map(|read| read.value)
}

const fn position(stick: Stick) -> Wanted {
    let (least, most) = stick.range();
    wanted(Dimension::Share, least, most)
}

fn from_table(item: &Item<'_>, stick: Stick) -> Read<Order> {
    let table = item.form(&ORDER)?;
    let subjects: Vec<&str> =
        ["hold", "corrected", "left_alone", "line"].into_iter().filter(|key| table.has(key)).collect();
    match subjects.as_slice() {
        ["hold"] => held(&table, "hold", stick).map(|(quantity, target)| Order::Hold(quantity, target)),
        ["corrected"] => {
            held(&table, "corrected", stick).map(|(quantity, target)| Order::Corrected(quantity, target))
        }
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
fn held(table: &Filled<'_>, key: &'static str, stick: Stick) -> Read<(Quantity, Target)> {
    let quantity = held_quantity(table, key, stick);
    if let Ok(quantity @ (Quantity::Line | Quantity::Nose)) = quantity {
        return no_target(table).map(|()| (quantity, Target::Entry));
    }
    let at = table.need("at");
    let (quantity, at) = (quantity?, at?);
    Ok((quantity, target(&at, quantity)?))
}

fn held_quantity(table: &Filled<'_>, key: &'static str, stick: Stick) -> Read<Quantity> {
    let item = table.need(key)?;
    let quantity = item.choice(&QUANTITIES)?;
    if can_hold(stick).contains(&quantity) {
        return Ok(quantity);
    }
    let words: Vec<&str> = can_hold(stick).iter().map(|q| word(*q)).collect();
    Err(item.fault(Says::new(
        format!("the {} holding the {}", stick.word(), word(quantity)),
        format!("with the {} one of {}", stick.word(), words.join(", ")),
        format!("hold {} with the {}", words[0], stick.word()),
    )))
}

fn target(item: &Item<'_>, quantity: Quantity) -> Read<Target> {
    if item.as_str().map(str::trim) == Some("entry") {
        return Ok(Target::Entry);
    }
    let wanted = match quantity {
        Quantity::Bank => BANK,
        Quantity::Track => COMPASS,
        Quantity::RollRate | Quantity::PitchRate => RATE,
        Quantity::Airspeed => SPEED,
        Quantity::Height => HEIGHT,
        Quantity::Climb | Quantity::Sideslip | Quantity::Line | Quantity::Nose => CLIMB,
    };
    let allowed = format!("{}, or \"entry\"", wanted.dimension.accepted());
    quantity_or_word(item, wanted, "entry", &allowed).map(Target::Value)
}

/// What a stick can hold; the first is what it is for.
const fn can_hold(stick: Stick) -> &'static [Quantity] {
    match stick {
        Stick::Aileron => &[Quantity::Bank, Quantity::RollRate],
        Stick::Elevator => {
            &[Quantity::Line, Quantity::Climb, Quantity::Track, Quantity::Nose, Quantity::PitchRate]
        }
        Stick::Rudder => {
            &[Quantity::Line, Quantity::Climb, Quantity::Track, Quantity::Nose, Quantity::Sideslip]
        }
        Stick::Throttle => &[Quantity::Airspeed, Quantity::Height],
    }
}

fn word(quantity: Quantity) -> &'static str {
    QUANTITIES.iter().find(|(_, q)| *q == quantity).map_or("", |(word, _)| word)
}

/// A line has no target: one beside it would be passed over.
fn no_target(table: &Filled<'_>) -> Read<()> {
    table.get("at").map_or(Ok(()), |at| {
        Err(at.fault(Says::new(
            "a target beside a line",
            "at beside what is held at a value: a line says itself where it is",
            "remove one of the two",
        )))
    })
}

/// Straight lines through points, times rising.
fn line(table: &Filled<'_>, stick: Stick) -> Read<Order> {
    let list = table.need("line")?;
    let alone = no_target(table);
    let points = points(&list, position(stick))?;
    alone.map(|()| Order::Line(points))
}

/// Points of time and position, times rising.
pub(super) fn points(list: &Item<'_>, position: Wanted) -> Read<Vec<(f64, f64)>> {
    let items = list.list()?;
    let read: Vec<_> = items.iter().map(|item| point(item, position)).collect();
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
    Ok(points)
}

fn point(item: &Item<'_>, position: Wanted) -> Read<(f64, f64)> {
    let numbers = item.list()?;
    let [time, share] = numbers.as_slice() else {
        return Err(item.fault(Says::new(
            format!("a point with {} values", numbers.len()),
            "two: time and position",
            "write it like [\"0.5 s\", \"60 %\"]",
        )));
    };
    let (time, share) = (time.quantity(TIME), share.quantity(position));
    Ok((time?.value, share?.value))
}
