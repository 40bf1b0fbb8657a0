//! How wide the answers are: draws of every empirical number from its range, and of the sizes that were not
//! published.

use std::sync::OnceLock;

use rayon::prelude::*;

use crate::aircraft;
use crate::draw::{Draw, quantile};

const DRAWS: u64 = 200;

/// 10 and 90 % of the draws, in the order of the checks of the aircraft, those that were added behind. Worked out once.
pub(crate) fn bands() -> &'static [(f64, f64)] {
    static BANDS: OnceLock<Vec<(f64, f64)>> = OnceLock::new();
    BANDS.get_or_init(work_out)
}

fn work_out() -> Vec<(f64, f64)> {
    let draws: Vec<Vec<f64>> = (0..DRAWS)
        .into_par_iter()
        .map(|seed| {
            let mut draw = Draw::new(seed);
            let fleet = draw.fleet();
            let c = draw.coefficients();
            let checks = [aircraft::checks(&fleet, &c), aircraft::added(&fleet, &c)].concat();
            checks.iter().map(|c| c.found).collect()
        })
        .collect();
    (0..draws[0].len())
        .map(|row| {
            let mut values: Vec<f64> = draws.iter().map(|d| d[row]).collect();
            (quantile(&mut values, 0.1), quantile(&mut values, 0.9))
        })
        .collect()
}

/// Whether a published value lies in the band.
pub(crate) fn covers((low, high): (f64, f64), published: &[f64]) -> bool {
    published.iter().any(|p| (low..=high).contains(p))
}

/// Whether all of them do.
pub(crate) fn covers_all((low, high): (f64, f64), published: &[f64]) -> bool {
    published.iter().all(|p| (low..=high).contains(p))
}
