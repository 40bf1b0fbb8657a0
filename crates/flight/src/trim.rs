//! Steady straight flight: attitude, controls and throttle for a course.

use crate::aircraft::{Aircraft, AircraftState, Bench, Controls, Surroundings};
use crate::attitude::{Euler, earth_from_body};
use crate::rigid_body::BodyState;
use crate::steady::{Search, SearchFault, find_steady};
use aero::{Causes, Deflections, MAX_WING_STRIPS};
use core::cell::RefCell;
use measure::G0;
use nalgebra::{Matrix3, Quaternion, Vector3};

/// A straight path at a steady speed, relative to the air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Course {
    /// Airspeed [m/s].
    pub speed: f64,
    /// Climb angle \[rad\].
    pub climb: f64,
    /// Bank about the path, + right wing down \[rad\].
    pub bank: f64,
    /// `None`: the throttle that keeps the speed; otherwise this one, and the speed may change.
    pub throttle: Option<f64>,
}

/// What a pilot's three sticks do to the surfaces: shares of full throw to deflections \[rad\].
/// Shares beyond 1 are extrapolated: "needs 145 %" is an answer.
pub type Linkage<'a> = &'a dyn Fn([f64; 3]) -> Deflections;

/// A steady state, or the nearest miss.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trimmed {
    /// The state, at the origin, heading north, with its steady wake.
    pub state: AircraftState,
    /// Aileron, elevator, rudder as shares of full throw.
    pub sticks: [f64; 3],
    /// 0..1 and beyond.
    pub throttle: f64,
    /// Whether it is a steady state.
    pub converged: bool,
    /// Largest left-over acceleration in its scale.
    pub worst: f64,
}

/// Why a trim could not even begin.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum TrimFault {
    /// The search has no start.
    #[error("no steady flight can be searched: {0}")]
    Search(#[from] SearchFault),
}

const TOLERANCE: f64 = 1e-9;

impl Aircraft {
    /// Searches steady flight on `course`: no acceleration across the path, no angular
    /// acceleration, and none along the path unless the throttle is given.
    ///
    /// # Errors
    /// [`TrimFault`] if the course has no numbers to begin with. No steady state is a result that
    /// says so.
    pub fn trim(
        &self,
        course: &Course,
        around: &Surroundings,
        linkage: Linkage,
        start: Option<&Trimmed>,
        bench: &mut Bench,
    ) -> Result<Trimmed, TrimFault> {
        let attempt = Attempt { aircraft: self, course, around, linkage, bench: RefCell::new(bench) };
        let begin = start.map_or_else(|| attempt.first_guess(), |t| attempt.values_of(t));
        let used = if course.throttle.is_some() { 5 } else { 6 };
        let search = Search {
            start: &begin[..used],
            scales: &[0.1, 0.1, 0.1, 0.1, 0.1, 0.2][..used],
            residual_scales: &attempt.residual_scales()[..used],
            tolerance: TOLERANCE,
        };
        let found = find_steady(|x| attempt.residuals(x), &search)?;
        let (state, controls) = attempt.at(&found.values);
        let mut bench = attempt.bench.borrow_mut();
        Ok(Trimmed {
            state: self.with_steady_wake(state, around, &controls, &mut bench),
            sticks: [found.values[2], found.values[3], found.values[4]],
            throttle: course.throttle.unwrap_or_else(|| found.values[5]),
            converged: found.converged,
            worst: found.worst,
        })
    }
}

/// Variables: incidence-like pitch and sideslip-like yaw about the banked path, aileron, elevator,
/// rudder, throttle. Body-axis rotations, so that vertical paths are ordinary.
struct Attempt<'a> {
    aircraft: &'a Aircraft,
    course: &'a Course,
    around: &'a Surroundings,
    linkage: Linkage<'a>,
    bench: RefCell<&'a mut Bench>,
}

impl Attempt<'_> {
    fn first_guess(&self) -> [f64; 6] {
        let side = libm::sin(self.course.bank);
        if side.abs() > 0.3 {
            [0.0, -0.2 * side.signum(), 0.0, 0.0, -0.5 * side.signum(), 0.5]
        } else {
            [0.03, 0.0, 0.0, 0.0, 0.0, 0.5]
        }
    }

    fn values_of(&self, t: &Trimmed) -> [f64; 6] {
        let air = t.state.body.velocity;
        let yaw = -libm::atan2(air.y, libm::hypot(air.x, air.z));
        let pitch = libm::atan2(air.z, air.x);
        [pitch, yaw, t.sticks[0], t.sticks[1], t.sticks[2], t.throttle]
    }

    fn path(&self) -> Matrix3<f64> {
        earth_from_body(&Euler { roll: self.course.bank, pitch: self.course.climb, yaw: 0.0 }.attitude())
    }

    fn attitude(&self, x: &[f64]) -> Quaternion<f64> {
        let along = Euler { roll: self.course.bank, pitch: self.course.climb, yaw: 0.0 }.attitude();
        let yawed = Euler { roll: 0.0, pitch: 0.0, yaw: x[1] }.attitude();
        let pitched = Euler { roll: 0.0, pitch: x[0], yaw: 0.0 }.attitude();
        along * yawed * pitched
    }

    fn at(&self, x: &[f64]) -> (AircraftState, Controls) {
        let attitude = self.attitude(x);
        let flow = earth_from_body(&attitude).tr_mul(&(self.path().column(0) * self.course.speed));
        let to_body = earth_from_body(&attitude).transpose();
        let throttle = self.course.throttle.unwrap_or_else(|| x[5]).max(0.0);
        let density = self.around.density(&Vector3::zeros());
        let body = BodyState {
            position: Vector3::zeros(),
            velocity: flow + to_body * self.around.air.velocity(0.0),
            attitude,
            rate: Vector3::zeros(),
        };
        let rotor = self.aircraft.steady_rotor(&flow, throttle, density);
        let controls =
            Controls { deflections: (self.linkage)([x[2], x[3], x[4]]), throttle, causes: Causes::ALL };
        (AircraftState { body, rotor, wake: [0.0; MAX_WING_STRIPS] }, controls)
    }

    /// Accelerations across the path (two), of roll, pitch and yaw, and along the path.
    fn residuals(&self, x: &[f64]) -> Vec<f64> {
        let (state, controls) = self.at(x);
        let slope = self.aircraft.steady_slope(&state, self.around, &controls, &mut self.bench.borrow_mut());
        let acceleration = self.path().tr_mul(&(earth_from_body(&state.body.attitude) * slope.body.velocity));
        let turn = slope.body.rate;
        // less than no throttle is no throttle, and a residual that leads back
        let below = x.get(5).map_or(0.0, |t| t.min(0.0) * G0);
        let all = [acceleration.y, acceleration.z, turn.x, turn.y, turn.z, acceleration.x + below];
        all[..x.len()].to_vec()
    }

    /// A weight, and a tenth of a weight at the end of a lever of half a metre or so.
    fn residual_scales(&self) -> [f64; 6] {
        let inertia = self.aircraft.mass.inertia();
        let moment = 0.05 * self.aircraft.mass.mass() * G0;
        let turn = |i: usize| moment / inertia[(i, i)];
        [G0, G0, turn(0), turn(1), turn(2), G0]
    }
}
