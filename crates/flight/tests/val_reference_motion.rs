//! State derivatives and level trims of two airframes against the reference files
//! (`tests/data/reference-*.json`).
#![allow(clippy::unwrap_used, clippy::panic, reason = "a broken reference file shall stop the test")]

#[path = "../../aero/tests/reference/mod.rs"]
mod reference;

use airframe::MAX_SURFACES;
use flight::{Aircraft, AircraftState, Bench, BodyState, Course, MassProperties, Surroundings};
use measure::DEG;
use nalgebra::{Matrix3, Quaternion, Vector3};
use reference::{close, load, model, number, numbers};
use serde_json::Value;

const TOLERANCE: f64 = 1e-9;

fn aircraft(file: &Value) -> Aircraft {
    let inertia = Matrix3::from_diagonal(&Vector3::from_vec(numbers(&file["inertia"])));
    Aircraft { model: model(file), mass: MassProperties::new(number(&file["mass"]), inertia).unwrap() }
}

fn state(x: &[f64]) -> AircraftState {
    AircraftState {
        body: BodyState {
            position: Vector3::from_column_slice(&x[0..3]),
            velocity: Vector3::from_column_slice(&x[3..6]),
            attitude: Quaternion::new(x[6], x[7], x[8], x[9]),
            rate: Vector3::from_column_slice(&x[10..13]),
        },
        rotor: x[13],
        wake: [0.0; aero::MAX_WING_STRIPS],
    }
}

fn entries(s: &AircraftState) -> Vec<f64> {
    let q = s.body.attitude;
    let mut all = s.body.position.as_slice().to_vec();
    all.extend_from_slice(s.body.velocity.as_slice());
    all.extend([q.w, q.i, q.j, q.k]);
    all.extend_from_slice(s.body.rate.as_slice());
    all.push(s.rotor);
    all
}

/// In air of exactly 1.225 kg/m^3, as the files have it.
fn derivatives(name: &str) {
    let file = load(name);
    let aircraft = aircraft(&file);
    let mut bench = Bench::new(&aircraft);
    for (i, entry) in file["states"].as_array().unwrap().iter().enumerate() {
        let at = reference::instant(entry);
        let state = state(&numbers(&entry["state"]));
        let slope = aircraft.steady_slope_at(&state, &at, &mut bench);
        let expected = numbers(&entry["derivative"]);
        for (k, (f, e)) in entries(&slope).iter().zip(&expected).enumerate() {
            assert!(close(*f, *e, TOLERANCE), "{name} state {i} entry {k}: {f} against {e}");
        }
    }
}

#[test]
fn val_larkspur_derivatives() {
    derivatives("larkspur");
}

#[test]
fn val_bramble_derivatives() {
    derivatives("bramble");
}

/// Level flight at three speeds. The file's trims are least-squares solutions in which the sum of
/// squares fell below 1e-12: agreement to 1e-5 is theirs, not ours.
fn trims(name: &str) {
    let file = load(name);
    let aircraft = aircraft(&file);
    let mut bench = Bench::new(&aircraft);
    let throw = |key: &str| number(&file["measurements"]["throw"][key]) * DEG;
    let (aileron, elevator, rudder) = (throw("ail"), throw("elev"), throw("rud"));
    let linkage = move |s: [f64; 3]| {
        let mut d = [0.0; MAX_SURFACES];
        d[1] = s[0] * aileron;
        d[2] = -s[0] * aileron;
        d[3] = -s[1] * elevator;
        d[4] = -s[2] * rudder;
        d
    };
    for expected in file["trims"].as_array().unwrap() {
        let course = Course { speed: number(&expected["V"]), climb: 0.0, bank: 0.0, throttle: None };
        let found = aircraft.trim(&course, &Surroundings::CALM, &linkage, None, &mut bench).unwrap();
        assert!(found.converged, "{name} at {} m/s: {}", course.speed, found.worst);
        let v = found.state.body.velocity;
        let pairs = [
            ("alpha", libm::atan2(v.z, v.x) / DEG, 1e-4),
            ("beta", libm::asin(v.y / course.speed) / DEG, 1e-4),
            ("ail", found.sticks[0], 1e-5),
            ("elev", found.sticks[1], 1e-5),
            ("rud", found.sticks[2], 1e-5),
            ("thr", found.throttle, 1e-5),
            ("n", found.state.rotor, 1e-3),
        ];
        for (key, f, tolerance) in pairs {
            let e = number(&expected[key]);
            assert!((f - e).abs() < tolerance, "{name} at {} m/s, {key}: {f} against {e}", course.speed);
        }
    }
}

#[test]
fn val_larkspur_trims() {
    trims("larkspur");
}

#[test]
fn val_bramble_trims() {
    trims("bramble");
}
