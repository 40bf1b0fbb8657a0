//! Reads the reference files: `tests/data/reference-*.json`, made once by a numerical prototype
//! of the same equations. Layout: docs/physics.md, "Reference files".
#![allow(dead_code, reason = "shared by several test programs, none of which uses all of it")]
#![allow(unreachable_pub, reason = "a module of test programs")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "a broken reference file shall stop the test")]

use std::path::Path;

use aero::{
    Beside, BodyStrip, BodyWake, Coefficients, Instant, Lattice, Model, Motor, Parts, Propulsor, Strip,
    SwirlShares, WakeRow, Wash,
};
use airframe::{DoorShape, DragPoint, Part};
use nalgebra::{DMatrix, Vector3};
use serde_json::Value;

pub const STRIP_PARTS: [Part; 5] = [Part::Wing, Part::LowerWing, Part::Tailplane, Part::Fin, Part::LowerFin];
pub const COMPONENTS: [(&str, Part); 8] = [
    ("wing", Part::Wing),
    ("wing2", Part::LowerWing),
    ("htail", Part::Tailplane),
    ("fin_up", Part::Fin),
    ("fin_low", Part::LowerFin),
    ("fuselage", Part::Body),
    ("propeller", Part::Propulsor),
    ("gear/door", Part::Fittings),
];
/// Index of the control in the reference files' deflections, which the raw model uses as the
/// index of the surface.
pub const DOOR: usize = 7;

pub fn load(name: &str) -> Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../../tests/data/reference-{name}.json"));
    serde_json::from_str(&std::fs::read_to_string(&path).unwrap()).unwrap()
}

pub fn number(v: &Value) -> f64 {
    v.as_f64().unwrap_or_else(|| panic!("not a number: {v}"))
}

pub fn numbers(v: &Value) -> Vec<f64> {
    v.as_array().unwrap().iter().map(number).collect()
}

pub fn rows(v: &Value) -> Vec<Vec<f64>> {
    v.as_array().unwrap().iter().map(numbers).collect()
}

fn vector(r: &[f64], at: usize) -> Vector3<f64> {
    Vector3::from_column_slice(&r[at..at + 3])
}

/// The empirical parameter of that name.
pub fn parameter(file: &Value, name: &str) -> f64 {
    let names = file["par_names"].as_array().unwrap();
    let i = names.iter().position(|n| n == name).unwrap();
    number(&file["par"][i])
}

pub fn coefficients(file: &Value) -> Coefficients {
    let c = Coefficients::prototype();
    let same = |name: &str, value: f64| assert_eq!(parameter(file, name), value, "{name}");
    same("P_LEE", c.lee_loss);
    same("P_PFAC", c.propeller_side);
    same("P_STALLW", c.separation_width);
    same("P_TAILEFF", c.tail_factor);
    same("P_SUCT", c.suction);
    same("P_BVORT", c.body_vortices);
    c
}

pub fn strip(r: &[f64], c: &Coefficients) -> Strip {
    Strip {
        part: STRIP_PARTS[r[11] as usize],
        position: vector(r, 0),
        chord_dir: vector(r, 3),
        normal: vector(r, 6),
        chord: r[9],
        area: r[10],
        start: vector(r, 23),
        end: vector(r, 26),
        surface: (r[12] > 0.0).then_some(r[12] as usize),
        hinge_chord: r[13],
        flap_shift: r[14],
        flap_moment: r[15],
        aspect: r[16],
        slope: r[17],
        separation: r[18],
        attached_tan: Strip::attached_tan(r[18], c),
        drag: r[19],
        zero_lift: r[20],
        moment: r[21],
        plate: r[22],
        plate_lift: 0.0,
        spread: 0.0,
        beside: Beside {
            lee: 1.0,
            eased: 0.0,
            doublet: r[30],
            gain: 1.0,
            centre_z: r[31],
            travel: r[34],
            shed_area: r[35],
            vortex_height: r[36],
            from_nose: r[37],
        },
    }
}

/// Matrix `which` (0 strengths, 1 downwash, 2 skew) of the wing strips.
pub fn matrix(strips: &[Vec<f64>], n: usize, which: usize) -> DMatrix<f64> {
    DMatrix::from_fn(n, n, |i, j| strips[i][38 + which * n + j])
}

pub fn body_strip(r: &[f64]) -> BodyStrip {
    BodyStrip {
        x: r[0],
        length: r[1],
        height: r[2],
        width: r[3],
        z: r[4],
        side_front: r[5],
        side_rear: r[6],
        side_drag: r[7],
        lift_drag: r[8],
        axial_drag: r[9],
        lift_front: r[10],
        lift_rear: r[11],
        side_kept: r[12],
        lift_kept: r[13],
        wing_side: r[17],
    }
}

fn propulsor(q: &[f64], c: &Coefficients) -> Propulsor {
    Propulsor {
        diameter: q[0],
        thrust_static: q[1],
        no_thrust: q[2],
        power_static: q[3],
        power_rise: 0.0,
        power_fall: q[4],
        thrust_bulge: 0.0,
        hub: vector(q, 5),
        axis: vector(q, 8),
        rotation: q[11],
        inertia: q[12],
        blade_chord: q[13],
        blades: q[14],
        pitch: q[15],
        duct_inlet: (q[16] > 0.5).then_some(q[22]),
        in_plane_relief: c.propeller_side,
        motor: Motor {
            constant: q[17],
            resistance: q[18],
            voltage: q[19],
            idle: q[20],
            friction: q[21],
            bend: 1.0,
        },
        swirl: SwirlShares { wing: q[24], fin: q[25], tailplane: q[25] * q[27] },
    }
}

/// The model built from the raw numbers of the file.
pub fn model(file: &Value) -> Model {
    let c = coefficients(file);
    let table = rows(&file["strips"]);
    let n = table.iter().filter(|r| r[11] < 2.0).count();
    let wash = rows(&file["fuselage_wash"]);
    let wake = rows(&file["wake_rows"]);
    let items = rows(&file["items"]);
    let prop = numbers(&file["prop"]);
    Model::assemble(Parts {
        strips: table.iter().map(|r| strip(r, &c)).collect(),
        lattice: Lattice {
            strength: matrix(&table, n, 0),
            downwash: matrix(&table, n, 1),
            skew: matrix(&table, n, 2),
        },
        body: rows(&file["fuselage"]).iter().map(|r| body_strip(r)).collect(),
        wash: Wash {
            field: DMatrix::from_fn(wash.len(), n, |i, j| wash[i][j]),
            open: wash.iter().map(|r| 1.0 - r[n]).collect(),
        },
        wake_rows: wake[..2]
            .iter()
            .filter(|r| r[5] > 0.0)
            .map(|r| WakeRow { edge: r[0], z: r[2], chord: r[3], drag: r[4], half_span: r[6] })
            .collect(),
        body_wake: BodyWake { x: wake[2][0], z: wake[2][2], radius: wake[2][3], loss: wake[2][4] },
        drag_points: items
            .iter()
            .filter(|r| r[4] < 0.5)
            .map(|r| DragPoint { position: vector(r, 0), drag_area: r[3] })
            .collect(),
        doors: items
            .iter()
            .filter(|r| r[4] > 0.5)
            .map(|r| DoorShape {
                hinge: vector(r, 0),
                area: r[5],
                length: r[6],
                opening: r[3],
                surface: DOOR,
            })
            .collect(),
        propulsor: Some(propulsor(&prop, &c)),
        lee_onset: prop[26],
        core: parameter(file, "P_RCORE"),
        skew_strength: parameter(file, "P_SKEW"),
        lag_length: 1.0,
        coefficients: c,
    })
}

/// A reference state as an instant in still air.
pub fn instant(state: &Value) -> Instant {
    let x = numbers(&state["state"]);
    let mut at = Instant::at(vector(&x, 3));
    at.rate = vector(&x, 10);
    at.rotor = x[13];
    at.throttle = number(&state["throttle"]);
    for (i, d) in numbers(&state["deflections"]).into_iter().enumerate() {
        at.deflections[i] = d;
    }
    at
}

/// |a - b| <= tolerance (1 + |b|).
pub fn close(a: f64, b: f64, tolerance: f64) -> bool {
    (a - b).abs() <= tolerance * (1.0 + b.abs())
}
