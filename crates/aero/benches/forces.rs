//! One force evaluation, and what a tick of six evaluations costs with its wake laid once.
#![allow(missing_docs, reason = "criterion's macros make undocumented items")]

#[path = "../tests/reference/mod.rs"]
mod reference;

use aero::{Instant, Ledger, Scratch, Total, Wake};
use criterion::{Criterion, criterion_group, criterion_main};
use nalgebra::Vector3;
use reference::{load, model};
use std::hint::black_box;

/// Evaluations in a tick of one fifth-order step.
const PER_TICK: usize = 6;

/// A pass at 26 m/s with 13 degrees of sideslip and half rudder.
fn knife_edge() -> Instant {
    let mut at = Instant::at(Vector3::new(25.3, 5.9, 0.2));
    at.rate = Vector3::new(0.1, 0.05, -0.1);
    at.throttle = 0.8;
    at.rotor = 92.0;
    at.deflections[..5].copy_from_slice(&[0.0, 0.01, -0.01, -0.02, -0.35]);
    at
}

fn forces(c: &mut Criterion) {
    let file = load("larkspur");
    let model = model(&file);
    let at = knife_edge();
    let mut scratch = Scratch::new(&model);
    let mut wake = Wake::new(&model);
    let mut steady = Total::default();
    model.forces_steady(&at, &mut scratch, &mut steady);
    let strengths = scratch.circulation().to_vec();
    model.lay_wake(&at, &strengths, &mut wake);

    c.bench_function("larkspur: forces in a held wake", |b| {
        b.iter(|| {
            let mut total = Total::default();
            model.forces(black_box(&at), &wake, &strengths, &mut scratch, &mut total);
            total
        });
    });
    c.bench_function("larkspur: laying the wake", |b| {
        b.iter(|| model.lay_wake(black_box(&at), &strengths, &mut wake));
    });
    c.bench_function("larkspur: a tick of six evaluations", |b| {
        b.iter(|| {
            model.lay_wake(black_box(&at), &strengths, &mut wake);
            let mut total = Total::default();
            for _ in 0..PER_TICK {
                model.forces(black_box(&at), &wake, &strengths, &mut scratch, &mut total);
            }
            total
        });
    });
    c.bench_function("larkspur: forces in their own wake", |b| {
        b.iter(|| {
            let mut total = Total::default();
            model.forces_steady(black_box(&at), &mut scratch, &mut total);
            total
        });
    });
    c.bench_function("larkspur: forces with a ledger", |b| {
        b.iter(|| {
            let mut ledger = Ledger::default();
            model.forces(black_box(&at), &wake, &strengths, &mut scratch, &mut ledger);
            ledger
        });
    });
}

criterion_group!(benches, forces);
criterion_main!(benches);
