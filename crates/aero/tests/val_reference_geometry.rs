//! Strips, matrices, body, wash, wakes, propeller and swirl shares built from the measurements of
//! two airframes, against the reference files.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a broken reference file shall stop the test")]

#[path = "reference/measurements.rs"]
mod measurements;
mod reference;

use aero::{Coefficients, Ledger, Model, Scratch, margin, steady_rotor_speed};
use airframe::{Geometry, Part, carried_air};
use measurements::{airframe, full_speed};
use nalgebra::Vector3;
use reference::{COMPONENTS, body_strip, close, load, matrix, number, numbers, rows};
use serde_json::Value;

const TOLERANCE: f64 = 1e-9;
/// The prototype's noise in the own-vortex terms of the downwash matrix (up to 4e-9) allows no
/// better where that matrix enters; its diagonal holds the noise itself.
const WITH_NOISE: f64 = 1e-8;
/// Share of the voltage at idle in the reference files.
const IDLE: f64 = 0.15;

struct Built {
    geometry: Geometry,
    model: Model,
    /// Datum (quarter chord of the wing root) in body axes.
    datum: Vector3<f64>,
}

fn build_at(m: &Value, station: f64, waterline: f64) -> Built {
    let c = Coefficients::prototype();
    // the idle speed that belongs to the idle share: steady at rest and closed throttle
    let make = |idle| Geometry::of(&airframe(m, station, waterline, idle)).unwrap();
    let mut p = aero::Propulsor::prepare(&make(20.0).propulsor, &make(20.0).motor, &c);
    p.motor.idle = IDLE;
    let geometry = make(steady_rotor_speed(&p, 0.0, 0.0, 1.225));
    let model = Model::prepare(&geometry, &c);
    Built { geometry, model, datum: Vector3::new(station, 0.0, waterline) }
}

/// The centre of mass of the reference files is placed by static margin: three steps from the
/// datum, with the neutral point by the force along body z.
fn build(file: &Value) -> Built {
    let m = &file["measurements"];
    let waterline = -m.get("zcg").map_or(0.0, number);
    let mut station = 0.0;
    for _ in 0..3 {
        let built = build_at(m, station, waterline);
        let behind = margin(&built.model, 20.0).behind_by_normal_force;
        station += behind - number(&m["sm"]) * number(&file["cref"]);
    }
    build_at(m, station, waterline)
}

fn check(name: &str, what: &str, found: f64, expected: f64, tolerance: f64) {
    assert!(close(found, expected, tolerance), "{name}, {what}: {found} against {expected}");
}

fn compare(name: &str) {
    let file = load(name);
    let built = build(&file);
    compare_strips(name, &file, &built.model);
    compare_matrices(name, &file, &built.model);
    compare_body(name, &file, &built.model);
    compare_wakes(name, &file, &built.model);
    compare_propulsor(name, &file, &built.model);
    compare_inertia(name, &file, &built);
    compare_forces(name, &file, &built);
}

fn compare_strips(name: &str, file: &Value, model: &Model) {
    let table = rows(&file["strips"]);
    assert_eq!(table.len(), model.parts().strips.len());
    for (i, (row, s)) in table.iter().zip(&model.parts().strips).enumerate() {
        let r = reference::strip(row, &model.parts().coefficients);
        assert_eq!(r.part, s.part, "{name} strip {i}");
        assert_eq!(r.surface.is_some(), s.surface.is_some(), "{name} strip {i}");
        let vectors = [
            (r.position, s.position),
            (r.chord_dir, s.chord_dir),
            (r.normal, s.normal),
            (r.start, s.start),
            (r.end, s.end),
        ];
        for (k, (e, f)) in vectors.iter().enumerate() {
            assert!((e - f).norm() < TOLERANCE, "{name} strip {i} vector {k}: {f} against {e}");
        }
        let (rb, sb) = (&r.beside, &s.beside);
        let pairs = [
            (r.chord, s.chord),
            (r.area, s.area),
            (r.hinge_chord, s.hinge_chord),
            (r.flap_shift, s.flap_shift),
            (r.flap_moment, s.flap_moment),
            (r.aspect, s.aspect),
            (r.separation, s.separation),
            (r.drag, s.drag),
            (r.zero_lift, s.zero_lift),
            (r.moment, s.moment),
            (r.plate, s.plate),
            (r.slope, s.slope),
            (rb.doublet, sb.doublet),
            (rb.centre_z, sb.centre_z),
            (rb.travel, sb.travel),
            (rb.shed_area, sb.shed_area),
            (rb.vortex_height, sb.vortex_height),
            (rb.from_nose, sb.from_nose),
        ];
        for (k, (e, f)) in pairs.iter().enumerate() {
            // where there is no body the file's z is that of the datum, and nothing uses it
            if k == 13 && rb.doublet == 0.0 {
                continue;
            }
            check(name, &format!("strip {i} number {k}"), *f, *e, TOLERANCE);
        }
    }
}

fn compare_matrices(name: &str, file: &Value, model: &Model) {
    let table = rows(&file["strips"]);
    let n = model.wing_strips();
    let l = &model.parts().lattice;
    for (which, ours) in [(0, &l.strength), (1, &l.downwash), (2, &l.skew)] {
        let theirs = matrix(&table, n, which);
        for i in 0..n {
            for j in 0..n {
                let tolerance = if which == 1 && i == j { WITH_NOISE } else { TOLERANCE };
                check(name, &format!("matrix {which} {i} {j}"), ours[(i, j)], theirs[(i, j)], tolerance);
            }
        }
    }
    let wash = rows(&file["fuselage_wash"]);
    for (f, row) in wash.iter().enumerate() {
        for j in 0..n {
            check(name, &format!("wash {f} {j}"), model.parts().wash.field[(f, j)], row[j], TOLERANCE);
        }
        check(name, &format!("blocked {f}"), 1.0 - model.parts().wash.open[f], row[n], 0.0);
    }
}

fn compare_body(name: &str, file: &Value, model: &Model) {
    for (i, (row, b)) in rows(&file["fuselage"]).iter().zip(&model.parts().body).enumerate() {
        let r = body_strip(row);
        let pairs = [
            (r.x, b.x),
            (r.length, b.length),
            (r.height, b.height),
            (r.width, b.width),
            (r.z, b.z),
            (r.side_front, b.side_front),
            (r.side_rear, b.side_rear),
            (r.lift_front, b.lift_front),
            (r.lift_rear, b.lift_rear),
            (r.side_drag, b.side_drag),
            (r.lift_drag, b.lift_drag),
            (r.axial_drag, b.axial_drag),
            (r.side_kept, b.side_kept),
            (r.lift_kept, b.lift_kept),
            (r.wing_side, b.wing_side),
        ];
        for (k, (e, f)) in pairs.iter().enumerate() {
            check(name, &format!("body {i} number {k}"), *f, *e, TOLERANCE);
        }
    }
}

fn compare_wakes(name: &str, file: &Value, model: &Model) {
    let wake = rows(&file["wake_rows"]);
    let w = &model.parts().wake_rows[0];
    let b = &model.parts().body_wake;
    let pairs = [
        (wake[0][0], w.edge),
        (wake[0][2], w.z),
        (wake[0][3], w.chord),
        (wake[0][4], w.drag),
        (wake[0][6], w.half_span),
        (wake[2][0], b.x),
        (wake[2][2], b.z),
        (wake[2][3], b.radius),
        (wake[2][4], b.loss),
    ];
    for (k, (e, f)) in pairs.iter().enumerate() {
        check(name, &format!("wake number {k}"), *f, *e, TOLERANCE);
    }
}

fn compare_propulsor(name: &str, file: &Value, model: &Model) {
    let q = numbers(&file["prop"]);
    let p = model.parts().propulsor.as_ref().unwrap();
    let pairs = [
        (q[0], p.diameter),
        (q[1], p.thrust_static),
        (q[2], p.no_thrust),
        (q[3], p.power_static),
        (q[4], p.power_fall),
        (q[5], p.hub.x),
        (q[6], p.hub.y),
        (q[7], p.hub.z),
        (q[8], p.axis.x),
        (q[9], p.axis.y),
        (q[10], p.axis.z),
        (q[12], p.inertia),
        (q[13], p.blade_chord),
        (q[15], p.pitch),
        (q[17], p.motor.constant),
        (q[18], p.motor.resistance),
        (q[19], p.motor.voltage),
        (q[20], p.motor.idle),
        (q[21], p.motor.friction),
        (q[24], p.swirl.wing),
        (q[25], p.swirl.fin),
        (q[25] * q[27], p.swirl.tailplane),
        (q[26], model.parts().lee_onset),
    ];
    for (k, (e, f)) in pairs.iter().enumerate() {
        check(name, &format!("propeller number {k}"), *f, *e, TOLERANCE);
    }
}

/// The reference takes the carried air about the datum; ours is about the centre of mass.
fn compare_inertia(name: &str, file: &Value, built: &Built) {
    let theirs = numbers(&file["inertia"]);
    let g = &built.geometry;
    let at_datum = carried_air(&g.strips, built.datum, 1.225);
    let at_centre = carried_air(&g.strips, Vector3::zeros(), 1.225);
    let ours = g.inertia - at_centre + at_datum;
    for i in 0..3 {
        check(name, &format!("inertia {i}"), ours[(i, i)], theirs[i], TOLERANCE);
    }
    assert!((at_datum - at_centre).norm() > 1e-6, "the two points differ");
}

fn compare_forces(name: &str, file: &Value, built: &Built) {
    let mut scratch = Scratch::new(&built.model);
    let index = |part: Part, hinge: &str, right: bool| {
        built.geometry.surfaces.iter().position(|s| {
            s.part == part
                && s.hinge == hinge
                && s.side.is_none_or(|side| (side == measure::Side::Right) == right)
        })
    };
    for (i, state) in file["states"].as_array().unwrap().iter().enumerate() {
        let mut at = reference::instant(state);
        let d = at.deflections;
        at.deflections = [0.0; airframe::MAX_SURFACES];
        let places = [
            (index(Part::Wing, "aileron", false), 1),
            (index(Part::Wing, "aileron", true), 2),
            (index(Part::Tailplane, "elevator", false), 3),
            (index(Part::Tailplane, "elevator", true), 3),
            (index(Part::Fin, "rudder", true), 4),
            (index(Part::LowerFin, "rudder", true), 4),
            (index(Part::Wing, "flap", false), 5),
            (index(Part::Wing, "flap", true), 6),
            (index(Part::Fittings, "door", true), 7),
        ];
        for (surface, control) in places {
            if let Some(surface) = surface {
                at.deflections[surface] = d[control];
            }
        }
        let mut ledger = Ledger::default();
        built.model.forces_steady(&at, &mut scratch, &mut ledger);
        for (key, part) in COMPONENTS {
            let entry = ledger.part(part);
            let found = [entry.force.as_slice(), entry.moment.as_slice()].concat();
            for (e, f) in numbers(&state["components"][key]).iter().zip(&found) {
                check(name, &format!("state {i} {key}"), *f, *e, WITH_NOISE);
            }
        }
    }
}

#[test]
fn val_larkspur_geometry() {
    compare("larkspur");
}

#[test]
fn val_bramble_geometry() {
    compare("bramble");
}

/// Larkspur's motor holds its static speed at full throttle.
#[test]
fn motor_holds_its_measured_speeds() {
    let file = load("larkspur");
    let built = build(&file);
    let p = built.model.parts().propulsor.as_ref().unwrap();
    let full = steady_rotor_speed(p, 1.0, 0.0, 1.225);
    let wanted = full_speed(&file["measurements"]);
    assert!((full / wanted - 1.0).abs() < 1e-3, "{full} against {wanted}");
}
