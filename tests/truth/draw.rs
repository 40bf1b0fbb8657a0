//! Numbers that look random but are a function of seed and place, and draws made with them.

use aero::Coefficients;

use crate::aircraft::Fleet;
use crate::missing::{self, Missing};
use crate::sketch::Sketch;

/// Draws one number after the other.
pub(crate) struct Draw {
    state: u64,
}

impl Draw {
    pub(crate) fn new(seed: u64) -> Self {
        Self { state: seed.wrapping_mul(0xD134_2543_DE82_EF95) }
    }

    /// Evenly spread between `low` and `high`. SplitMix64 (Steele, Lea and Flood, OOPSLA 2014;
    /// constants from memory).
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^= z >> 31;
        low + (high - low) * ((z >> 11) as f64 / (1_u64 << 53) as f64)
    }

    /// Empirical numbers from all their ranges.
    pub(crate) fn coefficients(&mut self) -> Coefficients {
        let mut c = Coefficients::default();
        for field in Coefficients::FIELDS {
            (field.set)(&mut c, self.between(field.low, field.high));
        }
        c
    }

    /// The published aircraft with other values for what was not published.
    pub(crate) fn fleet(&mut self) -> Fleet {
        let plain = Fleet::assumed();
        Fleet {
            navion: self.sizes(&plain.navion, missing::CONTROLS),
            shoulder: self.sizes(&plain.shoulder, missing::SHOULDER),
            middle: self.sizes(&plain.middle, missing::MIDDLE),
            small: self.sizes(&plain.small, missing::SHOULDER),
        }
    }

    /// A value from the range of every list of sizes.
    pub(crate) fn sizes(&mut self, s: &Sketch, lists: &[&[Missing]]) -> Sketch {
        let mut other = s.clone();
        for size in lists.iter().copied().flatten() {
            (size.set)(&mut other, self.between(size.low, size.high));
        }
        other
    }
}

/// The value that a share of the list lies below; sorts it.
pub(crate) fn quantile(values: &mut [f64], share: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    let place = share * (values.len() - 1) as f64;
    let (low, part) = (place as usize, place.fract());
    let high = (low + 1).min(values.len() - 1);
    values[low] + (values[high] - values[low]) * part
}
