//! The measurements of a reference file as an [`Airframe`]. There x runs forward and z down from
//! the quarter chord of the wing root.
#![allow(unreachable_pub, reason = "a module of test programs")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "a broken reference file shall stop the test")]

use airframe::{
    Aerofoil, Airframe, Body, BodyStation, Door, DragItem, Hinge, Inertia, Mass, Motor, Panel, PanelEnd,
    Part, Propulsor, PropulsorCoefficients, Servo, Trimmed,
};
use measure::{DEG, G0, Measured};
use serde_json::Value;

use crate::reference::{number, numbers};

fn get(v: &Value, key: &str, default: f64) -> f64 {
    v.get(key).map_or(default, number)
}

fn end(x: f64, y: f64, z: f64, chord: f64, incidence: f64) -> PanelEnd {
    PanelEnd {
        station: (-(x + 0.25 * chord)).into(),
        waterline: (-z).into(),
        buttline: y.into(),
        chord: chord.into(),
        incidence: incidence.into(),
    }
}

fn hinge(name: &str, from: f64, to: f64, chord: f64, throw: f64) -> Hinge {
    Hinge {
        name: name.to_owned(),
        chord: chord.into(),
        from: from.into(),
        to: to.into(),
        throw_up: (throw * DEG).into(),
        throw_down: (throw * DEG).into(),
        slop: 0.0.into(),
    }
}

fn section(v: &Value, separation: Option<f64>) -> Aerofoil {
    Aerofoil {
        zero_lift: (get(v, "al0", 0.0) * DEG).into(),
        moment: get(v, "cm0", 0.0).into(),
        separation: separation.map(|a| Measured::exact(a * DEG)),
        drag: get(v, "cd0", 0.012).into(),
    }
}

fn horizontal(part: Part, v: &Value, separation: f64, hinges: Vec<Hinge>) -> Panel {
    let (cr, ct) = (number(&v["cr"]), number(&v["ct"]));
    let half = number(&v["span"]) / 2.0;
    let (sweep, dihedral) = (get(v, "sweep", 0.0) * DEG, get(v, "dih", 0.0) * DEG);
    let length = half / libm::cos(dihedral);
    let (x, z) = (number(&v["x"]), number(&v["z"]));
    let incidence = get(v, "inc", 0.0) * DEG;
    let tip = incidence + get(v, "washout", 0.0) * DEG;
    Panel {
        part,
        root: end(x, 0.0, z, cr, incidence),
        tip: end(x - libm::tan(sweep) * length, half, z - libm::sin(dihedral) * length, ct, tip),
        section: section(v, Some(get(v, "ast", separation))),
        hinges,
        strips: None,
    }
}

fn vertical(part: Part, v: &Value, throw: f64) -> Panel {
    let (cr, ct, h) = (number(&v["cr"]), number(&v["ct"]), number(&v["h"]));
    let sweep = get(v, "sweep", 0.0) * DEG;
    let (x, z) = (number(&v["x"]), number(&v["z"]));
    let up = if part == Part::Fin { 1.0 } else { -1.0 };
    Panel {
        part,
        root: end(x, 0.0, z, cr, 0.0),
        tip: end(x - libm::tan(sweep) * h, 0.0, z - up * h, ct, 0.0),
        section: section(v, None),
        hinges: vec![hinge("rudder", 0.0, 1.0, number(&v["E"]), throw)],
        strips: None,
    }
}

fn panels(m: &Value) -> Vec<Panel> {
    let throw = |key: &str| number(&m["throw"][key]);
    let (wing, tail) = (&m["wing"], &m["tail"]);
    let on_wing = |key: &str, name: &str| {
        wing.get(key).map(|h| {
            let h = numbers(h);
            hinge(name, h[0], h[1], h[2], throw(key))
        })
    };
    let wing_hinges = [on_wing("ail", "aileron"), on_wing("flap", "flap")].into_iter().flatten().collect();
    let elevator = vec![hinge("elevator", get(tail, "e0", 0.0), 1.0, number(&tail["E"]), throw("elev"))];
    let mut panels = vec![
        horizontal(Part::Wing, wing, 15.0, wing_hinges),
        horizontal(Part::Tailplane, tail, 16.0, elevator),
        vertical(Part::Fin, &m["fin"], throw("rud")),
    ];
    if let Some(low) = m.get("finl") {
        panels.push(vertical(Part::LowerFin, low, throw("rud")));
    }
    panels
}

/// Static speed at full throttle [rev/s]: the thrust-to-weight ratio of the file, the default
/// thrust coefficient 0.10.
pub fn full_speed(m: &Value) -> f64 {
    let d = number(&m["prop"]["D"]);
    (number(&m["prop"]["tw"]) * number(&m["mass"]) * G0 / (1.225 * d * d * d * d * 0.10)).sqrt()
}

/// The airframe with its centre of mass at `station`, `waterline`, idling at `idle` [rev/s].
pub fn airframe(m: &Value, station: f64, waterline: f64, idle: f64) -> Airframe {
    let prop = &m["prop"];
    let pos = numbers(&prop["pos"]);
    Airframe {
        name: m["name"].as_str().unwrap().to_owned(),
        mass: Mass {
            all_up: number(&m["mass"]).into(),
            station: station.into(),
            waterline: waterline.into(),
            inertia: Some(inertia(m)),
        },
        trimmed: Trimmed { speed: 20.0.into() },
        panels: panels(m),
        body: body(m),
        motor: Motor {
            full: full_speed(m).into(),
            half: None,
            idle: idle.into(),
            spool: None,
            voltage: get(prop, "Vb", 22.2).into(),
        },
        propulsor: Propulsor {
            diameter: number(&prop["D"]).into(),
            pitch: number(&prop["pitch"]).into(),
            blades: 2,
            station: (-pos[0]).into(),
            waterline: (-pos[2]).into(),
            buttline: pos[1].into(),
            right: (get(prop, "right", 0.0) * DEG).into(),
            down: (get(prop, "down", 0.0) * DEG).into(),
            rotation: 1.0,
            mass: None,
            inertia: Some(rotor_inertia(number(&prop["D"])).into()),
            duct_inlet: None,
            measured: PropulsorCoefficients::default(),
        },
        drag_items: items(m),
        doors: doors(m),
        servo: Servo { rate: 10.0.into(), delay: 0.0.into() },
    }
}

/// The reference's own guess: a quarter of a kilogram at half a metre.
fn rotor_inertia(diameter: f64) -> f64 {
    let size = diameter / 0.5;
    0.30 * 0.25 * size * size * size * diameter * diameter / 4.0
}

/// The reference's own guess, a fifth of the half span, 0.34 of the half length, and 0.36 of a quarter of both but no
/// less than 0.9 of roll and pitch together.
fn inertia(m: &Value) -> Inertia {
    let (span, mass) = (number(&m["wing"]["span"]), number(&m["mass"]));
    let stations: Vec<f64> = m["fuse"].as_array().unwrap().iter().map(|row| numbers(row)[0]).collect();
    let length = stations[0] - stations[stations.len() - 1];
    let of_radius = |r: f64| mass * r * r;
    let (roll, pitch) = (of_radius(0.20 * span / 2.0), of_radius(0.34 * length / 2.0));
    let yaw = of_radius(0.36 * (span + length) / 4.0).max(0.9 * (roll + pitch));
    Inertia { roll: roll.into(), pitch: pitch.into(), yaw: yaw.into() }
}

fn body(m: &Value) -> Body {
    let stations = m["fuse"].as_array().unwrap().iter().map(|row| {
        let s = numbers(row);
        BodyStation {
            station: (-s[0]).into(),
            height: s[1].into(),
            width: s[2].into(),
            waterline: (-s[3]).into(),
        }
    });
    Body {
        stations: stations.collect(),
        squareness: get(m, "box", 0.5).into(),
        drag: get(m, "cd_fus", 0.2).into(),
    }
}

fn items(m: &Value) -> Vec<DragItem> {
    let Some(items) = m.get("items") else { return Vec::new() };
    let item = |row: &Value| {
        let i = numbers(row);
        DragItem {
            name: "undercarriage".to_owned(),
            station: (-i[0]).into(),
            waterline: (-i[2]).into(),
            buttline: i[1].into(),
            drag_area: i[3].into(),
        }
    };
    items.as_array().unwrap().iter().map(item).collect()
}

fn doors(m: &Value) -> Vec<Door> {
    let Some(d) = m.get("door") else { return Vec::new() };
    vec![Door {
        name: "door".to_owned(),
        station: (-number(&d["x"])).into(),
        waterline: (-number(&d["z"])).into(),
        area: number(&d["area"]).into(),
        length: number(&d["len"]).into(),
        opening: number(&d["base"]).into(),
        throw: (80.0 * DEG).into(),
    }]
}
