//! The scripted pilot and the legs it flies: lines, endings, delay, rates, mirror and wind.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop")]

mod support;

use flight::{Air, Bench, Surroundings};
use manoeuvre::{
    Compared, Ending, Flown, Following, Leg, Order, Passed, Passing, Quantity, Rig, Scenario, Shortfall,
    Sides, Speed, Start, TICK, Target, Verdict, at, fly, fly_both, referee, shortfalls,
};
use measure::{DEG, Side, Stick};
use nalgebra::Vector3;
use support::{geometry, mix, plain_mix, rig, scenario};

fn flown(rig: &Rig, script: &Scenario, side: Side, following: Following) -> Flown {
    fly(rig, script, side, following, &mut Bench::new(&rig.aircraft)).unwrap_or_else(|e| panic!("{e}"))
}

fn judged(rig: &Rig, script: &Scenario, side: Side, following: Following) -> Verdict {
    let wind = Vector3::from(script.wind);
    referee(&flown(rig, script, side, following), script, side, &wind).unwrap()
}

fn leg(seconds: f64, sticks: [Order; 4]) -> Leg {
    Leg {
        name: format!("{seconds} s"),
        climb: 0.0,
        sticks,
        levers: Vec::new(),
        switches: Vec::new(),
        rates: None,
        ends: Ending::after(seconds),
        judged: None,
        judged_on: false,
    }
}

fn script(legs: Vec<Leg>) -> Scenario {
    Scenario {
        name: "made up".to_owned(),
        about: String::new(),
        airframes: Vec::new(),
        rates: None,
        start: Start::level(Speed::Trimmed(1.1), 100.0),
        wind: [0.0; 3],
        sides: Sides::Both,
        legs,
        compared: Compared::All,
        speeds: Vec::new(),
    }
}

const KEEP: [Order; 4] = [Order::Keep, Order::Keep, Order::Keep, Order::Keep];

fn held(bank: f64) -> [Order; 4] {
    let hold = |quantity, value| Order::Hold(quantity, Target::Value(value));
    [hold(Quantity::Bank, bank), Order::Hold(Quantity::Line, Target::Entry), hold_line(), speed()]
}

fn hold_line() -> Order {
    Order::Hold(Quantity::Line, Target::Entry)
}

fn speed() -> Order {
    Order::Hold(Quantity::Airspeed, Target::Entry)
}

/// The precise hand keeps a line with the wings level, at any bank and on its back.
#[test]
fn lines_are_held_at_any_bank() {
    for name in ["larkspur", "thistle", "sorrel"] {
        let rig = rig(&geometry(name), &plain_mix());
        for bank in [0.0, -20.0 * DEG, 180.0 * DEG] {
            let mut script = script(vec![leg(6.0, held(bank))]);
            script.start.speed = Speed::Trimmed(1.0);
            let flown = flown(&rig, &script, Side::Right, Following::LEFT_ALONE);
            assert!(flown.halt.is_none());
            let path = flown.samples.last().unwrap().state.body.earth_velocity().normalize();
            let off = libm::acos(path.x) / DEG;
            assert!(
                off < 2.5,
                "{name} at {:.0} deg: {off:.2} deg off the line, {:?}",
                bank / DEG,
                flown.legs[0].held
            );
            assert!(shortfalls(&flown, &script).is_empty(), "{:?}", shortfalls(&flown, &script));
        }
    }
}

/// A leg of four seconds and two of two seconds are the same flight.
#[test]
fn splitting_a_leg_changes_nothing() {
    let rig = rig(&geometry("foxglove"), &mix("foxglove"));
    let whole = script(vec![leg(0.5, KEEP), leg(4.0, held(-60.0 * DEG))]);
    let split = script(vec![leg(0.5, KEEP), leg(2.0, held(-60.0 * DEG)), leg(2.0, held(-60.0 * DEG))]);
    let [a, b] = [whole, split].map(|s| flown(&rig, &s, Side::Right, Following::LEFT_ALONE));
    assert_eq!(a.samples, b.samples);
    assert_eq!(b.legs.len(), 3);
}

/// Legs end when a quantity passes its value, between ticks: what was passed is met there.
#[test]
fn legs_end_between_ticks() {
    let rig = rig(&geometry("larkspur"), &plain_mix());
    let rolling = || [Order::Fixed(0.37), Order::Keep, Order::Keep, Order::Keep];
    for (of, value) in [(Passed::Bank, 70.0 * DEG), (Passed::Rolled, 400.0 * DEG)] {
        let mut rolls = leg(3.0, rolling());
        rolls.ends.when.push(Passing { of, value, upwards: true });
        for side in [Side::Left, Side::Right] {
            let script = script(vec![leg(0.5, KEEP), rolls.clone(), leg(0.5, KEEP)]);
            let flown = flown(&rig, &script, side, Following::LEFT_ALONE);
            let ends = flown.legs[1].ends;
            assert!((ends / TICK - (ends / TICK).round()).abs() > 1e-3, "between ticks: {ends}");
            let roll = |time: f64| {
                let state = at(&flown.samples, time).unwrap().state;
                side.sign() * flight::Euler::from_attitude(&state.body.attitude).roll
            };
            let from = if of == Passed::Bank { 0.0 } else { roll(flown.legs[1].starts) };
            let bank = roll(ends) - from;
            let wanted = if of == Passed::Bank { 70.0 } else { 40.0 };
            assert!((bank / DEG - wanted).abs() < 1e-6, "{side:?} {of:?}: {}", bank / DEG);
            assert_eq!(flown.legs[2].starts, ends);
            assert!((flown.legs[2].ends - ends - 0.5).abs() < 1e-9);
        }
    }
}

/// Between ticks the state is that of a flight with finer steps, to the fourth order: a tick of
/// twice the length would be wrong by about sixteen times as much.
#[test]
fn between_ticks_is_cubic() {
    let rig = rig(&geometry("larkspur"), &plain_mix());
    let script = script(vec![leg(0.5, KEEP), leg(2.0, held(-60.0 * DEG))]);
    let flown = flown(&rig, &script, Side::Right, Following::LEFT_ALONE);
    // from every other sample, with their times squeezed to look one tick apart, rates stretched
    let worst = |stride: usize| {
        let mut coarse: Vec<_> = flown.samples.iter().step_by(stride).copied().collect();
        for (i, sample) in coarse.iter_mut().enumerate() {
            sample.time = i as f64 * TICK;
            sample.state.body.velocity *= stride as f64;
            sample.state.body.rate *= stride as f64;
        }
        let off = |i: usize| {
            let between = at(&coarse, (i as f64 + 0.5) * TICK).unwrap().state.body.position;
            let truth = &flown.samples[i * stride + stride / 2].state.body.position;
            (between - truth).norm()
        };
        (40 / stride..100 / stride).map(off).fold(0.0, f64::max)
    };
    let (fine, coarse) = (worst(2), worst(4));
    assert!(fine < 2e-4 && coarse > 5.0 * fine, "{fine:e} {coarse:e}");
}

/// Nothing that the pilot sees reaches a stick before a quarter of a second has gone by.
#[test]
fn the_hand_is_late_by_a_quarter_of_a_second() {
    let rig = rig(&geometry("larkspur"), &plain_mix());
    let corrected =
        [Order::Corrected(Quantity::Bank, Target::Value(0.0)), Order::Keep, Order::Keep, Order::Keep];
    let mut kicked = corrected.clone();
    kicked[Stick::Rudder as usize] = Order::Fixed(0.8);
    let calm = script(vec![leg(1.0, corrected.clone()), leg(1.0, corrected.clone())]);
    let calm = flown(&rig, &calm, Side::Right, Following::LEFT_ALONE);
    let kicked = script(vec![leg(1.0, corrected), leg(1.0, kicked)]);
    let flown = flown(&rig, &kicked, Side::Right, Following::LEFT_ALONE);
    let first = flown.legs[1].first;
    let differs = |i: &usize| flown.samples[*i].sticks[0] != calm.samples[*i].sticks[0];
    let moved = (first..flown.samples.len()).find(differs).unwrap();
    // between ticks it sees by interpolation, which knows the next one
    let late = (moved - first) as f64 * TICK;
    assert!((0.25..0.31).contains(&late), "first answer after {late} s");
    let stick: Vec<f64> = flown.samples.iter().map(|s| s.sticks[2]).collect();
    let most = stick.windows(2).map(|w| (w[1] - w[0]).abs()).fold(0.0, f64::max);
    assert!(most > 0.1 && most <= TICK / 0.15 + 1e-12, "a stroke takes 0.15 s: {most} in a tick");
}

/// On a steady line the late hand holds the mean stick of the precise one within half a percent.
#[test]
fn the_late_hand_holds_the_same_stick() {
    for name in ["larkspur", "foxglove", "thistle"] {
        let rig = rig(&geometry(name), &plain_mix());
        let mut pass = scenario("inverted");
        pass.legs[0].ends = Ending::after(16.0);
        let late = judged(&rig, &pass, Side::Right, Following::CORRECTED);
        for order in &mut pass.legs[0].sticks {
            if let Order::LeftAlone(quantity, target) = order {
                *order = Order::Hold(*quantity, *target);
            }
        }
        let precise = judged(&rig, &pass, Side::Right, Following::CORRECTED);
        for (a, b) in late.held.iter().zip(precise.held).take(3) {
            assert!((a - b).abs() < 0.005, "{name}: {:?} {:?}", late.held, precise.held);
        }
        // what is overlooked, a degree, over the whole way
        let overlooked = libm::tan(DEG) * late.end.along;
        assert!(late.worst.canopy.abs() < overlooked, "{name}: {}", late.worst.canopy);
    }
}

/// Each follower alone: the others stay centred.
#[test]
fn followers_are_corrected_one_by_one() {
    let rig = rig(&geometry("foxglove"), &plain_mix());
    let down = scenario("down-line");
    let moved = |following| judged(&rig, &down, Side::Right, following).work.map(|w| w > 0.02);
    let settled = moved(Following::LEFT_ALONE);
    let late = |stick: Stick| {
        let flown = flown(&rig, &down, Side::Right, Following::only(stick));
        [0, 1, 2].map(|i| flown.samples.last().unwrap().sticks[i] != 0.0)
    };
    assert_eq!(late(Stick::Elevator), [false, true, false]);
    assert_eq!(late(Stick::Rudder), [false, false, true]);
    assert_eq!(late(Stick::Aileron), [true, false, false]);
    assert!(!settled[3]);
}

/// Rates and expo are in the fingers: the surfaces move as without them.
#[test]
fn rates_and_expo_change_sticks_but_not_surfaces() {
    let mut soft = plain_mix();
    let rate = mix::Rate { throw: 0.9, expo: 0.4 };
    soft.rates.push(mix::RateSet { name: "soft".to_owned(), sticks: [rate; 3] });
    let script = script(vec![leg(0.5, KEEP), leg(3.0, held(-60.0 * DEG))]);
    let [plain, soft] = [plain_mix(), soft]
        .map(|mix| flown(&rig(&geometry("larkspur"), &mix), &script, Side::Right, Following::LEFT_ALONE));
    let pairs = || plain.samples.iter().zip(&soft.samples);
    // the hand is not quicker: while it hurries, the surfaces differ
    let most = |of: &dyn Fn(&manoeuvre::Sample, &manoeuvre::Sample) -> f64| {
        pairs().skip(125).map(|(a, b)| of(a, b)).fold(0.0, f64::max)
    };
    let surfaces =
        most(&|a, b| a.deflections.iter().zip(b.deflections).map(|(x, y)| (x - y).abs()).fold(0.0, f64::max));
    let sticks = most(&|a, b| (a.sticks[0] - b.sticks[0]).abs().max((a.sticks[2] - b.sticks[2]).abs()));
    assert!(surfaces < 0.1 * DEG, "{} deg", surfaces / DEG);
    assert!(sticks > 0.02, "{sticks}");
    let end = |f: &Flown| f.samples.last().unwrap().state.body.position;
    assert!((end(&plain) - end(&soft)).norm() < 0.3, "{}", (end(&plain) - end(&soft)).norm());
}

/// Without anything that turns to one side, left and right are mirror images to rounding.
#[test]
fn both_sides_are_mirror_images() {
    let mut g = geometry("teasel");
    // a fan has neither swirl nor jet drift; its axis lies in the plane of symmetry
    g.propulsor.rotation = 0.0;
    let rig = rig(&g, &mix("teasel"));
    for name in ["knife-edge-pass", "half-rudder", "slow-roll", "four-point-roll", "flat-turn", "roll-in"] {
        let script = scenario(name);
        let [left, right] =
            [Side::Left, Side::Right].map(|side| judged(&rig, &script, side, Following::CORRECTED));
        for (what, a, b) in [
            ("canopy", left.headline.canopy, right.headline.canopy),
            ("pitch", left.headline.pitch, right.headline.pitch),
            ("roll", -left.headline.roll, right.headline.roll),
            ("right", -left.headline.right, right.headline.right),
            ("height", left.height, right.height),
            ("elevator", left.held[1], right.held[1]),
            ("rudder", -left.held[2], right.held[2]),
        ] {
            assert!((a - b).abs() < 1e-6 * (1.0 + a.abs()), "{name}: {what} {a} {b}");
        }
    }
}

/// The verdict does not know the wind, whichever way it blows.
#[test]
fn the_wind_is_taken_out() {
    for (name, airframe) in
        [("knife-edge-pass", "larkspur"), ("down-line", "foxglove"), ("up-line", "larkspur")]
    {
        let calm = scenario(name);
        let still =
            judged(&rig(&geometry(airframe), &plain_mix()), &calm, Side::Right, Following::LEFT_ALONE);
        for wind in [[4.0, 0.0, 0.0], [-4.0, 0.0, 0.0], [0.0, 4.0, 0.0], [0.0, -4.0, 0.0]] {
            let around =
                Surroundings { air: Air::steady(Vector3::from(wind)).unwrap(), ..Surroundings::CALM };
            let rig =
                Rig::new(&geometry(airframe), &plain_mix(), &aero::Coefficients::default(), around).unwrap();
            let blown = judged(&rig, &calm.in_wind(wind), Side::Right, Following::LEFT_ALONE);
            for (a, b) in [
                (still.headline.canopy, blown.headline.canopy),
                (still.headline.right, blown.headline.right),
                (still.headline.roll, blown.headline.roll),
                (still.worst.canopy, blown.worst.canopy),
                (still.height, blown.height),
                (still.speeds.end, blown.speeds.end),
            ] {
                assert!((a - b).abs() < 1e-5 * (1.0 + a.abs()), "{name} {wind:?}: {a} {b}");
            }
        }
    }
}

/// Small steps of a percentage make small, even steps of the result: no jump where a leg's end
/// moves over a tick.
#[test]
fn results_are_smooth_in_the_percentages() {
    let script = scenario("roll-in");
    let plain = rig(&geometry("bramble"), &plain_mix());
    let numbers = |share: f64| {
        let mut mix = plain_mix();
        mix.blends.push(mix::Blend {
            name: "turn".to_owned(),
            from: mix::Lead::Stick(Stick::Aileron),
            to: mix::Follower::Rudder,
            shape: mix::Shape::TwoSided { left: -share, right: share },
            engaged: mix::Condition::Always,
            fade: 0.0,
            slow: 0.0,
            tuned: None,
            after: None,
        });
        let rig = plain.with_program(mix::Program::try_from(&mix).unwrap());
        let v = judged(&rig, &script, Side::Right, Following::LEFT_ALONE);
        [v.seconds, v.end.roll, v.end.right]
    };
    // largest change of the step: what is smooth or bends makes less of it with smaller steps, a jump as much
    let bends = |step: f64, count: u32| {
        let values: Vec<[f64; 3]> = (0..count).map(|i| numbers(0.10 + step * f64::from(i))).collect();
        [0, 1, 2]
            .map(|k| values.windows(3).map(|w| (w[2][k] - 2.0 * w[1][k] + w[0][k]).abs()).fold(0.0, f64::max))
    };
    let (coarse, fine) = (bends(0.004, 20), bends(0.001, 80));
    for (k, (coarse, fine)) in coarse.into_iter().zip(fine).enumerate() {
        // a bank that is held between ticks may differ by 0.006 deg (docs/decisions/0007)
        let smooth = fine < 0.5 * coarse || (k == 1 && fine < 1e-4);
        assert!(smooth && coarse > 0.0, "{k}: {coarse:e} {fine:e}");
    }
}

/// What an airframe cannot do is told with its reason.
#[test]
fn what_cannot_be_held_is_told() {
    let pass = scenario("knife-edge-pass");
    let rig_of = |name: &str| rig(&geometry(name), &mix(name));
    let clover = rig_of("clover");
    let both = fly_both(&clover, &pass, Side::Right, &mut Bench::new(&clover.aircraft)).unwrap();
    let missed = shortfalls(&both[1], &pass);
    let rudder =
        |s: &Shortfall| matches!(s, Shortfall::BeyondStick { held, .. } if held.stick == Stick::Rudder);
    assert!(missed.iter().any(rudder), "{missed:?}");
    assert!(missed[0].to_string().starts_with("settle: beyond rudder, at its stop for"), "{}", missed[0]);
    let larkspur = rig_of("larkspur");
    let both = fly_both(&larkspur, &pass, Side::Right, &mut Bench::new(&larkspur.aircraft)).unwrap();
    assert!(!shortfalls(&both[1], &pass).iter().any(rudder));
}
