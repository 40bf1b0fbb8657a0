//! What must hold of every airframe, whatever its numbers. Flights: `crates/flight/tests/flying.rs`.
#![allow(clippy::unwrap_used, reason = "a test may stop")]

mod support;

use aero::{Instant, Model, Scratch, Total};
use airframe::{Geometry, MAX_SURFACES, Part};
use flight::{Aircraft, Bench};
use manoeuvre::tick;
use measure::{Side, Stick};
use nalgebra::Vector3;
use support::{DEMOS, geometry, plain_mix, rig, trimmed};

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
