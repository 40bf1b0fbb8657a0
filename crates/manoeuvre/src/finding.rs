//! What only one kind of manoeuvre shows.

use crate::aim::wrapped;
use crate::referee::{Pass, Seen};
use crate::scenario::Judging;
use crate::tick::Sample;
use crate::verdict::Finding;
use flight::earth_from_body;
use mix::Follower;
use nalgebra::Vector3;

/// Of a judged part of at least two samples.
pub(crate) fn of(pass: &Pass<'_>) -> Finding {
    match pass.judged.as_what {
        Judging::Line => Finding::Line,
        Judging::Roll => roll(pass),
        Judging::Turn => turn(pass),
        Judging::RollIn => roll_in(pass),
        Judging::Tumble => tumble(pass),
        Judging::Flaps => flaps(pass),
        Judging::Descent => descent(pass),
        Judging::Hover => hover(pass),
    }
}

fn furthest(values: impl Iterator<Item = f64>) -> f64 {
    values.fold(0.0, |a: f64, b: f64| if b.abs() > a.abs() { b } else { a })
}

fn rolled(pass: &Pass<'_>) -> f64 {
    let [first, last] = ends(pass);
    last.against.roll - first.against.roll
}

fn ends<'p>(pass: &'p Pass<'_>) -> [&'p Seen; 2] {
    [&pass.seen[0], &pass.seen[pass.seen.len() - 1]]
}

/// Height over where the judging began \[m\].
fn heights<'p>(pass: &'p Pass<'_>) -> impl Iterator<Item = f64> + 'p {
    let start = pass.seen[0].sample.state.body.position.z;
    pass.seen.iter().map(move |seen| start - seen.sample.state.body.position.z)
}

fn roll(pass: &Pass<'_>) -> Finding {
    let level = crate::line::Line { bank: 0.0, climb: 0.0, ..pass.line }.frame();
    Finding::Roll {
        rolled: rolled(pass),
        heading: pass.turned().last().copied().unwrap_or_default(),
        highest: heights(pass).fold(0.0, f64::max),
        lowest: heights(pass).fold(0.0, f64::min),
        aside: furthest(pass.seen.iter().map(|seen| level.tr_mul(&pass.moved(&seen.sample)).y)),
    }
}

fn turn(pass: &Pass<'_>) -> Finding {
    let turned = pass.turned();
    let half = turned.len() / 2;
    let last = turned.len() - 1;
    let seconds = pass.seen[last].sample.time - pass.seen[half].sample.time;
    let rate = (turned[last] - turned[half]) / seconds.max(1e-9);
    let speed = pass.mean_of_second_half(|s| pass.flow(s).norm());
    Finding::Turn {
        turned: turned[last],
        rate,
        radius: speed / rate.abs(),
        sideslip: pass.mean_of_second_half(|s| pass.sideslip(s)),
    }
}

fn roll_in(pass: &Pass<'_>) -> Finding {
    let into = rolled(pass).signum();
    let start = pass.nose(&pass.seen[0].sample);
    let off = pass.seen.iter().map(|seen| -into * wrapped(pass.nose(&seen.sample) - start));
    Finding::RollIn {
        sideslip: furthest(pass.seen.iter().map(|seen| pass.sideslip(&seen.sample))),
        nose_off: off.fold(0.0, f64::max),
        rolled: rolled(pass),
    }
}

fn tumble(pass: &Pass<'_>) -> Finding {
    let wing = |s: &Sample| earth_from_body(&s.state.body.attitude).column(1).into_owned();
    let compass = |s: &Sample| libm::atan2(wing(s).y, wing(s).x);
    let pitched = pass.seen.windows(2).map(|w| {
        let dt = w[1].sample.time - w[0].sample.time;
        0.5 * dt * (w[0].sample.state.body.rate.y + w[1].sample.state.body.rate.y)
    });
    let [first, last] = ends(pass);
    Finding::Tumble {
        pitched: pitched.sum(),
        pitch_rate: furthest(pass.seen.iter().map(|seen| seen.sample.state.body.rate.y)),
        radius: 0.5 * widest(pass),
        heading: wrapped(compass(&last.sample) - compass(&first.sample)),
        tilt: furthest(pass.seen.iter().map(|seen| libm::asin(wing(&seen.sample).z.clamp(-1.0, 1.0)))),
    }
}

/// Largest distance between two places of the way in the air \[m\].
fn widest(pass: &Pass<'_>) -> f64 {
    let places: Vec<Vector3<f64>> = pass.seen.iter().map(|seen| pass.moved(&seen.sample)).collect();
    let mut widest: f64 = 0.0;
    for (i, a) in places.iter().enumerate() {
        widest = places[i + 1..].iter().map(|b| (b - a).norm()).fold(widest, f64::max);
    }
    widest
}

fn flaps(pass: &Pass<'_>) -> Finding {
    let speed = |seen: &Seen| pass.flow(&seen.sample).norm();
    let [first, last] = ends(pass);
    let a_second_before =
        pass.seen.iter().rev().find(|seen| seen.sample.time <= last.sample.time - 1.0).unwrap_or(first);
    Finding::Flaps {
        balloon: heights(pass).fold(0.0, f64::max),
        nose: furthest(pass.seen.iter().map(|seen| seen.against.pitch - first.against.pitch)),
        speed: pass.mean_of_last_second(|s| pass.flow(s).norm()),
        change: speed(last) - speed(a_second_before),
        flare: 1.0 - pass.mean_of_last_second(|s| s.commands.get(Follower::Elevator)),
    }
}

fn descent(pass: &Pass<'_>) -> Finding {
    let down = |s: &Sample| (earth_from_body(&s.state.body.attitude) * pass.flow(s)).z;
    let half = &pass.seen[pass.seen.len() / 2..];
    let sinks = || half.iter().map(|seen| down(&seen.sample));
    let sink = pass.mean_of_second_half(down);
    let speed = pass.mean_of_second_half(|s| pass.flow(s).norm());
    Finding::Descent {
        sink,
        angle: libm::asin((sink / speed.max(1e-6)).clamp(-1.0, 1.0)),
        incidence: pass.mean_of_second_half(|s| libm::atan2(pass.flow(s).z, pass.flow(s).x)),
        unsteady: sinks().fold(f64::NEG_INFINITY, f64::max) - sinks().fold(f64::INFINITY, f64::min),
        flare: 1.0 - pass.mean_of_last_second(|s| s.commands.get(Follower::Elevator)),
    }
}

fn hover(pass: &Pass<'_>) -> Finding {
    let aside = |seen: &Seen| libm::hypot(pass.moved(&seen.sample).x, pass.moved(&seen.sample).y);
    let nose = |seen: &Seen| {
        let up = -earth_from_body(&seen.sample.state.body.attitude)[(2, 0)];
        libm::acos(up.clamp(-1.0, 1.0))
    };
    Finding::Hover {
        rolled: rolled(pass),
        aside: pass.seen.iter().map(aside).fold(0.0, f64::max),
        nose: pass.seen.iter().map(nose).fold(0.0, f64::max),
    }
}
