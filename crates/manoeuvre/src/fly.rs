//! Flying a scenario from its first leg to its last.

use crate::aim::View;
use crate::pilot::Pilot;
use crate::rig::{Rig, RigError};
use crate::scenario::{Following, Order, Scenario, Speed};
use crate::tick::{Halt, Memory, Sample, TICK, tick};
use core::ops::Range;
use flight::{Bench, ServoFault, TrimFault};
use measure::{Side, Stick};
use mix::{Hand, HandError};
use nalgebra::Vector3;

/// A flight as it went.
#[derive(Debug, Clone)]
pub struct Flown {
    /// One sample per tick, from the first.
    pub samples: Vec<Sample>,
    /// Which samples belong to which leg.
    pub legs: Vec<LegSpan>,
    /// Why it ended early, if it did.
    pub halt: Option<Halt>,
}

/// Samples `first..end` of a flight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LegSpan {
    /// First sample.
    pub first: usize,
    /// One past the last.
    pub end: usize,
}

/// Why a flight could not begin.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FlyError {
    /// No level flight at the speed of entry.
    #[error(
        "{airframe} cannot fly level at the entry speed of {speed:.1} m/s; take another start speed in the \
         scenario"
    )]
    NoEntry {
        /// The airframe.
        airframe: String,
        /// The speed [m/s].
        speed: f64,
    },
    /// Rates or blends keep the sticks from holding level flight.
    #[error(
        "{airframe} cannot be held level at the entry speed of {speed:.1} m/s: its rates or blends leave the sticks \
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

/// Flies `scenario` with the rudder to `side`.
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
    Ok(flight.flown)
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
    let mut alone = Flight::enter(rig, scenario, side, Following::LeftAlone, bench)?;
    alone.fly_legs(0..parting, bench)?;
    let mut corrected = alone.clone();
    corrected.pilot.following = Following::Corrected;
    for flight in [&mut alone, &mut corrected] {
        flight.fly_legs(parting..scenario.legs.len(), bench)?;
    }
    Ok([alone.flown, corrected.flown])
}

/// A flight on its way. Cloning it is how two flights part.
#[derive(Clone)]
struct Flight<'a> {
    rig: &'a Rig,
    scenario: &'a Scenario,
    memory: Memory,
    hand: Hand,
    pilot: Pilot,
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
        let (memory, hand) = enter(rig, scenario, bench)?;
        let entry = View::of(&memory.state, &rig.around.air.velocity(0.0));
        let pilot = Pilot::new(side, following, entry, positions(&hand));
        let flown = Flown { samples: Vec::new(), legs: Vec::new(), halt: None };
        Ok(Self { rig, scenario, memory, hand, pilot, flown })
    }

    fn fly_legs(&mut self, legs: Range<usize>, bench: &mut Bench) -> Result<(), FlyError> {
        for index in legs {
            if self.flown.halt.is_some() {
                break;
            }
            let first = self.flown.samples.len();
            self.fly_leg(index, bench)?;
            self.flown.legs.push(LegSpan { first, end: self.flown.samples.len() });
        }
        Ok(())
    }

    fn fly_leg(&mut self, index: usize, bench: &mut Bench) -> Result<(), FlyError> {
        let leg = &self.scenario.legs[index];
        let before = index.checked_sub(1).map(|i| &self.scenario.legs[i]);
        self.pilot.begin(leg, before, positions(&self.hand));
        for k in 0..(leg.seconds() / TICK).round() as usize {
            let sticks = self.pilot.sticks(self.rig, leg, k as f64 * TICK, &self.memory);
            for (stick, position) in Stick::ALL.into_iter().zip(sticks) {
                self.hand.set_stick(stick, position)?;
            }
            match tick(self.rig, &mut self.memory, &self.hand, bench) {
                Ok(sample) => self.flown.samples.push(sample),
                Err(halt) => {
                    self.flown.halt = Some(halt);
                    return Ok(());
                }
            }
        }
        Ok(())
    }
}

/// Level and steady at the speed of entry, with the sticks that this takes.
fn enter(rig: &Rig, scenario: &Scenario, bench: &mut Bench) -> Result<(Memory, Hand), FlyError> {
    let speed = match scenario.start.speed {
        Speed::Trimmed(times) => times * rig.trimmed_speed,
        Speed::Absolute(speed) => speed,
    };
    let level = rig.level(speed, bench)?;
    if !level.converged {
        return Err(FlyError::NoEntry { airframe: rig.name.clone(), speed });
    }
    rig.within_travel(&level.sticks, level.throttle, speed)?;
    let mut hand = Hand::released(&rig.program);
    if let Some(rates) = &scenario.rates {
        hand.set_rates(rig.program.rates(rates)?);
    }
    if !hold_level(rig, &level.sticks, level.throttle, &mut hand)? {
        return Err(FlyError::NotHeld { airframe: rig.name.clone(), speed });
    }
    let mut state = level.state;
    state.body.position = Vector3::new(0.0, 0.0, -scenario.start.height);
    let memory = Memory::settled(rig, state, &hand, bench)?;
    Ok((memory, hand))
}

/// Puts the sticks where rates, blends and trims make `wanted` shares of aileron, elevator and
/// rudder of them. Rates and expo bend, but never turn back, so going after what is missing
/// arrives; returns whether it did.
fn hold_level(rig: &Rig, wanted: &[f64; 3], throttle: f64, hand: &mut Hand) -> Result<bool, FlyError> {
    const ROUNDS: usize = 400;
    const CLOSE: f64 = 1e-4;
    hand.set_stick(Stick::Throttle, throttle.clamp(0.0, 1.0))?;
    for _ in 0..ROUNDS {
        let now = rig.trimmed(&mix::steady(&rig.program, hand));
        let missing = [wanted[0] - now.aileron, wanted[1] - now.elevator, wanted[2] - now.rudder];
        if missing.iter().all(|m| m.abs() < CLOSE) {
            return Ok(true);
        }
        for (stick, missing) in Stick::ALL.into_iter().zip(missing) {
            hand.set_stick(stick, (hand.stick(stick) + missing).clamp(-1.0, 1.0))?;
        }
    }
    Ok(false)
}

fn positions(hand: &Hand) -> [f64; 4] {
    Stick::ALL.map(|stick| hand.stick(stick))
}
