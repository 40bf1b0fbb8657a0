//! A flight of ten seconds against another integrator: Dormand and Prince's method of order eight
//! with step control at 1e-10 (crate `ode_solvers`), started anew at every tick and servo kink.
#![allow(clippy::unwrap_used, reason = "a test may stop")]

mod support;

use aero::{Causes, MAX_WING_STRIPS};
use core::cell::RefCell;
use flight::{Aircraft, AircraftState, Bench, BodyState, Controls, Interval, Motion, Servo, Surroundings};
use manoeuvre::{Rig, TICK};
use nalgebra::{Quaternion, SVector, Vector3};
use ode_solvers::{Dop853, OutputType, System};
use support::{geometry, plain_mix, rig};

const TICKS: usize = 500;
const TOLERANCE: f64 = 1e-10;
/// Body (13), rotor, wake, and the time: the method's code sees the right time only as a state.
const N: usize = 14 + MAX_WING_STRIPS + 1;
type Row = SVector<f64, N>;

fn pack(s: &AircraftState, time: f64) -> Row {
    let (b, q) = (&s.body, s.body.attitude);
    let mut row = Row::zeros();
    row.fixed_rows_mut::<3>(0).copy_from(&b.position);
    row.fixed_rows_mut::<3>(3).copy_from(&b.velocity);
    row.fixed_rows_mut::<4>(6).copy_from(&nalgebra::Vector4::new(q.w, q.i, q.j, q.k));
    row.fixed_rows_mut::<3>(10).copy_from(&b.rate);
    row[13] = s.rotor;
    row.fixed_rows_mut::<MAX_WING_STRIPS>(14).copy_from_slice(&s.wake);
    row[N - 1] = time;
    row
}

fn unpack(row: &Row) -> AircraftState {
    let vector = |at: usize| Vector3::new(row[at], row[at + 1], row[at + 2]);
    AircraftState {
        body: BodyState {
            position: vector(0),
            velocity: vector(3),
            attitude: Quaternion::new(row[6], row[7], row[8], row[9]),
            rate: vector(10),
        },
        rotor: row[13],
        wake: core::array::from_fn(|i| row[14 + i]),
    }
}

/// A stretch without kinks: every surface on a straight line.
struct Smooth<'a> {
    aircraft: &'a Aircraft,
    motions: &'a [Motion],
    from: f64,
    to: f64,
    throttle: f64,
    bench: &'a RefCell<Bench>,
}

impl System<f64, Row> for Smooth<'_> {
    fn system(&self, _: f64, row: &Row, slope: &mut Row) {
        let tau = row[N - 1];
        let mut controls = Controls {
            deflections: [0.0; airframe::MAX_SURFACES],
            throttle: self.throttle,
            causes: Causes::ALL,
        };
        for (d, motion) in controls.deflections.iter_mut().zip(self.motions) {
            *d = motion.position(self.from) + motion.slope(0.5 * (self.from + self.to)) * (tau - self.from);
        }
        let mut bench = self.bench.borrow_mut();
        let y = self.aircraft.slope(&unpack(row), tau, &Surroundings::CALM, &controls, &mut bench);
        *slope = pack(&y, 1.0);
    }
}

/// Lays the wake for the tick, then goes from kink to kink.
fn reference_tick(
    aircraft: &Aircraft,
    state: AircraftState,
    motions: &[Motion],
    throttle: f64,
    bench: &RefCell<Bench>,
) -> AircraftState {
    {
        let mut deflections = [0.0; airframe::MAX_SURFACES];
        for (d, motion) in deflections.iter_mut().zip(motions) {
            *d = motion.position(0.0);
        }
        let controls = Controls { deflections, throttle, causes: Causes::ALL };
        let at = aircraft.instant(&state, 0.0, &Surroundings::CALM, &controls);
        let bench = &mut *bench.borrow_mut();
        let strengths = &state.wake[..aircraft.model.wing_strips()];
        aircraft.model.lay_wake(&at, strengths, &mut bench.wake);
    }
    let mut ends: Vec<f64> = motions.iter().flat_map(Motion::kinks).chain([TICK]).collect();
    ends.sort_by(f64::total_cmp);
    ends.dedup_by(|a, b| (*a - *b).abs() < 1e-11);
    let (mut from, mut row) = (0.0, pack(&state, 0.0));
    for to in ends {
        if to - from < 1e-11 {
            continue;
        }
        row[N - 1] = from;
        let system = Smooth { aircraft, motions, from, to, throttle, bench };
        let mut solver = Dop853::new(system, 0.0, to - from, to - from, row, TOLERANCE, TOLERANCE);
        solver.set_output(OutputType::Sparse);
        solver.integrate().unwrap();
        row = *solver.y_out().last().unwrap();
        assert!((row[N - 1] - to).abs() < 1e-12, "it must get there");
        from = to;
    }
    let mut state = unpack(&row);
    state.body.attitude = state.body.attitude.normalize();
    state
}

fn kicks(rig: &Rig, level: [f64; 3], servos: &mut [Servo], k: usize) -> Vec<Motion> {
    let kick =
        [[0.0; 3], [0.3, 0.0, 0.0], [-0.3, 0.1, 0.2], [0.0, -0.06, 0.4], [0.0, 0.06, -0.4]][(k / 65) % 5];
    let angles = rig.deflections_of(core::array::from_fn(|i| level[i] + kick[i]));
    servos
        .iter_mut()
        .zip(angles)
        .map(|(servo, angle)| {
            let plan = servo.plan(angle, TICK).unwrap();
            *servo = plan.after;
            plan.motion
        })
        .collect()
}

#[test]
fn val_ten_seconds_agree_to_a_millimetre() {
    let rig = rig(&geometry("larkspur"), &plain_mix());
    let mut bench = Bench::new(&rig.aircraft);
    let level = rig.level(rig.trimmed_speed, &mut bench).unwrap();
    let bench = RefCell::new(bench);
    let mut servos: Vec<Servo> = rig.deflections_of(level.sticks)[..rig.surfaces.len()]
        .iter()
        .map(|&angle| Servo::at_rest(10.5, 0.01, angle).unwrap())
        .collect();
    let (mut ours, mut theirs) = (level.state, level.state);
    let mut worst: f64 = 0.0;
    for k in 0..TICKS {
        let motions = kicks(&rig, level.sticks, &mut servos, k);
        let interval = Interval {
            start: k as f64 * TICK,
            length: TICK,
            longest_step: manoeuvre::LONGEST_STEP,
            motions: &motions,
            throttle: level.throttle,
            around: &Surroundings::CALM,
            causes: Causes::ALL,
        };
        ours = rig.aircraft.fly(ours, &interval, &mut bench.borrow_mut()).unwrap();
        theirs = reference_tick(&rig.aircraft, theirs, &motions, level.throttle, &bench);
        worst = worst.max((ours.body.position - theirs.body.position).norm());
    }
    println!("largest distance over ten seconds: {worst:.2e} m");
    assert!(worst < 1e-3, "{worst} m");
    assert!((theirs.body.position - level.state.body.position).norm() > 50.0, "it flew");
    assert!(worst > 0.0, "two different methods");
}
