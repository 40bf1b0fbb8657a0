//! `countermix check`: reads files and says everything that is wrong with them.

use crate::load::{Trouble, say, with_article};
use airframe::{Airframe, Geometry};
use files::{Checked, Kind, Report, Source, read_airframe, read_mix, read_scenario};
use flight::Surroundings;
use manoeuvre::Rig;
use mix::Mix;
use serde_json::{Value, json};
use std::path::{Path, PathBuf};

#[derive(clap::Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Args {
    /// Airframes, mixes, manoeuvres; told apart by what they say. An airframe and a mix that are
    /// named together are also checked against each other.
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// Print the faults as JSON.
    #[arg(long)]
    json: bool,
}

const EXAMPLES: &str = "\
Examples:
  countermix check my-model.toml
  countermix check my-model.toml my-mix.toml my-pass.toml";

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
        args.files.iter().map(|path| check(path, &mut airframes, &mut mixes)).collect();
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

fn check(path: &Path, airframes: &mut Vec<Airframe>, mixes: &mut Vec<Mix>) -> Outcome {
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
    let report = match kind {
        Kind::Airframe => keep(read_airframe(source), airframes),
        Kind::Mix => keep(read_mix(source), mixes),
        Kind::Scenario => keep(read_scenario(source), &mut Vec::new()),
    };
    Outcome { name, kind: Some(kind), report: Some(report), words: None }
}

/// Keeps what could be read, and returns what was said about it.
fn keep<T>(read: Result<Checked<T>, Report>, kept: &mut Vec<T>) -> Report {
    match read {
        Ok(checked) => {
            kept.push(checked.value);
            checked.cautions
        }
        Err(report) => report,
    }
}

/// Every airframe with every mix: does each blend move something, does it fly level?
fn together(airframes: &[Airframe], mixes: &[Mix]) -> Vec<Outcome> {
    let mut outcomes = Vec::new();
    for airframe in airframes {
        for mix in mixes {
            let name = format!("{} with {}", airframe.name, mix.name);
            outcomes.push(Outcome { name, kind: None, report: None, words: misfit(airframe, mix) });
        }
    }
    outcomes
}

fn misfit(airframe: &Airframe, mix: &Mix) -> Option<String> {
    let geometry = match Geometry::of(airframe) {
        Ok(geometry) => geometry,
        Err(fault) => return Some(fault.to_string()),
    };
    let coefficients = aero::Coefficients::default();
    Rig::new(&geometry, mix, &coefficients, Surroundings::CALM).err().map(|fault| fault.to_string())
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
                let kind = self.kind.map_or(String::new(), |kind| format!(", {}", with_article(kind)));
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
