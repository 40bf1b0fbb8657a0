//! Scenario files: TOML to [`manoeuvre::Scenario`]. The keys: [`SCENARIO`] and the forms it names.

mod airframes;
mod judged;
mod order;
mod settings;
mod until;

use manoeuvre::HEADLINE;
use manoeuvre::{Compared, Ending, Judging, Leg, NamedSpeed, Scenario, Sides, Speed, Start};
use measure::{DEG, Dimension, Measured, Stick, quantity};

use crate::filled::Filled;
use crate::form::{Accepts, Field, Form, words_of};
use crate::reader::{Item, Read, Says, Tolerance, Wanted, read_source, report_twins};
use crate::report::{Checked, Report};
use crate::source::Source;

pub(crate) static SCENARIO: Form = Form::new(
    "scenario",
    "a manoeuvre, written for right rudder or right aileron, and what is asked of it",
    &[
        Field::text("name", "\"knife-edge pass\"", "what you call it"),
        Field::text("about", "\"What this manoeuvre shows, in a sentence.\"", "what it shows, in a sentence"),
        Field::new(
            "airframes",
            Accepts::Each(&Accepts::Text),
            "flown when none is named on the command line",
        )
        .absent("none; name one on the command line"),
        Field::words(
            "sides",
            &words_of(&SIDES),
            "where it is flown to; the left is the mirror image; none: it has no side",
        )
        .absent("both"),
        Field::text("rates", "\"aloft\"", "the set of rates of the mix").absent("the first of the mix"),
        Field::new("compared", Accepts::Each(&Accepts::Text), "blends taken out for the flight without")
            .like("[\"knife-edge pitch\"]")
            .absent("all blends of the mix; with an empty list one flight is looked at, with whatever acts"),
        Field::new("start", Accepts::Table(&START), "how it begins"),
        Field::new("wind", Accepts::Table(&WIND), "the air").absent("calm"),
        Field::new("speeds", Accepts::Tables(&NAMED_SPEED), "other speeds of entry that are worth a look")
            .absent("only that of the start"),
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
        Field::quantity("climb", CLIMB, "climb angle of the path").or(Measured::exact(0.0)),
        Field::quantity("bank", BANK, "bank about the path").or(Measured::exact(0.0)),
        Field::quantity("throttle", THROTTLE, "throttle; one that does not keep the speed changes it")
            .absent("as much as keeps the speed"),
        Field::new("levers", settings::LEVERS, "where levers stand, by name")
            .like("[[\"flap\", \"50 %\"]]")
            .absent("at 0 %"),
        Field::new("switches", settings::SWITCHES, "where switches stand, by name")
            .like("[[\"gear\", \"down\"]]")
            .absent("at a position that no blend asks for"),
    ],
    &[],
);

static NAMED_SPEED: Form = Form::new(
    "named speed",
    "another speed of entry",
    &[
        Field::text("name", "\"slow\"", "what you call it"),
        Field::new("speed", ENTRY_SPEED, "of the trimmed speed, or a speed").like("\"75 %\""),
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
        Field::quantity("lasts", LASTS, "how long, at most; a judged line more than 2 s").like("\"3 s\""),
        Field::new("until", Accepts::Tables(&until::UNTIL), "what ends it sooner")
            .like("[{ when = \"airspeed\", below = \"8 m/s\" }]")
            .absent("only its time"),
        Field::quantity("climb", CLIMB, "climb angle of the line that it follows")
            .absent("that of the start"),
        Field::new("aileron", order::ORDERS, "what the aileron stick does").absent("keeps its position"),
        Field::new("elevator", order::ORDERS, "what the elevator stick does").absent("keeps its position"),
        Field::new("rudder", order::ORDERS, "what the rudder stick does").absent("keeps its position"),
        Field::new("throttle", order::THROTTLE, "what the throttle does").absent("keeps its position"),
        Field::new("levers", settings::MOVED, "what levers do, by name")
            .like("[[\"flap\", [[\"0 s\", \"0 %\"], [\"1 s\", \"70 %\"]]]]")
            .absent("they stay"),
        Field::new("switches", settings::SWITCHES, "switches turned when it begins")
            .like("[[\"gear\", \"down\"]]")
            .absent("they stay"),
        Field::text("rates", "\"landing\"", "rates chosen when it begins").absent("they stay"),
        Field::new("judged", judged::ACCEPTS, "what it is judged by; at least one leg has one")
            .like("{ bank = \"-90 deg\" }")
            .absent("not judged"),
    ],
    &[],
);

const SIDES: [(&str, Sides); 3] = [("both", Sides::Both), ("right", Sides::Right), ("none", Sides::None)];
const FULL_THROTTLE: &str = "full throttle";
const ENTRY_SPEED: Accepts = Accepts::Either(&[
    Accepts::Quantity(TIMES_TRIMMED),
    Accepts::Quantity(SPEED),
    Accepts::Words(&[FULL_THROTTLE]),
]);

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
const THROTTLE: Wanted = wanted(Dimension::Share, 0.0, 1.0);
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
    let compared = compared(root);
    let start = root.form("start").and_then(|table| start(&table));
    let wind = root.maybe_form("wind").and_then(|air| air.map_or(Ok([0.0; 3]), |air| wind(&air)));
    let speeds = root.items("speeds").and_then(|items| items.iter().map(named_speed).collect());
    let climb = root.form("start").ok().and_then(|table| table.quantity("climb").ok());
    let legs = legs(root, climb.map_or(0.0, |climb| climb.value));
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
        speeds: speeds?,
    })
}

fn compared(root: &Filled<'_>) -> Read<Compared> {
    let Some(list) = root.get("compared") else { return Ok(Compared::All) };
    let read: Vec<_> = list.list()?.iter().map(Item::text).collect();
    Ok(Compared::These(read.into_iter().collect::<Read<_>>()?))
}

fn start(table: &Filled<'_>) -> Read<Start> {
    let speed = table.need("speed").and_then(|item| entry_speed(&item));
    let height = table.quantity("height");
    let climb = table.quantity("climb");
    let bank = table.quantity("bank");
    let throttle = table.maybe_quantity("throttle");
    let levers = settings::levers(table);
    let switches = settings::switches(table);
    Ok(Start {
        speed: speed?,
        height: height?.value,
        climb: climb?.value,
        bank: bank?.value,
        throttle: throttle?.map(|throttle| throttle.value),
        levers: levers?,
        switches: switches?,
    })
}

fn named_speed(item: &Item<'_>) -> Read<NamedSpeed> {
    let table = item.form(&NAMED_SPEED)?;
    let name = table.text("name");
    let speed = table.need("speed").and_then(|item| entry_speed(&item));
    Ok(NamedSpeed { name: name?, speed: speed? })
}

/// A percentage is of the trimmed speed.
fn entry_speed(item: &Item<'_>) -> Read<Speed> {
    let is = |dimension| item.as_str().is_some_and(|text| quantity::parse(text, dimension).is_ok());
    if item.as_str().is_some_and(|text| text.trim() == FULL_THROTTLE) {
        return Ok(Speed::Throttle(1.0));
    }
    if is(Dimension::Share) {
        return item.quantity(TIMES_TRIMMED).map(|share| Speed::Trimmed(share.value));
    }
    if is(Dimension::Speed) {
        return item.quantity(SPEED).map(|speed| Speed::Absolute(speed.value));
    }
    Err(item.fault(Says::new(
        item.described(),
        format!(
            "a percentage of the trimmed speed in %, {}, or \"{FULL_THROTTLE}\"",
            Dimension::Speed.accepted()
        ),
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

fn legs(root: &Filled<'_>, climb: f64) -> Read<Vec<Leg>> {
    const ALLOWED: &str = "at least one leg";
    const NEXT: &str = "add a line [[leg]] and its keys below it";
    let list = root.get("leg").ok_or_else(|| root.missing("leg", ALLOWED, NEXT))?;
    let items = root.items("leg")?;
    if items.is_empty() {
        return Err(list.fault(Says::new("no leg", ALLOWED, NEXT)));
    }
    let read: Vec<_> = items.iter().map(|item| leg(item, climb)).collect();
    report_twins(&leg_names(&items));
    one_is_judged(&list, &items)?;
    let legs = read.into_iter().collect::<Read<Vec<Leg>>>()?;
    long_enough(&items, &legs)?;
    Ok(legs)
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

fn leg(item: &Item<'_>, climb: f64) -> Read<Leg> {
    let table = item.form(&LEG)?;
    let name = table.text("name");
    let lasts = table.quantity("lasts");
    let until = until::until(&table);
    let own_climb = table.maybe_quantity("climb");
    let sticks = Stick::ALL.map(|stick| order::order(&table, stick));
    let levers = settings::moved(&table);
    let switches = settings::switches(&table);
    let rates = table.maybe_text("rates");
    let judged = judged::judged(&table);
    let [aileron, elevator, rudder, throttle] = sticks;
    let judged = judged?;
    Ok(Leg {
        name: name?,
        climb: own_climb?.map_or(climb, |climb| climb.value),
        sticks: [aileron?, elevator?, rudder?, throttle?],
        levers: levers?,
        switches: switches?,
        rates: rates?,
        ends: Ending { after: lasts?.value, when: until? },
        judged: judged.begun(),
        judged_on: judged.goes_on(),
    })
}

/// The headline of a line is read two seconds after it began; what is judged on must have begun.
fn long_enough(items: &[Item<'_>], legs: &[Leg]) -> Read<()> {
    let first = legs.iter().position(|leg| leg.judged.is_some()).unwrap_or_default();
    let on = legs[first + 1..].iter().take_while(|leg| leg.judged_on).count();
    let strays = (0..legs.len()).find(|&i| legs[i].judged_on && !(first + 1..=first + on).contains(&i));
    if let Some(stray) = strays {
        let item = items[stray].child("judged").unwrap_or_else(|| items[stray].clone());
        return Err(item.fault(Says::new(
            "a judged part that goes on before it began, or after it ended",
            "\"goes on\" in the legs that follow the one with the judged line",
            "remove it, or put the legs in order",
        )));
    }
    let seconds: f64 = legs[first..=first + on].iter().map(|leg| leg.ends.after).sum();
    let line = legs[first].judged.is_some_and(|judged| judged.as_what == Judging::Line);
    if !line || seconds > HEADLINE {
        return Ok(());
    }
    let item = items[first].child("lasts").unwrap_or_else(|| items[first].clone());
    Err(item.fault(Says::new(
        "a judged leg that is too short",
        "more than 2 s: the drift is read 2 s after the leg began",
        "make it longer, such as \"3 s\"",
    )))
}
