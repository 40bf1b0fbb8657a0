//! Whether the balance of forces is what a flight shows: every pose flown on for a while, without
//! the blend, with it, and with other percentages around it.

use crate::find::coupling::Manoeuvre;
use crate::find::found::{FindError, Findings, Found};
use crate::find::pose::{Posed, Stand};
use crate::find::sweep::{Point, Sweeper};
use aero::{Causes, Coefficients, Deflections};
use airframe::{Airframe, Geometry};
use flight::{AircraftState, Bench, Euler, Interval, Plan, earth_from_body};
use manoeuvre::{LONGEST_STEP, TICK};
use measure::Side;
use mix::{Blend, Commands, Follower};
use nalgebra::{Matrix3, Vector3};
use rayon::prelude::*;

/// One coupling to one side, flown from its pose at the first speed of its sweep.
#[derive(Debug, Clone, PartialEq)]
pub struct Proof {
    /// Name of the coupling.
    pub coupling: String,
    /// Side of the lead.
    pub side: Side,
    /// What answers.
    pub follower: Follower,
    /// Airspeed [m/s].
    pub speed: f64,
    /// Where the lead stood, share of its throw.
    pub lead: f64,
    /// Percentage that balances this very pose, share at full lead.
    pub balance: f64,
    /// The one that keeps the flight nearest to its line, share at full lead.
    pub flown: f64,
    /// The one that was found for all speeds, share at full lead.
    pub found: f64,
    /// How long it was flown \[s\].
    pub seconds: f64,
    /// Turn at the end without any, with the one found and with the one flown best \[rad\].
    pub turns: [f64; 3],
}

/// Flown and balanced percentages further apart than this disagree.
pub const AGREE: f64 = 0.01;
/// How far around the balance the first sweep looks, share of the follower, and in how many steps.
const REACH: f64 = 0.05;
const STEPS: i32 = 5;
/// The sweep is narrowed around its best so often, four times finer each.
const ROUNDS: usize = 3;

impl Proof {
    /// Whether flight and balance say the same.
    #[must_use]
    pub fn agrees(&self) -> bool {
        (self.flown - self.balance).abs() <= AGREE
    }
}

/// Flies every coupling of `findings` that a pose can be flown on from, for `seconds`. A roll-in is not among
/// them, because it is found by flying; nor is one whose follower is the throttle. In parallel; the
/// result does not depend on the number of threads.
///
/// # Errors
/// As [`crate::find::find`].
pub fn prove(
    airframe: &Airframe,
    coefficients: &Coefficients,
    blends: &[Blend],
    findings: &Findings,
    seconds: f64,
) -> Result<Vec<Proof>, FindError> {
    let stand = Stand::new(&Geometry::of(airframe)?, coefficients)?;
    let proofs: Vec<Result<Vec<Proof>, FindError>> =
        findings.found.par_iter().map(|found| of_coupling(&stand, blends, found, seconds)).collect();
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
    let mut sweeper = Sweeper::new(stand, blends);
    let sweep = sweeper.sweep(coupling.manoeuvre)?;
    let first = sweep.lines.first().map_or(0.0, |line| line.speed);
    let lines = sweep.lines.iter().filter(|line| line.speed == first);
    let of = |line: &crate::find::Line| {
        let point = line.points.last()?;
        let straight = found.sides[usize::from(line.side == Side::Right)]?.exact;
        proof(stand, found, line.side, point, straight, seconds)
    };
    Ok(lines.filter_map(of).collect())
}

fn proof(
    stand: &Stand,
    found: &Found,
    side: Side,
    point: &Point,
    straight: f64,
    seconds: f64,
) -> Option<Proof> {
    let place = found.coupling.place();
    let mut bench = Bench::new(&stand.aircraft);
    // percentages count at full lead, on the left against it
    let per_lead = 1.0 / point.travel.abs();
    let needed = point.needed[place];
    let mut fly = |share: f64| flown(stand, &point.posed, place, share - needed, seconds, &mut bench);
    let best = best(&mut fly, needed)?;
    let last = |turns: Vec<f64>| turns.last().copied();
    let turns = [last(fly(0.0)?)?, last(fly(straight * point.travel.abs())?)?, last(fly(best)?)?];
    Some(Proof {
        coupling: found.coupling.name(),
        side,
        follower: found.coupling.follower,
        speed: point.posed.pose.speed,
        lead: point.lead,
        balance: needed * per_lead,
        flown: best * per_lead,
        found: straight,
        seconds,
        turns,
    })
}

/// The follower that keeps the mean square of the turn smallest: a sweep, narrowed around its best.
fn best(fly: &mut impl FnMut(f64) -> Option<Vec<f64>>, middle: f64) -> Option<f64> {
    let (mut middle, mut reach) = (middle, REACH);
    for _ in 0..ROUNDS {
        let mut best: Option<(f64, f64)> = None;
        for step in -STEPS..=STEPS {
            let share = middle + reach * f64::from(step) / f64::from(STEPS);
            let off: f64 = fly(share)?.iter().map(|turn| turn * turn).sum();
            if best.is_none_or(|(least, _)| off < least) {
                best = Some((off, share));
            }
        }
        (middle, reach) = (best?.1, reach / 4.0);
    }
    Some(middle)
}

/// Turn at every tick \[rad\] with the follower `off` by a share, everything else as in the pose:
/// bank for the aileron, direction of the path for elevator and rudder, + as the follower's +.
fn flown(
    stand: &Stand,
    posed: &Posed,
    place: usize,
    off: f64,
    seconds: f64,
    bench: &mut Bench,
) -> Option<Vec<f64>> {
    let mut sticks = posed.sticks;
    sticks[place] += off;
    let set = posed.pose.set;
    let commands = Commands {
        aileron: set.aileron + sticks[0],
        elevator: set.elevator + sticks[1],
        rudder: set.rudder + sticks[2],
        ..set
    };
    let angles = stand.deflections(&commands);
    let mut state = stand.aircraft.with_steady_wake(posed.state, &stand.around, &posed.controls, bench);
    let path = earth_from_body(&Euler { roll: posed.pose.bank, pitch: posed.climb, yaw: 0.0 }.attitude());
    let (mut rolled, mut turns) = (0.0, Vec::new());
    for k in 0..(seconds / TICK).round() as usize {
        let before = state.body.rate.x;
        state = fly_tick(stand, state, posed, &angles, k, bench)?;
        rolled += 0.5 * TICK * (before + state.body.rate.x);
        turns.push(if place == 0 { rolled } else { bend(&state, &path, place) });
    }
    Some(turns)
}

fn fly_tick(
    stand: &Stand,
    state: AircraftState,
    posed: &Posed,
    angles: &Deflections,
    k: usize,
    bench: &mut Bench,
) -> Option<AircraftState> {
    let servos = stand.servos(angles)?;
    let plans: Option<Vec<Plan>> =
        servos.iter().zip(angles).map(|(servo, &angle)| servo.plan(angle, TICK).ok()).collect();
    let motions: Vec<_> = plans?.iter().map(|plan| plan.motion).collect();
    let interval = Interval {
        start: k as f64 * TICK,
        length: TICK,
        longest_step: LONGEST_STEP,
        motions: &motions,
        throttle: posed.throttle.max(0.0),
        around: &stand.around,
        causes: Causes::ALL,
    };
    stand.aircraft.fly(state, &interval, bench).ok()
}

/// Direction of the path against where it began: towards the canopy for the elevator, to the
/// right for the rudder.
fn bend(state: &AircraftState, path: &Matrix3<f64>, place: usize) -> f64 {
    let v: Vector3<f64> = path.tr_mul(&state.body.earth_velocity());
    let aside = if place == 1 { -v.z } else { v.y };
    libm::atan2(aside, v.x)
}
