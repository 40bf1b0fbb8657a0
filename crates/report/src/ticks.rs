//! Round values for an axis: steps of 1, 2 or 5 times a power of ten.

/// A range of values, `from` below `to`, in the unit of whatever it describes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Lowest value.
    pub from: f64,
    /// Highest value.
    pub to: f64,
}

impl Span {
    /// The smallest range that holds all values; `None` without values.
    #[must_use]
    pub fn covering(values: impl IntoIterator<Item = f64>) -> Option<Self> {
        values.into_iter().map(|v| Self { from: v, to: v }).reduce(Self::union)
    }

    /// The smallest range that holds both.
    #[must_use]
    pub fn union(self, other: Self) -> Self {
        Self { from: self.from.min(other.from), to: self.to.max(other.to) }
    }

    /// `to - from`.
    #[must_use]
    pub fn length(self) -> f64 {
        self.to - self.from
    }

    /// The same with zero inside and stretched about zero to at least `least` long: a range that small
    /// would blow differences up that are not worth seeing.
    #[must_use]
    pub fn from_zero(self, least: f64) -> Self {
        let whole = self.union(Self { from: 0.0, to: 0.0 });
        if whole.length() <= 0.0 {
            return Self { from: -0.5 * least, to: 0.5 * least };
        }
        let stretch = (least / whole.length()).max(1.0);
        Self { from: whole.from * stretch, to: whole.to * stretch }
    }
}

/// Values to mark on an axis, and how many decimals they need.
#[derive(Debug, Clone, PartialEq)]
pub struct Ticks {
    /// Rising, all inside the range.
    pub values: Vec<f64>,
    /// Decimals with which they are exact.
    pub decimals: usize,
}

/// The finest set of at most `most` round values in `span`; up to five where that would leave fewer than
/// two, because one value alone gives no scale.
#[must_use]
pub fn ticks(span: Span, most: usize) -> Ticks {
    let most = most.max(2);
    let rough = libm::floor(libm::log10(span.length() / most as f64)) as i32;
    let steps = (rough..).flat_map(|exponent| [1, 2, 5].map(|lead| Step { lead, exponent }));
    let mut finer = Ticks { values: Vec::new(), decimals: 0 };
    // A step above the length of the range leaves one tick at most, so twelve candidates are plenty.
    for set in steps.take(12).map(|step| step.ticks(span)) {
        if set.values.len() < 2 {
            return finer;
        }
        if set.values.len() <= most {
            return set;
        }
        finer = set;
    }
    finer
}

/// `lead * 10^exponent`.
#[derive(Clone, Copy)]
struct Step {
    lead: i32,
    exponent: i32,
}

impl Step {
    fn ticks(self, span: Span) -> Ticks {
        // The ends of a range may be round values themselves, with a rounding error.
        const SLACK: f64 = 1e-9;
        let size = self.times(1.0);
        let first = libm::ceil(span.from / size - SLACK);
        let last = libm::floor(span.to / size + SLACK);
        let count = if last >= first { (last - first) as usize + 1 } else { 0 };
        let values = (0..count).map(|i| self.times(first + i as f64)).collect();
        Ticks { values, decimals: self.exponent.min(0).unsigned_abs() as usize }
    }

    /// Powers of ten up to 10^22 are exact, so that one rounding is left.
    fn times(self, count: f64) -> f64 {
        let power = (0..self.exponent.unsigned_abs()).fold(1.0, |power, _| power * 10.0);
        let lead = count * f64::from(self.lead);
        if self.exponent < 0 { lead / power } else { lead * power }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spans() -> impl Iterator<Item = Span> {
        let lengths = [1e-4, 0.013, 0.2, 0.999, 1.0, 3.7, 10.0, 47.0, 100.0, 812.0, 1e5];
        let starts = [-0.9, -0.31, 0.0, 0.45, 7.0];
        lengths.into_iter().flat_map(move |length| {
            starts.map(|start| Span { from: start * length, to: (start + 1.0) * length })
        })
    }

    #[test]
    fn steps_are_1_2_or_5_times_a_power_of_ten() {
        for span in spans() {
            let set = ticks(span, 6);
            let step = set.values[1] - set.values[0];
            let lead = step / libm::pow(10.0, libm::floor(libm::log10(step * 1.000_001)));
            assert!([1.0, 2.0, 5.0].iter().any(|l| (lead - l).abs() < 1e-6), "{span:?}: {step}");
        }
    }

    #[test]
    fn ticks_are_inside_evenly_spaced_multiples_and_neither_few_nor_many() {
        for span in spans() {
            for most in [3, 4, 6, 9] {
                let values = ticks(span, most).values;
                assert!(
                    (2..=most.max(5)).contains(&values.len()) && values.len() * 3 >= most,
                    "{span:?}: {values:?}"
                );
                let slack = 1e-8 * span.length();
                assert!(values.iter().all(|&v| v >= span.from - slack && v <= span.to + slack));
                let step = values[1] - values[0];
                for pair in values.windows(2) {
                    assert!((pair[1] - pair[0] - step).abs() < 1e-9 * span.length());
                }
                assert!(values.iter().all(|v| (v / step - libm::round(v / step)).abs() < 1e-6));
            }
        }
    }

    #[test]
    fn decimals_show_the_ticks_exactly() {
        let set = ticks(Span { from: 0.0, to: 0.4 }, 5);
        assert_eq!(set.values, [0.0, 0.1, 0.2, 0.3, 0.4]);
        assert_eq!(set.decimals, 1);
        assert_eq!(ticks(Span { from: -100.0, to: 100.0 }, 5).values, [-100.0, -50.0, 0.0, 50.0, 100.0]);
    }

    #[test]
    fn small_ranges_are_stretched_about_zero() {
        assert_eq!(Span { from: 0.5, to: 1.0 }.from_zero(10.0), Span { from: 0.0, to: 10.0 });
        assert_eq!(Span { from: -1.0, to: 1.0 }.from_zero(10.0), Span { from: -5.0, to: 5.0 });
        assert_eq!(Span { from: 0.0, to: 0.0 }.from_zero(10.0), Span { from: -5.0, to: 5.0 });
        assert_eq!(Span { from: -30.0, to: 1.0 }.from_zero(10.0), Span { from: -30.0, to: 1.0 });
    }
}
