//! Rates and expo: from where a stick stands to what it asks for.

use crate::{Rate, RateSet};
use measure::Stick;

/// Smallest and largest expo. The slope of `(1 - e) x + e x^3` at full stick is `1 + 2 e`: below
/// -0.5 more stick would ask for less.
pub const EXPO_RANGE: (f64, f64) = (-0.5, 1.0);

impl Rate {
    /// Full throw, no expo: the stick as it is.
    pub const FULL: Self = Self { throw: 1.0, expo: 0.0 };

    /// Share of full throw asked for by a stick standing at `stick` (-1..1).
    ///
    /// `throw x (1 - e (1 - x^2))` is the cubic `throw ((1 - e) x + e x^3)` written so that it is
    /// odd to the bit, exactly `throw` at full stick and exactly `x` for 100 % and no expo.
    #[must_use]
    pub fn apply(self, stick: f64) -> f64 {
        self.throw * (stick * (1.0 - self.expo * (1.0 - stick * stick)))
    }

    /// Where the stick (-1..1) asks for `share` of full throw; at its stop if it cannot ask for as
    /// much. Where the expo leaves the middle dead (100 %), any stick serves: the nearest that moves.
    ///
    /// By Newton's steps: with positive expo the curve bends upwards and they come down from full stick,
    /// with negative expo they come up from the middle; neither passes the answer but by rounding.
    #[must_use]
    pub fn stick_for(self, share: f64) -> f64 {
        const MOST_STEPS: usize = 100;
        if share.abs() >= self.throw {
            return if share == 0.0 { 0.0 } else { 1f64.copysign(share) };
        }
        if self.expo == 0.0 || share == 0.0 {
            return share / self.throw;
        }
        let down = self.expo > 0.0;
        let mut stick = if down { 1.0 } else { 0.0 };
        for _ in 0..MOST_STEPS {
            let slope = self.throw * (1.0 - self.expo * (1.0 - 3.0 * stick * stick));
            let next = stick + (share.abs() - self.apply(stick)) / slope;
            let closer = if down { next < stick } else { next > stick };
            if !closer {
                break;
            }
            stick = next;
        }
        stick.clamp(0.0, 1.0).copysign(share)
    }
}

impl RateSet {
    /// The rate of one stick; the throttle has none and passes through.
    #[must_use]
    pub const fn of(&self, stick: Stick) -> Rate {
        match stick {
            Stick::Aileron => self.sticks[0],
            Stick::Elevator => self.sticks[1],
            Stick::Rudder => self.sticks[2],
            Stick::Throttle => Rate::FULL,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn half_stick_with_thirty_percent_expo() {
        // by hand: 0.7 * 0.5 + 0.3 * 0.125 = 0.3875, times 60 %
        let rate = Rate { throw: 0.6, expo: 0.3 };
        assert!((rate.apply(0.5) - 0.2325).abs() < 1e-15);
    }

    #[test]
    fn the_throttle_has_no_rate() {
        let set = RateSet { name: "low".into(), sticks: [Rate { throw: 0.5, expo: 0.5 }; 3] };
        assert_eq!(set.of(Stick::Throttle), Rate::FULL);
        assert_eq!(set.of(Stick::Rudder).throw, 0.5);
    }

    proptest! {
        #[test]
        fn odd_to_the_bit(throw in 0.0..=1.0, expo in -0.5..=1.0, x in 0.0..=1.0f64) {
            let rate = Rate { throw, expo };
            prop_assert_eq!(rate.apply(-x).to_bits(), (-rate.apply(x)).to_bits());
        }

        #[test]
        fn full_stick_gives_the_throw(throw in 0.0..=1.0, expo in -0.5..=1.0) {
            prop_assert_eq!(Rate { throw, expo }.apply(1.0).to_bits(), f64::to_bits(throw));
        }

        #[test]
        fn full_throw_without_expo_is_the_stick(x in -1.0..=1.0) {
            prop_assert_eq!(Rate::FULL.apply(x).to_bits(), f64::to_bits(x));
        }

        /// Every operation of the formula is itself monotone for positive expo, so this holds
        /// without any tolerance.
        #[test]
        fn positive_expo_is_monotone(
            throw in 0.0..=1.0, expo in 0.0..=1.0, a in -1.0..=1.0, b in -1.0..=1.0
        ) {
            let rate = Rate { throw, expo };
            prop_assert!(rate.apply(f64::min(a, b)) <= rate.apply(f64::max(a, b)));
        }

        /// Negative expo multiplies a rising by a falling factor: monotone but for rounding.
        #[test]
        fn negative_expo_is_monotone(expo in -0.5..=0.0, a in -1.0..=1.0, b in -1.0..=1.0) {
            let rate = Rate { throw: 1.0, expo };
            prop_assert!(rate.apply(f64::min(a, b)) <= rate.apply(f64::max(a, b)) + 4.0 * f64::EPSILON);
        }

        #[test]
        fn the_stick_for_a_share_asks_for_it(throw in 0.1..=1.0, expo in -0.5..=1.0, stick in -1.0..=1.0f64) {
            let rate = Rate { throw, expo };
            let share = rate.apply(stick);
            prop_assert!((rate.apply(rate.stick_for(share)) - share).abs() < 1e-12);
            prop_assert_eq!(rate.stick_for(-share).to_bits(), (-rate.stick_for(share)).to_bits());
            prop_assert_eq!(rate.stick_for(1.01 * throw), 1.0);
        }

        #[test]
        fn follows_the_cubic(expo in -0.5..=1.0, x in -1.0..=1.0f64) {
            let cubic = (1.0 - expo) * x + expo * x * x * x;
            let off = Rate { throw: 1.0, expo }.apply(x) - cubic;
            prop_assert!(off.abs() <= 4.0 * f64::EPSILON, "off by {}", off);
        }
    }
}
