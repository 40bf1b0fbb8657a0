//! Blends by themselves, chained, switched off and set to nothing.

use crate::arbitrary::{any_mix_and_blend, any_poses, bits, blend, fly, mix_of, program};
use measure::Stick;
use mix::{Fades, Follower, Hand, Lead, MixError, Program, Shape, Tuning, evaluate, steady};
use proptest::prelude::*;

/// A mix without one blend, as if it had never been written.
fn removed(mix: &mix::Mix, name: &str) -> mix::Mix {
    let mut mix = mix.clone();
    mix.blends.retain(|blend| blend.name != name);
    for blend in &mut mix.blends {
        blend.after.take_if(|after| after.as_str() == name);
    }
    mix
}

proptest! {
    /// Signed zeros too: a blend of 0 %, a blend switched off and no blend are one.
    #[test]
    fn nothing_of_a_blend_is_no_blend((mix, name) in any_mix_and_blend(), poses in any_poses()) {
        let all = program(&mix);
        let never = fly(&program(&removed(&mix, &name)), &poses);
        let zero = fly(&program(&mix.with_scaled(&name, 0.0).unwrap()), &poses);
        let minus_zero = fly(&program(&mix.with_scaled(&name, -0.0).unwrap()), &poses);
        let off = fly(&all.without(&[&name]).unwrap(), &poses);
        for tick in 0..poses.len() {
            prop_assert_eq!(bits(&never[tick]), bits(&zero[tick]));
            prop_assert_eq!(bits(&never[tick]), bits(&minus_zero[tick]));
            prop_assert_eq!(bits(&never[tick]), bits(&off[tick]));
            prop_assert_eq!(never[tick].limits, off[tick].limits);
        }
    }

    #[test]
    fn off_and_on_again_is_the_same_program((mix, name) in any_mix_and_blend()) {
        let all = program(&mix);
        let names: Vec<_> = mix.blends.iter().map(|blend| blend.name.as_str()).collect();
        prop_assert_eq!(&all.without(&[&name]).unwrap().with_only(&names).unwrap(), &all);
        let others: Vec<_> = names.into_iter().filter(|other| *other != name).collect();
        prop_assert_eq!(all.with_only(&others).unwrap(), all.without(&[&name]).unwrap());
    }

    /// A tuned blend is the plain one times its factor; at rest it is as written.
    #[test]
    fn a_lever_tunes_a_blend(least in -2.0..0.5f64, most in 1.0..3.0f64, at in 0.0..=1.0f64, rudder in -1.0..=1.0f64) {
        let mut tuned = blend("tuned");
        let tuning = Tuning { lever: "spare 1".into(), least, most };
        tuned.tuned = Some(tuning.clone());
        let (plain, program) = (program(&mix_of([blend("tuned")])), program(&mix_of([tuned])));
        let elevator = |program: &Program, lever: Option<f64>| {
            let mut hand = Hand::released(program);
            hand.set_stick(Stick::Rudder, rudder).unwrap();
            if let Some(position) = lever {
                hand.set_lever(program.lever("spare 1").unwrap(), position).unwrap();
            }
            steady(program, &hand).elevator
        };
        let written = elevator(&plain, None);
        let factor = least + (most - least) * at;
        prop_assert!((elevator(&program, Some(at)) - factor * written).abs() <= 1e-15);
        prop_assert_eq!(elevator(&program, Some(1.0)), most * written);
        prop_assert!((elevator(&program, None) - written).abs() <= 1e-15);
    }

    /// The follower rises with the lead where the curve does, through rates and sums.
    #[test]
    fn follows_its_points_up(
        shares in prop::collection::vec(-0.9..0.9f64, 3), a in -1.0..=1.0f64, b in -1.0..=1.0f64
    ) {
        let mut sorted = shares;
        sorted.sort_by(f64::total_cmp);
        let mut rising = blend("rising");
        rising.shape = Shape::Curve(vec![(-0.8, sorted[0]), (0.1, sorted[1]), (0.9, sorted[2])]);
        let program = program(&mix_of([rising]));
        let elevator = |rudder| {
            let mut hand = Hand::released(&program);
            hand.set_stick(Stick::Rudder, rudder).unwrap();
            steady(&program, &hand).elevator
        };
        prop_assert!(elevator(a.min(b)) <= elevator(a.max(b)) + 4.0 * f64::EPSILON);
    }
}

/// Rudder 40 % from a lever, then 50 % of the rudder to the elevator.
fn chained() -> [mix::Blend; 2] {
    let mut first = blend("z: lever to rudder");
    first.from = Lead::Lever("spare 1".into());
    first.to = Follower::Rudder;
    first.shape = Shape::TwoSided { left: 0.0, right: 0.4 };
    let mut second = blend("a: rudder to elevator");
    second.shape = Shape::TwoSided { left: 0.5, right: 0.5 };
    second.after = Some(first.name.clone());
    [first, second]
}

fn full_lever(program: &Program) -> Hand {
    let mut hand = Hand::released(program);
    hand.set_lever(program.lever("spare 1").unwrap(), 1.0).unwrap();
    hand
}

#[test]
fn after_adds_the_named_output_to_the_lead() {
    let program = program(&mix_of(chained()));
    let commands = steady(&program, &full_lever(&program));
    assert_eq!((commands.rudder, commands.elevator), (0.4, 0.2));
}

#[test]
fn without_after_blends_do_not_read_each_other() {
    let mut blends = chained();
    blends[1].after = None;
    let program = program(&mix_of(blends));
    let commands = steady(&program, &full_lever(&program));
    assert_eq!((commands.rudder, commands.elevator), (0.4, 0.0));
}

#[test]
fn a_lead_ends_where_its_travel_ends() {
    let program = program(&mix_of(chained()));
    let mut hand = full_lever(&program);
    hand.set_stick(Stick::Rudder, 0.9).unwrap();
    let commands = steady(&program, &hand);
    assert_eq!((commands.rudder, commands.elevator), (1.0, 0.5));
    assert!(commands.limits.contains(Follower::Rudder));
}

#[test]
fn a_blend_switched_off_is_out_of_the_chain() {
    let program = program(&mix_of(chained())).without(&["z: lever to rudder"]).unwrap();
    let commands = steady(&program, &full_lever(&program));
    assert_eq!((commands.rudder, commands.elevator), (0.0, 0.0));
}

#[test]
fn switching_off_an_unknown_blend_is_refused() {
    let program = program(&mix_of(chained()));
    let error = program.without(&["lever to rudder"]).unwrap_err();
    assert!(matches!(error, MixError::UnknownBlend { .. }));
    assert!(error.to_string().contains("\"z: lever to rudder\""), "{error}");
}

#[test]
fn switching_off_adds_to_what_is_off() {
    let mix = mix_of(["a", "b", "c"].map(blend));
    let program = program(&mix).without(&["a"]).unwrap().without(&["c"]).unwrap();
    assert_eq!(program.blends().collect::<Vec<_>>(), [("a", false), ("b", true), ("c", false)]);
}

/// In the middle of a flight, whatever the fades say: off is off at once.
#[test]
fn a_blend_switched_off_in_flight_is_gone_at_once() {
    let mut slow = blend("slow");
    (slow.fade, slow.slow) = (1.0, 1.0);
    let all = program(&mix_of([slow]));
    let mut hand = Hand::released(&all);
    hand.set_stick(Stick::Rudder, 1.0).unwrap();
    let mut fades = Fades::settled(&all, &hand);
    assert_eq!(evaluate(&all, &hand, &mut fades, 0.02).elevator, 0.1);
    let none = all.without(&["slow"]).unwrap();
    assert_eq!(evaluate(&none, &hand, &mut fades, 0.02).elevator, 0.0);
}

#[test]
fn a_tuning_lever_moves_nothing_else() {
    let with = |lever: &str, least, most| {
        let mut tuned = blend("tuned");
        tuned.tuned = Some(Tuning { lever: lever.into(), least, most });
        let mut other = blend("other");
        other.from = Lead::Lever("crow".into());
        Program::try_from(&mix_of([tuned, other])).map(|_| ()).map_err(|faults| faults[0].to_string())
    };
    assert_eq!(with("spare 1", 0.0, 2.0), Ok(()));
    for lever in ["crow", "flap", "door"] {
        let words = with(lever, 0.0, 2.0).unwrap_err();
        assert!(words.contains("which moves something itself"), "{words}");
    }
    for (least, most) in [(1.0, 1.0), (0.0, 11.0), (f64::NAN, 1.0)] {
        assert!(with("spare 1", least, most).unwrap_err().contains("two factors that differ"));
    }
    assert!(with(" ", 0.0, 2.0).unwrap_err().contains("a lever for tuning without a name"));
}
