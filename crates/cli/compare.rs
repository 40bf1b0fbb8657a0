//! `countermix compare`: a manoeuvre without and with the blends.

mod numbers;
mod settings;

use crate::load::{self, Trouble, say};
use crate::progress::Progress;
use aero::Coefficients;
use files::{Existing, Kind, demo_names, write_folder};
use manoeuvre::{Scenario, Sides};
use rayon::prelude::*;
use report::overview::overview_text;
use report::palette::Ground;
use report::run_page::{CAUTION, PERCENT, run_page};
use settings::{Setting, settings};
use std::path::{Path, PathBuf};
use study::{Case, CompareError, Contestant, Run, compare_each, overview, side_of};

#[derive(clap::Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Args {
    /// The manoeuvre: a demo name or a scenario file.
    #[arg(required_unless_present = "all")]
    scenario: Option<String>,
    /// Airframes: demo names or files; without any, those of the scenario.
    airframes: Vec<String>,
    /// Fly all manoeuvres of the demo club with all its airframes, or with those named, and print one table.
    #[arg(long, conflicts_with_all = ["speed", "wind", "blend", "out"])]
    all: bool,
    /// Speeds of entry: slow, cruise, full, "28 m/s", "120 %" of the trimmed speed; all: every one that the
    /// manoeuvre names.
    #[arg(long, value_name = "SPEED", value_delimiter = ',')]
    speed: Vec<String>,
    /// Winds: calm, ahead, behind, left, right, with a speed such as "left 8 m/s"; all: each of them.
    #[arg(long, value_name = "WIND", value_delimiter = ',')]
    wind: Vec<String>,
    /// The blends that are taken out and put in; without it, those of the scenario.
    #[arg(long, value_name = "NAME", value_delimiter = ',')]
    blend: Vec<String>,
    /// The mix for all of them; without it, the demo mix of each airframe's name.
    #[arg(long, value_name = "FILE")]
    mix: Option<String>,
    /// Folder for the plots; without it, a new one under countermix-out.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Print numbers as JSON; plots only with --out.
    #[arg(long)]
    json: bool,
    /// Replace plots that are there already in the folder of --out.
    #[arg(long, requires = "out")]
    force: bool,
}

const EXAMPLES: &str = "\
Examples:
  countermix compare knife-edge-pass
  countermix compare knife-edge-pass foxglove --out plots
  countermix compare knife-edge-pass larkspur sorrel --speed cruise,\"130 %\" --wind calm,left
  countermix compare knife-edge-pass foxglove --blend \"knife-edge roll\"
  countermix compare half-rudder larkspur --speed all --wind all
  countermix compare --all
  countermix compare my-pass.toml my-model.toml --mix my-mix.toml --json";

/// Pixels of a picture per pixel of the page.
const PICTURE_SCALE: f64 = 1.5;
/// Where plots go when no folder is named.
const OUT: &str = "countermix-out";
/// More runs than this are drawn only if a folder is named.
const DRAWN: usize = 16;

/// Everything that was flown, in order.
struct Flown {
    contestants: Vec<Contestant>,
    settings: Vec<Setting>,
    outcomes: Vec<(Case, Result<Run, CompareError>)>,
}

pub(crate) fn run(args: &Args) -> Result<(), Trouble> {
    match &args.scenario {
        Some(scenario) if !args.all => one(args, scenario),
        _ => all(args),
    }
}

/// One manoeuvre, in sentences and plots.
fn one(args: &Args, scenario: &str) -> Result<(), Trouble> {
    let scenario = load::scenario(scenario)?;
    let names = if args.airframes.is_empty() { &scenario.airframes } else { &args.airframes };
    if names.is_empty() {
        return Err(Trouble::new(&format!(
            "scenario \"{}\" names no airframe; name one after it, or add airframes = [\"larkspur\"] to the file",
            scenario.name
        )));
    }
    let contestants = contestants(names, args.mix.as_deref())?;
    known_blends(&args.blend, &contestants)?;
    let settings = settings(&scenario, &args.speed, &args.wind, &args.blend)?;
    let flown = fly(contestants, settings)?;
    let runs = flown.outcomes.iter().filter(|(_, outcome)| outcome.is_ok()).count();
    let fresh = (!args.json && runs <= DRAWN).then(|| fresh_folder(&scenario));
    let plots = match args.out.clone().or(fresh) {
        Some(folder) => write_plots(&flown, &folder, args.force)?,
        None => Vec::new(),
    };
    if args.json {
        say(&format!("{:#}", numbers::all(&flown, &scenario)))
    } else {
        say(&words(&flown, &scenario, &plots))
    }
}

/// The fleet over all manoeuvres, in a table.
fn all(args: &Args) -> Result<(), Trouble> {
    let named: Vec<String> = args.scenario.iter().chain(&args.airframes).cloned().collect();
    let names =
        if named.is_empty() { demo_names(Kind::Airframe).map(str::to_owned).collect() } else { named };
    let contestants = contestants(&names, args.mix.as_deref())?;
    let scenarios = demo_names(Kind::Scenario).map(load::scenario).collect::<Result<Vec<_>, _>>()?;
    let progress = Progress::new("flights");
    let table =
        overview(&contestants, &scenarios, &Coefficients::default(), &|done, all| progress.at(done, all));
    drop(progress);
    if args.json {
        say(&format!("{:#}", numbers::overview(&table)))
    } else {
        say(&format!("{}\n{CAUTION}", overview_text(&table)))
    }
}

fn contestants(names: &[String], mix: Option<&str>) -> Result<Vec<Contestant>, Trouble> {
    let contestant =
        |name: &String| Ok(Contestant { geometry: load::geometry(name)?, mix: load::mix(mix, name)? });
    names.iter().map(contestant).collect()
}

/// A blend that no mix has is a slip of the pen.
fn known_blends(blends: &[String], contestants: &[Contestant]) -> Result<(), Trouble> {
    let known: Vec<&str> = contestants.iter().flat_map(|c| &c.mix.blends).map(|b| b.name.as_str()).collect();
    let Some(stranger) = blends.iter().find(|name| !known.contains(&name.as_str())) else { return Ok(()) };
    let mut sorted = known.clone();
    sorted.sort_unstable();
    sorted.dedup();
    Err(Trouble::new(&format!(
        "--blend {stranger}: no mix here has it; they have {}",
        sorted.iter().map(|name| format!("\"{name}\"")).collect::<Vec<_>>().join(", ")
    )))
}

/// Flies them all. What cannot be flown is told in its place, unless nothing can.
fn fly(contestants: Vec<Contestant>, settings: Vec<Setting>) -> Result<Flown, Trouble> {
    let scenarios: Vec<Scenario> = settings.iter().map(|setting| setting.scenario.clone()).collect();
    let progress = Progress::new("runs");
    let outcomes = compare_each(
        &contestants,
        &scenarios,
        &Coefficients::default(),
        &|done, all| progress.at(done, all),
        |case, run| (case, run),
    );
    drop(progress);
    match outcomes.first() {
        Some((_, Err(error))) if outcomes.iter().all(|(_, outcome)| outcome.is_err()) => {
            Err(error.clone().into())
        }
        _ => Ok(Flown { contestants, settings, outcomes }),
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
    let dashed: String = name.chars().map(plain).collect();
    dashed.split('-').filter(|part| !part.is_empty()).collect::<Vec<_>>().join("-")
}

/// Draws every run; the path of each picture in the order of the outcomes, `None` for what was not
/// flown.
fn write_plots(flown: &Flown, folder: &Path, force: bool) -> Result<Vec<Option<PathBuf>>, Trouble> {
    let pages: Vec<_> = flown
        .outcomes
        .par_iter()
        .filter_map(|(case, outcome)| Some((case, outcome.as_ref().ok()?)))
        .map(|(case, run)| {
            let scenario = &flown.settings[case.scenario].scenario;
            let page = run_page(run, scenario, &flown.contestants[case.contestant].geometry);
            page.files(&plot_stem(case, flown), Ground::Light, PICTURE_SCALE)
        })
        .collect();
    let outputs = pages.into_iter().collect::<Result<Vec<_>, _>>()?.concat();
    let picture = |(case, outcome): &(Case, Result<Run, CompareError>)| {
        outcome.is_ok().then(|| folder.join(format!("{}.png", plot_stem(case, flown))))
    };
    let pictures = flown.outcomes.iter().map(picture).collect();
    let existing = if force { Existing::Replace } else { Existing::Keep };
    write_folder(folder, &outputs, existing)?;
    Ok(pictures)
}

/// Name of a plot without its ending; models of the same name get numbers.
fn plot_stem(case: &Case, flown: &Flown) -> String {
    let name = |c: &Contestant| c.geometry.name.clone();
    let airframe = name(&flown.contestants[case.contestant]);
    let twins = flown.contestants.iter().filter(|c| name(c) == airframe).count();
    let number = if twins > 1 { format!(" {}", case.contestant + 1) } else { String::new() };
    let setting = &flown.settings[case.scenario];
    let side = if setting.scenario.sides == Sides::None {
        String::new()
    } else if side_of(&setting.scenario, case.side).contains("rudder") {
        format!(" {} rudder", case.side.word())
    } else {
        format!(" {}", case.side.word())
    };
    let words = if setting.words.is_empty() { String::new() } else { format!(" {}", setting.words) };
    file_stem(&format!("{airframe}{number}{side}{words}"))
}

fn words(flown: &Flown, scenario: &Scenario, plots: &[Option<PathBuf>]) -> String {
    let mut text = format!("{}: {}\n\n", scenario.name, scenario.about);
    let mut heading = "";
    for (i, (case, outcome)) in flown.outcomes.iter().enumerate() {
        let setting = &flown.settings[case.scenario].words;
        if setting != heading {
            text += &format!("{setting}\n{}\n\n", "─".repeat(setting.chars().count()));
            heading = setting;
        }
        match outcome {
            Ok(run) => {
                text += &format!("{}\n", run.sentence);
                for line in [&run.remarks, &run.held, &run.judged].into_iter().filter(|line| !line.is_empty())
                {
                    text += &format!("  {line}\n");
                }
            }
            Err(error) => {
                let airframe = &flown.contestants[case.contestant].geometry.name;
                text += &format!("{airframe}: not flown: {error}\n");
            }
        }
        if let Some(Some(plot)) = plots.get(i) {
            text += &format!("  plot: {}\n", plot.display());
        }
        text += "\n";
    }
    if plots.is_empty() {
        text += "Too many runs to draw unasked; name a folder with --out for the plots.\n";
    }
    text + PERCENT + "\n" + CAUTION
}
