//! When a leg ends: found between ticks, so that what follows is smooth in everything before.

use crate::aim::{View, wrapped};
use crate::between;
use crate::rig::Rig;
use crate::scenario::{Ending, Passed, Passing};
use crate::tick::{Sample, TICK};
use measure::Side;
use nalgebra::Matrix3;

/// Times closer together than this are one \[s\].
const SAME: f64 = 1e-9;
/// Halvings of a tick until a moment is found.
const HALVINGS: usize = 45;

/// What is counted through a leg.
#[derive(Debug, Clone)]
pub(crate) struct Clock<'a> {
    ending: &'a Ending,
    side: Side,
    entry_speed: f64,
    frame: Matrix3<f64>,
    /// When the leg began \[s\].
    pub(crate) starts: f64,
    /// As of the last tick, or of the beginning of the leg.
    counted: Counted,
}

#[derive(Debug, Clone, Copy)]
struct Counted {
    sample: Sample,
    rolled: f64,
    pitched: f64,
    turned: f64,
}

impl<'a> Clock<'a> {
    pub(crate) fn new(
        ending: &'a Ending,
        side: Side,
        entry_speed: f64,
        frame: Matrix3<f64>,
        start: Sample,
    ) -> Self {
        let counted = Counted { sample: start, rolled: 0.0, pitched: 0.0, turned: 0.0 };
        Self { ending, side, entry_speed, frame, starts: start.time, counted }
    }

    /// When the leg ended, if it has by the last of `near`, which are one tick apart; the moments
    /// before were asked before.
    pub(crate) fn ended(&mut self, rig: &Rig, near: &[Sample]) -> Option<f64> {
        let now = near.last()?;
        let (from, to) = (self.counted.sample.time, now.time);
        let passed = self.ending.when.iter().filter_map(|passing| self.passed(rig, near, passing, from, to));
        let by_time = Some(self.starts + self.ending.after).filter(|&end| end <= to + SAME);
        let end = passed.chain(by_time.map(|end| end.min(to))).reduce(f64::min);
        self.counted = self.count(rig, now);
        end
    }

    fn passed(&self, rig: &Rig, near: &[Sample], passing: &Passing, from: f64, to: f64) -> Option<f64> {
        let beyond = |time: f64| {
            let sample = between::at(near, time)?;
            Some(self.beyond(rig, passing, &sample))
        };
        if self.beyond(rig, passing, &self.counted.sample) >= 0.0 {
            return Some(from);
        }
        if to - from < SAME || beyond(to)? < 0.0 {
            return None;
        }
        let (mut low, mut high) = (from, to);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if beyond(middle)? < 0.0 { low = middle } else { high = middle }
        }
        Some(high)
    }

    /// How far a quantity is beyond the value that ends the leg.
    fn beyond(&self, rig: &Rig, passing: &Passing, sample: &Sample) -> f64 {
        let view = View::of(&sample.state, &rig.around.air.velocity(sample.time));
        let counted = self.count(rig, sample);
        let side = self.side.sign();
        let value = match passing.of {
            Passed::Airspeed => view.airspeed,
            Passed::AirspeedShare => view.airspeed / self.entry_speed,
            Passed::Bank => side * view.roll(&self.frame),
            Passed::Climb => view.climb(),
            Passed::Height => view.height,
            Passed::Rolled => side * counted.rolled,
            Passed::Pitched => counted.pitched,
            Passed::Turned => side * counted.turned,
        };
        if passing.upwards { value - passing.value } else { passing.value - value }
    }

    /// Counted on to a sample within the next tick.
    fn count(&self, rig: &Rig, sample: &Sample) -> Counted {
        let before = &self.counted;
        let view = |s: &Sample| View::of(&s.state, &rig.around.air.velocity(s.time));
        let (then, now) = (view(&before.sample), view(sample));
        let dt = sample.time - before.sample.time;
        debug_assert!(dt <= TICK + SAME);
        Counted {
            sample: *sample,
            rolled: before.rolled + wrapped(now.roll(&self.frame) - then.roll(&self.frame)),
            pitched: before.pitched + 0.5 * dt * (then.rate.y + now.rate.y),
            turned: before.turned + wrapped(now.track() - then.track()),
        }
    }
}
