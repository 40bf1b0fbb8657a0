//! The command line of Countermix.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "this is the part that speaks")]

mod balance;
mod check;
mod compare;
mod completions;
mod explain;
mod find;
mod fleet;
mod load;
mod look;
mod new;
mod progress;
mod schema;
mod view;

use clap::{CommandFactory, Parser, Subcommand};
use std::process::ExitCode;

/// Predicts how one control of a model aircraft disturbs another axis, and shows what a blend does
/// about it.
///
/// A blend is what most pilots call a mix: one control moves another a little.
#[derive(Parser)]
#[command(name = "countermix", version, after_help = EXAMPLES)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Fly a manoeuvre with and without the blends, and say what they change.
    Compare(compare::Args),
    /// Find the blends that cancel an airframe's couplings, and say how sure they are.
    Find(find::Args),
    /// Say why a coupling is there, part by part, and what on the model would make it smaller.
    Explain(explain::Args),
    /// Say how a model flies in a pilot's terms: does this look like yours?
    Look(look::Args),
    /// Write a starter airframe from a few answers.
    New(Box<new::Args>),
    /// Read files and say everything that is wrong with them.
    Check(check::Args),
    /// Print what may stand in a kind of file, as JSON Schema for editors.
    Schema(schema::Args),
    /// List the demo club: airframes, mixes, manoeuvres.
    Fleet(fleet::Args),
    /// Open the window: both flights side by side, percentages to drag.
    View(view::Args),
    /// Print a script with which a shell completes commands and options.
    Completions(completions::Args),
}

const EXAMPLES: &str = "\
Examples:
  countermix compare knife-edge-pass
  countermix compare knife-edge-pass foxglove --out plots
  countermix compare --all
  countermix compare my-pass.toml my-model.toml --mix my-mix.toml --json
  countermix find larkspur knife-edge-pitch
  countermix explain foxglove knife-edge-roll --out plots
  countermix new
  countermix look larkspur
  countermix check my-model.toml my-mix.toml
  countermix schema airframe > airframe.schema.json
  countermix fleet
  countermix view knife-edge-pass larkspur";

/// Bad input: nothing was written.
const BAD_INPUT: u8 = 2;

fn main() -> ExitCode {
    let outcome = match Cli::parse().command {
        Command::Compare(args) => compare::run(&args),
        Command::Find(args) => find::run(&args),
        Command::Explain(args) => explain::run(&args),
        Command::Look(args) => look::run(&args),
        Command::New(args) => new::run(&args),
        Command::Check(args) => check::run(&args),
        Command::Schema(args) => schema::run(&args),
        Command::Fleet(args) => fleet::run(&args),
        Command::View(args) => view::run(&args),
        Command::Completions(args) => completions::run(&args, Cli::command()),
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("{message}");
            ExitCode::from(BAD_INPUT)
        }
    }
}
