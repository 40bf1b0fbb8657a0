//! Any mix that is without fault, any hand for it, and a small flight of hands.

use measure::Stick;
use mix::{
    Blend, Commands, Condition, Fades, Follower, Hand, Lead, Mix, Program, Rate, RateSet, Shape, Tuning,
    evaluate,
};
use proptest::prelude::*;
use proptest::sample::{Index, select};

const LEVERS: [&str; 4] = ["crow", "door", "flap", "spare 1"];
/// Only for tuning.
const SPARE: &str = "spare 2";
const SWITCHES: [&str; 2] = ["gear", "mood"];
const POSITIONS: [&str; 2] = ["down", "up"];
const RATES: [&str; 2] = ["aloft", "landing"];

/// A hand before it is bound to a program: everything by name.
#[derive(Debug, Clone)]
pub(crate) struct Pose {
    pub(crate) sticks: [f64; 4],
    pub(crate) levers: [f64; 4],
    pub(crate) spare: f64,
    pub(crate) switches: [&'static str; 2],
    pub(crate) rates: &'static str,
}

impl Pose {
    /// The hand for a program; levers, switches and rates it does not know stay out.
    pub(crate) fn hand(&self, program: &Program) -> Hand {
        let mut hand = Hand::released(program);
        for (stick, position) in Stick::ALL.into_iter().zip(self.sticks) {
            hand.set_stick(stick, position).unwrap();
        }
        for (name, position) in LEVERS.into_iter().zip(self.levers).chain([(SPARE, self.spare)]) {
            program.lever(name).map(|lever| hand.set_lever(lever, position).unwrap()).ok();
        }
        for (name, is) in SWITCHES.into_iter().zip(self.switches) {
            program.switch(name, is).map(|to| hand.set_switch(to)).ok();
        }
        program.rates(self.rates).map(|rates| hand.set_rates(rates)).ok();
        hand
    }
}

/// Flies poses, 20 ms each, from a settled start.
pub(crate) fn fly(program: &Program, poses: &[Pose]) -> Vec<Commands> {
    let mut fades = Fades::settled(program, &poses[0].hand(program));
    poses.iter().map(|pose| evaluate(program, &pose.hand(program), &mut fades, 0.02)).collect()
}

/// The bits of every command.
pub(crate) fn bits(commands: &Commands) -> [u64; 7] {
    Follower::ALL.map(|follower| commands.get(follower).to_bits())
}

/// Positions with the ends, the middle, both zeros, and values close to each other.
fn position(low: f64) -> impl Strategy<Value = f64> {
    let marks = vec![low, -0.0, 0.0, 0.01, 0.25, 0.5, 1.0];
    prop_oneof![low..=1.0, select(marks).prop_map(move |mark| mark.max(low))]
}

pub(crate) fn any_pose() -> impl Strategy<Value = Pose> {
    let sticks = [position(-1.0), position(-1.0), position(-1.0), position(0.0)];
    let levers = [position(0.0), position(0.0), position(0.0), position(0.0)];
    let switches = [select(&["down", "up", "else"][..]), select(&["down", "up", "else"][..])];
    let spare = position(0.0);
    (sticks, levers, spare, switches, select(&RATES[..]))
        .prop_map(|(sticks, levers, spare, switches, rates)| Pose { sticks, levers, spare, switches, rates })
}

pub(crate) fn any_poses() -> impl Strategy<Value = Vec<Pose>> {
    prop::collection::vec(any_pose(), 1..12)
}

fn any_rate() -> impl Strategy<Value = Rate> {
    prop_oneof![
        Just(Rate { throw: 1.0, expo: 0.0 }),
        (0.0..=1.0, -0.5..=1.0).prop_map(|(throw, expo)| Rate { throw, expo }),
    ]
}

fn any_rates() -> impl Strategy<Value = Vec<RateSet>> {
    let set = |name: &'static str| {
        [any_rate(), any_rate(), any_rate()].prop_map(move |sticks| RateSet { name: name.into(), sticks })
    };
    [set(RATES[0]), set(RATES[1])].prop_map(Vec::from)
}

fn any_lead() -> impl Strategy<Value = Lead> {
    prop_oneof![
        select(&Stick::ALL[..]).prop_map(Lead::Stick),
        select(&LEVERS[..]).prop_map(|name| Lead::Lever(name.into()))
    ]
}

pub(crate) fn any_share() -> impl Strategy<Value = f64> {
    prop_oneof![-1.5..1.5f64, select(vec![-1.0, -0.03, -0.0, 0.0, 0.02, 1.0])]
}

/// Any shape for a lead that starts at `low`.
fn any_shape(low: f64) -> impl Strategy<Value = Shape> {
    let curve = prop::collection::vec((0.01..1.0f64, any_share()), 2..6).prop_map(move |points| {
        let whole: f64 = points.iter().map(|point| point.0).sum();
        let mut lead = low;
        let scaled = points.into_iter().map(|(step, share)| {
            lead += 0.999 * step / whole * (1.0 - low);
            (lead, share)
        });
        Shape::Curve(scaled.collect())
    });
    prop_oneof![(any_share(), any_share()).prop_map(|(left, right)| Shape::TwoSided { left, right }), curve]
}

fn any_condition() -> impl Strategy<Value = Condition> {
    let lever = || select(&LEVERS[..]).prop_map(String::from);
    let lateral = || select(vec![Stick::Aileron, Stick::Elevator, Stick::Rudder]);
    let leaf = prop_oneof![
        Just(Condition::Always),
        select(&RATES[..]).prop_map(|name| Condition::Rates(name.into())),
        (select(&SWITCHES[..]), select(&POSITIONS[..]))
            .prop_map(|(name, is)| Condition::Switch { name: name.into(), is: is.into() }),
        (lever(), 0.0..0.99).prop_map(|(name, threshold)| Condition::LeverAbove { name, threshold }),
        (lever(), 0.01..1.0).prop_map(|(name, threshold)| Condition::LeverBelow { name, threshold }),
        (lateral(), -1.0..0.99).prop_map(|(stick, threshold)| Condition::StickAbove { stick, threshold }),
        (lateral(), -0.99..1.0).prop_map(|(stick, threshold)| Condition::StickBelow { stick, threshold }),
    ];
    leaf.prop_recursive(2, 6, 3, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 1..3).prop_map(Condition::All),
            prop::collection::vec(inner.clone(), 1..3).prop_map(Condition::Any),
            inner.prop_map(|condition| Condition::Not(Box::new(condition))),
        ]
    })
}

fn any_time() -> impl Strategy<Value = f64> {
    prop_oneof![Just(0.0), 0.01..0.5f64]
}

fn any_tuning() -> impl Strategy<Value = Option<Tuning>> {
    let tuning = |(least, most)| Tuning { lever: SPARE.into(), least, most };
    prop::option::of(prop_oneof![Just((0.0, 2.0)), (-2.0..0.9, 1.0..3.0)].prop_map(tuning))
}

fn any_blend() -> impl Strategy<Value = Blend> {
    (any_lead(), select(&Follower::ALL[..]), any_condition(), any_time(), any_time(), any_tuning())
        .prop_flat_map(|(from, to, engaged, fade, slow, tuned)| {
            any_shape(from.range().0).prop_map(move |shape| Blend {
                name: String::new(),
                from: from.clone(),
                to,
                shape,
                engaged: engaged.clone(),
                fade,
                slow,
                tuned: tuned.clone(),
                after: None,
            })
        })
}

/// Names in no particular order against the blends; `after` wherever an earlier blend moves the
/// lead and the draw says so.
fn named_and_chained(mut blends: Vec<Blend>, names: Vec<String>, draws: &[(bool, Index)]) -> Vec<Blend> {
    for (blend, name) in blends.iter_mut().zip(names) {
        blend.name = name;
    }
    for place in 1..blends.len() {
        let from = Some(blends[place].from.clone());
        let fitting: Vec<_> = blends[..place].iter().filter(|b| b.to.direct_lead() == from).collect();
        let (wanted, which) = draws[place];
        if wanted && !fitting.is_empty() {
            blends[place].after = Some(which.get(&fitting).name.clone());
        }
    }
    blends
}

pub(crate) fn any_mix() -> impl Strategy<Value = Mix> {
    let names: Vec<String> = ["a", "b", "c", "d", "e", "f", "g"].map(String::from).into();
    let blends = prop::collection::vec(any_blend(), 0..7);
    let draws = prop::collection::vec(any::<(bool, Index)>(), 7);
    (any_rates(), blends, Just(names).prop_shuffle(), draws).prop_map(|(rates, blends, names, draws)| Mix {
        name: "any".into(),
        rates,
        blends: named_and_chained(blends, names, &draws),
    })
}

/// A mix with at least one blend, and one of them.
pub(crate) fn any_mix_and_blend() -> impl Strategy<Value = (Mix, String)> {
    (any_mix().prop_filter("has a blend", |mix| !mix.blends.is_empty()), any::<Index>()).prop_map(
        |(mix, which)| {
            let name = which.get(&mix.blends).name.clone();
            (mix, name)
        },
    )
}

pub(crate) fn program(mix: &Mix) -> Program {
    Program::try_from(mix).unwrap()
}

/// A plain blend to start from: rudder to elevator, 10 % to either side, always.
pub(crate) fn blend(name: &str) -> Blend {
    Blend {
        name: name.into(),
        from: Lead::Stick(Stick::Rudder),
        to: Follower::Elevator,
        shape: Shape::TwoSided { left: 0.1, right: 0.1 },
        engaged: Condition::Always,
        fade: 0.0,
        slow: 0.0,
        tuned: None,
        after: None,
    }
}

/// A mix of these blends and no rates.
pub(crate) fn mix_of(blends: impl Into<Vec<Blend>>) -> Mix {
    Mix { name: "plain".into(), rates: Vec::new(), blends: blends.into() }
}
