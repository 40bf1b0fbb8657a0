//! How slow a model can be.

use crate::find::pose::Stand;
use aero::{Instant, Total};
use flight::Bench;
use measure::{DEG, G0};
use mix::Commands;
use nalgebra::Vector3;

/// An approach is flown at about so many times the stalling speed (common practice, no source).
const APPROACH: f64 = 1.3;
/// Incidences at which the largest lift is looked for \[deg\].
const STEPS: core::ops::RangeInclusive<i32> = 4..=26;

/// Approach speed [m/s] with `set` standing out, engine idling: a multiple of the speed at which
/// the largest lift equals the weight. Tail and elevator as trimmed, pitching moments unbalanced.
pub(crate) fn approach_speed(stand: &Stand, set: &Commands, bench: &mut Bench) -> f64 {
    let speed = stand.level.pose.speed;
    let density = stand.around.density(&Vector3::zeros());
    let [aileron, elevator, rudder] = stand.level.sticks;
    let commands = Commands { aileron, elevator, rudder, ..*set };
    let mut most = 0.0_f64;
    for step in STEPS {
        let (sin, cos) = libm::sincos(f64::from(step) * DEG);
        let velocity = Vector3::new(speed * cos, 0.0, speed * sin);
        let rotor = stand.aircraft.steady_rotor(&velocity, 0.0, density);
        let deflections = stand.deflections(&commands);
        let at = Instant { deflections, rotor, density, ..Instant::at(velocity) };
        let mut total = Total::default();
        stand.aircraft.model.forces_steady(&at, &mut bench.scratch, &mut total);
        most = most.max(total.force.x * sin - total.force.z * cos);
    }
    APPROACH * speed * (stand.aircraft.mass.mass() * G0 / most).sqrt()
}
