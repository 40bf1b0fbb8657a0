//! Every manoeuvre on every airframe of the club: what can be flown is, what cannot says why.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop")]

mod support;

use aero::Coefficients;
use flight::{Air, Bench, Surroundings};
use manoeuvre::{
    Flown, FlyError, Following, Rig, RigError, Scenario, Shortfall, Sides, Verdict, fly, fly_both, referee,
    shortfalls,
};
use measure::{DEG, Side};
use nalgebra::Vector3;
use study::find::{Pose, Stand};
use support::{DEMOS, geometry, mix, plain_mix, rig, scenario};

const MANOEUVRES: [&str; 16] = [
    "half-rudder",
    "knife-edge-pass",
    "slow-roll",
    "four-point-roll",
    "flat-turn",
    "full-throttle-run",
    "go-around",
    "up-line",
    "down-line",
    "inverted",
    "inverted-45",
    "flap-drop",
    "roll-in",
    "push-tumble",
    "steep-descent",
    "hover",
];

/// Entered only with more than the model has: manoeuvre, airframe, and what is too little.
const REFUSED: [(&str, &str, &str); 5] = [
    ("knife-edge-pass", "thistle", "throttle"),
    ("hover", "foxglove", "throttle"),
    ("hover", "bramble", "throttle"),
    ("hover", "clover", "throttle"),
    // its fan blows over no tail
    ("hover", "teasel", "elevator"),
];

/// Where a steady line is asked for that every airframe can keep.
const KEPT: [&str; 2] = ["down-line", "inverted"];

#[test]
fn rudder_is_flown_or_refused_with_its_reason() {
    all_flown(&MANOEUVRES[..2]);
}

#[test]
fn rolls_are_flown_or_refused_with_their_reason() {
    all_flown(&MANOEUVRES[2..4]);
}

#[test]
fn turns_and_power_are_flown_or_refused_with_their_reason() {
    all_flown(&MANOEUVRES[4..8]);
}

#[test]
fn lines_and_flaps_are_flown_or_refused_with_their_reason() {
    all_flown(&MANOEUVRES[8..12]);
}

#[test]
fn what_is_wild_is_flown_or_refused_with_its_reason() {
    all_flown(&MANOEUVRES[12..]);
}

/// Every airframe at every speed.
fn all_flown(manoeuvres: &[&str]) {
    for airframe in DEMOS {
        let rig = rig(&geometry(airframe), &mix(airframe));
        for name in manoeuvres {
            let script = scenario(name);
            for (i, script) in at_every_speed(&script).iter().enumerate() {
                let flown = left_alone_and_corrected(&rig, script, i > 0);
                let known = REFUSED.iter().find(|(m, a, _)| m == name && *a == airframe);
                match (flown, known) {
                    (Err(fault), Some((_, _, what))) if i == 0 => {
                        assert!(fault.to_string().contains(what), "{name} {airframe}: {fault}");
                    }
                    (Err(fault), None) if i == 0 => panic!("{name} {airframe}: {fault}"),
                    // slower or faster than it can fly
                    (Err(fault), _) => assert!(is_a_reason(&fault), "{name} {airframe}: {fault}"),
                    (Ok(flown), _) => {
                        assert!(i > 0 || known.is_none(), "{name} {airframe}");
                        flown.iter().for_each(|flown| sound(name, airframe, flown, script, i > 0));
                        if i == 0 && KEPT.contains(name) {
                            assert_eq!(shortfalls(&flown[1], script), [], "{name} {airframe}");
                        }
                    }
                }
            }
        }
    }
}

/// At another speed than the one it is written for left alone only.
fn left_alone_and_corrected(
    rig: &Rig,
    script: &Scenario,
    at_another_speed: bool,
) -> Result<Vec<Flown>, FlyError> {
    let mut bench = Bench::new(&rig.aircraft);
    if at_another_speed {
        fly(rig, script, Side::Right, Following::LEFT_ALONE, &mut bench).map(|flown| vec![flown])
    } else {
        fly_both(rig, script, Side::Right, &mut bench).map(Vec::from)
    }
}

/// As it is written, then at the speeds that it names.
fn at_every_speed(script: &Scenario) -> Vec<Scenario> {
    let named = script.speeds.iter().filter(|named| named.speed != script.start.speed);
    core::iter::once(script.clone()).chain(named.map(|named| script.at_speed(named.speed))).collect()
}

/// What a pilot can do something about.
const fn is_a_reason(fault: &FlyError) -> bool {
    matches!(fault, FlyError::NoEntry { .. } | FlyError::Entry(RigError::BeyondTravel { .. }))
}

/// Flown to its end, judged, in numbers, and above the field at the speed it is written for: start
/// heights are for that.
fn sound(name: &str, airframe: &str, flown: &Flown, script: &Scenario, at_another_speed: bool) {
    let verdict = referee(flown, script, Side::Right, &Vector3::zeros());
    let verdict = verdict.unwrap_or_else(|| panic!("{name} {airframe}: {:?}", flown.halt));
    let high_enough = verdict.lowest > 0.0 || at_another_speed;
    assert!(verdict.complete && high_enough, "{name} {airframe}: {verdict:?}");
    assert!(numbers(&verdict).iter().all(|x| x.is_finite()), "{name} {airframe}: {verdict:?}");
}

/// What is told of a flight.
fn numbers(v: &Verdict) -> [f64; 12] {
    let (d, w) = (v.headline, v.worst);
    [
        d.pitch,
        d.canopy,
        d.right,
        d.roll,
        w.canopy,
        w.right,
        v.height,
        v.speeds.end,
        v.seconds,
        v.marks_exact(),
        v.held[0],
        v.held[1],
    ]
}

/// One airframe that can fly them through the whole grid: every speed, both sides, calm air and wind
/// from four directions. The wind is taken out of what is judged.
#[test]
fn no_wind_changes_what_is_judged_of_rudder_and_rolls() {
    in_every_wind(&MANOEUVRES[..5]);
}

#[test]
fn no_wind_changes_what_is_judged_of_power_and_lines() {
    in_every_wind(&MANOEUVRES[5..11]);
}

#[test]
fn no_wind_changes_what_is_judged_of_flaps_and_the_wild() {
    in_every_wind(&MANOEUVRES[11..]);
}

fn in_every_wind(manoeuvres: &[&str]) {
    const WINDS: [[f64; 3]; 4] = [[5.0, 0.0, 0.0], [-5.0, 0.0, 0.0], [0.0, 5.0, 0.0], [0.0, -5.0, 0.0]];
    let rigs = |airframe: &str| {
        let calm = rig(&geometry(airframe), &mix(airframe));
        let blown = WINDS.map(|wind| {
            let mut rig = calm.clone();
            rig.around = blown(wind);
            rig
        });
        (calm, blown)
    };
    let (larkspur, foxglove) = (rigs("larkspur"), rigs("foxglove"));
    for name in manoeuvres {
        let script = scenario(name);
        let (calm, blown) = if *name == "flap-drop" { &foxglove } else { &larkspur };
        for script in at_every_speed(&script) {
            for &side in script.flown_sides() {
                let judge = |rig: &Rig, script: &Scenario| {
                    let mut bench = Bench::new(&rig.aircraft);
                    let flown = fly(rig, script, side, Following::CORRECTED, &mut bench)?;
                    Ok::<_, FlyError>(referee(&flown, script, side, &Vector3::from(script.wind)).unwrap())
                };
                let still = judge(calm, &script).unwrap_or_else(|e| panic!("{name}: {e}"));
                for (rig, wind) in blown.iter().zip(WINDS) {
                    let moved = judge(rig, &script.in_wind(wind)).unwrap_or_else(|e| panic!("{name}: {e}"));
                    for (a, b) in numbers(&still).into_iter().zip(numbers(&moved)) {
                        assert!((a - b).abs() < 1e-4 * (1.0 + a.abs()), "{name} {side:?} {wind:?}: {a} {b}");
                    }
                    assert_eq!(still.settled(), moved.settled(), "{name}");
                }
            }
        }
    }
}

fn blown(wind: [f64; 3]) -> Surroundings {
    Surroundings { air: Air::steady(Vector3::from(wind)).unwrap(), ..Surroundings::CALM }
}

/// Without what turns to one side, left is the mirror image of right, and what has no side stays in
/// its plane.
#[test]
fn without_its_propeller_s_turning_left_is_right_in_a_mirror() {
    let mut g = geometry("larkspur");
    g.propulsor.rotation = 0.0;
    g.propulsor.axis = Vector3::new(g.propulsor.axis.x, 0.0, g.propulsor.axis.z).normalize();
    let rig = rig(&g, &plain_mix());
    let judge = |script: &Scenario, side: Side| {
        let flown = fly(&rig, script, side, Following::LEFT_ALONE, &mut Bench::new(&rig.aircraft));
        referee(&flown.unwrap_or_else(|e| panic!("{e}")), script, side, &Vector3::zeros()).unwrap()
    };
    for name in MANOEUVRES.iter().filter(|name| **name != "flap-drop") {
        for script in at_every_speed(&scenario(name)) {
            let [left, right] = [Side::Left, Side::Right].map(|side| judge(&script, side));
            let close = |a: f64, b: f64| assert!((a - b).abs() < 1e-6 * (1.0 + a.abs()), "{name}: {a} {b}");
            close(left.headline.canopy, right.headline.canopy);
            close(left.headline.pitch, right.headline.pitch);
            close(-left.headline.right, right.headline.right);
            // half a turn to one side is half a turn to the other
            close(libm::sin(-left.headline.roll), libm::sin(right.headline.roll));
            close(libm::cos(-left.headline.roll), libm::cos(right.headline.roll));
            close(left.height, right.height);
            close(left.seconds, right.seconds);
            if script.sides == Sides::None {
                close(libm::sin(right.worst.roll), 0.0);
                close(right.worst.right, 0.0);
            }
        }
    }
}

/// The old guess, half of the elevator that level inverted flight takes, against the relief of the
/// knife edge: the elevator with the wings vertical and no rudder, where no weight asks for lift. It
/// holds within 1.5 % of elevator, but where the tailplane of a high wing comes into the wing's wake
/// when the model lies on its back.
#[test]
fn half_of_inverted_is_the_relief_outside_the_wing_s_wake() {
    let default = Coefficients::default();
    for airframe in DEMOS {
        let [half, relief] = half_and_relief(airframe, &default);
        assert!(half < 0.0 && relief < 0.0, "{airframe}: {half} {relief}");
        if airframe != "bramble" {
            assert!((half - relief).abs() < 0.015, "{airframe}: {half} {relief}");
        }
    }
    let gap = |coefficients: &Coefficients| {
        let [half, relief] = half_and_relief("bramble", coefficients);
        half - relief
    };
    assert!(gap(&default) > 0.04, "{}", gap(&default));
    let still = Coefficients { wing_wake_loss: 0.0, ..default };
    assert!(gap(&still).abs() < 0.03, "{}", gap(&still));
}

fn half_and_relief(airframe: &str, coefficients: &Coefficients) -> [f64; 2] {
    let stand = Stand::new(&geometry(airframe), coefficients).unwrap();
    let mut bench = Bench::new(&stand.aircraft);
    let (speed, throttle) = (stand.level.pose.speed, stand.level.throttle);
    let mut from_trim = |pose: Pose| {
        let posed = stand.pose(&pose, None, &mut bench).unwrap();
        assert!(posed.converged, "{airframe}");
        posed.sticks[1] - stand.level.sticks[1]
    };
    let half = 0.5 * from_trim(Pose::inverted(speed));
    [half, from_trim(Pose::knife_edge(speed, throttle, Side::Right, 0.0))]
}

/// Height in a knife-edge is held by the rudder, where it is enough.
#[test]
fn who_holds_height_in_knife_edge() {
    let pass = scenario("knife-edge-pass");
    let beyond: Vec<&str> = DEMOS
        .into_iter()
        .filter(|airframe| *airframe != "thistle")
        .filter(|airframe| {
            let rig = rig(&geometry(airframe), &mix(airframe));
            [Side::Left, Side::Right].into_iter().any(|side| {
                let [_, held] = fly_both(&rig, &pass, side, &mut Bench::new(&rig.aircraft)).unwrap();
                shortfalls(&held, &pass).iter().any(
                    |s| matches!(s, Shortfall::BeyondStick { held, .. } if held.stick == measure::Stick::Rudder),
                )
            })
        })
        .collect();
    // Bramble just can with the rudder fully over; on the way there it sinks
    assert_eq!(beyond, ["clover"]);
}

/// Hanging on the propeller, the late hand keeps the nose up and the place, while what torque the
/// swirl leaves rolls the model against full aileron (docs/decisions/0004).
#[test]
fn who_has_the_thrust_holds_the_hover() {
    let hover = scenario("hover");
    for airframe in HANGING {
        let rig = rig(&geometry(airframe), &mix(airframe));
        for side in [Side::Left, Side::Right] {
            let [_, held] = fly_both(&rig, &hover, side, &mut Bench::new(&rig.aircraft)).unwrap();
            // it enters climbing at a third of its speed and must first be slowed down
            let [tilt, aside, height] = strayed(&held.samples);
            assert!(
                tilt < 20.0 && aside < 3.0 && height < 10.0,
                "{airframe} {side:?}: {tilt} deg, {aside} m aside, {height} m"
            );
            let beyond: Vec<measure::Stick> = shortfalls(&held, &hover)
                .iter()
                .filter_map(|s| match s {
                    Shortfall::BeyondStick { held, .. } => Some(held.stick),
                    _ => None,
                })
                .collect();
            assert!(
                !beyond.is_empty() && beyond.iter().all(|stick| *stick == measure::Stick::Aileron),
                "{airframe} {side:?}: {beyond:?}"
            );
        }
    }
}

/// The surfaces are strong enough to hang on: where a late hand loses it, it is the hand.
#[test]
fn a_precise_hand_hangs_on() {
    let mut hover = scenario("hover");
    hover.legs[0].ends.after = 20.0;
    for airframe in HANGING {
        let rig = rig(&geometry(airframe), &mix(airframe));
        let [_, held] = fly_both(&rig, &hover, Side::Right, &mut Bench::new(&rig.aircraft)).unwrap();
        let span = &held.legs[0];
        let [tilt, aside, height] = strayed(&held.samples[span.first..span.end]);
        assert!(
            tilt < 5.0 && aside < 5.0 && height < 10.0,
            "{airframe}: {tilt} deg, {aside} m aside, {height} m"
        );
    }
}

/// With more thrust than weight, and a tail in the wash.
const HANGING: [&str; 3] = ["larkspur", "thistle", "sorrel"];

/// Furthest that the nose was from the vertical [deg], and the model from its first place, aside and
/// in height \[m\].
fn strayed(samples: &[manoeuvre::Sample]) -> [f64; 3] {
    let begun = samples[0].state.body.position;
    samples.iter().fold([0.0; 3], |[tilt, aside, height], sample| {
        let body = &sample.state.body;
        let up = -flight::earth_from_body(&body.attitude)[(2, 0)];
        let moved = body.position - begun;
        [
            tilt.max(libm::acos(up.clamp(-1.0, 1.0)) / DEG),
            aside.max(libm::hypot(moved.x, moved.y)),
            height.max(moved.z.abs()),
        ]
    })
}
