//! The same airframe as it may really be: measurements within their tolerances, empirical numbers
//! within their ranges.

use aero::Coefficients;
use airframe::Airframe;
use flight::uniform;

/// Every other draw replaces the lee of the body by its alternative, a pair of vortices: which of
/// them is the cause is not known.
pub(crate) fn draw(airframe: &Airframe, seed: u64, number: u64) -> (Airframe, Coefficients) {
    let mut place = number << 32;
    let mut next = || {
        place += 1;
        uniform(seed, place)
    };
    let mut coefficients = Coefficients::default();
    for field in Coefficients::FIELDS {
        (field.set)(&mut coefficients, field.low + (field.high - field.low) * next());
    }
    if number % 2 == 1 {
        coefficients.body_vortices = 1.0;
        coefficients.lee_loss = 0.0;
    }
    (airframe.varied(|| 2.0 * next() - 1.0), coefficients)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn neighbouring_draws_differ_and_repeat() {
        let first = |number: u64| uniform(7, (number << 32) + 1);
        assert_ne!(first(0).to_bits(), first(1).to_bits());
        assert_eq!(first(3).to_bits(), first(3).to_bits());
    }
}
