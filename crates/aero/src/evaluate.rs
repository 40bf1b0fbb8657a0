//! The forces at an instant, in their order.

use crate::body;
use crate::fittings;
use crate::instant::Instant;
use crate::jet::Jet;
use crate::local_flow::LocalFlow;
use crate::model::{Model, Outcome, Room, Scratch};
use crate::tail;
use crate::tally::Tally;
use crate::wake::{self, Wake};
use crate::wing;

impl Model {
    /// Forces with the wake held in `wake` and its strengths lagged in `strengths` [m^2/s], as in
    /// motion. The strengths that the wing sends out now are left in `scratch`.
    pub fn forces<T: Tally>(
        &self,
        at: &Instant,
        wake: &Wake,
        strengths: &[f64],
        scratch: &mut Scratch,
        tally: &mut T,
    ) -> Outcome {
        let room = &mut scratch.room;
        let (local, outcome) = self.ahead_of_the_tail(at, room, tally);
        wake.induce(strengths, &mut room.tail_air);
        self.behind_the_wing(at, &local, wake, room, tally);
        outcome
    }

    /// Forces with the wake that belongs to this very state: for steady states.
    pub fn forces_steady<T: Tally>(&self, at: &Instant, scratch: &mut Scratch, tally: &mut T) -> Outcome {
        let Scratch { room, steady } = scratch;
        let (local, outcome) = self.ahead_of_the_tail(at, room, tally);
        let direction = wake::direction(self, at, &room.circulation);
        steady.lay(self, at, direction);
        steady.induce(&room.circulation, &mut room.tail_air);
        self.behind_the_wing(at, &local, steady, room, tally);
        outcome
    }

    /// Lays `wake` for the tick that begins at this state, where the tail sees the lagged
    /// `strengths` [m^2/s].
    pub fn lay_wake(&self, at: &Instant, strengths: &[f64], wake: &mut Wake) {
        let direction = wake::direction(self, at, strengths);
        wake.lay(self, at, direction);
    }

    fn ahead_of_the_tail<T: Tally>(&self, at: &Instant, s: &mut Room, tally: &mut T) -> (LocalFlow, Outcome) {
        let mut outcome = Outcome::default();
        let mut jet = None;
        if let Some(p) = &self.parts.propulsor {
            let thrust = p.at(at);
            p.act(at, &thrust, tally);
            jet = Jet::new(p, &thrust, at.density, &self.parts.coefficients, at.causes);
            outcome = Outcome { thrust, motor_torque: p.motor.torque(at.throttle, at.rotor) };
        }
        let local = LocalFlow::new(self, at, jet);
        for (state, group) in s.flaps.iter_mut().zip(&self.flap_groups) {
            *state = group.state(&at.deflections, &self.parts.coefficients, at.causes);
        }
        wing::act(self, at, &local, s, tally);
        (local, outcome)
    }

    fn behind_the_wing<T: Tally>(
        &self,
        at: &Instant,
        local: &LocalFlow,
        wake: &Wake,
        s: &mut Room,
        tally: &mut T,
    ) {
        tail::act(self, at, local, wake, s, tally);
        body::act(self, at, local, s, tally);
        fittings::act(self, at, tally);
    }
}
