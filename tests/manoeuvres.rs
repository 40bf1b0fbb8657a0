//! Every manoeuvre on every airframe of the club: what can be flown is, what cannot says why.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop")]

mod support;

use flight::Bench;
use manoeuvre::{Flown, Scenario, Shortfall, fly_both, referee, shortfalls};
use measure::{DEG, Side};
use nalgebra::Vector3;
use support::{DEMOS, geometry, mix, rig, scenario};

const MANOEUVRES: [&str; 16] = [
    "half-rudder",
    "knife-edge-pass",
    "slow-roll",
    "four-point-roll",
    "flat-turn",
    "full-throttle-run",
    "go-around",
    "up-line",
    "down-line",
    "inverted",
    "inverted-45",
    "flap-drop",
    "roll-in",
    "push-tumble",
    "steep-descent",
    "hover",
];

/// Entered only with more than the model has: manoeuvre, airframe, and what is too little.
const REFUSED: [(&str, &str, &str); 5] = [
    ("knife-edge-pass", "thistle", "throttle"),
    ("hover", "foxglove", "throttle"),
    ("hover", "bramble", "throttle"),
    ("hover", "clover", "throttle"),
    // its fan blows over no tail
    ("hover", "teasel", "elevator"),
];

/// Where a steady line is asked for that every airframe can keep.
const KEPT: [&str; 2] = ["down-line", "inverted"];

#[test]
fn rudder_and_rolls_are_flown_or_refused_with_their_reason() {
    all_flown(&MANOEUVRES[..4]);
}

#[test]
fn turns_and_power_are_flown_or_refused_with_their_reason() {
    all_flown(&MANOEUVRES[4..8]);
}

#[test]
fn lines_and_flaps_are_flown_or_refused_with_their_reason() {
    all_flown(&MANOEUVRES[8..12]);
}

#[test]
fn what_is_wild_is_flown_or_refused_with_its_reason() {
    all_flown(&MANOEUVRES[12..]);
}

fn all_flown(manoeuvres: &[&str]) {
    for name in manoeuvres {
        let script = scenario(name);
        for airframe in DEMOS {
            let refused = REFUSED.iter().find(|(m, a, _)| m == name && *a == airframe);
            let rig = rig(&geometry(airframe), &mix(airframe));
            let flown = fly_both(&rig, &script, Side::Right, &mut Bench::new(&rig.aircraft));
            match (flown, refused) {
                (Err(fault), Some((_, _, what))) => {
                    assert!(fault.to_string().contains(what), "{name} {airframe}: {fault}");
                }
                (Ok([alone, corrected]), None) => {
                    sound(name, airframe, &alone, &script);
                    sound(name, airframe, &corrected, &script);
                    if KEPT.contains(name) {
                        assert_eq!(shortfalls(&corrected, &script), [], "{name} {airframe}");
                    }
                }
                (flown, _) => panic!("{name} {airframe}: {:?}", flown.err().map(|e| e.to_string())),
            }
        }
    }
}

/// Flown to its end, judged, in numbers.
fn sound(name: &str, airframe: &str, flown: &Flown, script: &Scenario) {
    let verdict = referee(flown, script, Side::Right, &Vector3::zeros());
    let verdict = verdict.unwrap_or_else(|| panic!("{name} {airframe}: {:?}", flown.halt));
    assert!(verdict.complete && verdict.lowest > 0.0, "{name} {airframe}: {verdict:?}");
    let d = verdict.worst;
    let numbers = [d.pitch, d.yaw, d.roll, d.bend, d.slide, d.canopy, d.right, verdict.height];
    assert!(numbers.iter().all(|x| x.is_finite()), "{name} {airframe}: {verdict:?}");
}

/// Height in a knife-edge is held by the rudder, where it is enough.
#[test]
fn who_holds_height_in_knife_edge() {
    let pass = scenario("knife-edge-pass");
    let beyond: Vec<&str> = DEMOS
        .into_iter()
        .filter(|airframe| *airframe != "thistle")
        .filter(|airframe| {
            let rig = rig(&geometry(airframe), &mix(airframe));
            let [_, held] = fly_both(&rig, &pass, Side::Right, &mut Bench::new(&rig.aircraft)).unwrap();
            shortfalls(&held, &pass).iter().any(
                |s| matches!(s, Shortfall::BeyondStick { held, .. } if held.stick == measure::Stick::Rudder),
            )
        })
        .collect();
    assert_eq!(beyond, ["bramble", "clover"]);
}

/// Hanging on the propeller, the late hand keeps the nose up and the place, while what torque the
/// swirl leaves rolls the model against full aileron (docs/decisions/0004).
#[test]
fn who_has_the_thrust_holds_the_hover() {
    let hover = scenario("hover");
    for airframe in HANGING {
        let rig = rig(&geometry(airframe), &mix(airframe));
        for side in [Side::Left, Side::Right] {
            let [_, held] = fly_both(&rig, &hover, side, &mut Bench::new(&rig.aircraft)).unwrap();
            // it enters climbing at a third of its speed and must first be slowed down
            let [tilt, aside, height] = strayed(&held.samples);
            assert!(
                tilt < 20.0 && aside < 3.0 && height < 10.0,
                "{airframe} {side:?}: {tilt} deg, {aside} m aside, {height} m"
            );
            let beyond: Vec<measure::Stick> = shortfalls(&held, &hover)
                .iter()
                .filter_map(|s| match s {
                    Shortfall::BeyondStick { held, .. } => Some(held.stick),
                    _ => None,
                })
                .collect();
            assert!(
                !beyond.is_empty() && beyond.iter().all(|stick| *stick == measure::Stick::Aileron),
                "{airframe} {side:?}: {beyond:?}"
            );
        }
    }
}

/// The surfaces are strong enough to hang on: where a late hand loses it, it is the hand.
#[test]
fn a_precise_hand_hangs_on() {
    let mut hover = scenario("hover");
    hover.legs[0].ends.after = 20.0;
    for airframe in HANGING {
        let rig = rig(&geometry(airframe), &mix(airframe));
        let [_, held] = fly_both(&rig, &hover, Side::Right, &mut Bench::new(&rig.aircraft)).unwrap();
        let span = &held.legs[0];
        let [tilt, aside, height] = strayed(&held.samples[span.first..span.end]);
        assert!(
            tilt < 5.0 && aside < 5.0 && height < 10.0,
            "{airframe}: {tilt} deg, {aside} m aside, {height} m"
        );
    }
}

/// With more thrust than weight, and a tail in the wash.
const HANGING: [&str; 3] = ["larkspur", "thistle", "sorrel"];

/// Furthest that the nose was from the vertical [deg], and the model from its first place, aside and
/// in height \[m\].
fn strayed(samples: &[manoeuvre::Sample]) -> [f64; 3] {
    let begun = samples[0].state.body.position;
    samples.iter().fold([0.0; 3], |[tilt, aside, height], sample| {
        let body = &sample.state.body;
        let up = -flight::earth_from_body(&body.attitude)[(2, 0)];
        let moved = body.position - begun;
        [
            tilt.max(libm::acos(up.clamp(-1.0, 1.0)) / DEG),
            aside.max(libm::hypot(moved.x, moved.y)),
            height.max(moved.z.abs()),
        ]
    })
}
