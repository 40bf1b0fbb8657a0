//! Every stick and lever through the whole chain: hand, mix, trims, servo, surface, air, motion.
//! Signs are the costliest mistakes.
#![allow(clippy::unwrap_used, reason = "a test may stop")]

mod support;

use airframe::Part;
use flight::{Bench, Euler};
use manoeuvre::{Rig, tick};
use measure::{Side, Stick};
use mix::Hand;
use support::{DEMOS, geometry, plain_mix, rig, trimmed};

/// What happened within a third of a second after a hand moved, against hands off.
struct Answer {
    /// Rates [rad/s].
    roll: f64,
    pitch: f64,
    /// Of the nose [rad]: a quick yaw oscillation has turned its rate round by then.
    heading: f64,
    forward: f64,
    up: f64,
    rotor: f64,
    deflections: [f64; airframe::MAX_SURFACES],
}

fn answer(rig: &Rig, moved: impl Fn(&mut Hand)) -> Answer {
    let mut bench = Bench::new(&rig.aircraft);
    let mut fly = |act: bool| {
        let (mut memory, mut hand, _) = trimmed(rig, &mut bench);
        if act {
            moved(&mut hand);
        }
        let mut last = tick(rig, &mut memory, &hand, &mut bench).unwrap();
        for _ in 0..16 {
            last = tick(rig, &mut memory, &hand, &mut bench).unwrap();
        }
        last
    };
    let (with, without) = (fly(true), fly(false));
    let (a, b) = (with.state, without.state);
    let mut deflections = with.deflections;
    for (d, zero) in deflections.iter_mut().zip(without.deflections) {
        *d -= zero;
    }
    Answer {
        roll: a.body.rate.x - b.body.rate.x,
        pitch: a.body.rate.y - b.body.rate.y,
        heading: Euler::from_attitude(&a.body.attitude).yaw - Euler::from_attitude(&b.body.attitude).yaw,
        forward: a.body.velocity.x - b.body.velocity.x,
        up: -(a.body.earth_velocity().z - b.body.earth_velocity().z),
        rotor: a.rotor - b.rotor,
        deflections,
    }
}

fn surface(rig: &Rig, part: Part, hinge: &str, side: Option<Side>) -> usize {
    rig.surfaces.iter().position(|s| s.part == part && s.hinge == hinge && s.side == side).unwrap()
}

fn stick(stick: Stick, position: f64) -> impl Fn(&mut Hand) {
    move |hand| hand.set_stick(stick, position).unwrap()
}

#[test]
fn right_aileron_rolls_right() {
    for name in DEMOS {
        let rig = rig(&geometry(name), &plain_mix());
        let right = answer(&rig, stick(Stick::Aileron, 0.3));
        assert!(right.roll > 0.3, "{name}: {}", right.roll);
        assert!(
            right.deflections[surface(&rig, Part::Wing, "aileron", Some(Side::Left))] > 0.05,
            "left one down"
        );
        assert!(
            right.deflections[surface(&rig, Part::Wing, "aileron", Some(Side::Right))] < -0.05,
            "right one up"
        );
        assert!(answer(&rig, stick(Stick::Aileron, -0.3)).roll < -0.3, "{name}");
    }
}

#[test]
fn up_elevator_raises_the_nose() {
    for name in DEMOS {
        let rig = rig(&geometry(name), &plain_mix());
        let up = answer(&rig, stick(Stick::Elevator, 0.2));
        assert!(up.pitch > 0.1 && up.up > 0.1, "{name}: {} {}", up.pitch, up.up);
        for side in [Side::Left, Side::Right] {
            assert!(
                up.deflections[surface(&rig, Part::Tailplane, "elevator", Some(side))] < -0.02,
                "trailing edge up"
            );
        }
        assert!(answer(&rig, stick(Stick::Elevator, -0.2)).pitch < -0.1, "{name}");
    }
}

#[test]
fn right_rudder_turns_the_nose_right() {
    for name in DEMOS {
        let rig = rig(&geometry(name), &plain_mix());
        let right = answer(&rig, stick(Stick::Rudder, 0.4));
        assert!(right.heading > 0.05, "{name}: {}", right.heading);
        assert!(right.deflections[surface(&rig, Part::Fin, "rudder", None)] < -0.05, "trailing edge right");
        assert!(answer(&rig, stick(Stick::Rudder, -0.4)).heading < -0.05, "{name}");
    }
}

#[test]
fn more_throttle_pulls() {
    for name in DEMOS {
        let rig = rig(&geometry(name), &plain_mix());
        let full = answer(&rig, stick(Stick::Throttle, 1.0));
        assert!(full.rotor > 1.0 && full.forward > 0.1, "{name}: {} {}", full.rotor, full.forward);
        // the first three hold the first bound; a slow trainer has less to lose within a third of a second
        let braking = if ["larkspur", "foxglove", "bramble"].contains(&name) { -0.1 } else { -0.05 };
        let idle = answer(&rig, stick(Stick::Throttle, 0.0)).forward;
        assert!(idle < braking, "{name}: {idle}");
    }
}

#[test]
fn the_flap_lever_lowers_both_flaps_and_lifts() {
    for name in ["foxglove", "bramble"] {
        let rig = rig(&geometry(name), &plain_mix());
        let lever = rig.program.lever("flap").unwrap();
        let down = answer(&rig, |hand| hand.set_lever(lever, 0.5).unwrap());
        for side in [Side::Left, Side::Right] {
            assert!(down.deflections[surface(&rig, Part::Wing, "flap", Some(side))] > 0.1, "{name}");
        }
        assert!(down.up > 0.2, "{name}: {}", down.up);
    }
}

#[test]
fn the_door_lever_opens_the_door_and_brakes() {
    let rig = rig(&geometry("bramble"), &plain_mix());
    let lever = rig.program.lever("door").unwrap();
    let open = answer(&rig, |hand| hand.set_lever(lever, 1.0).unwrap());
    let door = rig.surfaces.iter().position(|s| s.part == Part::Fittings).unwrap();
    assert!(
        open.deflections[door] > 0.5 && open.forward < -0.05,
        "{} {}",
        open.deflections[door],
        open.forward
    );
}

/// Trimmed, and left alone, a model stays level for a second.
#[test]
fn hands_off_in_trim_nothing_happens() {
    for name in DEMOS {
        let rig = rig(&geometry(name), &plain_mix());
        let mut bench = Bench::new(&rig.aircraft);
        let (mut memory, hand, level) = trimmed(&rig, &mut bench);
        for _ in 0..50 {
            tick(&rig, &mut memory, &hand, &mut bench).unwrap();
        }
        let drift = memory.state.body.rate.norm();
        assert!(drift < 1e-4, "{name}: turns at {drift} rad/s");
        assert!((memory.state.body.velocity - level.state.body.velocity).norm() < 1e-3, "{name}");
    }
}

/// Both ailerons down is positive, as in the word for it: a flaperon lifts.
#[test]
fn ailerons_together_go_down_and_lift() {
    let mut mix = plain_mix();
    mix.blends.push(mix::Blend {
        name: "flaperons".to_owned(),
        from: mix::Lead::Lever("spare 1".to_owned()),
        to: mix::Follower::AileronsTogether,
        shape: mix::Shape::TwoSided { left: 0.0, right: 0.4 },
        engaged: mix::Condition::Always,
        fade: 0.0,
        slow: 0.0,
        tuned: None,
        after: None,
    });
    let rig = rig(&geometry("larkspur"), &mix);
    let lever = rig.program.lever("spare 1").unwrap();
    let down = answer(&rig, |hand| hand.set_lever(lever, 1.0).unwrap());
    for side in [Side::Left, Side::Right] {
        assert!(down.deflections[surface(&rig, Part::Wing, "aileron", Some(side))] > 0.1, "{side:?}");
    }
    assert!(down.up > 0.1, "{}", down.up);
}

/// The servo moves at its measured rate after its measured delay.
#[test]
fn surfaces_follow_their_servos() {
    let rig = rig(&geometry("larkspur"), &plain_mix());
    let mut bench = Bench::new(&rig.aircraft);
    let (mut memory, mut hand, _) = trimmed(&rig, &mut bench);
    hand.set_stick(Stick::Rudder, 1.0).unwrap();
    let rudder = surface(&rig, Part::Fin, "rudder", None);
    let start = memory.servos[rudder].position();
    let mut path = Vec::new();
    for _ in 0..8 {
        tick(&rig, &mut memory, &hand, &mut bench).unwrap();
        path.push(memory.servos[rudder].position() - start);
    }
    // 600 deg/s after 10 ms: 10 ms of travel in the first tick, then 20 ms each
    let rate = 600.0 * measure::DEG;
    assert!((path[0] + rate * 0.010).abs() < 1e-9 && (path[1] + rate * 0.030).abs() < 1e-9, "{path:?}");
    assert!((path[7] - path[6]).abs() < 1e-12, "and rests at its throw");
}
