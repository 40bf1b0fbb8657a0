//! From where the path is seen: as a pilot would describe the bend.

use super::quantity::{metres, quantity};
use crate::comparison::{PathView, StationView};
use crate::silhouette::{Vector, View};
use flight::earth_from_body;
use manoeuvre::{Drift, Judging, Pose, Verdict};
use measure::Side;
use nalgebra::{Rotation3, Vector3};
use std::f64::consts::FRAC_PI_2;

/// Eyes of a pilot above the ground \[m\] (judgement).
const EYES: f64 = 1.7;
/// The pilot stands at least this far from the path, and further from a high one, so that nobody has to look
/// up steeply \[m, times the height\] (judgement).
const NEAREST: f64 = 50.0;
const PER_HEIGHT: f64 = 1.4;
/// Least height of what the pilot sees \[deg\]: about that of a fist held out at arm's length, halved.
const LEAST_HEIGHT: f64 = 4.0;

/// Whether the bend lies flat: in the plane of the ground.
fn from_above(v: &Verdict) -> bool {
    match v.judged.as_what {
        Judging::Line => v.judged.pose() == Pose::KnifeEdge,
        Judging::Turn | Judging::RollIn => true,
        _ => false,
    }
}

pub(super) fn path_title(v: &Verdict) -> String {
    let from = if from_above(v) { "from above" } else { "from the side" };
    format!("The path, seen {from}")
}

/// Seen from above or from the right, flying to the right of the page. On the knife edge with right rudder
/// the canopy points up on the page, with left rudder down.
pub(super) fn path_view(v: &Verdict) -> PathView {
    let (view, across) = match (from_above(v), v.judged.as_what) {
        (true, Judging::Line) => {
            let (up, down) = page_words(v.side);
            (View::from_above(0.0), metres(up, down))
        }
        (true, _) => (View::from_above(0.0), metres("left of the entry", "right of the entry")),
        (false, _) => (View::from_the_side(0.0), metres("higher", "lower")),
    };
    PathView { view, origin_ned_m: [0.0; 3], along_words: "distance along the entry".to_owned(), across }
}

/// What up and down on the page mean on the knife edge: one bend has one direction on the whole page.
pub(super) fn page_words(side: Side) -> (&'static str, &'static str) {
    let (canopy, gear) = ("towards the canopy", "towards the gear");
    if side == Side::Right { (canopy, gear) } else { (gear, canopy) }
}

/// The judged line along the path where the judging began, as far as the flights went; empty where no
/// straight line is judged.
pub(super) fn judged_line(
    v: &Verdict,
    wind: &Vector3<f64>,
    without: &[Drift],
    with: &[Drift],
) -> Vec<Vector> {
    if !matches!(v.judged.as_what, Judging::Line | Judging::Roll) {
        return Vec::new();
    }
    let reach = [without, with].into_iter().filter_map(|d| d.last()).map(|d| d.off.along).fold(0.0, f64::max);
    let Some(begun) = without.iter().find(|d| d.time >= 0.0) else { return Vec::new() };
    let along = direction(begun, wind) * reach;
    vec![[0.0; 3], along.into()]
}

/// Unit vector of the path through the air, turned along the line: what `Drift::position` grows along.
fn direction(at: &Drift, wind: &Vector3<f64>) -> Vector3<f64> {
    let body = &at.sample.state.body;
    let north = Rotation3::from_axis_angle(&Vector3::z_axis(), -at.track);
    let path = north * (earth_from_body(&body.attitude) * body.velocity - wind);
    path.normalize()
}

/// A pilot to the right of the path, abreast of the middle of what is shown, on the ground. Axes of the page:
/// the entry runs north, the flight to the right of the page.
pub(super) fn station(without: &[Drift], with: &[Drift], wind: &Vector3<f64>) -> Option<StationView> {
    let begun = without.iter().find(|d| d.time >= 0.0)?;
    let north = Rotation3::from_axis_angle(&Vector3::z_axis(), -begun.track);
    let blown = north * wind;
    // where the judging began is the origin, so the ground lies below it by its height
    let ground = -begun.sample.state.body.position.z;
    let way = |drifts: &[Drift]| -> Vec<Vector> {
        drifts.iter().map(|d| (d.position + blown * d.time).into()).collect()
    };
    let (without_ned_m, with_ned_m) = (way(without), way(with));
    let reach = |pick: fn(&Vector) -> f64| {
        let all = || without_ned_m.iter().chain(&with_ned_m).map(pick);
        (all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max))
    };
    let (along, aside, down) = (reach(|p| p[0]), reach(|p| p[1]), reach(|p| p[2]));
    let highest = ground - down.0;
    let away = NEAREST.max(PER_HEIGHT * highest);
    let eye_ned_m = [0.5 * (along.0 + along.1), aside.1 + away, ground - EYES];
    Some(StationView {
        title: format!("As the pilot sees it, {away:.0} m to the right of the entry"),
        eye_ned_m,
        facing_rad: -FRAC_PI_2,
        height: quantity("deg", 0, "above the horizon", "below the horizon", LEAST_HEIGHT),
        without_ned_m,
        with_ned_m,
        judged_ned_m: Vec::new(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Flying north in a knife-edge: with left rudder the right wing is down, and the gear points to the
    /// west, which is up on the page.
    #[test]
    fn one_bend_has_one_direction_on_the_page() {
        for (side, gear_ned_m) in [(Side::Left, [0.0, -1.0, 0.0]), (Side::Right, [0.0, 1.0, 0.0])] {
            let (_, up) = View::from_above(0.0).flat(gear_ned_m);
            let (above, below) = page_words(side);
            assert_eq!(if up > 0.0 { above } else { below }, "towards the gear");
        }
    }
}
