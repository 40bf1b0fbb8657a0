//! The couplings an airframe can show: what is moved, in which manoeuvre, and what it disturbs.

use airframe::Geometry;
use measure::Stick;
use mix::{DOOR_LEVER, FLAP_LEVER, Follower, Lead};

/// What is flown while the lead is moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Manoeuvre {
    /// Wings vertical on the rudder.
    KnifeEdge,
    /// Wings level, rudder held.
    Skid,
    /// Level at every throttle.
    Power,
    /// Straight up at full throttle.
    UpLine,
    /// Straight down at idle.
    DownLine,
    /// Settled on the approach, flaps coming down.
    Flaps,
    /// Level and slow, door opening.
    Door,
    /// Rolling in from level flight.
    RollIn,
}

/// One control that disturbs one axis in one manoeuvre.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Coupling {
    /// What is flown.
    pub manoeuvre: Manoeuvre,
    /// What answers.
    pub follower: Follower,
}

const fn coupling(manoeuvre: Manoeuvre, follower: Follower) -> Coupling {
    Coupling { manoeuvre, follower }
}

impl Manoeuvre {
    /// What is moved.
    #[must_use]
    pub fn lead(self) -> Lead {
        match self {
            Self::KnifeEdge | Self::Skid => Lead::Stick(Stick::Rudder),
            Self::Power | Self::UpLine | Self::DownLine => Lead::Stick(Stick::Throttle),
            Self::Flaps => Lead::Lever(FLAP_LEVER.into()),
            Self::Door => Lead::Lever(DOOR_LEVER.into()),
            Self::RollIn => Lead::Stick(Stick::Aileron),
        }
    }

    /// Whether the lead moves to both sides.
    #[must_use]
    pub const fn two_sided(self) -> bool {
        matches!(self, Self::KnifeEdge | Self::Skid | Self::RollIn)
    }

    /// Whether only one end of the throttle matters, so that its blend is a curve that is flat
    /// elsewhere.
    #[must_use]
    pub const fn one_end(self) -> bool {
        matches!(self, Self::UpLine | Self::DownLine)
    }

    /// What is flown, in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::KnifeEdge => "on the knife edge, rudder given",
            Self::Skid => "wings level, rudder held",
            Self::Power => "level flight, throttle moved",
            Self::UpLine => "straight up at full throttle",
            Self::DownLine => "straight down at idle",
            Self::Flaps => "slowing down to the approach with flaps",
            Self::Door => "slow level flight, door opening",
            Self::RollIn => "rolling in from level flight",
        }
    }

    const fn word(self) -> &'static str {
        match self {
            Self::KnifeEdge => "knife-edge",
            Self::Skid => "rudder",
            Self::Power => "power",
            Self::UpLine => "up-line",
            Self::DownLine => "down-line",
            Self::Flaps => "flap",
            Self::Door => "door",
            Self::RollIn => "roll-in",
        }
    }
}

impl Coupling {
    /// All of them. Of one manoeuvre roll stands before pitch: where it rolls, a bend cannot be
    /// judged.
    pub const ALL: [Self; 16] = [
        coupling(Manoeuvre::KnifeEdge, Follower::Aileron),
        coupling(Manoeuvre::KnifeEdge, Follower::Elevator),
        coupling(Manoeuvre::Skid, Follower::Aileron),
        coupling(Manoeuvre::Skid, Follower::Elevator),
        coupling(Manoeuvre::Power, Follower::Aileron),
        coupling(Manoeuvre::Power, Follower::Rudder),
        coupling(Manoeuvre::Power, Follower::Elevator),
        coupling(Manoeuvre::UpLine, Follower::Aileron),
        coupling(Manoeuvre::UpLine, Follower::Rudder),
        coupling(Manoeuvre::UpLine, Follower::Elevator),
        coupling(Manoeuvre::DownLine, Follower::Rudder),
        coupling(Manoeuvre::DownLine, Follower::Elevator),
        coupling(Manoeuvre::Flaps, Follower::Elevator),
        coupling(Manoeuvre::Door, Follower::Elevator),
        coupling(Manoeuvre::Door, Follower::Throttle),
        coupling(Manoeuvre::RollIn, Follower::Rudder),
    ];

    /// Those that `geometry` can show: it needs the hinges and doors.
    #[must_use]
    pub fn of(geometry: &Geometry) -> Vec<Self> {
        let has = |hinge: &str| geometry.surfaces.iter().any(|s| s.hinge == hinge);
        let door = !geometry.doors.is_empty();
        let moves = |follower| match follower {
            Follower::Throttle => true,
            _ => has(follower.word()),
        };
        let leads = |manoeuvre: Manoeuvre| match manoeuvre {
            Manoeuvre::KnifeEdge | Manoeuvre::Skid => has("rudder"),
            Manoeuvre::Flaps => has("flap"),
            Manoeuvre::Door => door,
            Manoeuvre::RollIn => has("aileron"),
            _ => true,
        };
        Self::ALL.into_iter().filter(|c| leads(c.manoeuvre) && moves(c.follower)).collect()
    }

    /// What a pilot calls it: `knife-edge pitch`.
    #[must_use]
    pub fn name(self) -> String {
        format!("{} {}", self.manoeuvre.word(), self.axis())
    }

    /// The axis that is disturbed.
    #[must_use]
    pub const fn axis(self) -> &'static str {
        match self.follower {
            Follower::Aileron => "roll",
            Follower::Elevator => "pitch",
            Follower::Rudder => "yaw",
            _ => "speed",
        }
    }

    /// What turns when the follower is off: `bank`.
    #[must_use]
    pub const fn turn(self) -> &'static str {
        match (self.follower, self.manoeuvre) {
            (Follower::Aileron, _) => "bank",
            (Follower::Elevator, Manoeuvre::KnifeEdge) | (Follower::Rudder, _) => "heading",
            (Follower::Elevator, _) => "climb",
            _ => "speed",
        }
    }

    /// The coupling of a name; `knife-edge-pitch` will do.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        let plain = |text: &str| text.to_lowercase().replace([' ', '_'], "-");
        Self::ALL.into_iter().find(|c| plain(&c.name()) == plain(name))
    }

    /// Place of the follower among aileron, elevator, rudder, throttle.
    pub(crate) const fn place(self) -> usize {
        match self.follower {
            Follower::Aileron => 0,
            Follower::Elevator => 1,
            Follower::Rudder => 2,
            _ => 3,
        }
    }

    /// Whether left and right lead want the follower to opposite sides, as mirror images do.
    pub(crate) const fn odd(self) -> bool {
        matches!(self.follower, Follower::Aileron | Follower::Rudder)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_unique_and_found_again() {
        for coupling in Coupling::ALL {
            assert_eq!(Coupling::named(&coupling.name()), Some(coupling));
        }
        assert_eq!(Coupling::named("Knife-Edge-Pitch"), Some(Coupling::ALL[1]));
        assert_eq!(Coupling::named("knife"), None);
    }

    #[test]
    fn roll_is_settled_before_pitch() {
        for manoeuvre in [Manoeuvre::KnifeEdge, Manoeuvre::Skid, Manoeuvre::Power, Manoeuvre::UpLine] {
            let of = |f| Coupling::ALL.iter().position(|c| *c == coupling(manoeuvre, f));
            assert!(of(Follower::Aileron) < of(Follower::Elevator));
        }
    }
}
