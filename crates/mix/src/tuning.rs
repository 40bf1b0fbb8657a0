//! Blends whose size is set by a lever.

use crate::program::LeverId;
use crate::{Hand, Tuning};

/// A [`Tuning`] with its name resolved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Tuned {
    pub(crate) lever: LeverId,
    pub(crate) least: f64,
    pub(crate) most: f64,
}

impl Tuned {
    /// The factor for a hand: exact at both ends.
    pub(crate) fn factor(self, hand: &Hand) -> f64 {
        let position = hand.lever(self.lever);
        self.least * (1.0 - position) + self.most * position
    }
}

impl Tuning {
    /// Where the lever stands for the blend as it is written, or as near as it can.
    #[must_use]
    pub fn rest(&self) -> f64 {
        ((1.0 - self.least) / (self.most - self.least)).clamp(0.0, 1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn at_rest_a_blend_is_as_written() {
        let tuning = |least, most| Tuning { lever: "spare 1".into(), least, most };
        assert_eq!(tuning(0.0, 2.0).rest(), 0.5);
        assert_eq!(tuning(2.0, 0.0).rest(), 0.5);
        assert_eq!(tuning(0.0, 1.0).rest(), 1.0);
        assert_eq!(tuning(0.0, 0.5).rest(), 1.0, "never as much as written: as near as it goes");
        assert_eq!(tuning(1.5, 3.0).rest(), 0.0);
    }
}
