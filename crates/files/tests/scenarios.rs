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
    assert!(
        pass.sides == manoeuvre::Sides::Both
            && pass.compared == manoeuvre::Compared::All
            && pass.wind == [0.0; 3]
    );
    let settle = &pass.legs[1];
    assert_eq!(*settle.order(Stick::Aileron), Order::Hold(Quantity::Bank, Target::Value(-90.0 * DEG)));
    assert_eq!(*settle.order(Stick::Throttle), Order::Hold(Quantity::Airspeed, Target::Entry));
    let judged = &pass.legs[2];
    assert_eq!(*judged.order(Stick::Elevator), Order::LeftAlone(Quantity::Track, Target::Entry));
    assert_eq!(judged.judged.unwrap().bank, -90.0 * DEG);
    assert_eq!(*pass.legs[0].order(Stick::Rudder), Order::Keep, "not named");
}

#[test]
fn lines_endings_levers_and_what_is_judged() {
    let judged = "judged = { bank = \"-90 deg\" }";
    let climbing = read(&[
        (
            "height = \"80 m\"",
            "height = \"80 m\"\nclimb = \"90 deg\"\nthrottle = \"100 %\"\nlevers = [[\"flap\", \"20 %\"]]",
        ),
        (
            "lasts = \"0.5 s\"",
            "lasts = \"0.5 s\"\nuntil = [{ when = \"pitched\", below = \"-360 deg\" }]\nclimb = \"0 deg\"",
        ),
        ("elevator = { hold = \"track\", at = \"entry\" }", "elevator = { corrected = \"line\" }"),
        (
            judged,
            "judged = { as = \"hover\", climb = \"90 deg\" }\nlevers = [[\"flap\", [[\"0 s\", \"0 %\"], [\"1 s\", \"70 %\"]]]]\nswitches = [[\"gear\", \"down\"]]\n[[leg]]\nname = \"on\"\nlasts = \"1 s\"\njudged = \"goes on\"",
        ),
    ]);
    assert_eq!((climbing.start.climb, climbing.start.throttle), (90.0 * DEG, Some(1.0)));
    assert_eq!(climbing.start.levers, [("flap".to_owned(), 0.2)]);
    assert_eq!(
        [0, 1, 2].map(|i| climbing.legs[i].climb),
        [0.0, 90.0 * DEG, 90.0 * DEG],
        "that of the start, if not named"
    );
    let ends = &climbing.legs[0].ends.when[0];
    assert_eq!((ends.of, ends.value, ends.upwards), (manoeuvre::Passed::Pitched, -360.0 * DEG, false));
    assert_eq!(*climbing.legs[1].order(Stick::Elevator), Order::Corrected(Quantity::Line, Target::Entry));
    let (judged, legs) = climbing.judged().unwrap();
    assert_eq!((judged.as_what, judged.bank, legs), (manoeuvre::Judging::Hover, 0.0, 2..=3));
    assert_eq!(climbing.legs[2].levers[0].1, Order::Line(vec![(0.0, 0.0), (1.0, 0.7)]));
    assert_eq!(climbing.legs[2].switches, [("gear".to_owned(), "down".to_owned())]);
    assert_eq!(climbing.speeds[2].speed, Speed::Throttle(1.0));
}

#[test]
fn what_is_new_has_its_own_faults() {
    let judged = "judged = { bank = \"-90 deg\" }";
    for (changes, field) in [
        (vec![("lasts = \"0.5 s\"", "lasts = \"0.5 s\"\njudged = \"goes on\"")], "leg.1.judged"),
        (vec![(judged, "judged = \"goes on\"")], "leg.3.judged"),
        (vec![(judged, "judged = { as = \"loop\" }")], "leg.3.judged.as"),
        (vec![("lasts = \"0.5 s\"", "lasts = \"1 s\"\nuntil = [{ when = \"bank\" }]")], "leg.1.until.1"),
        (
            vec![("lasts = \"0.5 s\"", "lasts = \"1 s\"\nuntil = [{ when = \"bank\", above = \"3 m\" }]")],
            "leg.1.until.1.above",
        ),
        (vec![("lasts = \"0.5 s\"", "lasts = \"1 s\"\nlevers = [[\"flap\"]]")], "leg.1.levers.1"),
        (
            vec![(
                "lasts = \"0.5 s\"",
                "lasts = \"1 s\"\nlevers = [[\"flap\", \"1 %\"], [\"flap\", \"2 %\"]]",
            )],
            "leg.1.levers.2",
        ),
    ] {
        let found = faults(&changes);
        assert!(found.iter().any(|(f, ..)| f == field), "{field}: {found:?}");
    }
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
mine.toml:33:20: leg.2.aileron.hold
  33 | aileron = { hold = \"climb\", at = \"-90 deg\" }
     |                    ^^^^^^^
  found: the aileron holding the climb
  allowed: with the aileron one of bank, roll rate
  next: hold bank with the aileron
mine.toml: 1 fault"
    );
}

#[test]
fn what_cannot_be_flown_is_refused() {
    let judged = "judged = { bank = \"-90 deg\" }";
    for (changes, field, found) in [
        (vec![(judged, "")], "leg", "no leg that is judged"),
        (vec![("lasts = \"3 s\"", "lasts = \"0 s\"")], "leg.2.lasts", "\"0 s\""),
        (vec![("lasts = \"3 s\"", "lasts = \"500 s\"")], "leg.2.lasts", "\"500 s\""),
        (vec![("lasts = \"3 s\"", "lasts = 3")], "leg.2.lasts", "3, a bare number"),
        (vec![("name = \"settle\"", "name = \"run in\"")], "leg.2.name", "the name \"run in\" again"),
        (vec![("rudder = \"keep\"", "rudder = \"160 %\"")], "leg.3.rudder", "\"160 %\""),
        (vec![("throttle = \"keep\"", "throttle = \"-10 %\"")], "leg.3.throttle", "\"-10 %\""),
        (vec![("\"keep\"", "{ hold = \"track\", line = [] }")], "leg.3.rudder", "hold beside line"),
        (vec![("\"keep\"", "{ line = [] }")], "leg.3.rudder.line", "a line without points"),
        (vec![("speed = \"130 %\"", "speed = \"13 %\"")], "start.speed", "\"13 %\""),
        (vec![("speed = \"130 %\"", "speed = \"250 m/s\"")], "start.speed", "\"250 m/s\""),
        (vec![(judged, "judged = { bank = \"90 deg\" }")], "leg.3.judged.bank", "the text \"90 deg\""),
        // the same attitude as 90 deg, with the sign of the other side
        (vec![(judged, "judged = { bank = \"-270 deg\" }")], "leg.3.judged.bank", "\"-270 deg\""),
        (vec![("at = \"-90 deg\"", "at = \"-270 deg\"")], "leg.2.aileron.at", "\"-270 deg\""),
        (vec![("at = \"0 deg\"", "at = \"95 deg\"")], "leg.2.rudder.at", "\"95 deg\""),
        (vec![("speed = \"130 %\"", "speed = \"-30 m/s\"")], "start.speed", "\"-30 m/s\""),
        (vec![("height = \"80 m\"", "height = \"-80 m\"")], "start.height", "\"-80 m\""),
        (
            vec![("[start]", "[wind]\nfrom = \"400 deg\"\nspeed = \"3 m/s\"\n[start]")],
            "wind.from",
            "\"400 deg\"",
        ),
        (
            vec![("[start]", "[wind]\nfrom = \"9 deg\"\nspeed = \"-3 m/s\"\n[start]")],
            "wind.speed",
            "\"-3 m/s\"",
        ),
        (vec![("\"keep\"", "{ line = [[\"-1 s\", \"0 %\"]] }")], "leg.3.rudder.line.1.1", "\"-1 s\""),
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

/// What is said of a changed demo that can be used.
fn cautions(changes: &[(&str, &str)]) -> String {
    read_scenario(changed(changes)).unwrap_or_else(|r| panic!("{r}")).cautions.to_string()
}

/// The text of the report of a changed demo.
fn message(changes: &[(&str, &str)]) -> String {
    read_scenario(changed(changes)).unwrap_err().to_string()
}

#[test]
fn no_leg_is_told_where_it_belongs() {
    let text = demo();
    let head = text.split("[[leg]]").next().unwrap();
    let of = |text: String| read_scenario(Source::new("mine.toml", text)).unwrap_err().to_string();
    let next =
        "allowed: at least one leg\n  next: add a line [[leg]] and its keys below it\nmine.toml: 1 fault";
    assert!(of(head.to_owned()).ends_with(&format!("found: no \"leg\"\n  {next}")));
    assert!(of(format!("leg = []\n{head}")).ends_with(&format!("found: no leg\n  {next}")));
}

#[test]
fn an_airframe_is_a_demo_name_or_a_file() {
    assert_eq!(
        cautions(&[("\"larkspur\"", "\"models/larkspr.toml\""), ("\"foxglove\"", "\"my model\"")]),
        "\
mine.toml:7:14: caution: airframes.1
  7 | airframes = [\"models/larkspr.toml\", \"my model\"]
    |              ^^^^^^^^^^^^^^^^^^^^^
  found: \"models/larkspr.toml\", neither a file nor a demo airframe
  allowed: the path of an airframe file, or one of the demo names bramble, clover, foxglove, larkspur, sorrel, teasel, thistle
  next: did you mean \"larkspur\"?
mine.toml:7:37: caution: airframes.2
  7 | airframes = [\"models/larkspr.toml\", \"my model\"]
    |                                     ^^^^^^^^^^
  found: \"my model\", neither a file nor a demo airframe
  allowed: the path of an airframe file, or one of the demo names bramble, clover, foxglove, larkspur, sorrel, teasel, thistle
  next: check the path; it begins at the scenario's folder
mine.toml: 0 faults, 2 cautions"
    );
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("mine.toml").display().to_string().replace('\\', "/");
    let named = format!("\"{path}\"");
    assert!(cautions(&[("\"larkspur\"", &named)]).contains("neither a file"), "not there yet");
    std::fs::write(&path, "").unwrap();
    assert_eq!(read(&[("\"larkspur\"", &named)]).airframes, [path, "foxglove".to_owned()]);
}

#[test]
fn a_start_speed_may_be_of_two_kinds() {
    assert_eq!(
        message(&[("speed = \"130 %\" ", "speed = \"130\" ")]),
        "\
mine.toml:11:9: start.speed
  11 | speed = \"130\"                # of the speed the model is trimmed at
     |         ^^^^^
  found: the text \"130\"
  allowed: a percentage of the trimmed speed in %, a speed in m/s, km/h, mph or ft/s, or \"full throttle\"
  next: write it like \"130 %\" or \"30 m/s\"
mine.toml: 1 fault"
    );
}

#[test]
fn words_beside_quantities_are_offered() {
    assert_eq!(
        message(&[("rudder = \"keep\"", "rudder = \"kep\""), ("at = \"entry\"", "at = \"entri\"")]),
        "\
mine.toml:34:35: leg.2.elevator.at
  34 | elevator = { hold = \"track\", at = \"entri\" }
     |                                   ^^^^^^^
  found: \"entri\", not a number
  allowed: an angle in deg or rad, or \"entry\"
  next: did you mean \"entry\"?
mine.toml:43:10: leg.3.rudder
  43 | rudder = \"kep\"
     |          ^^^^^
  found: \"kep\", not a number
  allowed: \"keep\", a position such as \"60 %\", or a table with hold, corrected, left_alone or line
  next: did you mean \"keep\"?
mine.toml: 2 faults"
    );
}

#[test]
fn a_target_beside_a_line_is_not_passed_over() {
    assert_eq!(
        message(&[("rudder = \"keep\"", "rudder = { line = [[\"0 s\", \"0 %\"]], at = \"entry\" }")]),
        "\
mine.toml:43:42: leg.3.rudder.at
  43 | rudder = { line = [[\"0 s\", \"0 %\"]], at = \"entry\" }
     |                                          ^^^^^^^
  found: a target beside a line
  allowed: at beside what is held at a value: a line says itself where it is
  next: remove one of the two
mine.toml: 1 fault"
    );
}

/// What is wrong with one leg hides nothing about the others, nor about all of them.
#[test]
fn legs_are_looked_at_whatever_else_is_wrong() {
    let found = faults(&[
        ("lasts = \"0.5 s\"", "lasts = \"x\""),
        ("name = \"settle\"", "name = \"run in\""),
        ("name = \"pass\"", "name = \"run in\""),
        ("judged = { bank = \"-90 deg\" }", ""),
    ]);
    let fields: Vec<&str> = found.iter().map(|(field, ..)| field.as_str()).collect();
    assert_eq!(fields, ["leg", "leg.1.lasts", "leg.2.name", "leg.3.name"]);
    let both =
        faults(&[("elevator = { hold = \"track\", at = \"entry\" }", "elevator = { hold = \"bank\" }")]);
    let fields: Vec<&str> = both.iter().map(|(field, ..)| field.as_str()).collect();
    assert_eq!(fields, ["leg.2.elevator.at", "leg.2.elevator.hold"]);
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
