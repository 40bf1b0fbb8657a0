//! The marcher on whole flights: its order, what it conserves, that it can be interrupted, and an
//! independent integrator beside it.

#![allow(clippy::unwrap_used, reason = "helpers of tests may fail the test")]

use flight::{
    Air, BodyState, CLASSICAL_4, DORMAND_PRINCE_5, Euler, Gusts, Loads, MassProperties, State, Stretch,
    Tableau, Turbulence, Wrench, earth_from_body, march, motion,
};
use nalgebra::{Matrix3, SVector, Vector3};
use ode_solvers::{Dop853, OutputType, System};

const GRAVITY: Vector3<f64> = Vector3::new(0.0, 0.0, 9.806_65);

fn body() -> MassProperties {
    let inertia = Matrix3::new(0.24, 0.01, -0.02, 0.01, 0.31, 0.005, -0.02, 0.005, 0.5);
    MassProperties::new(4.8, inertia).unwrap()
}

fn begin() -> BodyState {
    BodyState {
        position: Vector3::new(3.0, -2.0, -80.0),
        velocity: Vector3::new(22.0, 1.5, 0.8),
        attitude: Euler { roll: 0.4, pitch: 0.1, yaw: -1.2 }.attitude(),
        rate: Vector3::new(1.5, -0.4, 0.3),
    }
}

/// A smooth made-up aircraft: thrust, drag, lift and side force that turn with the flow, weathercock
/// moments, damping, sticks that swing, a spinning propeller.
fn made_up(time: f64, body: &BodyState) -> Loads {
    let (v, rate) = (body.velocity, body.rate);
    let speed = (v.norm_squared() + 1.0).sqrt();
    let sticks =
        Vector3::new(libm::sin(2.0 * time), 0.4 * libm::cos(1.3 * time), 0.2 * libm::sin(0.9 * time));
    let damping = rate.component_mul(&Vector3::new(0.12, 0.1, 0.06));
    let weathercock = Vector3::new(-0.004 * v.y, -0.02 * v.z, 0.015 * v.y);
    Loads {
        force: Vector3::new(18.0, 0.0, 0.0) - v.component_mul(&Vector3::new(0.03, 0.25, 1.6)) * speed,
        moment: (weathercock - damping + sticks * 0.08) * speed,
        spin: Vector3::new(0.05, 0.0, -0.002),
    }
}

fn fly<const S: usize>(method: &Tableau<S>, wrench: &impl Wrench, seconds: f64, steps: u32) -> BodyState {
    let stretch = Stretch::in_steps(0.0, seconds, steps).unwrap();
    march(method, stretch, begin(), motion(&body(), GRAVITY, wrench)).unwrap()
}

/// Largest difference in any entry.
fn apart(a: &BodyState, b: &BodyState) -> f64 {
    (packed(a) - packed(b)).amax()
}

fn packed(state: &BodyState) -> SVector<f64, 13> {
    let q = state.attitude;
    let mut all = SVector::<f64, 13>::zeros();
    all.fixed_rows_mut::<3>(0).copy_from(&state.position);
    all.fixed_rows_mut::<3>(3).copy_from(&state.velocity);
    all.fixed_rows_mut::<4>(6).copy_from_slice(&[q.w, q.i, q.j, q.k]);
    all.fixed_rows_mut::<3>(10).copy_from(&state.rate);
    all
}

fn unpacked(all: &SVector<f64, 13>) -> BodyState {
    BodyState {
        position: all.fixed_rows::<3>(0).into(),
        velocity: all.fixed_rows::<3>(3).into(),
        attitude: nalgebra::Quaternion::new(all[6], all[7], all[8], all[9]),
        rate: all.fixed_rows::<3>(10).into(),
    }
}

/// The flight with its time as a fourteenth state. `Dop853` of ode_solvers 0.6.2 evaluates its twelfth
/// stage at the beginning of the step instead of its end (its table of c has 0 there for 1), so it is
/// of order eight only where the slope does not depend on the time it is given.
struct Reference(MassProperties);

impl System<f64, SVector<f64, 14>> for Reference {
    fn system(&self, _: f64, all: &SVector<f64, 14>, slope: &mut SVector<f64, 14>) {
        let state = unpacked(&all.fixed_rows::<13>(0).into());
        let loads = made_up(all[13], &state);
        slope.fixed_rows_mut::<13>(0).copy_from(&packed(&state.slope(&self.0, &GRAVITY, &loads)));
        slope[13] = 1.0;
    }
}

fn by_dop853(seconds: f64) -> BodyState {
    let from = packed(&begin()).push(0.0);
    let mut solver = Dop853::new(Reference(body()), 0.0, seconds, seconds, from, 1e-13, 1e-13);
    solver.set_output(OutputType::Sparse);
    solver.integrate().unwrap();
    let end = solver.y_out().last().unwrap();
    assert!((end[13] - seconds).abs() < 1e-12, "it must reach the end: {end}");
    unpacked(&end.fixed_rows::<13>(0).into()).settled()
}

#[test]
fn a_smooth_flight_agrees_with_an_independent_integrator() {
    let reference = by_dop853(4.0);
    assert!(apart(&reference, &begin()) > 10.0, "it flies: {reference:?}");
    let fifth = apart(&fly(&DORMAND_PRINCE_5, &made_up, 4.0, 4000), &reference);
    assert!(fifth < 1e-10, "{fifth}");
    let fourth = apart(&fly(&CLASSICAL_4, &made_up, 4.0, 8000), &reference);
    assert!(fourth < 1e-10, "{fourth}");
}

/// A free tumble of four seconds, two turns about each axis.
fn tumble<const S: usize>(method: &Tableau<S>, steps: u32) -> BodyState {
    let from = BodyState { position: Vector3::zeros(), rate: Vector3::new(3.0, -4.0, 2.0), ..begin() };
    let free = |_: f64, _: &BodyState| Loads::default();
    let stretch = Stretch::in_steps(0.0, 4.0, steps).unwrap();
    march(method, stretch, from, motion(&body(), GRAVITY, &free)).unwrap()
}

/// The error falls by 2^order when the step is halved.
fn order_of<const S: usize>(method: &Tableau<S>, steps: u32) -> f64 {
    let truth = tumble(&DORMAND_PRINCE_5, 4000);
    let error = |steps| apart(&tumble(method, steps), &truth);
    assert!(error(2 * steps) > 1e-10, "the error must stand above rounding");
    libm::log2(error(steps) / error(2 * steps))
}

#[test]
fn the_classical_method_is_of_fourth_order() {
    for steps in [160, 320, 640] {
        let order = order_of(&CLASSICAL_4, steps);
        assert!((order - 4.0).abs() < 0.15, "{order} at {steps} steps");
    }
}

/// Its fifth-order error is so small that the sixth order shows in coarser steps.
#[test]
fn dormand_prince_is_of_fifth_order() {
    for steps in [320, 640] {
        let order = order_of(&DORMAND_PRINCE_5, steps);
        assert!((order - 5.0).abs() < 0.15, "{order} at {steps} steps");
    }
}

/// Energy (kinetic, rotational, of height) and angular momentum of a thrown, tumbling body.
#[test]
fn without_forces_energy_and_momentum_stay() {
    let mass = body();
    let free = |_: f64, _: &BodyState| Loads::default();
    let energy = |s: &BodyState| {
        let motion = mass.mass() * s.velocity.norm_squared() + s.rate.dot(&(mass.inertia() * s.rate));
        motion / 2.0 - mass.mass() * GRAVITY.dot(&s.position)
    };
    let momentum = |s: &BodyState| earth_from_body(&s.attitude) * (mass.inertia() * s.rate);
    let end = fly(&DORMAND_PRINCE_5, &free, 5.0, 2000);
    assert!((energy(&end) / energy(&begin()) - 1.0).abs() < 1e-11);
    assert!((momentum(&end) - momentum(&begin())).norm() < 1e-11 * momentum(&begin()).norm());
    let level = |s: &BodyState| s.earth_velocity().xy();
    assert!((level(&end) - level(&begin())).norm() < 1e-10, "nothing pushes sideways");
    assert!((end.attitude.norm() - 1.0).abs() < 1e-15);
    // The set-up: gravity has worked, and the body has turned over.
    assert!(end.position.z - begin().position.z > 50.0);
    assert!(apart(&end, &begin()) > 1.0);
}

/// With no force but a moment the energy must change: the test above is not blind.
#[test]
fn with_a_moment_energy_does_not_stay() {
    let twisted = |_: f64, _: &BodyState| Loads { moment: Vector3::new(0.1, 0.0, 0.0), ..Loads::default() };
    let rate = fly(&DORMAND_PRINCE_5, &twisted, 2.0, 200).rate;
    let energy = |rate: Vector3<f64>| rate.dot(&(body().inertia() * rate)) / 2.0;
    assert!(energy(rate) > 1.2 * energy(begin().rate), "{rate}");
}

/// Ticks as the product flies them: every one a stretch of its own.
fn ticks(from: BodyState, range: core::ops::Range<u32>, wrench: &impl Wrench) -> BodyState {
    const TICK: f64 = 0.02;
    let mass = body();
    range.fold(from, |state, tick| {
        let stretch = Stretch::in_steps(f64::from(tick) * TICK, TICK, 4).unwrap();
        march(&CLASSICAL_4, stretch, state, motion(&mass, GRAVITY, wrench)).unwrap()
    })
}

/// Sticks that swing in time tell whether a stretch knows when it begins.
#[test]
fn a_flight_cut_into_ticks_agrees_with_an_independent_integrator() {
    let (cut, reference) = (ticks(begin(), 0..200, &made_up), by_dop853(4.0));
    let differ = apart(&cut, &reference);
    // 5e-8 with four steps of 5 ms by the fourth-order method.
    assert!(differ < 1e-7, "{differ}");
}

#[test]
fn a_flight_in_gusts_saved_in_the_middle_goes_on_with_the_same_bits() {
    let turbulence = Turbulence::low_altitude(60.0, 7.0).unwrap();
    let air = || {
        let gusts = Gusts::new(&turbulence, 20.0, 42).unwrap();
        Air::steady(Vector3::new(-5.0, 3.0, 0.0)).unwrap().with_gusts(gusts)
    };
    let in_air = |air: Air| {
        move |time: f64, body: &BodyState| {
            let wind = earth_from_body(&body.attitude).tr_mul(&air.velocity(time));
            made_up(time, &BodyState { velocity: body.velocity - wind, ..*body })
        }
    };
    let whole = ticks(begin(), 0..200, &in_air(air()));
    let saved = ticks(begin(), 0..77, &in_air(air()));
    let resumed = ticks(saved, 77..200, &in_air(air()));
    assert_eq!(whole, resumed);
    assert!(apart(&whole, &ticks(begin(), 0..200, &made_up)) > 1.0, "the air matters");
}

/// A pitch-up that feeds itself: the march must end with the last state that was sound.
#[test]
fn a_flight_that_runs_away_ends_with_its_last_good_state() {
    let wild = |_: f64, body: &BodyState| {
        let runaway = body.rate.component_mul(&body.rate).component_mul(&body.rate);
        Loads { moment: runaway * 10.0, ..Loads::default() }
    };
    let stretch = Stretch::in_steps(0.0, 10.0, 1000).unwrap();
    let halt = march(&DORMAND_PRINCE_5, stretch, begin(), motion(&body(), GRAVITY, &wild)).unwrap_err();
    assert!(halt.last.is_finite() && halt.time < 10.0 && halt.time >= 0.0, "{halt}");
    let again = fly(&DORMAND_PRINCE_5, &wild, halt.time, (halt.time / 0.01).round() as u32);
    assert!(apart(&again, &halt.last) <= 1e-6 * packed(&halt.last).amax(), "reached by the same steps");
}
