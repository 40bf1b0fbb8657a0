//! Motor, propeller and fan.

use airframe::{Motor, Propulsor, PropulsorCoefficients};
use measure::{DEG, Measured};

use super::limits as lim;
use crate::reader::{Item, Read, Says, Table};

const MOTOR: &[&str] = &["full", "idle", "voltage"];
const PROPELLER: &[&str] = &[
    "diameter",
    "pitch",
    "blades",
    "station",
    "waterline",
    "buttline",
    "right_thrust",
    "down_thrust",
    "rotation",
    "mass",
    "inertia",
    "coefficients",
];
const FAN: &[&str] = &[
    "diameter",
    "pitch",
    "blades",
    "inlet",
    "station",
    "waterline",
    "buttline",
    "right_thrust",
    "down_thrust",
    "rotation",
    "mass",
    "inertia",
    "coefficients",
];
const COEFFICIENTS: &[&str] = &["thrust", "no_thrust", "power", "no_power"];

pub(super) fn motor(root: &Table<'_>) -> Read<Motor> {
    let table = root.table("motor", MOTOR)?;
    let full = table.quantity("full", lim::FULL_REVOLUTIONS);
    let idle = table.quantity("idle", lim::IDLE_REVOLUTIONS);
    let voltage = table.quantity_or("voltage", lim::VOLTAGE, lim::DEFAULT_VOLTAGE);
    let motor = Motor { full: full?, idle: idle?, voltage: voltage? };
    if motor.idle.value < motor.full.value {
        return Ok(motor);
    }
    let place = |key: &str| table.get(key).unwrap_or_else(|| table.item.clone());
    Err(place("idle").fault(Says::new(
        format!("idle not below full ({})", place("full").name_and_line()),
        "idle below full, both static, in rpm",
        "check both with the model held",
    )))
}

/// Exactly one of propeller and fan.
pub(super) fn propulsor(root: &Table<'_>) -> Read<Propulsor> {
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
    shaft(&item.table(PROPELLER)?)
}

fn fan(item: &Item<'_>) -> Read<Propulsor> {
    let table = item.table(FAN)?;
    let inlet = table.quantity("inlet", lim::AREA);
    let shaft = shaft(&table);
    Ok(Propulsor { duct_inlet: Some(inlet?), ..shaft? })
}

/// What propeller and fan have in common.
fn shaft(table: &Table<'_>) -> Read<Propulsor> {
    let straight = Measured::with_tolerance(0.0, 0.5 * DEG);
    let diameter = table.quantity("diameter", lim::SIZE);
    let pitch = table.quantity("pitch", lim::SIZE);
    let blades = table.get("blades").map_or(Ok(lim::DEFAULT_BLADES), |item| item.count(1, 40));
    let station = table.quantity("station", lim::LENGTH);
    let waterline = table.quantity("waterline", lim::HEIGHT);
    let buttline = table.quantity_or("buttline", lim::LENGTH, Measured::exact(0.0));
    let right = table.quantity_or("right_thrust", lim::THRUST_ANGLE, straight);
    let down = table.quantity_or("down_thrust", lim::THRUST_ANGLE, straight);
    let rotation = table
        .get("rotation")
        .map_or(Ok(1.0), |item| item.choice(&[("clockwise", 1.0), ("anticlockwise", -1.0)]));
    let mass = table.maybe_quantity("mass", lim::MASS);
    let inertia = table.maybe_quantity("inertia", lim::INERTIA);
    let measured =
        table.get("coefficients").map_or(Ok(PropulsorCoefficients::default()), |item| coefficients(&item));
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

fn coefficients(item: &Item<'_>) -> Read<PropulsorCoefficients> {
    let table = item.table(COEFFICIENTS)?;
    let read = |key| table.maybe_quantity(key, lim::COEFFICIENT).map(|found| found.map(|m| m.value));
    let (thrust, no_thrust, power, no_power) =
        (read("thrust"), read("no_thrust"), read("power"), read("no_power"));
    Ok(PropulsorCoefficients { thrust: thrust?, no_thrust: no_thrust?, power: power?, no_power: no_power? })
}
