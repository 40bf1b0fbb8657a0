//! `countermix explain`: why a coupling is there, and what on the model would make it smaller.

use crate::load::{self, Trouble, say};
use aero::Coefficients;
use airframe::{Geometry, Part};
use files::{Existing, write_folder};
use measure::Side;
use report::explain_page::explain_page;
use report::palette::Ground;
use report::run_page::{CAUTION, PERCENT};
use serde_json::{Value, json};
use std::path::PathBuf;
use study::explain::{Cure, Effort, Explained, Origin, explain};

#[derive(clap::Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Args {
    /// The airframe: a demo name or a file.
    airframe: String,
    /// The coupling, such as knife-edge-pitch; `countermix find AIRFRAME` lists them.
    coupling: String,
    /// Side of the lead, where it has two.
    #[arg(long, value_enum, default_value_t = Which::Right)]
    side: Which,
    /// Folder for the picture; without it none is drawn.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Print numbers as JSON.
    #[arg(long)]
    json: bool,
    /// Replace a picture that is there already.
    #[arg(long, requires = "out")]
    force: bool,
}

#[derive(Clone, Copy, clap::ValueEnum)]
enum Which {
    /// Left rudder or aileron.
    Left,
    /// Right rudder or aileron.
    Right,
}

const EXAMPLES: &str = "\
Examples:
  countermix explain foxglove knife-edge-roll
  countermix explain my-model.toml flap-pitch --out plots
  countermix explain larkspur knife-edge-pitch --side left --json";

/// Pixels of the picture per pixel of the page.
const PICTURE_SCALE: f64 = 1.5;
/// What an explanation is worth.
const WORTH: &str = "Shares are exact for the model (the mean over every order in which its causes can come in), not for the \
     air: percentages can be off by a factor of 1.5 to 2, and whether the direction itself is certain, countermix find \
     says. Change one thing at a time and check the centre of mass before every first flight.";

pub(crate) fn run(args: &Args) -> Result<(), Trouble> {
    let airframe = load::airframe(&args.airframe)?;
    let coupling = crate::find::coupling(&args.coupling)?;
    let side = if matches!(args.side, Which::Left) { Side::Left } else { Side::Right };
    let explained = explain(&airframe, coupling, side, &Coefficients::default())
        .map_err(|fault| Trouble::new(&format!("{}: {fault}", args.airframe)))?
        .with_cures(&airframe, &Coefficients::default());
    let picture = match &args.out {
        Some(folder) => {
            let geometry = Geometry::of(&airframe)?;
            let stem = format!("{} {}", explained.airframe, coupling.name()).to_lowercase().replace(' ', "-");
            let files = explain_page(&explained, &geometry).files(&stem, Ground::Light, PICTURE_SCALE)?;
            let existing = if args.force { Existing::Replace } else { Existing::Keep };
            write_folder(folder, &files, existing)?;
            Some(folder.join(format!("{stem}.png")))
        }
        None => None,
    };
    if args.json {
        return say(&format!("{:#}", to_json(&explained)));
    }
    let mut text = format!("{}\n{WORTH}\n{PERCENT}\n{CAUTION}", explained.words());
    if let Some(picture) = picture {
        text += &format!("\n  picture: {}", picture.display());
    }
    say(&text)
}

fn to_json(e: &Explained) -> Value {
    let parts = |of: &dyn Fn(Part) -> f64| -> Value {
        Part::ALL
            .iter()
            .map(|p| (p.word().to_owned(), json!(100.0 * of(*p))))
            .collect::<serde_json::Map<_, _>>()
            .into()
    };
    json!({
        "airframe": e.airframe,
        "coupling": e.coupling.name(),
        "side": e.side.word(),
        "speed_m_s": e.speed,
        "lead_percent": 100.0 * e.lead,
        "needed_percent": 100.0 * e.needed,
        "sentence": e.sentence(),
        "units": "percent of the follower's full throw at full lead, + up elevator, right aileron, right rudder",
        "causes": Origin::all().map(|o| json!({
            "cause": o.words(),
            "percent": 100.0 * e.shares.origin(o),
            "parts": parts(&|p| e.shares.of(o, p)),
        })).collect::<Vec<_>>(),
        "parts": parts(&|p| e.shares.part(p)),
        "cures": e.cures.iter().map(cure_json).collect::<Vec<_>>(),
        "by_speed": e.by_speed.iter().map(|(v, s)| json!([v, 100.0 * s])).collect::<Vec<_>>(),
        "by_throttle": percents(&e.by_throttle),
        "by_flap": percents(&e.by_flap),
        "along": percents(&e.along),
        "worth": WORTH,
        "percent": PERCENT,
        "caution": CAUTION,
    })
}

fn percents(list: &[(f64, f64)]) -> Value {
    json!(list.iter().map(|(at, s)| [100.0 * at, 100.0 * s]).collect::<Vec<_>>())
}

fn cure_json(c: &Cure) -> Value {
    json!({
        "change": c.words,
        "effort": if c.effort == Effort::Evening { "an evening at the bench" } else { "for the next model" },
        "takes_percent": 100.0 * c.takes,
        "after_percent": 100.0 * c.after,
        "static_margin_percent": c.margin.map(|(a, b)| [100.0 * a, 100.0 * b]),
        "disturbs": c.disturbs.iter().map(|d| json!({
            "coupling": d.coupling.name(), "before_percent": 100.0 * d.before, "after_percent": 100.0 * d.after,
        })).collect::<Vec<_>>(),
    })
}
