//! Rotation without a moment, closed forms.
//! Sources: Goldstein, Poole & Safko, *Classical Mechanics*, 3rd ed., section 5.6; Landau & Lifshitz,
//! *Mechanics*, 3rd ed., section 37 (section numbers from memory; the numbers were worked out from the
//! formulas and checked by an independent integration).

#![allow(clippy::unwrap_used, reason = "helpers of tests may fail the test")]

use flight::{BodyState, DORMAND_PRINCE_5, Loads, MassProperties, Stretch, earth_from_body, march, motion};
use nalgebra::{Matrix3, Quaternion, Vector3};

const STEP: f64 = 0.001;

struct Spinner {
    mass: MassProperties,
    begin: BodyState,
}

impl Spinner {
    fn new(inertia: [f64; 3], rate: [f64; 3]) -> Self {
        let begin = BodyState {
            position: Vector3::zeros(),
            velocity: Vector3::zeros(),
            attitude: Quaternion::identity(),
            rate: rate.into(),
        };
        Self { mass: MassProperties::new(1.0, Matrix3::from_diagonal(&inertia.into())).unwrap(), begin }
    }

    fn after(&self, seconds: f64) -> BodyState {
        self.from(self.begin, seconds)
    }

    fn from(&self, state: BodyState, seconds: f64) -> BodyState {
        let free = |_: f64, _: &BodyState| Loads::default();
        let stretch = Stretch::in_steps_of(0.0, seconds, STEP).unwrap();
        march(&DORMAND_PRINCE_5, stretch, state, motion(&self.mass, Vector3::zeros(), &free)).unwrap()
    }

    fn energy(&self, state: &BodyState) -> f64 {
        state.rate.dot(&(self.mass.inertia() * state.rate)) / 2.0
    }

    /// In earth axes, where it must stand still.
    fn momentum(&self, state: &BodyState) -> Vector3<f64> {
        earth_from_body(&state.attitude) * (self.mass.inertia() * state.rate)
    }
}

fn relative(what: &str, found: f64, wanted: f64, tolerance: f64) {
    assert!((found / wanted - 1.0).abs() < tolerance, "{what}: {found} instead of {wanted}");
}

/// I1 = I2 = 0.60, I3 = 0.25 kg m^2, 6 rad/s about axis 3 and 1 rad/s across it.
fn symmetric() -> Spinner {
    Spinner::new([0.60, 0.60, 0.25], [1.0, 0.0, 6.0])
}

/// The transverse rate turns in the body at (I3 - I1)/I1 w3 = -3.5 rad/s, once in 1.7951958 s.
#[test]
fn val_symmetric_body_rate_vector_turns_in_the_body() {
    let spinner = symmetric();
    for time in [0.1, 0.5, 1.0, 1.7] {
        let rate = spinner.after(time).rate;
        let (sin, cos) = libm::sincos(-3.5 * time);
        assert!((rate - Vector3::new(cos, sin, 6.0)).norm() < 1e-6, "{time} s: {rate}");
    }
    assert!((spinner.after(1.795_195_8).rate - spinner.begin.rate).norm() < 1e-6);
}

/// In space the axis of symmetry runs round the angular momentum at H/I1 = 2.69258240 rad/s on a
/// cone of 21.8014095 deg; H = 1.61554944 N m s, E = 4.8 J.
#[test]
fn val_symmetric_body_axis_precesses_in_space() {
    let spinner = symmetric();
    relative("energy", spinner.energy(&spinner.begin), 4.8, 1e-6);
    relative("momentum", spinner.momentum(&spinner.begin).norm(), 1.615_549_44, 1e-6);
    let along = spinner.momentum(&spinner.begin).normalize();
    let axis = |state: &BodyState| earth_from_body(&state.attitude) * Vector3::z();
    let across = |axis: Vector3<f64>| axis - along * axis.dot(&along);
    let start = across(axis(&spinner.begin));
    for time in [0.2, 0.6, 1.1] {
        let now = axis(&spinner.after(time));
        let cone = libm::acos(now.dot(&along)).to_degrees();
        relative("cone angle", cone, 21.801_409_5, 1e-6);
        let turned = libm::atan2(start.cross(&across(now)).dot(&along), start.dot(&across(now)));
        relative("precession", turned / time, 2.692_582_40, 1e-6);
    }
}

/// I = 0.20, 0.35, 0.50 kg m^2, spinning at 5 rad/s about the intermediate axis with 0.01 rad/s about
/// the others: close to a separatrix.
fn tumbling() -> Spinner {
    Spinner::new([0.20, 0.35, 0.50], [0.01, 5.0, 0.01])
}

/// Times at which the intermediate rate passes zero, by halving between marched states.
fn zeros_of_the_intermediate_rate(spinner: &Spinner, until: f64) -> Vec<f64> {
    const STRIDE: f64 = 0.05;
    let mut zeros = Vec::new();
    let mut state = spinner.begin;
    for k in 0..(until / STRIDE) as u32 {
        let next = spinner.from(state, STRIDE);
        if state.rate.y * next.rate.y < 0.0 {
            let (mut early, mut late) = (0.0, STRIDE);
            for _ in 0..30 {
                let middle = (early + late) / 2.0;
                let passed = spinner.from(state, middle).rate.y * state.rate.y < 0.0;
                if passed { late = middle } else { early = middle }
            }
            zeros.push(f64::from(k) * STRIDE + early);
        }
        state = next;
    }
    zeros
}

/// First zeros at 3.405492, 9.587854 and 15.770215 s, period 4 K(k)/n = 12.36472302 s.
#[test]
fn val_intermediate_axis_flips_on_time() {
    let zeros = zeros_of_the_intermediate_rate(&tumbling(), 16.0);
    assert_eq!(zeros.len(), 3, "{zeros:?}");
    for (found, wanted) in zeros.iter().zip([3.405_492, 9.587_854, 15.770_215]) {
        assert!((found - wanted).abs() < 1e-4, "{zeros:?}");
    }
    assert!((zeros[2] - zeros[0] - 12.364_723_02).abs() < 1e-4, "{zeros:?}");
}

/// 2E = 8.75007 J and H = 1.75000829 N m s, over two flips.
#[test]
fn val_intermediate_axis_invariants() {
    let spinner = tumbling();
    let begin = spinner.momentum(&spinner.begin);
    relative("2E", 2.0 * spinner.energy(&spinner.begin), 8.750_07, 1e-8);
    // Given to nine digits.
    relative("H", begin.norm(), 1.750_008_29, 3e-9);
    for time in [2.0, 4.0, 8.0, 12.0, 16.0] {
        let state = spinner.after(time);
        relative("2E", spinner.energy(&state), spinner.energy(&spinner.begin), 1e-8);
        assert!((spinner.momentum(&state) - begin).norm() < 1e-8 * begin.norm(), "in size and direction");
    }
}

/// Rate at 3 s: (-3.1196024, 3.7253082, 1.9730250) rad/s.
#[test]
fn val_intermediate_axis_rate_on_the_way() {
    let rate = tumbling().after(3.0).rate;
    let wanted = Vector3::new(-3.119_602_4, 3.725_308_2, 1.973_025_0);
    assert!((rate - wanted).amax() < 1e-4, "{rate}");
}
