//! The hand of a pilot who keeps the model on its line, on one axis.

use crate::find::answer::Answer;
use manoeuvre::TICK;
use measure::DEG;

/// A person sees so late \[s\], and is nearly blind below so much \[rad\]: as the scripted pilot (both
/// from memory, no source).
const LATE: f64 = 0.25;
const OVERLOOKED: f64 = DEG;
/// Share of what is overlooked that is noticed all the same.
const NOTICED: f64 = 0.25;
/// A turn is taken back with this quickness [1/s], and what lasts is held against with that
/// [1/s^2]. People fly so that the answer to what they see goes as one integrator, at 1 to 3 rad/s
/// (the crossover model of McRuer and Krendel, AGARDograph 188, 1974, from memory).
const QUICK: f64 = 1.5;
const LASTING: f64 = 0.6;

/// Follower that a pilot adds, from what was seen.
#[derive(Debug, Clone)]
pub(crate) struct Hand {
    answer: Answer,
    /// What the model has turned, at every tick \[rad\].
    seen: Vec<f64>,
    lasting: f64,
}

impl Hand {
    /// A hand that knows how the model answers.
    pub(crate) const fn knowing(answer: Answer) -> Self {
        Self { answer, seen: Vec::new(), lasting: 0.0 }
    }

    /// The follower to add, share of full throw, when the model has turned by `turn` \[rad\].
    pub(crate) fn adds(&mut self, turn: f64) -> f64 {
        self.seen.push(turn);
        let late = (LATE / TICK).round() as usize;
        let then = self.seen.len().checked_sub(late + 1).map_or(0.0, |i| self.seen[i]);
        let off = then - (1.0 - NOTICED) * then.clamp(-OVERLOOKED, OVERLOOKED);
        self.lasting += LASTING * off * TICK;
        (-(QUICK * off + self.lasting) / self.answer.rate()).clamp(-1.0, 1.0)
    }
}
