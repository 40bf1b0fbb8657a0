//! What leaves the mix: a command for everything that moves.

use crate::{Follower, Limits};

/// How far a sum must pass the end of travel to count as limited. Without it, shares that add up
/// to 100 % on paper would be reported for their last bit.
const LIMIT_SLACK: f64 = 1e-9;

/// Commands as shares of full throw, trims not included: they are added behind the mix.
/// Never a negative zero, so that mirrored commands can be compared to the bit.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Commands {
    /// Ailerons in opposite directions, -1..1; + rolls right.
    pub aileron: f64,
    /// -1..1; + is trailing edge up.
    pub elevator: f64,
    /// -1..1; + is nose right.
    pub rudder: f64,
    /// 0..1.
    pub throttle: f64,
    /// 0..1; + is down.
    pub flap: f64,
    /// Both ailerons in the same direction, -1..1; + is both trailing edges down. What is left of
    /// each aileron's travel when both kinds add up is for whoever binds this to hinges.
    pub ailerons_together: f64,
    /// 0 is closed, 1 open.
    pub door: f64,
    /// Which of these were cut to travel.
    pub limits: Limits,
}

impl Commands {
    /// The command of one follower.
    #[must_use]
    pub const fn get(&self, follower: Follower) -> f64 {
        match follower {
            Follower::Aileron => self.aileron,
            Follower::Elevator => self.elevator,
            Follower::Rudder => self.rudder,
            Follower::Throttle => self.throttle,
            Follower::Flap => self.flap,
            Follower::AileronsTogether => self.ailerons_together,
            Follower::Door => self.door,
        }
    }

    /// Cuts sums, in the order of [`Follower::ALL`], to travel.
    pub(crate) fn limited(sums: [f64; 7]) -> Self {
        let mut limits = Limits::NONE;
        let mut cut = |follower: Follower| {
            let ((low, high), sum) = (follower.range(), sums[follower as usize]);
            if sum > high + LIMIT_SLACK || sum < low - LIMIT_SLACK {
                limits.note(follower);
            }
            sum.clamp(low, high)
        };
        Self {
            aileron: cut(Follower::Aileron),
            elevator: cut(Follower::Elevator),
            rudder: cut(Follower::Rudder),
            throttle: cut(Follower::Throttle),
            flap: cut(Follower::Flap),
            ailerons_together: cut(Follower::AileronsTogether),
            door: cut(Follower::Door),
            limits,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_bit_is_not_a_limit() {
        let commands = Commands::limited([1.0 + f64::EPSILON, -1.0 - f64::EPSILON, -1.0, 1.0, 0.0, 0.0, 0.0]);
        assert_eq!((commands.aileron, commands.elevator), (1.0, -1.0));
        assert!(commands.limits.is_empty());
    }

    #[test]
    fn what_is_cut_is_reported() {
        let commands = Commands::limited([1.2, -1.2, 0.5, -0.1, 1.1, 0.0, 0.0]);
        let cut: Vec<_> = commands.limits.iter().collect();
        assert_eq!(cut, [Follower::Aileron, Follower::Elevator, Follower::Throttle, Follower::Flap]);
        assert_eq!((commands.aileron, commands.elevator, commands.throttle), (1.0, -1.0, 0.0));
    }

    #[test]
    fn each_follower_reads_its_own_field() {
        let sums = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7];
        let commands = Commands::limited(sums);
        assert_eq!(Follower::ALL.map(|follower| commands.get(follower)), sums);
    }
}
