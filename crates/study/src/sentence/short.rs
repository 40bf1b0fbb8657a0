//! One number of a verdict for a cell of a table: few letters, both flights beside each other.

use super::amount::{is_nothing, tenths_below_ten};
use measure::DEG;

/// A signed number with a word for each sign.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Short {
    value: f64,
    words: [&'static str; 2],
    unit: &'static str,
    whole: bool,
}

impl Short {
    /// Metres.
    pub(crate) const fn metres(value: f64, positive: &'static str, negative: &'static str) -> Self {
        Self { value, words: [positive, negative], unit: " m", whole: false }
    }

    /// From radians.
    pub(crate) fn degrees(value: f64, positive: &'static str, negative: &'static str) -> Self {
        Self { value: value / DEG, words: [positive, negative], unit: "°", whole: true }
    }

    /// Of any unit, with one word.
    pub(crate) const fn plain(value: f64, word: &'static str, unit: &'static str) -> Self {
        Self { value, words: [word, word], unit, whole: false }
    }

    fn size(&self) -> String {
        if self.whole { format!("{:.0}", self.value.abs()) } else { tenths_below_ten(self.value) }
    }

    fn word(&self) -> &'static str {
        self.words[usize::from(self.value < 0.0)]
    }

    /// `"gear 8.1→1.2 m"`.
    pub(crate) fn pair(&self, with: &Self) -> String {
        let (a, b) = (self.size(), with.size());
        if is_nothing(&a) && is_nothing(&b) {
            return format!("{} 0{}", self.word(), self.unit);
        }
        let larger = if with.value.abs() > self.value.abs() { with } else { self };
        if is_nothing(&a) || is_nothing(&b) || self.word() == with.word() {
            return format!("{} {a}→{b}{}", larger.word(), self.unit);
        }
        format!("{} {a}→{} {b}{}", self.word(), with.word(), self.unit)
    }

    /// `"gear 8.1 m"`.
    pub(crate) fn alone(&self) -> String {
        format!("{} {}{}", self.word(), self.size(), self.unit)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_flights_in_few_letters() {
        let bend = |value| Short::metres(value, "canopy", "gear");
        assert_eq!(bend(-8.12).pair(&bend(-1.2)), "gear 8.1→1.2 m");
        assert_eq!(bend(-8.12).pair(&bend(1.2)), "gear 8.1→canopy 1.2 m");
        assert_eq!(bend(12.0).pair(&bend(-0.01)), "canopy 12→0.0 m");
        assert_eq!(bend(0.01).pair(&bend(-0.01)), "canopy 0 m");
        assert_eq!(bend(-3.0).alone(), "gear 3.0 m");
        let roll = Short::degrees(100.4 * DEG, "out", "under");
        assert_eq!(roll.pair(&Short::degrees(-DEG, "out", "under")), "out 100→under 1°");
    }
}
