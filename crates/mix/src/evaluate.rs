//! One evaluation: a hand in, commands out. Allocates nothing.

use crate::program::{DOOR, FLAP};
use crate::{Commands, Fades, Follower, Hand, Program, Rate};
use measure::Stick;

/// The commands for a hand, `dt` seconds after the evaluation before. Fades and slow followers
/// move on by `dt` first, so a blend that is switched on shows its first step at once. `dt` is 0
/// or more; infinity settles everything.
///
/// The direct path: aileron, elevator and rudder stick after rates and expo, the throttle stick as
/// it is, lever [`crate::FLAP_LEVER`] to the flaps, lever [`crate::DOOR_LEVER`] to the door. Every
/// blend adds its output, in order of their names; the sums are limited to travel.
///
/// # Panics
/// If `hand` or `fades` were made for an unrelated program.
#[must_use]
pub fn evaluate(program: &Program, hand: &Hand, fades: &mut Fades, dt: f64) -> Commands {
    fades.advance(program, hand, dt);
    sums(program, hand, fades)
}

/// The commands for a hand held still for ever: nothing remembered, no time. Thresholds are read
/// without hysteresis, as from the side that is not engaged.
///
/// # Panics
/// If `hand` was made for an unrelated program.
#[must_use]
pub fn steady(program: &Program, hand: &Hand) -> Commands {
    sums(program, hand, &Fades::settled(program, hand))
}

fn sums(program: &Program, hand: &Hand, fades: &Fades) -> Commands {
    let mut sums = direct(program, hand);
    for (place, step) in program.blends.iter().enumerate() {
        sums[step.follower as usize] += fades.output(place);
    }
    Commands::limited(sums)
}

/// What the hand moves without any blend, in the order of [`Follower::ALL`]. Adding 0 turns -0
/// into 0; no sum that starts so can end at -0, hence a blend of 0 % leaves every bit alone.
fn direct(program: &Program, hand: &Hand) -> [f64; 7] {
    Follower::ALL.map(|follower| {
        0.0 + match follower {
            Follower::Aileron => program.rated(hand, Stick::Aileron),
            Follower::Elevator => program.rated(hand, Stick::Elevator),
            Follower::Rudder => program.rated(hand, Stick::Rudder),
            Follower::Throttle => program.rated(hand, Stick::Throttle),
            Follower::Flap => hand.lever(FLAP),
            Follower::Door => hand.lever(DOOR),
            Follower::AileronsTogether => 0.0,
        }
    })
}

impl Program {
    /// A stick after rates and expo: as it stands where the mix has no rates.
    pub(crate) fn rated(&self, hand: &Hand, stick: Stick) -> f64 {
        self.rate_of(hand, stick).apply(hand.stick(stick))
    }

    /// Throw and expo of a stick under the rates that this hand has chosen.
    #[must_use]
    pub fn rate_of(&self, hand: &Hand, stick: Stick) -> Rate {
        self.rates.get(hand.rates().0).map_or(Rate::FULL, |set| set.of(stick))
    }
}
