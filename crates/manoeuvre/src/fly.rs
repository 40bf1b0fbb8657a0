//! Flying a scenario from its first leg to its last.

use crate::aim::View;
use crate::pilot::Pilot;
use crate::rig::Rig;
use crate::scenario::{Following, Scenario, Speed};
use crate::tick::{Halt, Memory, Sample, TICK, tick};
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
    let (mut memory, mut hand) = enter(rig, scenario, bench)?;
    let wind = rig.around.air.velocity(0.0);
    let mut pilot = Pilot::new(side, following, View::of(&memory.state, &wind), positions(&hand));
    let mut flown = Flown { samples: Vec::new(), legs: Vec::new(), halt: None };
    let mut before = None;
    for leg in &scenario.legs {
        let first = flown.samples.len();
        pilot.begin(leg, before, positions(&hand));
        before = Some(leg);
        for k in 0..(leg.seconds() / TICK).round() as usize {
            let sticks = pilot.sticks(rig, leg, k as f64 * TICK, &memory.state);
            for (stick, position) in Stick::ALL.into_iter().zip(sticks) {
                hand.set_stick(stick, position)?;
            }
            match tick(rig, &mut memory, &hand, bench) {
                Ok(sample) => flown.samples.push(sample),
                Err(halt) => {
                    flown.legs.push(LegSpan { first, end: flown.samples.len() });
                    flown.halt = Some(halt);
                    return Ok(flown);
                }
            }
        }
        flown.legs.push(LegSpan { first, end: flown.samples.len() });
    }
    Ok(flown)
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
    let mut hand = Hand::released(&rig.program);
    if let Some(rates) = &scenario.rates {
        hand.set_rates(rig.program.rates(rates)?);
    }
    let trim = rig.trim;
    let sticks = [
        level.sticks[0] - trim.aileron,
        level.sticks[1] - trim.elevator,
        level.sticks[2] - trim.rudder,
        level.throttle,
    ];
    for (stick, position) in Stick::ALL.into_iter().zip(sticks) {
        hand.set_stick(stick, position.clamp(stick.range().0, stick.range().1))?;
    }
    let mut state = level.state;
    state.body.position = Vector3::new(0.0, 0.0, -scenario.start.height);
    let memory = Memory::settled(rig, state, &hand, bench)?;
    Ok((memory, hand))
}

fn positions(hand: &Hand) -> [f64; 4] {
    Stick::ALL.map(|stick| hand.stick(stick))
}
