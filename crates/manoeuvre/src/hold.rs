//! How the scripted pilot holds a quantity with a stick: a fast loop on the rate of turn that
//! knows the feel of the airframe, a slow one on the nose, a slower one on the path. Gains are
//! the same for every airframe: they are rates in 1/s, and the feel turns them into stick.

use crate::aim::{View, wrapped};
use crate::feel::Feel;
use crate::rig::Rig;
use crate::scenario::Quantity;
use measure::{DEG, G0, Stick};
use nalgebra::{Matrix3, Vector3};

/// How quick a hand is, and what it overlooks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Quickness {
    /// How late it sees \[s\].
    pub(crate) delay: f64,
    /// Angles, speeds [m/s] and heights \[m\] that it overlooks.
    overlooked: [f64; 2],
    /// Rate of turn is corrected with this quickness [1/s], and what is left of it is trimmed away
    /// with that [1/s].
    turn: [f64; 2],
    /// Attitude (bank, nose) is corrected with this [1/s].
    attitude: f64,
    /// The path is corrected with this [1/s], and this much more every second [1/s^2].
    path: [f64; 2],
}

impl Quickness {
    /// Sees at once and overlooks nothing: the stick that a line takes, and nothing else.
    pub(crate) const PRECISE: Self =
        Self { delay: 0.0, overlooked: [0.0; 2], turn: [8.0, 2.0], attitude: 5.0, path: [1.5, 1.0] };
    /// A person: late by a quarter of a second, nearly blind below a degree (both from memory, no source).
    /// With that delay a loop goes round at 1 to 2 per second and no faster; what is quick comes
    /// from knowing the feel.
    pub(crate) const HUMAN: Self =
        Self { delay: 0.25, overlooked: [DEG, 0.5], turn: [1.5, 0.8], attitude: 1.5, path: [1.0, 0.25] };
}

/// The nose is not put further from the path than this \[rad\].
const MOST_NOSE: f64 = 0.6;
/// Throttle per m/s of airspeed, and the same per second.
const SPEED: f64 = 0.1;
const SPEED_TRIM: f64 = 0.1;
/// Throttle per m/s of climb, and the same per second: where the thrust carries the weight, the
/// rotor's own time asks for a softer hand.
const LIFT: f64 = 0.06;
const LIFT_TRIM: f64 = 0.03;
/// Climb per metre below the height to be held [1/s], and at most [m/s].
const CLIMB: f64 = 0.5;
const MOST_CLIMB: f64 = 3.0;

/// What a hold remembers from tick to tick. It works on commands: shares of full throw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Hold {
    /// Command that is held against what the rate of turn leaves; `None` before the first look.
    trim: Option<f64>,
    /// Command when it took over.
    begun: f64,
    /// When it last looked \[s\].
    looked: f64,
    /// Since the look before \[s\].
    dt: f64,
    /// How far the nose is held from where the feel says it belongs \[rad\].
    nose: f64,
    /// How far the quantity was from its target when last seen, in its unit.
    pub(crate) error: f64,
}

/// What is held, and where.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Wish {
    pub(crate) stick: Stick,
    pub(crate) quantity: Quantity,
    /// In the unit of the quantity; a line and a nose have none.
    pub(crate) target: f64,
    /// Frame of the leg's line, without bank.
    pub(crate) frame: Matrix3<f64>,
}

impl Hold {
    /// Taking over at `time` \[s\] from a command that stands at `position`.
    pub(crate) const fn taking_over(position: f64, time: f64) -> Self {
        Self { trim: None, begun: position, looked: time, dt: 0.0, nose: 0.0, error: 0.0 }
    }

    /// The command that holds what is wished, as `view` shows it to the pilot at `time` \[s\].
    pub(crate) fn command(
        &mut self,
        rig: &Rig,
        view: &View,
        wish: &Wish,
        quick: &Quickness,
        time: f64,
    ) -> f64 {
        (self.dt, self.looked) = (time - self.looked, time);
        let axis = match wish.stick {
            Stick::Throttle => return self.throttle(view, wish, quick),
            stick => stick as usize,
        };
        let feel = rig.feel[axis].at(view.airspeed, rig.trimmed_speed, &rig.wash[axis], view.rotor);
        if wish.stick == Stick::Aileron {
            return self.roll(&feel, view, wish, quick);
        }
        let rudder = wish.stick == Stick::Rudder;
        let side = view.side(rudder);
        // nose from the path towards that side
        let nose = -view.path.dot(&side);
        let turn = if rudder { view.rate.z } else { view.rate.y };
        match wish.quantity {
            Quantity::Nose => {
                // a model that rolls on its propeller brings another stick round while hand and servo
                // are late
                let view = view.turned_on(quick.delay + rig.servo_delay());
                let side = view.side(rudder);
                let (nose, turn) = (-view.path.dot(&side), if rudder { view.rate.z } else { view.rate.y });
                self.error = libm::asin(wish.frame.column(0).dot(&side).clamp(-1.0, 1.0));
                let wanted = quick.attitude * quick.seen_angle(self.error);
                self.turn(&feel, wanted, turn, nose, quick)
            }
            Quantity::PitchRate => {
                self.error = wish.target - turn;
                self.turn(&feel, wish.target, turn, nose, quick)
            }
            Quantity::Sideslip => {
                self.error = wish.target + nose;
                let bends = feel.lift * (nose - feel.zero) + gravity(view, &side);
                let wanted = -quick.attitude * quick.seen_angle(self.error) + bends;
                self.turn(&feel, wanted, turn, -wish.target, quick)
            }
            _ => {
                self.error = error(view, wish).dot(&side);
                self.path(&feel, view, &side, [nose, turn], quick)
            }
        }
    }

    fn roll(&mut self, feel: &Feel, view: &View, wish: &Wish, quick: &Quickness) -> f64 {
        let rate = view.rate.x;
        if wish.quantity == Quantity::RollRate {
            self.error = wish.target - rate;
            return self.turn(feel, wish.target, rate, feel.level, quick);
        }
        self.error = wrapped(wish.target - view.roll(&wish.frame));
        let wanted = quick.attitude * quick.seen_angle(self.error);
        self.turn(feel, wanted, rate, feel.level, quick)
    }

    /// Bends the path towards `side`, where the nose stands and turns as `[nose, turn]`.
    fn path(
        &mut self,
        feel: &Feel,
        view: &View,
        side: &Vector3<f64>,
        [nose, turn]: [f64; 2],
        quick: &Quickness,
    ) -> f64 {
        let error = quick.seen_angle(self.error);
        let bend = quick.path[0] * error;
        self.nose = (self.nose + quick.path[1] * error / feel.lift * self.dt).clamp(-MOST_NOSE, MOST_NOSE);
        // the nose that this bend takes, with the model's weight carried
        let takes = (bend - gravity(view, side)) / feel.lift;
        let wanted = feel.zero + (takes + self.nose).clamp(-MOST_NOSE, MOST_NOSE);
        self.turn(feel, quick.attitude * (wanted - nose) + bend, turn, wanted, quick)
    }

    /// Command for a rate of turn `wanted` where it is `turn` [rad/s], with the nose held `nose`
    /// \[rad\] from the path: what the feel says it takes, and what that leaves.
    fn turn(&mut self, feel: &Feel, wanted: f64, turn: f64, nose: f64, quick: &Quickness) -> f64 {
        let missing = wanted - turn;
        let known = (feel.stiffness * (nose - feel.level) + feel.damping * wanted) / feel.push;
        let quickly = quick.turn[0] * missing / feel.push;
        // taken over without a jerk
        let trim = self.trim.unwrap_or(self.begun - known);
        let trimmed = trim + quick.turn[1] * (quick.turn[0] + feel.damping) * missing / feel.push * self.dt;
        let within = (-1.0..=1.0).contains(&(trimmed + known + quickly));
        let trim = if within { trimmed } else { trim };
        self.trim = Some(trim);
        (trim + known + quickly).clamp(-1.0, 1.0)
    }

    fn throttle(&mut self, view: &View, wish: &Wish, quick: &Quickness) -> f64 {
        let begun = self.trim.unwrap_or(self.begun);
        if wish.quantity == Quantity::Height {
            self.error = wish.target - view.height;
            let climb = (CLIMB * quick.seen(self.error)).clamp(-MOST_CLIMB, MOST_CLIMB);
            let missing = climb + view.path.z * view.airspeed;
            let trimmed = begun + LIFT_TRIM * missing * self.dt;
            let within = (0.0..=1.0).contains(&(trimmed + LIFT * missing));
            let trim = if within { trimmed } else { begun };
            self.trim = Some(trim);
            return (trim + LIFT * missing).clamp(0.0, 1.0);
        }
        self.error = wish.target - view.airspeed;
        let missing = quick.seen(self.error);
        let trim = (begun + SPEED_TRIM * missing * self.dt).clamp(0.0, 1.0);
        self.trim = Some(trim);
        (trim + SPEED * missing).clamp(0.0, 1.0)
    }
}

impl Quickness {
    fn seen_angle(&self, error: f64) -> f64 {
        beyond(error, self.overlooked[0])
    }

    fn seen(&self, error: f64) -> f64 {
        beyond(error, self.overlooked[1])
    }
}

/// What exceeds a threshold, and a little of what does not: what lasts is noticed in the end
/// (judgement).
fn beyond(value: f64, threshold: f64) -> f64 {
    const NOTICED: f64 = 0.25;
    value - (1.0 - NOTICED) * value.clamp(-threshold, threshold)
}

/// How the path bends towards `side` by its weight alone [rad/s].
fn gravity(view: &View, side: &Vector3<f64>) -> f64 {
    side.z * G0 / view.airspeed.max(1.0)
}

/// The way from the path to where it should be, as an angle along a direction in earth axes \[rad\].
fn error(view: &View, wish: &Wish) -> Vector3<f64> {
    let (sin, cos) = libm::sincos(view.track());
    match wish.quantity {
        Quantity::Track => {
            let right = Vector3::new(-sin, cos, 0.0);
            right * (wrapped(wish.target - view.track()) * libm::cos(view.climb()))
        }
        Quantity::Climb => {
            let (up, level) = libm::sincos(view.climb());
            Vector3::new(-up * cos, -up * sin, -level) * (wish.target - view.climb())
        }
        _ => {
            let line = wish.frame.column(0);
            let across = line - view.path * line.dot(&view.path);
            let (sin, cos) = (across.norm(), line.dot(&view.path));
            // the other way round no direction is nearer than another
            if sin < 1e-12 { Vector3::zeros() } else { across * (libm::atan2(sin, cos) / sin) }
        }
    }
}
