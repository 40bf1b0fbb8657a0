//! Fades, slow followers and hysteresis.

use crate::arbitrary::{blend, mix_of, program};
use measure::Stick;
use mix::{Blend, Condition, Fades, HYSTERESIS, Hand, Lead, Program, Shape, evaluate};
use proptest::prelude::*;

const TICK: f64 = 0.02;

/// Full elevator for any rudder, while the switch is on.
fn switched(fade: f64, slow: f64) -> Blend {
    let mut blend = blend("switched");
    blend.shape = Shape::Curve(vec![(-1.0, 1.0), (1.0, 1.0)]);
    blend.engaged = Condition::Switch { name: "down-line".into(), is: "on".into() };
    (blend.fade, blend.slow) = (fade, slow);
    blend
}

/// The elevator tick by tick: `ticks` with the switch on, then as many with it off.
fn on_and_off(program: &Program, dt: f64, ticks: usize) -> Vec<f64> {
    let mut hand = Hand::released(program);
    let mut fades = Fades::settled(program, &hand);
    let mut flown = Vec::new();
    for position in ["on", "off"] {
        hand.set_switch(program.switch("down-line", position).unwrap());
        flown.extend((0..ticks).map(|_| evaluate(program, &hand, &mut fades, dt).elevator));
    }
    flown
}

/// Largest change from one tick to the next, from 0 on.
fn largest_step(flown: &[f64]) -> f64 {
    let before = core::iter::once(&0.0).chain(flown);
    before.zip(flown).map(|(one, next)| (next - one).abs()).fold(0.0, f64::max)
}

proptest! {
    #[test]
    fn a_fade_is_a_straight_line_that_ends_in_time(fade in 0.001..2.0f64, ticks in 1..200usize) {
        let dt = fade / ticks as f64;
        let flown = on_and_off(&program(&mix_of([switched(fade, 0.0)])), dt, ticks);
        prop_assert!(largest_step(&flown) <= dt / fade * (1.0 + 1e-6));
        for (tick, elevator) in flown[..ticks].iter().enumerate() {
            prop_assert!((elevator - (tick + 1) as f64 / ticks as f64).abs() < 1e-9);
        }
        prop_assert_eq!(flown[ticks - 1], 1.0);
        prop_assert_eq!(flown[2 * ticks - 1], 0.0);
    }

    #[test]
    fn a_slow_follower_keeps_its_pace_whatever_the_hand_does(
        slow in 0.05..3.0f64, fade in 0.0..0.5f64, rudder in prop::collection::vec(-1.0..=1.0f64, 2..60)
    ) {
        let mut blend = blend("slow");
        blend.shape = Shape::TwoSided { left: -0.9, right: 0.9 };
        blend.engaged = Condition::StickAbove { stick: Stick::Rudder, threshold: -0.5 };
        (blend.fade, blend.slow) = (fade, slow);
        let program = program(&mix_of([blend]));
        let mut hand = Hand::released(&program);
        let mut fades = Fades::settled(&program, &hand);
        let flown: Vec<f64> = rudder
            .into_iter()
            .map(|rudder| {
                hand.set_stick(Stick::Rudder, rudder).unwrap();
                evaluate(&program, &hand, &mut fades, TICK).elevator
            })
            .collect();
        prop_assert!(largest_step(&flown) <= TICK / slow * (1.0 + 1e-6));
    }

    /// A hand that trembles by less than the hysteresis, anywhere about a threshold, changes
    /// something once at most.
    #[test]
    fn a_trembling_hand_does_not_chatter(
        threshold in 0.1..0.9f64, above in any::<bool>(), centre in -1.0..1.0f64,
        tremble in prop::collection::vec(-0.49..0.49f64, 2..50)
    ) {
        let name = "spare 1".to_string();
        let condition = match above {
            true => Condition::LeverAbove { name, threshold },
            false => Condition::LeverBelow { name, threshold },
        };
        let positions: Vec<f64> =
            tremble.into_iter().map(|share| threshold + (centre + share) * HYSTERESIS).collect();
        let engaged = up_and_down(condition, &positions);
        let changes = engaged.windows(2).filter(|pair| pair[0] != pair[1]).count();
        prop_assert!(changes <= 1, "{:?}", engaged);
    }
}

/// The lever positions at which the elevator is in, on the way up and down again.
fn up_and_down(condition: Condition, positions: &[f64]) -> Vec<bool> {
    let mut blend = switched(0.0, 0.0);
    blend.engaged = condition;
    let program = program(&mix_of([blend]));
    let lever = program.lever("spare 1").unwrap();
    let mut hand = Hand::released(&program);
    let mut fades = Fades::settled(&program, &hand);
    let mut engaged_at = |&position: &f64| {
        hand.set_lever(lever, position).unwrap();
        evaluate(&program, &hand, &mut fades, TICK).elevator == 1.0
    };
    positions.iter().map(&mut engaged_at).collect()
}

#[test]
fn above_takes_hold_past_its_threshold_and_lets_go_behind_it() {
    let condition = Condition::LeverAbove { name: "spare 1".into(), threshold: 0.5 };
    let engaged = up_and_down(condition, &[0.4, 0.5, 0.501, 0.5, 0.485, 0.479, 0.49, 0.5]);
    assert_eq!(engaged, [false, false, true, true, true, false, false, false]);
}

#[test]
fn below_is_the_mirror_image() {
    let condition = Condition::LeverBelow { name: "spare 1".into(), threshold: 0.5 };
    let engaged = up_and_down(condition, &[0.6, 0.5, 0.499, 0.5, 0.515, 0.521, 0.51, 0.5]);
    assert_eq!(engaged, [false, false, true, true, true, false, false, false]);
}

/// A threshold closer to the stop than the hysteresis is wide could otherwise never let go.
#[test]
fn the_stop_always_lets_go() {
    for threshold in [0.0, 0.01] {
        let condition = Condition::LeverAbove { name: "spare 1".into(), threshold };
        assert_eq!(up_and_down(condition, &[0.0, 0.1, 0.005, 0.0]), [false, true, true, false]);
    }
    let condition = Condition::LeverBelow { name: "spare 1".into(), threshold: 1.0 };
    assert_eq!(up_and_down(condition, &[1.0, 0.9, 0.999, 1.0]), [false, true, true, false]);
}

#[test]
fn not_all_any_of_thresholds_keep_their_memory() {
    let above = |threshold| Condition::LeverAbove { name: "spare 1".into(), threshold };
    // "any" knows its answer from the first part while the lever is high; the second must follow
    let either = Condition::Any(vec![above(0.9), above(0.5)]);
    assert_eq!(up_and_down(either, &[1.0, 0.49, 0.47]), [true, true, false]);
    // "all" knows it from the first part while the lever is low
    let both = Condition::All(vec![Condition::Not(Box::new(above(0.9))), above(0.5)]);
    assert_eq!(up_and_down(both, &[1.0, 0.89, 0.87, 0.49, 0.47]), [false, false, true, true, false]);
}

#[test]
fn a_settled_start_has_no_fade_to_wait_for() {
    let program = program(&mix_of([switched(5.0, 5.0)]));
    let mut hand = Hand::released(&program);
    hand.set_switch(program.switch("down-line", "on").unwrap());
    let mut fades = Fades::settled(&program, &hand);
    assert_eq!(evaluate(&program, &hand, &mut fades, TICK).elevator, 1.0);
}

/// A saved state flies on as the original does.
#[test]
fn a_clone_of_the_fades_is_a_ghost() {
    let program = program(&mix_of([switched(0.3, 0.7)]));
    let mut hand = Hand::released(&program);
    let mut fades = Fades::settled(&program, &hand);
    hand.set_switch(program.switch("down-line", "on").unwrap());
    let _ = evaluate(&program, &hand, &mut fades, TICK);
    let mut ghost = fades.clone();
    for _ in 0..50 {
        let (one, other) =
            (evaluate(&program, &hand, &mut fades, TICK), evaluate(&program, &hand, &mut ghost, TICK));
        assert_eq!(one, other);
    }
    assert_eq!(fades, ghost);
}

/// Slow counts from the lead: a lever thrown at once takes the time through 100 %.
#[test]
fn slow_takes_its_time_through_the_whole_way() {
    let mut slow = blend("slow flap");
    slow.from = Lead::Lever("flap".into());
    slow.shape = Shape::TwoSided { left: 0.0, right: 0.5 };
    slow.slow = 2.0;
    let program = program(&mix_of([slow]));
    let mut hand = Hand::released(&program);
    let mut fades = Fades::settled(&program, &hand);
    hand.set_lever(program.lever("flap").unwrap(), 1.0).unwrap();
    let flown: Vec<f64> = (0..60).map(|_| evaluate(&program, &hand, &mut fades, TICK).elevator).collect();
    // 50 % at 100 % in 2 s: there after 1 s, the 50th tick
    assert!((flown[24] - 0.25).abs() < 1e-12, "{}", flown[24]);
    assert!(flown[48] < 0.5);
    assert_eq!(flown[49], 0.5);
    assert_eq!(flown[59], 0.5);
}
