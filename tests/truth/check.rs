//! One published number against one computed number.

/// When a computed number passes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Rule {
    /// Within this share of the published value, or between two published values, each widened by it.
    Within(f64),
    /// The same sign, where the published values have one, and within this distance.
    Near(f64),
    /// The same sign, and between half and twice the published value: sizes of the aircraft are
    /// assumed.
    Shape,
    /// The same sign, and between these multiples of the published value.
    Between(f64, f64),
}

/// A published number (two where two sources differ) and what the model says.
#[derive(Debug, Clone)]
pub(crate) struct Check {
    /// Aircraft or component.
    pub(crate) subject: &'static str,
    /// What was measured; with `subject` the name of the check.
    pub(crate) quantity: &'static str,
    pub(crate) published: &'static [f64],
    pub(crate) found: f64,
    pub(crate) rule: Rule,
}

impl Check {
    pub(crate) fn name(&self) -> String {
        format!("{}: {}", self.subject, self.quantity)
    }

    /// Lowest and highest published value.
    pub(crate) fn range(&self) -> (f64, f64) {
        let low = self.published.iter().copied().fold(f64::INFINITY, f64::min);
        let high = self.published.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        (low, high)
    }

    /// Middle of the published values.
    pub(crate) fn middle(&self) -> f64 {
        let (low, high) = self.range();
        0.5 * (low + high)
    }

    pub(crate) fn holds(&self) -> bool {
        let (low, high) = self.range();
        match self.rule {
            Rule::Within(share) => {
                (low - share * low.abs()..=high + share * high.abs()).contains(&self.found)
            }
            Rule::Near(distance) => {
                let signed = low * high <= 0.0 || self.found * low > 0.0;
                signed && (low - distance..=high + distance).contains(&self.found)
            }
            Rule::Shape => (0.5..=2.0).contains(&(self.found / self.middle())),
            Rule::Between(least, most) => (least..=most).contains(&(self.found / self.middle())),
        }
    }

    /// Difference to the nearest published value.
    pub(crate) fn difference(&self) -> f64 {
        let (low, high) = self.range();
        self.found - self.found.clamp(low, high)
    }
}

/// A table of checks of one subject.
pub(crate) fn rows(subject: &'static str, rows: &[(&'static str, &'static [f64], f64, Rule)]) -> Vec<Check> {
    let check = |&(quantity, published, found, rule): &(&'static str, &'static [f64], f64, Rule)| Check {
        subject,
        quantity,
        published,
        found,
        rule,
    };
    rows.iter().map(check).collect()
}
