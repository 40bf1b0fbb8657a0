//! A straight line: where the path bends, and how the model rolls about it.

use super::amount::{degrees, is_nothing, metres, way};
use super::short::Short;
use manoeuvre::{Pose, Verdict};

/// Sideways drift and yaw below these are not told \[m, written degrees\] (judgement).
const ASIDE: f64 = 0.5;
const YAW: &str = "2";

/// What it does in the first 2 s.
pub(super) fn does(v: &Verdict) -> String {
    let aside = aside(v).map_or_else(String::new, |words| format!(", {words}"));
    format!("{}{aside} and {}", bend(v), roll(v))
}

/// Which way and how far the path bends in the first 2 s.
#[must_use]
pub fn bend(v: &Verdict) -> String {
    let (off, nose) = (v.headline.canopy, v.headline.pitch);
    told(off, nose, ways(v))
}

fn told(off: f64, nose: f64, ways: [&'static str; 2]) -> String {
    let towards = |signed| way(signed, ways[0], ways[1]);
    let (path, turn) = (metres(off), degrees(nose));
    match (is_nothing(&path), is_nothing(&turn)) {
        (true, true) => "stays on the line".to_owned(),
        (false, true) => format!("drifts {path} m {}", towards(off)),
        (true, false) => format!("turns {turn} deg {}", towards(nose)),
        _ if (off > 0.0) == (nose > 0.0) => format!("bends {turn} deg and {path} m {}", towards(off)),
        _ => format!("drifts {path} m {} while its nose turns {turn} deg {}", towards(off), towards(nose)),
    }
}

/// Where the canopy points, in words: whether that is up or down helps the eye.
fn ways(v: &Verdict) -> [&'static str; 2] {
    match v.judged.pose() {
        Pose::Upright => ["upwards", "downwards"],
        Pose::Inverted => ["downwards (towards the canopy)", "upwards (towards the gear)"],
        Pose::KnifeEdge | Pose::UpLine | Pose::DownLine => ["towards the canopy", "towards the gear"],
    }
}

/// Towards a wing; on the knife edge that is height, which is told elsewhere.
fn aside(v: &Verdict) -> Option<String> {
    let (off, yaw) = (v.headline.right, v.headline.yaw);
    if v.judged.pose() == Pose::KnifeEdge || (off.abs() < ASIDE && degrees(yaw).as_str() < YAW) {
        return None;
    }
    let wing = way(off, "right", "left");
    Some(format!("goes {} m towards its {wing} wing", metres(off)))
}

/// Which way and how far it rolls in the first 2 s.
#[must_use]
pub fn roll(v: &Verdict) -> String {
    let edge = v.judged.pose() == Pose::KnifeEdge;
    let turn = if edge { v.rolls_out() } else { v.headline.roll };
    let angle = degrees(turn);
    match (is_nothing(&angle), edge) {
        (true, true) => "keeps its bank".to_owned(),
        (true, false) => "does not roll".to_owned(),
        (false, true) => {
            let words = way(turn, "rolls out (towards upright)", "rolls under (towards inverted)");
            format!("{words} {angle} deg")
        }
        (false, false) => format!("rolls {} {angle} deg", way(turn, "right", "left")),
    }
}

/// The same for a table.
pub(super) fn short(v: &Verdict) -> Vec<Short> {
    let (off, roll) = (v.headline.canopy, v.headline.roll);
    let level = |off| Short::metres(off, "up", "down");
    match v.judged.pose() {
        Pose::KnifeEdge => {
            vec![Short::metres(off, "canopy", "gear"), Short::degrees(v.rolls_out(), "out", "under")]
        }
        Pose::Upright => vec![level(off), Short::degrees(roll, "roll R", "roll L")],
        Pose::Inverted => vec![level(-off), Short::degrees(roll, "roll R", "roll L")],
        Pose::UpLine | Pose::DownLine => vec![
            Short::metres(off, "canopy", "gear"),
            Short::metres(v.headline.right, "R wing", "L wing"),
            Short::degrees(roll, "roll R", "roll L"),
        ],
    }
}
