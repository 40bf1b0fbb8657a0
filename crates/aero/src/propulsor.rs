use airframe::{Part, PropulsorShape};
use core::f64::consts::PI;
use nalgebra::Vector3;

use crate::causes::Cause;
use crate::coefficients::Coefficients;
use crate::instant::Instant;
use crate::motor::Motor;
use crate::swirl_shares::SwirlShares;
use crate::tally::{Effect, Tally};

/// Density for which the motor is sized [kg/m^3].
const SIZING_DENSITY: f64 = 1.225;
/// Lift slope of a blade section [1/rad] and mean of the twist over the blade: own
/// blade-element average.
const BLADE_SLOPE: f64 = 5.5;
const BLADE_TWIST: f64 = 1.6;

/// Propeller or fan with its motor. Body axes.
#[derive(Debug, Clone, PartialEq)]
pub struct Propulsor {
    /// Diameter \[m\].
    pub diameter: f64,
    /// Pitch \[m\].
    pub pitch: f64,
    /// Static thrust coefficient.
    pub thrust_static: f64,
    /// Advance ratio of no thrust.
    pub no_thrust: f64,
    /// Static power coefficient.
    pub power_static: f64,
    /// Gain of power coefficient per advance ratio.
    pub power_rise: f64,
    /// Loss of power coefficient per square of advance ratio.
    pub power_fall: f64,
    /// How full the curve of thrust over advance ratio is: 0 straight.
    pub thrust_bulge: f64,
    /// Hub \[m\].
    pub hub: Vector3<f64>,
    /// Unit vector of the thrust.
    pub axis: Vector3<f64>,
    /// +1 clockwise seen from behind.
    pub rotation: f64,
    /// Inertia of what turns [kg m^2].
    pub inertia: f64,
    /// Mean blade chord \[m\].
    pub blade_chord: f64,
    /// Number of blades.
    pub blades: f64,
    /// Inlet area of a ducted fan [m^2].
    pub duct_inlet: Option<f64>,
    /// Relief of side force and hub moment by the inflow.
    pub in_plane_relief: f64,
    /// What turns it.
    pub motor: Motor,
    /// How much of the swirl each part takes.
    pub swirl: SwirlShares,
}

/// What a propeller does at an instant.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Thrust {
    /// Speed of the hub along the axis [m/s].
    pub axial: f64,
    /// Velocity of the hub across the axis [m/s].
    pub cross: Vector3<f64>,
    /// Thrust \[N\].
    pub thrust: f64,
    /// Torque that the air puts on the propeller [N m].
    pub torque: f64,
    /// Speed that the disc adds at the disc [m/s].
    pub induced: f64,
}

impl Propulsor {
    /// Sizes propeller and motor from what was measured. The swirl shares are still full.
    #[must_use]
    pub fn prepare(shape: &PropulsorShape, motor: &airframe::Motor, c: &Coefficients) -> Self {
        let ratio = shape.pitch / shape.diameter;
        let given = &shape.coefficients;
        let no_thrust = given.no_thrust.unwrap_or(c.no_thrust_slope * ratio + c.no_thrust_base);
        let power_static =
            given.power.unwrap_or(c.power_base + c.power_slope * ratio + c.power_square * ratio * ratio);
        let thrust_static = (c.thrust_base + c.thrust_slope * ratio).min(c.thrust_most);
        let bulge = (c.thrust_bulge_base + c.thrust_bulge_slope * ratio).clamp(0.0, 1.2);
        // measured coefficients come with the plain curves they are documented for
        let (rise, no_power) = match given.no_power {
            Some(no_power) => (0.0, no_power),
            None => (c.power_rise, c.no_power_ratio * no_thrust),
        };
        let size = shape.diameter * shape.diameter;
        let static_torque =
            |n: f64| SIZING_DENSITY * size * size * shape.diameter / (2.0 * PI) * power_static * n * n;
        let (full, idle) = (motor.full.value, motor.idle.value);
        let mut sized = Motor::sized(full, static_torque(full), motor.voltage.value, c.no_load, 0.0);
        sized.idle = sized.idle_share(idle, static_torque(idle));
        if let Some(half) = motor.half.map(|half| half.value) {
            sized.bend = sized.bend_for(half, static_torque(half));
        }
        Self {
            diameter: shape.diameter,
            pitch: shape.pitch,
            thrust_static: given.thrust.unwrap_or(thrust_static),
            no_thrust,
            power_static,
            power_rise: power_static * rise / no_thrust,
            power_fall: power_static * (1.0 + rise * no_power / no_thrust) / (no_power * no_power),
            thrust_bulge: if given.no_thrust.is_some() { 0.0 } else { bulge },
            hub: shape.hub,
            axis: shape.axis,
            rotation: shape.rotation,
            inertia: shape.inertia.unwrap_or_else(|| rotor_inertia(shape)),
            blade_chord: c.blade_chord * shape.diameter,
            blades: shape.blades,
            duct_inlet: shape.duct_inlet,
            in_plane_relief: c.propeller_side,
            motor: sized,
            swirl: SwirlShares::FULL,
        }
    }

    fn disc_area(&self) -> f64 {
        PI * self.diameter * self.diameter / 4.0
    }

    /// Thrust and torque at `n` [rev/s] and axial speed `axial` [m/s]. Polynomial in both, so
    /// that rest and tail slides are ordinary; no division by `n`.
    /// Source of the induced speed: momentum theory (McCormick, from memory).
    #[must_use]
    pub fn thrust(&self, n: f64, axial: f64, density: f64) -> Thrust {
        let d = self.diameter;
        let d2 = d * d;
        let area = self.disc_area();
        let speed = axial.max(-0.5 * d * n);
        let x = speed / (d * self.no_thrust);
        let lift = density
            * d2
            * d2
            * self.thrust_static
            * (n * n - (1.0 - self.thrust_bulge) * n * x - self.thrust_bulge * x * x.abs());
        // a windmilling disc brakes no more than a porous plate
        let thrust = lift.max(-0.35 * 0.5 * density * axial * axial.abs() * area);
        let torque = density * d2 * d2 * d / (2.0 * PI)
            * (self.power_static * n * n + self.power_rise * n * speed / d
                - self.power_fall * speed * speed.abs() / d2);
        let induced = if axial >= 0.0 || thrust > 0.0 {
            let square = (axial * axial + 2.0 * thrust / (density * area)).max(0.16 * axial * axial);
            0.5 * (square.sqrt() - axial)
        } else {
            0.0
        };
        Thrust { axial, cross: Vector3::zeros(), thrust, torque, induced }
    }

    /// As [`Propulsor::thrust`] for a hub moving with the airframe.
    #[must_use]
    pub(crate) fn at(&self, at: &Instant) -> Thrust {
        let hub = at.velocity - at.air + at.rate.cross(&self.hub);
        let axial = hub.dot(&self.axis);
        Thrust { cross: hub - self.axis * axial, ..self.thrust(at.rotor, axial, at.density) }
    }

    /// Puts its forces on the airframe. The airframe feels the motor's torque; what the air takes
    /// turns the jet.
    pub(crate) fn act<T: Tally>(&self, at: &Instant, now: &Thrust, tally: &mut T) {
        let in_plane = at.causes.has(Cause::PropellerInPlane);
        let (force, hub_moment) = if in_plane { self.in_plane(at, now) } else { (0.0, 0.0) };
        let add = |tally: &mut T, effect, force, couple| {
            tally.add(Part::Propulsor, effect, force, self.hub, couple);
        };
        add(tally, Effect::Thrust, self.axis * now.thrust, Vector3::zeros());
        add(tally, Effect::InPlane, now.cross * -force, now.cross * (-self.rotation * hub_moment));
        if self.duct_inlet.is_none() && at.causes.has(Cause::Torque) {
            let reaction = self.rotation * self.motor.torque(at.throttle, at.rotor);
            add(tally, Effect::Torque, Vector3::zeros(), self.axis * -reaction);
        }
    }

    /// Side force and hub moment per speed across the axis [N s/m, N s].
    /// Own blade-element average; idea of Ribner, NACA Reports 819 and 820 (summaries seen).
    /// A duct turns the whole inlet flow to its axis instead.
    fn in_plane(&self, at: &Instant, now: &Thrust) -> (f64, f64) {
        let (va, vi) = (now.axial, now.induced);
        if let Some(inlet) = self.duct_inlet {
            return (at.density * inlet * (va * va + vi * vi + 2.0 * vi * va.abs() + 1e-9).sqrt(), 0.0);
        }
        let through = (va + vi).max(0.0);
        let blades = 0.25 * self.blades * at.density * BLADE_SLOPE * self.blade_chord * self.in_plane_relief;
        let force = blades * through * self.pitch / (2.0 * PI) * BLADE_TWIST;
        let slip = (2.0 * at.rotor * self.pitch - through).max(0.0);
        (force, blades * slip * self.diameter * self.diameter / 8.0)
    }
}

/// Inertia of rotor, shaft and spinner from the propeller's mass, or from its diameter: 130 g at 0.5 m (wood and carbon
/// propellers of that size weigh 90 to 150 g, from memory).
fn rotor_inertia(shape: &PropulsorShape) -> f64 {
    let size = shape.diameter / 0.5;
    let mass = shape.mass.unwrap_or(0.13 * size * size * size);
    0.30 * mass * shape.diameter * shape.diameter / 4.0
}

/// Rotor speed [rev/s] at which motor and air agree, at axial speed `axial` [m/s]: 0 where the air
/// holds it.
///
/// A secant between a speed at which the motor wins and one at which the air does. Where one end stays
/// twice, half of its torque is taken, so that both close in ("Illinois", from memory).
#[must_use]
pub fn steady_rotor_speed(p: &Propulsor, throttle: f64, axial: f64, density: f64) -> f64 {
    const MOST_STEPS: usize = 100;
    let spare = |n: f64| p.motor.torque(throttle, n) - p.thrust(n, axial, density).torque;
    let (mut low, mut high) = (0.0, p.motor.voltage / (2.0 * PI * p.motor.constant) * 1.5);
    let (mut at_low, mut at_high) = (spare(low), spare(high));
    if at_low <= 0.0 {
        return low;
    }
    if at_high >= 0.0 {
        return high;
    }
    let (mut speed, mut faster) = (high, None);
    for _ in 0..MOST_STEPS {
        let next = low + (high - low) * (at_low / (at_low - at_high));
        let arrived = (next - speed).abs() <= 1e-15 * next;
        speed = next;
        if arrived {
            break;
        }
        let at = spare(speed);
        if at > 0.0 {
            (low, at_low) = (speed, at);
            at_high *= if faster == Some(true) { 0.5 } else { 1.0 };
        } else {
            (high, at_high) = (speed, at);
            at_low *= if faster == Some(false) { 0.5 } else { 1.0 };
        }
        faster = Some(at > 0.0);
    }
    speed
}
