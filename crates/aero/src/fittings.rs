//! Drag items and doors: plates in the stream.

use airframe::{DoorShape, Part};
use nalgebra::Vector3;

use crate::instant::Instant;
use crate::jet::smooth_step;
use crate::model::Model;
use crate::tally::{Effect, Tally};

pub(crate) fn act<T: Tally>(model: &Model, at: &Instant, tally: &mut T) {
    for item in &model.parts.drag_points {
        let l = velocity(at, item.position);
        let force = l * (-0.5 * at.density * item.drag_area * l.norm());
        tally.add(Part::Fittings, Effect::Plate, force, item.position, Vector3::zeros());
    }
    for door in &model.parts.doors {
        let (force, point) = door_force(door, at);
        tally.add(Part::Fittings, Effect::Plate, force, point, Vector3::zeros());
    }
}

fn velocity(at: &Instant, position: Vector3<f64>) -> Vector3<f64> {
    at.velocity - at.air + at.rate.cross(&position)
}

/// Force on an open door and its opening, and where it acts. Plate law as for separated strips.
fn door_force(door: &DoorShape, at: &Instant) -> (Vector3<f64>, Vector3<f64>) {
    let angle = at.deflections[door.surface];
    let (sin, cos) = libm::sincos(angle);
    let l = velocity(at, door.hinge);
    let speed = l.norm();
    let normal = Vector3::new(sin, 0.0, cos);
    let onto = l.dot(&normal) / (speed + 1e-9);
    let coefficient = 1.2 * onto / (0.56 + 0.44 * onto.abs()) * smooth_step(angle / 0.15);
    let plate = normal * (-0.5 * at.density * door.area * speed * speed * coefficient);
    let opening = l * (-0.5 * at.density * door.opening * speed * sin * sin);
    let middle = door.hinge + Vector3::new(-cos, 0.0, sin) * (0.5 * door.length);
    (plate + opening, middle)
}
