//! The sticks that moved, and the surfaces that the blends moved.

use super::quantity::{share, strip};
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

/// When the stick was fully over in either flight.
fn stops(stick: Stick, without: &[Drift], with: &[Drift]) -> Vec<LimitSpan> {
    let over = |d: &Drift| d.sample.sticks[stick as usize].abs() >= 1.0 - 1e-6;
    let stopped = without.iter().chain(with).filter(|d| over(d)).map(|d| d.time);
    let (from_s, to_s) = stopped.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), t| (a.min(t), b.max(t)));
    if to_s > from_s {
        vec![LimitSpan { from_s, to_s, words: format!("{} stick fully over", stick.word()) }]
    } else {
        Vec::new()
    }
}
