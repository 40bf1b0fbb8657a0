//! What a pilot's hand moves besides the sticks in a flight by hand.

/// Steps of a lever's travel.
const STEPS: f64 = 1e4;

/// A lever or a switch that is moved before a tick.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Turn {
    /// The tick, counted from 0.
    pub tick: usize,
    /// What is moved.
    pub what: Turned,
}

/// A lever or a switch at its new place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Turned {
    /// A lever. It stands in steps of a ten-thousandth, so that what is written is the very place that was flown.
    Lever {
        /// Its name.
        name: String,
        /// In steps.
        at: LeverPlace,
    },
    /// A switch.
    Switch {
        /// Its name.
        name: String,
        /// The position.
        is: String,
    },
}

/// Where a lever stands, in steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LeverPlace(u16);

impl LeverPlace {
    /// The step nearest to a position, 0..1; beyond its stop it stands at it, and what is no number is 0.
    #[must_use]
    pub fn new(at: f64) -> Self {
        let at = if at.is_finite() { at.clamp(0.0, 1.0) } else { 0.0 };
        Self(libm::round(at * STEPS) as u16)
    }

    /// The position, 0..1.
    #[must_use]
    pub fn position(self) -> f64 {
        f64::from(self.0) / STEPS
    }
}

impl Turned {
    /// The name of what is moved.
    #[must_use]
    pub fn name(&self) -> &str {
        match self {
            Self::Lever { name, .. } | Self::Switch { name, .. } => name,
        }
    }

    /// A lever at a position, 0..1.
    #[must_use]
    pub fn lever(name: &str, at: f64) -> Self {
        Self::Lever { name: name.to_owned(), at: LeverPlace::new(at) }
    }

    /// A switch at a position.
    #[must_use]
    pub fn switch(name: &str, is: &str) -> Self {
        Self::Switch { name: name.to_owned(), is: is.to_owned() }
    }

    /// Whether `other` is the same lever or switch.
    #[must_use]
    pub fn same(&self, other: &Self) -> bool {
        core::mem::discriminant(self) == core::mem::discriminant(other) && self.name() == other.name()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_read_back_from_its_position_is_the_same() {
        for k in -10..20_010 {
            let place = LeverPlace::new(f64::from(k) / 20_000.0);
            assert_eq!(LeverPlace::new(place.position()), place);
            assert!((0.0..=1.0).contains(&place.position()));
        }
        assert_eq!(LeverPlace::new(f64::NAN).position(), 0.0);
    }
}
