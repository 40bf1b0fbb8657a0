//! Whether the balance of forces is what a flight shows: every pose flown on for a while, without
//! the blend, with it, and with other percentages around it; hands still, and with a pilot at work.

use crate::find::answer::Answer;
use crate::find::coupling::{Coupling, Manoeuvre};
use crate::find::found::{FindError, Findings, Found, Options};
use crate::find::hand::Hand;
use crate::find::pose::{Posed, Stand};
use crate::find::sweep::{Point, Sweeper};
use aero::{Causes, Coefficients};
use airframe::{Airframe, Geometry};
use core::f64::consts::PI;
use core::sync::atomic::{AtomicUsize, Ordering};
use flight::{AircraftState, Bench, Euler, Interval, earth_from_body, follow};
use manoeuvre::{LONGEST_STEP, TICK};
use measure::{DEG, Side};
use mix::{Blend, Follower};
use nalgebra::Matrix3;
use rayon::prelude::*;

/// One coupling to one side, flown from its pose at the first speed of its sweep. Percentages are
/// shares of the follower's full throw at full lead.
#[derive(Debug, Clone, PartialEq)]
pub struct Proof {
    /// Which.
    pub coupling: Coupling,
    /// Side of the lead.
    pub side: Side,
    /// Airspeed at the beginning [m/s].
    pub speed: f64,
    /// Where the lead stood, share of its throw.
    pub lead: f64,
    /// What balances this very pose.
    pub balance: f64,
    /// What keeps the flight nearest to its line, hands still.
    pub flown: f64,
    /// The same if the airspeed stayed as it was: what the balance is about.
    pub flown_at_speed: f64,
    /// What was found for all speeds.
    pub found: f64,
    /// How long it was flown hands still \[s\].
    pub seconds: f64,
    /// Airspeed at the end with the best that was flown [m/s].
    pub speed_after: f64,
    /// How far the path has bent by then, whichever way, with the best that was flown \[rad\].
    pub bent: f64,
    /// Hands still: turn at the end without, with the one found, with the one flown best \[rad\].
    pub turns: [f64; 3],
    /// A pilot correcting, for [`CORRECTED`]: the follower held on top, mean of the last second, without, with
    /// the one found, with the one flown best.
    pub held: [f64; 3],
    /// A pilot correcting: the furthest that it turned \[rad\].
    pub strayed: [f64; 3],
}

/// Flown and balanced percentages further apart than this disagree.
pub const AGREE: f64 = 0.01;
/// How long a pilot corrects, and for how long what is held in the end is looked at \[s\].
pub const CORRECTED: f64 = 3.0;
const HELD: f64 = 1.0;
/// How far around the balance the first sweep looks, share of the follower, and in how many steps.
const REACH: f64 = 0.05;
const STEPS: i32 = 3;
/// The sweep is narrowed around its best so often, each time to the step before.
const ROUNDS: usize = 3;
/// And moved on so often, if its best lies at its end.
const MOVES: usize = 8;
/// Climbing or diving more steeply than this there is no bank \[rad\].
const STEEP: f64 = 60.0 * DEG;

impl Proof {
    /// Whether flight and balance say the same.
    #[must_use]
    pub fn agrees(&self) -> bool {
        (self.flown - self.balance).abs() <= AGREE
    }

    /// Whether they would if the airspeed stayed as it was.
    #[must_use]
    pub fn agrees_at_speed(&self) -> bool {
        (self.flown_at_speed - self.balance).abs() <= AGREE
    }
}

/// Flies every coupling of `findings` that a pose can be flown on from, for `seconds`. A roll-in is not
/// among them, because it is found by flying; nor is one whose follower is the throttle. In parallel;
/// the result does not depend on the number of threads. Of `options` the blends at work count, and who is
/// told after every coupling.
///
/// # Errors
/// As [`crate::find::find`].
pub fn prove(
    airframe: &Airframe,
    coefficients: &Coefficients,
    findings: &Findings,
    seconds: f64,
    options: &Options,
) -> Result<Vec<Proof>, FindError> {
    let stand = Stand::new(&Geometry::of(airframe)?, coefficients)?;
    let (done, all) = (AtomicUsize::new(0), findings.found.len());
    let proofs: Vec<Result<Vec<Proof>, FindError>> = findings
        .found
        .par_iter()
        .map(|found| of_coupling(&stand, options.blends, found, seconds))
        .inspect(|_| (options.progress)(done.fetch_add(1, Ordering::Relaxed) + 1, all))
        .collect();
    Ok(proofs.into_iter().collect::<Result<Vec<_>, _>>()?.concat())
}

fn of_coupling(
    stand: &Stand,
    blends: &[Blend],
    found: &Found,
    seconds: f64,
) -> Result<Vec<Proof>, FindError> {
    let coupling = found.coupling;
    if coupling.manoeuvre == Manoeuvre::RollIn || coupling.follower == Follower::Throttle {
        return Ok(Vec::new());
    }
    let mut sweeper = Sweeper::lines(stand, blends);
    let sweep = sweeper.sweep(coupling.manoeuvre)?;
    let first = sweep.lines.first().map_or(0.0, |line| line.speed);
    let lines = sweep.lines.iter().filter(|line| line.speed == first);
    let of = |line: &crate::find::Line| {
        let point = line.points.last()?;
        let straight = found.sides[usize::from(line.side == Side::Right)]?.exact;
        proof(stand, coupling, line.side, point, straight, seconds)
    };
    Ok(lines.filter_map(of).collect())
}

fn proof(
    stand: &Stand,
    coupling: Coupling,
    side: Side,
    point: &Point,
    found: f64,
    seconds: f64,
) -> Option<Proof> {
    let place = coupling.place();
    let flight = Flight { stand, posed: &point.posed, place, speed_held: false };
    let at_speed = Flight { speed_held: true, ..flight };
    let mut bench = Bench::new(&stand.aircraft);
    let answer = [0, place].map(|axis| Answer::of(stand, &point.posed, axis, &mut bench));
    // percentages count at full lead, on the left against it
    let per_lead = 1.0 / point.travel.abs();
    let needed = point.needed[place];
    let mut alone = |flight: &Flight, share: f64| flight.alone(share - needed, seconds, &mut bench);
    let best = best(|share| alone(&flight, share), needed)?;
    let best_at_speed = self::best(|share| alone(&at_speed, share), needed)?;
    let shares = [0.0, found * point.travel.abs(), best];
    let flown = all(shares.map(|share| alone(&flight, share)))?;
    let corrected = all(shares.map(|share| flight.corrected(share - needed, answer, &mut bench)))?;
    Some(Proof {
        coupling,
        side,
        speed: point.posed.pose.speed,
        lead: point.lead,
        balance: needed * per_lead,
        flown: best * per_lead,
        flown_at_speed: best_at_speed * per_lead,
        found,
        seconds,
        speed_after: flown[2].speed,
        bent: flown[2].bent,
        turns: flown.each_ref().map(|f| f.turns.last().copied().unwrap_or(0.0)),
        held: corrected.each_ref().map(|f| f.held * per_lead),
        strayed: corrected.each_ref().map(|f| f.turns.iter().map(|t| t.abs()).fold(0.0, f64::max)),
    })
}

fn all<T>(list: [Option<T>; 3]) -> Option<[T; 3]> {
    let [a, b, c] = list;
    Some([a?, b?, c?])
}

/// The follower that keeps the mean square of the turn smallest: a sweep, moved on while its best lies
/// at its end, then narrowed around it.
fn best(mut fly: impl FnMut(f64) -> Option<Flown>, middle: f64) -> Option<f64> {
    let (mut middle, mut reach) = (middle, REACH);
    let (mut rounds, mut moves) = (0, 0);
    while rounds < ROUNDS {
        let mut best: Option<(f64, i32, f64)> = None;
        for step in -STEPS..=STEPS {
            let share = middle + reach * f64::from(step) / f64::from(STEPS);
            let off: f64 = fly(share)?.turns.iter().map(|turn| turn * turn).sum();
            if best.is_none_or(|(least, ..)| off < least) {
                best = Some((off, step, share));
            }
        }
        let (_, step, share) = best?;
        middle = share;
        if step.abs() == STEPS && moves < MOVES {
            moves += 1;
        } else {
            (rounds, reach) = (rounds + 1, reach / f64::from(STEPS));
        }
    }
    Some(middle)
}

/// Flying on from a pose, everything but the follower as it was there.
#[derive(Clone, Copy)]
struct Flight<'a> {
    stand: &'a Stand,
    posed: &'a Posed,
    place: usize,
    /// Whether the airspeed is kept by force.
    speed_held: bool,
}

/// What a flight did.
struct Flown {
    /// Turn about the follower's axis at every tick \[rad\]: bank, or how far the path points towards canopy or
    /// right from where it would go straight on; + as the follower's +.
    turns: Vec<f64>,
    /// Follower that the pilot held on top in the last second, mean share.
    held: f64,
    /// Airspeed at the end [m/s].
    speed: f64,
    /// How far the path has bent by then, whichever way \[rad\].
    bent: f64,
}

impl Flight<'_> {
    /// Hands still for `seconds` with the follower `off` by a share.
    fn alone(&self, off: f64, seconds: f64, bench: &mut Bench) -> Option<Flown> {
        self.fly(off, &mut [], seconds, bench)
    }

    /// A pilot correcting on bank and on the follower's axis.
    fn corrected(&self, off: f64, answers: [Answer; 2], bench: &mut Bench) -> Option<Flown> {
        let mut hands = vec![(self.place, Hand::knowing(answers[1]))];
        if self.place != 0 {
            hands.push((0, Hand::knowing(answers[0])));
        }
        self.fly(off, &mut hands, CORRECTED, bench)
    }

    fn fly(&self, off: f64, hands: &mut [(usize, Hand)], seconds: f64, bench: &mut Bench) -> Option<Flown> {
        let (stand, posed) = (self.stand, self.posed);
        let mut sticks = posed.sticks;
        sticks[self.place] += off;
        let mut servos = stand.servos(&stand.deflections(&posed.commands(sticks)))?;
        let mut state = stand.aircraft.with_steady_wake(posed.state, &stand.around, &posed.controls, bench);
        let mut line = Line::of(posed);
        let [ticks, last] = [seconds, HELD].map(|time| (time / TICK).round() as usize);
        let (mut turns, mut held) = (Vec::new(), 0.0);
        for k in 0..ticks {
            let mut moved = sticks;
            for (place, hand) in hands.iter_mut() {
                let adds = hand.adds(line.turn(&state, *place));
                moved[*place] += adds;
                if *place == self.place && k + last >= ticks {
                    held += adds / last as f64;
                }
            }
            let angles = stand.deflections(&posed.commands(moved));
            let motions = follow(&mut servos, &angles, TICK).ok()?;
            let interval = Interval {
                start: k as f64 * TICK,
                length: TICK,
                longest_step: LONGEST_STEP,
                motions: &motions,
                throttle: posed.throttle.max(0.0),
                around: &stand.around,
                causes: Causes::ALL,
            };
            state = line.watched(stand.aircraft.fly(state, &interval, bench).ok()?);
            if self.speed_held {
                state.body.velocity *= posed.pose.speed / state.body.velocity.norm();
            }
            turns.push(line.turn(&state, self.place));
        }
        Some(Flown { turns, held, speed: state.body.velocity.norm(), bent: line.bent(&state) })
    }
}

/// Where the flight began, and from where turns are counted.
struct Line {
    /// The banked path.
    path: Matrix3<f64>,
    /// On vertical lines there is no bank, and the roll rate is summed up.
    steep: bool,
    /// How far it has rolled \[rad\].
    rolled: f64,
    /// Bank and roll rate last seen.
    last: [f64; 2],
}

impl Line {
    fn of(posed: &Posed) -> Self {
        let banked = Euler { roll: posed.pose.bank, pitch: posed.climb, yaw: 0.0 };
        let path = earth_from_body(&banked.attitude());
        Self { path, steep: posed.climb.abs() > STEEP, rolled: 0.0, last: rolling(&posed.state) }
    }

    fn watched(&mut self, state: AircraftState) -> AircraftState {
        let now = rolling(&state);
        self.rolled += if self.steep {
            0.5 * TICK * (now[1] + self.last[1])
        } else {
            let more = now[0] - self.last[0];
            more - 2.0 * PI * (0.5 * more / PI).round()
        };
        self.last = now;
        state
    }

    fn bent(&self, state: &AircraftState) -> f64 {
        let v = self.path.tr_mul(&state.body.earth_velocity());
        libm::atan2(libm::hypot(v.y, v.z), v.x)
    }

    /// About the axis of the follower at `place` \[rad\].
    fn turn(&self, state: &AircraftState, place: usize) -> f64 {
        if place == 0 {
            return self.rolled;
        }
        let v = self.path.tr_mul(&state.body.earth_velocity());
        let aside = if place == 1 { -v.z } else { v.y };
        libm::asin((aside / v.norm()).clamp(-1.0, 1.0))
    }
}

fn rolling(state: &AircraftState) -> [f64; 2] {
    [Euler::from_attitude(&state.body.attitude).roll, state.body.rate.x]
}
