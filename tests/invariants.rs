//! What must hold of every airframe, whatever its numbers. Flights: `crates/flight/tests/flying.rs`.
#![allow(clippy::unwrap_used, reason = "a test may stop")]

mod support;

use aero::{Instant, Model, Scratch, Total};
use airframe::Part;
use flight::{Aircraft, Bench};
use manoeuvre::tick;
use measure::{Side, Stick};
use nalgebra::Vector3;
use support::{DEMOS, geometry, plain_mix, rig, trimmed};

fn total(model: &Model, at: &Instant, scratch: &mut Scratch) -> Total {
    let mut total = Total::default();
    model.forces_steady(at, scratch, &mut total);
    total
}

/// Forces know only the flow: the same to rounding with the model moving, or the air, or both.
#[test]
fn forces_know_only_the_flow() {
    for name in DEMOS {
        let geometry = geometry(name);
        let model = Model::prepare(&geometry, &aero::Coefficients::default());
        let mut scratch = Scratch::new(&model);
        for i in 0..100 {
            // a walk through flows of all directions, backwards too
            let step = f64::from(i);
            let turn = |rate: f64, size: f64| size * libm::sin(rate * step);
            let mut at = Instant::at(Vector3::new(turn(0.7, 30.0), turn(1.1, 15.0), turn(1.9, 15.0)));
            at.rate = Vector3::new(turn(0.3, 3.0), turn(0.5, 3.0), turn(0.9, 3.0));
            (at.rotor, at.throttle) = (80.0, 0.7);
            let wind = Vector3::new(turn(2.3, 10.0), turn(1.3, 10.0), turn(0.2, 10.0));
            let windy = Instant { velocity: at.velocity + wind, air: wind, ..at };
            let (a, b) = (total(&model, &at, &mut scratch), total(&model, &windy, &mut scratch));
            assert!((a.force - b.force).norm() < 1e-9 * (1.0 + a.force.norm()), "{name}");
            assert!((a.moment - b.moment).norm() < 1e-9 * (1.0 + a.moment.norm()), "{name}");
        }
    }
}

/// A wing alone has forces, too: nothing counts on a tail.
#[test]
fn a_wing_without_a_tail_flies() {
    let whole = Model::prepare(&geometry("larkspur"), &aero::Coefficients::default());
    let mut parts = whole.parts().clone();
    parts.strips.truncate(whole.wing_strips());
    let wing = Model::assemble(parts);
    let at = Instant::at(Vector3::new(20.0, 1.0, 1.5));
    let [alone, with_tail] = [&wing, &whole].map(|model| total(model, &at, &mut Scratch::new(model)));
    assert!(alone.force.z < 0.0 && alone.moment.iter().all(|m| m.is_finite()), "{alone:?}");
    assert!(alone.moment.y > with_tail.moment.y + 1.0, "no tail holds its nose down: {alone:?}");
}

/// A hair below the steady speed of its rotor the motor wins, a hair above the air.
#[test]
fn a_rotor_turns_where_motor_and_air_agree() {
    for name in DEMOS {
        let model = Model::prepare(&geometry(name), &aero::Coefficients::default());
        let p = model.parts().propulsor.as_ref().unwrap();
        for throttle in [0.0, 0.2, 0.5, 0.9, 1.0] {
            for axial in [-10.0, 0.0, 3.0, 15.0, 40.0] {
                let n = aero::steady_rotor_speed(p, throttle, axial, 1.2);
                let spare = |n: f64| p.motor.torque(throttle, n) - p.thrust(n, axial, 1.2).torque;
                let hair = 1e-10 * n;
                assert!(
                    n > 0.0 && spare(n - hair) > 0.0 && spare(n + hair) < 0.0,
                    "{name} {throttle} {axial}"
                );
            }
        }
    }
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
