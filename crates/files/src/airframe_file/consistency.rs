//! Measurements that contradict each other across tables. Each fault names both ends.

use airframe::{Airframe, Panel, Part};
use measure::Dimension;

use super::limits as lim;
use super::panel::Placed;
use crate::filled::Filled;
use crate::reader::{Item, Read, Says, shown};

/// A wing, a tailplane and a fin must be there, each once, tail behind wing.
pub(super) fn parts(root: &Filled<'_>, panels: &Read<Vec<Placed<'_>>>) {
    // With a faulty panel nobody knows which one is missing.
    let Ok(panels) = panels else { return };
    for part in [Part::Wing, Part::Tailplane, Part::Fin] {
        if !panels.iter().any(|(_, panel)| panel.part == part) {
            root.item.fault(Says::new(
                format!("no {}", part.word()),
                "a wing, a tailplane and a fin, each as a [[panel]]",
                format!("add a [[panel]] with part = \"{}\"", part.word()),
            ));
        }
    }
    for (i, (table, panel)) in panels.iter().enumerate() {
        if let Some((first, _)) = panels[..i].iter().find(|(_, other)| other.part == panel.part) {
            table.item.fault(Says::new(
                format!("a second {}; the first is {}", panel.part.word(), first.item.name_and_line()),
                "one panel for each part, so far",
                "join both to one panel that has their area and their span",
            ));
        }
    }
    behind_the_wing(panels);
}

/// Stations that run forward instead of aft are the commonest slip, and turn the model around.
fn behind_the_wing(panels: &[Placed<'_>]) {
    let middle = |panel: &Panel| panel.root.station.value + 0.5 * panel.root.chord.value;
    let Some((wing_table, wing)) = panels.iter().find(|(_, p)| p.part == Part::Wing) else { return };
    let ahead: Vec<_> =
        panels.iter().filter(|(_, p)| !p.part.is_wing() && middle(p) <= middle(wing)).collect();
    let begins_behind = |(_, p): &&Placed<'_>| p.root.station.value > wing.root.station.value;
    if !ahead.is_empty() && ahead.iter().all(begins_behind) {
        return reaches_too_far(wing_table, wing);
    }
    for (table, panel) in ahead {
        table.item.fault(Says::new(
            format!(
                "the root of the {} at station {}, that of the wing at {} ({})",
                panel.part.word(),
                lim::length(panel.root.station),
                lim::length(wing.root.station),
                wing_table.item.name_and_line()
            ),
            TAIL_BEHIND,
            "check the signs: stations run aft, so behind the datum is +",
        ));
    }
}

const TAIL_BEHIND: &str =
    "tailplane and fins behind the wing; models with the tailplane ahead are not covered";

/// The tail begins behind the wing's leading edge, so it is the wing's chord that is wrong.
fn reaches_too_far(table: &Filled<'_>, wing: &Panel) {
    let end = wing.root.station.value + wing.root.chord.value;
    let chord = table.get("root").and_then(|root| root.child("chord"));
    chord.unwrap_or_else(|| table.item.clone()).fault(Says::new(
        format!(
            "a wing of {} at its root, which reaches back to station {}, over the tail",
            lim::length(wing.root.chord),
            shown(Dimension::Length, end)
        ),
        TAIL_BEHIND,
        "check unit and decimal point of the chord, and the stations of the tail",
    ));
}

/// The centre of mass must lie within the outline of the model, and mostly does within the wing.
pub(super) fn centre_of_mass(root: &Filled<'_>, airframe: &Airframe) {
    let (station, waterline) = (airframe.mass.station.value, airframe.mass.waterline.value);
    let along = within_model(root, "station", station, stations(airframe));
    within_model(root, "waterline", waterline, waterlines(airframe));
    if along {
        near_wing(root, airframe);
    }
}

fn within_model(root: &Filled<'_>, key: &str, value: f64, (least, most): (f64, f64)) -> bool {
    let within = (least..=most).contains(&value);
    if !within {
        let [found, from, to] = [value, least, most].map(|x| shown(Dimension::Length, x));
        centre_item(root, key).fault(Says::new(
            format!("{found}, but the model reaches from {key} {from} to {to}"),
            "a centre of mass within the model, measured from the same datum as body and panels",
            "check its sign and its unit: stations run aft, waterlines up",
        ));
    }
    within
}

fn near_wing(root: &Filled<'_>, airframe: &Airframe) {
    let Some(wing) = airframe.panels.iter().find(|panel| panel.part == Part::Wing) else { return };
    let ends = [&wing.root, &wing.tip].into_iter();
    let (front, rear) = reach(ends.map(|e| (e.station.value, e.station.value + e.chord.value)));
    let centre = airframe.mass.station.value;
    if !(front..=rear).contains(&centre) {
        let [found, from, to] = [centre, front, rear].map(|x| shown(Dimension::Length, x));
        centre_item(root, "station").caution(Says::new(
            format!("{found}, but the wing reaches from station {from} to {to}"),
            "any; most models balance within their wing's chord",
            "check that it is measured from the same datum as the wing",
        ));
    }
}

/// Blades whose tips are nearly as fast as sound: a slip of a digit, or a gear that was forgotten.
pub(super) fn tip_speed(root: &Filled<'_>, airframe: &Airframe) {
    // most propellers stay below 200 m/s, the fastest racers below 300 (common practice, no source)
    const FASTEST: f64 = 300.0;
    let (diameter, full) = (airframe.propulsor.diameter.value, airframe.motor.full.value);
    let tips = core::f64::consts::PI * diameter * full;
    if tips > FASTEST {
        let motor = root.get("motor").unwrap_or_else(|| root.item.clone());
        motor.child("full").unwrap_or(motor).caution(Says::new(
            format!(
                "{} with a diameter of {}: blade tips at {tips:.0} m/s, where sound goes at 340 m/s",
                shown(Dimension::Revolutions, full),
                shown(Dimension::Length, diameter)
            ),
            "any; tips usually stay below 200 m/s",
            "check the digits of both, and that the revolutions are the propeller's and not the motor's",
        ));
    }
}

/// Buttlines are half spans; the whole span in their place doubles the wing.
pub(super) fn half_spans(root: &Filled<'_>, airframe: &Airframe) {
    // span over length of ordinary models: 0.8 to 1.6; sailplanes more (common practice, no source)
    const WIDE: f64 = 2.0;
    let body = &airframe.body.stations;
    let (Some(nose), Some(tail)) = (body.first(), body.last()) else { return };
    let length = tail.station.value - nose.station.value;
    let items = root.items("panel").unwrap_or_default();
    for (panel, item) in airframe.panels.iter().zip(items).filter(|(panel, _)| panel.part.is_wing()) {
        let span = 2.0 * panel.tip.buttline.value;
        if span > WIDE * length {
            let tip = item.child("tip").unwrap_or(item);
            tip.child("buttline").unwrap_or(tip).caution(Says::new(
                format!(
                    "a tip at {}: a span of {} on a body of {}",
                    lim::length(panel.tip.buttline),
                    shown(Dimension::Length, span),
                    shown(Dimension::Length, length)
                ),
                "any; the span is usually below twice the length",
                "a buttline runs from the middle to the tip: half of the span; leave it if it is meant",
            ));
        }
    }
}

/// Mass per wing area that ordinary models do not have: a slip of a digit or of a unit.
pub(super) fn loading(root: &Filled<'_>, airframe: &Airframe) {
    // indoor foamies from 1 kg/m^2, large jets to 20 (common practice, no source)
    const ORDINARY: (f64, f64) = (1.0, 20.0);
    let area = |p: &Panel| (p.root.chord.value + p.tip.chord.value) * p.tip.buttline.value;
    let wings: f64 = airframe.panels.iter().filter(|p| p.part.is_wing()).map(area).sum();
    let loading = airframe.mass.all_up.value / wings;
    if wings > 0.0 && !(ORDINARY.0..=ORDINARY.1).contains(&loading) {
        let mass = root.get("mass").unwrap_or_else(|| root.item.clone());
        mass.child("all_up").unwrap_or(mass).caution(Says::new(
            format!(
                "{} on {wings:.2} m2 of wing: {loading:.1} kg/m2",
                shown(Dimension::Mass, airframe.mass.all_up.value)
            ),
            "any; ordinary models have 1 to 20 kg/m2",
            "check the digits of the mass, and chords and span of the wing",
        ));
    }
}

/// Tips that hang far below their root, and wings set far against the tailplane: signs that were mixed up.
pub(super) fn rigging(root: &Filled<'_>, airframe: &Airframe) {
    // of the half span: 4 deg of anhedral; and more than any decalage (common practice, no source)
    const HANGING: f64 = 0.07;
    const APART: f64 = 4.0 * measure::DEG;
    let items = root.items("panel").unwrap_or_default();
    let tail = airframe.panels.iter().find(|p| p.part == Part::Tailplane);
    for (panel, item) in airframe.panels.iter().zip(items).filter(|(panel, _)| panel.part.is_wing()) {
        let drop = panel.root.waterline.value - panel.tip.waterline.value;
        if drop > HANGING * panel.tip.buttline.value {
            let tip = item.child("tip").unwrap_or_else(|| item.clone());
            tip.child("waterline").unwrap_or(tip).caution(Says::new(
                format!(
                    "a tip at {}, a root at {}: it hangs",
                    lim::length(panel.tip.waterline),
                    lim::length(panel.root.waterline)
                ),
                "any; most tips are as high as their root or higher",
                "waterlines run up: check the signs of both",
            ));
        }
        let Some(tail) = tail else { continue };
        if (panel.root.incidence.value - tail.root.incidence.value).abs() > APART {
            let at = item.child("root").unwrap_or(item);
            at.child("incidence").unwrap_or(at).caution(Says::new(
                format!(
                    "an incidence of {}, of the tailplane {}",
                    shown(Dimension::Angle, panel.root.incidence.value),
                    shown(Dimension::Angle, tail.root.incidence.value)
                ),
                "any; they are usually within 4 deg of each other",
                "measure both against the same line, leading edge up is +",
            ));
        }
    }
}

/// A stick that moves nothing is worth a word.
pub(super) fn idle_sticks(root: &Filled<'_>, airframe: &Airframe) {
    for (name, part) in [("aileron", Part::Wing), ("elevator", Part::Tailplane), ("rudder", Part::Fin)] {
        let panels = &airframe.panels;
        let hinged = panels.iter().flat_map(|panel| &panel.hinges).any(|hinge| hinge.name == name);
        if !hinged && panels.iter().any(|panel| panel.part == part) {
            root.item.caution(Says::new(
                format!("no hinge is called {name}, so its stick moves nothing"),
                "models without one; most have all three",
                format!("add a [[panel.hinge]] with name = \"{name}\" if it has one"),
            ));
        }
    }
}

fn centre_item<'d>(root: &Filled<'d>, key: &str) -> Item<'d> {
    let mass = root.get("mass").unwrap_or_else(|| root.item.clone());
    let centre = mass.child("centre").unwrap_or(mass);
    centre.child(key).unwrap_or(centre)
}

fn stations(airframe: &Airframe) -> (f64, f64) {
    let body = airframe.body.stations.iter().map(|s| (s.station.value, s.station.value));
    let ends = airframe.panels.iter().flat_map(|p| [&p.root, &p.tip]);
    let panels = ends.map(|e| (e.station.value, e.station.value + e.chord.value));
    reach(body.chain(panels))
}

fn waterlines(airframe: &Airframe) -> (f64, f64) {
    let body = airframe.body.stations.iter().map(|s| {
        let half = 0.5 * s.height.value;
        (s.waterline.value - half, s.waterline.value + half)
    });
    let ends = airframe.panels.iter().flat_map(|p| [&p.root, &p.tip]);
    reach(body.chain(ends.map(|e| (e.waterline.value, e.waterline.value))))
}

fn reach(intervals: impl Iterator<Item = (f64, f64)>) -> (f64, f64) {
    intervals.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), (a, b)| (least.min(a), most.max(b)))
}
