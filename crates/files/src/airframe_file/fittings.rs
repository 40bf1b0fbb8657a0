//! Drag items, doors, servos.

use airframe::{Door, DragItem, Servo};
use measure::Measured;

use super::limits as lim;
use crate::reader::{Item, Read, Table, report_twins};

const DRAG_ITEM: &[&str] = &["name", "station", "waterline", "buttline", "drag_area"];
const DOOR: &[&str] = &["name", "station", "waterline", "area", "length", "opening", "throw"];
const SERVO: &[&str] = &["rate", "delay"];

pub(super) fn drag_items(root: &Table<'_>) -> Read<Vec<DragItem>> {
    named(root, "drag_item", drag_item, |item| &item.name)
}

pub(super) fn doors(root: &Table<'_>) -> Read<Vec<Door>> {
    named(root, "door", door, |door| &door.name)
}

/// A list of things that bear different names.
fn named<T>(
    root: &Table<'_>,
    key: &str,
    read: fn(&Item<'_>) -> Read<T>,
    name: fn(&T) -> &String,
) -> Read<Vec<T>> {
    let items = root.get(key).map_or(Ok(Vec::new()), |list| list.list())?;
    let things: Vec<_> = items.iter().map(read).collect();
    let things = things.into_iter().collect::<Read<Vec<_>>>()?;
    report_twins(&things.iter().map(|thing| name(thing).clone()).zip(items).collect::<Vec<_>>());
    Ok(things)
}

fn drag_item(item: &Item<'_>) -> Read<DragItem> {
    let table = item.table(DRAG_ITEM)?;
    let name = table.text("name", "undercarriage");
    let station = table.quantity("station", lim::LENGTH);
    let waterline = table.quantity("waterline", lim::HEIGHT);
    let buttline = table.quantity_or("buttline", lim::LENGTH, Measured::exact(0.0));
    let drag_area = table.quantity("drag_area", lim::DRAG_AREA);
    Ok(DragItem {
        name: name?,
        station: station?,
        waterline: waterline?,
        buttline: buttline?,
        drag_area: drag_area?,
    })
}

fn door(item: &Item<'_>) -> Read<Door> {
    let table = item.table(DOOR)?;
    let name = table.text("name", "door");
    let station = table.quantity("station", lim::LENGTH);
    let waterline = table.quantity("waterline", lim::HEIGHT);
    let area = table.quantity("area", lim::AREA);
    let length = table.quantity("length", lim::SIZE);
    let opening = table.quantity_or("opening", lim::DRAG_AREA, Measured::exact(0.0));
    let throw = table.quantity("throw", lim::DOOR_THROW);
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

pub(super) fn servo(root: &Table<'_>) -> Read<Servo> {
    let Some(item) = root.get("servo") else {
        return Ok(Servo { rate: lim::DEFAULT_SERVO_RATE, delay: lim::DEFAULT_SERVO_DELAY });
    };
    let table = item.table(SERVO)?;
    let rate = table.quantity_or("rate", lim::SERVO_RATE, lim::DEFAULT_SERVO_RATE);
    let delay = table.quantity_or("delay", lim::SERVO_DELAY, lim::DEFAULT_SERVO_DELAY);
    Ok(Servo { rate: rate?, delay: delay? })
}
