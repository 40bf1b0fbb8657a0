//! The scripted pilot: what each stick and lever does during a leg.

use crate::aim::View;
use crate::between;
use crate::fly::FlyError;
use crate::hold::{Hold, Quickness, Wish};
use crate::line::Line;
use crate::rig::Rig;
use crate::scenario::{Following, Leg, Order, Quantity, Target};
use crate::tick::{Memory, Sample, TICK};
use flight::AircraftState;
use measure::{Side, Stick};
use mix::{Hand, LeverId};

/// Strokes (centre to stop) per second of a hand in a hurry: 0.15 s each (from memory, no source).
const HAND_SPEED: f64 = 1.0 / 0.15;

/// The pilot at work on one manoeuvre to one side.
#[derive(Debug, Clone)]
pub(crate) struct Pilot {
    side: Side,
    /// Which sticks that may be left alone are corrected.
    pub(crate) following: Following,
    /// How the manoeuvre was entered.
    entry: View,
    /// Where the sticks were when the leg began, and where they are.
    begun: [f64; 4],
    now: [f64; 4],
    /// The levers that the manoeuvre moves and this mix reads: where they were and are.
    levers: Vec<Lever>,
    holds: [Option<Hold>; 4],
}

#[derive(Debug, Clone, PartialEq)]
struct Lever {
    name: String,
    id: LeverId,
    begun: f64,
    now: f64,
}

/// A stick at work on a quantity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Work {
    pub(crate) quantity: Quantity,
    pub(crate) target: Target,
    pub(crate) quick: Quickness,
}

impl Pilot {
    pub(crate) fn new(
        rig: &Rig,
        side: Side,
        following: Following,
        entry: View,
        hand: &Hand,
        legs: &[Leg],
    ) -> Self {
        let mut levers: Vec<Lever> = Vec::new();
        for (name, _) in legs.iter().flat_map(|leg| &leg.levers) {
            if let Ok(id) = rig.program.lever(name)
                && levers.iter().all(|known| known.name != *name)
            {
                let now = hand.lever(id);
                levers.push(Lever { name: name.clone(), id, begun: now, now });
            }
        }
        let now = Stick::ALL.map(|stick| hand.stick(stick));
        Self { side, following, entry, begun: now, now, levers, holds: [None; 4] }
    }

    /// Begins `leg`, `share` of the way from the tick before to now, at which the pilot of the leg
    /// `before` would have gone on to `going_on`. A hold that goes on keeps what it has learned.
    pub(crate) fn begin(&mut self, leg: &Leg, before: Option<&Leg>, going_on: &Self, share: f64) {
        let between = |then: f64, next: f64| then + share * (next - then);
        self.begun = core::array::from_fn(|i| between(self.now[i], going_on.now[i]));
        self.now = self.begun;
        for (lever, next) in self.levers.iter_mut().zip(&going_on.levers) {
            lever.begun = between(lever.now, next.now);
            lever.now = lever.begun;
        }
        for stick in Stick::ALL {
            let goes_on = before.is_some_and(|b| {
                let held = |leg| self.work(leg, stick).map(|w| (w.quantity, w.target));
                held(b).is_some() && held(b) == held(leg) && b.climb == leg.climb
            });
            if !goes_on {
                self.holds[stick as usize] = None;
            }
        }
    }

    /// Moves `hand` to where it belongs `elapsed` \[s\] after the leg began.
    pub(crate) fn fly(
        &mut self,
        rig: &Rig,
        leg: &Leg,
        elapsed: f64,
        flown: &[Sample],
        memory: &Memory,
        hand: &mut Hand,
    ) -> Result<(), FlyError> {
        // a leg that began within the last tick has had less time
        let stroke = HAND_SPEED * TICK.min(elapsed).max(0.0);
        let towards = |now: f64, wanted: f64| now + (wanted - now).clamp(-stroke, stroke);
        for stick in Stick::ALL {
            let wanted = self.position(rig, leg, elapsed, flown, memory, hand, stick);
            let (low, high) = stick.range();
            let now = towards(self.now[stick as usize], wanted).clamp(low, high);
            self.now[stick as usize] = now;
            hand.set_stick(stick, now)?;
        }
        for lever in &mut self.levers {
            let order = leg.levers.iter().find(|(name, _)| *name == lever.name).map(|(_, order)| order);
            let wanted = match order {
                Some(Order::Fixed(position)) => *position,
                Some(Order::Line(points)) => along(points, elapsed),
                _ => lever.begun,
            };
            lever.now = towards(lever.now, wanted).clamp(0.0, 1.0);
            hand.set_lever(lever.id, lever.now)?;
        }
        Ok(())
    }

    /// Where a stick shall be.
    #[expect(clippy::too_many_arguments, reason = "everything a pilot sees and knows")]
    fn position(
        &mut self,
        rig: &Rig,
        leg: &Leg,
        elapsed: f64,
        flown: &[Sample],
        memory: &Memory,
        hand: &Hand,
        stick: Stick,
    ) -> f64 {
        let begun = self.begun[stick as usize];
        if let Some(work) = self.work(leg, stick) {
            let (time, state) = (memory.time(), memory.state);
            return self.look(rig, leg, (stick, work), flown, (time, &state), hand);
        }
        match leg.order(stick) {
            Order::Fixed(position) => self.mirrored(stick, *position),
            Order::Line(points) => self.mirrored(stick, along(points, elapsed)),
            Order::LeftAlone(..) if stick != Stick::Throttle => 0.0,
            _ => begun,
        }
    }

    /// Takes over what a leg holds anew, at the moment it begins: `start`.
    pub(crate) fn take_over(&mut self, rig: &Rig, leg: &Leg, flown: &[Sample], start: &Sample, hand: &Hand) {
        for stick in Stick::ALL {
            if let Some(work) = self.work(leg, stick)
                && self.holds[stick as usize].is_none()
            {
                self.look(rig, leg, (stick, work), flown, (start.time, &start.state), hand);
            }
        }
    }

    /// Where a stick at work belongs at `time` \[s\], with the model in `state`.
    fn look(
        &mut self,
        rig: &Rig,
        leg: &Leg,
        (stick, work): (Stick, Work),
        flown: &[Sample],
        (time, state): (f64, &AircraftState),
        hand: &Hand,
    ) -> f64 {
        let wish =
            Wish { stick, quantity: work.quantity, target: self.target(leg, work), frame: self.frame(leg) };
        let rate = rig.program.rate_of(hand, stick);
        // before the first tick all was as at the entry
        let late = if work.quick.delay > 0.0 { between::at(flown, time - work.quick.delay) } else { None };
        let (seen, state) = late.as_ref().map_or((time, state), |s| (s.time.max(0.0), &s.state));
        let view = View::of(state, &rig.around.air.velocity(seen));
        let begun = rate.apply(self.begun[stick as usize]);
        let hold = self.holds[stick as usize].get_or_insert(Hold::taking_over(begun, time));
        rate.stick_for(hold.command(rig, &view, &wish, &work.quick, time))
    }

    /// What a stick holds in this flight, if anything.
    pub(crate) fn work(&self, leg: &Leg, stick: Stick) -> Option<Work> {
        let (&quantity, &target, quick) = match leg.order(stick) {
            Order::Hold(quantity, target) => (quantity, target, Quickness::PRECISE),
            Order::Corrected(quantity, target) => (quantity, target, Quickness::HUMAN),
            Order::LeftAlone(quantity, target) if self.following.corrects(stick) => {
                (quantity, target, Quickness::HUMAN)
            }
            _ => return None,
        };
        Some(Work { quantity, target, quick })
    }

    /// How far a stick's quantity was from its target when last seen.
    pub(crate) fn error(&self, stick: Stick) -> Option<f64> {
        self.holds[stick as usize].map(|hold| hold.error)
    }

    /// Frame of the line of a leg, without bank.
    pub(crate) fn frame(&self, leg: &Leg) -> nalgebra::Matrix3<f64> {
        Line { track: ENTRY_TRACK, climb: leg.climb, bank: 0.0 }.frame()
    }

    pub(crate) const fn entry_speed(&self) -> f64 {
        self.entry.airspeed
    }

    pub(crate) const fn side(&self) -> Side {
        self.side
    }

    /// Manoeuvres are written for the right side.
    fn mirrored(&self, stick: Stick, position: f64) -> f64 {
        match stick {
            Stick::Aileron | Stick::Rudder => self.side.sign() * position,
            Stick::Elevator | Stick::Throttle => position,
        }
    }

    fn target(&self, leg: &Leg, work: Work) -> f64 {
        let sign = match work.quantity {
            Quantity::Bank | Quantity::RollRate | Quantity::Track | Quantity::Sideslip => self.side.sign(),
            _ => 1.0,
        };
        match work.target {
            Target::Value(value) => sign * value,
            Target::Entry => match work.quantity {
                Quantity::Bank => self.entry.roll(&self.frame(leg)),
                Quantity::Track => ENTRY_TRACK,
                Quantity::Climb => self.entry.climb(),
                Quantity::Airspeed => self.entry.airspeed,
                Quantity::Height => self.entry.height,
                Quantity::Line
                | Quantity::Nose
                | Quantity::RollRate
                | Quantity::PitchRate
                | Quantity::Sideslip => 0.0,
            },
        }
    }
}

/// Every manoeuvre is entered to the north, in the air.
pub(crate) const ENTRY_TRACK: f64 = 0.0;

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
