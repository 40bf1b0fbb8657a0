//! The needed deflections of one manoeuvre along its lead, over the model's own speeds.

use crate::find::coupling::Manoeuvre;
use crate::find::pose::{Pose, Posed, Stand};
use crate::find::roll_in::roll_in;
use crate::find::stall::approach_speed;
use flight::{Bench, SearchFault};
use measure::{DEG, Side};
use mix::{Blend, Commands, Follower, Lead};

/// What the followers must do at one place of the lead.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Where the lead stands, -1..1 (throttle and levers 0..1).
    pub lead: f64,
    /// How far that is from where it has its zero.
    pub travel: f64,
    /// Needed aileron, elevator, rudder, throttle from trimmed flight, shares of full throw.
    pub needed: [f64; 4],
    /// The pose itself.
    pub posed: Posed,
}

/// Points at one speed and side, near what the manoeuvre takes.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Airspeed [m/s].
    pub speed: f64,
    /// Side of the lead; of a one-sided lead the right.
    pub side: Side,
    /// From little lead to much.
    pub points: Vec<Point>,
    /// The rudder that would keep the height, share of throw, where there is such a pose.
    pub level_lead: Option<f64>,
}

/// A manoeuvre along its lead.
#[derive(Debug, Clone, PartialEq)]
pub struct Sweep {
    /// At several speeds, both sides.
    pub lines: Vec<Line>,
    /// All along the lead at the first speed, left to right.
    pub along: Vec<Point>,
    /// What the followers need before the lead is moved at all: on a knife edge the relief.
    pub apart: Option<[f64; 4]>,
}

/// Speeds at which a knife edge is looked at, as shares of the trimmed one: a pass is flown with
/// some more speed than the cruise (judgement, no source).
const KNIFE_EDGE_SPEEDS: [f64; 3] = [1.15, 1.0, 1.3];
/// Leads as shares of the one that the manoeuvre takes.
const AROUND: [f64; 3] = [0.6, 0.8, 1.0];
/// Below this a rudder is none that a knife edge is flown with.
const LEAST_RUDDER: f64 = 0.25;
const QUARTERS: [f64; 4] = [0.25, 0.5, 0.75, 1.0];
/// Slow and fast flight, shares of the trimmed speed (judgement).
const SLOW: f64 = 0.75;
const FAST: f64 = 1.25;
const HARDLY: f64 = 0.95;
/// Glide on the approach \[rad\] (common practice, no source).
const GLIDE: f64 = -4.0 * DEG;

/// A stand with the blends that are at work already.
pub(crate) struct Sweeper<'a> {
    pub(crate) stand: &'a Stand,
    pub(crate) blends: &'a [Blend],
    pub(crate) bench: Bench,
    /// Whether the whole way of the lead is looked at, beside the lines.
    whole: bool,
}

impl<'a> Sweeper<'a> {
    pub(crate) fn new(stand: &'a Stand, blends: &'a [Blend]) -> Self {
        Self { stand, blends, bench: Bench::new(&stand.aircraft), whole: true }
    }

    /// Lines only, for percentages: what else a sweep of two sides says is left empty.
    pub(crate) fn lines(stand: &'a Stand, blends: &'a [Blend]) -> Self {
        Self { whole: false, ..Self::new(stand, blends) }
    }

    pub(crate) fn sweep(&mut self, manoeuvre: Manoeuvre) -> Result<Sweep, SearchFault> {
        match manoeuvre {
            Manoeuvre::KnifeEdge => self.knife_edge(),
            Manoeuvre::Skid => self.skid(),
            Manoeuvre::Power => self.power(),
            Manoeuvre::UpLine => self.vertical(true),
            Manoeuvre::DownLine => self.vertical(false),
            Manoeuvre::Flaps => self.flaps(),
            Manoeuvre::Door => self.door(),
            Manoeuvre::RollIn => self.roll_in(),
        }
    }

    fn trimmed_speed(&self) -> f64 {
        self.stand.level.pose.speed
    }

    /// As slow as it is flown: three quarters of the trimmed speed, but no slower than an approach without
    /// flaps, so that a skid does not stall it. `None` where that is hardly slower than trimmed flight.
    fn slow_speed(&mut self) -> Option<f64> {
        let trimmed = self.trimmed_speed();
        let approach = approach_speed(self.stand, &Commands::default(), &mut self.bench);
        Some((SLOW * trimmed).max(approach)).filter(|speed| *speed < HARDLY * trimmed)
    }

    /// What the blends at work add when the lead has moved from `zero` to `lead`.
    fn blended(&self, from: &Lead, lead: f64, zero: f64) -> Commands {
        let mut set = Commands::default();
        for blend in self.blends.iter().filter(|b| b.from == *from) {
            let added = blend.shape.follower(lead) - blend.shape.follower(zero);
            match blend.to {
                Follower::Aileron => set.aileron += added,
                Follower::Elevator => set.elevator += added,
                Follower::Rudder => set.rudder += added,
                Follower::Throttle => set.throttle += added,
                Follower::Flap => set.flap += added,
                Follower::AileronsTogether => set.ailerons_together += added,
                Follower::Door => set.door += added,
            }
        }
        set
    }

    /// Poses `pose` and counts from `zero`; `None` where there is no such pose.
    fn point(
        &mut self,
        pose: &Pose,
        lead: f64,
        travel: f64,
        zero: &Posed,
        start: Option<&Posed>,
    ) -> Result<Option<Point>, SearchFault> {
        let posed = self.stand.pose(pose, start, &mut self.bench)?;
        let sticks: [f64; 3] = core::array::from_fn(|i| posed.sticks[i] - zero.sticks[i]);
        let throttle = posed.throttle - zero.throttle - pose.set.throttle;
        let needed = [sticks[0], sticks[1], sticks[2], throttle];
        Ok(posed.converged.then_some(Point { lead, travel, needed, posed }))
    }

    fn knife_edge(&mut self) -> Result<Sweep, SearchFault> {
        let mut lines = Vec::new();
        for times in KNIFE_EDGE_SPEEDS {
            for side in [Side::Left, Side::Right] {
                let speed = times * self.trimmed_speed();
                let level_lead = self.level_rudder(speed, side)?;
                let takes = level_lead.map_or(1.0, |rudder| rudder.clamp(LEAST_RUDDER, 1.0));
                let points = self.knife_edge_points(speed, side, &AROUND.map(|share| share * takes))?;
                lines.push(Line { speed, side, points, level_lead });
            }
        }
        if !self.whole {
            return Ok(Sweep { lines, along: Vec::new(), apart: None });
        }
        let speed = KNIFE_EDGE_SPEEDS[0] * self.trimmed_speed();
        let left = self.knife_edge_points(speed, Side::Left, &QUARTERS)?;
        let right = self.knife_edge_points(speed, Side::Right, &QUARTERS)?;
        let along = left.into_iter().rev().chain(right).collect();
        Ok(Sweep { lines, along, apart: self.relief(speed)? })
    }

    fn level_rudder(&mut self, speed: f64, side: Side) -> Result<Option<f64>, SearchFault> {
        let posed = self.stand.pose(&Pose::level_knife_edge(speed, side), None, &mut self.bench)?;
        let rudder = side.sign() * (posed.sticks[2] - self.stand.level.sticks[2]);
        // a solution with the nose below the horizon, or far beyond any servo, is none
        let sensible = posed.converged && (0.0..3.0).contains(&rudder) && posed.throttle < 2.0;
        Ok(sensible.then_some(rudder))
    }

    /// The speed is held as far as the motor can.
    fn knife_edge_points(
        &mut self,
        speed: f64,
        side: Side,
        rudders: &[f64],
    ) -> Result<Vec<Point>, SearchFault> {
        let zero = self.stand.level;
        let mut points: Vec<Point> = Vec::new();
        for &rudder in rudders {
            let lead = side.sign() * rudder;
            let set = self.blended(&Manoeuvre::KnifeEdge.lead(), lead, 0.0);
            let total = rudder + side.sign() * zero.sticks[2];
            let pose = Pose { throttle: None, ..Pose::knife_edge(speed, 0.0, side, total) }.with(set);
            let before = points.last().map(|p| p.posed);
            let mut point = self.point(&pose, lead, lead, &zero, before.as_ref())?;
            if point.is_none_or(|p| p.posed.throttle > 1.0) {
                let full = Pose { throttle: Some(1.0), ..pose };
                point = self.point(&full, lead, lead, &zero, before.as_ref())?;
            }
            points.extend(point);
        }
        Ok(points)
    }

    /// What a knife edge without any rudder takes: the model is trimmed to carry its weight, and
    /// here carries none.
    fn relief(&mut self, speed: f64) -> Result<Option<[f64; 4]>, SearchFault> {
        let zero = self.stand.level;
        let mut sum = [0.0; 4];
        for side in [Side::Left, Side::Right] {
            let trim = side.sign() * zero.sticks[2];
            let pose = Pose { throttle: None, ..Pose::knife_edge(speed, 0.0, side, trim) };
            let Some(point) = self.point(&pose, 0.0, 0.0, &zero, None)? else { return Ok(None) };
            for (total, needed) in sum.iter_mut().zip(point.needed) {
                *total += 0.5 * needed;
            }
        }
        Ok(Some(sum))
    }

    fn skid(&mut self) -> Result<Sweep, SearchFault> {
        let mut lines = Vec::new();
        let trimmed = self.trimmed_speed();
        let slow = self.slow_speed();
        for speed in [Some(trimmed), slow, Some(FAST * trimmed)].into_iter().flatten() {
            let zero = self.stand.pose(&Pose::level(speed), None, &mut self.bench)?;
            for side in [Side::Left, Side::Right] {
                let points = self.skid_points(&zero, side, &[0.25, 0.5])?;
                lines.push(Line { speed, side, points, level_lead: None });
            }
        }
        if !self.whole {
            return Ok(Sweep { lines, along: Vec::new(), apart: None });
        }
        let zero = self.stand.level;
        let left = self.skid_points(&zero, Side::Left, &QUARTERS)?;
        let right = self.skid_points(&zero, Side::Right, &QUARTERS)?;
        Ok(Sweep { lines, along: left.into_iter().rev().chain(right).collect(), apart: None })
    }

    fn skid_points(&mut self, zero: &Posed, side: Side, leads: &[f64]) -> Result<Vec<Point>, SearchFault> {
        let mut points: Vec<Point> = Vec::new();
        for &rudder in leads {
            let lead = side.sign() * rudder;
            let set = self.blended(&Manoeuvre::Skid.lead(), lead, 0.0);
            let pose = Pose::skid(zero.pose.speed, zero.throttle, lead + zero.sticks[2]).with(set);
            let before = points.last().map(|p| p.posed);
            points.extend(self.point(&pose, lead, lead, zero, before.as_ref())?);
        }
        Ok(points)
    }

    /// Counted from steady flight at the same speed: what the speed itself wants is no coupling.
    fn power(&mut self) -> Result<Sweep, SearchFault> {
        let mut lines = Vec::new();
        let trimmed = self.trimmed_speed();
        let slow = self.slow_speed();
        for speed in [Some(trimmed), slow, Some(FAST * trimmed)].into_iter().flatten() {
            let zero = self.stand.pose(&Pose::level(speed), None, &mut self.bench)?;
            if zero.converged && zero.throttle <= 1.0 {
                let points = self.power_points(&zero)?;
                lines.push(Line { speed, side: Side::Right, points, level_lead: None });
            }
        }
        let along = lines.first().map_or(Vec::new(), |line| line.points.clone());
        Ok(Sweep { lines, along, apart: None })
    }

    fn power_points(&mut self, zero: &Posed) -> Result<Vec<Point>, SearchFault> {
        let mut points = Vec::new();
        for lead in [0.0, 0.25, 0.5, 0.75, 1.0] {
            let set = self.blended(&Manoeuvre::Power.lead(), lead, zero.throttle);
            let pose = Pose::level_at(zero.pose.speed, lead).with(set);
            points.extend(self.point(&pose, lead, lead - zero.throttle, zero, Some(zero))?);
        }
        Ok(points)
    }

    fn vertical(&mut self, up: bool) -> Result<Sweep, SearchFault> {
        let zero = self.stand.level;
        let (lead, speeds): (f64, &[f64]) =
            if up { (1.0, &[0.8, 0.6, 1.0]) } else { (0.0, &[1.0, 0.8, 1.2]) };
        let mut lines = Vec::new();
        for times in speeds {
            let speed = times * zero.pose.speed;
            let set = self.blended(&Manoeuvre::UpLine.lead(), lead, zero.throttle);
            let pose = Pose::vertical(speed, lead, up).with(set);
            let points: Vec<Point> = self.point(&pose, lead, 1.0, &zero, None)?.into_iter().collect();
            lines.push(Line { speed, side: Side::Right, points, level_lead: None });
        }
        let along = lines[0].points.clone();
        Ok(Sweep { lines, along, apart: None })
    }

    /// From trimmed flight to a steady glide at approach speed, speed and power going along with
    /// the flaps.
    fn flaps(&mut self) -> Result<Sweep, SearchFault> {
        let zero = self.stand.level;
        let full = Commands { flap: 1.0, ..Commands::default() };
        let speed = approach_speed(self.stand, &full, &mut self.bench);
        let glide = Pose { climb: Some(GLIDE), ..Pose::level(speed) }.with(full);
        let approach = self.stand.pose(&glide, None, &mut self.bench)?;
        let power = approach.throttle.max(0.0);
        let mut points = Vec::new();
        for lead in QUARTERS {
            let between = |from: f64, to: f64| from + lead * (to - from);
            let blended = self.blended(&Manoeuvre::Flaps.lead(), lead, 0.0);
            let set = Commands { flap: lead + blended.flap, ..blended };
            let throttle = between(zero.throttle, power);
            let pose = Pose::settled(between(zero.pose.speed, speed), throttle, set);
            let before = points.last().map(|p: &Point| p.posed);
            points.extend(self.point(&pose, lead, lead, &zero, before.as_ref())?);
        }
        let clean =
            self.stand.pose(&Pose { climb: Some(GLIDE), ..Pose::level(speed) }, None, &mut self.bench)?;
        let slowing = [0.0, clean.sticks[1] - zero.sticks[1], 0.0, 0.0];
        // the percentage is that of the settled approach; on the way there the curve knows better
        let settled = points.last().filter(|p| p.lead == 1.0).copied().into_iter().collect();
        let line = Line { speed, side: Side::Right, points: settled, level_lead: None };
        Ok(Sweep { lines: vec![line], along: points, apart: clean.converged.then_some(slowing) })
    }

    fn door(&mut self) -> Result<Sweep, SearchFault> {
        let mut lines = Vec::new();
        let trimmed = self.trimmed_speed();
        for speed in self.slow_speed().into_iter().chain([trimmed]) {
            let zero = self.stand.pose(&Pose::level(speed), None, &mut self.bench)?;
            let mut points = Vec::new();
            for lead in QUARTERS {
                let blended = self.blended(&Manoeuvre::Door.lead(), lead, 0.0);
                let set = Commands { door: lead + blended.door, ..blended };
                points.extend(self.point(&Pose::level(speed).with(set), lead, lead, &zero, Some(&zero))?);
            }
            lines.push(Line { speed, side: Side::Right, points, level_lead: None });
        }
        let along = lines[0].points.clone();
        Ok(Sweep { lines, along, apart: None })
    }

    fn roll_in(&mut self) -> Result<Sweep, SearchFault> {
        let mut lines = Vec::new();
        let trimmed = self.trimmed_speed();
        for speed in self.slow_speed().into_iter().chain([trimmed]) {
            let zero = self.stand.pose(&Pose::level(speed), None, &mut self.bench)?;
            for side in [Side::Left, Side::Right] {
                let points: Vec<Point> =
                    roll_in(self.stand, &zero, side, self.blends, &mut self.bench).into_iter().collect();
                lines.push(Line { speed, side, points, level_lead: None });
            }
        }
        let along = lines.iter().take(2).flat_map(|line| line.points.clone()).collect();
        Ok(Sweep { lines, along, apart: None })
    }
}
