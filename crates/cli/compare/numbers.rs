//! A comparison in numbers, for other programs.

use super::Flown;
use manoeuvre::{Finding, Scenario, Verdict};
use measure::{DEG, Stick};
use report::run_page::{CAUTION, PERCENT};
use serde_json::{Value, json};
use study::{Cell, Flight, Outcome, Overview, Run};

/// Everything that was flown, and what could not be.
pub(super) fn all(flown: &Flown, scenario: &Scenario) -> Value {
    let mut runs = Vec::new();
    let mut not_flown = Vec::new();
    for (case, outcome) in &flown.outcomes {
        let setting = &flown.settings[case.scenario].words;
        match outcome {
            Ok(run) => runs.push(run_json(run, setting)),
            Err(error) => not_flown.push(json!({
                "airframe": flown.contestants[case.contestant].geometry.name,
                "side": case.side.word(),
                "setting": setting,
                "why": error.to_string(),
            })),
        }
    }
    json!({
        "scenario": scenario.name,
        "units": units(),
        "percent": PERCENT,
        "caution": CAUTION,
        "runs": runs,
        "not_flown": not_flown,
    })
}

/// The table of the fleet.
pub(super) fn overview(table: &Overview) -> Value {
    let row = |(manoeuvre, cells): &(String, Vec<Cell>)| {
        let cells = table.airframes.iter().zip(cells).map(|(airframe, cell)| cell_json(airframe, cell));
        json!({ "manoeuvre": manoeuvre, "cells": cells.collect::<Vec<_>>() })
    };
    json!({
        "units": units(),
        "percent": PERCENT,
        "caution": CAUTION,
        "rows": table.rows.iter().map(row).collect::<Vec<_>>(),
    })
}

fn cell_json(airframe: &str, cell: &Cell) -> Value {
    let mut json = match &cell.run {
        Some(run) => run_json(run, ""),
        None => json!({ "airframe": airframe, "side": cell.side.word() }),
    };
    json["flown"] = (cell.outcome == Outcome::Flown).into();
    json["outcome"] = cell.outcome.word().into();
    json["reason"] = match &cell.outcome {
        Outcome::Refused(error) => error.to_string().into(),
        other => other.why_not().into(),
    };
    json["says"] = cell.lines().into();
    json
}

/// What the numbers mean.
fn units() -> Value {
    json!({
        "heading_2s_deg": "change of the nose in the first 2 s, + towards the canopy",
        "bank_2s_deg": "change of bank in the first 2 s, + rolls out (towards upright); off the knife edge + right",
        "path_2s_m": "distance from the line after 2 s, in the air, + towards the canopy",
        "aside_2s_m": "distance from the line after 2 s, in the air, + towards the right wing",
        "drift_m": "largest distance from the line over the judged leg, + towards the canopy",
        "height_m": "height from beginning to end of the judged leg, - lost",
        "held_elevator": "percent of full stick the pilot's hand needed on the line, + up",
        "held_aileron": "percent of full stick the pilot's hand needed on the line, + right",
        "marks_exact": "of 10, one less per 15 deg of path and of bank, unrounded",
        "rudder_percent": "percent of full stick when the judged leg began, + right",
        "finding": "what only this kind of manoeuvre shows; angles in deg, lengths in m, speeds in m/s, shares in percent",
    })
}

fn run_json(run: &Run, setting: &str) -> Value {
    json!({
        "airframe": run.airframe,
        "side": run.side.word(),
        "setting": setting,
        "kind": run.flights[0].verdict.judged.as_what.word(),
        "blends": run.blends,
        "sentence": run.sentence,
        "remarks": run.remarks,
        "held": run.held,
        "needed_elevator_percent": 100.0 * run.needed.elevator,
        "needed_aileron_percent": 100.0 * run.needed.aileron,
        "flights": run.flights.iter().map(flight_json).collect::<Vec<_>>(),
    })
}

fn flight_json(flight: &Flight) -> Value {
    let v = &flight.verdict;
    json!({
        "label": flight.label.word(),
        "heading_2s_deg": v.headline.pitch / DEG,
        "bank_2s_deg": if study::on_edge(v) { v.rolls_out() } else { v.headline.roll } / DEG,
        "path_2s_m": v.headline.canopy,
        "aside_2s_m": v.headline.right,
        "drift_m": v.worst.canopy,
        "height_m": v.height,
        "held_complete": flight.corrected.complete,
        "held_limits": stops(&flight.corrected),
        "held_elevator": 100.0 * flight.held_elevator,
        "held_aileron": 100.0 * flight.held_aileron,
        "beyond": flight.beyond.map(|beyond| beyond.words(&v.judged)),
        "rudder_percent": 100.0 * v.sticks[Stick::Rudder as usize],
        "speed_m_s": v.speeds.start,
        "speed_range_m_s": [v.speeds.least, v.speeds.most],
        "seconds": v.seconds,
        "marks": v.marks(),
        "marks_exact": v.marks_exact(),
        "settled": v.settled(),
        "limits": stops(v).into_iter()
            .chain(v.full_sticks.iter().map(|(s, _)| format!("{} stick fully over", s.word())))
            .collect::<Vec<_>>(),
        "complete": v.complete,
        "finding": finding(&v.finding),
    })
}

fn stops(v: &Verdict) -> Vec<String> {
    v.limits.iter().map(|(l, _)| format!("{} at its stop", l.word())).collect()
}

fn finding(finding: &Finding) -> Value {
    match *finding {
        Finding::Line => json!({}),
        Finding::Roll { rolled, heading, highest, lowest, aside } => json!({
            "rolled": rolled / DEG, "heading": heading / DEG, "highest": highest, "lowest": lowest, "aside": aside,
        }),
        Finding::Turn { turned, rate, radius, sideslip } => json!({
            "turned": turned / DEG, "rate_per_s": rate / DEG, "radius": radius, "sideslip": sideslip / DEG,
        }),
        Finding::RollIn { sideslip, nose_off, rolled } => json!({
            "sideslip": sideslip / DEG, "nose_off": nose_off / DEG, "rolled": rolled / DEG,
        }),
        Finding::Tumble { pitched, pitch_rate, radius, heading, tilt } => json!({
            "pitched": pitched / DEG, "pitch_rate_per_s": pitch_rate / DEG, "radius": radius,
            "heading": heading / DEG, "tilt": tilt / DEG,
        }),
        Finding::Flaps { balloon, nose, speed, change, flare } => json!({
            "balloon": balloon, "nose": nose / DEG, "speed": speed, "change": change, "flare": 100.0 * flare,
        }),
        Finding::Descent { sink, angle, incidence, unsteady, flare } => json!({
            "sink": sink, "angle": angle / DEG, "incidence": incidence / DEG, "unsteady": unsteady,
            "flare": 100.0 * flare,
        }),
        Finding::Hover { rolled, aside, nose } => json!({
            "rolled": rolled / DEG, "aside": aside, "nose": nose / DEG,
        }),
    }
}
