//! What a blend moves, how far, and which lead stands for the same thing.

use crate::{DOOR_LEVER, FLAP_LEVER, Follower, Lead};
use measure::Stick;

impl Follower {
    /// All of them, in canonical order.
    pub const ALL: [Self; 7] = [
        Self::Aileron,
        Self::Elevator,
        Self::Rudder,
        Self::Throttle,
        Self::Flap,
        Self::AileronsTogether,
        Self::Door,
    ];

    /// The words in files and tables.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Aileron => "aileron",
            Self::Elevator => "elevator",
            Self::Rudder => "rudder",
            Self::Throttle => "throttle",
            Self::Flap => "flap",
            Self::AileronsTogether => "ailerons together",
            Self::Door => "door",
        }
    }

    /// Smallest and largest command: travel, in shares of full throw.
    #[must_use]
    pub const fn range(self) -> (f64, f64) {
        match self {
            Self::Aileron | Self::Elevator | Self::Rudder | Self::AileronsTogether => (-1.0, 1.0),
            Self::Throttle | Self::Flap | Self::Door => (0.0, 1.0),
        }
    }

    /// The lead that moves this directly, without any blend; both ailerons together have none.
    #[must_use]
    pub fn direct_lead(self) -> Option<Lead> {
        match self {
            Self::Aileron => Some(Lead::Stick(Stick::Aileron)),
            Self::Elevator => Some(Lead::Stick(Stick::Elevator)),
            Self::Rudder => Some(Lead::Stick(Stick::Rudder)),
            Self::Throttle => Some(Lead::Stick(Stick::Throttle)),
            Self::Flap => Some(Lead::Lever(FLAP_LEVER.into())),
            Self::Door => Some(Lead::Lever(DOOR_LEVER.into())),
            Self::AileronsTogether => None,
        }
    }
}

impl Lead {
    /// Smallest and largest position.
    #[must_use]
    pub const fn range(&self) -> (f64, f64) {
        match self {
            Self::Stick(stick) => stick.range(),
            Self::Lever(_) => (0.0, 1.0),
        }
    }

    /// The word in files and tables.
    #[must_use]
    pub fn word(&self) -> &str {
        match self {
            Self::Stick(stick) => stick.word(),
            Self::Lever(name) => name,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_canonical_order_is_the_order_of_the_numbers() {
        for (place, follower) in Follower::ALL.into_iter().enumerate() {
            assert_eq!(follower as usize, place);
        }
    }

    #[test]
    fn what_a_lead_moves_directly_has_its_range() {
        for follower in Follower::ALL {
            if let Some(lead) = follower.direct_lead() {
                assert_eq!(lead.range(), follower.range());
            }
        }
    }
}
