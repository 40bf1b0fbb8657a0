//! The sticks that moved, and the surfaces that the blends moved.

use super::quantity::{share, strip};
use crate::chart::Edge;
use crate::comparison::{LimitSpan, Strip};
use manoeuvre::Drift;
use measure::Stick;
use mix::Follower;
use study::Run;

/// A stick that moves less than this is not shown, nor is a surface on which both flights agree to this.
const STICK: f64 = 0.02;
const SURFACE: f64 = 0.002;

pub(super) fn strips(run: &Run, without: &[Drift], with: &[Drift]) -> Vec<Strip> {
    let judged = [without, with].map(|drifts| &drifts[drifts.partition_point(|d| d.time <= 0.0)..]);
    let moved = |stick: &Stick| judged.iter().any(|drifts| moves(*stick, drifts));
    let sticks = Stick::ALL.into_iter().rev().filter(moved);
    let mut strips: Vec<Strip> = sticks.map(|stick| stick_strip(stick, without, with)).collect();
    let levers = [Follower::Flap, Follower::Door].into_iter().filter(|&f| {
        let of = |d: &Drift| d.sample.commands.get(f);
        without.iter().any(|d| (of(d) - without.first().map_or(0.0, of)).abs() > STICK)
    });
    strips.extend(levers.map(|follower| surface_strip(run, follower, without, with)));
    let blended = Follower::ALL.into_iter().filter(|&follower| differs(follower, judged[0], judged[1]));
    strips.extend(blended.map(|follower| surface_strip(run, follower, without, with)));
    if strips.is_empty() {
        strips.push(surface_strip(run, Follower::Elevator, without, with));
    }
    strips
}

/// Away from its centre, or a throttle that is moved.
fn moves(stick: Stick, drifts: &[Drift]) -> bool {
    let at = |d: &Drift| d.sample.sticks[stick as usize];
    let rest = if stick == Stick::Throttle { drifts.first().map_or(0.0, at) } else { 0.0 };
    drifts.iter().any(|d| (at(d) - rest).abs() > STICK)
}

fn differs(follower: Follower, without: &[Drift], with: &[Drift]) -> bool {
    let of = |d: &Drift| d.sample.commands.get(follower);
    let own = Stick::ALL.into_iter().find(|stick| stick.word() == follower.word());
    let stick = |d: &Drift| own.map_or(0.0, |stick| d.sample.sticks[stick as usize]);
    // a hand that moved differently is no blend
    let both = without.iter().zip(with).filter(|(a, b)| (stick(a) - stick(b)).abs() < SURFACE);
    both.into_iter().any(|(a, b)| (of(a) - of(b)).abs() > SURFACE)
}

fn stick_strip(stick: Stick, without: &[Drift], with: &[Drift]) -> Strip {
    let i = stick as usize;
    let (up, down) = ways(stick.word());
    let name = format!("{} stick", capital(stick.word()));
    let mut strip = strip(&name, share(0, up, down), without, with, |d| 100.0 * d.sample.sticks[i]);
    if stick != Stick::Throttle {
        strip.limits = stops(stick, without, with);
    }
    strip
}

fn surface_strip(run: &Run, follower: Follower, without: &[Drift], with: &[Drift]) -> Strip {
    let trim = match follower {
        Follower::Aileron => run.level.aileron,
        Follower::Elevator => run.level.elevator,
        Follower::Rudder => run.level.rudder,
        _ => 0.0,
    };
    let (up, down) = ways(follower.word());
    let from = if trim == 0.0 { "" } else { ", from trim" };
    let name = format!("{}{from}", capital(follower.word()));
    strip(&name, share(1, up, down), without, with, |d| 100.0 * (d.sample.commands.get(follower) - trim))
}

/// What the signs of a stick or a follower mean.
fn ways(word: &str) -> (&'static str, &'static str) {
    match word {
        "aileron" | "rudder" => ("right", "left"),
        "elevator" => ("up", "down"),
        "ailerons together" => ("both down", "both up"),
        "flap" => ("down", ""),
        "door" => ("open", ""),
        _ => ("", ""),
    }
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// When the stick was fully over to either side: in both flights, or in one of them.
fn stops(stick: Stick, without: &[Drift], with: &[Drift]) -> Vec<LimitSpan> {
    let (up, down) = ways(stick.word());
    let mut limits = Vec::new();
    for (sign, edge, way) in [(1.0, Edge::Top, up), (-1.0, Edge::Bottom, down)] {
        let over = |drifts: &[Drift]| spans(drifts, |d| sign * d.sample.sticks[stick as usize] >= 1.0 - 1e-6);
        let words = |whose: &str| format!("{} stick fully {way}{whose}", stick.word());
        let [a, b] = [over(without), over(with)];
        let flights =
            if a == b { vec![(a, "")] } else { vec![(a, ", without the blend"), (b, ", with the blend")] };
        for (spans, whose) in flights {
            let limit = |(from_s, to_s)| LimitSpan { from_s, to_s, edge, words: words(whose) };
            limits.extend(spans.into_iter().map(limit));
        }
    }
    limits
}

/// Whiles during which something holds, longer than one sample.
fn spans(drifts: &[Drift], holds: impl Fn(&Drift) -> bool) -> Vec<(f64, f64)> {
    let whiles = drifts.chunk_by(|a, b| holds(a) == holds(b)).filter(|part| holds(&part[0]));
    let ends = whiles.map(|part| (part[0].time, part[part.len() - 1].time));
    ends.filter(|(from, to)| to > from).collect()
}
