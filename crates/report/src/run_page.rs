//! The page of one run of a comparison: one airframe, one rudder, without and with the blends.

use crate::comparison::{ComparisonPage, FlightTrace, LimitSpan, PathView, Strip};
use crate::signed::Signed;
use crate::silhouette::{Facet, ModelShape, View};
use airframe::{Geometry, outline};
use flight::{Euler, earth_from_body};
use manoeuvre::{Drift, HEADLINE, Scenario, drifts};
use measure::{DEG, Side};
use nalgebra::Vector3;
use study::{Run, side_words};

/// What percent means, under every table and on every page.
pub const PERCENT: &str = "Percent: of the follower's full 100 % throw when the lead stands at its 100 % throw; \
     lead read after rates and expo; trims excluded.";
/// What a computed percentage is worth, and how it is to be tried.
pub const CAUTION: &str = "Computed from measurements, not flown. Try a blend at height first, at half its size, \
     and off near the ground. Before checking directions on the bench make the motor unable to start. \
     Your club's and your country's rules come first.";
/// How much of the flight before the judged leg is shown \[s\].
const BEFORE: f64 = 0.5;

/// The page of `run`, flown to `scenario` with the airframe of `geometry`.
#[must_use]
pub fn run_page(run: &Run, scenario: &Scenario, geometry: &Geometry) -> ComparisonPage {
    let wind = Vector3::from(scenario.wind);
    let [without, with] = [0, 1].map(|i| drifts(&run.flights[i].flown, scenario, run.side, &wind, BEFORE));
    let judged = without.last().map(|d| (0.0, d.time));
    let line = [0.0, judged.map_or(0.0, |_| reach(&without).max(reach(&with)))];
    ComparisonPage {
        title: format!("{}, {}, {}", run.airframe, scenario.name, side_words(run.side)),
        sentence: run.sentence.clone(),
        sentence_at_s: Some(HEADLINE),
        notes: notes(run),
        path_title: "The path, seen from above".to_owned(),
        view: path_view(run.side),
        model: shape(geometry),
        without: trace(&without),
        with: trace(&with),
        judged_leg_s: judged,
        judged_line_ned_m: line.iter().map(|&x| [x, 0.0, 0.0]).collect(),
        time_words: "time from letting go".to_owned(),
        drift: vec![
            strip("Nose", nose(run.side), &without, &with, |d| run.side.sign() * d.off.pitch / DEG),
            strip("Bank", angle("rolls out", "rolls under"), &without, &with, |d| {
                run.side.sign() * d.off.roll / DEG
            }),
        ],
        controls: controls(run, &without, &with),
    }
}

/// Small print: what else was seen, what the hand did, what percent means, the cautions.
fn notes(run: &Run) -> Vec<String> {
    let seen = (!run.remarks.is_empty()).then(|| capital(&run.remarks));
    seen.into_iter().chain([capital(&run.held), PERCENT.to_owned(), CAUTION.to_owned()]).collect()
}

/// As a sentence.
fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| format!("{}{}.", first.to_uppercase(), letters.as_str()))
}

fn reach(drifts: &[Drift]) -> f64 {
    drifts.last().map_or(0.0, |d| d.off.along)
}

/// Seen from above, flying to the right of the page. With right rudder the canopy points up on
/// the page, with left rudder down.
fn path_view(side: Side) -> PathView {
    let (up, down) = page_words(side);
    PathView {
        view: View::from_above(0.0),
        origin_ned_m: [0.0; 3],
        along_words: "distance along the pass".to_owned(),
        across: Signed {
            unit: "m".to_owned(),
            decimals: 0,
            up: up.to_owned(),
            down: down.to_owned(),
            least_axis: 4.0,
        },
    }
}

/// What up and down on the page mean for the path, and so for the nose too: one bend has one direction on
/// the whole page.
fn page_words(side: Side) -> (&'static str, &'static str) {
    let (canopy, gear) = ("towards the canopy", "towards the gear");
    if side == Side::Right { (canopy, gear) } else { (gear, canopy) }
}

fn nose(side: Side) -> Signed {
    let (up, down) = page_words(side);
    angle(up, down)
}

fn angle(up: &str, down: &str) -> Signed {
    Signed { unit: "deg".to_owned(), decimals: 0, up: up.to_owned(), down: down.to_owned(), least_axis: 10.0 }
}

fn share(decimals: usize, up: &str, down: &str) -> Signed {
    Signed { unit: "%".to_owned(), decimals, up: up.to_owned(), down: down.to_owned(), least_axis: 5.0 }
}

fn controls(run: &Run, without: &[Drift], with: &[Drift]) -> Vec<Strip> {
    let level = run.level;
    let percent = 100.0;
    let mut rudder =
        strip("Rudder stick", share(0, "right", "left"), without, with, |d| percent * d.sample.sticks[2]);
    rudder.limits = stops(without, with);
    vec![
        rudder,
        strip("Elevator, from trim", share(1, "up", "down"), without, with, |d| {
            percent * (d.sample.commands.elevator - level.elevator)
        }),
        strip("Aileron, from trim", share(1, "right", "left"), without, with, |d| {
            percent * (d.sample.commands.aileron - level.aileron)
        }),
    ]
}

/// When the rudder stick was fully over in either flight.
fn stops(without: &[Drift], with: &[Drift]) -> Vec<LimitSpan> {
    let stopped: Vec<f64> = without
        .iter()
        .zip(with)
        .filter(|(a, b)| a.sample.sticks[2].abs().max(b.sample.sticks[2].abs()) >= 1.0 - 1e-6)
        .map(|(d, _)| d.time)
        .collect();
    match (stopped.first(), stopped.last()) {
        (Some(&from_s), Some(&to_s)) if to_s > from_s => {
            vec![LimitSpan { from_s, to_s, words: "rudder stick fully over".to_owned() }]
        }
        _ => Vec::new(),
    }
}

fn strip(
    title: &str,
    quantity: Signed,
    without: &[Drift],
    with: &[Drift],
    value: impl Fn(&Drift) -> f64,
) -> Strip {
    Strip {
        title: title.to_owned(),
        quantity,
        without: without.iter().map(&value).collect(),
        with: with.iter().map(&value).collect(),
        limits: Vec::new(),
    }
}

fn trace(drifts: &[Drift]) -> FlightTrace {
    // the page lies along the line, whichever way that runs over the ground
    let matrix = |d: &Drift| {
        let line = Euler { roll: 0.0, pitch: 0.0, yaw: -d.track }.attitude();
        let m = earth_from_body(&line) * earth_from_body(&d.sample.state.body.attitude);
        [0, 1, 2].map(|i| [m[(i, 0)], m[(i, 1)], m[(i, 2)]])
    };
    FlightTrace {
        time_s: drifts.iter().map(|d| d.time).collect(),
        position_ned_m: drifts.iter().map(|d| d.position.into()).collect(),
        attitude: drifts.iter().map(matrix).collect(),
    }
}

fn shape(geometry: &Geometry) -> ModelShape {
    let facets = outline(geometry)
        .into_iter()
        .map(|piece| Facet {
            part: piece.part.index(),
            corners: piece.corners.iter().map(|&c| c.into()).collect(),
        })
        .collect();
    ModelShape { facets }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Flying north in a knife-edge: with left rudder the right wing is down, and the gear points to the
    /// west, which is up on the page.
    #[test]
    fn one_bend_has_one_direction_on_the_page() {
        for (side, gear_ned_m) in [(Side::Left, [0.0, -1.0, 0.0]), (Side::Right, [0.0, 1.0, 0.0])] {
            let view = path_view(side);
            let (_, up) = view.view.flat(gear_ned_m);
            assert_eq!(view.across.direction(up), "towards the gear");
            assert_eq!(nose(side).direction(up), "towards the gear");
        }
    }
}
