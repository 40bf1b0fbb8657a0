//! `countermix fleet`: what the demo club has.

use crate::load::{self, Trouble, say};
use files::{Kind, demo_names, demo_remark};
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
    let airframes: Vec<(&str, String)> = demo_names(Kind::Airframe)
        .map(|name| (name, demo_remark(Kind::Airframe, name).unwrap_or_default()))
        .collect();
    let mixes: Vec<&str> = demo_names(Kind::Mix).collect();
    let manoeuvres = demo_names(Kind::Scenario)
        .map(|name| Ok((name, load::scenario(name)?.about)))
        .collect::<Result<Vec<_>, Trouble>>()?;
    if args.json {
        let named = |list: &[(&str, String)]| list.iter().map(|(name, _)| json!(name)).collect::<Vec<_>>();
        let about: serde_json::Map<_, _> = airframes
            .iter()
            .chain(&manoeuvres)
            .map(|(name, what)| ((*name).to_owned(), what.clone().into()))
            .collect();
        let all = json!({
            "about": INVENTED, "airframes": named(&airframes), "mixes": mixes, "manoeuvres": named(&manoeuvres),
            "what_each_is": about,
        });
        return say(&format!("{all:#}"));
    }
    for (heading, list) in [("Airframes", &airframes), ("Manoeuvres", &manoeuvres)] {
        let rows = list.iter().map(|(name, what)| format!("  {name:<18} {what}\n"));
        say(&format!("{heading}\n{}", rows.collect::<String>()))?;
    }
    say(&format!("Mixes, one for each airframe, under its name: {}\n\n{INVENTED}", mixes.join(", ")))
}
