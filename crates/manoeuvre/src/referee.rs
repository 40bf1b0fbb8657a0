//! What a judge on the flight line would say of a flight, in numbers. Relative to the air: a
//! crosswind would look like coupling.

use crate::aim::{View, wrapped};
use crate::between;
use crate::finding;
use crate::fly::Flown;
use crate::line::{Deviation, Line, Pose};
use crate::pilot::ENTRY_TRACK;
use crate::scenario::{Judged, Judging, Scenario};
use crate::tick::{Sample, TICK};
use crate::verdict::{HEADLINE, Speeds, Verdict};
use flight::{Euler, earth_from_body};
use measure::{Side, Stick};
use mix::Follower;
use nalgebra::{Matrix3, Vector3};

/// A surface this close to the end of its travel stands at its stop, share of full throw.
const STOP: f64 = 1e-6;

/// Judges what `scenario` has judged; `None` if the flight did not get there.
#[must_use]
pub fn referee(flown: &Flown, scenario: &Scenario, side: Side, wind: &Vector3<f64>) -> Option<Verdict> {
    let pass = Pass::of(flown, scenario, side, wind)?;
    let (first, last) = (pass.seen.first()?, pass.seen.last()?);
    let entry = View::of(&flown.samples.first()?.state, wind);
    let headline_at = HEADLINE.min(pass.seconds());
    let headline = pass.read(&between::at(&flown.samples, pass.starts + headline_at)?);
    let headline = headline.counted_on_from(&pass.nearest(pass.starts + headline_at).against);
    let changes = || pass.seen.iter().map(|seen| seen.against.since(&first.against));
    let speed = |s: &Sample| View::of(&s.state, wind).airspeed;
    let speeds = pass.seen.iter().map(|seen| speed(&seen.sample));
    let entered = Deviation::of(
        &pass.line.frame(),
        &first.sample.state,
        &View::of(&first.sample.state, wind).path,
        &Vector3::zeros(),
    );
    Some(Verdict {
        judged: pass.judged,
        side,
        line: pass.line,
        entered,
        headline: headline.since(&first.against),
        headline_at,
        end: last.against.since(&first.against),
        worst: changes().fold(Deviation::default(), Deviation::furthest),
        faults: pass.faults(&entered),
        sticks: first.sample.sticks,
        held: [0, 1, 2, 3].map(|i| pass.mean_of_second_half(|s| s.sticks[i])),
        work: [0, 1, 2, 3].map(|i| pass.work(i)),
        commands: Follower::ALL.map(|f| pass.mean_of_second_half(|s| s.commands.get(f))),
        height: first.sample.state.body.position.z - last.sample.state.body.position.z,
        lowest: pass.seen.iter().map(|s| -s.sample.state.body.position.z).fold(f64::INFINITY, f64::min),
        speeds: Speeds {
            entry: entry.airspeed,
            start: speed(&first.sample),
            least: speeds.clone().fold(f64::INFINITY, f64::min),
            most: speeds.fold(0.0, f64::max),
            end: speed(&last.sample),
        },
        full_sticks: Stick::ALL
            .into_iter()
            .filter(|&stick| stick != Stick::Throttle)
            .map(|stick| (stick, pass.time_while(|s| s.sticks[stick as usize].abs() >= 1.0 - STOP)))
            .filter(|(_, seconds)| *seconds > 0.0)
            .collect(),
        limits: Follower::ALL
            .into_iter()
            .map(|follower| (follower, pass.time_while(|s| at_stop(s, follower))))
            .filter(|(_, seconds)| *seconds > 0.0)
            .collect(),
        seconds: pass.seconds(),
        complete: pass.complete,
        finding: finding::of(&pass),
    })
}

/// Whether a follower's command stood at its stop or was cut by the mix. Throttle, flaps and door
/// stand at theirs on purpose.
fn at_stop(s: &Sample, follower: Follower) -> bool {
    let (low, _) = follower.range();
    let surface = low < 0.0 && s.commands.get(follower).abs() >= 1.0 - STOP;
    surface || s.commands.limits.contains(follower)
}

/// The judged part of a flight.
pub(crate) struct Pass<'a> {
    pub(crate) judged: Judged,
    pub(crate) line: Line,
    pub(crate) wind: Vector3<f64>,
    flown: &'a Flown,
    frame: Matrix3<f64>,
    start: Sample,
    starts: f64,
    ends: f64,
    complete: bool,
    /// Beginning, every tick between, end.
    pub(crate) seen: Vec<Seen>,
}

/// A sample against the line.
pub(crate) struct Seen {
    pub(crate) sample: Sample,
    pub(crate) against: Deviation,
}

impl<'a> Pass<'a> {
    pub(crate) fn of(flown: &'a Flown, scenario: &Scenario, side: Side, wind: &Vector3<f64>) -> Option<Self> {
        let (judged, legs) = scenario.judged()?;
        let (begin, last) = (flown.legs.get(*legs.start())?, flown.legs.len() - 1);
        let starts = begin.starts;
        let ends = flown.legs[last.min(*legs.end())].ends;
        let start = between::at(&flown.samples, starts)?;
        if ends <= starts {
            return None;
        }
        let path = View::of(&start.state, wind).path;
        // of a vertical line the entry says how the canopy stands; of others, the path there
        let vertical = matches!(judged.pose(), Pose::UpLine | Pose::DownLine);
        let track = if vertical { ENTRY_TRACK } else { libm::atan2(path.y, path.x) };
        let line = judged.line(track, side);
        let frame = match judged.as_what {
            Judging::Hover | Judging::Tumble | Judging::Descent => line.frame(),
            _ => line.frame_along(&path),
        };
        let complete = flown.halt.is_none() && last >= *legs.end();
        let mut pass =
            Self { judged, line, wind: *wind, flown, frame, start, starts, ends, complete, seen: Vec::new() };
        pass.look();
        Some(pass)
    }

    fn look(&mut self) {
        let inside = |s: &&Sample| s.time > self.starts + 1e-9 && s.time < self.ends - 1e-9;
        let ticks = self.flown.samples.iter().filter(inside).copied();
        let end = between::at(&self.flown.samples, self.ends);
        let mut seen: Vec<Seen> = Vec::new();
        for sample in core::iter::once(self.start).chain(ticks).chain(end) {
            let against = self.read(&sample);
            let against = seen.last().map_or(against, |before| against.counted_on_from(&before.against));
            seen.push(Seen { sample, against });
        }
        self.seen = seen;
    }

    /// Against the line, angles within half a turn.
    fn read(&self, s: &Sample) -> Deviation {
        let path = View::of(&s.state, &self.wind).path;
        Deviation::of(&self.frame, &s.state, &path, &self.moved(s))
    }

    /// Position in the air from where the judging began, earth NED \[m\].
    pub(crate) fn moved(&self, s: &Sample) -> Vector3<f64> {
        let over_ground = s.state.body.position - self.start.state.body.position;
        over_ground - self.wind * (s.time - self.start.time)
    }

    pub(crate) fn seconds(&self) -> f64 {
        self.ends - self.starts
    }

    fn nearest(&self, time: f64) -> &Seen {
        let at = self.seen.partition_point(|seen| seen.sample.time <= time);
        &self.seen[at.saturating_sub(1)]
    }

    /// Bank from the judged one, path towards canopy or gear, path towards a wing.
    fn faults(&self, entered: &Deviation) -> [f64; 3] {
        let most = |of: &dyn Fn(&Deviation) -> f64| {
            self.seen.iter().map(|seen| of(&seen.against).abs()).fold(0.0, f64::max)
        };
        let start = self.seen.first().map_or(0.0, |seen| seen.against.roll);
        let bank = match self.judged.as_what {
            Judging::Roll | Judging::RollIn => 0.0,
            _ => most(&|d| d.roll - start + entered.roll),
        };
        [bank, most(&|d| d.bend), most(&|d| d.slide)]
    }

    /// Ticks that touch the judged part, each with how much of it lies within `from` and the end.
    fn ticks_since(&self, from: f64) -> impl Iterator<Item = (&Sample, f64)> {
        let share = move |s: &Sample| (self.ends.min(s.time + TICK) - from.max(s.time)).max(0.0);
        self.flown.samples.iter().map(move |s| (s, share(s))).filter(|(_, seconds)| *seconds > 1e-9)
    }

    /// Mean over time of something that is held over a tick.
    pub(crate) fn mean_of_second_half(&self, of: impl Fn(&Sample) -> f64) -> f64 {
        self.mean_since(0.5 * (self.starts + self.ends), of)
    }

    pub(crate) fn mean_of_last_second(&self, of: impl Fn(&Sample) -> f64) -> f64 {
        self.mean_since((self.ends - 1.0).max(self.starts), of)
    }

    fn mean_since(&self, from: f64, of: impl Fn(&Sample) -> f64) -> f64 {
        let (sum, time) =
            self.ticks_since(from).fold((0.0, 0.0), |(sum, time), (s, dt)| (sum + dt * of(s), time + dt));
        sum / time.max(1e-9)
    }

    fn time_while(&self, holds: impl Fn(&Sample) -> bool) -> f64 {
        self.ticks_since(self.starts).filter(|(s, _)| holds(s)).map(|(_, seconds)| seconds).sum()
    }

    fn work(&self, stick: usize) -> f64 {
        self.seen.windows(2).map(|w| (w[1].sample.sticks[stick] - w[0].sample.sticks[stick]).abs()).sum()
    }
}

/// Where a model was against the judged line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drift {
    /// The sample it belongs to.
    pub sample: Sample,
    /// Since the judging began \[s\].
    pub time: f64,
    /// Against the line; nose and roll as changes since the judging began.
    pub off: Deviation,
    /// Position in the air from where the judging began: along the line as seen from above, right
    /// of it, down \[m\].
    pub position: Vector3<f64>,
    /// Compass direction of the line \[rad\].
    pub track: f64,
}

/// The judged part, and up to `before` \[s\] of what came before it, as a list; empty if the
/// flight did not get there.
#[must_use]
pub fn drifts(
    flown: &Flown,
    scenario: &Scenario,
    side: Side,
    wind: &Vector3<f64>,
    before: f64,
) -> Vec<Drift> {
    let Some(pass) = Pass::of(flown, scenario, side, wind) else { return Vec::new() };
    let Some(begun) = pass.seen.first() else { return Vec::new() };
    let early: Vec<&Sample> = flown
        .samples
        .iter()
        .filter(|s| s.time < pass.starts - 1e-9 && s.time > pass.starts - before - 1e-9)
        .collect();
    let mut drifts = Vec::with_capacity(early.len() + pass.seen.len());
    // counted on backwards from where the judging began
    let mut later = begun.against;
    for sample in early.into_iter().rev() {
        later = pass.read(sample).counted_on_from(&later);
        drifts.push(pass.drift(sample, &later));
    }
    drifts.reverse();
    drifts.extend(pass.seen.iter().map(|seen| pass.drift(&seen.sample, &seen.against)));
    drifts
}

impl Pass<'_> {
    fn drift(&self, sample: &Sample, against: &Deviation) -> Drift {
        let level = Line { track: self.line.track, climb: 0.0, bank: 0.0 }.frame();
        Drift {
            sample: *sample,
            time: sample.time - self.starts,
            off: against.since(&self.seen[0].against),
            position: level.tr_mul(&self.moved(sample)),
            track: self.line.track,
        }
    }

    /// Change of the path's compass direction since the judging began, tick by tick, + right; turns
    /// of more than half a circle are counted on \[rad\].
    pub(crate) fn turned(&self) -> Vec<f64> {
        let track = |seen: &Seen| View::of(&seen.sample.state, &self.wind).track();
        let mut turned = vec![0.0];
        for pair in self.seen.windows(2) {
            turned.push(turned[turned.len() - 1] + wrapped(track(&pair[1]) - track(&pair[0])));
        }
        turned
    }

    /// Angle of sideslip, + nose left of the path \[rad\].
    pub(crate) fn sideslip(&self, s: &Sample) -> f64 {
        let flow = self.flow(s);
        libm::asin((flow.y / flow.norm().max(1e-6)).clamp(-1.0, 1.0))
    }

    /// Velocity through the air, body axes [m/s].
    pub(crate) fn flow(&self, s: &Sample) -> Vector3<f64> {
        s.state.body.velocity - earth_from_body(&s.state.body.attitude).tr_mul(&self.wind)
    }

    /// Compass direction of the nose \[rad\].
    pub(crate) fn nose(&self, s: &Sample) -> f64 {
        Euler::from_attitude(&s.state.body.attitude).yaw
    }
}
