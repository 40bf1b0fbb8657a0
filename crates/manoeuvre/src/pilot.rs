//! The scripted pilot: what each stick does during a leg.

use crate::aim::View;
use crate::hold::Hold;
use crate::rig::Rig;
use crate::scenario::{Following, Leg, Order, Quantity, Target};
use crate::tick::Memory;
use flight::AircraftState;
use measure::{Side, Stick};

/// The pilot at work on one manoeuvre to one side.
#[derive(Debug, Clone)]
pub(crate) struct Pilot {
    side: Side,
    /// Whether sticks that may be left alone are.
    pub(crate) following: Following,
    /// How the manoeuvre was entered.
    entry: View,
    /// Sticks when the leg began.
    begun: [f64; 4],
    holds: [Option<Hold>; 4],
}

impl Pilot {
    pub(crate) const fn new(side: Side, following: Following, entry: View, sticks: [f64; 4]) -> Self {
        Self { side, following, entry, begun: sticks, holds: [None; 4] }
    }

    /// Begins a leg with the sticks where they stand. A hold that goes on keeps what it has
    /// learned.
    pub(crate) fn begin(&mut self, leg: &Leg, before: Option<&Leg>, sticks: [f64; 4]) {
        self.begun = sticks;
        for stick in Stick::ALL {
            let goes_on = before.is_some_and(|b| {
                self.held(b, stick).is_some() && self.held(b, stick) == self.held(leg, stick)
            });
            if !goes_on {
                self.holds[stick as usize] = None;
            }
        }
    }

    /// Sticks at `elapsed` \[s\] in the leg.
    pub(crate) fn sticks(&mut self, rig: &Rig, leg: &Leg, elapsed: f64, memory: &Memory) -> [f64; 4] {
        let state = &memory.state;
        let view = View::of(state, &rig.around.air.velocity(memory.time()));
        Stick::ALL.map(|stick| self.stick(rig, leg, elapsed, state, &view, stick))
    }

    fn stick(
        &mut self,
        rig: &Rig,
        leg: &Leg,
        elapsed: f64,
        state: &AircraftState,
        view: &View,
        stick: Stick,
    ) -> f64 {
        let begun = self.begun[stick as usize];
        if let Some((quantity, target)) = self.held(leg, stick) {
            let target = self.target(quantity, target);
            let hold = self.holds[stick as usize].get_or_insert(Hold::taking_over(begun));
            return hold.stick(rig, view, &state.body.rate, stick, quantity, target);
        }
        match leg.order(stick) {
            Order::Fixed(position) => self.mirrored(stick, *position),
            Order::Line(points) => self.mirrored(stick, along(points, elapsed)),
            Order::LeftAlone(..) => 0.0,
            Order::Keep | Order::Hold(..) => begun,
        }
    }

    /// What a stick holds in this flight, if anything.
    fn held(&self, leg: &Leg, stick: Stick) -> Option<(Quantity, Target)> {
        match leg.order(stick) {
            Order::Hold(quantity, target) => Some((*quantity, *target)),
            Order::LeftAlone(quantity, target) if self.following == Following::Corrected => {
                Some((*quantity, *target))
            }
            _ => None,
        }
    }

    /// Manoeuvres are written for right rudder.
    fn mirrored(&self, stick: Stick, position: f64) -> f64 {
        match stick {
            Stick::Aileron | Stick::Rudder => self.side.sign() * position,
            Stick::Elevator | Stick::Throttle => position,
        }
    }

    fn target(&self, quantity: Quantity, target: Target) -> f64 {
        match target {
            Target::Entry => self.entry.value(quantity),
            Target::Value(v) if matches!(quantity, Quantity::Bank | Quantity::Track) => self.side.sign() * v,
            Target::Value(v) => v,
        }
    }
}

/// Straight lines through points, held outside.
fn along(points: &[(f64, f64)], at: f64) -> f64 {
    let Some(next) = points.iter().position(|&(t, _)| t > at) else {
        return points.last().map_or(0.0, |&(_, y)| y);
    };
    if next == 0 {
        return points[0].1;
    }
    let ((t0, y0), (t1, y1)) = (points[next - 1], points[next]);
    y0 + (y1 - y0) * (at - t0) / (t1 - t0)
}
