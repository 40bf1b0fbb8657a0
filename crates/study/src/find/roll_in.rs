//! Rolling in from level flight, flown: here the steady moment is not what a pilot sees. The nose
//! swings while the roll builds up, and the rudder has to be there at that moment.

use crate::find::coupling::Manoeuvre;
use crate::find::pose::{Posed, Stand};
use crate::find::sweep::Point;
use aero::Causes;
use flight::{AircraftState, Bench, Interval, follow};
use manoeuvre::TICK;
use measure::Side;
use mix::{Blend, Commands, Follower};

/// Aileron of an ordinary roll-in, share of full throw, and how long it is watched \[s\]
/// (judgement, no source).
const AILERON: f64 = 0.3;
const WATCHED: f64 = 0.8;
/// Time in which a hand moves there \[s\].
const MOVED: f64 = 0.15;
/// First rudder tried, and how often it is bettered.
const STEP: f64 = 0.1;
const ROUNDS: usize = 3;

/// The rudder per aileron that leaves the least sideslip (sum of squares) in a roll-in from `zero`
/// to `side`. `None` if it cannot be flown.
pub(crate) fn roll_in(
    stand: &Stand,
    zero: &Posed,
    side: Side,
    blends: &[Blend],
    bench: &mut Bench,
) -> Option<Point> {
    let lead = side.sign() * AILERON;
    let blended = |to: Follower| -> f64 {
        let ours = blends.iter().filter(|b| b.from == Manoeuvre::RollIn.lead() && b.to == to);
        ours.map(|b| b.shape.follower(lead)).sum()
    };
    let mut fly = |rudder: f64| {
        let moved = Commands {
            aileron: lead,
            elevator: blended(Follower::Elevator),
            rudder: rudder + blended(Follower::Rudder),
            ..Commands::default()
        };
        sideslips(stand, zero, &moved, bench)
    };
    let (mut here, mut there) = (0.0, lead * STEP);
    let mut swings = fly(here)?;
    for _ in 0..ROUNDS {
        let others = fly(there)?;
        // sideslip is nearly straight in the rudder: least squares over the time watched
        let change = swings.iter().zip(&others).map(|(a, b)| (b - a) / (there - here));
        let (mut along, mut square) = (0.0, 0.0);
        for (a, change) in swings.iter().zip(change) {
            along += a * change;
            square += change * change;
        }
        let best = if square > 0.0 { here - along / square } else { return None };
        (here, swings) = (there, others);
        if (best - here).abs() < 1e-9 {
            break;
        }
        there = best;
    }
    let needed = [0.0, 0.0, there, 0.0];
    Some(Point { lead, travel: lead, needed, posed: *zero })
}

/// Sideslip at every tick \[rad\] after the sticks have moved by `moved`.
fn sideslips(stand: &Stand, zero: &Posed, moved: &Commands, bench: &mut Bench) -> Option<Vec<f64>> {
    let [aileron, elevator, rudder] = zero.sticks;
    let at = |share: f64| {
        stand.deflections(&Commands {
            aileron: aileron + share * moved.aileron,
            elevator: elevator + share * moved.elevator,
            rudder: rudder + share * moved.rudder,
            ..Commands::default()
        })
    };
    let around = &stand.around;
    let mut state = stand.aircraft.with_steady_wake(zero.state, around, &zero.controls, bench);
    let mut servos = stand.servos(&at(0.0))?;
    let mut list = Vec::new();
    for k in 0..(WATCHED / TICK).round() as usize {
        let start = k as f64 * TICK;
        let angles = at((start / MOVED).min(1.0));
        let motions = follow(&mut servos, &angles, TICK).ok()?;
        let interval = Interval {
            start,
            length: TICK,
            longest_step: TICK,
            motions: &motions,
            throttle: zero.throttle.clamp(0.0, 1.0),
            around,
            causes: Causes::ALL,
        };
        state = stand.aircraft.fly(state, &interval, bench).ok()?;
        list.push(sideslip(&state));
    }
    Some(list)
}

fn sideslip(state: &AircraftState) -> f64 {
    let v = state.body.velocity;
    libm::asin((v.y / v.norm()).clamp(-1.0, 1.0))
}
