//! Which commands ran into the end of their travel.

use crate::Follower;

/// A set of followers whose command was cut to travel. Small, plain, and joinable over a flight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Limits(u8);

impl Limits {
    /// No limit hit.
    pub const NONE: Self = Self(0);

    /// Notes one follower.
    pub(crate) const fn note(&mut self, follower: Follower) {
        self.0 |= 1 << follower as u8;
    }

    /// Whether this follower was cut.
    #[must_use]
    pub const fn contains(self, follower: Follower) -> bool {
        self.0 & (1 << follower as u8) != 0
    }

    /// Whether none was.
    #[must_use]
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// What was cut in either.
    #[must_use]
    pub const fn union(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// The followers that were cut, in canonical order.
    pub fn iter(self) -> impl Iterator<Item = Follower> {
        Follower::ALL.into_iter().filter(move |&follower| self.contains(follower))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn holds_what_was_noted_and_nothing_else() {
        let mut limits = Limits::NONE;
        assert!(limits.is_empty());
        limits.note(Follower::Door);
        limits.note(Follower::Aileron);
        assert_eq!(limits.iter().collect::<Vec<_>>(), [Follower::Aileron, Follower::Door]);
        assert!(!limits.contains(Follower::Rudder));
        assert_eq!(Limits::NONE.union(limits), limits);
    }
}
