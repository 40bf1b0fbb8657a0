//! The same need under another throttle or with flaps: where one percentage cannot serve.

use crate::find::{Coupling, Manoeuvre, Point, Pose, Posed, Stand};
use flight::{Bench, SearchFault};
use mix::Commands;

/// Throttle from idle to full, and flaps, that are looked at.
const THROTTLES: [f64; 3] = [0.0, 0.5, 1.0];
const FLAPS: [f64; 3] = [0.0, 0.5, 1.0];

/// What is needed at the point's speed and lead at each throttle: throttle and share at full lead. Empty where
/// the throttle is the lead or holds the speed.
pub(crate) fn by_throttle(
    stand: &Stand,
    coupling: Coupling,
    point: &Point,
) -> Result<Vec<(f64, f64)>, SearchFault> {
    if !matches!(coupling.manoeuvre, Manoeuvre::KnifeEdge | Manoeuvre::Skid | Manoeuvre::Flaps) {
        return Ok(Vec::new());
    }
    each(&THROTTLES, stand, coupling, point, |pose, throttle| Pose { throttle: Some(throttle), ..pose })
}

/// What is needed there with flaps out: their share of full and the share at full lead. Empty where
/// nobody flies with flaps, and without any.
pub(super) fn by_flap(
    stand: &Stand,
    coupling: Coupling,
    point: &Point,
) -> Result<Vec<(f64, f64)>, SearchFault> {
    let flaps = stand.surfaces.iter().any(|surface| surface.hinge == "flap");
    if !flaps || !matches!(coupling.manoeuvre, Manoeuvre::Skid | Manoeuvre::Power | Manoeuvre::Door) {
        return Ok(Vec::new());
    }
    each(&FLAPS, stand, coupling, point, |pose, flap| pose.with(Commands { flap, ..pose.set }))
}

fn each(
    settings: &[f64],
    stand: &Stand,
    coupling: Coupling,
    point: &Point,
    set: impl Fn(Pose, f64) -> Pose,
) -> Result<Vec<(f64, f64)>, SearchFault> {
    let mut bench = Bench::new(&stand.aircraft);
    let place = coupling.place();
    let mut list = Vec::new();
    for &setting in settings {
        let pose = set(point.posed.pose, setting);
        let posed = stand.pose(&pose, Some(&point.posed), &mut bench)?;
        let zero = zero(stand, coupling.manoeuvre, &pose, &mut bench)?;
        // with flaps another throttle keeps the speed
        let travel = if coupling.manoeuvre == Manoeuvre::Power {
            point.lead - zero.throttle
        } else {
            point.travel.abs()
        };
        if posed.converged && zero.converged {
            list.push((setting, (posed.sticks[place] - zero.sticks[place]) / travel));
        }
    }
    Ok(list)
}

/// Where the need is counted from: steady flight at the same speed and setting, without the lead; or
/// the flight at which it is trimmed.
fn zero(stand: &Stand, manoeuvre: Manoeuvre, pose: &Pose, bench: &mut Bench) -> Result<Posed, SearchFault> {
    let set = Commands { flap: pose.set.flap, ..Commands::default() };
    let level = Pose::level(pose.speed).with(set);
    match manoeuvre {
        Manoeuvre::Skid => stand.pose(&Pose { throttle: pose.throttle, ..level }, None, bench),
        Manoeuvre::Power | Manoeuvre::Door => stand.pose(&level, None, bench),
        _ => Ok(stand.level),
    }
}
