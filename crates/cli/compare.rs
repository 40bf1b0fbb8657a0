//! `countermix compare`: a manoeuvre without and with the blends.

use crate::load::{self, Trouble, say};
use aero::Coefficients;
use files::{Existing, write_folder};
use manoeuvre::Scenario;
use measure::DEG;
use rayon::prelude::*;
use report::palette::Ground;
use report::run_page::{CAUTION, PERCENT, run_page};
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use study::{Comparison, Contestant, Flight, Run, compare};

#[derive(clap::Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Args {
    /// The manoeuvre: a demo name or a scenario file.
    scenario: String,
    /// Airframes: demo names or files; without any, those of the scenario.
    airframes: Vec<String>,
    /// The mix for all of them; without it, the demo mix of each airframe's name.
    #[arg(long, value_name = "FILE")]
    mix: Option<String>,
    /// Folder for the plots; without it, a new one under countermix-out.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Print numbers as JSON; plots only with --out.
    #[arg(long)]
    json: bool,
    /// Replace plots that are there already.
    #[arg(long)]
    force: bool,
}

const EXAMPLES: &str = "\
Examples:
  countermix compare knife-edge-pass
  countermix compare knife-edge-pass foxglove --out plots
  countermix compare my-pass.toml my-model.toml --mix my-mix.toml --json";

/// Pixels of a picture per pixel of the page.
const PICTURE_SCALE: f64 = 1.5;
/// Where plots go when no folder is named.
const OUT: &str = "countermix-out";

pub(crate) fn run(args: &Args) -> Result<(), Trouble> {
    let scenario = load::scenario(&args.scenario)?;
    let names = if args.airframes.is_empty() { &scenario.airframes } else { &args.airframes };
    if names.is_empty() {
        return Err(Trouble::new(&format!(
            "scenario \"{}\" names no airframe; name one after it, or add airframes = [\"larkspur\"] to the file",
            scenario.name
        )));
    }
    let contestants = names
        .iter()
        .map(|name| {
            Ok(Contestant { geometry: load::geometry(name)?, mix: load::mix(args.mix.as_deref(), name)? })
        })
        .collect::<Result<Vec<_>, Trouble>>()?;
    let comparison = compare(&contestants, &scenario, &Coefficients::default())?;
    let folder = args.out.clone().or_else(|| (!args.json).then(|| fresh_folder(&scenario)));
    let plots = match &folder {
        Some(folder) => write_plots(&comparison, &scenario, &contestants, folder, args.force)?,
        None => Vec::new(),
    };
    if args.json {
        say(&format!("{:#}", to_json(&comparison, &scenario)))
    } else {
        say(&words(&comparison, &scenario, &plots))
    }
}

/// A folder that is not there yet, so that nothing is replaced.
fn fresh_folder(scenario: &Scenario) -> PathBuf {
    let stem = file_stem(&scenario.name);
    let numbered = |n: u32| Path::new(OUT).join(if n == 1 { stem.clone() } else { format!("{stem}-{n}") });
    (1..).map(numbered).find(|path| !path.exists()).unwrap_or_else(|| numbered(1))
}

fn file_stem(name: &str) -> String {
    let plain = |c: char| if c.is_alphanumeric() { c.to_ascii_lowercase() } else { '-' };
    name.chars().map(plain).collect()
}

/// Draws every run; returns the path of each picture, in the order of the runs.
fn write_plots(
    comparison: &Comparison,
    scenario: &Scenario,
    contestants: &[Contestant],
    folder: &Path,
    force: bool,
) -> Result<Vec<PathBuf>, Trouble> {
    let pages: Vec<_> = comparison
        .runs
        .par_iter()
        .map(|run| {
            let page = run_page(run, scenario, &contestants[run.contestant].geometry);
            page.files(&plot_stem(run, contestants), Ground::Light, PICTURE_SCALE)
        })
        .collect();
    let outputs = pages.into_iter().collect::<Result<Vec<_>, _>>()?.concat();
    let pictures = outputs.iter().filter(|(name, _)| name.ends_with(".png"));
    let pictures = pictures.map(|(name, _)| folder.join(name)).collect();
    let existing = if force { Existing::Replace } else { Existing::Keep };
    write_folder(folder, &outputs, existing)?;
    Ok(pictures)
}

/// Name of a plot without its ending; models of the same name get numbers.
fn plot_stem(run: &Run, contestants: &[Contestant]) -> String {
    let twins = contestants.iter().filter(|c| c.geometry.name == run.airframe).count();
    let number = if twins > 1 { format!(" {}", run.contestant + 1) } else { String::new() };
    file_stem(&format!("{}{number} {} rudder", run.airframe, run.side.word()))
}

fn words(comparison: &Comparison, scenario: &Scenario, plots: &[PathBuf]) -> String {
    let mut text = format!("{}: {}\n\n", scenario.name, scenario.about);
    for (i, run) in comparison.runs.iter().enumerate() {
        text += &format!("{}\n", run.sentence);
        for line in [&run.remarks, &run.held].into_iter().filter(|line| !line.is_empty()) {
            text += &format!("  {line}\n");
        }
        if let Some(plot) = plots.get(i) {
            text += &format!("  plot: {}\n", plot.display());
        }
        text += "\n";
    }
    text + PERCENT + "\n" + CAUTION
}

fn to_json(comparison: &Comparison, scenario: &Scenario) -> Value {
    json!({
        "scenario": scenario.name,
        "units": {
            "heading_2s_deg": "change of the nose in the first 2 s, + towards the canopy",
            "bank_2s_deg": "change of bank in the first 2 s, + rolls out (towards upright)",
            "path_2s_m": "distance from the line after 2 s, + towards the canopy",
            "drift_m": "largest distance from the line over the judged leg, + towards the canopy",
            "held_elevator": "percent of full stick the pilot's hand needed on the line, + up",
            "held_aileron": "percent of full stick the pilot's hand needed on the line, + right",
            "marks_exact": "of 10, one less per 15 deg of path and of bank, unrounded",
            "rudder_percent": "percent of full stick when the judged leg began, + right",
        },
        "percent": PERCENT,
        "caution": CAUTION,
        "runs": comparison.runs.iter().map(run_json).collect::<Vec<_>>(),
    })
}

fn run_json(run: &Run) -> Value {
    json!({
        "airframe": run.airframe,
        "side": run.side.word(),
        "blends": run.blends,
        "sentence": run.sentence,
        "remarks": run.remarks,
        "held": run.held,
        "needed_elevator_percent": 100.0 * run.needed.elevator,
        "needed_aileron_percent": 100.0 * run.needed.aileron,
        "flights": run.flights.iter().map(flight_json).collect::<Vec<_>>(),
    })
}

fn flight_json(flight: &Flight) -> Value {
    let v = &flight.verdict;
    json!({
        "label": flight.label.word(),
        "heading_2s_deg": v.headline.pitch / DEG,
        "bank_2s_deg": v.rolls_out() / DEG,
        "path_2s_m": v.headline.canopy,
        "drift_m": v.worst.canopy,
        "height_m": v.height,
        "held_complete": flight.corrected.complete,
        "held_limits": flight.corrected.limits.iter().map(|(l, _)| format!("{} at its stop", l.word())).collect::<Vec<_>>(),
        "held_elevator": 100.0 * flight.held_elevator,
        "held_aileron": 100.0 * flight.held_aileron,
        "rudder_percent": 100.0 * v.sticks[measure::Stick::Rudder as usize],
        "speed_m_s": v.speeds.start,
        "marks": v.marks(),
        "marks_exact": v.marks_exact(),
        "settled": v.settled(),
        "limits": v.limits.iter().map(|(l, _)| format!("{} at its stop", l.word()))
            .chain(v.full_sticks.iter().map(|(s, _)| format!("{} stick fully over", s.word())))
            .collect::<Vec<_>>(),
        "complete": v.complete,
    })
}
