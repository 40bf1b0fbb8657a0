//! `countermix schema`: what may stand in a kind of file, as JSON Schema.

use crate::load::{Trouble, say};
use clap::ValueEnum;
use files::{Kind, schema};

#[derive(clap::Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Args {
    /// Which kind of file.
    kind: Wanted,
}

const EXAMPLES: &str = "\
An editor that knows JSON Schema (draft 2020-12) for TOML completes keys and marks slips with it.
What only reading can tell, countermix check tells: measurements that contradict each other, and the
limits of quantities with units.

Examples:
  countermix schema airframe > airframe.schema.json
  countermix schema mix";

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Wanted {
    /// A model as measured.
    Airframe,
    /// What stands between the pilot's hand and the surfaces.
    Mix,
    /// A manoeuvre and what is asked of it.
    Scenario,
}

impl From<Wanted> for Kind {
    fn from(wanted: Wanted) -> Self {
        match wanted {
            Wanted::Airframe => Self::Airframe,
            Wanted::Mix => Self::Mix,
            Wanted::Scenario => Self::Scenario,
        }
    }
}

pub(crate) fn run(args: &Args) -> Result<(), Trouble> {
    say(&format!("{:#}", schema(args.kind.into())))
}
