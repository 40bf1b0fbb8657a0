//! What was found for each coupling of an airframe.

use crate::compare::Progress;
use crate::explain::{by_throttle, likeliest};
use crate::find::answer::Answer;
use crate::find::coupling::{Coupling, Manoeuvre};
use crate::find::fit::{Fit, Form, fit};
use crate::find::movement::Movement;
use crate::find::pose::{Stand, StandError};
use crate::find::sure::{CERTAIN, Sure, drawn, sure};
use crate::find::sweep::{Point, Sweep, Sweeper};
use aero::Coefficients;
use airframe::{Airframe, Geometry, GeometryError};
use core::sync::atomic::AtomicBool;
use flight::SearchFault;
use measure::Side;
use mix::{Blend, Follower, Shape};

/// Everything found for one airframe.
#[derive(Debug, Clone, PartialEq)]
pub struct Findings {
    /// What the pilot calls the airframe.
    pub airframe: String,
    /// Speed at which it is trimmed [m/s].
    pub trimmed_speed: f64,
    /// One per coupling, roll before pitch within a manoeuvre.
    pub found: Vec<Found>,
    /// How many draws were wanted for the sureness.
    pub draws: usize,
    /// Elevator of level inverted flight from trimmed flight, share, + up; `None` if there is none.
    pub inverted: Option<f64>,
}

/// What was found for one coupling.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// Which.
    pub coupling: Coupling,
    /// All forms of a blend.
    pub fit: Fit,
    /// The simplest that serves.
    pub form: Form,
    /// Left and right lead; of a one-sided lead only the right.
    pub sides: [Option<SideFound>; 2],
    /// Needed before the lead moves at all, share: relief on a knife edge, slowing down with flaps.
    pub apart: Option<f64>,
    /// Needed follower along the lead at the first speed, shares.
    pub along: Vec<(f64, f64)>,
    /// The percentage of each side at idle, half and full throttle, at the first speed: throttle, left, right;
    /// empty where the throttle is the lead, or keeps the speed.
    pub by_throttle: BySetting,
    /// On a knife edge the rudder that keeps the height: speed [m/s], side, share of throw.
    pub level_leads: Vec<(f64, Side, f64)>,
    /// Turn about the follower's axis in two seconds, worst of both sides at the first speed.
    pub left_over: Option<LeftOver>,
    /// What to do with it.
    pub verdict: Verdict,
    /// What makes the largest share of it, where a mechanical cause should be looked for.
    pub cause: Option<String>,
    /// How the lead's surface moves at full lead, left and right.
    pub lead_moves: [Vec<Movement>; 2],
    /// How the follower moves at full lead, left and right.
    pub follower_moves: [Vec<Movement>; 2],
}

/// A setting, and the percentage there with left and with right lead, shares.
pub type BySetting = Vec<(f64, [Option<f64>; 2])>;

/// A percentage on one side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideFound {
    /// As found, share of full throw at full lead.
    pub exact: f64,
    /// In steps of half a percent.
    pub percent: f64,
    /// How sure; `None` without draws.
    pub sure: Option<Sure>,
    /// First value to try: half of it in whole percent, rounded towards zero.
    pub first_try: f64,
    /// Largest deflection of the follower's surfaces at full lead \[rad\].
    pub deflection: f64,
    /// Travel of its trailing edge \[m\].
    pub travel: f64,
    /// Free play of its linkage \[rad\].
    pub slop: f64,
}

/// What stays uncorrected: turn in two seconds \[rad\].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeftOver {
    /// Without any blend.
    pub nothing: f64,
    /// With one percentage.
    pub one: f64,
    /// With one per side.
    pub per_side: f64,
    /// With the curve.
    pub curve: f64,
}

/// What to do with a coupling.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// There is no such pose, so there is no answer.
    NoPose,
    /// Too small for linkages.
    LeaveIt,
    /// The direction is not certain.
    Unsure,
    /// A blend serves.
    Blend,
    /// It is large: look for a mechanical cause first.
    CauseFirst,
}

/// How to find.
#[derive(Clone, Copy)]
pub struct Options<'a> {
    /// Told after every draw how many are done, and of how many.
    pub progress: Progress<'a>,
    /// Draws for the sureness; 0: none, and nothing is said about it.
    pub draws: usize,
    /// Their seed.
    pub seed: u64,
    /// Blends that are at work already: what is found comes on top.
    pub blends: &'a [Blend],
}

/// Why nothing was found.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FindError {
    /// The measurements are no airframe.
    #[error(transparent)]
    Geometry(#[from] GeometryError),
    /// The airframe cannot be posed.
    #[error(transparent)]
    Stand(#[from] StandError),
    /// A search cannot begin.
    #[error("no pose can be searched: {0}")]
    Search(#[from] SearchFault),
    /// The airframe cannot show a coupling.
    #[error("{airframe} cannot show \"{coupling}\": it lacks a hinge or a door for it; it can show: {known}")]
    NotShown {
        /// The airframe.
        airframe: String,
        /// The coupling.
        coupling: String,
        /// What it can show.
        known: String,
    },
}

/// A blend below this share of throw is swallowed by slop (common practice, no source), and so is one
/// that moves its surface by less than the free play measured there.
pub const FLOOR: f64 = 0.02;
/// A blend above this points to something that should be mended on the model (common practice).
pub const LARGE: f64 = 0.10;
/// Percentages are told in such steps.
const STEP: f64 = 0.005;
/// Both sides closer than this are one: half of what slop swallows.
const SAME: f64 = 0.5 * FLOOR;
/// A form that leaves more than this share of what nothing at all leaves hardly helps.
const HARDLY: f64 = 0.7;

/// Finds blends for `couplings` of an airframe; for all that it can show if none is named.
///
/// # Errors
/// [`FindError`] where the airframe cannot fly or cannot show a coupling.
pub fn find(
    airframe: &Airframe,
    couplings: &[Coupling],
    coefficients: &Coefficients,
    options: &Options,
) -> Result<Findings, FindError> {
    find_unless(airframe, couplings, coefficients, options, &AtomicBool::new(false))
}

/// As [`find`], for somebody who may lose patience: once `stop` is set no further draw is begun, and
/// what comes back is worth nothing.
///
/// # Errors
/// As [`find`].
pub fn find_unless(
    airframe: &Airframe,
    couplings: &[Coupling],
    coefficients: &Coefficients,
    options: &Options,
    stop: &AtomicBool,
) -> Result<Findings, FindError> {
    let geometry = Geometry::of(airframe)?;
    let couplings = wanted(&geometry, couplings)?;
    let stand = Stand::new(&geometry, coefficients)?;
    let mut found = nominal(&stand, &couplings, options.blends)?;
    let draws = drawn(airframe, &couplings, options, stop);
    for (i, finding) in found.iter_mut().enumerate() {
        for side in 0..2 {
            if let Some(s) = &mut finding.sides[side] {
                s.sure = sure(s.exact, draws.iter().map(|d| d[i][side]));
            }
        }
        finding.verdict = verdict(finding.coupling, &finding.sides);
        if finding.verdict == Verdict::CauseFirst {
            finding.cause = likeliest(&stand, finding.coupling);
        }
    }
    let inverted = inverted(&stand)?;
    let trimmed_speed = geometry.trimmed_speed;
    Ok(Findings { airframe: geometry.name, trimmed_speed, found, draws: options.draws, inverted })
}

/// Those named, or all that the airframe can show, in canonical order.
pub(crate) fn wanted(geometry: &Geometry, named: &[Coupling]) -> Result<Vec<Coupling>, FindError> {
    let shown = Coupling::of(geometry);
    if let Some(missing) = named.iter().find(|c| !shown.contains(c)) {
        let known: Vec<String> = shown.iter().map(|c| c.name()).collect();
        return Err(FindError::NotShown {
            airframe: geometry.name.clone(),
            coupling: missing.name(),
            known: known.join(", "),
        });
    }
    Ok(shown.into_iter().filter(|c| named.is_empty() || named.contains(c)).collect())
}

fn inverted(stand: &Stand) -> Result<Option<f64>, SearchFault> {
    let mut bench = flight::Bench::new(&stand.aircraft);
    let pose = crate::find::Pose::inverted(stand.level.pose.speed);
    let posed = stand.pose(&pose, None, &mut bench)?;
    Ok(posed.converged.then(|| posed.sticks[1] - stand.level.sticks[1]))
}

/// Without sureness. Couplings of one manoeuvre are found together: every pose settles roll, pitch
/// and yaw at once.
pub(crate) fn nominal(
    stand: &Stand,
    couplings: &[Coupling],
    blends: &[Blend],
) -> Result<Vec<Found>, SearchFault> {
    let mut sweeper = Sweeper::new(stand, blends);
    let mut last: Option<(Manoeuvre, Sweep)> = None;
    let mut found = Vec::new();
    for &coupling in couplings {
        let sweep = match last.take() {
            Some((manoeuvre, sweep)) if manoeuvre == coupling.manoeuvre => sweep,
            _ => sweeper.sweep(coupling.manoeuvre)?,
        };
        found.push(of_sweep(coupling, &sweep, &mut sweeper)?);
        last = Some((coupling.manoeuvre, sweep));
    }
    Ok(found)
}

fn of_sweep(coupling: Coupling, sweep: &Sweep, sweeper: &mut Sweeper) -> Result<Found, SearchFault> {
    let (place, stand) = (coupling.place(), sweeper.stand);
    let fit = fit(coupling, sweep);
    let sides = fit.straight.map(|exact| exact.map(|exact| side(stand, coupling.follower, exact)));
    let moves = |follower: Option<Follower>, share: f64| {
        follower.map_or(Vec::new(), |f| Movement::of(stand, f, share))
    };
    let lead = Follower::ALL.into_iter().find(|f| f.direct_lead() == Some(coupling.manoeuvre.lead()));
    let follower = |side: usize| sides[side].map_or(0.0, |s: SideFound| s.percent);
    let level_leads = sweep.lines.iter().filter_map(|l| l.level_lead.map(|rudder| (l.speed, l.side, rudder)));
    let left_over = left_over(coupling, sweep, &fit, sweeper);
    let form = left_over.map_or_else(|| form(coupling, sweep), |left| serving(form(coupling, sweep), left));
    Ok(Found {
        coupling,
        form,
        sides,
        apart: sweep.apart.map(|apart| apart[place]),
        along: sweep.along.iter().map(|p| (p.lead, p.needed[place])).collect(),
        by_throttle: throttles(coupling, sweep, stand)?,
        level_leads: level_leads.collect(),
        left_over,
        verdict: verdict(coupling, &sides),
        cause: None,
        lead_moves: [moves(lead, -1.0), moves(lead, 1.0)],
        follower_moves: [0, 1].map(|i| moves(Some(coupling.follower), follower(i))),
        fit,
    })
}

/// [`by_throttle`] for both sides, of what the manoeuvre takes at the first speed.
fn throttles(coupling: Coupling, sweep: &Sweep, stand: &Stand) -> Result<BySetting, SearchFault> {
    let mut rows = BySetting::new();
    for side in [Side::Left, Side::Right] {
        let line = sweep.lines.iter().find(|line| line.side == side);
        let Some(point) = line.and_then(|line| line.points.last()) else { continue };
        for (throttle, share) in by_throttle(stand, coupling, point)? {
            let i = usize::from(side == Side::Right);
            match rows.iter_mut().find(|row| row.0 == throttle) {
                Some(row) => row.1[i] = Some(share),
                None => rows.push((throttle, core::array::from_fn(|k| (k == i).then_some(share)))),
            }
        }
    }
    Ok(rows)
}

fn side(stand: &Stand, follower: Follower, exact: f64) -> SideFound {
    let percent = (exact / STEP).round() * STEP;
    let moves = Movement::of(stand, follower, percent);
    let largest = moves.iter().max_by(|a, b| a.deflection.abs().total_cmp(&b.deflection.abs()));
    SideFound {
        exact,
        percent,
        sure: None,
        first_try: (50.0 * percent + 1e-9 * percent.signum()).trunc() / 100.0,
        deflection: largest.map_or(0.0, |m| m.deflection),
        slop: largest.map_or(0.0, |m| m.slop),
        travel: largest.map_or(0.0, |m| m.travel),
    }
}

/// A straight line serves where it misses what is needed by less than slop would; one line for
/// both sides where they hardly differ.
fn form(coupling: Coupling, sweep: &Sweep) -> Form {
    if coupling.manoeuvre.one_end() {
        return Form::Curve;
    }
    let Some(first) = sweep.lines.first() else { return Form::One };
    let here = Sweep {
        lines: sweep.lines.iter().filter(|l| l.speed == first.speed).cloned().collect(),
        along: Vec::new(),
        apart: None,
    };
    let local = fit(coupling, &here);
    let misses = |form: Form| {
        let one_sided = sweep.along.iter().filter(|_| !coupling.manoeuvre.two_sided());
        let points = here.lines.iter().flat_map(|l| &l.points).chain(one_sided);
        points
            .filter_map(|p| {
                Some((p.needed[coupling.place()] - local.follower(form, coupling.odd(), p)?).abs())
            })
            .fold(0.0, f64::max)
    };
    let (one, per_side) = (misses(Form::One), misses(Form::PerSide));
    match () {
        () if per_side > FLOOR => Form::Curve,
        () if coupling.manoeuvre.two_sided() && one > per_side + SAME => Form::PerSide,
        () => Form::One,
    }
}

/// `form`, or the next that helps where it hardly does: one percentage for all speeds and both sides is the smallest
/// of them, and that may be next to nothing.
fn serving(form: Form, left: LeftOver) -> Form {
    let forms = [(Form::One, left.one), (Form::PerSide, left.per_side), (Form::Curve, left.curve)];
    let mut further = forms.into_iter().skip_while(|(f, _)| *f != form);
    further.find(|(_, leaves)| *leaves <= HARDLY * left.nothing).map_or(form, |(f, _)| f)
}

fn left_over(coupling: Coupling, sweep: &Sweep, fit: &Fit, sweeper: &mut Sweeper) -> Option<LeftOver> {
    if coupling.follower == Follower::Throttle || coupling.manoeuvre == Manoeuvre::RollIn {
        return None;
    }
    let (place, first) = (coupling.place(), sweep.lines.first()?.speed);
    let mut worst = LeftOver { nothing: 0.0, one: 0.0, per_side: 0.0, curve: 0.0 };
    // what the manoeuvre takes stands last on every line
    let taken: Vec<Point> =
        sweep.lines.iter().filter(|l| l.speed == first).filter_map(|l| l.points.last().copied()).collect();
    for p in &taken {
        let turn = Answer::of(sweeper.stand, &p.posed, place, &mut sweeper.bench).turned();
        let of = |follower: f64| ((p.needed[place] - follower) * turn).abs();
        let with = |form| of(fit.follower(form, coupling.odd(), p).unwrap_or(0.0));
        worst.nothing = worst.nothing.max(of(0.0));
        worst.one = worst.one.max(with(Form::One));
        worst.per_side = worst.per_side.max(with(Form::PerSide));
        worst.curve = worst.curve.max(with(Form::Curve));
    }
    (!taken.is_empty()).then_some(worst)
}

/// The verdict over both sides. What the throttle answers has no mechanical cause.
pub(crate) fn verdict(coupling: Coupling, sides: &[Option<SideFound>; 2]) -> Verdict {
    let known: Vec<&SideFound> = sides.iter().flatten().collect();
    if known.is_empty() {
        return Verdict::NoPose;
    }
    let told: Vec<&SideFound> = known.iter().copied().filter(|s| s.is_sure() && !s.is_small()).collect();
    if told.is_empty() {
        let open = known.iter().any(|s| !s.is_sure() && s.may_matter());
        return if open { Verdict::Unsure } else { Verdict::LeaveIt };
    }
    let large = told.iter().any(|s| s.percent.abs() > LARGE);
    if large && coupling.follower != Follower::Throttle { Verdict::CauseFirst } else { Verdict::Blend }
}

/// Whether linkages swallow a blend of `share` of throw that moves its surface by `deflection` where
/// there is so much `slop` \[rad\]. What moves no surface has no slop.
pub(crate) fn swallowed(share: f64, deflection: f64, slop: f64) -> bool {
    share.abs() < FLOOR || deflection.abs() < slop && deflection != 0.0
}

impl SideFound {
    /// Whether the direction is certain; without draws nothing speaks against it.
    #[must_use]
    pub fn is_sure(&self) -> bool {
        self.sure.is_none_or(|s| s.direction >= CERTAIN)
    }

    /// Whether slop swallows it.
    #[must_use]
    pub fn is_small(&self) -> bool {
        swallowed(self.percent, self.deflection, self.slop)
    }

    /// Whether it may be larger than slop within the range told.
    fn may_matter(&self) -> bool {
        let ends = self.sure.map_or(0.0, |s| s.range.0.abs().max(s.range.1.abs()));
        !self.is_small() || ends >= FLOOR
    }
}

impl Found {
    /// The shape of a blend that is advised: nothing on a side whose direction is not certain or that
    /// slop swallows. `None` where no blend is advised.
    #[must_use]
    pub fn advised(&self) -> Option<Shape> {
        if !matches!(self.verdict, Verdict::Blend | Verdict::CauseFirst) {
            return None;
        }
        let all_sure = self.sides.iter().flatten().all(SideFound::is_sure);
        if self.form == Form::Curve && all_sure {
            let point = |&(lead, share): &(f64, f64)| (lead, (share / STEP).round() * STEP);
            return Some(Shape::Curve(self.fit.curve.iter().map(point).collect()));
        }
        let of = |side: Option<SideFound>| {
            side.filter(|s| s.is_sure() && !s.is_small()).map_or(0.0, |s| s.percent)
        };
        let [left, right] = self.sides.map(of);
        Some(Shape::TwoSided { left, right })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_form_that_hardly_helps_gives_way_to_the_next_that_does() {
        let left = |one, per_side, curve| LeftOver { nothing: 10.0, one, per_side, curve };
        assert_eq!(serving(Form::One, left(6.0, 1.0, 0.5)), Form::One, "good enough");
        assert_eq!(serving(Form::One, left(9.0, 1.0, 0.5)), Form::PerSide);
        assert_eq!(serving(Form::One, left(9.0, 8.0, 0.5)), Form::Curve);
        assert_eq!(serving(Form::PerSide, left(1.0, 8.0, 0.5)), Form::Curve, "never back");
        assert_eq!(serving(Form::One, left(9.0, 9.0, 9.0)), Form::One, "nothing helps");
    }
}
