//! The simplest blend that serves: one percentage, one per side, or a curve.

use crate::find::coupling::{Coupling, Manoeuvre};
use crate::find::sweep::{Line, Point, Sweep};
use measure::Side;

/// How a blend may depend on its lead. Shares of the follower's full throw at full lead.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Form {
    /// One percentage for both sides.
    One,
    /// One percentage per side.
    PerSide,
    /// Straight lines through a few points.
    Curve,
}

/// What was fitted.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// Best straight percentage per side, shares: at full left lead and full right lead. Of a
    /// one-sided lead only the right.
    pub straight: [Option<f64>; 2],
    /// Best single percentage: that of full right lead; full left lead is its mirror image.
    pub one: Option<f64>,
    /// Points of the curve: lead and follower, shares.
    pub curve: Vec<(f64, f64)>,
    /// The percentage at each speed: speed [m/s], left, right.
    pub by_speed: Vec<(f64, [Option<f64>; 2])>,
}

/// An over-correction counts so many times an under-correction of the same size: a pilot who has
/// to add a little of what is known has it easier than one who has to hold against the blend
/// (judgement, no source).
const OVER: f64 = 2.0;
/// A curve may miss so much, share: a quarter of what slop swallows. It has no more points than this, and
/// none closer together than that.
const NEAR: f64 = 0.005;
const MOST_POINTS: usize = 9;
const CLOSE: f64 = 0.04;

/// Fits what `coupling` needs along `sweep`.
pub(crate) fn fit(coupling: Coupling, sweep: &Sweep) -> Fit {
    let place = coupling.place();
    let of = |side: Side| {
        let lines = sweep.lines.iter().filter(move |l| l.side == side);
        lines.filter_map(|l| slope(l, place)).collect::<Vec<f64>>()
    };
    let (left, right) = (of(Side::Left), of(Side::Right));
    let mirrored = if coupling.odd() { -1.0 } else { 1.0 };
    // a slope counts follower per signed lead; a percentage counts it at full lead of that side
    let at_full_left: Vec<f64> = left.iter().map(|s| -s).collect();
    let both: Vec<f64> = right.iter().copied().chain(at_full_left.iter().map(|p| mirrored * p)).collect();
    Fit {
        straight: [under(&at_full_left), under(&right)],
        one: under(&both),
        curve: curve(coupling, sweep),
        by_speed: by_speed(sweep, place),
    }
}

/// Follower per lead, straight through the lead's zero (least squares).
fn slope(line: &Line, place: usize) -> Option<f64> {
    let (mut product, mut square) = (0.0, 0.0);
    for p in &line.points {
        product += p.travel * p.needed[place];
        square += p.travel * p.travel;
    }
    (square > 0.0).then(|| product / square)
}

/// One percentage for many needs, such that the worst over-correction, counted [`OVER`] times,
/// equals the worst under-correction. Never beyond zero.
fn under(needs: &[f64]) -> Option<f64> {
    let least = needs.iter().copied().fold(f64::INFINITY, f64::min);
    let most = needs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if needs.is_empty() {
        return None;
    }
    let up = least + most >= 0.0;
    let (small, large) = if up { (least, most) } else { (most, least) };
    let value = (OVER * small + large) / (OVER + 1.0);
    Some(if up { value.max(0.0) } else { value.min(0.0) })
}

fn by_speed(sweep: &Sweep, place: usize) -> Vec<(f64, [Option<f64>; 2])> {
    let mut rows: Vec<(f64, [Option<f64>; 2])> = Vec::new();
    for line in &sweep.lines {
        let row = match rows.iter().position(|(speed, _)| *speed == line.speed) {
            Some(known) => known,
            None => {
                rows.push((line.speed, [None; 2]));
                rows.len() - 1
            }
        };
        let value = slope(line, place).map(|s| s * line.side.sign());
        rows[row].1[usize::from(line.side == Side::Right)] = value;
    }
    rows.sort_by(|a, b| a.0.total_cmp(&b.0));
    rows
}

/// Through few points: both ends, zero where the lead has its zero, and wherever straight lines would miss what
/// is needed by more than [`NEAR`]. Where only one end of the throttle matters, flat over the rest of it.
fn curve(coupling: Coupling, sweep: &Sweep) -> Vec<(f64, f64)> {
    let place = coupling.place();
    let follower = |p: &Point| (p.lead, p.needed[place]);
    if coupling.manoeuvre.one_end() {
        let end = sweep.along.first().map(follower);
        return match end {
            Some((lead, needed)) if lead > 0.5 => vec![(0.0, 0.0), (0.75, 0.0), (lead, needed)],
            Some((lead, needed)) => vec![(lead, needed), (0.25, 0.0), (1.0, 0.0)],
            None => Vec::new(),
        };
    }
    // what the manoeuvre takes belongs to it
    let first = sweep.lines.first().map(|line| line.speed);
    let taken: Vec<&Point> =
        sweep.lines.iter().filter(|l| Some(l.speed) == first).filter_map(|l| l.points.last()).collect();
    let relieved = |p: &Point| (p.lead, p.needed[place] - early_relief(coupling, sweep, &taken, p.lead));
    let mut needs: Vec<(f64, f64)> = Vec::new();
    for need in taken.iter().copied().chain(&sweep.along).map(relieved) {
        if needs.iter().all(|known| (known.0 - need.0).abs() >= CLOSE) {
            needs.push(need);
        }
    }
    if needs.iter().all(|(lead, _)| *lead != 0.0) && !needs.is_empty() {
        needs.push((0.0, 0.0));
    }
    needs.sort_by(|a, b| a.0.total_cmp(&b.0));
    few(&needs)
}

/// What of the relief does not belong into a curve at `lead`. A knife edge needs its relief whatever the rudder, but a
/// blend from the rudder acts with the wings level too: what is there of it in the end comes in step by step with
/// the rudder, instead of all of it at the first touch.
fn early_relief(coupling: Coupling, sweep: &Sweep, taken: &[&Point], lead: f64) -> f64 {
    let (Manoeuvre::KnifeEdge, Some(relief)) = (coupling.manoeuvre, sweep.apart) else { return 0.0 };
    let end = taken.iter().find(|p| p.lead * lead > 0.0).map_or(0.0, |p| p.lead.abs());
    if lead.abs() < end { relief[coupling.place()] * (1.0 - lead.abs() / end) } else { 0.0 }
}

/// Points of `needs` such that straight lines through them miss none by more than [`NEAR`], the worst
/// added first.
fn few(needs: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let ends = [needs.first(), needs.iter().find(|n| n.0 == 0.0), needs.last()];
    let mut points: Vec<(f64, f64)> = ends.into_iter().flatten().copied().collect();
    points.dedup();
    while points.len() < MOST_POINTS {
        let shape = mix::Shape::Curve(points.clone());
        let miss = |need: &(f64, f64)| (shape.follower(need.0) - need.1).abs();
        let Some(worst) = needs.iter().max_by(|a, b| miss(a).total_cmp(&miss(b))) else { break };
        if miss(worst) <= NEAR {
            break;
        }
        points.push(*worst);
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
    }
    points
}

impl Fit {
    /// Follower at a point in the given form, share.
    pub(crate) fn follower(&self, form: Form, odd: bool, point: &Point) -> Option<f64> {
        let left = point.travel < 0.0;
        let amount = point.travel.abs();
        match form {
            Form::One => {
                let mirrored = if odd { -1.0 } else { 1.0 };
                self.one.map(|one| amount * if left { mirrored * one } else { one })
            }
            Form::PerSide => {
                let left = left && self.straight[0].is_some();
                self.straight[usize::from(!left)].map(|p| p * if left { amount } else { point.travel })
            }
            Form::Curve => {
                (!self.curve.is_empty()).then(|| mix::Shape::Curve(self.curve.clone()).follower(point.lead))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_curve_has_as_few_points_as_serve() {
        let bent = |x: f64| (x, 0.2 * x.abs().min(0.5));
        let all: Vec<(f64, f64)> = [-1.0, -0.75, -0.5, -0.25, 0.0, 0.25, 0.5, 0.75, 1.0].map(bent).into();
        assert_eq!(few(&all), [-1.0, -0.5, 0.0, 0.5, 1.0].map(bent));
        let straight: Vec<(f64, f64)> = [0.0, 0.25, 0.5, 1.0].map(|x| (x, 0.1 * x)).into();
        assert_eq!(few(&straight), [(0.0, 0.0), (1.0, 0.1)]);
        assert_eq!(few(&[]), []);
    }

    #[test]
    fn a_spread_is_rather_corrected_too_little_than_too_much() {
        assert_eq!(under(&[3.0, 6.0]), Some(4.0), "1 over at one end, 2 under at the other");
        assert_eq!(under(&[-3.0, -6.0]), Some(-4.0));
        assert_eq!(under(&[5.0, 5.0]), Some(5.0));
        assert_eq!(under(&[-4.0, 6.0]), Some(0.0), "never against what most speeds want");
        assert_eq!(under(&[]), None);
    }
}
