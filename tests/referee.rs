//! What the referee says of flights whose answer is known.
#![allow(clippy::unwrap_used, reason = "a test may stop")]

mod support;

use core::f64::consts::FRAC_PI_2;
use flight::{Bench, Euler};
use manoeuvre::{Flown, LegSpan, Sample, Scenario, TICK, drifts, marks, referee, tick};
use measure::{DEG, Side};
use mix::Follower;
use nalgebra::Vector3;
use support::{geometry, plain_mix, rig, scenario, trimmed};

/// How a made-up pass drifts: per second squared or per second, + towards the canopy, + rolls out.
#[derive(Clone, Copy)]
struct Made {
    acceleration: f64,
    turn: f64,
    roll: f64,
}

/// A pass at 25 m/s to the north (over the ground in `wind`) that drifts as `made`.
fn made_up(scenario: &Scenario, side: Side, made: Made, wind: Vector3<f64>) -> Flown {
    let rig = rig(&geometry("larkspur"), &plain_mix());
    let mut bench = Bench::new(&rig.aircraft);
    let (mut memory, hand, _) = trimmed(&rig, &mut bench);
    let sample = tick(&rig, &mut memory, &hand, &mut bench).unwrap();
    let mut flown = Flown { samples: Vec::new(), legs: Vec::new(), halt: None };
    for leg in &scenario.legs {
        let (first, starts) = (flown.samples.len(), flown.samples.len() as f64 * TICK);
        for k in 0..(leg.ends.after / TICK).round() as usize {
            let drifting = if leg.judged.is_some() { k as f64 * TICK } else { 0.0 };
            flown.samples.push(placed(sample, side, made, wind, starts + k as f64 * TICK, drifting));
        }
        let end = flown.samples.len();
        flown.legs.push(LegSpan { starts, ends: end as f64 * TICK, first, end, held: Vec::new() });
    }
    let last = flown.legs[flown.legs.len() - 1].clone();
    flown.samples.push(placed(sample, side, made, wind, last.ends, last.ends - last.starts));
    flown
}

fn placed(sample: Sample, side: Side, made: Made, wind: Vector3<f64>, time: f64, t: f64) -> Sample {
    // right rudder: left wing down, canopy to the west
    let canopy = -side.sign();
    let mut s = Sample { time, ..sample };
    let off = 0.5 * made.acceleration * t * t;
    s.state.body.position = Vector3::new(25.0 * time, canopy * off, 0.0) + wind * time;
    let euler =
        Euler { roll: -side.sign() * (FRAC_PI_2 - made.roll * t), pitch: 0.0, yaw: canopy * made.turn * t };
    s.state.body.attitude = euler.attitude();
    let over_ground = Vector3::new(25.0, canopy * made.acceleration * t, 0.0) + wind;
    s.state.body.velocity = flight::earth_from_body(&s.state.body.attitude).transpose() * over_ground;
    s.sticks = [0.02 * side.sign(), 0.03, 0.6 * side.sign(), 0.5];
    s
}

const MADE: Made = Made { acceleration: 1.0, turn: 4.0 * DEG, roll: 5.0 * DEG };

#[test]
fn towards_canopy_and_out_are_positive_on_both_sides() {
    let scenario = scenario("knife-edge-pass");
    for side in [Side::Left, Side::Right] {
        let flown = made_up(&scenario, side, MADE, Vector3::zeros());
        let v = referee(&flown, &scenario, side, &Vector3::zeros()).unwrap();
        let d = v.headline;
        assert!((d.canopy - 2.0).abs() < 1e-9, "{side:?}: half a t squared after 2 s: {}", d.canopy);
        assert!((d.pitch - 8.0 * DEG).abs() < 1e-9, "{side:?}: {}", d.pitch / DEG);
        assert!((v.rolls_out() - 10.0 * DEG).abs() < 1e-9, "{side:?}: {}", v.rolls_out() / DEG);
        let last = 3.0;
        assert!((v.worst.canopy - 0.5 * last * last).abs() < 1e-9);
        assert!((v.faults[1] - libm::atan2(last, 25.0)).abs() < 1e-9);
        assert!((v.faults[0] - 5.0 * DEG * last).abs() < 1e-9);
        assert!(v.faults[2] < 1e-9, "level");
        assert!(v.complete && v.limits.is_empty() && v.seconds == 3.0 && v.headline_at == 2.0);
        assert!((v.held[1] - 0.03).abs() < 1e-12 && (v.sticks[2] - 0.6 * side.sign()).abs() < 1e-12);
        assert!((v.speeds.start - 25.0).abs() < 1e-9);
    }
}

#[test]
fn towards_gear_and_under_are_negative() {
    let scenario = scenario("knife-edge-pass");
    let made = Made { acceleration: -2.0, turn: -DEG, roll: -3.0 * DEG };
    let flown = made_up(&scenario, Side::Right, made, Vector3::zeros());
    let v = referee(&flown, &scenario, Side::Right, &Vector3::zeros()).unwrap();
    let d = v.headline;
    assert!(d.canopy < -3.9 && d.pitch < 0.0 && v.rolls_out() < 0.0 && v.worst.canopy < d.canopy, "{v:?}");
}

/// A crosswind looks like drift over the ground, and is none in the air.
#[test]
fn the_wind_is_not_judged() {
    let scenario = scenario("knife-edge-pass");
    let wind = Vector3::new(-2.0, 5.0, 0.0);
    let blown = made_up(&scenario, Side::Right, MADE, wind);
    let calm = made_up(&scenario, Side::Right, MADE, Vector3::zeros());
    let (a, b) = (
        referee(&blown, &scenario, Side::Right, &wind).unwrap(),
        referee(&calm, &scenario, Side::Right, &Vector3::zeros()).unwrap(),
    );
    assert!((a.headline.canopy - b.headline.canopy).abs() < 1e-9 && (a.faults[1] - b.faults[1]).abs() < 1e-9);
    assert!((a.speeds.start - b.speeds.start).abs() < 1e-9);
    let judged_as_calm = referee(&blown, &scenario, Side::Right, &Vector3::zeros()).unwrap();
    assert!((judged_as_calm.speeds.start - b.speeds.start).abs() > 1.0, "the wind was there");
}

/// FAI Sporting Code, Section 4 Volume F3, manoeuvre execution guide (from two texts that quote
/// it): up to 15 degrees one point, up to 30 two, up to 45 three.
#[test]
fn val_marks() {
    for (degrees, lost) in
        [(0.0, 0.0), (0.5, 0.0), (5.0, 1.0), (15.0, 1.0), (16.0, 2.0), (30.0, 2.0), (44.0, 3.0)]
    {
        assert_eq!(marks(&[degrees * DEG]), 10.0 - lost, "{degrees} deg");
    }
    assert_eq!(marks(&[20.0 * DEG, -20.0 * DEG]), 6.0, "bank and path are two faults");
    assert_eq!(marks(&[200.0 * DEG]), 0.0, "not below nothing");
}

#[test]
fn stops_and_short_flights_are_told() {
    let scenario = scenario("knife-edge-pass");
    let mut flown = made_up(&scenario, Side::Right, MADE, Vector3::zeros());
    let end = flown.samples.len() - 10;
    flown.samples.truncate(end);
    flown.legs[2].end = end;
    flown.legs[2].ends = flown.samples[end - 1].time;
    flown.halt = Some(manoeuvre::Halt::Tick("made up".to_owned()));
    flown.samples[end - 5].sticks[2] = 1.0;
    let v = referee(&flown, &scenario, Side::Right, &Vector3::zeros()).unwrap();
    assert_eq!(v.full_sticks.len(), 1);
    assert_eq!(v.full_sticks[0].0, measure::Stick::Rudder);
    assert!((v.full_sticks[0].1 - TICK).abs() < 1e-9, "for a tick");
    assert!(v.limits.is_empty(), "the stick, not the surface");
    assert!(!v.complete && v.settled());
    flown.samples[end - 6].commands.elevator = -1.0;
    let v = referee(&flown, &scenario, Side::Right, &Vector3::zeros()).unwrap();
    assert_eq!(v.limits.len(), 1);
    assert!((v.at_stop(Follower::Elevator) - TICK).abs() < 1e-9);
    flown.legs.truncate(2);
    assert_eq!(referee(&flown, &scenario, Side::Right, &Vector3::zeros()), None, "it never got there");
}

#[test]
fn drifts_begin_before_the_leg() {
    let scenario = scenario("knife-edge-pass");
    let flown = made_up(&scenario, Side::Left, MADE, Vector3::zeros());
    let list = drifts(&flown, &scenario, Side::Left, &Vector3::zeros(), 0.5);
    assert!((list[0].time + 0.5).abs() < 1e-9 && list[0].off.canopy.abs() < 1e-9);
    let last = list.last().unwrap();
    assert!((last.off.along - 25.0 * last.time).abs() < 1e-9 && last.off.canopy > 4.0);
}

/// A roll through inverted and on is counted on, not folded back.
#[test]
fn more_than_half_a_roll_is_counted_on() {
    let scenario = scenario("knife-edge-pass");
    for side in [Side::Left, Side::Right] {
        let made = Made { acceleration: 0.0, turn: 0.0, roll: 100.0 * DEG };
        let flown = made_up(&scenario, side, made, Vector3::zeros());
        let v = referee(&flown, &scenario, side, &Vector3::zeros()).unwrap();
        assert!((v.rolls_out() - 200.0 * DEG).abs() < 1e-9, "{side:?}: {}", v.rolls_out() / DEG);
        assert!((v.faults[0] - 300.0 * DEG).abs() < 1e-9, "{side:?}: {}", v.faults[0] / DEG);
        assert_eq!(v.marks(), 0.0);
        let list = drifts(&flown, &scenario, side, &Vector3::zeros(), 0.5);
        assert!(list.windows(2).all(|d| (d[1].off.roll - d[0].off.roll).abs() < 5.0 * DEG), "no jump");
    }
}

/// The line lies along the path where the leg begins, whichever way that is over the ground.
#[test]
fn the_line_turns_with_the_entry() {
    let scenario = scenario("knife-edge-pass");
    let straight = made_up(&scenario, Side::Right, MADE, Vector3::zeros());
    let mut turned = straight.clone();
    let by = Euler { roll: 0.0, pitch: 0.0, yaw: 0.7 }.attitude();
    let matrix = flight::earth_from_body(&by);
    for s in &mut turned.samples {
        s.state.body.position = matrix * s.state.body.position;
        s.state.body.attitude = by * s.state.body.attitude;
    }
    let judge = |flown: &Flown| referee(flown, &scenario, Side::Right, &Vector3::zeros()).unwrap();
    let (a, b) = (judge(&straight), judge(&turned));
    let numbers = |v: &manoeuvre::Verdict| {
        let d = v.headline;
        [d.canopy, d.right, d.pitch, d.yaw, d.roll, d.bend, d.slide, v.worst.canopy]
    };
    for (x, y) in numbers(&a).into_iter().zip(numbers(&b)) {
        assert!((x - y).abs() < 1e-9, "{x} {y}");
    }
    let place = |flown: &Flown| drifts(flown, &scenario, Side::Right, &Vector3::zeros(), 0.5);
    for (x, y) in place(&straight).iter().zip(place(&turned)) {
        assert!((x.position - y.position).norm() < 1e-8);
    }
}

/// A throttle that a blend drives beyond its travel is told, though it has no middle to stop at.
#[test]
fn limits_of_the_mix_are_told() {
    let scenario = scenario("knife-edge-pass");
    let mut mix = plain_mix();
    mix.blends.push(mix::Blend {
        name: "more".to_owned(),
        from: mix::Lead::Stick(measure::Stick::Rudder),
        to: Follower::Throttle,
        shape: mix::Shape::TwoSided { left: 3.0, right: 3.0 },
        engaged: mix::Condition::Always,
        fade: 0.0,
        slow: 0.0,
        tuned: None,
        after: None,
    });
    let rig = rig(&geometry("larkspur"), &mix);
    let mut bench = Bench::new(&rig.aircraft);
    let flown =
        manoeuvre::fly(&rig, &scenario, Side::Right, manoeuvre::Following::LEFT_ALONE, &mut bench).unwrap();
    let v = referee(&flown, &scenario, Side::Right, &Vector3::zeros()).unwrap();
    assert!(v.at_stop(Follower::Throttle) > 0.0, "{:?}", v.limits);
}

/// Held sticks are those of the second half of the leg; a leg that ends before the headline has
/// no verdict.
#[test]
fn halves_and_headlines() {
    let scenario = scenario("knife-edge-pass");
    let mut flown = made_up(&scenario, Side::Right, MADE, Vector3::zeros());
    let leg = flown.legs[2].clone();
    let half = leg.first + (leg.end - leg.first) / 2;
    for s in &mut flown.samples[leg.first..half] {
        s.sticks[1] = 0.5;
    }
    let v = referee(&flown, &scenario, Side::Right, &Vector3::zeros()).unwrap();
    assert!((v.held[1] - 0.03).abs() < 1e-12, "{}", v.held[1]);
    flown.samples.truncate(leg.first + 91);
    (flown.legs[2].end, flown.legs[2].ends) = (leg.first + 90, leg.starts + 1.8);
    let v = referee(&flown, &scenario, Side::Right, &Vector3::zeros()).unwrap();
    assert!((v.headline_at - 1.8).abs() < 1e-9, "the end, if that was sooner");
    assert!((v.headline.canopy - 0.5 * 1.8 * 1.8).abs() < 1e-9);
    flown.legs[2].ends = leg.starts;
    assert_eq!(referee(&flown, &scenario, Side::Right, &Vector3::zeros()), None, "nothing to judge");
}
