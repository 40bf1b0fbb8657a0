//! `countermix fleet`: what the demo club has.

use crate::load::{Trouble, say};
use files::{Kind, demo_names};
use serde_json::json;

#[derive(clap::Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Args {
    /// Print the names as JSON.
    #[arg(long)]
    json: bool,
}

const EXAMPLES: &str = "\
Examples:
  countermix fleet
  countermix fleet --json";

const INVENTED: &str = "Saltmarsh Model Flying Club and its models are invented.";

pub(crate) fn run(args: &Args) -> Result<(), Trouble> {
    let names = |kind| demo_names(kind).collect::<Vec<_>>();
    let [airframes, mixes, manoeuvres] = [Kind::Airframe, Kind::Mix, Kind::Scenario].map(names);
    if args.json {
        let all =
            json!({ "about": INVENTED, "airframes": airframes, "mixes": mixes, "manoeuvres": manoeuvres });
        return say(&format!("{all:#}"));
    }
    for (heading, names) in [("Airframes", airframes), ("Mixes", mixes), ("Manoeuvres", manoeuvres)] {
        say(&format!("{heading}: {}", names.join(", ")))?;
    }
    say(&format!("\n{INVENTED}"))
}
