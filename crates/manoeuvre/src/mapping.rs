//! Which axis of a device is which stick, and where its travel ends.

use measure::Stick;

/// A stick let go stands in the middle within this share of its travel.
const REST: f64 = 0.02;

/// The axis of a stick, with the numbers that the device gives at the ends of its travel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Travel {
    /// Which axis of the device, counted from 0.
    pub axis: u32,
    /// Fully left, stick forward, or idle.
    pub low: f64,
    /// Let go; of a throttle of no meaning.
    pub middle: f64,
    /// Fully right, stick back, or full power.
    pub high: f64,
}

/// How a device is read.
#[derive(Debug, Clone, PartialEq)]
pub struct Mapping {
    /// The name that the device gives itself.
    pub device: String,
    /// In the order of [`Stick::ALL`].
    pub sticks: [Travel; 4],
    /// The button that puts the blends in and out, counted from 0.
    pub blends: Option<u32>,
}

impl Travel {
    /// Where `stick` stands when its axis gives `raw`: within the stick's range, and in the middle (or at idle) for
    /// what is no number.
    #[must_use]
    pub fn place(&self, stick: Stick, raw: f64) -> f64 {
        let share = |from: f64, to: f64| ((raw - from) / (to - from)).clamp(0.0, 1.0);
        let at = match stick {
            Stick::Throttle => share(self.low, self.high),
            // of the two halves one is at 0 wherever the stick stands
            _ => share(self.middle, self.high) - share(self.middle, self.low),
        };
        if !at.is_finite() || (stick != Stick::Throttle && at.abs() < REST) { 0.0 } else { at }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stick_stands_where_its_ends_and_its_middle_say() {
        let travel = Travel { axis: 0, low: 0.8, middle: 0.1, high: -0.9 };
        for (raw, at) in
            [(0.8, -1.0), (2.0, -1.0), (0.45, -0.5), (0.1, 0.0), (0.11, 0.0), (-0.4, 0.5), (-0.9, 1.0)]
        {
            assert!((travel.place(Stick::Rudder, raw) - at).abs() < 1e-12, "{raw}");
        }
        let throttle = Travel { axis: 1, low: -1.0, middle: 0.0, high: 1.0 };
        for (raw, at) in [(-1.0, 0.0), (-1.2, 0.0), (-0.5, 0.25), (0.01, 0.505), (1.0, 1.0)] {
            assert!((throttle.place(Stick::Throttle, raw) - at).abs() < 1e-12, "{raw}");
        }
        assert_eq!(travel.place(Stick::Rudder, f64::NAN), 0.0);
    }
}
