//! How the scripted pilot holds a quantity with a stick: a fast loop on the rate of turn that
//! knows the feel of the airframe, a slow one on the nose, a slower one on the path. Gains are
//! the same for every airframe: they are rates in 1/s, and the feel turns them into stick.

use crate::aim::{View, wrapped};
use crate::feel::Feel;
use crate::rig::Rig;
use crate::scenario::Quantity;
use crate::tick::TICK;
use measure::{G0, Stick};
use nalgebra::Vector3;

/// Rate of turn is corrected with this quickness [1/s].
const TURN: f64 = 8.0;
/// And what is left of it is trimmed away with this [1/s].
const TURN_TRIM: f64 = 2.0;
/// Attitude (bank, nose) is corrected with this [1/s].
const ATTITUDE: f64 = 5.0;
/// The path is corrected with this [1/s].
const PATH: f64 = 1.5;
/// And this much more every second [1/s^2].
const PATH_TRIM: f64 = 1.0;
/// The nose is not put further from the path than this \[rad\].
const MOST_NOSE: f64 = 0.6;
/// Throttle per m/s of airspeed, and the same per second.
const SPEED: f64 = 0.1;
const SPEED_TRIM: f64 = 0.1;

/// What a hold remembers from tick to tick.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Hold {
    /// Stick that is held against what the rate of turn leaves.
    stick: f64,
    /// How far the nose is held from where the feel says it belongs \[rad\].
    nose: f64,
}

impl Hold {
    /// Taking over from a stick that stands at `position`.
    pub(crate) const fn taking_over(position: f64) -> Self {
        Self { stick: position, nose: 0.0 }
    }

    /// Where the stick goes to hold `quantity` at `target`; `rate` is that of the body [rad/s].
    pub(crate) fn stick(
        &mut self,
        rig: &Rig,
        view: &View,
        rate: &Vector3<f64>,
        stick: Stick,
        quantity: Quantity,
        target: f64,
    ) -> f64 {
        match (stick, quantity) {
            (Stick::Throttle, _) => self.throttle(view, target),
            (Stick::Aileron, _) => {
                let wanted = ATTITUDE * wrapped(target - view.bank);
                self.turn(&rig.feel[0].at(view.airspeed / rig.trimmed_speed), wanted, rate.x, 0.0)
            }
            (Stick::Elevator, _) => {
                let canopy = -view.attitude.column(2);
                self.path(
                    &rig.feel[1].at(view.airspeed / rig.trimmed_speed),
                    view,
                    &canopy,
                    rate.y,
                    quantity,
                    target,
                )
            }
            (Stick::Rudder, _) => {
                let right = view.attitude.column(1).into_owned();
                self.path(
                    &rig.feel[2].at(view.airspeed / rig.trimmed_speed),
                    view,
                    &right,
                    rate.z,
                    quantity,
                    target,
                )
            }
        }
    }

    /// Holds the path with the stick that moves the nose towards `side`.
    fn path(
        &mut self,
        feel: &Feel,
        view: &View,
        side: &Vector3<f64>,
        turn: f64,
        quantity: Quantity,
        target: f64,
    ) -> f64 {
        let growth = view.growth(quantity);
        let reach = growth.dot(side);
        let error = wrapped(target - view.value(quantity)) / feel.lift;
        // where this stick carries the weight, the nose stands off the path for it
        let carrying = -growth.z * G0 / (view.airspeed.max(1.0) * feel.lift) * reach.abs();
        self.nose = (self.nose + PATH_TRIM * error * reach * reach * TICK).clamp(-MOST_NOSE, MOST_NOSE);
        let wanted = (carrying + self.nose + PATH * error).clamp(-MOST_NOSE, MOST_NOSE);
        let rate = ATTITUDE * (wanted - view.nose(&growth)) * reach;
        self.turn(feel, rate, turn, wanted * reach)
    }

    /// Stick for a rate of turn `wanted` where it is `turn` [rad/s], with the nose held `nose`
    /// \[rad\] from the path: what the feel says it takes, and what that leaves.
    fn turn(&mut self, feel: &Feel, wanted: f64, turn: f64, nose: f64) -> f64 {
        let missing = wanted - turn;
        let known = (feel.stiffness * nose + feel.damping * wanted + TURN * missing) / feel.push;
        let trimmed = self.stick + TURN_TRIM * (TURN + feel.damping) * missing / feel.push * TICK;
        if (-1.0..=1.0).contains(&(trimmed + known)) {
            self.stick = trimmed;
        }
        (self.stick + known).clamp(-1.0, 1.0)
    }

    fn throttle(&mut self, view: &View, target: f64) -> f64 {
        let missing = target - view.airspeed;
        self.stick = (self.stick + SPEED_TRIM * missing * TICK).clamp(0.0, 1.0);
        (self.stick + SPEED * missing).clamp(0.0, 1.0)
    }
}
