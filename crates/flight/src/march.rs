//! Marching a state through time in fixed steps.
//!
//! Fixed, because a flight is differentiated and optimised: its end must depend smoothly on what
//! it starts from, and a step control that switches does not. Why not a library:
//! `docs/decisions/0002-own-fixed-step-marcher.md`.

use crate::state::State;
use crate::tableau::Tableau;

/// A stretch of time, cut into equal steps. Nothing may have a kink inside a step; at a kink one
/// stretch ends and the next begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    start: f64,
    length: f64,
    steps: u32,
}

/// Why numbers do not make a stretch of time.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum StretchFault {
    /// Start or length is not usable.
    #[error(
        "a stretch of {length} s from {start} s cannot be marched; both must be finite and the length at \
         least zero"
    )]
    Time {
        /// Given start \[s\].
        start: f64,
        /// Given length \[s\].
        length: f64,
    },
    /// The stretch cannot be cut this way.
    #[error("a stretch of {length} s cannot be cut into {steps} steps; 1 to {} are possible", u32::MAX)]
    Steps {
        /// Given length \[s\].
        length: f64,
        /// How many steps were asked for, rounded up.
        steps: f64,
    },
}

impl Stretch {
    /// `length` \[s\] from `start` \[s\] in this many equal steps.
    ///
    /// # Errors
    /// A [`StretchFault`] if a time is not finite, the length is negative or no step was asked for.
    pub fn in_steps(start: f64, length: f64, steps: u32) -> Result<Self, StretchFault> {
        if !(start.is_finite() && length.is_finite() && length >= 0.0) {
            return Err(StretchFault::Time { start, length });
        }
        if steps == 0 {
            return Err(StretchFault::Steps { length, steps: 0.0 });
        }
        Ok(Self { start, length, steps })
    }

    /// `length` \[s\] from `start` \[s\] in the fewest equal steps that are no longer than `longest` \[s\].
    /// A hair (one part in 10^9) above a whole number of longest steps is not worth another one.
    ///
    /// # Errors
    /// A [`StretchFault`] if a time is not finite, the length is negative, or `longest` is not
    /// positive or needs more than 2^32 - 1 steps.
    pub fn in_steps_of(start: f64, length: f64, longest: f64) -> Result<Self, StretchFault> {
        let steps = (length / longest * (1.0 - 1e-9)).ceil().max(1.0);
        if !(longest > 0.0 && steps <= f64::from(u32::MAX)) {
            return Err(StretchFault::Steps { length, steps });
        }
        Self::in_steps(start, length, steps as u32)
    }

    /// Length of one step \[s\].
    #[must_use]
    pub fn step(&self) -> f64 {
        self.length / f64::from(self.steps)
    }

    /// Number of steps.
    #[must_use]
    pub const fn steps(&self) -> u32 {
        self.steps
    }

    /// Time at the beginning of step `i`, counted from the start so that rounding never adds up.
    fn time(&self, i: u32) -> f64 {
        self.start + f64::from(i) * self.step()
    }
}

/// A flight that left the numbers: the step after `last` was not finite.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error(
    "the step of {step} s from {time} s gave a number that is not finite; the state before it is the \
     last good one: look there for a speed or rate that runs away, then try a shorter step"
)]
pub struct Diverged<Y> {
    /// Time of the last good state \[s\].
    pub time: f64,
    /// Length of the step that failed \[s\].
    pub step: f64,
    /// The last good state.
    pub last: Y,
}

/// Marches `from` through the `stretch`; `slope(time, state)` is the derivative with respect to
/// time. Allocates nothing. The same input gives the same bits, and so does a flight that is cut
/// between two stretches and taken up again.
///
/// # Errors
/// [`Diverged`] with the last good state when a step gives a number that is not finite.
pub fn march<const S: usize, Y: State>(
    method: &Tableau<S>,
    stretch: Stretch,
    from: Y,
    mut slope: impl FnMut(f64, &Y) -> Y,
) -> Result<Y, Diverged<Y>> {
    let step = stretch.step();
    let mut last = from;
    for i in 0..stretch.steps {
        let time = stretch.time(i);
        let next = advance(method, time, step, &last, &mut slope);
        if !next.is_finite() {
            return Err(Diverged { time, step, last });
        }
        last = next;
    }
    Ok(last)
}

fn advance<const S: usize, Y: State>(
    method: &Tableau<S>,
    time: f64,
    step: f64,
    from: &Y,
    slope: &mut impl FnMut(f64, &Y) -> Y,
) -> Y {
    let mut slopes = [*from; S];
    for i in 0..S {
        let stage = along(from, step, &method.a[i][..i], &slopes);
        slopes[i] = slope(time + method.c[i] * step, &stage);
    }
    along(from, step, &method.b, &slopes).settled()
}

fn along<Y: State>(from: &Y, step: f64, weights: &[f64], slopes: &[Y]) -> Y {
    let mut to = *from;
    for (&weight, slope) in weights.iter().zip(slopes) {
        // Skipping saves work, and keeps an unused slope from spoiling the sum.
        if weight != 0.0 {
            to.advance(step * weight, slope);
        }
    }
    to
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tableau::{CLASSICAL_4, DORMAND_PRINCE_5};

    fn seconds(start: f64, length: f64, steps: u32) -> Stretch {
        Stretch::in_steps(start, length, steps).unwrap()
    }

    /// A polynomial in time of the method's order less one comes out exactly.
    #[test]
    fn slopes_that_depend_on_time_alone_are_summed_exactly() {
        let quartic = |t: f64| t * t * t * t;
        let end = march(&DORMAND_PRINCE_5, seconds(1.0, 2.0, 3), [0.0], |t, _| [5.0 * quartic(t)]).unwrap();
        assert!((end[0] - (243.0 - 1.0)).abs() < 1e-12, "{end:?}");
        let end = march(&CLASSICAL_4, seconds(1.0, 2.0, 3), [0.0], |t, _| [4.0 * t * t * t]).unwrap();
        assert!((end[0] - (81.0 - 1.0)).abs() < 1e-12, "{end:?}");
    }

    #[test]
    fn a_pair_is_marched_as_one() {
        let decay = |_: f64, y: &([f64; 1], [f64; 2])| ([-y.0[0]], [y.0[0], -2.0 * y.1[1]]);
        let end = march(&DORMAND_PRINCE_5, seconds(0.0, 1.0, 50), ([1.0], [0.0, 1.0]), decay).unwrap();
        let e = core::f64::consts::E;
        assert!((end.0[0] - 1.0 / e).abs() < 1e-11);
        assert!((end.1[0] - (1.0 - 1.0 / e)).abs() < 1e-11);
        assert!((end.1[1] - 1.0 / (e * e)).abs() < 1e-10);
    }

    /// y' = y^2 from 1 has its pole at t = 1: the march must stop in front of it, not behind.
    #[test]
    fn a_step_that_is_not_finite_halts_with_the_last_good_state() {
        let slope = |t: f64, y: &[f64; 1]| if t > 0.55 { [f64::NAN] } else { [y[0] * y[0]] };
        let halt = march(&CLASSICAL_4, seconds(0.0, 1.0, 10), [1.0], slope).unwrap_err();
        assert_eq!(halt.time, 5.0 * 0.1);
        assert!((halt.last[0] - 2.0).abs() < 1e-3, "1/(1 - t) at 0.5 is 2: {halt:?}");
        assert!(halt.to_string().contains("0.5 s"), "{halt}");
    }

    #[test]
    fn times_are_counted_not_added_up() {
        let mut latest = 0.0;
        let tenths = Stretch::in_steps_of(0.0, 1000.0, 0.1).unwrap();
        assert_eq!(tenths.steps(), 10_000);
        march(&CLASSICAL_4, tenths, [0.0], |t, _| {
            latest = t;
            [0.0]
        })
        .unwrap();
        // Ten thousand tenths added up miss by 1.6e-10.
        assert!((latest - 1000.0_f64).abs() <= 1000.0 * f64::EPSILON, "{latest}");
    }

    #[test]
    fn a_stretch_is_cut_into_the_fewest_steps_that_are_short_enough() {
        let steps = |length, longest| Stretch::in_steps_of(0.0, length, longest).unwrap().steps();
        assert_eq!(steps(0.02, 0.005), 4);
        assert_eq!(steps(0.02, 0.0049), 5);
        assert_eq!(steps(0.003, 0.005), 1);
        assert_eq!(steps(0.0, 0.005), 1);
        assert_eq!(steps(0.3, 0.1), 3, "0.3/0.1 is a hair below 3 and 0.1 * 3 a hair above 0.3");
    }

    #[test]
    fn an_empty_stretch_changes_nothing() {
        assert_eq!(march(&CLASSICAL_4, seconds(3.0, 0.0, 1), [7.0], |_, _| [1.0]), Ok([7.0]));
    }

    #[test]
    fn impossible_stretches_are_refused() {
        assert!(matches!(Stretch::in_steps(0.0, -1.0, 3), Err(StretchFault::Time { .. })));
        assert!(matches!(Stretch::in_steps(f64::NAN, 1.0, 3), Err(StretchFault::Time { .. })));
        assert!(matches!(Stretch::in_steps(0.0, 1.0, 0), Err(StretchFault::Steps { .. })));
        assert!(matches!(Stretch::in_steps_of(0.0, 1.0, 0.0), Err(StretchFault::Steps { .. })));
        assert!(matches!(Stretch::in_steps_of(0.0, 1.0, 1e-12), Err(StretchFault::Steps { .. })));
        assert!(matches!(Stretch::in_steps_of(0.0, f64::NAN, 0.1), Err(StretchFault::Time { .. })));
    }
}
