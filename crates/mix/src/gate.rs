//! When a blend acts: conditions on the hand, in the form that is evaluated.

use crate::program::Source;
use crate::{Hand, RatesId, SwitchPosition};

/// How far behind its threshold a lever or stick must come back before a condition lets go, in
/// shares of one (2 % of a lever, 1 % of a whole stick travel). Wide enough that a resting hand
/// cannot make a blend chatter, too narrow for a pilot to notice. Own choice, no source.
pub const HYSTERESIS: f64 = 0.02;

/// A condition with its names resolved.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Gate {
    Always,
    Rates(RatesId),
    Switch(SwitchPosition),
    Above(Threshold),
    Below(Threshold),
    All(Vec<Gate>),
    Any(Vec<Gate>),
    Not(Box<Gate>),
}

/// Takes hold past `hold`, lets go at `release`; `latch` is its place in [`crate::Fades`].
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Threshold {
    source: Source,
    hold: f64,
    release: f64,
    latch: usize,
}

impl Threshold {
    /// Above `hold`. The end of travel always lets go, however near the threshold is to it.
    pub(crate) fn above(source: Source, hold: f64, latch: usize) -> Self {
        Self { source, hold, release: (hold - HYSTERESIS).max(source.range().0), latch }
    }

    /// Below `hold`: the mirror image.
    pub(crate) fn below(source: Source, hold: f64, latch: usize) -> Self {
        Self { source, hold, release: (hold + HYSTERESIS).min(source.range().1), latch }
    }

    fn is_above(&self, hand: &Hand, latches: &mut [bool]) -> bool {
        let (position, held) = (self.source.raw(hand), &mut latches[self.latch]);
        *held = position > self.hold || (*held && position > self.release);
        *held
    }

    fn is_below(&self, hand: &Hand, latches: &mut [bool]) -> bool {
        let (position, held) = (self.source.raw(hand), &mut latches[self.latch]);
        *held = position < self.hold || (*held && position < self.release);
        *held
    }
}

impl Gate {
    /// Whether the condition holds. Every part is asked, also where the answer is known already:
    /// each threshold has to keep its memory.
    pub(crate) fn holds(&self, hand: &Hand, latches: &mut [bool]) -> bool {
        match self {
            Self::Always => true,
            Self::Rates(rates) => hand.rates() == *rates,
            Self::Switch(at) => hand.switch_is(*at),
            Self::Above(threshold) => threshold.is_above(hand, latches),
            Self::Below(threshold) => threshold.is_below(hand, latches),
            Self::All(gates) => how_many(gates, hand, latches) == gates.len(),
            Self::Any(gates) => how_many(gates, hand, latches) > 0,
            Self::Not(gate) => !gate.holds(hand, latches),
        }
    }
}

fn how_many(gates: &[Gate], hand: &Hand, latches: &mut [bool]) -> usize {
    gates.iter().filter(|gate| gate.holds(hand, latches)).count()
}
