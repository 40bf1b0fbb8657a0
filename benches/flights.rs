//! Whole flights: ten seconds by hand of a script, a manoeuvre, a comparison.
#![allow(missing_docs, reason = "criterion's macros make undocumented items")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "a bench may stop")]

#[path = "../tests/support/mod.rs"]
mod support;

use aero::Coefficients;
use criterion::{Criterion, criterion_group, criterion_main};
use flight::Bench;
use manoeuvre::{Following, Rig, fly, tick};
use measure::{Side, Stick};
use mix::Shape;
use std::hint::black_box;
use study::find::{Options, find};
use study::{Contestant, Earlier, compare, compare_one, sketch};
use support::{geometry, mix, plain_mix, rig, scenario, trimmed};

/// Ten seconds, 500 ticks, a new stick position every 1.3 s.
fn ten_seconds(rig: &Rig, bench: &mut Bench) -> f64 {
    let (mut memory, mut hand, _) = trimmed(rig, bench);
    for k in 0..500 {
        let kick = [0.0, 0.3, -0.3, 0.1][(k / 65) % 4];
        hand.set_stick(Stick::Aileron, kick).unwrap();
        hand.set_stick(Stick::Rudder, -kick).unwrap();
        tick(rig, &mut memory, &hand, bench).unwrap();
    }
    memory.state.body.position.x
}

fn flights(c: &mut Criterion) {
    let larkspur = rig(&geometry("larkspur"), &plain_mix());
    let mut bench = Bench::new(&larkspur.aircraft);
    c.bench_function("larkspur: ten seconds", |b| b.iter(|| ten_seconds(black_box(&larkspur), &mut bench)));

    let scenario = scenario("knife-edge-pass");
    c.bench_function("larkspur: a knife-edge pass, left alone", |b| {
        b.iter(|| {
            fly(&larkspur, &scenario, Side::Right, Following::LEFT_ALONE, &mut bench).unwrap().samples.len()
        });
    });

    let geometry_of = geometry("larkspur");
    c.bench_function("larkspur: from geometry to a trimmed rig", |b| {
        b.iter(|| rig(black_box(&geometry_of), &plain_mix()).trim.elevator);
    });

    let contestants = ["larkspur", "foxglove"].map(|n| Contestant { geometry: geometry(n), mix: mix(n) });
    c.bench_function("compare: two models, both rudders", |b| {
        b.iter(|| compare(&contestants, &scenario, &Coefficients::default()).unwrap().runs.len());
    });
}

/// What the window flies while something is dragged, and at a pause.
fn dragging(c: &mut Criterion) {
    let (pass, coefficients) = (scenario("knife-edge-pass"), Coefficients::default());
    let mut foxglove = Contestant { geometry: geometry("foxglove"), mix: mix("foxglove") };
    let before = compare_one(&foxglove, &pass, Side::Right, &coefficients).unwrap();
    foxglove.mix.blends[0].shape = Shape::TwoSided { left: 0.0, right: 0.02 };
    for (what, same_without) in [("a percentage", true), ("a measurement", false)] {
        c.bench_function(&format!("foxglove: a knife-edge pass while {what} is dragged"), |b| {
            let earlier = Earlier { run: &before, same_without };
            b.iter(|| sketch(black_box(&foxglove), &pass, &coefficients, earlier).unwrap());
        });
    }
    c.bench_function("foxglove: the same at a pause", |b| {
        b.iter(|| compare_one(black_box(&foxglove), &pass, Side::Right, &coefficients).unwrap());
    });
}

/// All couplings of one airframe, without draws and with 64.
fn finding(c: &mut Criterion) {
    let source = files::find(files::Kind::Airframe, "foxglove").unwrap();
    let foxglove = files::read_airframe(source).unwrap_or_else(|r| panic!("{r}")).value;
    let coefficients = Coefficients::default();
    let mut group = c.benchmark_group("find");
    group.sample_size(10);
    for draws in [0, 64] {
        let options = Options { progress: &|_, _| {}, draws, seed: 1, blends: &[] };
        group.bench_function(format!("all couplings of Foxglove, {draws} draws"), |b| {
            b.iter(|| black_box(find(&foxglove, &[], &coefficients, &options).unwrap()));
        });
    }
    group.finish();
}

criterion_group!(benches, flights, dragging, finding);
criterion_main!(benches);
