//! `countermix find`: the blends that cancel an airframe's couplings.

use crate::load::{self, Trouble, say};
use crate::progress::Progress;
use aero::Coefficients;
use files::{Existing, MixChange, Source, change_mix, read_mix, save, write_file, write_folder};
use measure::DEG;
use mix::{Blend, Condition, Shape};
use report::run_page::{CAUTION, PERCENT};
use serde_json::{Map, Value, json};
use std::path::{Path, PathBuf};
use study::find::{
    Coupling, Findings, Form, Found, Movement, NOT_CERTAIN, Options, Proof, SECONDS, SideFound, Verdict,
    prove,
};

#[derive(clap::Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Args {
    /// The airframe: a demo name or a file.
    airframe: String,
    /// Couplings such as knife-edge-pitch; without any, all that the airframe can show.
    couplings: Vec<String>,
    /// A mix whose blends are at work already, their conditions met: what is found comes on top.
    #[arg(long, value_name = "FILE")]
    mix: Option<String>,
    /// How many times measurements and empirical numbers are drawn from their ranges, to say how
    /// sure a percentage is; 0 for none.
    #[arg(long, default_value_t = 64, value_name = "N")]
    draws: usize,
    /// Seed of the draws.
    #[arg(long, default_value_t = 1, value_name = "N")]
    seed: u64,
    /// Mix file to write the blends into, first values to try (half of what was found). Blends and
    /// comments that are there stay.
    #[arg(long, value_name = "FILE")]
    write: Option<PathBuf>,
    /// With --write: the whole percentages instead of the first values to try.
    #[arg(long, requires = "write")]
    full: bool,
    /// Fly on from every pose, hands still and with a pilot correcting: without, with what was found, with
    /// what flies best. Where flight and balance disagree, say why.
    #[arg(long)]
    prove: bool,
    /// Folder to keep what was found in, as text and as JSON.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Print numbers as JSON.
    #[arg(long)]
    json: bool,
    /// Replace what was kept there before.
    #[arg(long, requires = "out")]
    force: bool,
}

const EXAMPLES: &str = "\
Examples:
  countermix find larkspur
  countermix find my-model.toml knife-edge-pitch knife-edge-roll
  countermix find my-model.toml --prove --out found
  countermix find my-model.toml --write my-mix.toml
  countermix find my-model.toml --mix my-mix.toml --json";

/// Fewer draws than this say little about a share of 95 %.
const FEW_DRAWS: usize = 64;

pub(crate) fn run(args: &Args) -> Result<(), Trouble> {
    let airframe = load::airframe(&args.airframe)?;
    let couplings = args.couplings.iter().map(|name| coupling(name)).collect::<Result<Vec<_>, _>>()?;
    let mix = match &args.mix {
        Some(name) => Some(load::mix(Some(name), &args.airframe)?),
        None => None,
    };
    let blends = mix.as_ref().map_or(&[][..], |mix| &mix.blends);
    let bar = Progress::new("draws");
    let progress = |done, all| bar.at(done, all);
    let options = Options { progress: &progress, draws: args.draws, seed: args.seed, blends };
    let findings = study::find::find(&airframe, &couplings, &Coefficients::default(), &options)
        .map_err(|fault| Trouble::new(&format!("{}: {fault}", args.airframe)))?;
    drop(bar);
    let proofs = if args.prove {
        let bar = Progress::new("couplings flown");
        let progress = |done, all| bar.at(done, all);
        let options = Options { progress: &progress, draws: args.draws, seed: args.seed, blends };
        let flown = prove(&airframe, &Coefficients::default(), &findings, SECONDS, &options);
        Some(flown.map_err(|fault| Trouble::new(&format!("{}: {fault}", args.airframe)))?)
    } else {
        None
    };
    let written = match &args.write {
        Some(path) => Some(write(path, &findings, args.full)?),
        None => None,
    };
    let json = format!("{:#}\n", to_json(&findings, proofs.as_deref(), args));
    let mut text = in_words(&findings, proofs.as_deref());
    if let Some(names) = written {
        text += &format!("\n{names}");
    }
    if let Some(folder) = &args.out {
        let stem = format!("{}-found", findings.airframe.to_lowercase().replace(' ', "-"));
        let files = [("txt", &text), ("json", &json)].map(|(ending, content)| {
            (format!("{stem}.{ending}"), format!("{}\n", content.trim_end()).into_bytes())
        });
        let existing = if args.force { Existing::Replace } else { Existing::Keep };
        write_folder(folder, &files, existing)?;
        text += &format!("\nKept: {}", folder.join(format!("{stem}.txt")).display());
    }
    say(if args.json { json.trim_end() } else { &text })
}

fn in_words(findings: &Findings, proofs: Option<&[Proof]>) -> String {
    let mut text = findings.words();
    if let Some(proofs) = proofs {
        text += "\nFlown on from each pose\n";
        for proof in proofs {
            text += &format!("  {}\n", proof.words());
        }
    }
    text + &format!("\n{}\n{PERCENT}\n{CAUTION}", worth(findings))
}

pub(crate) fn coupling(name: &str) -> Result<Coupling, Trouble> {
    Coupling::named(name).ok_or_else(|| {
        let known: Vec<String> = Coupling::ALL.iter().map(|c| c.name().replace(' ', "-")).collect();
        Trouble::new(&format!("no coupling is called \"{name}\"; known are {}", known.join(", ")))
    })
}

/// What the percentages are worth.
fn worth(findings: &Findings) -> String {
    let sure = match findings.draws {
        0 => "Without draws (--draws 0) nothing is said about how sure a direction is.".to_owned(),
        few if few < FEW_DRAWS => format!("{few} draws are few: take {FEW_DRAWS} or more before you trust a direction."),
        _ => "The draws cover measurements within their tolerances and empirical numbers within their ranges, not causes \
              that the model does not know."
            .to_owned(),
    };
    format!("{sure} Percentages can be off by a factor of 1.5 to 2.")
}

/// Writes the blends that are advised; says which.
fn write(path: &Path, findings: &Findings, full: bool) -> Result<String, Trouble> {
    let blends: Vec<Blend> = findings.found.iter().filter_map(|f| blend(f, full)).collect();
    if blends.is_empty() {
        return Ok(format!("No blend is advised, so {} was left as it is.", path.display()));
    }
    let old = if path.exists() { Some(Source::open(path)?) } else { None };
    let bare = format!("name = \"{}, found\"\n", findings.airframe);
    let mut text = old.clone().unwrap_or_else(|| Source::new(path.display().to_string(), bare));
    let known = read_mix(text.clone()).map_err(|report| Trouble::new(&report.to_string()))?.value;
    for blend in &blends {
        let there = known.blends.iter().find(|b| b.name == blend.name);
        let edited = match there {
            Some(there) if there.from == blend.from && there.to == blend.to => {
                let to = alike(&there.shape, &blend.shape);
                change_mix(&text, &[MixChange::Shape { blend: blend.name.clone(), to }])
            }
            Some(there) => {
                return Err(Trouble::new(&format!(
                    "{}: blend \"{}\" leads from {} to {} there; give it another name, then write again",
                    path.display(),
                    there.name,
                    there.from.word(),
                    there.to.word()
                )));
            }
            None => change_mix(&text, &[MixChange::Added(blend.clone())]),
        };
        text = edited.map_err(|report| Trouble::new(&report.to_string()))?;
    }
    match &old {
        Some(old) => save(path, old, &text)?,
        None => write_file(path, &text.bytes(), Existing::Keep)?,
    }
    let names: Vec<String> = blends.iter().map(|b| format!("\"{}\"", b.name)).collect();
    let what = if full { "whole percentages" } else { "first values to try, half of what was found" };
    Ok(format!(
        "Written to {}: {} ({what}); new ones act only while the switch of their name is on.",
        path.display(),
        names.join(", ")
    ))
}

/// The blend that is advised, on a switch of its own.
fn blend(found: &Found, full: bool) -> Option<Blend> {
    if !found.is_advised() {
        return None;
    }
    let of = |side: Option<SideFound>| {
        let told = side.filter(|s| s.is_sure() && !s.is_small());
        told.map_or(0.0, |s| if full { s.percent } else { s.first_try })
    };
    let [left, right] = found.sides.map(of);
    let all_told = found.sides.iter().flatten().all(|s| s.is_sure());
    let shape = if found.form == Form::Curve && all_told {
        let times = if full { 1.0 } else { 0.5 };
        let point = |&(lead, share): &(f64, f64)| (lead, (200.0 * times * share).trunc() / 200.0);
        Shape::Curve(found.fit.curve.iter().map(point).collect())
    } else {
        // throttle and levers have no left
        Shape::TwoSided { left, right }
    };
    if shape_is_nothing(&shape) {
        return None;
    }
    let name = found.coupling.name();
    Some(Blend {
        from: found.coupling.manoeuvre.lead(),
        to: found.coupling.follower,
        shape,
        engaged: Condition::Switch { name: name.clone(), is: "on".to_owned() },
        name,
        fade: 0.3,
        slow: 0.0,
        tuned: None,
        after: None,
    })
}

fn shape_is_nothing(shape: &Shape) -> bool {
    match shape {
        Shape::TwoSided { left, right } => *left == 0.0 && *right == 0.0,
        Shape::Curve(points) => points.iter().all(|(_, share)| *share == 0.0),
    }
}

/// The new shape in the form of the old one: the user's file keeps its form.
fn alike(old: &Shape, new: &Shape) -> Shape {
    match (old, new) {
        (Shape::Curve(_), Shape::TwoSided { left, right }) => {
            Shape::Curve(vec![(-1.0, *left), (0.0, 0.0), (1.0, *right)])
        }
        (Shape::TwoSided { .. }, Shape::Curve(_)) => {
            Shape::TwoSided { left: new.follower(-1.0), right: new.follower(1.0) }
        }
        _ => new.clone(),
    }
}

fn to_json(findings: &Findings, proofs: Option<&[Proof]>, args: &Args) -> Value {
    let mut all = json!({
        "airframe": findings.airframe,
        "trimmed_speed_m_s": findings.trimmed_speed,
        "draws": findings.draws,
        "seed": args.seed,
        "percent": PERCENT,
        "caution": CAUTION,
        "worth": worth(findings),
        "units": {
            "left_percent": "percent of the follower's full throw at full left lead; null where the direction is not certain or the lead has no left",
            "right_percent": "the same at full right lead, or at the full throttle or lever (a down-line: at idle)",
            "curve": "lead in percent, follower in percent",
            "range": "percent; four draws out of five lie between",
            "degrees": "deflection of the follower at full lead, + trailing edge down or left",
            "millimetres": "travel of its trailing edge in the middle of the hinge, + down or left",
            "shared": "advised blends of one lead and one follower: on together they add up",
            "direction_sure": "true from 95 % of the draws on, null without draws",
            "left_over": "degrees of bank, heading or climb after 2 s, at the first speed",
        },
        "couplings": findings.found.iter().map(found_json).collect::<Vec<_>>(),
        "shared": findings.shared().iter().map(|s| json!({
            "lead": s.lead.word(),
            "follower": s.follower.word(),
            "couplings": s.couplings.iter().map(|c| c.name()).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
    });
    if let Some(proofs) = proofs {
        all["proof"] = proofs.iter().map(proof_json).collect();
    }
    all
}

fn found_json(found: &Found) -> Value {
    let [left, right] = &found.sides;
    let percent = |side: &Option<SideFound>| side.and_then(|s| s.told()).map(|p| tenths(100.0 * p));
    let both = |of: &dyn Fn(&SideFound) -> Value| {
        let mut sides = Map::new();
        for (name, side) in [("left", left), ("right", right)] {
            sides.insert(name.to_owned(), side.as_ref().filter(|s| s.is_sure()).map_or(Value::Null, of));
        }
        Value::Object(sides)
    };
    let all_sure = found.sides.iter().flatten().all(|s| s.is_sure());
    let drawn = found.sides.iter().flatten().any(|s| s.sure.is_some());
    let direction = |s: &Option<SideFound>| s.and_then(|s| s.sure).map(|s| 100.0 * s.direction);
    json!({
        "name": found.coupling.name(),
        "lead": found.coupling.manoeuvre.lead().word(),
        "follower": found.coupling.follower.word(),
        "manoeuvre": found.coupling.manoeuvre.words(),
        "form": found.form.words(),
        "left_percent": percent(left),
        "right_percent": percent(right),
        "curve": curve_json(found, all_sure),
        "range": both(&|s| s.sure.map_or(Value::Null, |s| json!([tenths(100.0 * s.range.0), tenths(100.0 * s.range.1)]))),
        "direction_sure": drawn.then_some(all_sure),
        "direction_percent": { "left": direction(left), "right": direction(right) },
        "first_try_percent": both(&|s| json!((100.0 * s.first_try).round())),
        "degrees": both(&|s| json!(tenths(s.deflection / DEG))),
        "millimetres": both(&|s| json!(tenths(1000.0 * s.travel))),
        "relief_percent": found.apart.map(|a| tenths(100.0 * a)),
        "left_over": found.left_over.map(|l| json!({
            "turn": found.coupling.turn(),
            "nothing": tenths(l.nothing / DEG),
            "one percentage": tenths(l.one / DEG),
            "one percentage per side": tenths(l.per_side / DEG),
            "curve": tenths(l.curve / DEG),
        })),
        "by_speed": found.fit.by_speed.iter().map(|(speed, sides)| json!({
            "speed_m_s": tenths(*speed),
            "left_percent": sides[0].filter(|_| all_sure).map(|s| tenths(100.0 * s)),
            "right_percent": sides[1].filter(|_| all_sure).map(|s| tenths(100.0 * s)),
        })).collect::<Vec<_>>(),
        "by_throttle": found.by_throttle.iter().map(|(throttle, sides)| json!({
            "throttle_percent": (100.0 * throttle).round(),
            "left_percent": sides[0].filter(|_| all_sure).map(|s| tenths(100.0 * s)),
            "right_percent": sides[1].filter(|_| all_sure).map(|s| tenths(100.0 * s)),
        })).collect::<Vec<_>>(),
        "level_rudder": found.level_leads.iter().map(|(speed, side, rudder)| json!({
            "speed_m_s": tenths(*speed), "side": side.word(), "percent": (100.0 * rudder).round(),
        })).collect::<Vec<_>>(),
        "lead_moves": found.lead_moves.iter().map(|m| moves_json(m)).collect::<Vec<_>>(),
        "verdict": verdict(found),
    })
}

fn proof_json(proof: &Proof) -> Value {
    let degrees = |turns: [f64; 3]| three(turns.map(|t| tenths(t / DEG)));
    json!({
        "name": proof.coupling.name(),
        "side": proof.side.word(),
        "speed_m_s": tenths(proof.speed),
        "lead_percent": tenths(100.0 * proof.lead),
        "balance_percent": tenths(100.0 * proof.balance),
        "flown_percent": tenths(100.0 * proof.flown),
        "flown_with_speed_held_percent": tenths(100.0 * proof.flown_at_speed),
        "speed_after_m_s": tenths(proof.speed_after),
        "path_bent_deg": tenths(proof.bent / DEG),
        "found_percent": tenths(100.0 * proof.found),
        "turn": proof.coupling.turn(),
        "left_alone_deg": degrees(proof.turns),
        "corrected_held_percent": three(proof.held.map(|h| tenths(100.0 * h))),
        "corrected_worst_deg": degrees(proof.strayed),
        "agree": proof.agrees(),
        "agree_with_speed_held": proof.agrees_at_speed(),
    })
}

fn three([without, found, flown]: [f64; 3]) -> Value {
    json!({ "without": without, "as_found": found, "flown_best": flown })
}

fn curve_json(found: &Found, told: bool) -> Value {
    if !told || found.form != Form::Curve {
        return Value::Null;
    }
    json!(found.fit.curve.iter().map(|(l, f)| [tenths(100.0 * l), tenths(100.0 * f)]).collect::<Vec<_>>())
}

fn moves_json(moves: &[Movement]) -> Vec<String> {
    moves.iter().map(Movement::words).collect()
}

fn verdict(found: &Found) -> String {
    match (found.verdict, &found.cause) {
        (Verdict::Unsure, _) => NOT_CERTAIN.to_owned(),
        (Verdict::CauseFirst, Some(cause)) => format!("{}: {cause}", found.verdict.words()),
        (verdict, _) => verdict.words().to_owned(),
    }
}

fn tenths(x: f64) -> f64 {
    // adding 0 turns -0 into 0
    (10.0 * x).round() / 10.0 + 0.0
}
