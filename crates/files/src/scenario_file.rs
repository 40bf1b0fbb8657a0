//! Scenario files: TOML to [`manoeuvre::Scenario`]. The keys: [`SCENARIO`] and the forms it names.

mod airframes;
mod order;

use manoeuvre::{Ending, HEADLINE, Judged, Judging, Leg, Scenario, Sides, Speed, Start};
use measure::{DEG, Dimension, Stick, quantity};

use crate::filled::Filled;
use crate::form::{Accepts, Field, Form, words_of};
use crate::reader::{Item, Read, Says, Tolerance, Wanted, read_source, report_twins};
use crate::report::{Checked, Report};
use crate::source::Source;

pub(crate) static SCENARIO: Form = Form::new(
    "scenario",
    "a manoeuvre, written for right rudder, and what is asked of it",
    &[
        Field::text("name", "\"knife-edge pass\"", "what you call it"),
        Field::text("about", "\"What this manoeuvre shows, in a sentence.\"", "what it shows, in a sentence"),
        Field::new(
            "airframes",
            Accepts::Each(&Accepts::Text),
            "flown when none is named on the command line",
        )
        .absent("none; name one on the command line"),
        Field::words("sides", &words_of(&SIDES), "the rudders it is flown to; the left is the mirror image")
            .absent("both"),
        Field::text("rates", "\"aloft\"", "the set of rates of the mix").absent("the first of the mix"),
        Field::new("compared", Accepts::Each(&Accepts::Text), "blends taken out for the flight without")
            .absent("all blends of the mix"),
        Field::new("start", Accepts::Table(&START), "how it begins"),
        Field::new("wind", Accepts::Table(&WIND), "the air").absent("calm"),
        Field::new("leg", Accepts::Tables(&LEG), "its parts, one after the other"),
    ],
    &[],
);

static START: Form = Form::new(
    "start",
    "how it begins",
    &[
        Field::new("speed", ENTRY_SPEED, "of the trimmed speed, or a speed").like("\"130 %\""),
        Field::quantity("height", HEIGHT, "above the field").like("\"60 m\""),
    ],
    &[],
);

static WIND: Form = Form::new(
    "wind",
    "the air",
    &[
        Field::quantity("from", COMPASS, "where it comes from, clockwise from north").like("\"90 deg\""),
        Field::quantity("speed", WIND_SPEED, "how fast").like("\"3 m/s\""),
    ],
    &[],
);

static LEG: Form = Form::new(
    "leg",
    "a part of the manoeuvre; a stick that is not named keeps its position",
    &[
        Field::text("name", "\"settle\"", "what you call it; each has its own"),
        Field::quantity("lasts", LASTS, "how long; a judged leg more than 2 s").like("\"3 s\""),
        Field::new("aileron", order::ORDERS, "what the aileron stick does").absent("keeps its position"),
        Field::new("elevator", order::ORDERS, "what the elevator stick does").absent("keeps its position"),
        Field::new("rudder", order::ORDERS, "what the rudder stick does").absent("keeps its position"),
        Field::new("throttle", order::THROTTLE, "what the throttle does").absent("keeps its position"),
        Field::new("judged", Accepts::Table(&JUDGED), "the line it is judged by; at least one leg has one")
            .absent("not judged"),
    ],
    &[],
);

static JUDGED: Form = Form::new(
    "judged",
    "the line a leg is judged by",
    &[Field::quantity("bank", BANK, "the bank to be kept, left wing down").like("\"-90 deg\"")],
    &[],
);

const SIDES: [(&str, Sides); 3] = [("both", Sides::Both), ("right", Sides::Right), ("none", Sides::None)];
const ENTRY_SPEED: Accepts = Accepts::Either(&[Accepts::Quantity(TIMES_TRIMMED), Accepts::Quantity(SPEED)]);

const fn wanted(dimension: Dimension, least: f64, most: f64) -> Wanted {
    Wanted { dimension, least, most, tolerance: Tolerance::Plain(0.0) }
}

/// Beyond half a turn a bank is one to the other side, and its sign tells the side.
const BANK: Wanted = wanted(Dimension::Angle, -180.0 * DEG, 180.0 * DEG);
const CLIMB: Wanted = wanted(Dimension::Angle, -90.0 * DEG, 90.0 * DEG);
const COMPASS: Wanted = wanted(Dimension::Angle, -360.0 * DEG, 360.0 * DEG);
const TIME: Wanted = wanted(Dimension::Time, 0.0, 120.0);
const SPEED: Wanted = wanted(Dimension::Speed, 1.0, 100.0);
const LASTS: Wanted = wanted(Dimension::Time, 0.02, 120.0);
const HEIGHT: Wanted = wanted(Dimension::Length, 0.0, 2000.0);
const TIMES_TRIMMED: Wanted = wanted(Dimension::Share, 0.3, 3.0);
const WIND_SPEED: Wanted = wanted(Dimension::Speed, 0.0, 30.0);

/// Reads a scenario file.
///
/// # Errors
/// All faults of the file at once.
pub fn read_scenario(source: Source) -> Result<Checked<Scenario>, Report> {
    read_source(source, |file| read_root(&file.form(&SCENARIO)?))
}

fn read_root(root: &Filled<'_>) -> Read<Scenario> {
    let name = root.text("name");
    let about = root.text("about");
    let airframes = airframes::airframes(root);
    let sides = root.maybe_choice("sides", &SIDES).map(|sides| sides.unwrap_or(Sides::Both));
    let rates = root.maybe_text("rates");
    let compared = names(root, "compared");
    let start = root.form("start").and_then(|table| start(&table));
    let wind = root.maybe_form("wind").and_then(|air| air.map_or(Ok([0.0; 3]), |air| wind(&air)));
    let legs = legs(root);
    Ok(Scenario {
        name: name?,
        about: about?,
        airframes: airframes?,
        rates: rates?,
        start: start?,
        wind: wind?,
        sides: sides?,
        legs: legs?,
        compared: compared?,
        speeds: Vec::new(),
    })
}

fn names(root: &Filled<'_>, key: &str) -> Read<Vec<String>> {
    let Some(list) = root.get(key) else { return Ok(Vec::new()) };
    let read: Vec<_> = list.list()?.iter().map(Item::text).collect();
    read.into_iter().collect()
}

fn start(table: &Filled<'_>) -> Read<Start> {
    let speed = table.need("speed").and_then(|item| entry_speed(&item));
    let height = table.quantity("height");
    Ok(Start::level(speed?, height?.value))
}

/// A percentage is of the trimmed speed.
fn entry_speed(item: &Item<'_>) -> Read<Speed> {
    let is = |dimension| item.as_str().is_some_and(|text| quantity::parse(text, dimension).is_ok());
    if is(Dimension::Share) {
        return item.quantity(TIMES_TRIMMED).map(|share| Speed::Trimmed(share.value));
    }
    if is(Dimension::Speed) {
        return item.quantity(SPEED).map(|speed| Speed::Absolute(speed.value));
    }
    Err(item.fault(Says::new(
        item.described(),
        format!("a percentage of the trimmed speed in %, or {}", Dimension::Speed.accepted()),
        "write it like \"130 %\" or \"30 m/s\"",
    )))
}

/// Velocity of the air, north, east, down: it goes away from where it comes from.
fn wind(table: &Filled<'_>) -> Read<[f64; 3]> {
    let from = table.quantity("from");
    let speed = table.quantity("speed");
    let (from, speed) = (from?.value, speed?.value);
    let (sin, cos) = libm::sincos(from);
    Ok([-speed * cos, -speed * sin, 0.0])
}

fn legs(root: &Filled<'_>) -> Read<Vec<Leg>> {
    const ALLOWED: &str = "at least one leg";
    const NEXT: &str = "add a line [[leg]] and its keys below it";
    let list = root.get("leg").ok_or_else(|| root.missing("leg", ALLOWED, NEXT))?;
    let items = root.items("leg")?;
    if items.is_empty() {
        return Err(list.fault(Says::new("no leg", ALLOWED, NEXT)));
    }
    let read: Vec<_> = items.iter().map(leg).collect();
    report_twins(&leg_names(&items));
    one_is_judged(&list, &items)?;
    read.into_iter().collect()
}

/// Of the legs that have one, whatever else may be wrong with them.
fn leg_names<'d>(items: &[Item<'d>]) -> Vec<(String, Item<'d>)> {
    let names = items.iter().filter_map(|leg| leg.child("name"));
    names.filter_map(|name| Some((name.as_str()?.trim().to_owned(), name))).collect()
}

fn one_is_judged(list: &Item<'_>, legs: &[Item<'_>]) -> Read<()> {
    if legs.iter().any(|leg| leg.child("judged").is_some()) {
        return Ok(());
    }
    Err(list.fault(Says::new(
        "no leg that is judged",
        "one leg with a judged line",
        "add to the leg that shows the drift: judged = { bank = \"-90 deg\" }",
    )))
}

fn leg(item: &Item<'_>) -> Read<Leg> {
    let table = item.form(&LEG)?;
    let name = table.text("name");
    let lasts = table.quantity("lasts");
    let sticks = Stick::ALL.map(|stick| order::order(&table, stick));
    let judged = table.maybe_form("judged").and_then(|line| line.map(|line| judged(&line)).transpose());
    let [aileron, elevator, rudder, throttle] = sticks;
    if let (Ok(lasts), Ok(Some(_))) = (&lasts, &judged) {
        long_enough(&table, lasts.value)?;
    }
    Ok(Leg {
        name: name?,
        sticks: [aileron?, elevator?, rudder?, throttle?],
        ends: Ending::after(lasts?.value),
        judged: judged?,
        climb: 0.0,
        levers: Vec::new(),
        switches: Vec::new(),
        rates: None,
        judged_on: false,
    })
}

/// The headline is read two seconds after a judged leg began.
fn long_enough(leg: &Filled<'_>, lasts: f64) -> Read<()> {
    if lasts > HEADLINE {
        return Ok(());
    }
    let item = leg.need("lasts")?;
    Err(item.fault(Says::new(
        "a judged leg that is too short",
        "more than 2 s: the drift is read 2 s after the leg began",
        "make it longer, such as \"3 s\"",
    )))
}

fn judged(table: &Filled<'_>) -> Read<Judged> {
    let bank = table.need("bank")?;
    let angle = table.quantity("bank")?.value;
    // canopy and gear point to neither side, upright or inverted
    if angle == 0.0 || angle.abs() == BANK.most {
        return Err(bank.fault(Says::new(
            bank.described(),
            "a bank to one side: canopy and gear are told apart by it",
            "write the bank of the manoeuvre with right rudder, such as \"-90 deg\"",
        )));
    }
    // everything in the file is for right rudder; a run would be named after the wrong side
    if angle > 0.0 {
        return Err(bank.fault(Says::new(
            bank.described(),
            "a bank with the left wing down, as it goes with right rudder",
            "turn the sign of every bank, aileron and rudder of the file: the other side is flown as its mirror image",
        )));
    }
    Ok(Judged { bank: angle, climb: 0.0, as_what: Judging::Line })
}
