//! What the marcher asks of a state: that it can move along a slope and say that it is sound.

/// A state of fixed size that changes smoothly in time. Its slope, the derivative with respect to
/// time in seconds, has the same shape (so a position's place holds a velocity, and so on).
pub trait State: Copy {
    /// Adds `factor * slope`, entry by entry.
    fn advance(&mut self, factor: f64, slope: &Self);

    /// Whether every entry is a finite number.
    fn is_finite(&self) -> bool;

    /// Brought back to what rounding and truncation have left, once after each step and never
    /// inside one: a quaternion returns to unit length.
    #[must_use]
    fn settled(self) -> Self {
        self
    }
}

impl<const N: usize> State for [f64; N] {
    fn advance(&mut self, factor: f64, slope: &Self) {
        for (entry, rate) in self.iter_mut().zip(slope) {
            *entry += factor * rate;
        }
    }

    fn is_finite(&self) -> bool {
        self.iter().all(|entry| entry.is_finite())
    }
}

/// Two states marched as one: a body and what lags or spins with it.
impl<A: State, B: State> State for (A, B) {
    fn advance(&mut self, factor: f64, slope: &Self) {
        self.0.advance(factor, &slope.0);
        self.1.advance(factor, &slope.1);
    }

    fn is_finite(&self) -> bool {
        self.0.is_finite() && self.1.is_finite()
    }

    fn settled(self) -> Self {
        (self.0.settled(), self.1.settled())
    }
}
