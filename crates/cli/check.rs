//! `countermix check`: reads files and says everything that is wrong with them.

use crate::balance;
use crate::load::{Trouble, say};
use aero::Coefficients;
use airframe::{Airframe, Geometry};
use files::{Checked, Kind, Report, Source, demo_names, find, read_airframe, read_mix, read_scenario};
use flight::Surroundings;
use manoeuvre::{Rig, RigError};
use measure::{Fault, Severity};
use mix::Mix;
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use study::Balance;

#[derive(clap::Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Args {
    /// Airframes, mixes, manoeuvres: files, told apart by what they say, or demo names. An airframe
    /// and a mix that are named together are also held against each other.
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// Print the faults as JSON.
    #[arg(long)]
    json: bool,
}

const EXAMPLES: &str = "\
A fault stops the work (exit code 2); a caution does not. Every key: docs/keys.md, or countermix schema.

Examples:
  countermix check my-model.toml
  countermix check my-model.toml my-mix.toml my-pass.toml
  countermix check larkspur my-mix.toml --json";

/// A value and the text it was read from.
struct Read<T> {
    source: Source,
    value: T,
}

/// What came of one file.
struct Outcome {
    name: String,
    kind: Option<Kind>,
    /// Faults and cautions in the file, if it could be read at all.
    report: Option<Report>,
    /// Anything that belongs to no line.
    words: Option<String>,
}

pub(crate) fn run(args: &Args) -> Result<(), Trouble> {
    let (mut airframes, mut mixes) = (Vec::new(), Vec::new());
    let mut outcomes: Vec<Outcome> =
        args.files.iter().flat_map(|path| check(path, &mut airframes, &mut mixes)).collect();
    outcomes.extend(together(&airframes, &mixes));
    let bad = outcomes.iter().filter(|o| o.stops()).count();
    if args.json {
        say(&format!("{:#}", json!({ "files": outcomes.iter().map(Outcome::to_json).collect::<Vec<_>>() })))?;
    } else {
        for outcome in &outcomes {
            say(&outcome.words())?;
        }
    }
    match bad {
        0 => Ok(()),
        1 => Err(Trouble::new("1 check failed")),
        n => Err(Trouble::new(&format!("{n} checks failed"))),
    }
}

/// A file, or all demo files of a name.
fn check(path: &Path, airframes: &mut Vec<Read<Airframe>>, mixes: &mut Vec<Read<Mix>>) -> Vec<Outcome> {
    let demos = demos_of(path);
    if demos.is_empty() {
        return vec![check_file(path, airframes, mixes)];
    }
    demos.into_iter().map(|(kind, source)| check_source(kind, source, airframes, mixes)).collect()
}

/// A file in reach wins over a demo name.
fn demos_of(path: &Path) -> Vec<(Kind, Source)> {
    let Some(name) = path.to_str().filter(|_| !path.exists()) else { return Vec::new() };
    let known =
        Kind::ALL.into_iter().filter(|kind| demo_names(*kind).any(|demo| demo.eq_ignore_ascii_case(name)));
    known.filter_map(|kind| Some((kind, find(kind, name).ok()?))).collect()
}

fn check_file(path: &Path, airframes: &mut Vec<Read<Airframe>>, mixes: &mut Vec<Read<Mix>>) -> Outcome {
    let name = path.display().to_string();
    let source = match Source::open(path) {
        Ok(source) => source,
        Err(fault) => return Outcome { name, kind: None, report: None, words: Some(fault.to_string()) },
    };
    let Some(kind) = Kind::of(&source) else {
        let words = format!(
            "{name}: this is neither an airframe ([[panel]]) nor a mix ([[blend]]) nor a scenario ([[leg]]); \
             start from a demo file or from docs/files.md"
        );
        return Outcome { name, kind: None, report: None, words: Some(words) };
    };
    check_source(kind, source, airframes, mixes)
}

fn check_source(
    kind: Kind,
    source: Source,
    airframes: &mut Vec<Read<Airframe>>,
    mixes: &mut Vec<Read<Mix>>,
) -> Outcome {
    let name = source.name().to_owned();
    let report = match kind {
        Kind::Airframe => {
            let report = keep(read_airframe(source.clone()), &source, airframes);
            let balance =
                airframes.last().filter(|_| !report.stops()).and_then(|read| balance_of(&read.value));
            match balance.and_then(|b| balance::caution(&b, source.locate("mass.centre.station"))) {
                Some(caution) => report.with(caution),
                None => report,
            }
        }
        Kind::Mix => keep(read_mix(source.clone()), &source, mixes),
        Kind::Scenario => missing_stops(keep(read_scenario(source.clone()), &source, &mut Vec::new())),
    };
    Outcome { name, kind: Some(kind), report: Some(report), words: None }
}

/// An airframe that is not there is only asked about while others may be named beside the scenario;
/// checked by itself, the scenario cannot be flown.
fn missing_stops(report: Report) -> Report {
    let stopping = |fault: &Fault| {
        let is_airframe = fault.field.starts_with("airframes");
        Fault { severity: if is_airframe { Severity::Error } else { fault.severity }, ..fault.clone() }
    };
    Report::new(report.source().clone(), report.faults().iter().map(stopping).collect())
}

fn balance_of(airframe: &Airframe) -> Option<Balance> {
    Geometry::of(airframe).ok().map(|geometry| Balance::of(&geometry, &Coefficients::default()))
}

/// Keeps what could be read, and returns what was said about it.
fn keep<T>(read: Result<Checked<T>, Report>, source: &Source, kept: &mut Vec<Read<T>>) -> Report {
    match read {
        Ok(checked) => {
            kept.push(Read { source: source.clone(), value: checked.value });
            checked.cautions
        }
        Err(report) => report,
    }
}

/// Every airframe with every mix: does each blend move something, does it fly level?
fn together(airframes: &[Read<Airframe>], mixes: &[Read<Mix>]) -> Vec<Outcome> {
    let pairs = airframes.iter().flat_map(|airframe| mixes.iter().map(move |mix| (airframe, mix)));
    pairs
        .map(|(airframe, mix)| {
            let name = format!("{} with {}", airframe.source.name(), mix.source.name());
            match misfit(airframe, mix) {
                None => Outcome { name, kind: None, report: None, words: None },
                Some(Misfit::InMix(report)) => {
                    Outcome { name, kind: None, report: Some(report), words: None }
                }
                Some(Misfit::Words(words)) => {
                    let words = Some(format!("{name}: {words}"));
                    Outcome { name, kind: None, report: None, words }
                }
            }
        })
        .collect()
}

enum Misfit {
    /// At a line of the mix.
    InMix(Report),
    Words(String),
}

fn misfit(airframe: &Read<Airframe>, mix: &Read<Mix>) -> Option<Misfit> {
    let geometry = match Geometry::of(&airframe.value) {
        Ok(geometry) => geometry,
        Err(fault) => return Some(Misfit::Words(fault.to_string())),
    };
    let coefficients = aero::Coefficients::default();
    match Rig::new(&geometry, &mix.value, &coefficients, Surroundings::CALM) {
        Ok(_) => None,
        Err(RigError::NoSurface { blend, follower, known, .. }) => {
            let place = mix.value.blends.iter().position(|b| b.name == blend).map_or(0, |i| i + 1);
            let field = format!("blend.{place}.to");
            let fault = Fault {
                span: mix.source.locate(&field),
                severity: Severity::Error,
                field,
                found: format!("the {follower}, which {} lacks", airframe.source.name()),
                allowed: format!("what it has: {known}; or the throttle"),
                next: "take the blend out of this mix, or add the hinge to that airframe".to_owned(),
            };
            Some(Misfit::InMix(Report::new(mix.source.clone(), vec![fault])))
        }
        Err(fault) => Some(Misfit::Words(fault.to_string())),
    }
}

impl Outcome {
    fn stops(&self) -> bool {
        self.words.is_some() || self.report.as_ref().is_some_and(Report::stops)
    }

    fn words(&self) -> String {
        match (&self.words, &self.report) {
            (Some(words), _) => words.clone(),
            (None, Some(report)) if !report.is_empty() => report.to_string(),
            _ => {
                let kind = self.kind.map_or(String::new(), |kind| format!(", {}", kind.with_article()));
                format!("{}: good{kind}", self.name)
            }
        }
    }

    fn to_json(&self) -> Value {
        let faults = self.report.as_ref().map_or_else(Vec::new, |report| {
            report.faults().iter().map(|fault| fault_json(report.source(), fault)).collect()
        });
        json!({
            "file": self.name,
            "kind": self.kind.map(Kind::word),
            "good": !self.stops(),
            "faults": faults,
            "words": self.words,
        })
    }
}

fn fault_json(source: &Source, fault: &measure::Fault) -> Value {
    let place = source.place(fault.span.start);
    json!({
        "line": place.line,
        "column": place.column,
        "severity": if fault.severity == measure::Severity::Error { "fault" } else { "caution" },
        "field": fault.field,
        "found": fault.found,
        "allowed": fault.allowed,
        "next": fault.next,
    })
}
