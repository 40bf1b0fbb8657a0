//! How sure a percentage is: what it would be if measurements and empirical numbers were off.

use crate::find::coupling::{Coupling, Manoeuvre};
use crate::find::draw::draw;
use crate::find::fit::fit;
use crate::find::found::Options;
use crate::find::pose::Stand;
use crate::find::sweep::Sweeper;
use airframe::{Airframe, Geometry};
use core::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use mix::Blend;
use rayon::prelude::*;

/// Below this share of draws with the same sign a direction is not certain.
pub const CERTAIN: f64 = 0.95;
/// Ends of the range that is told: four draws out of five lie between.
const LOW: f64 = 0.1;
const HIGH: f64 = 0.9;

/// How one side's percentage came out over the draws.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sure {
    /// Share of draws that have the sign of the percentage found.
    pub direction: f64,
    /// Four draws out of five lie between these, shares of full throw.
    pub range: (f64, f64),
    /// How many draws there were.
    pub draws: usize,
}

/// Percentages of both sides for each coupling, one list per draw that could be posed. In
/// parallel; the result does not depend on the number of threads.
pub(crate) fn drawn(
    airframe: &Airframe,
    couplings: &[Coupling],
    options: &Options<'_>,
    stop: &AtomicBool,
) -> Vec<Vec<[Option<f64>; 2]>> {
    let &Options { progress, draws, seed, blends } = options;
    let done = AtomicUsize::new(0);
    let numbers: Vec<u64> = (0..draws as u64).collect();
    let all: Vec<Option<Vec<[Option<f64>; 2]>>> = numbers
        .par_iter()
        .map(|&number| {
            if stop.load(Ordering::Relaxed) {
                return None;
            }
            let (varied, coefficients) = draw(airframe, seed, number);
            let geometry = Geometry::of(&varied).ok()?;
            let stand = Stand::new(&geometry, &coefficients).ok()?;
            percentages(&stand, couplings, blends)
        })
        .inspect(|_| progress(done.fetch_add(1, Ordering::Relaxed) + 1, draws))
        .collect();
    all.into_iter().flatten().collect()
}

/// Straight percentages of both sides for each coupling.
pub(crate) fn percentages(
    stand: &Stand,
    couplings: &[Coupling],
    blends: &[Blend],
) -> Option<Vec<[Option<f64>; 2]>> {
    let mut sweeper = Sweeper::lines(stand, blends);
    let mut last: Option<(Manoeuvre, _)> = None;
    let mut list = Vec::new();
    for &coupling in couplings {
        let sweep = match last.take() {
            Some((manoeuvre, sweep)) if manoeuvre == coupling.manoeuvre => sweep,
            _ => sweeper.sweep(coupling.manoeuvre).ok()?,
        };
        list.push(fit(coupling, &sweep).straight);
        last = Some((coupling.manoeuvre, sweep));
    }
    Some(list)
}

/// Sums up one side of one coupling over the draws.
pub(crate) fn sure(found: f64, draws: impl Iterator<Item = Option<f64>>) -> Option<Sure> {
    let mut values: Vec<f64> = draws.flatten().collect();
    values.sort_by(f64::total_cmp);
    let count = values.len();
    if count == 0 {
        return None;
    }
    // where speeds want different directions nothing is found, and the draws must say which way
    let (down, up) =
        (values.iter().filter(|v| **v < 0.0).count(), values.iter().filter(|v| **v > 0.0).count());
    let same = if found == 0.0 { down.max(up) } else { values.iter().filter(|v| **v * found > 0.0).count() };
    let at = |share: f64| values[((count - 1) as f64 * share).round() as usize];
    Some(Sure { direction: same as f64 / count as f64, range: (at(LOW), at(HIGH)), draws: count })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_direction_is_the_share_of_draws_on_its_side() {
        let draws = (0..100).map(|i| Some(f64::from(i) - 9.5));
        let sure = sure(3.0, draws).unwrap();
        assert_eq!(sure.direction, 0.9);
        assert_eq!(sure.draws, 100);
        assert_eq!(sure.range, (0.5, 79.5), "the tenth and the ninetieth of a hundred");
    }

    #[test]
    fn no_draws_say_nothing() {
        assert_eq!(sure(1.0, core::iter::repeat_n(None, 5)), None);
    }
}
