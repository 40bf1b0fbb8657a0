//! What a blend may and may not change in a flight.
#![allow(clippy::unwrap_used, reason = "a test may stop")]

mod support;

use flight::Bench;
use manoeuvre::{Flown, Following, Rig, fly, referee};
use measure::Side;
use mix::Shape;
use nalgebra::Vector3;
use support::{geometry, mix, rig, scenario};

const NAMES: [&str; 2] = ["knife-edge pitch", "knife-edge roll"];

fn flown(rig: &Rig, side: Side) -> Flown {
    let mut bench = Bench::new(&rig.aircraft);
    let flown = fly(rig, &scenario("knife-edge-pass"), side, Following::LeftAlone, &mut bench).unwrap();
    assert!(flown.halt.is_none());
    flown
}

fn same_bits(a: &Flown, b: &Flown) -> bool {
    let bits = |f: &Flown| -> Vec<u64> {
        f.samples
            .iter()
            .flat_map(|s| {
                let body = s.state.body;
                let numbers = [body.position, body.velocity, body.rate].map(|v| [v.x, v.y, v.z]).concat();
                numbers
                    .into_iter()
                    .chain(body.attitude.coords.iter().copied().collect::<Vec<_>>())
                    .chain([s.state.rotor])
            })
            .map(f64::to_bits)
            .collect()
    };
    bits(a) == bits(b)
}

/// A blend of 0 % and no blend are the same flight, to the bit; a blend of 5 % is another.
#[test]
fn nothing_blended_is_no_blend() {
    for name in ["larkspur", "foxglove"] {
        let geometry = geometry(name);
        let full = rig(&geometry, &mix(name));
        let without = full.with_program(full.program.without(&NAMES).unwrap());
        let shaped = |share: f64| {
            NAMES.iter().fold(mix(name), |m, blend| {
                m.with_shape(blend, Shape::TwoSided { left: share, right: share }).unwrap()
            })
        };
        for side in [Side::Left, Side::Right] {
            let plain = flown(&without, side);
            assert!(same_bits(&plain, &flown(&rig(&geometry, &shaped(0.0)), side)), "{name} {side:?}");
            assert!(!same_bits(&plain, &flown(&rig(&geometry, &shaped(0.05)), side)), "{name} {side:?}");
        }
    }
}

/// In knife edge, up elevator moves the path towards the canopy and right aileron banks right,
/// whichever rudder is used: the signs of the verdict.
#[test]
fn verdicts_answer_blends_with_the_right_sign() {
    let scenario = scenario("knife-edge-pass");
    let full = rig(&geometry("larkspur"), &mix("larkspur"));
    for side in [Side::Left, Side::Right] {
        let judged = |blend: &str, share: f64| {
            let shape = Shape::TwoSided { left: share, right: share };
            let mix = mix("larkspur").with_shape(blend, shape).unwrap();
            let rig = rig(&geometry("larkspur"), &mix);
            referee(&flown(&rig, side), &scenario, side, &Vector3::zeros()).unwrap()
        };
        let (up, down) = (judged(NAMES[0], 0.06), judged(NAMES[0], -0.06));
        assert!(up.path > down.path + 0.5, "{side:?}: {} {}", up.path, down.path);
        assert!(up.heading > down.heading, "{side:?}");
        // right aileron rolls out of right rudder's knife edge (left wing down), and under in the other
        let (right, left) = (judged(NAMES[1], 0.03), judged(NAMES[1], -0.03));
        assert!((right.bank - left.bank) * side.sign() > 0.05, "{side:?}: {} {}", right.bank, left.bank);
    }
    assert!(full.trim.elevator.abs() < 0.1);
}

/// A blend that acts in trimmed flight is trimmed out: the model still flies level hands off.
#[test]
fn a_blend_from_throttle_is_trimmed_out() {
    let mut mix = mix("larkspur");
    mix.blends[0].from = mix::Lead::Stick(measure::Stick::Throttle);
    mix.blends[0].shape = Shape::TwoSided { left: 0.0, right: -0.10 };
    let rig = rig(&geometry("larkspur"), &mix);
    assert!((rig.trim.elevator - rig.level.elevator - 0.10 * rig.level.throttle).abs() < 1e-12);
    let mut bench = Bench::new(&rig.aircraft);
    let (mut memory, hand, _) = support::trimmed(&rig, &mut bench);
    for _ in 0..50 {
        manoeuvre::tick(&rig, &mut memory, &hand, &mut bench).unwrap();
    }
    assert!(memory.state.body.rate.norm() < 1e-4);
}
