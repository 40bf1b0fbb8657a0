//! Golden flights: one airframe in every manoeuvre of the demo club, in the few numbers that a
//! pilot would look at. They hold no truth; they show what a change of the model changes.
//!
//! After a change that is meant:
//! `COUNTERMIX_RENEW=1 cargo test --test regress_flights`, then read the diff of
//! `tests/data/golden-flights.txt` and say in the commit why it moved.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop")]

mod support;

use aero::Coefficients;
use files::{Kind, demo_names};
use std::fmt::Write;
use std::path::PathBuf;
use study::{Contestant, Run, compare};
use support::{geometry, mix, scenario};

/// Manoeuvre, airframe, and the physical story of the numbers.
const FLIGHTS: [(&str, &str, &str); 16] = [
    (
        "down-line",
        "foxglove",
        "the elevator of level flight lifts where no weight asks for lift: to the canopy",
    ),
    (
        "flap-drop",
        "bramble",
        "flaps move the incidence of no lift; static stability turns that into a balloon",
    ),
    ("flat-turn", "larkspur", "sideslip and a fuselage that lifts sideways make the turn"),
    ("four-point-roll", "thistle", "every quarter asks another control for the weight"),
    ("full-throttle-run", "clover", "thrust line, jet on the tail, speed: a high wing rises"),
    ("go-around", "foxglove", "torque and swirl roll it while the speed is low"),
    ("half-rudder", "foxglove", "dihedral turns the rudder's sideslip into roll"),
    ("hover", "sorrel", "what torque the wing does not take out of the jet rolls the model"),
    ("inverted-45", "larkspur", "on its back the trimmed elevator pushes the wrong way"),
    ("inverted", "foxglove", "twice the relief: lift of one weight up, and once more for the other side"),
    ("knife-edge-pass", "foxglove", "a low wing in sideslip: tuck from the tail, roll from the dihedral"),
    ("push-tumble", "sorrel", "ailerons down take lift off the push: slower, truer"),
    ("roll-in", "bramble", "the wing that rises drags: adverse yaw, cured by rudder"),
    ("slow-roll", "larkspur", "height is lost where rudder and elevator change over"),
    ("steep-descent", "sorrel", "separated wing, held by the elevator: ailerons up let it stand steeper"),
    ("up-line", "larkspur", "no weight to carry, full torque: towards the canopy and to the left"),
];

#[test]
fn regress_every_manoeuvre_flies_as_it_did() {
    let mut known: Vec<&str> = FLIGHTS.iter().map(|(name, ..)| *name).collect();
    known.sort_unstable();
    let mut demo: Vec<&str> = demo_names(Kind::Scenario).collect();
    demo.sort_unstable();
    assert_eq!(known, demo, "a flight for each manoeuvre");
    let now: String = FLIGHTS.iter().map(|(name, airframe, story)| told(name, airframe, story)).collect();
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/data/golden-flights.txt");
    if std::env::var_os("COUNTERMIX_RENEW").is_some() {
        std::fs::write(&path, &now).unwrap();
    }
    let was = std::fs::read_to_string(&path).unwrap_or_default();
    let moved = difference(&was, &now);
    assert!(
        moved.is_empty(),
        "flights have changed:\n{moved}If that is meant: COUNTERMIX_RENEW=1 cargo test --test regress_flights"
    );
}

/// A heading, then a line for each side.
fn told(name: &str, airframe: &str, story: &str) -> String {
    let scenario = scenario(name);
    let contestant = Contestant { geometry: geometry(airframe), mix: mix(airframe) };
    let comparison = compare(&[contestant], &scenario, &Coefficients::default())
        .unwrap_or_else(|error| panic!("{name}, {airframe}: {error}"));
    let mut text = format!("{name}, {airframe}: {story}\n");
    for run in &comparison.runs {
        let _ = writeln!(text, "  {:<5} {}", run.side.word(), numbers(run));
    }
    text
}

/// What the table says of a run, and in both flights: height, speed, marks.
fn numbers(run: &Run) -> String {
    let both = |of: &dyn Fn(&manoeuvre::Verdict) -> f64, decimals: usize| {
        let [a, b] = run.flights.each_ref().map(|flight| {
            let written = format!("{:.decimals$}", of(&flight.verdict));
            if written == "-0" { "0".to_owned() } else { written }
        });
        format!("{a} -> {b}")
    };
    let beyond = run.flights[0].beyond.map(|b| format!("; {}", b.short())).unwrap_or_default();
    format!(
        "{}; height {} m; speed at the end {} m/s; marks {}{beyond}",
        run.short().join("; "),
        both(&|v| v.height, 0),
        both(&|v| v.speeds.end, 0),
        both(&|v| v.marks_exact(), 1),
    )
}

/// Lines that went and came, with the heading they stand under.
fn difference(was: &str, now: &str) -> String {
    let mut text = String::new();
    let (before, after): (Vec<&str>, Vec<&str>) = (was.lines().collect(), now.lines().collect());
    let mut heading = "";
    for line in after.iter().filter(|line| !before.contains(line) || !line.starts_with(' ')) {
        if !line.starts_with(' ') {
            heading = line;
            continue;
        }
        let side = &line[..8];
        let place = before.iter().position(|l| *l == heading);
        let old = place.and_then(|i| {
            before[i + 1..].iter().take_while(|l| l.starts_with(' ')).find(|l| l.starts_with(side))
        });
        let _ =
            writeln!(text, "{heading}\n  was {}\n  now {}", old.unwrap_or(&" (nothing)").trim(), line.trim());
    }
    if text.is_empty() && was != now {
        text = "headings or their order\n".to_owned();
    }
    text
}
