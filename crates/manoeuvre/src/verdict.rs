//! What the referee says of a judged part of a flight.

use crate::line::{Deviation, Line};
use crate::scenario::{Judged, Judging};
use measure::{DEG, Side, Stick};
use mix::Follower;

/// How long after the beginning of the judged part the headline is read \[s\].
pub const HEADLINE: f64 = 2.0;
/// Deviations below this are not seen \[rad\] (judgement, no source).
const VISIBLE: f64 = DEG;
/// One point less for every so much \[rad\]. Source: FAI Sporting Code, Section 4 Volume F3,
/// manoeuvre execution guide, from two texts that quote it.
const POINT: f64 = 15.0 * DEG;
/// Further from the judged bank than this \[rad\], or slower than this share of the entry speed, a
/// line has not begun (judgement, no source).
const SETTLED_BANK: f64 = 20.0 * DEG;
const SETTLED_SPEED: f64 = 0.7;

/// A judged part of a flight in numbers, relative to the air: the wind is taken out.
///
/// Deviations are read in the frame of [`Verdict::line`], laid along the path where the judging
/// began; nose and roll as changes since then.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// What was judged.
    pub judged: Judged,
    /// To which side.
    pub side: Side,
    /// The nominal line.
    pub line: Line,
    /// Nose and roll against the nominal line when the judging began.
    pub entered: Deviation,
    /// After [`HEADLINE`], or at the end if that was sooner.
    pub headline: Deviation,
    /// When the headline was read, since the judging began \[s\].
    pub headline_at: f64,
    /// At the end.
    pub end: Deviation,
    /// Largest of each, with its sign.
    pub worst: Deviation,
    /// Largest deviations that cost marks, each without sign \[rad\]: bank from the judged one,
    /// path towards canopy or gear, path towards a wing. A roll has no bank to keep.
    pub faults: [f64; 3],
    /// Where the sticks stood when the judging began, in the order of [`Stick::ALL`].
    pub sticks: [f64; 4],
    /// Mean sticks over the second half, in the order of [`Stick::ALL`].
    pub held: [f64; 4],
    /// How far each stick was moved altogether, in full strokes (centre to stop).
    pub work: [f64; 4],
    /// Mean commands over the second half, shares of full throw, trims included, in the order of
    /// [`Follower::ALL`].
    pub commands: [f64; 7],
    /// Height gained (lost: negative) \[m\].
    pub height: f64,
    /// Lowest height above the field \[m\].
    pub lowest: f64,
    /// Airspeeds.
    pub speeds: Speeds,
    /// Sticks that stood at the end of their travel, with the time they did \[s\].
    pub full_sticks: Vec<(Stick, f64)>,
    /// What stood at its stop, with the time it did \[s\].
    pub limits: Vec<(Follower, f64)>,
    /// How long it was judged \[s\].
    pub seconds: f64,
    /// Whether it was flown to its end; if not, the numbers are of what was.
    pub complete: bool,
    /// What only this kind of manoeuvre shows.
    pub finding: Finding,
}

/// Airspeeds [m/s].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Speeds {
    /// When the manoeuvre was entered.
    pub entry: f64,
    /// When the judging began.
    pub start: f64,
    /// Lowest.
    pub least: f64,
    /// Highest.
    pub most: f64,
    /// At the end.
    pub end: f64,
}

/// What only one kind of manoeuvre shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Finding {
    /// Of a straight line: what every verdict says.
    Line,
    /// Of a roll.
    Roll {
        /// Rolled, + right \[rad\].
        rolled: f64,
        /// Change of the path's compass direction from beginning to end, + right \[rad\].
        heading: f64,
        /// Highest above the beginning \[m\].
        highest: f64,
        /// Lowest against the beginning \[m\].
        lowest: f64,
        /// Furthest to a side of the line in the air, + right \[m\].
        aside: f64,
    },
    /// Of a turn with the wings level.
    Turn {
        /// Change of the path's compass direction, + right \[rad\].
        turned: f64,
        /// Rate of that over the second half [rad/s].
        rate: f64,
        /// Radius over the second half \[m\]; infinite where it went straight.
        radius: f64,
        /// Mean sideslip over the second half, + nose left of the path \[rad\].
        sideslip: f64,
    },
    /// Of a roll into a turn.
    RollIn {
        /// Largest sideslip, + nose left of the path \[rad\].
        sideslip: f64,
        /// How far the nose went away from the turn at most, without sign \[rad\].
        nose_off: f64,
        /// Rolled, + right \[rad\].
        rolled: f64,
    },
    /// Of a tumble.
    Tumble {
        /// Pitched, + nose up, whole turns count \[rad\].
        pitched: f64,
        /// Fastest rate of pitch, with its sign [rad/s]: the price of a tight path.
        pitch_rate: f64,
        /// Smallest radius of a path that would hold the model within its way: half of the largest
        /// distance between two of its places \[m\].
        radius: f64,
        /// Change of the plane of the tumble, seen from above: how far the right wing turned, +
        /// backwards, the model turning right \[rad\].
        heading: f64,
        /// How far the right wing came from level at most, + down \[rad\].
        tilt: f64,
    },
    /// Of flaps or the like coming out.
    Flaps {
        /// Highest above the beginning \[m\].
        balloon: f64,
        /// Largest deviation of the nose, + up \[rad\].
        nose: f64,
        /// Mean airspeed over the last second [m/s].
        speed: f64,
        /// How much that second still changed it [m/s].
        change: f64,
        /// Up elevator left at the end for the flare, share of full throw.
        flare: f64,
    },
    /// Of a steep descent. Whether the wings rock cannot be judged: the model has no wing rock.
    Descent {
        /// Mean rate of sinking over the second half [m/s].
        sink: f64,
        /// Angle of the path below the horizon over the second half \[rad\].
        angle: f64,
        /// Mean incidence of the body over the second half \[rad\].
        incidence: f64,
        /// Largest change of the sinking within the second half [m/s]: small where it was settled.
        unsteady: f64,
        /// Up elevator left, share of full throw.
        flare: f64,
    },
    /// Of a hover.
    Hover {
        /// Rolled by what the propeller's torque leaves, + right \[rad\].
        rolled: f64,
        /// Way sideways, in the air \[m\].
        aside: f64,
        /// Largest angle of the nose from the vertical \[rad\].
        nose: f64,
    },
}

impl Verdict {
    /// Whether the model was where a line begins: near the judged bank, and still flying.
    #[must_use]
    pub fn settled(&self) -> bool {
        let banked = self.entered.roll.abs() < SETTLED_BANK;
        match self.judged.as_what {
            Judging::Line | Judging::Turn => banked && self.speeds.start > SETTLED_SPEED * self.speeds.entry,
            _ => true,
        }
    }

    /// Roll since the judging began, + towards upright: out of a knife-edge, not under.
    #[must_use]
    pub fn rolls_out(&self) -> f64 {
        self.headline.roll * -self.line.bank.signum()
    }

    /// Marks out of 10, unrounded: one less per 15 degrees of every fault.
    #[must_use]
    pub fn marks_exact(&self) -> f64 {
        (10.0 - self.faults.iter().sum::<f64>() / POINT).max(0.0)
    }

    /// Marks out of 10 as a judge gives them.
    #[must_use]
    pub fn marks(&self) -> f64 {
        marks(&self.faults)
    }

    /// Mean command of a follower over the second half.
    #[must_use]
    pub const fn command(&self, follower: Follower) -> f64 {
        self.commands[follower as usize]
    }

    /// How long a follower stood at its stop \[s\].
    #[must_use]
    pub fn at_stop(&self, follower: Follower) -> f64 {
        self.limits.iter().filter(|(f, _)| *f == follower).map(|(_, seconds)| seconds).sum()
    }
}

/// Marks out of 10 for deviations \[rad\]: for each, one point less per 15 degrees or part of it.
#[must_use]
pub fn marks(deviations: &[f64]) -> f64 {
    let lost: f64 =
        deviations.iter().map(|d| if d.abs() < VISIBLE { 0.0 } else { (d.abs() / POINT).ceil() }).sum();
    (10.0 - lost).max(0.0)
}
