//! The direct path, travel, and the hand.

use crate::arbitrary::{any_mix, any_pose, any_poses, blend, fly, mix_of, program};
use measure::Stick;
use mix::{Follower, Hand, HandError, Program, Rate, RateSet, Shape, evaluate, steady};
use proptest::prelude::*;

proptest! {
    /// No mix, a mix without rates and blends: every stick and direct lever is its command.
    #[test]
    fn nothing_set_is_identity(pose in any_pose()) {
        for program in [Program::identity(), program(&mix_of([]))] {
            let commands = steady(&program, &pose.hand(&program));
            let [aileron, elevator, rudder, throttle] = pose.sticks;
            let [_, door, flap, _] = pose.levers;
            let expected = [aileron, elevator, rudder, throttle, flap, 0.0, door];
            // the one change: -0 leaves as 0
            let expected = expected.map(|value| (value + 0.0).to_bits());
            prop_assert_eq!(crate::arbitrary::bits(&commands), expected);
            prop_assert!(commands.limits.is_empty());
        }
    }

    #[test]
    fn travel_is_never_exceeded(mix in any_mix(), poses in any_poses()) {
        for commands in fly(&program(&mix), &poses) {
            for follower in Follower::ALL {
                let ((low, high), value) = (follower.range(), commands.get(follower));
                prop_assert!((low..=high).contains(&value), "{:?} at {}", follower, value);
                prop_assert!(value.to_bits() != (-0.0f64).to_bits());
                let at_the_end = value == low || value == high;
                prop_assert!(at_the_end || !commands.limits.contains(follower));
            }
        }
    }

    /// A still hand flown for long ends where the steady evaluation is, unless a threshold
    /// remembers where it came from; from a settled start there is nothing to remember.
    #[test]
    fn steady_is_where_a_still_hand_settles(mix in any_mix(), pose in any_pose()) {
        let program = program(&mix);
        let last = fly(&program, &vec![pose.clone(); 3]).pop().unwrap();
        let steady = steady(&program, &pose.hand(&program));
        prop_assert_eq!(crate::arbitrary::bits(&last), crate::arbitrary::bits(&steady));
        prop_assert_eq!(last, steady);
    }
}

#[test]
fn rates_and_expo_apply_to_the_active_set_only() {
    let set = |name: &str, throw| RateSet { name: name.into(), sticks: [Rate { throw, expo: 0.0 }; 3] };
    let mut mix = mix_of([]);
    mix.rates = vec![set("aloft", 0.5), set("landing", 1.0)];
    let program = program(&mix);
    let mut hand = Hand::released(&program);
    for stick in [Stick::Aileron, Stick::Elevator, Stick::Rudder, Stick::Throttle] {
        hand.set_stick(stick, 0.8).unwrap();
    }
    let first = steady(&program, &hand);
    assert_eq!([first.aileron, first.elevator, first.rudder, first.throttle], [0.4, 0.4, 0.4, 0.8]);
    hand.set_rates(program.rates("landing").unwrap());
    assert_eq!(steady(&program, &hand).rudder, 0.8);
}

#[test]
fn a_blend_reads_its_lead_after_rates() {
    let mut mix = mix_of([blend("knife-edge pitch")]);
    mix.rates = vec![RateSet { name: "low".into(), sticks: [Rate { throw: 0.5, expo: 0.0 }; 3] }];
    let program = program(&mix);
    let mut hand = Hand::released(&program);
    hand.set_stick(Stick::Rudder, -1.0).unwrap();
    // full left rudder at half rates: 50 % lead, 10 % of it
    assert_eq!(steady(&program, &hand).elevator, 0.05);
}

#[test]
fn a_limit_that_is_hit_is_reported() {
    let mut more = blend("more");
    more.shape = Shape::TwoSided { left: 0.5, right: 0.5 };
    let program = program(&mix_of([more]));
    let mut hand = Hand::released(&program);
    hand.set_stick(Stick::Rudder, 1.0).unwrap();
    hand.set_stick(Stick::Elevator, 0.5).unwrap();
    assert!(steady(&program, &hand).limits.is_empty());
    hand.set_stick(Stick::Elevator, 0.6).unwrap();
    let commands = steady(&program, &hand);
    assert_eq!(commands.elevator, 1.0);
    assert_eq!(commands.limits.iter().collect::<Vec<_>>(), [Follower::Elevator]);
}

#[test]
fn a_hand_stays_within_its_stops() {
    let program = Program::identity();
    let mut hand = Hand::released(&program);
    for wrong in [-0.01, 1.01, f64::NAN, f64::INFINITY] {
        let error = hand.set_stick(Stick::Throttle, wrong).unwrap_err();
        assert!(error.to_string().starts_with("found the throttle stick at"), "{error}");
        assert!(hand.set_lever(program.lever("flap").unwrap(), wrong).is_err());
    }
    assert_eq!(hand, Hand::released(&program));
}

#[test]
fn unknown_names_are_told_with_the_known_ones() {
    let program = Program::identity();
    let error = program.lever("flaps").unwrap_err();
    assert_eq!(
        error.to_string(),
        "found lever \"flaps\"; this mix reads \"door\", \"flap\"; use one of these, or let a blend read it"
    );
    assert!(matches!(program.switch("gear", "down"), Err(HandError::UnknownSwitch { .. })));
    assert!(matches!(program.rates("aloft"), Err(HandError::UnknownRates { .. })));
}

#[test]
fn one_evaluation_of_the_direct_levers() {
    let program = Program::identity();
    let mut hand = Hand::released(&program);
    hand.set_lever(program.lever("flap").unwrap(), 0.4).unwrap();
    hand.set_lever(program.lever("door").unwrap(), 0.7).unwrap();
    let mut fades = mix::Fades::settled(&program, &hand);
    let commands = evaluate(&program, &hand, &mut fades, 0.02);
    assert_eq!((commands.flap, commands.door, commands.ailerons_together), (0.4, 0.7, 0.0));
}
