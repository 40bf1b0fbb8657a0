//! The page of one run of a comparison: one airframe to one side, without and with the blends. What is
//! judged decides from where the path is seen and what is drawn against time.

mod controls;
mod drift;
mod quantity;
mod views;

use crate::comparison::{ComparisonPage, FlightTrace};
use crate::silhouette::{Facet, ModelShape};
use airframe::{Geometry, outline};
use flight::{Euler, earth_from_body};
use manoeuvre::{Drift, Judging, Scenario, drifts};
use nalgebra::Vector3;
use study::{Run, side_of};

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
    let end = [&without, &with].into_iter().filter_map(|d| d.last()).map(|d| d.time).fold(0.0, f64::max);
    let verdict = &run.flights[0].verdict;
    let side = side_of(scenario, run.side);
    let title = [run.airframe.as_str(), &scenario.name, &side];
    ComparisonPage {
        title: title.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", "),
        sentence: run.sentence.clone(),
        sentence_at_s: (verdict.judged.as_what == Judging::Line).then_some(verdict.headline_at),
        notes: notes(run),
        path_title: views::path_title(verdict),
        view: views::path_view(verdict),
        station: views::station(&without, &with, &wind),
        alone: run.blends.is_empty(),
        model: shape(geometry),
        judged_leg_s: (end > 0.0).then_some((0.0, end)),
        judged_line_ned_m: views::judged_line(verdict, &wind, &without, &with),
        time_words: "time from where the judging began".to_owned(),
        drift: drift::strips(verdict, &wind, &without, &with),
        controls: controls::strips(run, &without, &with),
        without: trace(&without),
        with: trace(&with),
    }
}

/// Small print: what else was seen, what the hand did, what percent means, the cautions.
fn notes(run: &Run) -> Vec<String> {
    let said = [&run.remarks, &run.held, &run.judged].into_iter().filter(|words| !words.is_empty());
    said.map(|words| capital(words)).chain([PERCENT.to_owned(), CAUTION.to_owned()]).collect()
}

/// As a sentence.
fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| format!("{}{}.", first.to_uppercase(), letters.as_str()))
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

pub(crate) fn shape(geometry: &Geometry) -> ModelShape {
    let facets = outline(geometry)
        .into_iter()
        .map(|piece| Facet {
            part: piece.part.index(),
            corners: piece.corners.iter().map(|&c| c.into()).collect(),
        })
        .collect();
    ModelShape { facets }
}
