//! A quantity whose sign is told in words: "12 m towards the gear", never "-12 m".

/// How to write a signed quantity.
#[derive(Debug, Clone, PartialEq)]
pub struct Signed {
    /// Unit of its values, as printed.
    pub unit: String,
    /// Decimals, no finer than the uncertainty.
    pub decimals: usize,
    /// What a positive value means, e.g. "towards the canopy".
    pub up: String,
    /// What a negative value means, e.g. "towards the gear".
    pub down: String,
    /// The shortest axis, in the unit: below this, differences are not worth seeing.
    pub least_axis: f64,
}

impl Signed {
    /// Size and unit, e.g. "12 m".
    #[must_use]
    pub fn size(&self, value: f64) -> String {
        format!("{} {}", decimal(value.abs(), self.decimals), self.unit)
    }

    /// Size, unit and direction, e.g. "12 m towards the gear"; no direction for what rounds to zero.
    #[must_use]
    pub fn say(&self, value: f64) -> String {
        match self.direction(value) {
            "" => self.size(value),
            words => format!("{} {words}", self.size(value)),
        }
    }

    /// The words for the sign of `value`; empty if it rounds to zero.
    #[must_use]
    pub fn direction(&self, value: f64) -> &str {
        let written = decimal(value, self.decimals);
        if !written.contains(|c: char| ('1'..='9').contains(&c)) {
            ""
        } else if value > 0.0 {
            &self.up
        } else {
            &self.down
        }
    }
}

/// A number with a true minus sign, and never a minus before zero.
#[must_use]
pub fn decimal(value: f64, decimals: usize) -> String {
    let written = format!("{value:.decimals$}");
    match written.strip_prefix('-') {
        Some(rest) if rest.contains(|c: char| ('1'..='9').contains(&c)) => format!("−{rest}"),
        Some(rest) => rest.to_owned(),
        None => written,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drift() -> Signed {
        Signed {
            unit: "m".into(),
            decimals: 1,
            up: "towards the canopy".into(),
            down: "towards the gear".into(),
            least_axis: 1.0,
        }
    }

    #[test]
    fn signs_are_words() {
        assert_eq!(drift().say(-12.34), "12.3 m towards the gear");
        assert_eq!(drift().say(0.06), "0.1 m towards the canopy");
        assert_eq!(drift().say(-0.04), "0.0 m");
        assert_eq!(drift().size(-7.0), "7.0 m");
    }

    #[test]
    fn plain_numbers_have_a_true_minus_and_no_minus_zero() {
        assert_eq!([-2.5, -0.04, 0.0, 3.0].map(|v| decimal(v, 1)), ["−2.5", "0.0", "0.0", "3.0"]);
    }
}
