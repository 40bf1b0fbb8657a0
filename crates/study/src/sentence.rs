//! The result of a comparison in the pilot's words, written from the numbers.

use crate::compare::{Flight, Needed};
use manoeuvre::Verdict;
use measure::{DEG, Side, Stick};
use mix::Follower;

/// Surfaces held by less than this are not worth a blend: slop in the linkage swallows it \[rad\]
/// (about half a degree; common practice, no source).
const FLOOR: f64 = 0.5 * DEG;

/// A line is held within this of path and bank \[rad\] (judgement).
const HELD: f64 = 15.0 * DEG;
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
    let (off, nose) = (v.headline.canopy, v.headline.pitch);
    let (path, turn) = (metres(off), degrees(nose));
    match (path.as_str(), turn.as_str()) {
        ("0.0", "0") => "stays on the line".to_owned(),
        (_, "0") => format!("drifts {path} m {}", towards(off)),
        ("0.0", _) => format!("turns {turn} deg {}", towards(nose)),
        _ if (off > 0.0) == (nose > 0.0) => {
            format!("bends {turn} deg and {path} m {}", towards(off))
        }
        _ => format!("drifts {path} m {} while its nose turns {turn} deg {}", towards(off), towards(nose)),
    }
}

/// Which way and how far it rolls in the first 2 s.
#[must_use]
pub fn roll(v: &Verdict) -> String {
    let angle = degrees(v.rolls_out());
    match angle.as_str() {
        "0" => "keeps its bank".to_owned(),
        _ if v.rolls_out() > 0.0 => format!("rolls out (towards upright) {angle} deg"),
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
pub(crate) fn sentence(
    airframe: &str,
    side: Side,
    blends: &[String],
    flights: &[Flight; 2],
    needed: &Needed,
    acted: bool,
) -> String {
    let [without, with] = flights.each_ref().map(|flight| &flight.verdict);
    let (blend, them) = if blends.len() == 1 { ("the blend", "it") } else { ("the blends", "them") };
    if let Some(v) = [without, with].into_iter().find(|v| !v.settled()) {
        return format!(
            "{airframe}, {}: never settled for the pass ({:.0} deg off the bank, {:.0} m/s where it was entered at \
             {:.0}), so there is nothing to judge; check speed, centre of mass and throws.",
            side_words(side),
            v.entered.roll.abs() / DEG,
            v.speeds.start,
            v.speeds.entry,
        );
    }
    let mut text = format!(
        "{airframe}, {}, {} rudder stick, {:.0} m/s, left alone for 2 s: without {blend} it {} and {}; with {them} it {} and {}",
        side_words(side),
        percent(without.sticks[Stick::Rudder as usize]),
        without.speeds.start,
        bend(without),
        roll(without),
        bend(with),
        roll(with),
    );
    if !acted {
        text += &format!("; {blend} never acted: look at when they are engaged");
    } else if needed.movement < FLOOR {
        text += &format!("; it hardly needs {them} (less than half a degree of surface holds it)");
    }
    text + "."
}

/// What the pilot's hand did on the line, and the blend that would have done it, if the line was
/// held.
pub(crate) fn held(flights: &[Flight; 2], needed: &Needed) -> String {
    let corrected = &flights[0].corrected;
    if flights.iter().any(|f| !f.corrected.settled()) {
        return "held on the line by hand: it never was on the line".to_owned();
    }
    let [without, with] = flights.each_ref().map(work);
    let mut text = format!("held on the line by hand: {without} without, {with} with");
    let possible = needed.elevator.abs().max(needed.aileron.abs()) <= 1.0;
    if !not_held(corrected).is_empty() || !possible {
        return text + "; no blend follows from a line that was not held";
    }
    text += &format!(
        "; as a blend, at full rudder: elevator {} {}, aileron {} {}",
        percent(needed.elevator),
        up_down(needed.elevator),
        percent(needed.aileron),
        right_left(needed.aileron),
    );
    if corrected.height < -SINKING {
        text +=
            &format!(", for a pass that sinks {:.0} m: too little rudder to hold height", -corrected.height);
    }
    text
}

fn work(flight: &Flight) -> String {
    let elevator = format!("{} {} elevator", percent(flight.held_elevator), up_down(flight.held_elevator));
    let aileron = format!("{} {} aileron", percent(flight.held_aileron), right_left(flight.held_aileron));
    format!("{elevator} and {aileron} stick{}", not_held(&flight.corrected))
}

/// Why the line was not held, if it was not.
fn not_held(corrected: &Verdict) -> String {
    let stuck = |f: Follower| matches!(f, Follower::Aileron | Follower::Elevator);
    let mut reasons: Vec<String> = corrected
        .limits
        .iter()
        .filter(|(f, _)| stuck(*f))
        .map(|(f, _)| format!("{} at its stop", f.word()))
        .collect();
    if corrected.faults[0].max(corrected.faults[1]) > HELD {
        reasons.push("it still drifted".to_owned());
    }
    if !corrected.complete {
        reasons.push("the flight ended early".to_owned());
    }
    if reasons.is_empty() { String::new() } else { format!(" (not held: {})", reasons.join(", ")) }
}

const fn up_down(signed: f64) -> &'static str {
    if signed < 0.0 { "down" } else { "up" }
}

const fn right_left(signed: f64) -> &'static str {
    if signed < 0.0 { "left" } else { "right" }
}

/// What else a pilot must know of both flights; empty if there is nothing.
pub(crate) fn remarks(flights: &[Flight; 2]) -> String {
    let said = flights.each_ref().map(|flight| {
        let of_flight = remarks_on(&flight.verdict);
        (!of_flight.is_empty()).then(|| format!("{}: {of_flight}", flight.label.word()))
    });
    said.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

/// Stops that were reached, height that was lost, a pass that ended early.
fn remarks_on(v: &Verdict) -> String {
    let mut remarks: Vec<String> =
        v.limits.iter().map(|(l, _)| format!("{} at its stop", l.word())).collect();
    let silent = |stick: Stick| !v.limits.iter().any(|(l, _)| l.word() == stick.word());
    remarks.extend(
        v.full_sticks
            .iter()
            .filter(|(s, _)| silent(*s))
            .map(|(s, _)| format!("{} stick fully over", s.word())),
    );
    if v.height < -SINKING {
        remarks.push(format!("sinks {:.0} m in the pass", -v.height));
    }
    if v.lowest < 0.0 {
        remarks.push("below the field: start higher".to_owned());
    }
    if !v.complete {
        remarks.push("the flight ended early".to_owned());
    }
    remarks.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compare::Label;
    use core::f64::consts::FRAC_PI_2;
    use manoeuvre::{Deviation, Finding, Flown, Judged, Judging, Speeds};

    fn verdict(heading: f64, path: f64, bank: f64) -> Verdict {
        let headline = Deviation {
            pitch: heading * DEG,
            canopy: path,
            roll: -bank * DEG, // left rudder, right wing down: out is to the left
            ..Deviation::default()
        };
        let judged = Judged { climb: 0.0, bank: -FRAC_PI_2, as_what: Judging::Line };
        Verdict {
            judged,
            side: Side::Left,
            line: judged.line(0.0, Side::Left),
            entered: Deviation::default(),
            headline,
            headline_at: 2.0,
            end: headline,
            worst: headline,
            faults: [0.0; 3],
            sticks: [0.0, 0.0, 0.5, 0.5],
            held: [0.0; 4],
            work: [0.0; 4],
            commands: [0.0; 7],
            height: 0.0,
            lowest: 50.0,
            speeds: Speeds { entry: 30.0, start: 28.0, least: 27.0, most: 30.0, end: 27.0 },
            full_sticks: Vec::new(),
            limits: Vec::new(),
            seconds: 3.0,
            complete: true,
            finding: Finding::Line,
        }
    }

    fn flight(label: Label, verdict: Verdict, held: [f64; 2]) -> Flight {
        let flown = Flown { samples: Vec::new(), legs: Vec::new(), halt: None };
        let corrected = verdict.clone();
        Flight { label, flown, verdict, held_elevator: held[0], held_aileron: held[1], corrected }
    }

    const NEEDED: Needed = Needed { elevator: 0.10, aileron: -0.2, movement: 2.0 * DEG };

    fn said(without: Verdict, with: Verdict, needed: Needed, acted: bool) -> String {
        let flights =
            [flight(Label::Without, without, [0.05, -0.1]), flight(Label::With, with, [-0.004, 0.01])];
        sentence("Bluebell", Side::Left, &["one".to_owned(), "two".to_owned()], &flights, &needed, acted)
    }

    #[test]
    fn bends_and_rolls_are_told_with_their_direction() {
        assert_eq!(bend(&verdict(-12.4, -3.26, 0.0)), "bends 12 deg and 3.3 m towards the gear");
        assert_eq!(bend(&verdict(41.0, 12.3, 0.0)), "bends 41 deg and 12 m towards the canopy");
        assert_eq!(bend(&verdict(0.2, 2.0, 0.0)), "drifts 2.0 m towards the canopy");
        assert_eq!(bend(&verdict(-3.0, 0.01, 0.0)), "turns 3 deg towards the gear");
        assert_eq!(
            bend(&verdict(4.0, -1.0, 0.0)),
            "drifts 1.0 m towards the gear while its nose turns 4 deg towards the canopy"
        );
        assert_eq!(bend(&verdict(0.1, -0.02, 0.0)), "stays on the line");
        assert_eq!(roll(&verdict(0.0, 0.0, 8.0)), "rolls out (towards upright) 8 deg");
        assert_eq!(roll(&verdict(0.0, 0.0, -8.0)), "rolls under (towards inverted) 8 deg");
        assert_eq!(roll(&verdict(0.0, 0.0, 0.3)), "keeps its bank");
    }

    #[test]
    fn the_whole_sentence() {
        let mut without = verdict(-20.0, -5.0, 60.0);
        (without.limits, without.height) = (vec![(Follower::Rudder, 1.0)], -26.0);
        assert_eq!(
            said(without, verdict(0.0, 0.0, -2.0), NEEDED, true),
            "Bluebell, left rudder (right wing down), 50 % rudder stick, 28 m/s, left alone for 2 s: without the blends it \
             bends 20 deg and 5.0 m towards the gear and rolls out (towards upright) 60 deg; with them it stays on the line and rolls under (towards inverted) 2 deg."
        );
    }

    #[test]
    fn remarks_come_when_they_are_due() {
        let plain = || verdict(-5.0, -1.0, 5.0);
        let sentence = |v, needed, acted| said(v, plain(), needed, acted);
        let little = Needed { movement: 0.4 * DEG, ..NEEDED };
        assert!(
            sentence(plain(), little, true)
                .ends_with("; it hardly needs them (less than half a degree of surface holds it).")
        );
        assert!(!sentence(plain(), NEEDED, true).contains("hardly"));
        assert!(
            sentence(plain(), little, false)
                .ends_with("the blends never acted: look at when they are engaged.")
        );
        let speeds = Speeds { start: 6.0, ..plain().speeds };
        let lost = Verdict { speeds, ..plain() };
        let words = sentence(lost, NEEDED, true);
        assert!(words.contains("never settled") && !words.contains("bends"), "{words}");
    }

    #[test]
    fn what_else_was_seen_stands_beside_the_sentence() {
        let plain = || verdict(-5.0, -1.0, 5.0);
        let of = |without, with| {
            remarks(&[flight(Label::Without, without, [0.0; 2]), flight(Label::With, with, [0.0; 2])])
        };
        assert_eq!(of(plain(), Verdict { height: 30.0, ..plain() }), "", "climbing is no fault");
        let sinking = Verdict { limits: vec![(Follower::Rudder, 1.0)], height: -26.0, ..plain() };
        assert_eq!(of(sinking.clone(), plain()), "without: rudder at its stop, sinks 26 m in the pass");
        let over = Verdict { full_sticks: vec![(Stick::Rudder, 1.0)], ..plain() };
        assert_eq!(
            of(sinking, over),
            "without: rudder at its stop, sinks 26 m in the pass; with: rudder stick fully over"
        );
        assert!(of(plain(), Verdict { lowest: -1.0, ..plain() }).contains("below the field"));
        assert!(of(Verdict { complete: false, ..plain() }, plain()).contains("the flight ended early"));
    }

    #[test]
    fn held_sticks_are_told_with_their_direction() {
        let mut flights = [
            flight(Label::Without, verdict(0.0, 0.0, 0.0), [0.05, -0.1]),
            flight(Label::With, verdict(0.0, 0.0, 0.0), [-0.004, 0.01]),
        ];
        assert_eq!(
            held(&flights, &NEEDED),
            "held on the line by hand: 5.0 % up elevator and 10 % left aileron stick without, 0.4 % down elevator \
             and 1.0 % right aileron stick with; as a blend, at full rudder: elevator 10 % up, aileron 20 % left"
        );
        flights[0].corrected.limits = vec![(Follower::Aileron, 1.0), (Follower::Rudder, 1.0)];
        let stuck = held(&flights, &NEEDED);
        assert!(stuck.contains("aileron stick (not held: aileron at its stop) without"), "{stuck}");
        assert!(
            stuck.ends_with("no blend follows from a line that was not held")
                && !stuck.contains("as a blend")
        );
        flights[0].corrected.limits.clear();
        let absurd = Needed { elevator: -3.1, ..NEEDED };
        assert!(!held(&flights, &absurd).contains("as a blend"), "313 % is no blend");
        flights[0].corrected.height = -14.0;
        assert!(
            held(&flights, &NEEDED).ends_with("for a pass that sinks 14 m: too little rudder to hold height")
        );
        flights[1].corrected.entered.roll = 50.0 * DEG;
        assert_eq!(held(&flights, &NEEDED), "held on the line by hand: it never was on the line");
    }
}
