//! Motor, propeller and fan.

use airframe::{Motor, Propulsor, PropulsorCoefficients};
use measure::{DEG, Measured};

use super::limits as lim;
use crate::filled::Filled;
use crate::form::{Accepts, Field, Form, words_of};
use crate::reader::{Item, Read, Says};

const ROTATIONS: [(&str, f64); 2] = [("clockwise", 1.0), ("anticlockwise", -1.0)];
const STRAIGHT: Measured = Measured::with_tolerance(0.0, 0.5 * DEG);

pub(super) static MOTOR: Form = Form::new(
    "motor",
    "motor, engine or turbine, by what a tachometer shows with the model held",
    &[
        Field::quantity("full", lim::FULL_REVOLUTIONS, "revolutions at full throttle").like("\"6010 rpm\""),
        Field::quantity("half", lim::FULL_REVOLUTIONS, "revolutions with the throttle stick in the middle")
            .like("\"4100 rpm\"")
            .absent("the voltage follows the throttle on a straight line"),
        Field::quantity("idle", lim::IDLE_REVOLUTIONS, "revolutions at idle; 0 rpm if it stops")
            .like("\"1100 rpm\""),
        Field::quantity("spool", lim::SPOOL, "from idle to full after the stick was thrown forward")
            .like("\"2 s\"")
            .absent("at once, as an electric motor")
            .usual(0.1, 10.0),
        Field::quantity("voltage", lim::VOLTAGE, "battery under load; leave it out for an engine")
            .or(lim::DEFAULT_VOLTAGE),
    ],
    &[],
);

/// What propeller and fan have in common, in the order of the file; `inlet` only for a fan.
macro_rules! shaft_fields {
    ($($inlet:expr)?) => {
        &[
            Field::quantity("diameter", lim::SIZE, "of the disc").like("\"510 mm\"").usual(0.03, 0.9),
            Field::quantity("pitch", lim::SIZE, "as printed on the blade").like("\"290 mm\"").usual(0.02, 0.6),
            Field::new("blades", Accepts::Count(1, 40), "number of blades").absent("2"),
            $($inlet,)?
            Field::quantity("station", lim::LENGTH, "of the disc").like("\"-595 mm\""),
            Field::quantity("waterline", lim::HEIGHT, "of the hub"),
            Field::quantity("buttline", lim::LENGTH, "of the hub").or(Measured::exact(0.0)),
            Field::quantity("right_thrust", lim::THRUST_ANGLE, "axis to the right").or(STRAIGHT),
            Field::quantity("down_thrust", lim::THRUST_ANGLE, "axis down").or(STRAIGHT),
            Field::words("rotation", &words_of(&ROTATIONS), "seen from behind").absent("clockwise"),
            Field::quantity("mass", lim::MASS, "of what turns, on a scale").absent("from the diameter"),
            Field::quantity("inertia", lim::INERTIA, "of what turns").absent("from its mass and diameter"),
            Field::new("coefficients", Accepts::Table(&COEFFICIENTS), "from a test of the propeller")
                .absent("from pitch and diameter"),
        ]
    };
}

pub(super) static PROPELLER: Form = Form::new("propeller", "the propeller", shaft_fields!(), &[]);

pub(super) static FAN: Form = Form::new(
    "fan",
    "a fan or turbine in a duct",
    shaft_fields!(Field::quantity("inlet", lim::AREA, "area of the inlet")),
    &[],
);

static COEFFICIENTS: Form = Form::new(
    "coefficients",
    "from a test: thrust rho n^2 D^4 CT0 (1 - J/J0), power rho n^3 D^5 CP0 (1 - (J/J1)^2)",
    &[
        Field::quantity("thrust", lim::COEFFICIENT, "CT0, thrust at rest").absent("from pitch and diameter"),
        Field::quantity("no_thrust", lim::COEFFICIENT, "J0, advance ratio of no thrust")
            .absent("from pitch and diameter"),
        Field::quantity("power", lim::COEFFICIENT, "CP0, power at rest").absent("from pitch and diameter"),
        Field::quantity("no_power", lim::COEFFICIENT, "J1, advance ratio of no power")
            .absent("from pitch and diameter"),
    ],
    &[],
);

pub(super) fn motor(root: &Filled<'_>) -> Read<Motor> {
    let table = root.form("motor")?;
    let full = table.quantity("full");
    let half = table.maybe_quantity("half");
    let idle = table.quantity("idle");
    let spool = table.maybe_quantity("spool");
    let voltage = table.quantity("voltage");
    let motor = Motor { full: full?, half: half?, idle: idle?, spool: spool?, voltage: voltage? };
    let between = |half: Measured| motor.idle.value < half.value && half.value < motor.full.value;
    let (key, found) = match motor.half {
        _ if motor.idle.value >= motor.full.value => ("idle", "idle not below full"),
        Some(half) if !between(half) => ("half", "half throttle not between idle and full"),
        _ => return Ok(motor),
    };
    let place = |key: &str| table.get(key).unwrap_or_else(|| table.item.clone());
    Err(place(key).fault(Says::new(
        format!("{found} ({})", place("full").name_and_line()),
        "idle below half below full, all static, in rpm",
        "check them with the model held",
    )))
}

/// Exactly one of propeller and fan.
pub(super) fn propulsor(root: &Filled<'_>) -> Read<Propulsor> {
    match (root.get("propeller"), root.get("fan")) {
        (Some(item), None) => propeller(&item),
        (None, Some(item)) => fan(&item),
        (Some(propeller), Some(fan)) => Err(fan.fault(Says::new(
            format!("a fan beside {}", propeller.name_and_line()),
            "one propeller or one fan",
            "keep the one that drives the model",
        ))),
        (None, None) => Err(root.missing(
            "propeller",
            "one propeller or one fan",
            "add a line [propeller] or [fan] and its keys below it",
        )),
    }
}

fn propeller(item: &Item<'_>) -> Read<Propulsor> {
    shaft(&item.form(&PROPELLER)?)
}

fn fan(item: &Item<'_>) -> Read<Propulsor> {
    let table = item.form(&FAN)?;
    let inlet = table.quantity("inlet");
    let shaft = shaft(&table);
    Ok(Propulsor { duct_inlet: Some(inlet?), ..shaft? })
}

/// What propeller and fan have in common.
fn shaft(table: &Filled<'_>) -> Read<Propulsor> {
    let diameter = table.quantity("diameter");
    let pitch = table.quantity("pitch");
    let blades = table.maybe_count("blades").map(|n| n.unwrap_or(lim::DEFAULT_BLADES));
    let station = table.quantity("station");
    let waterline = table.quantity("waterline");
    let buttline = table.quantity("buttline");
    let right = table.quantity("right_thrust");
    let down = table.quantity("down_thrust");
    let rotation = table.maybe_choice("rotation", &ROTATIONS).map(|turns| turns.unwrap_or(1.0));
    let mass = table.maybe_quantity("mass");
    let inertia = table.maybe_quantity("inertia");
    let measured = table
        .maybe_form("coefficients")
        .and_then(|given| given.map_or(Ok(PropulsorCoefficients::default()), |given| coefficients(&given)));
    Ok(Propulsor {
        diameter: diameter?,
        pitch: pitch?,
        blades: blades?,
        station: station?,
        waterline: waterline?,
        buttline: buttline?,
        right: right?,
        down: down?,
        rotation: rotation?,
        mass: mass?,
        inertia: inertia?,
        duct_inlet: None,
        measured: measured?,
    })
}

fn coefficients(table: &Filled<'_>) -> Read<PropulsorCoefficients> {
    let read = |key| table.maybe_quantity(key).map(|found| found.map(|m| m.value));
    let (thrust, no_thrust, power, no_power) =
        (read("thrust"), read("no_thrust"), read("power"), read("no_power"));
    Ok(PropulsorCoefficients { thrust: thrust?, no_thrust: no_thrust?, power: power?, no_power: no_power? })
}
