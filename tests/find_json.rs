//! `countermix find AIRFRAME --json`: every field of every coupling of every demo airframe.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop")]

mod support;

use airframe::{Geometry, Surface};
use serde_json::Value;
use std::process::Command;
use study::find::Coupling;

fn found(airframe: &str, draws: &str) -> Value {
    let out = Command::new(env!("CARGO_BIN_EXE_countermix"))
        .args(["find", airframe, "--json", "--draws", draws])
        .output()
        .unwrap();
    assert!(out.status.success(), "{airframe}: {}", String::from_utf8_lossy(&out.stderr));
    serde_json::from_slice(&out.stdout).unwrap()
}

/// Fields of a coupling that the format promises.
const FIELDS: [&str; 14] = [
    "name",
    "lead",
    "follower",
    "form",
    "left_percent",
    "right_percent",
    "curve",
    "range",
    "direction_sure",
    "first_try_percent",
    "degrees",
    "millimetres",
    "left_over",
    "verdict",
];
const SIDES: [&str; 2] = ["left", "right"];

fn number(value: &Value) -> Option<f64> {
    assert!(value.is_null() || value.is_f64() || value.is_i64() || value.is_u64(), "{value} is no number");
    value.as_f64()
}

/// One coupling against itself and the geometry it is about.
fn is_sound(c: &Value, coupling: Coupling, geometry: &Geometry, drawn: bool) {
    let name = c["name"].as_str().unwrap();
    for field in FIELDS {
        assert!(c.get(field).is_some(), "{name} has no {field}");
    }
    assert_eq!(name, coupling.name());
    assert_eq!(c["lead"], coupling.manoeuvre.lead().word());
    assert_eq!(c["follower"], coupling.follower.word());
    let form = c["form"].as_str().unwrap();
    assert!(["one percentage", "one percentage per side", "curve"].contains(&form), "{name}: {form}");
    let sure = c["direction_sure"].as_bool();
    assert_eq!(sure.is_some(), drawn, "{name}: sure only where draws say so");
    let verdict = c["verdict"].as_str().unwrap();
    let verdicts =
        ["no such pose", "leave it", "direction not certain", "a blend serves", "look for a mechanical"];
    assert!(verdicts.iter().any(|v| verdict.starts_with(v)), "{name}: {verdict}");
    let shown = |side: &str| number(&c[format!("{side}_percent").as_str()]);
    if !coupling.manoeuvre.two_sided() {
        assert_eq!(shown("left"), None, "{name}: this lead has no left");
    }
    if verdict.starts_with("direction not certain") {
        // a side that is certain but small may stand beside one that is neither
        assert_eq!(sure, Some(false), "{name}");
        assert!(SIDES.iter().any(|side| shown(side).is_none()), "{name}");
    }
    if verdict.starts_with("a blend") || verdict.starts_with("look") {
        let largest = SIDES.iter().filter_map(|side| shown(side)).map(f64::abs).fold(0.0, f64::max);
        assert!(largest >= 2.0, "{name}: {largest} is below the floor");
        let mechanical = largest > 10.0 && coupling.follower != mix::Follower::Throttle;
        assert_eq!(mechanical, verdict.starts_with("look"), "{name}: {largest}, {verdict}");
    }
    for side in SIDES {
        let [first, degrees, travel] =
            ["first_try_percent", "degrees", "millimetres"].map(|field| number(&c[field][side]));
        let range = &c["range"][side];
        let Some(percent) = shown(side) else {
            assert!(first.is_none() && degrees.is_none() && travel.is_none() && range.is_null(), "{name}");
            continue;
        };
        assert!((2.0 * percent - (2.0 * percent).round()).abs() < 1e-9, "{name}: {percent} in halves");
        // half of it, rounded towards zero
        assert_eq!(first, Some((0.5 * percent).trunc() + 0.0), "{name}: {percent}");
        moves_so(c, coupling, geometry, percent, degrees.unwrap(), travel.unwrap());
        assert_eq!(range.is_array(), drawn, "{name}");
        if drawn {
            assert!(range[0].as_f64() <= range[1].as_f64(), "{name}: {range}");
        }
    }
    let told = SIDES.iter().all(|side| shown(side).is_some() || !coupling.manoeuvre.two_sided());
    if form == "curve" && told && shown("right").is_some() {
        let points = c["curve"].as_array().unwrap();
        assert!(points.len() > 1, "{name}");
        let leads: Vec<f64> = points.iter().map(|p| p[0].as_f64().unwrap()).collect();
        assert!(leads.is_sorted_by(|a, b| a < b), "{name}: {leads:?}");
        assert!(points.iter().all(|p| p[1].is_number()), "{name}");
    } else {
        assert!(c["curve"].is_null(), "{name}: a curve where none serves or none may be told");
    }
    let throttles = c["by_throttle"].as_array().unwrap();
    let held = !["knife-edge", "rudder", "flap"].iter().any(|m| name.starts_with(m));
    assert!(throttles.is_empty() == held, "{name}: {throttles:?}");
    let left = &c["left_over"];
    let flown = ["roll-in yaw", "door speed"].contains(&name);
    assert_eq!(left.is_null(), flown || verdict.starts_with("no such"), "{name}");
    if !flown && !left.is_null() {
        let of = |key: &str| left[key].as_f64().unwrap();
        // every curve leaves little, whatever the verdict, of what slop does not swallow whole
        let largest = SIDES.iter().filter_map(|side| shown(side)).map(f64::abs).fold(0.0, f64::max);
        assert!(
            (largest <= 2.0 && of("nothing") < 10.0) || of("curve") <= 0.25 * of("nothing") + 3.0,
            "{name}: {left}"
        );
        // one for all speeds may leave more at one of them, but never where it is advised
        if verdict.starts_with("a blend") || verdict.starts_with("look") {
            assert!(of(form) < 0.8 * of("nothing"), "{name}: {left}");
            assert!(of("one percentage per side") < of("nothing"), "{name}: {left}");
        }
    }
}

/// Degrees and millimetres belong to the percentage: deflection is percent of the surface's throw, and travel the
/// chord behind the hinge times 2 sin(d/2).
fn moves_so(c: &Value, coupling: Coupling, geometry: &Geometry, percent: f64, degrees: f64, travel: f64) {
    let follower = coupling.follower.word();
    let surfaces: Vec<&Surface> = geometry.surfaces.iter().filter(|s| s.hinge == follower).collect();
    let fits = |s: &&Surface| {
        let throw = if degrees > 0.0 { s.throw_down } else { s.throw_up }.to_degrees();
        let moved = (degrees.abs() - 0.01 * percent.abs() * throw).abs() < 0.051;
        let ruler = 1000.0 * s.chord * 2.0 * libm::sin(0.005 * percent.abs() * throw.to_radians());
        moved && (travel.abs() - ruler).abs() < 0.051 && travel * degrees >= 0.0
    };
    // the throttle has no trailing edge
    let none = surfaces.is_empty() && degrees == 0.0 && travel == 0.0;
    assert!(none || surfaces.iter().any(fits), "{c}");
}

#[test]
fn every_field_of_every_coupling_of_every_demo_airframe() {
    for (name, draws) in support::DEMOS.into_iter().zip(["0", "5", "0", "0", "5", "0", "0"]) {
        let json = found(name, draws);
        let geometry = support::geometry(name);
        let couplings = json["couplings"].as_array().unwrap();
        let shown = Coupling::of(&geometry);
        assert_eq!(couplings.len(), shown.len(), "{name}");
        for (c, coupling) in couplings.iter().zip(shown) {
            is_sound(c, coupling, &geometry, draws != "0");
        }
        assert!(json["percent"].as_str().unwrap().contains("full 100 % throw"));
    }
}

/// Of Foxglove several blends lead from the throttle to the ailerons, and each is meant alone.
#[test]
fn blends_that_share_lead_and_follower_are_told() {
    let shared = &found("foxglove", "0")["shared"];
    let rolls =
        shared.as_array().unwrap().iter().find(|s| s["follower"] == "aileron" && s["lead"] == "throttle");
    let names = rolls.unwrap()["couplings"].to_string();
    assert!(names.contains("power roll") && names.contains("up-line roll"), "{shared}");
}

/// `--out` keeps text and JSON, and keeps what is there unless it is told otherwise.
#[test]
fn what_was_found_is_kept() {
    let folder = tempfile::tempdir().unwrap();
    let run = |more: &[&str]| {
        Command::new(env!("CARGO_BIN_EXE_countermix"))
            .args(["find", "larkspur", "power-yaw", "--draws", "0", "--out"])
            .arg(folder.path())
            .args(more)
            .output()
            .unwrap()
    };
    let said = run(&[]);
    assert!(said.status.success(), "{}", String::from_utf8_lossy(&said.stderr));
    let text = std::fs::read_to_string(folder.path().join("larkspur-found.txt")).unwrap();
    assert!(text.contains("power yaw") && text.contains("Remaining after 2 s"), "{text}");
    let json = std::fs::read(folder.path().join("larkspur-found.json")).unwrap();
    assert_eq!(serde_json::from_slice::<Value>(&json).unwrap()["couplings"][0]["name"], "power yaw");
    assert_eq!(run(&[]).status.code(), Some(2), "it is there already");
    assert!(run(&["--force"]).status.success());
}
