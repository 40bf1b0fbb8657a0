//! A mix that cannot be flown is refused, and the message says why.

use crate::arbitrary::{blend, mix_of};
use measure::Stick;
use mix::{Blend, Condition, Follower, Lead, Mix, MixError, Program, Rate, RateSet, Shape};
use proptest::prelude::*;

fn faults(mix: &Mix) -> Vec<MixError> {
    Program::try_from(mix).unwrap_err()
}

/// The only fault of a mix of one blend, in words.
fn message(change: impl FnOnce(&mut Blend)) -> String {
    let mut blend = blend("pitch");
    change(&mut blend);
    let faults = faults(&mix_of([blend]));
    assert_eq!(faults.len(), 1, "{faults:?}");
    assert_eq!(faults[0].blend(), Some(0));
    faults[0].to_string()
}

fn engaged(condition: Condition) -> String {
    message(|blend| blend.engaged = condition)
}

fn rates(name: &str, throw: f64, expo: f64) -> RateSet {
    let full = Rate { throw: 1.0, expo: 0.0 };
    RateSet { name: name.into(), sticks: [full, full, Rate { throw, expo }] }
}

/// Each blend leads from the rudder, moves the rudder and comes after the one it names.
fn chain(links: &[(&str, Option<&str>)]) -> Mix {
    let blends: Vec<Blend> = links
        .iter()
        .map(|(name, after)| Blend { to: Follower::Rudder, after: after.map(String::from), ..blend(name) })
        .collect();
    mix_of(blends)
}

#[test]
fn a_loop_names_its_members_in_order() {
    let mix = chain(&[("c", Some("b")), ("d", Some("a")), ("a", Some("c")), ("b", Some("a")), ("e", None)]);
    let faults = faults(&mix);
    assert_eq!(faults.len(), 1, "{faults:?}");
    assert_eq!(
        faults[0].to_string(),
        "blend.a.after: found \"a\" after \"c\" after \"b\" after \"a\"; allowed: chains that end; \
         take `after` out of one of these"
    );
    let MixError::Loop { members } = &faults[0] else { panic!("{faults:?}") };
    assert_eq!(members.iter().map(|blend| blend.index).collect::<Vec<_>>(), [2, 0, 3]);
}

#[test]
fn a_blend_after_itself_is_a_loop() {
    let faults = faults(&chain(&[("a", Some("a"))]));
    assert!(faults[0].to_string().contains("\"a\" after \"a\";"), "{faults:?}");
}

proptest! {
    /// Whatever `after`s are drawn: refused exactly if following them goes round, and then every
    /// loop is told.
    #[test]
    fn refused_exactly_if_something_goes_round(after in prop::collection::vec(prop::option::of(0..6usize), 6)) {
        let names = ["a", "b", "c", "d", "e", "f"];
        let links: Vec<_> = names.into_iter().zip(after.iter().map(|to| to.map(|to| names[to]))).collect();
        let on_a_loop = |start: usize| {
            let mut place = after[start];
            for _ in 0..6 {
                match place {
                    Some(at) if at == start => return true,
                    Some(at) => place = after[at],
                    None => return false,
                }
            }
            false
        };
        let expected: Vec<usize> = (0..6).filter(|&start| on_a_loop(start)).collect();
        let mut told = Vec::new();
        for fault in Program::try_from(&chain(&links)).err().unwrap_or_default() {
            let MixError::Loop { members } = fault else { panic!("{fault}") };
            told.extend(members.iter().map(|blend| blend.index));
        }
        told.sort_unstable();
        prop_assert_eq!(told, expected);
    }
}

#[test]
fn names_are_needed_once_each() {
    let mut mix = mix_of([blend("a"), blend("b"), blend("a"), blend(" ")]);
    mix.rates = vec![rates("low", 1.0, 0.0), rates("low", 1.0, 0.0)];
    let faults: Vec<String> = faults(&mix).iter().map(MixError::to_string).collect();
    assert_eq!(faults.len(), 3, "{faults:?}");
    assert!(faults[0].contains("two sets of rates called \"low\""), "{faults:?}");
    assert!(faults[1].contains("a blend without a name"), "{faults:?}");
    assert!(faults[2].contains("two blends called \"a\""), "{faults:?}");
}

#[test]
fn the_second_of_two_names_is_at_fault() {
    let faults = faults(&mix_of([blend("b"), blend("a"), blend("b")]));
    assert_eq!((faults.len(), faults[0].blend()), (1, Some(2)));
}

#[test]
fn rates_stay_in_range() {
    for (throw, expo) in
        [(1.01, 0.0), (-0.1, 0.0), (f64::NAN, 0.0), (1.0, -0.51), (1.0, 1.01), (1.0, f64::INFINITY)]
    {
        let mut mix = mix_of([]);
        mix.rates = vec![rates("aloft", throw, expo)];
        let faults = faults(&mix);
        assert_eq!(faults.len(), 1);
        assert!(faults[0].to_string().starts_with("rates.aloft.rudder."), "{}", faults[0]);
    }
    let mut mix = mix_of([]);
    mix.rates = vec![rates("aloft", 1.0, -0.5), rates("none", 0.0, 1.0)];
    assert!(Program::try_from(&mix).is_ok());
}

#[test]
fn shares_are_numbers_of_a_sensible_size() {
    for share in [f64::NAN, f64::NEG_INFINITY, 10.5] {
        let text = message(|blend| blend.shape = Shape::TwoSided { left: 0.0, right: share });
        assert!(text.contains("allowed: -1000 % to 1000 %"), "{text}");
        message(|blend| blend.shape = Shape::Curve(vec![(0.0, 0.0), (1.0, share)]));
    }
}

#[test]
fn curves_have_points_that_rise_within_the_lead() {
    let curve = |points: &[(f64, f64)]| message(|blend| blend.shape = Shape::Curve(points.into()));
    assert!(curve(&[]).contains("a curve without points"));
    assert!(curve(&[(0.0, 0.1)]).contains("a curve of one point"));
    let text = curve(&[(0.0, 0.1), (0.5, 0.2), (0.5, 0.3)]);
    assert!(text.contains("point 3 at lead 50 % after one at 50 %"), "{text}");
    let text = curve(&[(0.0, 0.1), (1.2, 0.2)]);
    assert!(text.contains("point 2 at lead 120 %; allowed: leads from -100 % to 100 %"), "{text}");
    assert!(curve(&[(0.0, 0.1), (f64::NAN, 0.2)]).contains("NaN"));
}

/// A pilot who thinks of idle as -100 % hears about it.
#[test]
fn the_throttle_starts_at_idle() {
    let text = message(|blend| {
        blend.from = Lead::Stick(Stick::Throttle);
        blend.shape = Shape::Curve(vec![(-1.0, -0.03), (1.0, 0.0)]);
    });
    assert!(text.contains("throttle and levers start at 0 %"), "{text}");
}

#[test]
fn times_are_neither_negative_nor_endless() {
    assert!(message(|blend| blend.fade = -0.1).starts_with("blend.pitch.fade: found -0.1 s"));
    assert!(message(|blend| blend.slow = f64::NAN).starts_with("blend.pitch.slow: found NaN s"));
    assert!(message(|blend| blend.slow = f64::INFINITY).contains("allowed: 0 s or longer"));
}

#[test]
fn conditions_name_what_is_there() {
    let text = engaged(Condition::Rates("aloft".into()));
    assert!(text.contains("allowed: no rates: this mix has none"), "{text}");
    let mut unknown = blend("pitch");
    unknown.engaged = Condition::Not(Box::new(Condition::Rates("aloof".into())));
    let mut mix = mix_of([unknown]);
    mix.rates = vec![rates("aloft", 1.0, 0.0), rates("landing", 1.0, 0.0)];
    let text = faults(&mix)[0].to_string();
    assert!(text.contains("found rates \"aloof\"; allowed: \"aloft\", \"landing\""), "{text}");
    engaged(Condition::Switch { name: String::new(), is: "on".into() });
    engaged(Condition::Switch { name: "gear".into(), is: " ".into() });
}

#[test]
fn thresholds_can_be_passed_both_ways() {
    let lever = "spare 1".to_string();
    let text = engaged(Condition::LeverAbove { name: lever.clone(), threshold: 1.0 });
    assert!(text.contains("spare 1 above 100 %; allowed: from 0 % to less than 100 %"), "{text}");
    let text = engaged(Condition::LeverBelow { name: lever, threshold: 0.0 });
    assert!(text.contains("allowed: from more than 0 % to 100 %"), "{text}");
    engaged(Condition::StickAbove { stick: Stick::Throttle, threshold: -0.1 });
    engaged(Condition::StickBelow { stick: Stick::Rudder, threshold: f64::NAN });
    assert!(engaged(Condition::All(Vec::new())).contains("`all` with no conditions"));
    assert!(engaged(Condition::Any(Vec::new())).contains("`any` with no conditions"));
}

#[test]
fn after_names_a_blend_that_moves_the_lead() {
    let text = message(|blend| blend.after = Some("flap".into()));
    assert!(text.contains("allowed: nothing: there is no other blend"), "{text}");
    let mut second = blend("second");
    second.after = Some("first".into());
    let text = faults(&mix_of([blend("first"), second]))[0].to_string();
    assert!(
        text.contains(
            "\"first\", which moves the elevator; allowed: a blend that moves this one's lead, the rudder"
        ),
        "{text}"
    );
}

#[test]
fn everything_wrong_is_told_at_once() {
    let mut first = blend("first");
    (first.fade, first.after) = (-1.0, Some("nowhere".into()));
    let mut second = blend("second");
    second.engaged = Condition::All(vec![Condition::Rates("x".into()), Condition::Rates("y".into())]);
    assert_eq!(faults(&mix_of([first, second])).len(), 4);
}
