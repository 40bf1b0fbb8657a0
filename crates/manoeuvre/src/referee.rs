//! What a judge on the flight line would say of a leg, in numbers. Relative to the air: a
//! crosswind would look like coupling.

use crate::aim::{View, wrapped};
use crate::fly::Flown;
use crate::scenario::{Judged, Scenario};
use crate::tick::{Sample, TICK};
use flight::Euler;
use measure::{DEG, Side, Stick};
use mix::Follower;
use nalgebra::Vector3;

/// How long after the beginning of the judged leg the headline is read \[s\].
pub const HEADLINE: f64 = 2.0;
/// Deviations below this are not seen \[rad\] (judgement, no source).
const VISIBLE: f64 = DEG;
/// One point less for every so much \[rad\]. Source: FAI Sporting Code, Section 4 Volume F3,
/// manoeuvre execution guide, from two texts that quote it.
const POINT: f64 = 15.0 * DEG;
/// Further from the judged bank than this \[rad\], or slower than this share of the entry speed, a
/// leg has not begun (judgement, no source).
const SETTLED_BANK: f64 = 20.0 * DEG;
const SETTLED_SPEED: f64 = 0.7;
/// A surface this close to the end of its travel stands at its stop, share of full throw.
const STOP: f64 = 1e-6;

/// A judged leg in numbers. "Towards canopy" is positive, "towards gear" negative; rolling out
/// (towards upright) is positive, rolling under (towards inverted) negative.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// Change of the nose's compass direction in the first 2 s \[rad\].
    pub heading: f64,
    /// Change of bank in the first 2 s \[rad\].
    pub bank: f64,
    /// Distance from the judged line after 2 s \[m\].
    pub path: f64,
    /// Largest distance from the judged line over the leg, with its sign \[m\].
    pub drift: f64,
    /// Height gained (lost: negative) over the leg \[m\].
    pub height: f64,
    /// Largest deviation of the path's direction over the leg \[rad\].
    pub worst_track: f64,
    /// Largest deviation of the bank from the judged one over the leg \[rad\].
    pub worst_bank: f64,
    /// Mean elevator stick over the second half of the leg, + up.
    pub held_elevator: f64,
    /// Mean aileron stick over the second half of the leg, + right.
    pub held_aileron: f64,
    /// Rudder stick when the leg began, + right.
    pub rudder: f64,
    /// Airspeed when the leg began [m/s].
    pub speed: f64,
    /// Mean commands over the second half of the leg, shares of full throw, trims included:
    /// aileron, elevator, rudder.
    pub commands: [f64; 3],
    /// Lowest height above the field during the leg \[m\].
    pub lowest: f64,
    /// Bank from the judged one when the leg began \[rad\].
    pub bank_at_start: f64,
    /// Airspeed when the manoeuvre was entered \[m/s\].
    pub entry_speed: f64,
    /// Sticks that stood at the end of their travel during the leg.
    pub full_sticks: Vec<Stick>,
    /// What stood at its stop during the leg.
    pub limits: Vec<Follower>,
    /// Whether the whole leg was flown; if not, the numbers are of what was.
    pub complete: bool,
}

impl Verdict {
    /// Whether the model was where the leg begins: near the judged bank, and still flying.
    #[must_use]
    pub fn settled(&self) -> bool {
        self.bank_at_start.abs() < SETTLED_BANK && self.speed > SETTLED_SPEED * self.entry_speed
    }

    /// Marks out of 10, unrounded: one less per 15 degrees of bank and of path.
    #[must_use]
    pub fn marks_exact(&self) -> f64 {
        (10.0 - (self.worst_track + self.worst_bank) / POINT).max(0.0)
    }

    /// Marks out of 10 as a judge gives them.
    #[must_use]
    pub fn marks(&self) -> f64 {
        marks(&[self.worst_track, self.worst_bank])
    }
}

/// Marks out of 10 for deviations \[rad\]: for each, one point less per 15 degrees or part of it.
#[must_use]
pub fn marks(deviations: &[f64]) -> f64 {
    let lost: f64 =
        deviations.iter().map(|d| if d.abs() < VISIBLE { 0.0 } else { (d.abs() / POINT).ceil() }).sum();
    (10.0 - lost).max(0.0)
}

/// Judges the first judged leg of a flight; `None` if the flight did not get as far as the
/// headline.
#[must_use]
pub fn referee(flown: &Flown, scenario: &Scenario, side: Side, wind: &Vector3<f64>) -> Option<Verdict> {
    let (index, judged) = judged_leg(scenario)?;
    let span = flown.legs.get(index)?;
    let leg = flown.samples.get(span.first..span.end)?;
    let (start, end) = (leg.first()?, leg.last()?);
    let line = Line::new(start, side.sign() * judged.bank, wind);
    let drifts = line.follow(leg);
    let headline = drifts.get((HEADLINE / TICK).round() as usize)?;
    let half = &leg[leg.len() / 2..];
    let mean = |stick: usize| half.iter().map(|s| s.sticks[stick]).sum::<f64>() / half.len() as f64;
    let furthest = |a: f64, b: f64| if b.abs() > a.abs() { b } else { a };
    let bank_at_start = line.bank_error_at_start();
    let wanted = (scenario.legs[index].seconds() / TICK).round() as usize;
    Some(Verdict {
        heading: headline.heading,
        bank: headline.bank,
        path: headline.off,
        drift: drifts.iter().map(|d| d.off).fold(0.0, furthest),
        height: start.state.body.position.z - end.state.body.position.z,
        worst_track: leg.iter().map(|s| line.track_error(s).abs()).fold(0.0, f64::max),
        worst_bank: drifts.iter().map(|d| (d.bank + bank_at_start).abs()).fold(0.0, f64::max),
        held_elevator: mean(1),
        held_aileron: mean(0),
        rudder: start.sticks[2],
        speed: View::of(&start.state, wind).airspeed,
        commands: [Follower::Aileron, Follower::Elevator, Follower::Rudder]
            .map(|f| half.iter().map(|s| s.commands.get(f)).sum::<f64>() / half.len() as f64),
        lowest: leg.iter().map(|s| -s.state.body.position.z).fold(f64::INFINITY, f64::min),
        bank_at_start,
        entry_speed: View::of(&flown.samples.first()?.state, wind).airspeed,
        full_sticks: [Stick::Aileron, Stick::Elevator, Stick::Rudder]
            .into_iter()
            .filter(|&stick| leg.iter().any(|s| s.sticks[stick as usize].abs() >= 1.0 - STOP))
            .collect(),
        limits: stops(leg),
        complete: flown.halt.is_none() && leg.len() == wanted,
    })
}

/// Where a model was against the judged line, signs as in [`Verdict`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drift {
    /// The sample it belongs to.
    pub sample: Sample,
    /// Since the judged leg began \[s\].
    pub time: f64,
    /// Change of the nose's compass direction \[rad\].
    pub heading: f64,
    /// Change of bank \[rad\].
    pub bank: f64,
    /// Distance from the line \[m\].
    pub off: f64,
    /// Distance flown along the line, in the air \[m\].
    pub along: f64,
    /// Position in the air from where the judged leg began: along the line, right of it, down
    /// \[m\].
    pub position: Vector3<f64>,
    /// Compass direction of the line \[rad\].
    pub track: f64,
}

/// The judged leg, and up to `before` \[s\] of what came before it, as a list; empty if the flight
/// did not get there.
#[must_use]
pub fn drifts(
    flown: &Flown,
    scenario: &Scenario,
    side: Side,
    wind: &Vector3<f64>,
    before: f64,
) -> Vec<Drift> {
    let Some((index, judged)) = judged_leg(scenario) else { return Vec::new() };
    let Some(span) = flown.legs.get(index) else { return Vec::new() };
    let Some(start) = flown.samples.get(span.first) else { return Vec::new() };
    let line = Line::new(start, side.sign() * judged.bank, wind);
    let first = span.first.saturating_sub((before / TICK).round() as usize);
    line.follow(&flown.samples[first..span.end])
}

fn judged_leg(scenario: &Scenario) -> Option<(usize, Judged)> {
    scenario.legs.iter().enumerate().find_map(|(i, leg)| Some((i, leg.judged?)))
}

/// The judged line: from where the model is when the leg begins, along its path then, at the
/// judged bank. What is judged is the bend, not how well the leg was entered.
struct Line {
    start: Sample,
    wind: Vector3<f64>,
    track: f64,
    bank: f64,
    bank_at_start: f64,
    heading_at_start: f64,
}

impl Line {
    fn new(start: &Sample, bank: f64, wind: &Vector3<f64>) -> Self {
        let track = View::of(&start.state, wind).track();
        let euler = Euler::from_attitude(&start.state.body.attitude);
        Self {
            start: *start,
            wind: *wind,
            track,
            bank,
            bank_at_start: euler.roll,
            heading_at_start: euler.yaw,
        }
    }

    /// Position in the air from where the leg began, earth NED \[m\].
    fn moved(&self, s: &Sample) -> Vector3<f64> {
        let over_ground = s.state.body.position - self.start.state.body.position;
        over_ground - self.wind * (s.time - self.start.time)
    }

    /// All samples against the line; turns of more than half a circle are counted on.
    fn follow(&self, samples: &[Sample]) -> Vec<Drift> {
        let mut drifts: Vec<Drift> = Vec::with_capacity(samples.len());
        for sample in samples {
            let mut now = self.drift(sample);
            if let Some(before) = drifts.last() {
                now.heading = before.heading + wrapped(now.heading - before.heading);
                now.bank = before.bank + wrapped(now.bank - before.bank);
            }
            drifts.push(now);
        }
        drifts
    }

    fn drift(&self, s: &Sample) -> Drift {
        let (sin, cos) = libm::sincos(self.track);
        let moved = self.moved(s);
        let position = Vector3::new(moved.x * cos + moved.y * sin, moved.y * cos - moved.x * sin, moved.z);
        Drift {
            sample: *s,
            time: s.time - self.start.time,
            heading: self.heading(s),
            bank: self.bank_out(s),
            off: position.y * self.bank.signum(),
            along: position.x,
            position,
            track: self.track,
        }
    }

    fn heading(&self, s: &Sample) -> f64 {
        let yaw = Euler::from_attitude(&s.state.body.attitude).yaw;
        wrapped(yaw - self.heading_at_start) * self.bank.signum()
    }

    fn bank_out(&self, s: &Sample) -> f64 {
        wrapped(View::of(&s.state, &self.wind).bank - self.bank_at_start) * -self.bank.signum()
    }

    /// Bank of the leg's beginning from the judged one, + towards upright.
    fn bank_error_at_start(&self) -> f64 {
        wrapped(self.bank_at_start - self.bank) * -self.bank.signum()
    }

    fn track_error(&self, s: &Sample) -> f64 {
        wrapped(View::of(&s.state, &self.wind).track() - self.track)
    }
}

/// Followers whose command stood at its stop or was cut by the mix, in canonical order.
fn stops(leg: &[Sample]) -> Vec<Follower> {
    let stopped = |follower: Follower| {
        leg.iter().any(|s| {
            let surface = follower != Follower::Throttle && s.commands.get(follower).abs() >= 1.0 - STOP;
            surface || s.commands.limits.contains(follower)
        })
    };
    Follower::ALL.into_iter().filter(|&f| stopped(f)).collect()
}
