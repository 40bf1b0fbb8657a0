//! The demo club against the tables of the numerical prototype of the same equations, which were
//! made before any of this program existed. Agreement says that the club's files hold the same
//! measurements; it says nothing about a real model aircraft.
#![allow(clippy::unwrap_used, reason = "a test may stop")]

mod support;

use aero::{Causes, Coefficients, Model, margin};
use core::cell::RefCell;
use core::f64::consts::FRAC_PI_2;
use flight::{
    AircraftState, Bench, BodyState, Controls, Euler, Search, Surroundings, earth_from_body, find_steady,
};
use manoeuvre::Rig;
use measure::{G0, Side, Stick};
use mix::{Follower, Hand};
use nalgebra::Vector3;
use support::{geometry, mix, plain_mix, prototype_rig};

/// Level flight: speed [m/s], incidence \[deg\], elevator \[%\].
type Level = (f64, f64, f64);

/// Prototype: trims at slow, cruise and fast, and the throttles there \[%\]. One digit is printed.
const LEVEL: [(&str, [Level; 3], [f64; 3]); 7] = [
    ("larkspur", [(15.0, 6.6, 5.9), (25.0, 2.4, 1.7), (33.0, 1.4, 1.0)], [33.0, 64.0, 91.0]),
    ("foxglove", [(15.0, 5.8, 15.7), (22.0, 1.3, 7.7), (30.0, -0.6, 3.9)], [41.0, 63.0, 94.0]),
    ("bramble", [(12.0, 4.6, 20.6), (17.0, -0.2, 6.3), (23.0, -2.4, 0.7)], [49.0, 71.0, 103.0]),
    ("thistle", [(16.0, 7.2, 6.0), (24.0, 3.2, 2.4), (30.0, 2.1, 1.6)], [50.0, 82.0, 110.0]),
    ("teasel", [(22.0, 3.9, 16.4), (32.0, 1.2, 6.9), (45.0, -0.1, 2.5)], [26.0, 41.0, 64.0]),
    ("sorrel", [(8.0, 11.1, 8.1), (12.0, 5.0, 2.6), (17.0, 2.5, 1.3)], [29.0, 45.0, 71.0]),
    ("clover", [(10.0, 5.8, 18.2), (13.0, 1.0, -3.3), (18.0, -2.4, -15.8)], [40.0, 50.0, 74.0]),
];

/// The prototype placed the centre of mass by the static margin; its tables, and so the club's
/// files, give its station rounded to this \[m\].
const STATION: f64 = 0.0005;

/// Static margins of the prototype \[% of the (upper) wing's mean chord\], propeller removed.
const MARGIN: [(&str, f64); 7] = [
    ("larkspur", 5.0),
    ("foxglove", 10.1),
    ("bramble", 15.2),
    ("thistle", 6.1),
    ("teasel", 8.0),
    ("sorrel", 4.0),
    ("clover", 21.3),
];

fn plain_rig(name: &str) -> Rig {
    prototype_rig(&geometry(name), &plain_mix())
}

/// The printed digit, and `more`.
#[track_caller]
fn near(what: &str, found: f64, printed: f64, more: f64) {
    assert!((found - printed).abs() <= 0.051 + more, "{what}: {found:.2}, in the table {printed}");
}

/// Share of the static margin that the rounded station stands for: elevators that work against
/// the margin are off by as much.
fn station_share(name: &str) -> f64 {
    let margin = MARGIN.iter().find(|(n, _)| *n == name).unwrap().1;
    100.0 * STATION / (margin * geometry(name).planforms[0].mean_chord())
}

#[test]
fn static_margins_of_the_club() {
    for (name, wanted) in MARGIN {
        let geometry = geometry(name);
        let chord = geometry.planforms[0].mean_chord();
        let behind = margin(&Model::prepare(&geometry, &Coefficients::prototype()), 20.0).behind;
        near(name, 100.0 * behind / chord, wanted, 100.0 * STATION / chord);
    }
}

#[test]
fn level_trims_of_the_club() {
    for (name, trims, throttles) in LEVEL {
        let rig = plain_rig(name);
        let mut bench = Bench::new(&rig.aircraft);
        for ((speed, incidence, elevator), throttle) in trims.into_iter().zip(throttles) {
            let level = rig.level(speed, &mut bench).unwrap();
            let says = |what: &str| format!("{name} at {speed} m/s, {what}");
            assert!(level.converged, "{}", says("level"));
            let v = level.state.body.velocity;
            near(&says("incidence"), libm::atan2(v.z, v.x).to_degrees(), incidence, 0.0);
            near(&says("elevator"), 100.0 * level.sticks[1], elevator, station_share(name) * elevator.abs());
            near(&says("throttle"), 10.0 * level.throttle, 0.1 * throttle, 0.0);
        }
    }
}

/// Changes from level trim, shares of full throw, and the upward force in weights.
#[derive(Clone, Copy)]
struct Held {
    elevator: f64,
    aileron: f64,
    up: f64,
}

/// On the side with a given rudder: moments balanced, no acceleration towards canopy or gear;
/// height and speed are left as they come.
fn given_rudder(rig: &Rig, side: Side, rudder: f64, throttle: f64, speed: f64) -> Held {
    let bench = RefCell::new(Bench::new(&rig.aircraft));
    let bank = -side.sign() * FRAC_PI_2; // right rudder holds up the left wing down
    let along = Euler { roll: bank, pitch: 0.0, yaw: 0.0 }.attitude();
    let path = earth_from_body(&along);
    let evaluate = |x: &[f64]| {
        let yawed = Euler { roll: 0.0, pitch: 0.0, yaw: x[1] }.attitude();
        let pitched = Euler { roll: 0.0, pitch: x[0], yaw: 0.0 }.attitude();
        let attitude = along * yawed * pitched;
        let velocity = earth_from_body(&attitude).tr_mul(&(path.column(0) * speed));
        let body = BodyState { position: Vector3::zeros(), velocity, attitude, rate: Vector3::zeros() };
        let rotor =
            rig.aircraft.steady_rotor(&velocity, throttle, Surroundings::CALM.density(&body.position));
        let state = AircraftState { body, rotor, wake: [0.0; aero::MAX_WING_STRIPS] };
        let deflections = rig.deflections_of([x[2], x[3], side.sign() * rudder]);
        let controls = Controls { deflections, throttle, causes: Causes::ALL };
        let slope =
            rig.aircraft.steady_slope(&state, &Surroundings::CALM, &controls, &mut bench.borrow_mut());
        (earth_from_body(&attitude) * slope.body.velocity, slope.body.rate)
    };
    let residuals = |x: &[f64]| {
        let (acceleration, turn) = evaluate(x);
        vec![acceleration.dot(&path.column(2)), turn.x, turn.y, turn.z]
    };
    let start = [0.0, 0.15 * side.sign() * if rudder > 0.01 { 1.0 } else { 0.0 }, 0.0, 0.0];
    let search = Search {
        start: &start,
        scales: &[0.1; 4],
        residual_scales: &[G0, 10.0, 10.0, 10.0],
        tolerance: 1e-9,
    };
    let found = find_steady(residuals, &search).unwrap();
    assert!(found.converged, "{} {side:?} {rudder}: {found:?}", rig.name);
    Held {
        elevator: found.values[3] - rig.level.elevator,
        aileron: found.values[2] - rig.level.aileron,
        up: 1.0 - evaluate(&found.values).0.z / G0,
    }
}

/// What a knife edge takes at cruise speed with a given rudder.
struct KnifeEdge {
    /// Throttle of the row.
    throttle: f64,
    /// Elevator by which the model hands off at one weight flies at none \[%\].
    relief: f64,
    /// Elevator on top of it at a quarter, half, three quarters and all of the rudder, mean of
    /// both sides \[%\].
    sideslip: [f64; 4],
    /// Aileron per rudder at three quarters, left and right rudder \[%\].
    aileron: [f64; 2],
    /// Upward force per weight at half and all of the rudder.
    up: [f64; 2],
}

/// Prototype, at the cruise speeds of [`LEVEL`]. Clover's row is not here: its throttle was not
/// written down.
const KNIFE_EDGE: [(&str, KnifeEdge); 6] = [
    (
        "larkspur",
        KnifeEdge {
            throttle: 0.75,
            relief: -1.3,
            sideslip: [1.3, 2.2, 0.6, -2.9],
            aileron: [0.0, 1.0],
            up: [0.91, 1.22],
        },
    ),
    (
        "foxglove",
        KnifeEdge {
            throttle: 0.75,
            relief: -7.9,
            sideslip: [2.3, 7.9, 12.8, 15.2],
            aileron: [-21.0, -21.0],
            up: [0.36, 0.61],
        },
    ),
    (
        "bramble",
        KnifeEdge {
            throttle: 0.8,
            relief: -11.0,
            sideslip: [-1.9, -6.0, -11.3, -16.0],
            aileron: [-25.0, -24.0],
            up: [0.29, 0.47],
        },
    ),
    (
        "thistle",
        KnifeEdge {
            throttle: 0.8,
            relief: -2.0,
            sideslip: [3.3, 6.6, 6.2, 3.5],
            aileron: [-15.0, -12.0],
            up: [1.25, 1.49],
        },
    ),
    (
        "teasel",
        KnifeEdge {
            throttle: 0.6,
            relief: -7.5,
            sideslip: [0.8, 3.6, 7.3, 11.0],
            aileron: [-17.0, -17.0],
            up: [0.30, 0.61],
        },
    ),
    (
        "sorrel",
        KnifeEdge {
            throttle: 0.7,
            relief: -2.3,
            sideslip: [1.3, 2.5, 1.8, 0.1],
            aileron: [-1.0, 2.0],
            up: [0.62, 0.74],
        },
    ),
];

#[test]
fn knife_edges_of_the_club() {
    const BOTH: [Side; 2] = [Side::Left, Side::Right];
    for (name, wanted) in KNIFE_EDGE {
        let rig = plain_rig(name);
        let at = |side, rudder| given_rudder(&rig, side, rudder, wanted.throttle, rig.trimmed_speed);
        let mean = |values: [f64; 2]| 0.5 * (values[0] + values[1]);
        let none = BOTH.map(|side| at(side, 1e-6));
        let rounding = station_share(name) * wanted.relief.abs();
        near(&format!("{name}, relief"), 100.0 * mean(none.map(|k| k.elevator)), wanted.relief, rounding);
        for (rudder, sideslip) in [0.25, 0.5, 0.75, 1.0].into_iter().zip(wanted.sideslip) {
            let held = BOTH.map(|side| at(side, rudder));
            let part = 100.0 * mean([0, 1].map(|i| held[i].elevator - none[i].elevator));
            near(&format!("{name}, {rudder}, sideslip part"), part, sideslip, 0.05);
            if let Some(i) = [0.5, 1.0].iter().position(|r| *r == rudder) {
                let up = mean(held.map(|k| k.up));
                near(&format!("{name}, {rudder}, upward force"), 10.0 * up, 10.0 * wanted.up[i], 0.0);
            }
            if rudder == 0.75 {
                for i in [0, 1] {
                    let per_rudder = (held[i].aileron - none[i].aileron) * BOTH[i].sign() / rudder;
                    near(&format!("{name}, aileron"), 10.0 * per_rudder, 0.1 * wanted.aileron[i], 0.01);
                }
            }
        }
    }
}

/// On the landing rates, whatever the switches say, no stick moves what is not its own.
#[test]
fn landing_rates_have_no_aerobatic_blends() {
    for (name, _) in MARGIN {
        let rig = prototype_rig(&geometry(name), &mix(name));
        let mut hand = Hand::released(&rig.program);
        hand.set_rates(rig.program.rates("landing").unwrap());
        for blend in mix(name).blends {
            if let Ok(on) = rig.program.switch(&blend.name, "on") {
                hand.set_switch(on);
            }
        }
        for stick in Stick::ALL {
            hand.set_stick(stick, 1.0).unwrap();
            let commands = mix::steady(&rig.program, &hand);
            hand.set_stick(stick, 0.0).unwrap();
            for (follower, own) in [
                (Follower::Aileron, Stick::Aileron),
                (Follower::Elevator, Stick::Elevator),
                (Follower::Rudder, Stick::Rudder),
            ] {
                assert!(
                    own == stick || commands.get(follower) == 0.0,
                    "{name}: {stick:?} moves {follower:?}"
                );
            }
            assert_eq!(commands.ailerons_together, 0.0, "{name}");
        }
        // and every blend on a switch bears the switch's name
        for switch in rig.program.switches() {
            assert!(mix(name).blends.iter().any(|blend| blend.name == switch.name), "{name}: {switch:?}");
        }
    }
}
