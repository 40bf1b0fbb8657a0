//! Airframe files: TOML to [`airframe::Airframe`]. The keys: [`AIRFRAME`] and the forms it names.

mod consistency;
mod drive;
mod fittings;
mod limits;
mod panel;

use airframe::{Airframe, Body, BodyStation, Inertia, Mass, Trimmed};
use measure::Dimension;

use crate::filled::Filled;
use crate::form::{Accepts, Field, Form};
use crate::reader::{Item, Read, Says, read_source, shown};
use crate::report::{Checked, Report};
use crate::source::Source;
use limits as lim;

pub(crate) static AIRFRAME: Form = Form::new(
    "airframe",
    "a model as measured: stations aft, waterlines up, buttlines right, from any one datum",
    &[
        Field::text("name", "\"Larkspur\"", "what you call it"),
        Field::new("mass", Accepts::Table(&MASS), "how heavy, and where the mass sits"),
        Field::new("trimmed", Accepts::Table(&TRIMMED), "where you trim it to fly hands off"),
        Field::new(
            "panel",
            Accepts::Tables(&panel::PANEL),
            "wing, tailplane and fin; one panel for each part",
        ),
        Field::new("body", Accepts::Table(&BODY), "the fuselage"),
        Field::new("motor", Accepts::Table(&drive::MOTOR), "motor or engine, by its revolutions"),
        Field::new("propeller", Accepts::Table(&drive::PROPELLER), "the propeller").absent("there is a fan"),
        Field::new("fan", Accepts::Table(&drive::FAN), "a fan or turbine in a duct")
            .absent("there is a propeller"),
        Field::new("drag_item", Accepts::Tables(&fittings::DRAG_ITEM), "wheels, struts, exhausts")
            .absent("none"),
        Field::new("door", Accepts::Tables(&fittings::DOOR), "doors and plates that open downwards")
            .absent("none"),
        Field::new("servo", Accepts::Table(&fittings::SERVO), "the servos, all alike")
            .absent("60 deg in 0.10 s, 10 ms delay (common practice, no source)"),
    ],
    &[&["propeller"], &["fan"]],
);

static MASS: Form = Form::new(
    "mass",
    "how heavy, and where the mass sits",
    &[
        Field::quantity("all_up", lim::MASS, "ready to fly, on a scale").usual(0.1, 25.0),
        Field::new("centre", Accepts::Table(&CENTRE), "centre of mass"),
        Field::new("inertia", Accepts::Table(&INERTIA), "from a swing test; hardly moves percentages")
            .absent("a guess from mass, span and length"),
    ],
    &[],
);

static CENTRE: Form = Form::new(
    "centre",
    "centre of mass",
    &[
        Field::quantity("station", lim::CENTRE_STATION, "along, aft of the datum"),
        Field::quantity("waterline", lim::CENTRE_WATERLINE, "height above the datum"),
    ],
    &[],
);

static INERTIA: Form = Form::new(
    "inertia",
    "moments of inertia about the centre of mass",
    &[
        Field::quantity("roll", lim::INERTIA, "about the body's length"),
        Field::quantity("pitch", lim::INERTIA, "about the span"),
        Field::quantity("yaw", lim::INERTIA, "about the vertical"),
    ],
    &[],
);

static TRIMMED: Form = Form::new(
    "trimmed",
    "where you trim it to fly hands off",
    &[Field::quantity("speed", lim::SPEED, "level, hands off, at this airspeed").usual(5.0, 60.0)],
    &[],
);

static BODY: Form = Form::new(
    "body",
    "the fuselage",
    &[
        Field::new("stations", Accepts::Tables(&BODY_STATION), "sections from nose to tail, at least two")
            .like("[ { ... }, { ... } ]"),
        Field::quantity("squareness", lim::SQUARENESS, "of its sections: 0 % round, 100 % a sharp box")
            .or(lim::DEFAULT_SQUARENESS),
        Field::quantity("drag", lim::DRAG, "drag coefficient on the frontal area").or(lim::DEFAULT_BODY_DRAG),
    ],
    &[],
);

static BODY_STATION: Form = Form::new(
    "body station",
    "a section of the fuselage",
    &[
        Field::quantity("station", lim::LENGTH, "where it is"),
        Field::quantity("height", lim::SIZE, "top to bottom").usual(0.005, 0.8),
        Field::quantity("width", lim::SIZE, "side to side").usual(0.005, 0.8),
        Field::quantity("waterline", lim::HEIGHT, "of its middle"),
    ],
    &[],
);

/// Reads an airframe file. Default tolerances are filled in where none is written.
///
/// # Errors
/// All faults of the file at once: its grammar, unknown and missing keys, values that are no
/// quantity of the right kind, and measurements that contradict each other.
pub fn read_airframe(source: Source) -> Result<Checked<Airframe>, Report> {
    read_source(source, |file| read_root(&file.form(&AIRFRAME)?))
}

fn read_root(root: &Filled<'_>) -> Read<Airframe> {
    let name = root.text("name");
    let mass = root.form("mass").and_then(|table| mass(&table));
    let trimmed = root.form("trimmed").and_then(|table| trimmed(&table));
    let panels = panel::panels(root);
    let body = root.form("body").and_then(|table| body(&table));
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
    consistency::tip_speed(root, &airframe);
    consistency::half_spans(root, &airframe);
    consistency::loading(root, &airframe);
    consistency::rigging(root, &airframe);
    Ok(airframe)
}

fn mass(table: &Filled<'_>) -> Read<Mass> {
    let all_up = table.quantity("all_up");
    let centre = table.form("centre").and_then(|centre| {
        let station = centre.quantity("station");
        let waterline = centre.quantity("waterline");
        Ok((station?, waterline?))
    });
    let inertia = table.maybe_form("inertia").and_then(|axes| axes.map(|axes| inertia(&axes)).transpose());
    let (station, waterline) = centre?;
    Ok(Mass { all_up: all_up?, station, waterline, inertia: inertia? })
}

/// No rigid body has one moment of inertia above the sum of the other two: the integrals of
/// y^2 + z^2, z^2 + x^2 and x^2 + y^2 differ by integrals of squares.
fn inertia(axes: &Filled<'_>) -> Read<Inertia> {
    const SLACK: f64 = 1.0 + 1e-9; // a flat plate meets the limit
    let roll = axes.quantity("roll");
    let pitch = axes.quantity("pitch");
    let yaw = axes.quantity("yaw");
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
                format!("{}, more than {others} together ({})", kg_m2(value), kg_m2(limit)),
                "for no axis more than the other two together: no rigid body has that",
                "check decimal point and unit of all three, and repeat the swing test",
            )));
        }
    }
    Ok(inertia)
}

fn kg_m2(inertia: f64) -> String {
    shown(Dimension::Inertia, inertia)
}

fn trimmed(table: &Filled<'_>) -> Read<Trimmed> {
    Ok(Trimmed { speed: table.quantity("speed")? })
}

fn body(table: &Filled<'_>) -> Read<Body> {
    let stations = table.need("stations").and_then(|list| stations(&list));
    let squareness = table.quantity("squareness");
    let drag = table.quantity("drag");
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
    let table = item.form(&BODY_STATION)?;
    let station = table.quantity("station");
    let height = table.quantity("height");
    let width = table.quantity("width");
    let waterline = table.quantity("waterline");
    Ok(BodyStation { station: station?, height: height?, width: width?, waterline: waterline? })
}
