//! An airframe in motion: the rigid body under the loads of `aero`, with its rotor speed and the
//! lagged strengths of the wing's wake.

use crate::air::Air;
use crate::atmosphere::Atmosphere;
use crate::attitude::earth_from_body;
use crate::mass_properties::{MassFault, MassProperties};
use crate::rigid_body::BodyState;
use crate::state::State;
use crate::wrench::Loads;
use aero::{
    Cause, Causes, Coefficients, Deflections, Instant, MAX_WING_STRIPS, Model, Outcome, Scratch, Total, Wake,
    steady_rotor_speed,
};
use airframe::Geometry;
use core::f64::consts::PI;
use measure::G0;
use nalgebra::Vector3;

/// An airframe ready to fly.
#[derive(Debug, Clone)]
pub struct Aircraft {
    /// Its forces.
    pub model: Model,
    /// Its mass and inertia.
    pub mass: MassProperties,
}

/// Why an airframe cannot fly.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum AircraftFault {
    /// No body has such mass or inertia.
    #[error(transparent)]
    Mass(#[from] MassFault),
    /// Too many wing strips.
    #[error("the wings have {found} strips, at most {MAX_WING_STRIPS} are possible; take fewer per half")]
    Strips {
        /// How many.
        found: usize,
    },
}

/// Everything about an aircraft that changes smoothly in time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AircraftState {
    /// Where it is and how it moves.
    pub body: BodyState,
    /// Rotor speed [rev/s].
    pub rotor: f64,
    /// Strengths of the wing's wake as the tail sees it [m^2/s], strip by strip; unused ones 0.
    pub wake: [f64; MAX_WING_STRIPS],
}

impl State for AircraftState {
    fn advance(&mut self, factor: f64, slope: &Self) {
        self.body.advance(factor, &slope.body);
        self.rotor += factor * slope.rotor;
        self.wake.advance(factor, &slope.wake);
    }

    fn is_finite(&self) -> bool {
        self.body.is_finite() && self.rotor.is_finite() && self.wake.is_finite()
    }

    fn settled(self) -> Self {
        Self { body: self.body.settled(), ..self }
    }
}

/// The air around, and the height of the field.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surroundings {
    /// Wind and gusts.
    pub air: Air,
    /// Height above sea level of the point that earth positions count from \[m\].
    pub elevation: f64,
}

impl Surroundings {
    /// Still air at sea level.
    pub const CALM: Self = Self { air: Air::STILL, elevation: 0.0 };

    /// Density at an earth position [kg/m^3]. Outside the atmosphere it is no number, and a flight
    /// that gets there has diverged.
    #[must_use]
    pub fn density(&self, position: &Vector3<f64>) -> f64 {
        Atmosphere::at_height(self.elevation - position.z).map_or(f64::NAN, |a| a.density)
    }
}

/// What the pilot's commands have become at an instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Controls {
    /// Deflection of every surface \[rad\].
    pub deflections: Deflections,
    /// 0 idle .. 1 full.
    pub throttle: f64,
    /// Which causes act.
    pub causes: Causes,
}

/// Room to calculate in. Holds nothing that a flight depends on: it may be swapped at any tick.
#[derive(Debug, Clone)]
pub struct Bench {
    /// For the forces.
    pub scratch: Scratch,
    /// The wake of the current tick.
    pub wake: Wake,
}

impl Bench {
    /// Room for `aircraft`.
    #[must_use]
    pub fn new(aircraft: &Aircraft) -> Self {
        Self { scratch: Scratch::new(&aircraft.model), wake: Wake::new(&aircraft.model) }
    }
}

impl Aircraft {
    /// Prepares an airframe.
    ///
    /// # Errors
    /// [`AircraftFault`] for a mass that no body has, or too many strips.
    pub fn new(geometry: &Geometry, coefficients: &Coefficients) -> Result<Self, AircraftFault> {
        let found = geometry.wing_strips;
        if found > MAX_WING_STRIPS {
            return Err(AircraftFault::Strips { found });
        }
        let mass = MassProperties::new(geometry.mass, geometry.inertia)?;
        Ok(Self { model: Model::prepare(geometry, coefficients), mass })
    }

    /// The instant at which the forces are asked for.
    #[must_use]
    pub fn instant(
        &self,
        state: &AircraftState,
        time: f64,
        around: &Surroundings,
        controls: &Controls,
    ) -> Instant {
        let to_body = earth_from_body(&state.body.attitude).transpose();
        Instant {
            velocity: state.body.velocity,
            rate: state.body.rate,
            air: to_body * around.air.velocity(time),
            deflections: controls.deflections,
            throttle: controls.throttle,
            rotor: state.rotor,
            density: around.density(&state.body.position),
            causes: controls.causes,
        }
    }

    /// Slope of the state in the held wake of `bench`.
    pub fn slope(
        &self,
        state: &AircraftState,
        time: f64,
        around: &Surroundings,
        controls: &Controls,
        bench: &mut Bench,
    ) -> AircraftState {
        let at = self.instant(state, time, around, controls);
        let n = self.model.wing_strips();
        let mut total = Total::default();
        let outcome = self.model.forces(&at, &bench.wake, &state.wake[..n], &mut bench.scratch, &mut total);
        let mut slope = self.slope_under(state, &at, &total, &outcome);
        // the wake travels from wing to tail with the airspeed
        let rate = (at.velocity - at.air).norm() / self.model.parts().lag_length;
        for ((to, from), now) in slope.wake.iter_mut().zip(&state.wake).zip(bench.scratch.circulation()) {
            *to = (now - from) * rate;
        }
        slope
    }

    /// Slope of a state whose wake belongs to it: for steady states. The wake's slope is 0.
    pub fn steady_slope(
        &self,
        state: &AircraftState,
        around: &Surroundings,
        controls: &Controls,
        bench: &mut Bench,
    ) -> AircraftState {
        let at = self.instant(state, 0.0, around, controls);
        self.steady_slope_at(state, &at, bench)
    }

    /// As [`Aircraft::steady_slope`], at an instant of which velocity, rate and rotor speed are
    /// those of `state`.
    pub fn steady_slope_at(&self, state: &AircraftState, at: &Instant, bench: &mut Bench) -> AircraftState {
        let mut total = Total::default();
        let outcome = self.model.forces_steady(at, &mut bench.scratch, &mut total);
        self.slope_under(state, at, &total, &outcome)
    }

    fn slope_under(
        &self,
        state: &AircraftState,
        at: &Instant,
        total: &Total,
        outcome: &Outcome,
    ) -> AircraftState {
        let loads = Loads { force: total.force, moment: total.moment, spin: self.spin(at) };
        let gravity = Vector3::new(0.0, 0.0, G0);
        let rotor = self
            .model
            .parts()
            .propulsor
            .as_ref()
            .map_or(0.0, |p| (outcome.motor_torque - outcome.thrust.torque) / (2.0 * PI * p.inertia));
        AircraftState {
            body: state.body.slope(&self.mass, &gravity, &loads),
            rotor,
            wake: [0.0; MAX_WING_STRIPS],
        }
    }

    /// Angular momentum of the rotor, body axes [kg m^2/s]; none where its cause is off.
    #[must_use]
    pub fn spin(&self, at: &Instant) -> Vector3<f64> {
        match &self.model.parts().propulsor {
            Some(p) if at.causes.has(Cause::Torque) => {
                p.axis * (p.rotation * p.inertia * 2.0 * PI * at.rotor)
            }
            _ => Vector3::zeros(),
        }
    }

    /// Rotor speed [rev/s] that belongs to a velocity [m/s, body axes, relative to the air].
    #[must_use]
    pub fn steady_rotor(&self, flow: &Vector3<f64>, throttle: f64, density: f64) -> f64 {
        self.model
            .parts()
            .propulsor
            .as_ref()
            .map_or(0.0, |p| steady_rotor_speed(p, throttle, flow.dot(&p.axis), density))
    }

    /// The same state with the wake that belongs to it.
    #[must_use]
    pub fn with_steady_wake(
        &self,
        state: AircraftState,
        around: &Surroundings,
        controls: &Controls,
        bench: &mut Bench,
    ) -> AircraftState {
        self.steady_slope(&state, around, controls, bench);
        let mut wake = [0.0; MAX_WING_STRIPS];
        for (to, from) in wake.iter_mut().zip(bench.scratch.circulation()) {
            *to = *from;
        }
        AircraftState { wake, ..state }
    }
}
