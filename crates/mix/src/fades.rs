//! What a mix remembers from one tick to the next.

use crate::program::{Source, Step};
use crate::{Hand, Program};

/// Fades under way, slow followers, and on which side of its threshold each condition is. A plain
/// value: clone it to save a flight or to fly a ghost. Belongs to one program, and to those made
/// from it by switching blends off or on.
#[derive(Debug, Clone, PartialEq)]
pub struct Fades {
    blends: Vec<Progress>,
    latches: Vec<bool>,
}

/// How far one blend has come.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Progress {
    /// 0 is out, 1 is fully in.
    weight: f64,
    /// What it adds to its follower, in shares of full throw.
    output: f64,
}

impl Fades {
    /// As after holding this hand still for ever: every fade at its end, every slow follower there.
    /// Thresholds start from the side that is not engaged.
    #[must_use]
    pub fn settled(program: &Program, hand: &Hand) -> Self {
        let blends = vec![Progress::default(); program.blends.len()];
        let mut fades = Self { blends, latches: vec![false; program.latches] };
        fades.advance(program, hand, f64::INFINITY);
        fades
    }

    /// Moves everything on by `dt` \[s\] under this hand.
    pub(crate) fn advance(&mut self, program: &Program, hand: &Hand, dt: f64) {
        for &place in &program.order {
            let step = &program.blends[place];
            let before = step.after.map_or(0.0, |after| self.blends[after].output);
            self.blends[place] = match step.off {
                true => Progress::default(),
                false => {
                    let lead = lead_of(program, hand, step.lead, before);
                    let engaged = step.engaged.holds(hand, &mut self.latches);
                    let factor = step.tuned.map_or(1.0, |tuned| tuned.factor(hand));
                    self.blends[place].moved_on(step, engaged, factor * step.shape.follower(lead), dt)
                }
            };
        }
    }

    /// What a blend adds to its follower, in shares of full throw.
    pub(crate) fn output(&self, place: usize) -> f64 {
        self.blends[place].output
    }
}

impl Progress {
    fn moved_on(self, step: &Step, engaged: bool, share: f64, dt: f64) -> Self {
        let weight = approach(self.weight, f64::from(u8::from(engaged)), dt, step.fade);
        let output = approach(self.output, weight * share, dt, step.slow);
        Self { weight, output }
    }
}

/// The lead as a blend reads it: after rates and expo, with what an earlier blend adds to the same
/// thing. It cannot go further than the thing itself.
fn lead_of(program: &Program, hand: &Hand, lead: Source, before: f64) -> f64 {
    let (low, high) = lead.range();
    let own = match lead {
        Source::Stick(stick) => program.rated(hand, stick),
        Source::Lever(lever) => hand.lever(lever),
    };
    (own + before).clamp(low, high)
}

/// Moves towards a target at the pace of one unit in `duration`, or at once if that is 0.
fn approach(value: f64, target: f64, dt: f64, duration: f64) -> f64 {
    // A whole number of ticks must not end a hair short for the rounding of their sum.
    const ROUNDING: f64 = 1.0 + 1e-9;
    let (way, step) = (target - value, dt / duration);
    if duration == 0.0 || way.abs() <= step * ROUNDING { target } else { value + step.copysign(way) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fifteen_ticks_make_three_tenths_of_a_second() {
        let mut value = 0.0;
        for tick in 1..=15 {
            value = approach(value, 1.0, 0.02, 0.3);
            assert!((value - f64::from(tick) / 15.0).abs() < 1e-12, "tick {tick}: {value}");
        }
        assert_eq!(value, 1.0);
    }

    #[test]
    fn a_standing_clock_moves_nothing() {
        assert_eq!(approach(0.25, 1.0, 0.0, 0.3), 0.25);
        assert_eq!(approach(0.25, 1.0, 0.0, 0.0), 1.0);
        assert_eq!(approach(0.25, 1.0, f64::INFINITY, 3.0), 1.0);
    }
}
