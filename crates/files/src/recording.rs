//! Recordings of flights by hand: the texts of airframe, mix and scenario as they were flown, and what the hand did in
//! every tick, with the levers and switches that it moved. A recording needs no other file, and plays back to the last bit.

use core::fmt::Write;

use manoeuvre::{Grip, LeverPlace, TICK, Turn, Turned};
use measure::{Side, Stick};

use crate::filled::Filled;
use crate::form::{Accepts, Field, Form, words_of};
use crate::kind::Kind;
use crate::reader::{Item, Read, Says, read_source};
use crate::report::{Checked, Report};
use crate::source::Source;

/// The format that is written, and the only one that is read.
const FORMAT: u32 = 1;
/// The longest flight that is read \[ticks\]: ten minutes.
const MOST: usize = 30_000;
/// Whether the blends are switched in.
const BLENDS: [(&str, bool); 2] = [("in", true), ("out", false)];
const SIDES: [(&str, Side); 2] = [("left", Side::Left), ("right", Side::Right)];
/// How a tick is written.
const EXAMPLE: &str = "\"0 0.25 -0.1 0.5 in\"";

/// A flight by hand, with everything it was flown with.
#[derive(Debug, Clone, PartialEq)]
pub struct Recording {
    /// The airframe, under the name it was opened by.
    pub airframe: Source,
    /// The mix.
    pub mix: Source,
    /// The manoeuvre it began as.
    pub scenario: Source,
    /// To which side that begins.
    pub side: Side,
    /// What the hand did, one grip per tick.
    pub grips: Vec<Grip>,
    /// Levers and switches that it moved, in the order of their ticks.
    pub turns: Vec<Turn>,
}

static RECORDING: Form = Form::new(
    "recording",
    "a flight by hand",
    &[
        Field::new("recording", Accepts::Count(FORMAT, FORMAT), "the format"),
        Field::words("side", &words_of(&SIDES), "to which side the manoeuvre begins"),
        Field::new("ticks", Accepts::Each(&Accepts::Text), "the hand, a text per tick")
            .like("[\"0 0 0 0.5 in\"]"),
        Field::new("turns", Accepts::Tables(&TURN), "levers and switches as they were moved").absent("none"),
        Field::new("airframe", Accepts::Table(&TEXT), "the airframe as it was flown"),
        Field::new("mix", Accepts::Table(&TEXT), "the mix as it was flown"),
        Field::new("scenario", Accepts::Table(&TEXT), "the manoeuvre it began as"),
    ],
    &[],
);

static TURN: Form = Form::new(
    "turn",
    "a lever or a switch that is moved",
    &[
        Field::new("tick", Accepts::Count(0, MOST as u32), "before which tick, counted from 0"),
        Field::text("lever", "\"flap\"", "which lever").absent("a switch stands"),
        Field::text("switch", "\"gear\"", "which switch").absent("a lever stands"),
        Field::text("to", "\"0.35\"", "its new place, of a lever from 0 to 1"),
    ],
    &[&["lever"], &["switch"]],
);

static TEXT: Form = Form::new(
    "text",
    "a file as it was flown",
    &[
        Field::text("file", "\"foxglove\"", "the name it was opened by"),
        Field::text("text", "\"\"\"...\"\"\"", "what stood in it"),
    ],
    &[],
);

impl Recording {
    /// The text of one of its files.
    #[must_use]
    pub const fn source(&self, kind: Kind) -> &Source {
        match kind {
            Kind::Airframe => &self.airframe,
            Kind::Mix => &self.mix,
            Kind::Scenario => &self.scenario,
        }
    }

    /// The text of a recording file.
    #[must_use]
    pub fn written(&self) -> String {
        let mut text = format!(
            "# A flight by hand. See it again: countermix view --replay FILE\n\
             recording = {FORMAT}\nside = {}\n\n\
             # every {TICK} s: aileron, elevator, rudder (-1 to 1, + right or up), throttle (0 to 1), blends in or out\n\
             ticks = [\n",
            quoted(self.side.word())
        );
        for grip in &self.grips {
            let [aileron, elevator, rudder, throttle] = grip.sticks();
            let (blends, _) = BLENDS[usize::from(!grip.blends)];
            // writing to a text cannot fail
            let _ = writeln!(text, "  \"{aileron} {elevator} {rudder} {throttle} {blends}\",");
        }
        text.push_str("]\n");
        if !self.turns.is_empty() {
            text.push_str(
                "\n# levers and switches: moved before which tick, counted from 0, and to where\nturns = [\n",
            );
            for turn in &self.turns {
                let _ = writeln!(text, "  {},", written(turn));
            }
            text.push_str("]\n");
        }
        for kind in Kind::ALL {
            let source = self.source(kind);
            let _ = write!(
                text,
                "\n[{}]\nfile = {}\ntext = {}\n",
                kind.word(),
                quoted(source.name()),
                block(source.text())
            );
        }
        text
    }
}

fn written(Turn { tick, what }: &Turn) -> String {
    let (key, to) = match what {
        Turned::Lever { at, .. } => ("lever", at.position().to_string()),
        Turned::Switch { is, .. } => ("switch", is.clone()),
    };
    format!("{{ tick = {tick}, {key} = {}, to = {} }}", quoted(what.name()), quoted(&to))
}

/// A TOML text in one line.
pub(crate) fn quoted(text: &str) -> String {
    format!("\"{}\"", escaped(text, false))
}

/// A TOML text of many lines that reads back as it was.
fn block(text: &str) -> String {
    format!("\"\"\"\n{}\"\"\"", escaped(text, true))
}

fn escaped(text: &str, lines: bool) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\\' => out.push_str("\\\\"),
            // between blocks of three a single one would do, but then what follows would matter
            '"' => out.push_str("\\\""),
            '\n' if lines => out.push('\n'),
            '\t' => out.push('\t'),
            c if c.is_control() => {
                let _ = write!(out, "\\u{:04X}", u32::from(c));
            }
            c => out.push(c),
        }
    }
    out
}

/// Reads a recording.
///
/// # Errors
/// [`Report`] with every fault at its line. Faults of the texts inside are found when they are read as what they are.
pub fn read_recording(source: Source) -> Result<Checked<Recording>, Report> {
    read_source(source, recording)
}

fn recording(root: &Item<'_>) -> Read<Recording> {
    let table = root.form(&RECORDING)?;
    let format = table.need("recording").and_then(|item| item.count(FORMAT, FORMAT));
    let side = table.choice("side", &SIDES);
    let grips = table.need("ticks").and_then(|item| ticks(&item));
    let turns = turns(&table, grips.as_ref().map_or(MOST, Vec::len));
    let texts = Kind::ALL.map(|kind| text_of(&table, kind));
    format?;
    let [airframe, mix, scenario] = texts;
    Ok(Recording {
        airframe: airframe?,
        mix: mix?,
        scenario: scenario?,
        side: side?,
        grips: grips?,
        turns: turns?,
    })
}

/// The text of one of the three files.
fn text_of(root: &Filled<'_>, kind: Kind) -> Read<Source> {
    let table = root.form(kind.word())?;
    let name = table.text("file");
    let text = table.need("text").and_then(|item| match item.as_str() {
        Some(text) => Ok(text.to_owned()),
        None => item.text(),
    });
    Ok(Source::new(name?, text?))
}

fn ticks(item: &Item<'_>) -> Read<Vec<Grip>> {
    let list = item.list()?;
    if list.is_empty() || list.len() > MOST {
        let found = format!("{} ticks", list.len());
        let next = "a recording is written by the window; take one that it wrote";
        return Err(item.fault(Says::new(found, format!("1 to {MOST} ticks"), next)));
    }
    let grips: Vec<Read<Grip>> = list.iter().map(tick).collect();
    grips.into_iter().collect()
}

fn tick(item: &Item<'_>) -> Read<Grip> {
    let text = item.text()?;
    grip(&text).ok_or_else(|| {
        item.fault(Says::new(
            item.excerpt(),
            "aileron, elevator and rudder from -1 to 1 and throttle from 0 to 1, at most four decimals each, then in or \
             out for the blends, with blanks between",
            format!("write it like {EXAMPLE}"),
        ))
    })
}

fn turns(root: &Filled<'_>, ticks: usize) -> Read<Vec<Turn>> {
    let items = root.items("turns")?;
    let mut before = 0;
    let read: Vec<Read<Turn>> = items
        .iter()
        .map(|item| {
            let turn = turn(item)?;
            if turn.tick < before || turn.tick >= ticks {
                let (found, allowed) = (format!("tick {}", turn.tick), format!("{before} to {}", ticks - 1));
                let next = "a recording is written by the window; take one that it wrote";
                return Err(item.fault(Says::new(found, allowed, next)));
            }
            before = turn.tick;
            Ok(turn)
        })
        .collect();
    read.into_iter().collect()
}

fn turn(item: &Item<'_>) -> Read<Turn> {
    let table = item.form(&TURN)?;
    let tick = table.maybe_count("tick");
    let to = table.text("to");
    let (lever, switch) = (table.maybe_text("lever"), table.maybe_text("switch"));
    let what = match (lever?, switch?) {
        (Some(name), None) => {
            let place = table.need("to")?;
            let at = lever_place(&to?).ok_or_else(|| {
                let allowed = "a number from 0 to 1 with at most four decimals";
                place.fault(Says::new(place.excerpt(), allowed, "write it like \"0.35\""))
            });
            Turned::Lever { name, at: at? }
        }
        (None, Some(name)) => Turned::Switch { name, is: to? },
        _ => {
            let found = "a lever and a switch, or neither";
            return Err(item.fault(Says::new(found, "one of lever, switch", "leave one of them")));
        }
    };
    match tick? {
        Some(tick) => Ok(Turn { tick: tick as usize, what }),
        None => Err(table.missing("tick", "a whole number", "add it, such as tick = 0")),
    }
}

/// A place that reads back as it was written.
fn lever_place(text: &str) -> Option<LeverPlace> {
    let at: f64 = text.parse().ok()?;
    let place = LeverPlace::new(at);
    (place.position() == at).then_some(place)
}

/// A tick that reads back as it was written.
fn grip(text: &str) -> Option<Grip> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let [numbers @ .., blends] = words.as_slice() else { return None };
    let (_, blends) = BLENDS.into_iter().find(|(word, _)| word == blends)?;
    let numbers: Vec<f64> = numbers.iter().map(|word| word.parse().ok()).collect::<Option<_>>()?;
    let sticks: [f64; 4] = numbers.try_into().ok()?;
    let within = Stick::ALL.into_iter().all(|stick| {
        let (low, high) = stick.range();
        (low..=high).contains(&sticks[stick as usize])
    });
    let grip = Grip::new(sticks, blends);
    (within && grip.sticks() == sticks).then_some(grip)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn sample(text: &str, grips: Vec<Grip>) -> Recording {
        let source = |name: &str| Source::new(name, text);
        Recording {
            airframe: source("foxglove"),
            mix: source("my \"own\" mix.toml"),
            scenario: source("C:\\flights\\pass.toml"),
            side: Side::Left,
            grips,
            turns: Vec::new(),
        }
    }

    fn read(text: &str) -> Result<Recording, String> {
        read_recording(Source::new("flight.toml", text)).map(|c| c.value).map_err(|report| report.to_string())
    }

    proptest! {
        #[test]
        fn what_is_written_reads_back(
            text in "[ -~\\n\\r\\t\"'\\\\\u{0}-\u{8}äß°²]{1,60}",
            hand in proptest::collection::vec((-1.0..1.0f64, -1.0..1.0f64, -1.0..1.0f64, 0.0..1.0f64, any::<bool>()), 1..20),
            turned in proptest::collection::vec(("[!-~]{1,9}", -0.5..1.0f64, "[!-~][ -~]{0,5}[!-~]"), 0..4),
        ) {
            let grips = hand.into_iter().map(|(a, e, r, t, blends)| Grip::new([a, e, r, t], blends)).collect();
            let turns = turned.into_iter().map(|(name, at, is)| Turn {
                tick: 0,
                what: if at < 0.0 { Turned::switch(&name, &is) } else { Turned::lever(&name, at) },
            });
            let recording = Recording { turns: turns.collect(), ..sample(&text, grips) };
            prop_assert_eq!(read(&recording.written()), Ok(recording));
        }
    }

    #[test]
    fn a_broken_tick_is_told_at_its_line() {
        let good = sample("name = \"x\"\n", vec![Grip::new([0.0, 0.25, -0.1, 0.5], true); 3]).written();
        assert!(good.contains("  \"0 0.25 -0.1 0.5 in\","), "{good}");
        for (bad, word) in [
            ("0 0.25 -0.1 1.5 in", "1.5"),
            ("0 0.25 -0.1 0.5 on", "0.5 on"),
            ("0 0.25 -0.1 in", "-0.1 in"),
            ("0 0.25 -0.10001 0.5 in", "-0.10001"),
            ("0 nan -0.1 0.5 in", "nan"),
        ] {
            let words = read(&good.replacen("0 0.25 -0.1 0.5 in", bad, 1)).unwrap_err();
            assert!(words.contains("flight.toml") && words.contains(":7:3: ticks.1"), "{words}");
            assert!(words.contains(word) && words.contains("at most four decimals"), "{words}");
        }
    }

    #[test]
    fn a_broken_turn_is_told_at_its_line() {
        let turn = |tick, what| Turn { tick, what };
        let turns = vec![turn(1, Turned::lever("flap", 0.35)), turn(2, Turned::switch("gear", "down"))];
        let good =
            Recording { turns, ..sample("name = \"x\"\n", vec![Grip::new([0.0; 4], true); 3]) }.written();
        assert!(good.contains("  { tick = 1, lever = \"flap\", to = \"0.35\" },\n"), "{good}");
        assert!(read(&good).is_ok());
        for (from, to, word) in [
            ("to = \"0.35\"", "to = \"35 %\"", "at most four decimals"),
            ("lever = \"flap\"", "lever = \"flap\", switch = \"x\"", "one of lever, switch"),
            ("tick = 1", "tick = 3", "0 to 2"),
            ("tick = 2", "tick = 0", "1 to 2"),
            ("tick = 1, ", "", "no \"tick\""),
        ] {
            let words = read(&good.replacen(from, to, 1)).unwrap_err();
            assert!(words.contains("flight.toml:") && words.contains(word), "{words}");
        }
    }

    #[test]
    fn another_format_and_a_missing_text_are_told_together() {
        let good = sample("name = \"x\"\n", vec![Grip::new([0.0; 4], false)]).written();
        let bad = good.replace("recording = 1", "recording = 2").replace("[mix]", "[mixx]");
        let words = read(&bad).unwrap_err();
        assert!(
            words.contains("recording") && words.contains("mixx") && words.contains("no \"mix\""),
            "{words}"
        );
    }
}
