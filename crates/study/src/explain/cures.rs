//! What could be changed on the model instead of mixing: one change at a time, and what it does to
//! this coupling and to all the others.

use crate::find::{Coupling, Stand, Sweeper};
use aero::Coefficients;
use airframe::{Airframe, Geometry, Panel, Part};
use measure::{DEG, Side};
use rayon::prelude::*;

/// A change on the model, and what it does.
#[derive(Debug, Clone, PartialEq)]
pub struct Cure {
    /// `1 deg more right thrust`.
    pub words: String,
    /// How much work it is.
    pub effort: Effort,
    /// What is left of the need, share of the follower's throw at full lead, signed.
    pub after: f64,
    /// How much smaller the need becomes, share; negative would be larger.
    pub takes: f64,
    /// What it does to other couplings, the largest first.
    pub disturbs: Vec<SideEffect>,
    /// Static margin before and after, share of the mean chord, where it moves.
    pub margin: Option<(f64, f64)>,
}

/// How much work a change is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Effort {
    /// One evening at the bench.
    Evening,
    /// Another airframe.
    NextModel,
}

/// Another coupling that a change moves.
#[derive(Debug, Clone, PartialEq)]
pub struct SideEffect {
    /// Which.
    pub coupling: Coupling,
    /// Its need before and after, shares at full lead; of two sides the one that moves more.
    pub before: f64,
    /// See above.
    pub after: f64,
}

/// Changes below this are not worth telling, share.
const WORTH: f64 = 0.003;
/// Side effects below this are swallowed by slop, share.
const NOTICED: f64 = 0.01;

/// One thing that can be done in two directions.
struct Change {
    effort: Effort,
    /// Words for the step and for its opposite.
    words: [&'static str; 2],
    act: fn(&mut Airframe, f64),
}

/// Steps are what an evening's work is measured in (judgement).
fn changes() -> Vec<Change> {
    use Effort::{Evening, NextModel};
    let change = |effort, words, act| Change { effort, words, act };
    vec![
        change(
            Evening,
            ["centre of mass 10 mm further aft", "centre of mass 10 mm further forward"],
            |a, d| {
                a.mass.station.value += 0.010 * d;
            },
        ),
        change(Evening, ["1 deg more right thrust", "1 deg less right thrust"], |a, d| {
            a.propulsor.right.value += d * DEG;
        }),
        change(Evening, ["1 deg more down thrust", "1 deg less down thrust"], |a, d| {
            a.propulsor.down.value += d * DEG;
        }),
        change(Evening, ["0.5 deg more wing incidence", "0.5 deg less wing incidence"], |a, d| {
            each(a, Part::is_wing, |p| turn(p, 0.5 * d * DEG));
        }),
        change(Evening, ["0.5 deg more tailplane incidence", "0.5 deg less tailplane incidence"], |a, d| {
            each(a, |p| p == Part::Tailplane, |p| turn(p, 0.5 * d * DEG));
        }),
        change(
            Evening,
            ["ailerons 10 % more up and 10 % less down", "ailerons 10 % less up and 10 % more down"],
            |a, d| {
                for hinge in a.panels.iter_mut().flat_map(|p| &mut p.hinges).filter(|h| h.name == "aileron") {
                    hinge.throw_up.value *= 1.0 + 0.1 * d;
                    hinge.throw_down.value *= 1.0 - 0.1 * d;
                }
            },
        ),
        change(NextModel, ["wing 10 mm higher", "wing 10 mm lower"], |a, d| {
            each(a, Part::is_wing, |p| lift(p, 0.010 * d));
        }),
        change(NextModel, ["1 deg more dihedral", "1 deg less dihedral"], |a, d| {
            each(a, Part::is_wing, |p| {
                p.tip.waterline.value += (p.tip.buttline.value - p.root.buttline.value) * d * DEG;
            });
        }),
        change(NextModel, ["tailplane 10 mm higher", "tailplane 10 mm lower"], |a, d| {
            each(a, |p| p == Part::Tailplane, |p| lift(p, 0.010 * d));
        }),
        change(NextModel, ["fin a tenth taller", "fin a tenth lower"], |a, d| {
            each(
                a,
                |p| p == Part::Fin,
                |p| {
                    p.tip.waterline.value += 0.1 * d * (p.tip.waterline.value - p.root.waterline.value);
                },
            );
        }),
        change(NextModel, ["tailplane span a tenth larger", "tailplane span a tenth smaller"], |a, d| {
            each(a, |p| p == Part::Tailplane, |p| p.tip.buttline.value *= 1.0 + 0.1 * d);
        }),
    ]
}

fn each(airframe: &mut Airframe, is: impl Fn(Part) -> bool, act: impl Fn(&mut Panel)) {
    airframe.panels.iter_mut().filter(|p| is(p.part)).for_each(act);
}

fn turn(panel: &mut Panel, by: f64) {
    panel.root.incidence.value += by;
    panel.tip.incidence.value += by;
}

fn lift(panel: &mut Panel, by: f64) {
    panel.root.waterline.value += by;
    panel.tip.waterline.value += by;
}

/// What an airframe needs everywhere.
struct Needs {
    all: Vec<(Coupling, [Option<f64>; 2])>,
    margin: f64,
}

impl Needs {
    /// `None` where it cannot be flown at all.
    fn of(airframe: &Airframe, coefficients: &Coefficients) -> Option<Self> {
        let geometry = Geometry::of(airframe).ok()?;
        let stand = Stand::new(&geometry, coefficients).ok()?;
        let mut sweeper = Sweeper::lines(&stand, &[]);
        let mut all = Vec::new();
        let shown = Coupling::of(&geometry);
        for group in shown.chunk_by(|a, b| a.manoeuvre == b.manoeuvre) {
            let sweep = sweeper.sweep(group[0].manoeuvre).ok()?;
            for &coupling in group {
                let need = |side: Side| {
                    let point = sweep.lines.iter().find(|l| l.side == side)?.points.last()?;
                    Some(point.needed[coupling.place()] / point.travel.abs())
                };
                all.push((coupling, [need(Side::Left), need(Side::Right)]));
            }
        }
        let behind = aero::margin(&stand.aircraft.model, geometry.trimmed_speed).behind;
        Some(Self { all, margin: behind / geometry.wing().mean_chord() })
    }

    fn need(&self, coupling: Coupling, side: Side) -> Option<f64> {
        self.all.iter().find(|(c, _)| *c == coupling)?.1[usize::from(side == Side::Right)]
    }
}

/// All changes that make the need smaller.
pub(super) fn cures(
    airframe: &Airframe,
    coupling: Coupling,
    side: Side,
    coefficients: &Coefficients,
) -> Vec<Cure> {
    let Some(before) = Needs::of(airframe, coefficients) else { return Vec::new() };
    let Some(need) = before.need(coupling, side) else { return Vec::new() };
    let tries: Vec<(usize, usize)> = (0..changes().len()).flat_map(|i| [(i, 0), (i, 1)]).collect();
    let mut cures: Vec<Cure> = tries
        .par_iter()
        .map(|&(i, way)| {
            let change = changes().swap_remove(i);
            let mut changed = airframe.clone();
            (change.act)(&mut changed, if way == 0 { 1.0 } else { -1.0 });
            let after = Needs::of(&changed, coefficients)?;
            let left = after.need(coupling, side)?;
            let takes = need.abs() - left.abs();
            let moved = (after.margin - before.margin).abs() > 0.002;
            (takes > WORTH).then(|| Cure {
                words: change.words[way].to_owned(),
                effort: change.effort,
                after: left,
                takes,
                disturbs: side_effects(coupling, &before, &after),
                margin: moved.then_some((before.margin, after.margin)),
            })
        })
        .collect::<Vec<_>>()
        .into_iter()
        .flatten()
        .collect();
    cures.sort_by(|a, b| {
        (a.effort, -a.takes).partial_cmp(&(b.effort, -b.takes)).unwrap_or(core::cmp::Ordering::Equal)
    });
    cures
}

fn side_effects(own: Coupling, before: &Needs, after: &Needs) -> Vec<SideEffect> {
    let mut effects: Vec<SideEffect> = Vec::new();
    for ((coupling, old), (_, new)) in before.all.iter().zip(&after.all) {
        let moved = old.iter().zip(new).filter_map(|(old, new)| Some((((*old)?), (*new)?)));
        let most = moved.max_by(|a, b| (a.1 - a.0).abs().total_cmp(&(b.1 - b.0).abs()));
        if let Some((before, after)) = most.filter(|(a, b)| *coupling != own && (b - a).abs() >= NOTICED) {
            effects.push(SideEffect { coupling: *coupling, before, after });
        }
    }
    effects.sort_by(|a, b| (b.after - b.before).abs().total_cmp(&(a.after - a.before).abs()));
    effects
}
