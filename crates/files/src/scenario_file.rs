//! Scenario files: TOML to [`manoeuvre::Scenario`].
//!
//! ```toml
//! name = "knife-edge pass"
//! about = "..."
//! airframes = ["larkspur"]      # flown when none is named
//! sides = "both"                # or "right"; written for right rudder, the other is its mirror image
//! rates = "aloft"
//! compared = ["knife-edge pitch"]   # default: all blends of the mix
//! [start]
//! speed = "130 %"               # of the trimmed speed; or "30 m/s"
//! height = "60 m"
//! [wind]
//! from = "90 deg"               # where it comes from, clockwise from north
//! speed = "3 m/s"
//! [[leg]]
//! name = "..."
//! lasts = "3 s"
//! aileron = { hold = "bank", at = "-90 deg" }
//! judged = { bank = "-90 deg" }
//! ```

mod airframes;
mod order;

use manoeuvre::{Ending, HEADLINE, Judged, Leg, Scenario, Speed, Start};
use measure::{DEG, Dimension, Stick, quantity};

use crate::reader::{Item, Read, Says, Table, Tolerance, Wanted, read_source, report_twins};
use crate::report::{Checked, Report};
use crate::source::Source;

const KEYS: &[&str] = &["name", "about", "airframes", "sides", "rates", "compared", "start", "wind", "leg"];
const START: &[&str] = &["speed", "height"];
const WIND: &[&str] = &["from", "speed"];
const LEG: &[&str] = &["name", "lasts", "aileron", "elevator", "rudder", "throttle", "judged"];
const JUDGED: &[&str] = &["bank"];

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
    read_source(source, |file| read_root(&file.table(KEYS)?))
}

fn read_root(root: &Table<'_>) -> Read<Scenario> {
    let name = root.text("name", "knife-edge pass");
    let about = root.text("about", "What this manoeuvre shows, in a sentence.");
    let airframes = airframes::airframes(root);
    let sides = root.get("sides").map_or(Ok(true), |item| item.choice(&[("both", true), ("right", false)]));
    let rates = root.get("rates").map(|item| item.text()).transpose();
    let compared = names(root, "compared");
    let start = root.table("start", START).and_then(|table| start(&table));
    let wind = root.get("wind").map_or(Ok([0.0; 3]), |item| wind(&item));
    let legs = legs(root);
    Ok(Scenario {
        name: name?,
        about: about?,
        airframes: airframes?,
        rates: rates?,
        start: start?,
        wind: wind?,
        both_sides: sides?,
        legs: legs?,
        compared: compared?,
    })
}

fn names(root: &Table<'_>, key: &str) -> Read<Vec<String>> {
    let Some(list) = root.get(key) else { return Ok(Vec::new()) };
    let read: Vec<_> = list.list()?.iter().map(Item::text).collect();
    read.into_iter().collect()
}

fn start(table: &Table<'_>) -> Read<Start> {
    let speed = table
        .need("speed", "a share of the trimmed speed, or a speed", "\"130 %\"")
        .and_then(|item| entry_speed(&item));
    let height =
        table.need("height", "a height above the field", "\"60 m\"").and_then(|item| item.quantity(HEIGHT));
    Ok(Start { speed: speed?, height: height?.value })
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
fn wind(item: &Item<'_>) -> Read<[f64; 3]> {
    let table = item.table(WIND)?;
    let from =
        table.need("from", "where the wind comes from", "\"90 deg\"").and_then(|i| i.quantity(COMPASS));
    let speed = table.need("speed", "its speed", "\"3 m/s\"").and_then(|i| i.quantity(WIND_SPEED));
    let (from, speed) = (from?.value, speed?.value);
    let (sin, cos) = libm::sincos(from);
    Ok([-speed * cos, -speed * sin, 0.0])
}

fn legs(root: &Table<'_>) -> Read<Vec<Leg>> {
    const ALLOWED: &str = "at least one leg";
    const NEXT: &str = "add a line [[leg]] and its keys below it";
    let list = root.get("leg").ok_or_else(|| root.missing("leg", ALLOWED, NEXT))?;
    let items = list.list()?;
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
    let table = item.table(LEG)?;
    let name = table.text("name", "settle");
    let lasts = table.need("lasts", "how long the leg lasts", "\"3 s\"").and_then(|i| i.quantity(LASTS));
    let sticks = Stick::ALL.map(|stick| order::order(&table, stick));
    let judged = table.get("judged").map(|item| judged(&item)).transpose();
    let [aileron, elevator, rudder, throttle] = sticks;
    if let (Ok(lasts), Ok(Some(_))) = (&lasts, &judged) {
        long_enough(&table, lasts.value)?;
    }
    Ok(Leg {
        name: name?,
        sticks: [aileron?, elevator?, rudder?, throttle?],
        ends: Ending::After(lasts?.value),
        judged: judged?,
    })
}

/// The headline is read two seconds after a judged leg began.
fn long_enough(leg: &Table<'_>, lasts: f64) -> Read<()> {
    if lasts > HEADLINE {
        return Ok(());
    }
    let item = leg.need("lasts", "how long the leg lasts", "\"3 s\"")?;
    Err(item.fault(Says::new(
        "a judged leg that is too short",
        "more than 2 s: the drift is read 2 s after the leg began",
        "make it longer, such as \"3 s\"",
    )))
}

fn judged(item: &Item<'_>) -> Read<Judged> {
    let table = item.table(JUDGED)?;
    let bank = table.need("bank", "the bank to be kept", "\"-90 deg\"")?;
    let angle = bank.quantity(BANK)?.value;
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
    Ok(Judged { bank: angle })
}
