//! Where the eye is for each way of looking.

use crate::axes;
use crate::field::Stage;
use bevy::math::{Quat, Vec3};
use bevy::transform::components::Transform;
use nalgebra::Vector3;
use panels::{Eye, Show, View};

/// An eye: where it is, and how much of the world it takes in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Sight {
    pub(crate) place: Transform,
    /// Vertical field of view \[rad\].
    pub(crate) angle: f32,
}

/// The wide angle of an eye that is near \[rad\].
const NEAR_ANGLE: f32 = 0.8;
/// A model is shown at least this large in the pilot's view, times its span: eyes follow and narrow.
const PILOT_FRAME: f32 = 9.0;

/// What `view` sees at `time` \[s\] of a show.
pub(crate) fn sight(view: &View, show: &Show, stage: &Stage, time: f64) -> Sight {
    let [ghost, solid] = [0, 1].map(|i| show.tracks[i].at(time));
    let [ghost_at, at] = [ghost, solid].map(|pose| axes::vector(&pose.position));
    // who flies by hand looks at the model that is flown, wherever the ghost is
    let (middle, apart) =
        if show.run.is_some() { (0.5 * (ghost_at + at), (ghost_at - at).length()) } else { (at, 0.0) };
    let span = 2.0 * show.geometry.wing().half_span() as f32;
    let along = line_direction(show, time);
    let aside = along.cross(Vec3::Y).normalize_or(Vec3::X);
    let reach = (2.4 * span + 0.85 * apart) / view.zoom;
    match view.eye {
        Eye::Pilot => pilot(view, stage.pilot(), middle, apart.max(PILOT_FRAME * span)),
        Eye::Chase => around(view, middle, -along, 0.32, reach),
        Eye::Tail => {
            let turned = axes::attitude(&solid.attitude);
            let back = turned * Quat::from_rotation_y(view.turned) * Vec3::new(0.0, 0.35 - view.raised, 1.0);
            let place = Transform::from_translation(at + back.normalize() * 3.0 * span / view.zoom);
            Sight { place: place.looking_at(at, turned * Vec3::Y), angle: NEAR_ANGLE }
        }
        Eye::Top if show.run.is_none() => over(view, middle, 45.0 + apart),
        Eye::Top => above(view, show, along),
        Eye::Side => around(view, middle, aside, 0.02, 2.0 * reach),
        Eye::Free => around(view, stage.middle + Vec3::Y * 0.6 * at.y, aside, 0.25, 150.0 / view.zoom),
    }
}

/// The direction in which the judged line runs, level; of a flight by hand that in which the solid model moves.
fn line_direction(show: &Show, time: f64) -> Vec3 {
    const BEFORE: f64 = 0.5;
    let track = &show.tracks[1];
    let ground = match show.judged_line() {
        Some([from, to]) => to - from,
        None if show.run.is_none() => {
            track.at(time.max(BEFORE)).position - track.at(time.max(BEFORE) - BEFORE).position
        }
        None => Vector3::x(),
    };
    let mut along = axes::vector(&ground);
    along.y = 0.0;
    along.normalize_or(Vec3::NEG_Z)
}

/// From `back` of what is looked at, raised by `raised` \[rad\].
fn around(view: &View, target: Vec3, back: Vec3, raised: f32, reach: f32) -> Sight {
    let level = Quat::from_rotation_y(view.turned) * back;
    let (sin, cos) = (raised + view.raised).clamp(-1.5, 1.5).sin_cos();
    let mut at = target + (level * cos + Vec3::Y * sin) * reach;
    at.y = at.y.max(0.5);
    Sight { place: Transform::from_translation(at).looking_at(target, Vec3::Y), angle: NEAR_ANGLE }
}

/// Standing still, turning after the model.
fn pilot(view: &View, eyes: Vec3, target: Vec3, frame: f32) -> Sight {
    let angle = 2.0 * (0.5 * frame / (target - eyes).length()).atan() / view.zoom;
    let mut place = Transform::from_translation(eyes).looking_at(target, Vec3::Y);
    place.rotate_y(view.turned);
    place.rotate_local_x(-view.raised);
    Sight { place, angle: angle.clamp(0.02, 1.6) }
}

/// From above, north up.
fn over(view: &View, target: Vec3, height: f32) -> Sight {
    let up = Quat::from_rotation_y(view.turned) * Vec3::NEG_Z;
    let place = Transform::from_translation(target + Vec3::Y * height / view.zoom).looking_at(target, up);
    Sight { place, angle: NEAR_ANGLE }
}

/// The whole judged leg from above, the flight running to the right.
fn above(view: &View, show: &Show, along: Vec3) -> Sight {
    let (from, to) = show.judged_line().map_or((Vector3::zeros(), Vector3::x() * 100.0), |[a, b]| (a, b));
    let middle = axes::vector(&(0.5 * (from + to)));
    let height = (0.75 * (to - from).norm() as f32).max(20.0) / view.zoom;
    let up = Quat::from_rotation_y(view.turned) * Vec3::Y.cross(along);
    let place = Transform::from_translation(middle + Vec3::Y * height).looking_at(middle, up);
    Sight { place, angle: NEAR_ANGLE }
}
