/// A number as somebody measured it: the value and how far it may be off, both in SI units
/// (radians for angles, shares of one for percentages).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Measured {
    /// The value, SI.
    pub value: f64,
    /// Half the width of the interval that surely holds the truth, SI; 0 for an exact number.
    pub tolerance: f64,
}

impl Measured {
    /// A number taken as exact.
    #[must_use]
    pub const fn exact(value: f64) -> Self {
        Self { value, tolerance: 0.0 }
    }

    /// A value with its tolerance.
    #[must_use]
    pub const fn with_tolerance(value: f64, tolerance: f64) -> Self {
        Self { value, tolerance }
    }
}

impl From<f64> for Measured {
    fn from(value: f64) -> Self {
        Self::exact(value)
    }
}
