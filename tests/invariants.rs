//! What must hold of every airframe in motion, whatever its numbers.
#![allow(clippy::unwrap_used, reason = "a test may stop")]

mod support;

use aero::{Causes, Instant, Model, Scratch, Total};
use airframe::{Geometry, MAX_SURFACES, Part};
use flight::{Air, Aircraft, AircraftState, Bench, Course, Interval, Motion, Servo, Surroundings};
use manoeuvre::{Rig, tick};
use measure::{Side, Stick};
use nalgebra::Vector3;
use support::{DEMOS, geometry, plain_mix, rig, trimmed};

const TICK: f64 = 0.02;

/// Numbers in -1..1 as a function of a seed: the same on every machine.
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> f64 {
        // splitmix64, public domain
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 52) as f64 - 1.0
    }

    fn vector(&mut self, x: f64, y: f64, z: f64) -> Vector3<f64> {
        Vector3::new(x * self.roll(), y * self.roll(), z * self.roll())
    }
}

fn mirrored(geometry: &Geometry, at: &Instant) -> Instant {
    let mut deflections = [0.0; MAX_SURFACES];
    for (i, surface) in geometry.surfaces.iter().enumerate() {
        deflections[i] = match surface.side {
            Some(side) => {
                let twin = |s: &airframe::Surface| {
                    s.part == surface.part && s.hinge == surface.hinge && s.side == Some(side.opposite())
                };
                at.deflections[geometry.surfaces.iter().position(twin).unwrap()]
            }
            None if surface.part.is_fin() => -at.deflections[i],
            None => at.deflections[i],
        };
    }
    Instant {
        velocity: Vector3::new(at.velocity.x, -at.velocity.y, at.velocity.z),
        rate: Vector3::new(-at.rate.x, at.rate.y, -at.rate.z),
        deflections,
        ..*at
    }
}

fn total(model: &Model, at: &Instant, scratch: &mut Scratch) -> Total {
    let mut total = Total::default();
    model.forces_steady(at, scratch, &mut total);
    total
}

/// Without a propeller left and right are the same: mirrored flow gives mirrored forces, for any
/// state, also beyond separation and backwards.
#[test]
fn mirror_images_feel_mirror_images() {
    for name in DEMOS {
        let geometry = geometry(name);
        let mut model = Model::prepare(&geometry, &aero::Coefficients::default());
        model = model.without_propulsor();
        let mut scratch = Scratch::new(&model);
        let mut dice = Dice(7);
        for i in 0..400 {
            let mut at = Instant::at(dice.vector(30.0, 20.0, 20.0));
            at.rate = dice.vector(5.0, 4.0, 3.0);
            for d in &mut at.deflections[..geometry.surfaces.len()] {
                *d = 0.5 * dice.roll();
            }
            let (here, there) =
                (total(&model, &at, &mut scratch), total(&model, &mirrored(&geometry, &at), &mut scratch));
            let flip = |v: Vector3<f64>, s: [f64; 3]| v.component_mul(&Vector3::from(s));
            let force = (flip(there.force, [1.0, -1.0, 1.0]) - here.force).norm();
            let moment = (flip(there.moment, [-1.0, 1.0, -1.0]) - here.moment).norm();
            assert!(force <= 1e-11 * (1.0 + here.force.norm()), "{name} state {i}: {force} N");
            assert!(moment <= 1e-11 * (1.0 + here.moment.norm()), "{name} state {i}: {moment} N m");
            assert!(here.force.norm() > 0.0);
        }
    }
}

fn steady_motions(rig: &Rig, sticks: [f64; 3]) -> Vec<Motion> {
    rig.deflections_of(sticks)[..rig.surfaces.len()]
        .iter()
        .map(|&angle| Servo::at_rest(10.0, 0.01, angle).unwrap().plan(angle, TICK).unwrap().motion)
        .collect()
}

/// A flight in a uniform wind is the flight in still air, carried along.
#[test]
fn a_uniform_wind_carries_the_flight_along() {
    let wind = Vector3::new(4.0, -6.0, 1.0);
    for name in DEMOS {
        let rig = rig(&geometry(name), &plain_mix());
        let mut bench = Bench::new(&rig.aircraft);
        let level = rig.level(rig.trimmed_speed, &mut bench).unwrap();
        let motions = steady_motions(&rig, [level.sticks[0] + 0.2, level.sticks[1] + 0.1, 0.3]);
        let mut fly = |wind: Vector3<f64>| {
            let around = Surroundings { air: Air::steady(wind).unwrap(), ..Surroundings::CALM };
            let mut state = level.state;
            let to_earth = flight::earth_from_body(&state.body.attitude);
            state.body.velocity += to_earth.transpose() * wind;
            for k in 0..100 {
                let interval = interval(k, 0.01, &motions, level.throttle, &around);
                state = rig.aircraft.fly(state, &interval, &mut bench).unwrap();
            }
            state
        };
        let (still, carried) = (fly(Vector3::zeros()), fly(wind));
        // the air's density changes with height, and the wind here lifts by 2 m: level it
        let moved = carried.body.position - still.body.position - wind * 2.0;
        assert!(still.body.rate.norm() > 0.1, "{name}: it turns");
        assert!(moved.norm() < 2e-3, "{name}: {moved}");
        assert!((carried.body.attitude - still.body.attitude).norm() < 1e-3, "{name}");
    }
}

/// In a level wind the density at the model is the same too. What is left is the error of the
/// marching, which turns the wind with the body: it falls with the step, and faster than its fourth
/// power.
#[test]
fn a_level_wind_changes_nothing_but_the_ground() {
    let wind = Vector3::new(4.0, -6.0, 0.0);
    let rig = rig(&geometry("larkspur"), &plain_mix());
    let mut bench = Bench::new(&rig.aircraft);
    let level = rig.level(rig.trimmed_speed, &mut bench).unwrap();
    let motions = steady_motions(&rig, [level.sticks[0] + 0.2, level.sticks[1] + 0.1, 0.3]);
    let mut fly = |wind: Vector3<f64>, longest_step: f64| {
        let around = Surroundings { air: Air::steady(wind).unwrap(), ..Surroundings::CALM };
        let mut state = level.state;
        state.body.velocity += flight::earth_from_body(&state.body.attitude).transpose() * wind;
        for k in 0..100 {
            let interval = interval(k, longest_step, &motions, level.throttle, &around);
            state = rig.aircraft.fly(state, &interval, &mut bench).unwrap();
        }
        state.body.position
    };
    let mut moved = |step: f64| (fly(wind, step) - fly(Vector3::zeros(), step) - wind * 2.0).norm();
    let (coarse, fine) = (moved(0.01), moved(0.0025));
    println!("a wind's trace in the path: {coarse:.1e} m at 10 ms, {fine:.1e} m at 2.5 ms");
    assert!(coarse < 1e-6, "{coarse} m");
    assert!(fine < coarse / 256.0, "{fine} m");
}

/// Forces know only the flow: the same to rounding with the model moving, or the air, or both.
#[test]
fn forces_know_only_the_flow() {
    for name in DEMOS {
        let geometry = geometry(name);
        let model = Model::prepare(&geometry, &aero::Coefficients::default());
        let mut scratch = Scratch::new(&model);
        let mut dice = Dice(3);
        for _ in 0..100 {
            let mut at = Instant::at(dice.vector(30.0, 15.0, 15.0));
            (at.rate, at.rotor, at.throttle) = (dice.vector(3.0, 3.0, 3.0), 80.0, 0.7);
            let wind = dice.vector(10.0, 10.0, 10.0);
            let windy = Instant { velocity: at.velocity + wind, air: wind, ..at };
            let (a, b) = (total(&model, &at, &mut scratch), total(&model, &windy, &mut scratch));
            assert!((a.force - b.force).norm() < 1e-9 * (1.0 + a.force.norm()), "{name}");
            assert!((a.moment - b.moment).norm() < 1e-9 * (1.0 + a.moment.norm()), "{name}");
        }
    }
}

fn interval<'a>(
    k: usize,
    longest_step: f64,
    motions: &'a [Motion],
    throttle: f64,
    around: &'a Surroundings,
) -> Interval<'a> {
    let start = k as f64 * TICK;
    Interval { start, length: TICK, longest_step, motions, throttle, around, causes: Causes::ALL }
}

/// Halving the step takes at least a sixteenth of the error, through ticks and through the kinks
/// of delayed, rate-limited servos. Flown as a glider in a steady sideslip: the model itself has
/// kinks (edges of the jet, cross flow that changes sides), and this test is about the marching.
#[test]
fn fourth_order_through_kinks_and_ticks() {
    let mut rig = rig(&geometry("larkspur"), &plain_mix());
    rig.aircraft.model = rig.aircraft.model.without_propulsor();
    let mut bench = Bench::new(&rig.aircraft);
    let course = Course { speed: 28.0, climb: 0.0, bank: -core::f64::consts::FRAC_PI_2, throttle: Some(0.0) };
    let side = rig
        .aircraft
        .trim(&course, &Surroundings::CALM, &|s| rig.deflections_of(s), None, &mut bench)
        .unwrap();
    assert!(side.converged && side.state.body.velocity.y.abs() > 3.0, "a knife edge: {}", side.worst);
    let mut fly = |longest_step: f64| end_of_kicks(&rig, side.state, side.sticks, longest_step, &mut bench);
    let fine = fly(TICK / 128.0);
    let error = |end: AircraftState| {
        (end.body.position - fine.body.position).norm() + (end.body.rate - fine.body.rate).norm()
    };
    let errors: Vec<f64> = [1, 2, 4, 8].map(|n| error(fly(TICK / f64::from(n)))).to_vec();
    println!("errors at 20, 10, 5, 2.5 ms: {errors:?}");
    for pair in errors.windows(2) {
        assert!(pair[1] < pair[0] / 14.0 || pair[1] < 1e-10, "{errors:?}");
    }
    assert!(errors[0] > 1e-9, "there is an error to begin with");
}

/// Aileron and elevator jump every third tick; servos follow late and at their rate.
fn end_of_kicks(
    rig: &Rig,
    from: AircraftState,
    sticks: [f64; 3],
    longest_step: f64,
    bench: &mut Bench,
) -> AircraftState {
    let mut state = from;
    let mut servos: Vec<Servo> = rig.deflections_of(sticks)[..rig.surfaces.len()]
        .iter()
        .map(|&angle| Servo::at_rest(6.0, 0.007, angle).unwrap())
        .collect();
    for k in 0..12 {
        let kick = if (k / 3) % 2 == 0 { 0.08 } else { -0.08 };
        let angles = rig.deflections_of([sticks[0] + kick, sticks[1] - kick, sticks[2]]);
        let mut motions = Vec::new();
        for (servo, angle) in servos.iter_mut().zip(angles) {
            let plan = servo.plan(angle, TICK).unwrap();
            motions.push(plan.motion);
            *servo = plan.after;
        }
        assert!(k % 3 != 0 || motions.iter().any(|m| m.kinks().count() > 0), "kinks inside ticks");
        state = rig
            .aircraft
            .fly(state, &interval(k, longest_step, &motions, 0.0, &Surroundings::CALM), bench)
            .unwrap();
    }
    state
}

/// A flight taken up again from a saved memory ends with the same bits.
#[test]
fn a_saved_flight_goes_on_to_the_bit() {
    let rig = rig(&geometry("foxglove"), &plain_mix());
    let mut bench = Bench::new(&rig.aircraft);
    let (mut memory, mut hand, _) = trimmed(&rig, &mut bench);
    let mut fly = |memory: &mut manoeuvre::Memory, ticks: usize, bench: &mut Bench| {
        for k in 0..ticks {
            hand.set_stick(Stick::Aileron, if k % 7 < 3 { 0.4 } else { -0.2 }).unwrap();
            hand.set_stick(Stick::Rudder, 0.3).unwrap();
            tick(&rig, memory, &hand, bench).unwrap();
        }
    };
    fly(&mut memory, 21, &mut bench);
    let mut saved = memory.clone();
    fly(&mut memory, 21, &mut bench);
    // another bench: it holds nothing that a flight depends on
    fly(&mut saved, 21, &mut Bench::new(&rig.aircraft));
    assert_eq!(memory, saved);
    assert!(memory.state.body.rate.norm() > 0.1);
}

/// The step of the product keeps a hard flight within half a millimetre of a fine one.
#[test]
fn the_step_is_short_enough() {
    let rig = rig(&geometry("larkspur"), &plain_mix());
    let mut bench = Bench::new(&rig.aircraft);
    let level = rig.level(rig.trimmed_speed, &mut bench).unwrap();
    let mut fly = |longest_step: f64| {
        let (mut state, mut servos) = (level.state, Vec::new());
        for &angle in &rig.deflections_of(level.sticks)[..rig.surfaces.len()] {
            servos.push(Servo::at_rest(10.5, 0.01, angle).unwrap());
        }
        let mut path = Vec::new();
        for k in 0..500 {
            let kick = [[0.0; 3], [0.4, 0.0, 0.0], [-0.4, 0.12, 0.0], [0.0, -0.08, 0.4], [0.0, 0.08, -0.4]]
                [(k / 65) % 5];
            let sticks: [f64; 3] = core::array::from_fn(|i| level.sticks[i] + kick[i]);
            let mut motions = Vec::new();
            for (servo, angle) in servos.iter_mut().zip(rig.deflections_of(sticks)) {
                let plan = servo.plan(angle, TICK).unwrap();
                motions.push(plan.motion);
                *servo = plan.after;
            }
            let interval = interval(k, longest_step, &motions, level.throttle, &Surroundings::CALM);
            state = rig.aircraft.fly(state, &interval, &mut bench).unwrap();
            path.push(state.body.position);
        }
        path
    };
    let (product, fine) = (fly(0.01), fly(TICK / 32.0));
    let worst = product.iter().zip(&fine).map(|(a, b)| (a - b).norm()).fold(0.0, f64::max);
    println!("worst difference over 10 s: {:.2e} m", worst);
    assert!(worst < 1e-3, "{worst} m");
}

/// Every part of the demo airframes is where a pilot would look for it.
#[test]
fn parts_are_in_their_places() {
    for name in DEMOS {
        let g = geometry(name);
        let place = |part: Part| g.planform(part).unwrap().root;
        assert!(place(Part::Tailplane).x < place(Part::Wing).x - 0.3, "{name}: the tail is behind");
        assert!(g.body.nose() > place(Part::Wing).x, "{name}");
        let right = g.strips.iter().filter(|s| s.side == Some(Side::Right));
        assert!(right.clone().count() > 10 && right.into_iter().all(|s| s.position.y > 0.0), "{name}");
        assert!(
            g.strips.iter().filter(|s| s.part == Part::Fin).all(|s| s.position.z < 0.0),
            "{name}: fin up"
        );
    }
    assert!(geometry("foxglove").wing().root.z > 0.0, "a low wing");
    assert!(geometry("bramble").wing().root.z < 0.0, "a high wing");
}

/// An aircraft says so when it cannot be.
#[test]
fn impossible_masses_are_refused() {
    let mut g = geometry("larkspur");
    g.mass = -1.0;
    assert!(Aircraft::new(&g, &aero::Coefficients::default()).is_err());
}
