//! What a pilot's hand does in one tick of a flight by hand.

use measure::Stick;

/// Steps of a stick's travel from the middle to its stop.
const STEPS: f64 = 1e4;

/// Where the sticks stand for one tick, and whether the blends are in. Sticks stand in steps of a ten-thousandth of
/// their travel, so that a written grip is the very one that was flown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Grip {
    /// In steps, in the order of [`Stick::ALL`].
    steps: [i16; 4],
    /// Whether the pilot has the blends switched in.
    pub blends: bool,
}

impl Grip {
    /// Sticks in the order of [`Stick::ALL`], throttle 0..1, the others -1..1; beyond its stop a stick stands at it, and
    /// one that gives no number in the middle, or at idle.
    #[must_use]
    pub fn new(sticks: [f64; 4], blends: bool) -> Self {
        let step = |stick: Stick| {
            let (low, high) = stick.range();
            let at = sticks[stick as usize];
            let at = if at.is_finite() { at.clamp(low, high) } else { 0.0 };
            libm::round(at * STEPS) as i16
        };
        Self { steps: Stick::ALL.map(step), blends }
    }

    /// Where the sticks stand, in the order of [`Stick::ALL`].
    #[must_use]
    pub fn sticks(&self) -> [f64; 4] {
        self.steps.map(|step| f64::from(step) / STEPS)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_grip_read_back_from_its_sticks_is_the_same() {
        for k in -20_000..20_000 {
            let at = f64::from(k) / 13_337.0;
            let grip = Grip::new([at, -at, 0.5 * at, at.abs()], k % 2 == 0);
            assert_eq!(Grip::new(grip.sticks(), grip.blends), grip);
            assert!((grip.sticks()[0] - at.clamp(-1.0, 1.0)).abs() <= 0.5 / STEPS + 1e-12);
        }
    }

    #[test]
    fn sticks_stay_within_their_travel_and_are_always_numbers() {
        let grip = Grip::new([f64::NAN, 3.0, f64::NEG_INFINITY, -0.2], true);
        assert_eq!(grip.sticks(), [0.0, 1.0, 0.0, 0.0]);
    }
}
