//! Flying a scenario from its first leg to its last.

use crate::aim::View;
use crate::between;
use crate::ending::Clock;
use crate::entry::enter;
use crate::pilot::Pilot;
use crate::rig::{Rig, RigError};
use crate::scenario::{Following, Leg, Order, Quantity, Scenario};
use crate::tick::{Halt, Memory, Sample, TICK, tick};
use core::ops::Range;
use flight::{Bench, ServoFault, TrimFault};
use measure::{Side, Stick};
use mix::{Follower, Hand, HandError};

/// A flight as it went.
#[derive(Debug, Clone)]
pub struct Flown {
    /// One sample per tick, from the first, and one of the end.
    pub samples: Vec<Sample>,
    /// Which samples belong to which leg.
    pub legs: Vec<LegSpan>,
    /// Why it ended early, if it did.
    pub halt: Option<Halt>,
}

/// A leg as it was flown. It begins and ends between ticks.
#[derive(Debug, Clone, PartialEq)]
pub struct LegSpan {
    /// When it began \[s\].
    pub starts: f64,
    /// When it ended \[s\].
    pub ends: f64,
    /// First sample: the tick with or after the beginning.
    pub first: usize,
    /// One past the last whose tick belongs to it.
    pub end: usize,
    /// What sticks were to hold, and how that went.
    pub held: Vec<HeldStick>,
}

/// A stick that was to hold something during a leg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeldStick {
    /// Which.
    pub stick: Stick,
    /// What.
    pub quantity: Quantity,
    /// How long stick or surface stood at the end of the travel \[s\].
    pub at_stop: f64,
    /// How far the quantity was from its target at the end, as the pilot saw it, in its unit; of a
    /// line and a nose the part that this stick can move \[rad\].
    pub error: f64,
}

/// Why a flight could not begin.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FlyError {
    /// No steady flight at the speed of entry.
    #[error(
        "{airframe} cannot fly level, or on the line of the start, at the entry speed of {speed:.1} m/s; take another \
         start speed in the scenario"
    )]
    NoEntry {
        /// The airframe.
        airframe: String,
        /// The speed [m/s].
        speed: f64,
    },
    /// Rates or blends keep the sticks from holding level flight.
    #[error(
        "{airframe} cannot be held on the line of the start at the entry speed of {speed:.1} m/s: its rates or blends leave the sticks \
         too little; give the rates more throw, or take another start speed"
    )]
    NotHeld {
        /// The airframe.
        airframe: String,
        /// The speed \[m/s\].
        speed: f64,
    },
    /// Level flight there takes a control beyond its stop.
    #[error(transparent)]
    Entry(#[from] RigError),
    /// A stick cannot get there.
    #[error(transparent)]
    Hand(#[from] HandError),
    /// The search for level flight could not begin.
    #[error(transparent)]
    Trim(#[from] TrimFault),
    /// A servo cannot work.
    #[error(transparent)]
    Servo(#[from] ServoFault),
}

/// Flies `scenario` to `side`.
///
/// # Errors
/// [`FlyError`] if it cannot even begin; a flight that ends early is a result with its reason.
pub fn fly(
    rig: &Rig,
    scenario: &Scenario,
    side: Side,
    following: Following,
    bench: &mut Bench,
) -> Result<Flown, FlyError> {
    let mut flight = Flight::enter(rig, scenario, side, following, bench)?;
    flight.fly_legs(0..scenario.legs.len(), bench)?;
    Ok(flight.finished())
}

/// As [`fly`], left alone and corrected. Up to the first stick that may be left alone both are one
/// flight, and flown once.
///
/// # Errors
/// As [`fly`].
pub fn fly_both(
    rig: &Rig,
    scenario: &Scenario,
    side: Side,
    bench: &mut Bench,
) -> Result<[Flown; 2], FlyError> {
    let parting = scenario
        .legs
        .iter()
        .position(|leg| leg.sticks.iter().any(|order| matches!(order, Order::LeftAlone(..))))
        .unwrap_or(scenario.legs.len());
    let mut alone = Flight::enter(rig, scenario, side, Following::LEFT_ALONE, bench)?;
    alone.fly_legs(0..parting, bench)?;
    let mut corrected = alone.clone();
    corrected.pilot.following = Following::CORRECTED;
    for flight in [&mut alone, &mut corrected] {
        flight.fly_legs(parting..scenario.legs.len(), bench)?;
    }
    Ok([alone.finished(), corrected.finished()])
}

/// A flight on its way. Cloning it is how two flights part.
#[derive(Clone)]
struct Flight<'a> {
    rig: &'a Rig,
    scenario: &'a Scenario,
    memory: Memory,
    hand: Hand,
    pilot: Pilot,
    /// Where the pilot would have gone on to, had the last leg not ended since the last tick, and
    /// how far that tick is gone.
    going_on: (Pilot, f64),
    flown: Flown,
}

impl<'a> Flight<'a> {
    fn enter(
        rig: &'a Rig,
        scenario: &'a Scenario,
        side: Side,
        following: Following,
        bench: &mut Bench,
    ) -> Result<Self, FlyError> {
        let (memory, hand) = enter(rig, scenario, side, bench)?;
        let entry = View::of(&memory.state, &rig.around.air.velocity(0.0));
        let pilot = Pilot::new(rig, side, following, entry, &hand, &scenario.legs);
        let flown = Flown { samples: Vec::new(), legs: Vec::new(), halt: None };
        let going_on = (pilot.clone(), 1.0);
        Ok(Self { rig, scenario, memory, hand, pilot, going_on, flown })
    }

    fn fly_legs(&mut self, legs: Range<usize>, bench: &mut Bench) -> Result<(), FlyError> {
        for index in legs {
            if self.flown.halt.is_some() {
                break;
            }
            let span = self.fly_leg(index, bench)?;
            self.flown.legs.push(span);
        }
        Ok(())
    }

    fn fly_leg(&mut self, index: usize, bench: &mut Bench) -> Result<LegSpan, FlyError> {
        let leg = &self.scenario.legs[index];
        let before = index.checked_sub(1).map(|i| &self.scenario.legs[i]);
        self.begin(leg, before)?;
        let starts = self.flown.legs.last().map_or(0.0, |last| last.ends);
        let start = between::at(&self.near(), starts).unwrap_or_else(|| self.now());
        self.pilot.take_over(self.rig, leg, &self.flown.samples, &start, &self.hand);
        let entry_speed = self.pilot.entry_speed();
        let mut clock = Clock::new(&leg.ends, self.pilot.side(), entry_speed, self.pilot.frame(leg), start);
        let mut span =
            LegSpan { starts, ends: starts, first: self.flown.samples.len(), end: 0, held: self.held(leg) };
        let ends = loop {
            if let Some(ends) = clock.ended(self.rig, &self.near()) {
                break ends;
            }
            let elapsed = self.memory.time() - starts;
            self.pilot.fly(self.rig, leg, elapsed, &self.flown.samples, &self.memory, &mut self.hand)?;
            match tick(self.rig, &mut self.memory, &self.hand, bench) {
                Ok(sample) => self.flown.samples.push(sample),
                Err(halt) => {
                    self.flown.halt = Some(halt);
                    break self.memory.time();
                }
            }
            self.look_at_stops(&mut span);
        };
        for held in &mut span.held {
            held.error = self.pilot.error(held.stick).unwrap_or_default();
        }
        self.part(leg, ends)?;
        Ok(LegSpan { ends, end: self.flown.samples.len(), ..span })
    }

    /// Switches, rates and sticks at the beginning of a leg.
    fn begin(&mut self, leg: &Leg, before: Option<&Leg>) -> Result<(), FlyError> {
        for (switch, is) in &leg.switches {
            // a switch that no blend asks for turns nothing
            if let Ok(position) = self.rig.program.switch(switch, is) {
                self.hand.set_switch(position);
            }
        }
        if let Some(rates) = &leg.rates {
            self.hand.set_rates(self.rig.program.rates(rates)?);
        }
        let (going_on, share) = self.going_on.clone();
        self.pilot.begin(leg, before, &going_on, share);
        Ok(())
    }

    /// Remembers where the sticks would have gone on to from the last tick, for the next leg to
    /// begin between.
    fn part(&mut self, leg: &Leg, ends: f64) -> Result<(), FlyError> {
        let mut going_on = self.pilot.clone();
        let elapsed = self.memory.time() - self.flown.legs.last().map_or(0.0, |last| last.ends);
        let mut hand = self.hand.clone();
        going_on.fly(self.rig, leg, elapsed, &self.flown.samples, &self.memory, &mut hand)?;
        let share = (1.0 - (self.memory.time() - ends) / TICK).clamp(0.0, 1.0);
        self.going_on = (going_on, share);
        Ok(())
    }

    /// This moment, with the sticks of the tick before.
    fn now(&self) -> Sample {
        let stands = Sample {
            time: self.memory.time(),
            state: self.memory.state,
            sticks: Stick::ALL.map(|stick| self.hand.stick(stick)),
            commands: mix::Commands::default(),
            deflections: [0.0; airframe::MAX_SURFACES],
        };
        let mut now = self.flown.samples.last().copied().unwrap_or(stands);
        (now.time, now.state) = (self.memory.time(), self.memory.state);
        for (d, servo) in now.deflections.iter_mut().zip(&self.memory.servos) {
            *d = servo.position();
        }
        now
    }

    /// The last few ticks and this moment.
    fn near(&self) -> Vec<Sample> {
        let from = self.flown.samples.len().saturating_sub(3);
        let mut near = self.flown.samples[from..].to_vec();
        near.push(self.now());
        near
    }

    fn held(&self, leg: &Leg) -> Vec<HeldStick> {
        let work = |stick| self.pilot.work(leg, stick).map(|work| (stick, work.quantity));
        Stick::ALL
            .into_iter()
            .filter_map(work)
            .map(|(stick, quantity)| HeldStick { stick, quantity, at_stop: 0.0, error: 0.0 })
            .collect()
    }

    fn look_at_stops(&self, span: &mut LegSpan) {
        let Some(sample) = self.flown.samples.last() else { return };
        for held in &mut span.held {
            if at_stop(sample, held.stick) {
                held.at_stop += TICK;
            }
        }
    }

    fn finished(mut self) -> Flown {
        let end = self.now();
        self.flown.samples.push(end);
        self.flown
    }
}

/// Whether a stick, or what it moves, stands at the end of its travel.
fn at_stop(sample: &Sample, stick: Stick) -> bool {
    const STOP: f64 = 1e-6;
    let follower = match stick {
        Stick::Aileron => Follower::Aileron,
        Stick::Elevator => Follower::Elevator,
        Stick::Rudder => Follower::Rudder,
        Stick::Throttle => Follower::Throttle,
    };
    let (low, high) = stick.range();
    let ends = |x: f64| x <= low + STOP || x >= high - STOP;
    ends(sample.sticks[stick as usize]) || ends(sample.commands.get(follower))
}
