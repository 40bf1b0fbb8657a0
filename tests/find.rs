//! Finding blends: answers that are known beforehand, and answers that must follow from one another.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop")]

mod support;

use aero::{Coefficients, Instant, Total};
use airframe::{Airframe, Geometry, Part};
use files::Kind;
use flight::Bench;
use measure::{Measured, Side, Stick};
use mix::{Blend, Condition, Follower, Lead, Shape};
use nalgebra::{Matrix2, Vector2, Vector3};
use study::find::{Coupling, Findings, Manoeuvre, Options, Pose, Stand, Verdict, find};

fn demo(name: &str) -> Airframe {
    files::read_airframe(files::find(Kind::Airframe, name).unwrap()).unwrap_or_else(|r| panic!("{r}")).value
}

fn found(airframe: &Airframe, blends: &[Blend]) -> Findings {
    let options = Options { progress: &|_, _| {}, draws: 0, seed: 1, blends };
    find(airframe, &[], &Coefficients::default(), &options).unwrap()
}

fn exact(findings: &Findings, name: &str) -> [f64; 2] {
    let found = findings.found.iter().find(|f| f.coupling.name() == name).unwrap();
    found.sides.map(|s| s.map_or(0.0, |s| 100.0 * s.exact))
}

fn by_speed(findings: &Findings, name: &str) -> Vec<[f64; 2]> {
    let found = findings.found.iter().find(|f| f.coupling.name() == name).unwrap();
    assert!(!found.fit.by_speed.is_empty(), "{name}");
    found.fit.by_speed.iter().map(|row| row.1.map(|s| s.map_or(0.0, |s| 100.0 * s))).collect()
}

/// Everything on the right goes to the left.
fn mirrored(airframe: &Airframe) -> Airframe {
    let mut other = airframe.clone();
    let p = &mut other.propulsor;
    p.rotation = -p.rotation;
    p.right.value = -p.right.value;
    p.buttline.value = -p.buttline.value;
    for item in &mut other.drag_items {
        item.buttline.value = -item.buttline.value;
    }
    other
}

#[test]
fn the_mirror_image_gets_the_mirrored_percentages() {
    for name in ["larkspur", "bramble", "thistle"] {
        let airframe = demo(name);
        let (here, there) = (found(&airframe, &[]), found(&mirrored(&airframe), &[]));
        assert_ne!(exact(&here, "power roll"), exact(&there, "power roll"), "{name} is no mirror of itself");
        for (a, b) in here.found.iter().zip(&there.found) {
            let sign =
                if matches!(a.coupling.follower, Follower::Aileron | Follower::Rudder) { -1.0 } else { 1.0 };
            let of = |s: Option<study::find::SideFound>| s.map_or(0.0, |s| s.exact);
            let (left, right) = if a.sides[0].is_some() { (1, 0) } else { (0, 1) };
            let pairs = [(a.sides[0], b.sides[left]), (a.sides[1], b.sides[right])];
            for (ours, theirs) in pairs {
                let gap = of(ours) - sign * of(theirs);
                assert!(gap.abs() < 1e-5, "{name}, {}: {ours:?} {theirs:?}", a.coupling.name());
            }
        }
    }
}

fn scaled(m: &mut Measured, by: f64) {
    m.value *= by;
}

/// The same airframe `n` times as long, as heavy as that makes it: n^3.
fn larger(airframe: &Airframe, n: f64) -> Airframe {
    let mut a = airframe.clone();
    let speed = n.sqrt();
    scaled(&mut a.mass.all_up, n * n * n);
    scaled(&mut a.mass.station, n);
    scaled(&mut a.mass.waterline, n);
    scaled(&mut a.trimmed.speed, speed);
    for panel in &mut a.panels {
        for end in [&mut panel.root, &mut panel.tip] {
            for m in [&mut end.station, &mut end.waterline, &mut end.buttline, &mut end.chord] {
                scaled(m, n);
            }
        }
    }
    for s in &mut a.body.stations {
        for m in [&mut s.station, &mut s.height, &mut s.width, &mut s.waterline] {
            scaled(m, n);
        }
    }
    for m in [&mut a.motor.full, &mut a.motor.idle] {
        scaled(m, 1.0 / speed);
    }
    let p = &mut a.propulsor;
    for m in [&mut p.diameter, &mut p.pitch, &mut p.station, &mut p.waterline, &mut p.buttline] {
        scaled(m, n);
    }
    for item in &mut a.drag_items {
        for m in [&mut item.station, &mut item.waterline, &mut item.buttline] {
            scaled(m, n);
        }
        scaled(&mut item.drag_area, n * n);
    }
    for d in &mut a.doors {
        for m in [&mut d.station, &mut d.waterline, &mut d.length] {
            scaled(m, n);
        }
        for m in [&mut d.area, &mut d.opening] {
            scaled(m, n * n);
        }
    }
    a
}

/// Froude's law: lengths n, masses n^3, speeds and rpm by the root of n leave every ratio of forces
/// as it was. The roll-in is left out, because a hand does not get slower with the model, and the
/// throttle, because the motor's no-load current is the same 2 A in every motor.
#[test]
fn a_larger_copy_gets_the_same_percentages() {
    for name in ["foxglove", "bramble"] {
        let airframe = demo(name);
        let (here, there) = (found(&airframe, &[]), found(&larger(&airframe, 2.0), &[]));
        for (a, b) in here.found.iter().zip(&there.found) {
            if a.coupling.name() == "roll-in yaw" || a.coupling.follower == Follower::Throttle {
                continue;
            }
            for (ours, theirs) in a.sides.iter().flatten().zip(b.sides.iter().flatten()) {
                let gap = 100.0 * (ours.exact - theirs.exact);
                assert!(gap.abs() < 0.1, "{name}, {}: off by {gap} %", a.coupling.name());
            }
        }
    }
}

fn blend(from: Lead, to: Follower, shape: Shape) -> Blend {
    let name = format!("{} to {}", from.word(), to.word());
    Blend {
        name,
        from,
        to,
        shape,
        engaged: Condition::Always,
        fade: 0.0,
        slow: 0.0,
        tuned: None,
        after: None,
    }
}

/// Crossed linkages: one stick or lever drags another surface along by so many percent. A blend can take
/// that out exactly, so exactly that comes on top of what was found before, and nothing anywhere else.
#[test]
fn a_disturbance_that_a_blend_can_cancel_is_found_to_the_last_digit() {
    let sides = |left, right| Shape::TwoSided { left, right };
    let (rudder, throttle) = (Lead::Stick(Stick::Rudder), Lead::Stick(Stick::Throttle));
    let flap = Lead::Lever(mix::FLAP_LEVER.into());
    let crossed = [
        blend(rudder.clone(), Follower::Aileron, sides(-0.07, 0.07)),
        blend(rudder, Follower::Elevator, sides(0.03, 0.03)),
        blend(throttle, Follower::Rudder, sides(0.0, 0.04)),
        blend(flap, Follower::Elevator, sides(0.0, -0.06)),
        blend(Lead::Stick(Stick::Aileron), Follower::Rudder, sides(0.05, -0.05)),
    ];
    for name in ["foxglove", "teasel"] {
        let airframe = demo(name);
        let (bare, with) = (found(&airframe, &[]), found(&airframe, &crossed));
        for (name, shift) in [
            ("knife-edge roll", [7.0, -7.0]),
            ("knife-edge pitch", [-3.0, -3.0]),
            ("rudder roll", [7.0, -7.0]),
            ("rudder pitch", [-3.0, -3.0]),
            ("power roll", [0.0, 0.0]),
            ("power yaw", [0.0, -4.0]),
            ("power pitch", [0.0, 0.0]),
            ("flap pitch", [0.0, 6.0]),
            ("roll-in yaw", [-5.0, 5.0]),
        ] {
            // at every speed: the one percentage for all speeds leans towards zero, from either side of it
            for (before, after) in by_speed(&bare, name).iter().zip(by_speed(&with, name)) {
                for side in 0..2 {
                    let gap = after[side] - before[side] - shift[side];
                    assert!(gap.abs() < 1e-3, "{name}: {before:?} {after:?}");
                }
            }
        }
    }
}

/// The blend that is exactly what was found for a coupling.
fn applied(found: &study::find::Found) -> Blend {
    let [left, right] = found.sides.map(|side| side.map_or(0.0, |side| side.exact));
    let shape = match found.coupling.manoeuvre {
        Manoeuvre::UpLine => Shape::Curve(vec![(0.0, 0.0), (0.9, 0.0), (1.0, right)]),
        Manoeuvre::DownLine => Shape::Curve(vec![(0.0, right), (0.1, 0.0), (1.0, 0.0)]),
        _ => Shape::TwoSided { left, right },
    };
    blend(found.coupling.manoeuvre.lead(), found.coupling.follower, shape)
}

/// What was found is put in, each coupling by itself, and found again: nothing is left, of any size.
#[test]
fn found_applied_and_found_again_is_nothing() {
    for name in ["larkspur", "foxglove", "bramble", "clover"] {
        let airframe = demo(name);
        let first = found(&airframe, &[]);
        let mut largest = 0.0_f64;
        for f in &first.found {
            let options = Options { progress: &|_, _| {}, draws: 0, seed: 1, blends: &[applied(f)] };
            let again = find(&airframe, &[f.coupling], &Coefficients::default(), &options).unwrap();
            let coupling = f.coupling.name();
            for (was, left) in exact(&first, &coupling).into_iter().zip(exact(&again, &coupling)) {
                largest = largest.max(was.abs());
                // a roll-in is flown, and bettered in three rounds
                let none = if f.coupling.manoeuvre == Manoeuvre::RollIn { 5e-2 } else { 1e-3 };
                assert!(left.abs() < none, "{name}, {coupling}: {left} % left of {was} %");
            }
        }
        assert!(largest > 5.0, "{name} shows nothing: {largest}");
    }
}

/// A pusher whose propeller turns behind everything blows on nothing, so raising its thrust line
/// acts by its lever alone: moment = thrust times height. What elevator that takes follows from the
/// slopes of lift and pitching moment, taken here from the forces themselves.
#[test]
fn a_raised_thrust_line_takes_the_elevator_of_its_lever() {
    let mut pusher = demo("larkspur");
    let p = &mut pusher.propulsor;
    (p.station.value, p.right.value, p.down.value) = (1.6, 0.0, 0.0);
    p.waterline.value = pusher.mass.waterline.value;
    let mut raised = pusher.clone();
    let height = 0.03;
    raised.propulsor.waterline.value += height;
    let needed = |airframe: &Airframe| {
        let stand = Stand::new(&Geometry::of(airframe).unwrap(), &Coefficients::default()).unwrap();
        let mut bench = Bench::new(&stand.aircraft);
        let idle = stand.pose(&Pose::level_at(25.0, 0.0), None, &mut bench).unwrap();
        let full = stand.pose(&Pose::level_at(25.0, 1.0), None, &mut bench).unwrap();
        assert!(idle.converged && full.converged);
        (full.sticks[1] - idle.sticks[1], full, idle, stand)
    };
    let (low, ..) = needed(&pusher);
    let (high, full, idle, stand) = needed(&raised);
    let mut bench = Bench::new(&stand.aircraft);
    let mut forces = |incidence: f64, elevator: f64| {
        let (sin, cos) = libm::sincos(full.incidence + incidence);
        let commands = mix::Commands { elevator: full.sticks[1] + elevator, ..mix::Commands::default() };
        let at = Instant {
            deflections: stand.deflections(&commands),
            throttle: 1.0,
            rotor: full.state.rotor,
            density: stand.around.density(&Vector3::zeros()),
            ..Instant::at(Vector3::new(25.0 * cos, 0.0, 25.0 * sin))
        };
        let mut total = Total::default();
        let outcome = stand.aircraft.model.forces_steady(&at, &mut bench.scratch, &mut total);
        (total.force.x * sin - total.force.z * cos, total.moment.y, outcome.thrust.thrust)
    };
    let step = 1e-3;
    let slope = |plus: (f64, f64, f64), minus: (f64, f64, f64)| {
        Vector2::new((plus.0 - minus.0) / (2.0 * step), (plus.1 - minus.1) / (2.0 * step))
    };
    let by_incidence = slope(forces(step, 0.0), forces(-step, 0.0));
    let by_elevator = slope(forces(0.0, step), forces(0.0, -step));
    let thrust = forces(0.0, 0.0).2 - {
        let propulsor = stand.aircraft.model.parts().propulsor.as_ref().unwrap();
        let flow = idle.state.body.velocity;
        propulsor.thrust(idle.state.rotor, flow.x, stand.around.density(&Vector3::zeros())).thrust
    };
    // thrust above the centre of mass pushes the nose down
    let nose_down = Vector2::new(0.0, -thrust * height);
    let answer = Matrix2::from_columns(&[by_incidence, by_elevator]).try_inverse().unwrap() * -nose_down;
    let found = high - low;
    assert!(found > 0.01, "{found}: up elevator holds it");
    assert!((found / answer.y - 1.0).abs() < 0.02, "found {found}, by the lever {}", answer.y);
}

/// More dihedral wants more aileron against the rudder's roll; a taller fin above the centre of mass
/// rolls the other way round the rudder's own force. Sizes of the first: 2 degrees take 8 % and
/// 15 % of aileron per rudder on Larkspur and Foxglove (the prototype's table of changes, at 60 %
/// rudder on the knife edge).
#[test]
fn dihedral_and_fin_act_as_they_must() {
    let part = |a: &mut Airframe, part: Part, change: &dyn Fn(&mut airframe::Panel)| {
        a.panels.iter_mut().filter(|p| p.part == part).for_each(change);
    };
    for (name, printed) in [("larkspur", -8.0), ("foxglove", -15.0)] {
        let airframe = demo(name);
        let mut bent = airframe.clone();
        part(&mut bent, Part::Wing, &|p| {
            p.tip.waterline.value +=
                (p.tip.buttline.value - p.root.buttline.value) * libm::tan(2.0_f64.to_radians());
        });
        let mut tall = airframe.clone();
        part(&mut tall, Part::Fin, &|p| {
            p.root.waterline.value += 0.06;
            p.tip.waterline.value += 0.06;
        });
        let per_rudder = |a: &Airframe| {
            let stand = Stand::new(&Geometry::of(a).unwrap(), &Coefficients::prototype()).unwrap();
            let mut bench = Bench::new(&stand.aircraft);
            let speed = stand.level.pose.speed;
            let [left, right] = [Side::Left, Side::Right].map(|side| {
                stand.pose(&Pose::knife_edge(speed, 0.75, side, 0.6), None, &mut bench).unwrap().sticks[0]
            });
            100.0 * (right - left) / 1.2
        };
        let base = per_rudder(&airframe);
        let dihedral = per_rudder(&bent) - base;
        assert!((dihedral - printed).abs() < 0.65, "{name}: {dihedral}, printed {printed}");
        assert!(per_rudder(&tall) < base, "{name}: the fin's lee side lies lower");
    }
}

/// Ducted fan, straight thrust, no swirl: nothing tells left from right, so nothing is found that
/// does, and what cannot be told is not told.
#[test]
fn a_fan_has_no_left_and_right() {
    let findings = found(&demo("teasel"), &[]);
    let roll = exact(&findings, "knife-edge roll");
    assert!((roll[0] + roll[1]).abs() < 1e-4, "{roll:?}");
    let pitch = exact(&findings, "knife-edge pitch");
    assert!((pitch[0] - pitch[1]).abs() < 1e-4, "{pitch:?}");
    let power = findings.found.iter().find(|f| f.coupling.name() == "power yaw").unwrap();
    assert_eq!(power.verdict, Verdict::LeaveIt);
}

/// The same on any number of threads, and every time.
#[test]
fn draws_repeat_whatever_the_threads() {
    let airframe = demo("larkspur");
    let couplings = [Coupling::named("knife-edge-pitch").unwrap(), Coupling::named("rudder-pitch").unwrap()];
    let options = Options { progress: &|_, _| {}, draws: 8, seed: 5, blends: &[] };
    let run = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| find(&airframe, &couplings, &Coefficients::default(), &options).unwrap())
    };
    let one = run(1);
    assert_eq!(one, run(3));
    let sure = one.found[1].sides[0].unwrap().sure.unwrap();
    assert_eq!(sure.draws, 8);
    assert!(sure.range.0 < sure.range.1);
}

/// A direction that too few draws agree on is no percentage, in words and in numbers.
#[test]
fn an_uncertain_direction_is_not_told() {
    let couplings = [Coupling::named("knife-edge-pitch").unwrap()];
    let options = Options { progress: &|_, _| {}, draws: 64, seed: 1, blends: &[] };
    let findings = find(&demo("larkspur"), &couplings, &Coefficients::default(), &options).unwrap();
    let found = &findings.found[0];
    assert_eq!(found.verdict, Verdict::Unsure);
    assert!(found.sides.iter().flatten().all(|s| s.told().is_none()));
    assert!(found.words().contains(study::find::NOT_CERTAIN));
    assert!(!found.words().contains("% up") && !found.words().contains("% down"), "{}", found.words());
}

/// Where wings-level flight wants the opposite for the same rudder, the knife edge says so; where it does not, it does not.
#[test]
fn the_knife_edge_says_where_level_flight_wants_the_opposite() {
    let mut findings = found(&demo("foxglove"), &[]);
    assert!(!findings.words().contains("wants the opposite"));
    let level = findings.found.iter_mut().find(|f| f.coupling.name() == "rudder roll").unwrap();
    for side in level.sides.iter_mut().flatten() {
        side.percent = -side.percent;
    }
    let words = findings.words();
    assert_eq!(words.matches("wants the opposite (\"rudder roll\")").count(), 1, "{words}");
}
