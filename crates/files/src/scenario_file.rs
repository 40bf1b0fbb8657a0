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

mod order;

use core::f64::consts::TAU;

use manoeuvre::{Ending, HEADLINE, Judged, Leg, Scenario, Speed, Start};
use measure::{Dimension, Stick, quantity};

use crate::reader::{Item, Read, Says, Table, Tolerance, Wanted, read_source};
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

pub(crate) const ANGLE: Wanted = wanted(Dimension::Angle, -TAU, TAU);
pub(crate) const TIME: Wanted = wanted(Dimension::Time, 0.0, 120.0);
pub(crate) const SPEED: Wanted = wanted(Dimension::Speed, 1.0, 100.0);
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
    let airframes = names(root, "airframes");
    let sides = root.get("sides").map_or(Ok(true), |item| item.choice(&[("both", true), ("right", false)]));
    let rates = root.get("rates").map(|item| item.text()).transpose();
    let compared = names(root, "compared");
    let start = root.need("start", "a table with speed and height", "[start]").and_then(|item| start(&item));
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

fn start(item: &Item<'_>) -> Read<Start> {
    let table = item.table(START)?;
    let speed = table
        .need("speed", "a share of the trimmed speed, or a speed", "\"130 %\"")
        .and_then(|item| entry_speed(&item));
    let height =
        table.need("height", "a height above the field", "\"60 m\"").and_then(|item| item.quantity(HEIGHT));
    Ok(Start { speed: speed?, height: height?.value })
}

/// A percentage is of the trimmed speed.
fn entry_speed(item: &Item<'_>) -> Read<Speed> {
    let is_share = item.as_str().is_some_and(|text| quantity::parse(text, Dimension::Share).is_ok());
    if is_share {
        return item.quantity(TIMES_TRIMMED).map(|share| Speed::Trimmed(share.value));
    }
    item.quantity(SPEED).map(|speed| Speed::Absolute(speed.value))
}

/// Velocity of the air, north, east, down: it goes away from where it comes from.
fn wind(item: &Item<'_>) -> Read<[f64; 3]> {
    let table = item.table(WIND)?;
    let from = table.need("from", "where the wind comes from", "\"90 deg\"").and_then(|i| i.quantity(ANGLE));
    let speed = table.need("speed", "its speed", "\"3 m/s\"").and_then(|i| i.quantity(WIND_SPEED));
    let (from, speed) = (from?.value, speed?.value);
    let (sin, cos) = libm::sincos(from);
    Ok([-speed * cos, -speed * sin, 0.0])
}

fn legs(root: &Table<'_>) -> Read<Vec<Leg>> {
    let list = root.need("leg", "at least one leg", "[[leg]]")?;
    let items = list.list()?;
    let read: Vec<_> = items.iter().map(leg).collect();
    let legs: Vec<Leg> = read.into_iter().collect::<Read<_>>()?;
    if legs.iter().all(|leg| leg.judged.is_none()) {
        return Err(list.fault(Says::new(
            "no leg that is judged",
            "one leg with a judged line",
            "add to the leg that shows the drift: judged = { bank = \"-90 deg\" }",
        )));
    }
    for (i, leg) in legs.iter().enumerate() {
        if let Some(first) = legs[..i].iter().position(|l| l.name == leg.name) {
            return Err(items[i].fault(Says::new(
                format!("a second leg called \"{}\"", leg.name),
                format!("one leg of each name; the first is {}", items[first].name_and_line()),
                "give it another name",
            )));
        }
    }
    Ok(legs)
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
    let bank = table.need("bank", "the bank to be kept", "\"-90 deg\"")?.quantity(ANGLE)?;
    if bank.value == 0.0 {
        return Err(item.fault(Says::new(
            "a judged bank of 0 deg",
            "a bank to one side: canopy and gear are told apart by it",
            "write the bank of the manoeuvre with right rudder, such as \"-90 deg\"",
        )));
    }
    Ok(Judged { bank: bank.value })
}
