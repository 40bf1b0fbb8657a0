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
    let flown = fly(rig, &scenario("knife-edge-pass"), side, Following::LEFT_ALONE, &mut bench).unwrap();
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
        assert!(
            up.headline.canopy > down.headline.canopy + 0.5,
            "{side:?}: {} {}",
            up.headline.canopy,
            down.headline.canopy
        );
        assert!(up.headline.pitch > down.headline.pitch, "{side:?}");
        // right aileron rolls out of right rudder's knife edge (left wing down), and under in the other
        let (right, left) = (judged(NAMES[1], 0.03), judged(NAMES[1], -0.03));
        assert!(right.headline.roll > left.headline.roll + 0.05, "right aileron rolls right");
        assert!(
            (right.rolls_out() - left.rolls_out()) * side.sign() > 0.05,
            "{side:?}: {} {}",
            right.headline.roll,
            left.headline.roll
        );
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

/// A scenario's rates are the ones that are flown.
#[test]
fn the_rates_of_the_scenario_are_flown() {
    let mut mix = mix("larkspur");
    let half = mix::Rate { throw: 0.5, expo: 0.0 };
    mix.rates.push(mix::RateSet { name: "gentle".to_owned(), sticks: [half; 3] });
    let rig = rig(&geometry("larkspur"), &mix);
    let mut bench = Bench::new(&rig.aircraft);
    let mut command = |rates: &str| {
        let mut scenario = scenario("knife-edge-pass");
        scenario.rates = Some(rates.to_owned());
        scenario.legs[1].sticks[2] = manoeuvre::Order::Fixed(0.4);
        let flown = fly(&rig, &scenario, Side::Right, Following::LEFT_ALONE, &mut bench).unwrap();
        flown.samples[flown.legs[1].first + 10].commands.rudder - rig.trim.rudder
    };
    assert!((command("aloft") - 0.4).abs() < 1e-9);
    assert!((command("gentle") - 0.2).abs() < 1e-9);
}

/// A fading blend comes in over its time in the air.
#[test]
fn a_fade_takes_its_time_in_flight() {
    let mut mix = mix("larkspur");
    mix.blends.truncate(1);
    mix.blends[0].shape = Shape::TwoSided { left: 0.2, right: 0.2 };
    mix.blends[0].engaged = mix::Condition::Switch { name: "on".to_owned(), is: "on".to_owned() };
    mix.blends[0].fade = 0.4;
    let rig = rig(&geometry("larkspur"), &mix);
    let mut bench = Bench::new(&rig.aircraft);
    let (mut memory, mut hand, _) = support::trimmed(&rig, &mut bench);
    hand.set_stick(measure::Stick::Rudder, 1.0).unwrap();
    hand.set_switch(rig.program.switch("on", "on").unwrap());
    let elevator: Vec<f64> = (0..25)
        .map(|_| {
            let sample = manoeuvre::tick(&rig, &mut memory, &hand, &mut bench).unwrap();
            sample.commands.elevator - rig.trim.elevator
        })
        .collect();
    assert!((elevator[9] - 0.1).abs() < 0.011, "half way after half the time: {elevator:?}");
    assert!((elevator[24] - 0.2).abs() < 1e-9 && elevator.windows(2).all(|e| e[1] >= e[0]));
}

/// Entering beyond the model's power is refused, not flown at another speed.
#[test]
fn an_entry_beyond_the_throttle_is_refused() {
    let mut scenario = scenario("knife-edge-pass");
    scenario.start.speed = manoeuvre::Speed::Absolute(45.0);
    let rig = rig(&geometry("foxglove"), &mix("foxglove"));
    let mut bench = Bench::new(&rig.aircraft);
    let fault = fly(&rig, &scenario, Side::Right, Following::LEFT_ALONE, &mut bench).unwrap_err().to_string();
    assert!(fault.contains("throttle of 1") && fault.contains("45.0 m/s"), "{fault}");
}

/// Nor is a model trimmed with less than no throttle.
#[test]
fn a_trim_below_idle_is_refused() {
    let mut g = geometry("foxglove");
    g.motor.idle.value = 7000.0 / 60.0;
    g.trimmed_speed = 14.0;
    let made = Rig::new(&g, &mix("foxglove"), &aero::Coefficients::default(), flight::Surroundings::CALM);
    assert!(made.unwrap_err().to_string().contains("throttle of -"), "idle alone is too fast");
}

/// The other side is the mirror image of the script: a track to the left of the entry becomes one
/// to the right, and the rudder carries the weight with the nose up on both.
#[test]
fn tracks_are_mirrored_and_the_rudder_carries() {
    let mut scenario = scenario("knife-edge-pass");
    let aside = manoeuvre::Target::Value(-10.0 * measure::DEG);
    scenario.legs[1].sticks[1] = manoeuvre::Order::Hold(manoeuvre::Quantity::Track, aside);
    scenario.legs[1].ends = manoeuvre::Ending::after(4.0);
    let rig = rig(&geometry("larkspur"), &mix("larkspur"));
    let mut bench = Bench::new(&rig.aircraft);
    for side in [Side::Left, Side::Right] {
        let flown = fly(&rig, &scenario, side, Following::LEFT_ALONE, &mut bench).unwrap();
        let settled = &flown.samples[flown.legs[1].end - 1];
        let v = settled.state.body.earth_velocity();
        let track = libm::atan2(v.y, v.x) / measure::DEG;
        // after four seconds the turn still overshoots a little: which way it went is the question here
        assert!(track * -side.sign() > 7.0, "{side:?}: {track} deg");
        // a second into the leg the model has sunk little: the feel's share of the nose is there at once
        let early = &flown.samples[flown.legs[1].first + 60];
        let climb = -early.state.body.earth_velocity().z / early.state.body.earth_velocity().norm();
        assert!(climb.abs() < 5.0 * measure::DEG, "{side:?}: {} deg", climb / measure::DEG);
        let euler = flight::Euler::from_attitude(&early.state.body.attitude);
        assert!(
            euler.pitch > 5.0 * measure::DEG,
            "{side:?}: nose up by rudder, {}",
            euler.pitch / measure::DEG
        );
    }
}
