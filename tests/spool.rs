//! The motor takes its time to follow the throttle, and half throttle is as measured.
#![allow(clippy::unwrap_used, reason = "a test may stop")]

mod support;

use aero::{Coefficients, Model, steady_rotor_speed};
use flight::Bench;
use manoeuvre::{Rig, tick};
use measure::Stick;
use support::{geometry, plain_mix, rig, trimmed};

/// Rotor speed [rev/s] tick by tick after the throttle was thrown to `to`.
fn thrown(rig: &Rig, to: f64, ticks: usize) -> Vec<f64> {
    let mut bench = Bench::new(&rig.aircraft);
    let (mut memory, mut hand, _) = trimmed(rig, &mut bench);
    hand.set_stick(Stick::Throttle, to).unwrap();
    (0..ticks)
        .map(|_| {
            tick(rig, &mut memory, &hand, &mut bench).unwrap();
            memory.state.rotor
        })
        .collect()
}

#[test]
fn the_rotor_follows_the_throttle_in_the_spool_time() {
    let quick = geometry("larkspur");
    let mut slow = quick.clone();
    slow.motor.spool = Some(2.0.into());
    let (quick, slow) = (rig(&quick, &plain_mix()), rig(&slow, &plain_mix()));
    assert_eq!(quick.level, slow.level, "nothing changes in steady flight");
    let begin = quick.level.throttle;
    let [at_once, spooled] = [&quick, &slow].map(|rig| thrown(rig, 1.0, 150));
    // in a second the rotor has come to full; later it only follows the airspeed
    let risen = |speeds: &[f64], at: usize| (speeds[at] - spooled[0]) / (at_once[50] - spooled[0]);
    assert!(risen(&at_once, 25) > 0.9, "an electric motor is there in half a second");
    assert!(risen(&spooled, 25) < 0.6, "the other is on its way");
    assert!(spooled.windows(2).all(|pair| pair[1] > pair[0] - 1e-3), "and rises all the time");
    // the way from level throttle to full takes its share of 2 s; the rotor's inertia comes on top
    let there = ((1.0 - begin) * 2.0 / 0.02).ceil() as usize;
    assert!(there + 25 < 150, "{there}");
    assert!((spooled[there + 25] - at_once[there + 25]).abs() < 0.02 * at_once[149]);
    assert!((spooled[there / 2] - at_once[there / 2]).abs() > 0.05 * at_once[149]);
}

#[test]
fn half_throttle_at_rest_is_as_measured() {
    let mut measured = geometry("larkspur");
    let (full, idle) = (measured.motor.full.value, measured.motor.idle.value);
    let speeds = |geometry: &airframe::Geometry| {
        let model = Model::prepare(geometry, &Coefficients::default());
        let propulsor = model.parts().propulsor.clone().unwrap();
        [0.0, 0.5, 1.0].map(|throttle| steady_rotor_speed(&propulsor, throttle, 0.0, 1.225))
    };
    let straight = speeds(&measured);
    for half in [0.4 * full, 0.6 * full, 0.8 * full] {
        measured.motor.half = Some(half.into());
        let [at_idle, at_half, at_full] = speeds(&measured);
        assert!((at_half - half).abs() < 1e-6 * half, "{at_half} for {half}");
        assert!((at_idle - idle).abs() < 1e-6 * idle, "{at_idle}");
        assert_eq!((at_idle, at_full), (straight[0], straight[2]), "the ends stay");
    }
}
