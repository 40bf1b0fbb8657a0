//! Drag items, doors, servos.

use airframe::{Door, DragItem, Servo};
use measure::Measured;

use super::limits as lim;
use crate::filled::Filled;
use crate::form::{Field, Form};
use crate::reader::{Item, Read, report_twins};

pub(super) static DRAG_ITEM: Form = Form::new(
    "drag item",
    "something that only makes drag",
    &[
        Field::text("name", "\"undercarriage\"", "what it is"),
        Field::quantity("station", lim::LENGTH, "where it is"),
        Field::quantity("waterline", lim::HEIGHT, "where it is"),
        Field::quantity("buttline", lim::LENGTH, "where it is").or(Measured::exact(0.0)),
        Field::quantity("drag_area", lim::DRAG_AREA, "drag coefficient times area").usual(0.0, 0.1),
    ],
    &[],
);

pub(super) static DOOR: Form = Form::new(
    "door",
    "a plate hinged at its front edge that opens downwards",
    &[
        Field::text("name", "\"door\"", "what it is"),
        Field::quantity("station", lim::LENGTH, "of its hinge"),
        Field::quantity("waterline", lim::HEIGHT, "of its hinge"),
        Field::quantity("area", lim::AREA, "of the plate"),
        Field::quantity("length", lim::SIZE, "from hinge to free edge"),
        Field::quantity("opening", lim::DRAG_AREA, "drag area of the hole it leaves")
            .or(Measured::exact(0.0)),
        Field::quantity("throw", lim::DOOR_THROW, "angle when open"),
    ],
    &[],
);

pub(super) static SERVO: Form = Form::new(
    "servo",
    "the servos, all alike",
    &[
        Field::quantity("rate", lim::SERVO_RATE, "of the surface, under load").or(lim::DEFAULT_SERVO_RATE),
        Field::quantity("delay", lim::SERVO_DELAY, "from the stick to the first movement")
            .or(lim::DEFAULT_SERVO_DELAY),
    ],
    &[],
);

pub(super) fn drag_items(root: &Filled<'_>) -> Read<Vec<DragItem>> {
    named(root, "drag_item", drag_item, |item| &item.name)
}

pub(super) fn doors(root: &Filled<'_>) -> Read<Vec<Door>> {
    named(root, "door", door, |door| &door.name)
}

/// A list of things that bear different names.
fn named<T>(
    root: &Filled<'_>,
    key: &str,
    read: fn(&Item<'_>) -> Read<T>,
    name: fn(&T) -> &String,
) -> Read<Vec<T>> {
    let items = root.items(key)?;
    let things: Vec<_> = items.iter().map(read).collect();
    let things = things.into_iter().collect::<Read<Vec<_>>>()?;
    report_twins(&things.iter().map(|thing| name(thing).clone()).zip(items).collect::<Vec<_>>());
    Ok(things)
}

fn drag_item(item: &Item<'_>) -> Read<DragItem> {
    let table = item.form(&DRAG_ITEM)?;
    let name = table.text("name");
    let station = table.quantity("station");
    let waterline = table.quantity("waterline");
    let buttline = table.quantity("buttline");
    let drag_area = table.quantity("drag_area");
    Ok(DragItem {
        name: name?,
        station: station?,
        waterline: waterline?,
        buttline: buttline?,
        drag_area: drag_area?,
    })
}

fn door(item: &Item<'_>) -> Read<Door> {
    let table = item.form(&DOOR)?;
    let name = table.text("name");
    let station = table.quantity("station");
    let waterline = table.quantity("waterline");
    let area = table.quantity("area");
    let length = table.quantity("length");
    let opening = table.quantity("opening");
    let throw = table.quantity("throw");
    Ok(Door {
        name: name?,
        station: station?,
        waterline: waterline?,
        area: area?,
        length: length?,
        opening: opening?,
        throw: throw?,
    })
}

pub(super) fn servo(root: &Filled<'_>) -> Read<Servo> {
    let Some(table) = root.maybe_form("servo")? else {
        return Ok(Servo { rate: lim::DEFAULT_SERVO_RATE, delay: lim::DEFAULT_SERVO_DELAY });
    };
    let rate = table.quantity("rate");
    let delay = table.quantity("delay");
    Ok(Servo { rate: rate?, delay: delay? })
}
