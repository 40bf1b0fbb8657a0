//! No text makes the readers panic, hang or overflow the stack.
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use files::{Kind, Source, demo_names, find, read_airframe, read_mix, read_scenario};
use proptest::prelude::*;
use proptest::sample::Index;

fn texts(kind: Kind) -> Vec<String> {
    demo_names(kind).map(|name| find(kind, name).unwrap().text().to_owned()).collect()
}

/// Whatever a text says, reading it ends in a value or in a report with something to show.
fn survives(text: &str) {
    if let Err(report) = read_airframe(Source::new("a", text)) {
        assert!(report.stops() && report.to_string().contains("found: "));
    }
    if let Err(report) = read_mix(Source::new("m", text)) {
        assert!(report.stops() && report.to_string().contains("found: "));
    }
    if let Err(report) = read_scenario(Source::new("s", text)) {
        assert!(report.stops() && report.to_string().contains("found: "));
    }
}

/// One slip of the pen.
#[derive(Debug, Clone)]
enum Slip {
    Remove(Index, usize),
    Insert(Index, String),
    Repeat(Index),
    DropLine(Index),
    SwapLines(Index, Index),
}

fn slip() -> impl Strategy<Value = Slip> {
    let pieces = prop::sample::select(
        [
            "\"",
            "[",
            "]",
            "{",
            "}",
            "=",
            "\n",
            "-",
            "±",
            "9",
            "e9",
            "nan",
            " mm",
            "%",
            "#",
            "[[panel]]\n",
            ".",
            ",",
            "\u{0}",
            "ü",
        ]
        .to_vec(),
    );
    prop_oneof![
        (any::<Index>(), 1..20_usize).prop_map(|(at, length)| Slip::Remove(at, length)),
        (any::<Index>(), pieces).prop_map(|(at, piece)| Slip::Insert(at, piece.to_owned())),
        any::<Index>().prop_map(Slip::Repeat),
        any::<Index>().prop_map(Slip::DropLine),
        (any::<Index>(), any::<Index>()).prop_map(|(a, b)| Slip::SwapLines(a, b)),
    ]
}

fn with_slip(text: &str, slip: &Slip) -> String {
    let mut letters: Vec<char> = text.chars().collect();
    let mut lines: Vec<&str> = text.lines().collect();
    if letters.is_empty() || lines.is_empty() {
        return text.to_owned();
    }
    match slip {
        Slip::Remove(at, length) => {
            let at = at.index(letters.len());
            letters.drain(at..(at + length).min(letters.len()));
            return letters.into_iter().collect();
        }
        Slip::Insert(at, piece) => {
            let at = at.index(letters.len());
            letters.splice(at..at, piece.chars());
            return letters.into_iter().collect();
        }
        Slip::Repeat(at) => {
            let at = at.index(lines.len());
            lines.insert(at, lines[at]);
        }
        Slip::DropLine(at) => {
            lines.remove(at.index(lines.len()));
        }
        Slip::SwapLines(a, b) => {
            let (a, b) = (a.index(lines.len()), b.index(lines.len()));
            lines.swap(a, b);
        }
    }
    lines.join("\n")
}

proptest! {
    #[test]
    fn slips_of_the_pen_never_panic(
        kind in prop::sample::select(vec![Kind::Airframe, Kind::Mix, Kind::Scenario]),
        which in any::<Index>(),
        slips in prop::collection::vec(slip(), 1..6),
    ) {
        let texts = texts(kind);
        let text = slips.iter().fold(which.get(&texts).clone(), |text, slip| with_slip(&text, slip));
        survives(&text);
    }

    #[test]
    fn any_text_is_survived(text in "\\PC{0,200}") {
        survives(&text);
    }

    /// Right keys with values of any kind.
    #[test]
    fn any_value_at_a_known_key_is_survived(
        key in prop::sample::select(vec![
            "name", "mass", "panel", "body.stations", "body.drag", "motor.full", "fan", "door", "servo.rate",
            "rates", "rates.a.rudder", "blend", "mass.inertia.roll", "propeller.blades", "airframes", "compared",
            "sides", "start.speed", "wind.from", "wind", "leg",
        ]),
        value in prop::sample::select(vec![
            "1", "1.5", "inf", "-0", "\"\"", "\"1 mm\"", "[]", "[1]", "[[]]", "[{}]", "{}", "{a = 1}", "true",
            "1979-05-27", "0xff", "[{ name = \"x\", from = \"rudder\", to = \"door\", curve = [[]] }]",
            "[{ name = \"x\", lasts = \"3 s\", aileron = {}, rudder = { line = [[]], at = 1 }, judged = {} }]",
            "[\"\\u0000\", \"/\", \"..\"]",
            "[{ part = \"wing\", root = 1, tip = {}, section = [], hinge = [{}], strips = -1 }]",
        ]),
    ) {
        survives(&format!("{key} = {value}\n"));
    }
}

#[test]
fn deep_nesting_does_not_overflow_the_stack() {
    let deep = 200_000;
    for text in [
        format!("a = {}", "[".repeat(deep)),
        format!("a = {}{}", "[".repeat(deep), "]".repeat(deep)),
        format!("a = {}", "{ a = ".repeat(deep)),
        format!("{}b = 1", "a.".repeat(deep)),
        format!("[{}b]", "a.".repeat(deep)),
        format!("[[blend]]\nengaged = {}", "{ not = ".repeat(deep)),
        format!("[[blend]]\nengaged = {}\"always\"{}", "{ not = ".repeat(deep), " }".repeat(deep)),
    ] {
        let report = read_mix(Source::new("deep", text)).unwrap_err();
        assert!(report.to_string().len() < 20_000);
    }
}

#[test]
fn a_report_of_a_ruined_file_stays_readable() {
    let report = read_airframe(Source::new("ruined", "x = \"\\q\"\n".repeat(10_000))).unwrap_err();
    assert_eq!(report.faults().len(), 50);
    assert!(report.to_string().contains("and 20 more of the kind"));
}
