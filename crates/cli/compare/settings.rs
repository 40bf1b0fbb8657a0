//! The speeds, winds and blends that were asked for, as scenarios.

use crate::load::Trouble;
use manoeuvre::{Compared, Scenario, Speed};
use measure::{Dimension, quantity};
use std::fmt::Write;

/// A scenario with what sets it apart from its siblings.
pub(super) struct Setting {
    /// `"slow, left"`; empty for the scenario as it is written.
    pub(super) words: String,
    pub(super) scenario: Scenario,
}

/// Speeds known by name where a scenario does not say otherwise.
const SPEEDS: [(&str, Speed); 3] =
    [("slow", Speed::Trimmed(0.75)), ("cruise", Speed::Trimmed(1.0)), ("full", Speed::Throttle(1.0))];
/// Directions from which the wind comes, for a pilot who flies the entry: north and east part of
/// where it goes to.
const WINDS: [(&str, [f64; 2]); 4] =
    [("ahead", [-1.0, 0.0]), ("behind", [1.0, 0.0]), ("left", [0.0, 1.0]), ("right", [0.0, -1.0])];
/// Calm and those, under one word.
const EVERY_WIND: [&str; 5] = ["calm", "ahead", "behind", "left", "right"];
/// Every speed, or every wind.
const ALL: &str = "all";
/// Where no speed is given [m/s].
const WIND_SPEED: f64 = 5.0;

/// Every speed in every wind.
pub(super) fn settings(
    scenario: &Scenario,
    speeds: &[String],
    winds: &[String],
    blends: &[String],
) -> Result<Vec<Setting>, Trouble> {
    let mut base = scenario.clone();
    if !blends.is_empty() {
        base.compared = Compared::These(blends.to_vec());
    }
    let plain = || Setting { words: String::new(), scenario: base.clone() };
    let mut at_speeds = Vec::new();
    for words in speeds {
        if words == ALL {
            at_speeds.extend(every_speed(&base));
        } else {
            at_speeds
                .push(Setting { words: words.clone(), scenario: base.at_speed(speed(scenario, words)?) });
        }
    }
    if at_speeds.is_empty() {
        at_speeds.push(plain());
    }
    let winds: Vec<&str> = winds
        .iter()
        .flat_map(|words| if words == ALL { EVERY_WIND.to_vec() } else { vec![words.as_str()] })
        .collect();
    let mut all = Vec::new();
    for setting in at_speeds {
        if winds.is_empty() {
            all.push(setting);
            continue;
        }
        for &words in &winds {
            let joined = [setting.words.as_str(), words];
            let joined = joined.into_iter().filter(|w| !w.is_empty()).collect::<Vec<_>>().join(", ");
            all.push(Setting { words: joined, scenario: setting.scenario.in_wind(wind(words)?) });
        }
    }
    Ok(all)
}

/// As it is written, and at every speed that it names.
fn every_speed(scenario: &Scenario) -> Vec<Setting> {
    let written = Setting { words: "as written".to_owned(), scenario: scenario.clone() };
    let is_named = scenario.speeds.iter().any(|named| named.speed == scenario.start.speed);
    let named = scenario
        .speeds
        .iter()
        .map(|named| Setting { words: named.name.clone(), scenario: scenario.at_speed(named.speed) });
    (!is_named).then_some(written).into_iter().chain(named).collect()
}

fn speed(scenario: &Scenario, words: &str) -> Result<Speed, Trouble> {
    if let Some(named) = scenario.speeds.iter().find(|named| named.name == words) {
        return Ok(named.speed);
    }
    if let Some((_, speed)) = SPEEDS.iter().find(|(name, _)| *name == words) {
        return Ok(*speed);
    }
    if let Ok(share) = quantity::parse(words, Dimension::Share) {
        return Ok(Speed::Trimmed(share.value));
    }
    if let Ok(speed) = quantity::parse(words, Dimension::Speed) {
        return Ok(Speed::Absolute(speed.value));
    }
    let mut known = String::new();
    let named = scenario.speeds.iter().map(|named| named.name.as_str());
    for name in named.chain(SPEEDS.map(|(name, _)| name)).chain([ALL]) {
        if !known.split(", ").any(|k| k == name) {
            let _ = write!(known, "{}{name}", if known.is_empty() { "" } else { ", " });
        }
    }
    Err(Trouble::new(&format!(
        "--speed {words}: this manoeuvre knows {known}; or give a percentage of the trimmed speed such as \"120 %\", or a \
         speed such as \"28 m/s\""
    )))
}

/// Where the air goes to, north, east, down [m/s]. The manoeuvre is entered northwards.
fn wind(words: &str) -> Result<[f64; 3], Trouble> {
    if words == "calm" {
        return Ok([0.0; 3]);
    }
    let (from, strength) = words.split_once(' ').unwrap_or((words, ""));
    let known = WINDS.iter().find(|(name, _)| *name == from);
    let speed = if strength.is_empty() {
        Some(WIND_SPEED)
    } else {
        quantity::parse(strength.trim(), Dimension::Speed).ok().map(|speed| speed.value)
    };
    match (known, speed.filter(|speed| (0.0..=30.0).contains(speed))) {
        (Some((_, [north, east])), Some(speed)) => Ok([north * speed, east * speed, 0.0]),
        _ => Err(Trouble::new(&format!(
            "--wind {words}: allowed are calm, ahead, behind, left, right, all, seen by a pilot flying the entry, with a speed \
             up to 30 m/s if it is not {WIND_SPEED} m/s, such as \"left 8 m/s\""
        ))),
    }
}
