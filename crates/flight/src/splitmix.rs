//! Numbers that look random but are a function of a seed and a place, the same on every machine.

/// Mixes 64 bits thoroughly.
/// Source: Steele, Lea & Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014
/// (the finaliser of SplitMix64; constants from memory, tested against its known first output).
fn mixed(bits: u64) -> u64 {
    let mut z = bits.wrapping_add(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

/// A number in 0..1, evenly spread, for a place among those of a seed.
#[must_use]
pub fn uniform(seed: u64, place: u64) -> f64 {
    const UNIT: f64 = 1.0 / (1_u64 << 53) as f64;
    (mixed(mixed(seed) ^ place) >> 11) as f64 * UNIT
}

#[cfg(test)]
mod tests {
    use super::*;

    /// First outputs of SplitMix64 from the seed 0, as in its widely copied reference code (from memory).
    #[test]
    fn val_first_outputs_from_seed_zero() {
        assert_eq!(mixed(0), 0xE220_A839_7B1D_CDAF);
        assert_eq!(mixed(0x9E37_79B9_7F4A_7C15), 0x6E78_9E6A_A1B9_65F4);
    }

    #[test]
    fn numbers_are_evenly_spread() {
        let numbers: Vec<f64> = (0..20_000).map(|place| uniform(7, place)).collect();
        assert!(numbers.iter().all(|n| (0.0..1.0).contains(n)));
        let mean = numbers.iter().sum::<f64>() / 20_000.0;
        let variance = numbers.iter().map(|n| (n - mean) * (n - mean)).sum::<f64>() / 20_000.0;
        // Four standard errors: 4 sqrt(1/12/20000) and 4 sqrt(1/180/20000).
        assert!((mean - 0.5).abs() < 0.0082, "{mean}");
        assert!((variance - 1.0 / 12.0).abs() < 0.0022, "{variance}");
    }

    #[test]
    fn neighbours_in_seed_or_place_have_nothing_in_common() {
        let pairs: Vec<(f64, f64)> = (0..20_000).map(|i| (uniform(i, 3), uniform(i + 1, 3))).collect();
        let product = pairs.iter().map(|(a, b)| (a - 0.5) * (b - 0.5)).sum::<f64>() / 20_000.0;
        assert!((product * 12.0).abs() < 0.03, "correlation {product}");
    }
}
