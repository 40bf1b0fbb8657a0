//! The result of a comparison in the pilot's words, written from the numbers.

use crate::compare::Flight;
use manoeuvre::Verdict;
use measure::{DEG, Side};

/// Followers held by less than this share are not worth a blend: slop in the linkage swallows it
/// (about 2 % or half a degree; common practice, no source).
const FLOOR: f64 = 0.02;

/// A loss of height that is worth a word \[m\] (judgement).
const SINKING: f64 = 10.0;

/// `"right rudder (left wing down)"`.
#[must_use]
pub fn side_words(side: Side) -> String {
    format!("{} rudder ({} wing down)", side.word(), side.opposite().word())
}

/// Which way and how far the path bends in the first 2 s.
#[must_use]
pub fn bend(v: &Verdict) -> String {
    let (path, turn) = (metres(v.path), degrees(v.heading));
    match (path.as_str(), turn.as_str()) {
        ("0.0", "0") => "stays on the line".to_owned(),
        (_, "0") => format!("drifts {path} m {}", towards(v.path)),
        ("0.0", _) => format!("turns {turn} deg {}", towards(v.heading)),
        _ if (v.path > 0.0) == (v.heading > 0.0) => {
            format!("bends {turn} deg and {path} m {}", towards(v.path))
        }
        _ => format!(
            "drifts {path} m {} while its nose turns {turn} deg {}",
            towards(v.path),
            towards(v.heading)
        ),
    }
}

/// Which way and how far it rolls in the first 2 s.
#[must_use]
pub fn roll(v: &Verdict) -> String {
    let angle = degrees(v.bank);
    match angle.as_str() {
        "0" => "keeps its bank".to_owned(),
        _ if v.bank > 0.0 => format!("rolls out (towards upright) {angle} deg"),
        _ => format!("rolls under (towards inverted) {angle} deg"),
    }
}

const fn towards(signed: f64) -> &'static str {
    if signed > 0.0 { "towards the canopy" } else { "towards the gear" }
}

/// No finer than the model is sure of: tenths below 10 m.
fn metres(signed: f64) -> String {
    let size = signed.abs();
    if size < 9.95 { format!("{size:.1}") } else { format!("{size:.0}") }
}

fn degrees(signed: f64) -> String {
    format!("{:.0}", signed.abs() / DEG)
}

fn percent(share: f64) -> String {
    let size = 100.0 * share.abs();
    if size < 9.95 { format!("{size:.1} %") } else { format!("{size:.0} %") }
}

/// The whole sentence: without the blends, with them, and whether they are worth having.
pub(crate) fn sentence(airframe: &str, side: Side, blends: &[String], flights: &[Flight; 2]) -> String {
    let [without, with] = flights.each_ref().map(|flight| &flight.verdict);
    let (blend, them) = if blends.len() == 1 { ("the blend", "it") } else { ("the blends", "them") };
    let mut text = format!(
        "{airframe}, {} at {} and {:.0} m/s, left alone for 2 s: without {blend} it {} and {}{}; with {them} it {} and {}{}",
        side_words(side),
        percent(without.rudder),
        without.speed,
        bend(without),
        roll(without),
        remarks(without),
        bend(with),
        roll(with),
        remarks(with),
    );
    if hardly_needed(&flights[0]) {
        text += &format!("; it hardly needs {them}");
    }
    text + "."
}

/// Whether a hand holds the line with so little that no linkage would show it.
fn hardly_needed(without: &Flight) -> bool {
    without.held_elevator.abs() < FLOOR && without.held_aileron.abs() < FLOOR
}

/// What the pilot's hand did on the line: directly the missing blend.
pub(crate) fn held(flights: &[Flight; 2]) -> String {
    let [without, with] = flights.each_ref().map(work);
    format!("held on the line by hand: {without} stick without, {with} stick with")
}

fn work(flight: &Flight) -> String {
    let elevator = format!("{} {} elevator", percent(flight.held_elevator), up_down(flight.held_elevator));
    let aileron = format!("{} {} aileron", percent(flight.held_aileron), right_left(flight.held_aileron));
    format!("{elevator} and {aileron}")
}

const fn up_down(signed: f64) -> &'static str {
    if signed < 0.0 { "down" } else { "up" }
}

const fn right_left(signed: f64) -> &'static str {
    if signed < 0.0 { "left" } else { "right" }
}

/// What else a pilot must know: stops that were reached, a pass that ended early.
fn remarks(v: &Verdict) -> String {
    let mut remarks: Vec<String> = v.limits.iter().map(|l| format!("{} at its stop", l.word())).collect();
    if v.height < -SINKING {
        remarks.push(format!("sinks {:.0} m in the pass", -v.height));
    }
    if !v.complete {
        remarks.push("the flight ended early".to_owned());
    }
    if remarks.is_empty() { String::new() } else { format!(" ({})", remarks.join(", ")) }
}
