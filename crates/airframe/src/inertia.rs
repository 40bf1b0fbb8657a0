use nalgebra::{Matrix3, Vector3};

use crate::measured::{Airframe, Inertia};
use crate::strip::Strip;

/// Radii of gyration of the default guess as shares of half the span, half the length, and a
/// quarter of their sum: rounded means of four models of 0.86 to 1.9 m of span, two of them swung for certain, and a light
/// aircraft (the numbers and their sources: docs/truth.md, `tests/truth/aircraft.rs`). A swing test of one's own replaces them.
const ROLL_RADIUS: f64 = 0.23;
const PITCH_RADIUS: f64 = 0.45;
const YAW_RADIUS: f64 = 0.50;
/// No body has more inertia in yaw than in roll and pitch together; a flat one has as much. Models as long as wide
/// end there, shorter ones below.
const YAW_OVER_SUM: (f64, f64) = (0.9, 1.0);

/// Inertia matrix about the centre of mass, body axes [kg m^2]: as measured or guessed, with the
/// air that the strips carry along.
pub(crate) fn inertia(
    airframe: &Airframe,
    span: f64,
    length: f64,
    strips: &[Strip],
    density: f64,
) -> Matrix3<f64> {
    let mass = airframe.mass.all_up.value;
    let dry = airframe.mass.inertia.as_ref().map_or_else(|| guess(mass, span, length), measured);
    dry + carried_air(strips, Vector3::zeros(), density)
}

fn measured(given: &Inertia) -> Matrix3<f64> {
    Matrix3::from_diagonal(&Vector3::new(given.roll.value, given.pitch.value, given.yaw.value))
}

fn guess(mass: f64, span: f64, length: f64) -> Matrix3<f64> {
    let of_radius = |r: f64| mass * r * r;
    let roll = of_radius(ROLL_RADIUS * span / 2.0);
    let pitch = of_radius(PITCH_RADIUS * length / 2.0);
    let (least, most) = (YAW_OVER_SUM.0 * (roll + pitch), YAW_OVER_SUM.1 * (roll + pitch));
    let yaw = of_radius(YAW_RADIUS * (span + length) / 4.0).max(least).min(most);
    Matrix3::from_diagonal(&Vector3::new(roll, pitch, yaw))
}

/// Inertia of the air that moves with the strips, about `point` [body axes, m], diagonal
/// [kg m^2]: the thin-plate value without end losses.
/// Source: Gracey, *The additional-mass effect of plates as determined by experiments*, NACA
/// Report 707 (title seen; form from memory; its factor for finite span, below 1, is taken as 1).
#[must_use]
pub fn carried_air(strips: &[Strip], point: Vector3<f64>, density: f64) -> Matrix3<f64> {
    let mut diagonal = Vector3::zeros();
    for strip in strips {
        let arm = (strip.half_chord_point() - point).cross(&strip.normal);
        diagonal += arm.component_mul(&arm) * strip.carried_air(density);
    }
    Matrix3::from_diagonal(&diagonal)
}
