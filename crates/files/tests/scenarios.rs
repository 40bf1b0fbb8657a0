//! Scenario files: what they say, and what is said of their faults.
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use files::{Kind, Source, demo_names, find, read_scenario};
use manoeuvre::{Order, Quantity, Scenario, Speed, Target};
use measure::{DEG, Stick};

fn demo() -> String {
    find(Kind::Scenario, "knife-edge-pass").unwrap().text().to_owned()
}

fn changed(changes: &[(&str, &str)]) -> Source {
    let mut text = demo();
    for (old, new) in changes {
        assert!(text.contains(old), "{old}");
        text = text.replacen(old, new, 1);
    }
    Source::new("mine.toml", text)
}

fn read(changes: &[(&str, &str)]) -> Scenario {
    read_scenario(changed(changes)).unwrap_or_else(|r| panic!("{r}")).value
}

/// Field, what was found and the next step of every fault.
fn faults(changes: &[(&str, &str)]) -> Vec<(String, String, String)> {
    let report = read_scenario(changed(changes)).unwrap_err();
    report.faults().iter().map(|f| (f.field.clone(), f.found.clone(), f.next.clone())).collect()
}

#[test]
fn every_demo_scenario_reads_without_a_word() {
    assert!(demo_names(Kind::Scenario).count() > 0);
    for name in demo_names(Kind::Scenario) {
        let checked = read_scenario(find(Kind::Scenario, name).unwrap()).unwrap_or_else(|r| panic!("{r}"));
        assert!(checked.cautions.is_empty(), "{}", checked.cautions);
        for airframe in &checked.value.airframes {
            assert!(demo_names(Kind::Airframe).any(|n| n == airframe), "{name} flies {airframe}");
        }
    }
}

#[test]
fn the_knife_edge_pass_says_what_it_says() {
    let pass = read(&[]);
    assert_eq!(pass.start.speed, Speed::Trimmed(1.3));
    assert!(pass.both_sides && pass.compared.is_empty() && pass.wind == [0.0; 3]);
    let settle = &pass.legs[1];
    assert_eq!(*settle.order(Stick::Aileron), Order::Hold(Quantity::Bank, Target::Value(-90.0 * DEG)));
    assert_eq!(*settle.order(Stick::Throttle), Order::Hold(Quantity::Airspeed, Target::Entry));
    let judged = &pass.legs[2];
    assert_eq!(*judged.order(Stick::Elevator), Order::LeftAlone(Quantity::Track, Target::Entry));
    assert_eq!(judged.judged.unwrap().bank, -90.0 * DEG);
    assert_eq!(*pass.legs[0].order(Stick::Rudder), Order::Keep, "not named");
}

#[test]
fn positions_lines_speeds_and_wind() {
    let pass = read(&[
        ("speed = \"130 %\"", "speed = \"30 m/s\""),
        ("[[leg]]", "[wind]\nfrom = \"90 deg\"\nspeed = \"3 m/s\"\n[[leg]]"),
        ("rudder = \"keep\"", "rudder = \"60 %\""),
        ("throttle = \"keep\"", "throttle = { line = [[\"0 s\", \"20 %\"], [\"1 s\", \"100 %\"]] }"),
    ]);
    assert_eq!(pass.start.speed, Speed::Absolute(30.0));
    let [north, east, down] = pass.wind;
    assert!(north.abs() < 1e-12 && (east + 3.0).abs() < 1e-12 && down == 0.0, "an east wind goes west");
    let leg = &pass.legs[2];
    assert_eq!(*leg.order(Stick::Rudder), Order::Fixed(0.6));
    assert_eq!(*leg.order(Stick::Throttle), Order::Line(vec![(0.0, 0.2), (1.0, 1.0)]));
}

#[test]
fn a_message_in_full() {
    let report = read_scenario(changed(&[(
        "aileron = { hold = \"bank\", at = \"-90 deg\" }",
        "aileron = { hold = \"climb\", at = \"-90 deg\" }",
    )]))
    .unwrap_err();
    assert_eq!(
        report.to_string(),
        "\
mine.toml:21:20: leg.2.aileron.hold
  21 | aileron = { hold = \"climb\", at = \"-90 deg\" }
     |                    ^^^^^^^
  found: the aileron holding the climb
  allowed: bank by aileron, track and climb by elevator or rudder, airspeed by throttle
  next: hold bank with the aileron
mine.toml: 1 fault"
    );
}

#[test]
fn what_cannot_be_flown_is_refused() {
    let judged = "judged = { bank = \"-90 deg\" }";
    for (changes, field, found) in [
        (vec![(judged, "")], "leg", "no leg that is judged"),
        (vec![(judged, "judged = { bank = \"0 deg\" }")], "leg.3.judged", "a judged bank of 0 deg"),
        (vec![("lasts = \"3 s\"", "lasts = \"0 s\"")], "leg.2.lasts", "\"0 s\""),
        (vec![("lasts = \"3 s\"", "lasts = \"500 s\"")], "leg.2.lasts", "\"500 s\""),
        (vec![("lasts = \"3 s\"", "lasts = 3")], "leg.2.lasts", "3, a bare number"),
        (vec![("name = \"settle\"", "name = \"run in\"")], "leg.2", "a second leg called \"run in\""),
        (vec![("rudder = \"keep\"", "rudder = \"160 %\"")], "leg.3.rudder", "\"160 %\""),
        (vec![("throttle = \"keep\"", "throttle = \"-10 %\"")], "leg.3.throttle", "\"-10 %\""),
        (vec![("\"keep\"", "{ hold = \"track\", line = [] }")], "leg.3.rudder", "hold beside line"),
        (vec![("\"keep\"", "{ line = [] }")], "leg.3.rudder.line", "a line without points"),
        (vec![("speed = \"130 %\"", "speed = \"13 %\"")], "start.speed", "\"13 %\""),
        (vec![("speed = \"130 %\"", "speed = \"250 m/s\"")], "start.speed", "\"250 m/s\""),
        (vec![("sides = \"both\"", "sides = \"left\"")], "sides", "\"left\""),
        (vec![("height = \"80 m\"", "heigth = \"80 m\"")], "start.heigth", "the unknown key \"heigth\""),
    ] {
        let faults = faults(&changes);
        assert!(faults.iter().any(|(f, what, _)| f == field && what == found), "{changes:?}: {faults:?}");
    }
}

#[test]
fn times_must_rise_and_points_have_two_values() {
    let line = |points: &str| format!("{{ line = {points} }}");
    let falling = line("[[\"1 s\", \"0 %\"], [\"1 s\", \"60 %\"]]");
    let found = faults(&[("\"keep\"", &falling)]);
    assert_eq!(found[0].1, "a time that is not after the one before it");
    let three = line("[[\"1 s\", \"0 %\", \"2 %\"]]");
    assert_eq!(faults(&[("\"keep\"", &three)])[0].1, "a point with 3 values");
}

#[test]
fn all_faults_come_at_once() {
    let found = faults(&[
        ("name = \"knife-edge pass\"", "nme = \"knife-edge pass\""),
        ("hold = \"track\"", "hold = \"tracks\""),
        ("lasts = \"0.5 s\"", "lasts = \"half a second\""),
    ]);
    let fields: Vec<&str> = found.iter().map(|(field, ..)| field.as_str()).collect();
    assert!(
        ["nme", "name", "leg.2.elevator.hold", "leg.1.lasts"].iter().all(|f| fields.contains(f)),
        "{fields:?}"
    );
    assert!(found.iter().any(|(_, _, next)| next == "did you mean \"track\"?"), "{found:?}");
}

#[test]
fn line_ends_and_marks_of_other_systems_are_the_same_file() {
    let plain = read(&[]);
    let windows = format!("\u{feff}{}", demo().replace('\n', "\r\n"));
    assert_eq!(read_scenario(Source::new("w.toml", windows)).unwrap().value, plain);
}
