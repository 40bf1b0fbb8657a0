//! `countermix new`: a starter airframe from a few answers.

mod proportions;
mod sheet;
mod starter;

use crate::load::{Trouble, say};
use files::{Existing, Source, read_airframe, write_file};
use proportions::{CLASSES, Class};
use sheet::{Item, Sheet};
use starter::starter;
use std::io::{BufRead, IsTerminal, Write, stderr, stdin};
use std::path::{Path, PathBuf};

/// Write a starter airframe from a few answers.
///
/// Asks at a terminal for whatever no flag gives; with --guess it guesses. Every guess stands in the
/// file as a guess, with a wide tolerance and how to measure it. Biplanes and ducted fans are not
/// asked for: copy scenarios/airframes/thistle.toml or teasel.toml.
#[derive(clap::Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Args {
    /// Class of model: trainer, sport, warbird, aerobat, light-aerobat.
    #[arg(long)]
    class: Option<String>,
    /// What you call it.
    #[arg(long)]
    name: Option<String>,
    #[command(flatten)]
    measured: Measurements,
    /// File to write; without it, the name with .toml.
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Ask nothing: guess what no flag gives.
    #[arg(long)]
    guess: bool,
    /// Replace the file if it is there already.
    #[arg(long)]
    force: bool,
}

/// One flag for each measurement, with its unit: "1600 mm", "63 in", "2.4 ± 0.1 kg".
#[derive(clap::Args)]
#[command(next_help_heading = "Measurements, each with its unit")]
struct Measurements {
    /// From wing tip to wing tip.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    span: Option<String>,
    /// Wing chord in the middle of the body.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    root_chord: Option<String>,
    /// Wing chord at the tip.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    tip_chord: Option<String>,
    /// Spinner to tail end.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    length: Option<String>,
    /// Wing root above the body's middle line, - below.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    wing_height: Option<String>,
    /// Leading edge of the wing to that of the tailplane, at the roots.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    tail_arm: Option<String>,
    /// Tailplane from tip to tip.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    tail_span: Option<String>,
    /// Tailplane chord half way out, with elevator.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    tail_chord: Option<String>,
    /// Fin from the body to its top.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    fin_height: Option<String>,
    /// Fin chord half way up, with rudder.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    fin_chord: Option<String>,
    /// Ready to fly.
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    mass: Option<String>,
    /// Centre of mass behind the leading edge of the wing root.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    centre: Option<String>,
    /// Aileron at 100 %.
    #[arg(long, value_name = "ANGLE", allow_hyphen_values = true)]
    aileron_throw: Option<String>,
    /// Elevator at 100 %.
    #[arg(long, value_name = "ANGLE", allow_hyphen_values = true)]
    elevator_throw: Option<String>,
    /// Rudder at 100 %.
    #[arg(long, value_name = "ANGLE", allow_hyphen_values = true)]
    rudder_throw: Option<String>,
    /// Propeller diameter.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    propeller: Option<String>,
    /// Propeller pitch.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pitch: Option<String>,
    /// At full throttle, the model held.
    #[arg(long, value_name = "REVOLUTIONS", allow_hyphen_values = true)]
    revolutions: Option<String>,
}

const EXAMPLES: &str = "\
Examples:
  countermix new
  countermix new --class trainer --name Dandelion --span \"1600 mm\" --mass \"2.4 kg\" --guess
  countermix new --class aerobat --name Yarrow --span \"79 in\" --centre \"180 mm\" --guess --out yarrow.toml --force";

impl Measurements {
    fn flag(&self, item: Item) -> (&'static str, Option<&String>) {
        let (flag, given) = match item {
            Item::Span => ("--span", &self.span),
            Item::RootChord => ("--root-chord", &self.root_chord),
            Item::TipChord => ("--tip-chord", &self.tip_chord),
            Item::Length => ("--length", &self.length),
            Item::WingHeight => ("--wing-height", &self.wing_height),
            Item::TailArm => ("--tail-arm", &self.tail_arm),
            Item::TailSpan => ("--tail-span", &self.tail_span),
            Item::TailChord => ("--tail-chord", &self.tail_chord),
            Item::FinHeight => ("--fin-height", &self.fin_height),
            Item::FinChord => ("--fin-chord", &self.fin_chord),
            Item::Mass => ("--mass", &self.mass),
            Item::Centre => ("--centre", &self.centre),
            Item::AileronThrow => ("--aileron-throw", &self.aileron_throw),
            Item::ElevatorThrow => ("--elevator-throw", &self.elevator_throw),
            Item::RudderThrow => ("--rudder-throw", &self.rudder_throw),
            Item::Propeller => ("--propeller", &self.propeller),
            Item::Pitch => ("--pitch", &self.pitch),
            Item::Revolutions => ("--revolutions", &self.revolutions),
        };
        (flag, given.as_ref())
    }
}

pub(crate) fn run(args: &Args) -> Result<(), Trouble> {
    let ask = !args.guess && stdin().is_terminal();
    let (mut answers, mut prompts) = (stdin().lock(), stderr().lock());
    let mut hand = ask.then_some(Hand { answers: &mut answers, prompts: &mut prompts });
    if !ask && !args.guess {
        all_given(args)?;
    }
    let sheet = fill(args, hand.as_mut())?;
    let path = args.out.clone().unwrap_or_else(|| PathBuf::from(format!("{}.toml", stem(&sheet.name))));
    let text = starter(&sheet);
    let read = read_airframe(Source::new(path.display().to_string(), text.clone()));
    let checked = read.map_err(|report| Trouble::new(&format!("{report}\nnothing was written")))?;
    if !checked.cautions.is_empty() {
        stderr().write_all(format!("{}\n", checked.cautions).as_bytes())?;
    }
    write_file(&path, text.as_bytes(), if args.force { Existing::Replace } else { Existing::Keep })?;
    say(&told(&path, &sheet))
}

/// Where nobody can be asked, nothing is guessed that was not asked for.
fn all_given(args: &Args) -> Result<(), Trouble> {
    let flags = Item::ALL.iter().map(|item| args.measured.flag(*item));
    let missing: Vec<&str> = flags.filter(|(_, given)| given.is_none()).map(|(flag, _)| flag).collect();
    if missing.is_empty() {
        return Ok(());
    }
    Err(Trouble::new(&format!(
        "nobody is at a terminal to be asked for {}; give them, or let them be guessed with --guess; nothing was written",
        missing.join(", ")
    )))
}

fn told(path: &Path, sheet: &Sheet) -> String {
    let guesses = Item::ALL.iter().filter(|item| sheet.entry(**item).guess).count();
    format!(
        "{path}: written; {guesses} of {} questions were answered with guesses, and whatever was not asked is one too: each \
         is marked GUESS in the file\nnext: countermix look {path}",
        Item::ALL.len(),
        path = path.display(),
    )
}

fn stem(name: &str) -> String {
    let plain = |c: char| if c.is_alphanumeric() { c.to_ascii_lowercase() } else { '-' };
    let dashed: String = name.chars().map(plain).collect();
    dashed.trim_start_matches('-').to_owned() // a name that begins with a dash would be read as a flag
}

/// Who answers, and where the questions go.
struct Hand<'a> {
    answers: &'a mut dyn BufRead,
    prompts: &'a mut dyn Write,
}

impl Hand<'_> {
    /// Asks until `take` is content.
    fn ask<T>(
        &mut self,
        question: &str,
        mut take: impl FnMut(&str) -> Result<T, String>,
    ) -> Result<T, Trouble> {
        loop {
            write!(self.prompts, "{question}: ")?;
            self.prompts.flush()?;
            let mut line = String::new();
            if self.answers.read_line(&mut line)? == 0 {
                return Err(Trouble::new("the answers ended before the last question; nothing was written"));
            }
            match take(line.trim()) {
                Ok(taken) => return Ok(taken),
                Err(reason) => writeln!(self.prompts, "  {reason}")?,
            }
        }
    }
}

fn fill(args: &Args, mut hand: Option<&mut Hand<'_>>) -> Result<Sheet, Trouble> {
    let classes: String = CLASSES.iter().map(|c| format!("\n  {}: {}", c.word, c.about)).collect();
    let class = required(
        "--class",
        args.class.as_ref(),
        hand.as_deref_mut(),
        &format!("Class of model{classes}\nclass"),
        class_of,
    )?;
    let name = required("--name", args.name.as_ref(), hand.as_deref_mut(), "Name", name_of)?;
    let mut sheet = Sheet::new(class, &name);
    for item in Item::ALL {
        let (flag, given) = args.measured.flag(item);
        if let Some(text) = given {
            sheet.answer(item, text).map_err(|reason| Trouble::new(&format!("{flag}: {reason}")))?;
        } else if let Some(hand) = hand.as_deref_mut() {
            let question = question(&sheet, item);
            hand.ask(&question, |text| match text {
                "" if item != Item::Span => Ok(()),
                text => sheet.answer(item, text),
            })?;
        } else if item == Item::Span {
            return Err(missing(flag));
        }
    }
    Ok(sheet)
}

fn question(sheet: &Sheet, item: Item) -> String {
    let (what, how) = item.words();
    if item == Item::Span {
        return format!("Each answer with its unit, such as 1600 mm or 63 in.\n{what}, {how}");
    }
    format!("{what}, {how} [Enter: guess {}]", item.text(sheet.entry(item).value))
}

fn required<T>(
    flag: &str,
    given: Option<&String>,
    hand: Option<&mut Hand<'_>>,
    question: &str,
    take: impl Fn(&str) -> Result<T, String>,
) -> Result<T, Trouble> {
    match (given, hand) {
        (Some(text), _) => take(text).map_err(|reason| Trouble::new(&format!("{flag}: {reason}"))),
        (None, Some(hand)) => hand.ask(question, take),
        (None, None) => Err(missing(flag)),
    }
}

fn missing(flag: &str) -> Trouble {
    Trouble::new(&format!(
        "{flag} is missing; class, name and span are needed, everything else is guessed: run it at a terminal to be asked, \
         or see countermix new --help"
    ))
}

fn class_of(text: &str) -> Result<Class, String> {
    let words = || CLASSES.map(|c| c.word).join(", ");
    CLASSES
        .into_iter()
        .find(|c| c.word == text.to_ascii_lowercase())
        .ok_or_else(|| format!("found \"{text}\"; allowed is one of {}; take the nearest", words()))
}

fn name_of(text: &str) -> Result<String, String> {
    let longest = 60;
    let fits = text.chars().any(char::is_alphanumeric)
        && text.chars().count() <= longest
        && !text.chars().any(char::is_control);
    let found = text.chars().filter(|c| !c.is_control()).take(longest).collect::<String>();
    fits.then(|| text.to_owned()).ok_or_else(|| {
        format!("found \"{found}\"; allowed is a name of up to {longest} characters with a letter or digit; type another")
    })
}

#[cfg(test)]
mod tests;
