//! What a hand sets at one instant.

use crate::error::one_of;
use crate::{LeverId, Program, RatesId, SwitchPosition};
use measure::Stick;

/// Sticks, levers, switches and the active set of rates, by number: names are looked up once, in
/// [`Program`]. Always in range, so that an evaluation has no way to fail.
///
/// A hand belongs to the program it was made for and to those made from it by switching blends
/// off or on; its numbers mean nothing to another.
#[derive(Debug, Clone, PartialEq)]
pub struct Hand {
    sticks: [f64; 4],
    levers: Vec<f64>,
    switches: Vec<Option<usize>>,
    rates: RatesId,
}

impl Hand {
    /// Sticks centred, throttle at idle, levers at 0 (one that tunes a blend: where that is as
    /// written), every switch at a position that no blend asks for, the first set of rates.
    #[must_use]
    pub fn released(program: &Program) -> Self {
        Self {
            sticks: [0.0; 4],
            levers: program.rest.clone(),
            switches: vec![None; program.switches().len()],
            rates: RatesId(0),
        }
    }

    /// Puts a stick at a position in its own range (throttle 0..1, the others -1..1).
    ///
    /// # Errors
    /// A position beyond the stop or not a number; the hand stays as it was.
    pub fn set_stick(&mut self, stick: Stick, position: f64) -> Result<(), HandError> {
        let (low, high) = stick.range();
        if !(low..=high).contains(&position) {
            return Err(HandError::StickPosition { stick, found: position });
        }
        self.sticks[stick as usize] = position;
        Ok(())
    }

    /// Puts a lever at a position, 0..1.
    ///
    /// # Errors
    /// A position outside 0..1 or not a number; the hand stays as it was.
    pub fn set_lever(&mut self, lever: LeverId, position: f64) -> Result<(), HandError> {
        if !(0.0..=1.0).contains(&position) {
            return Err(HandError::LeverPosition { found: position });
        }
        self.levers[lever.0] = position;
        Ok(())
    }

    /// Turns a switch.
    pub fn set_switch(&mut self, to: SwitchPosition) {
        self.switches[to.switch] = to.position;
    }

    /// Chooses the active set of rates.
    pub const fn set_rates(&mut self, rates: RatesId) {
        self.rates = rates;
    }

    /// Where a stick stands, before rates and expo.
    #[must_use]
    pub const fn stick(&self, stick: Stick) -> f64 {
        self.sticks[stick as usize]
    }

    /// Where a lever stands, 0..1.
    #[must_use]
    pub fn lever(&self, lever: LeverId) -> f64 {
        self.levers[lever.0]
    }

    /// Whether a switch stands at this position.
    #[must_use]
    pub fn switch_is(&self, at: SwitchPosition) -> bool {
        self.switches[at.switch] == at.position
    }

    /// The active set of rates.
    #[must_use]
    pub const fn rates(&self) -> RatesId {
        self.rates
    }
}

/// Something a hand cannot do.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum HandError {
    /// A stick beyond its stop.
    #[error("found the {} stick at {found}; allowed: {} to {}; limit it before handing it over",
        stick.word(), stick.range().0, stick.range().1)]
    StickPosition {
        /// Which.
        stick: Stick,
        /// Where.
        found: f64,
    },
    /// A lever beyond its stop.
    #[error("found a lever at {found}; allowed: 0 to 1; limit it before handing it over")]
    LeverPosition {
        /// Where.
        found: f64,
    },
    /// No blend reads a lever of this name.
    #[error(
        "found lever \"{found}\"; this mix reads {}; use one of these, or let a blend read it",
        one_of(known, "no lever")
    )]
    UnknownLever {
        /// The name.
        found: String,
        /// The levers this mix reads.
        known: Vec<String>,
    },
    /// No blend asks for a switch of this name.
    #[error(
        "found switch \"{found}\"; this mix asks for {}; use one of these, or let a blend ask for it",
        one_of(known, "no switch")
    )]
    UnknownSwitch {
        /// The name.
        found: String,
        /// The switches this mix asks for.
        known: Vec<String>,
    },
    /// No rates of this name.
    #[error(
        "found rates \"{found}\"; this mix has {}; use one of these, or add a set of that name",
        one_of(known, "no rates")
    )]
    UnknownRates {
        /// The name.
        found: String,
        /// The sets of this mix.
        known: Vec<String>,
    },
}
