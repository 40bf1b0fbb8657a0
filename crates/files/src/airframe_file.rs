//! Airframe files: TOML to [`airframe::Airframe`].
//!
//! ```toml
//! name = "..."
//! [mass]            # all_up, centre = { station, waterline }, inertia = { roll, pitch, yaw }
//! [trimmed]         # speed
//! [[panel]]         # part, root = { ... }, tip = { ... }, section = { ... }
//! [[panel.hinge]]   # name, chord, from, to, throw (or throw_up and throw_down)
//! [body]            # stations = [ { ... }, ... ], squareness, drag
//! [motor]           # full, idle, voltage
//! [propeller]       # or [fan]
//! [[drag_item]]
//! [[door]]
//! [servo]           # rate, delay
//! ```

mod consistency;
mod drive;
mod fittings;
mod limits;
mod panel;

use airframe::{Airframe, Body, BodyStation, Inertia, Mass, Trimmed};

use crate::reader::{Item, Read, Says, Table, read_source};
use crate::report::{Checked, Report};
use crate::source::Source;
use limits as lim;

const KEYS: &[&str] =
    &["name", "mass", "trimmed", "panel", "body", "motor", "propeller", "fan", "drag_item", "door", "servo"];
const MASS: &[&str] = &["all_up", "centre", "inertia"];
const CENTRE: &[&str] = &["station", "waterline"];
const INERTIA: &[&str] = &["roll", "pitch", "yaw"];
const TRIMMED: &[&str] = &["speed"];
const BODY: &[&str] = &["stations", "squareness", "drag"];
const STATION: &[&str] = &["station", "height", "width", "waterline"];

/// Reads an airframe file. Default tolerances are filled in where none is written.
///
/// # Errors
/// All faults of the file at once: its grammar, unknown and missing keys, values that are no
/// quantity of the right kind, and measurements that contradict each other.
pub fn read_airframe(source: Source) -> Result<Checked<Airframe>, Report> {
    read_source(source, |file| read_root(&file.table(KEYS)?))
}

fn read_root(root: &Table<'_>) -> Read<Airframe> {
    let name = root.text("name", "Larkspur");
    let mass = root.table("mass", MASS).and_then(|table| mass(&table));
    let trimmed = root.table("trimmed", TRIMMED).and_then(|table| trimmed(&table));
    let panels = panel::panels(root);
    let body = root.table("body", BODY).and_then(|table| body(&table));
    let motor = drive::motor(root);
    let propulsor = drive::propulsor(root);
    let drag_items = fittings::drag_items(root);
    let doors = fittings::doors(root);
    let servo = fittings::servo(root);
    consistency::parts(root, &panels);
    let airframe = Airframe {
        name: name?,
        mass: mass?,
        trimmed: trimmed?,
        panels: panels?.into_iter().map(|(_, panel)| panel).collect(),
        body: body?,
        motor: motor?,
        propulsor: propulsor?,
        drag_items: drag_items?,
        doors: doors?,
        servo: servo?,
    };
    consistency::centre_of_mass(root, &airframe);
    consistency::idle_sticks(root, &airframe);
    Ok(airframe)
}

fn mass(table: &Table<'_>) -> Read<Mass> {
    let all_up = table.quantity("all_up", lim::MASS);
    let centre = table.table("centre", CENTRE).and_then(|centre| {
        let station = centre.quantity("station", lim::CENTRE_STATION);
        let waterline = centre.quantity("waterline", lim::CENTRE_WATERLINE);
        Ok((station?, waterline?))
    });
    let inertia =
        table.get("inertia").map(|item| item.table(INERTIA).and_then(|axes| inertia(&axes))).transpose();
    let (station, waterline) = centre?;
    Ok(Mass { all_up: all_up?, station, waterline, inertia: inertia? })
}

/// No rigid body has one moment of inertia above the sum of the other two: the integrals of
/// y^2 + z^2, z^2 + x^2 and x^2 + y^2 differ by integrals of squares.
fn inertia(axes: &Table<'_>) -> Read<Inertia> {
    const SLACK: f64 = 1.0 + 1e-9; // a flat plate meets the limit
    let roll = axes.quantity("roll", lim::INERTIA);
    let pitch = axes.quantity("pitch", lim::INERTIA);
    let yaw = axes.quantity("yaw", lim::INERTIA);
    let inertia = Inertia { roll: roll?, pitch: pitch?, yaw: yaw? };
    let [r, p, y] = [inertia.roll.value, inertia.pitch.value, inertia.yaw.value];
    for (axis, value, others, limit) in [
        ("roll", r, "pitch and yaw", p + y),
        ("pitch", p, "roll and yaw", r + y),
        ("yaw", y, "roll and pitch", r + p),
    ] {
        if value > limit * SLACK {
            let item = axes.get(axis).unwrap_or_else(|| axes.item.clone());
            return Err(item.fault(Says::new(
                format!("{value} kg m2, more than {others} together ({limit} kg m2)"),
                "for no axis more than the other two together: no rigid body has that",
                "check decimal point and unit of all three, and repeat the swing test",
            )));
        }
    }
    Ok(inertia)
}

fn trimmed(table: &Table<'_>) -> Read<Trimmed> {
    Ok(Trimmed { speed: table.quantity("speed", lim::SPEED)? })
}

fn body(table: &Table<'_>) -> Read<Body> {
    let stations = table
        .need("stations", "a list of stations from nose to tail", "[ { ... }, { ... } ]")
        .and_then(|list| stations(&list));
    let squareness = table.quantity_or("squareness", lim::SQUARENESS, lim::DEFAULT_SQUARENESS);
    let drag = table.quantity_or("drag", lim::DRAG, lim::DEFAULT_BODY_DRAG);
    Ok(Body { stations: stations?, squareness: squareness?, drag: drag? })
}

fn stations(list: &Item<'_>) -> Read<Vec<BodyStation>> {
    let items = list.list()?;
    if items.len() < 2 {
        return Err(list.fault(Says::new(
            format!("{} of the body's stations", items.len()),
            "at least two, from nose to tail",
            "measure at least the nose and the tail",
        )));
    }
    let read: Vec<_> = items.iter().map(station).collect();
    let stations = read.into_iter().collect::<Read<Vec<_>>>()?;
    for (i, pair) in stations.windows(2).enumerate() {
        if pair[1].station.value <= pair[0].station.value {
            return Err(items[i + 1].fault(Says::new(
                format!(
                    "station {}, not behind {} of {}",
                    lim::length(pair[1].station),
                    lim::length(pair[0].station),
                    items[i].name_and_line()
                ),
                "stations that rise from nose to tail: they run aft",
                "put them in order from nose to tail, and check the signs: ahead of the datum is -",
            )));
        }
    }
    Ok(stations)
}

fn station(item: &Item<'_>) -> Read<BodyStation> {
    let table = item.table(STATION)?;
    let station = table.quantity("station", lim::LENGTH);
    let height = table.quantity("height", lim::SIZE);
    let width = table.quantity("width", lim::SIZE);
    let waterline = table.quantity("waterline", lim::HEIGHT);
    Ok(BodyStation { station: station?, height: height?, width: width?, waterline: waterline? })
}
