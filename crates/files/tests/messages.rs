//! Messages in full, as a pilot reads them.
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use files::{Kind, Source, find, read_airframe, read_mix};

/// Larkspur with changes, each of a piece of text that occurs.
fn larkspur(changes: &[(&str, &str)]) -> Source {
    changed(find(Kind::Airframe, "larkspur").unwrap().text(), changes)
}

fn changed(text: &str, changes: &[(&str, &str)]) -> Source {
    let mut text = text.to_owned();
    for (old, new) in changes {
        assert!(text.contains(old), "{old}");
        text = text.replacen(old, new, 1);
    }
    Source::new("mine.toml", text)
}

/// The report of a changed Larkspur.
fn of_airframe(changes: &[(&str, &str)]) -> String {
    read_airframe(larkspur(changes)).unwrap_err().to_string()
}

/// Field and found of every fault of a changed Larkspur.
fn found(changes: &[(&str, &str)]) -> Vec<(String, String)> {
    let report = read_airframe(larkspur(changes)).unwrap_err();
    report.faults().iter().map(|fault| (fault.field.clone(), fault.found.clone())).collect()
}

fn one(field: &str, found: &str) -> Vec<(String, String)> {
    vec![(field.to_owned(), found.to_owned())]
}

fn of_mix(text: &str) -> String {
    read_mix(Source::new("mix.toml", text)).unwrap_err().to_string()
}

#[test]
fn all_faults_come_at_once_with_their_lines() {
    let message = of_airframe(&[
        ("all_up = \"5.00 kg\"", "all_up = 5"),
        ("speed = \"25 m/s\"", "sped = \"25 m/s\""),
        ("chord = \"240 mm\"", "chord = \"240\""),
        ("chord = \"45 %\"", "chord = \"45 mm\""),
    ]);
    assert_eq!(
        message,
        "\
mine.toml:10:10: mass.all_up
  10 | all_up = 5                        # ready to fly, batteries in
     |          ^
  found: 5, a bare number
  allowed: a mass in kg, g, lb or oz
  next: write it in quotes with its unit: \"5 kg\"
mine.toml:13:1: trimmed.speed
  13 | [trimmed]
     | ^^^^^^^^^
  found: no \"speed\"
  allowed: a speed in m/s, km/h, mph or ft/s
  next: add it, such as speed = \"25 m/s\"
mine.toml:14:1: trimmed.sped
  14 | sped = \"25 m/s\"                          # where it flies level, hands off
     | ^^^^
  found: the unknown key \"sped\"
  allowed: speed
  next: did you mean \"speed\"?
mine.toml:21:78: panel.1.tip.chord
  21 | tip = { station = \"97 mm\", waterline = \"0 mm\", buttline = \"1000 mm\", chord = \"240\" }
     |                                                                              ^^^^^
  found: \"240\", without a unit
  allowed: a length in mm, cm, m, in or ft
  next: add the unit: \"240 mm\"
mine.toml:38:9: panel.2.hinge.1.chord
  38 | chord = \"45 mm\"
     |         ^^^^^^^
  found: \"45 mm\", a length
  allowed: a percentage in %
  next: check the unit, and that the value stands at the right key
mine.toml: 5 faults"
    );
}

#[test]
fn a_quantity_without_quotes_gets_its_quotes() {
    let message = of_airframe(&[("\"25 m/s\"", "25 m/s")]);
    assert_eq!(
        message,
        "\
mine.toml:14:9: the file
  14 | speed = 25 m/s                          # where it flies level, hands off
     |         ^^^^^^
  found: 25 m/s, without straight quotes
  allowed: a text or a quantity in straight double quotes
  next: write \"25 m/s\"
mine.toml: 1 fault"
    );
}

#[test]
fn long_lines_are_cut_around_the_fault_and_control_characters_do_not_reach_the_terminal() {
    let message = of_mix(
        "name = \"x\"\nrates.a = { aileron = { throw = \"100 %\", expo = \"0 %\" }, elevator = { throw = \"100 %\", expo = \"a\\u001b[31m\" }, rudder = { throw = \"100 %\" } }\n",
    );
    assert_eq!(
        message,
        "\
mix.toml:2:95: rates.a.elevator.expo
  2 | ... = \"0 %\" }, elevator = { throw = \"100 %\", expo = \"a\\u001b[31m\" }, rudder = { throw = \"100 %\" } }
    |                                                     ^^^^^^^^^^^^^
  found: \"a\u{fffd}[31m\", not a number
  allowed: a percentage in %
  next: write it like \"35 %\"
mix.toml: 1 fault"
    );
}

#[test]
fn two_ends_that_disagree_are_both_named() {
    assert_eq!(
        of_airframe(&[("from = \"12 %\"", "from = \"60 %\""), ("to = \"100 %\"", "to = \"45 %\"")]),
        "\
mine.toml:28:6: panel.1.hinge.1.to
  28 | to = \"45 %\"
     |      ^^^^^^
  found: to = 45 %, but from = 60 % (panel.1.hinge.1.from on line 27)
  allowed: to beyond from, both as a share of the panel's length from its root
  next: swap them, or measure again from the root
mine.toml: 1 fault"
    );
    assert_eq!(
        of_airframe(&[("idle = \"1060 rpm\"", "idle = \"10600 rpm\"")]),
        "\
mine.toml:84:8: motor.idle
  84 | idle = \"10600 rpm\"
     |        ^^^^^^^^^^^
  found: idle not below full (motor.full on line 83)
  allowed: idle below half below full, all static, in rpm
  next: check them with the model held
mine.toml: 1 fault"
    );
}

#[test]
fn a_caution_does_not_stop_the_reading() {
    let read = read_airframe(larkspur(&[("station = \"180 mm\"", "station = \"500 mm\"")])).unwrap();
    assert_eq!(read.value.mass.station.value, 0.5);
    assert_eq!(
        read.cautions.to_string(),
        "\
mine.toml:11:22: caution: mass.centre.station
  11 | centre = { station = \"500 mm\", waterline = \"0 mm\" }   # hung from two fingers, then on its side
     |                      ^^^^^^^^
  found: 500 mm, but the wing reaches from station 0 mm to 420 mm
  allowed: any; most models balance within their wing's chord
  next: check that it is measured from the same datum as the wing
mine.toml: 0 faults, 1 caution"
    );
}

#[test]
fn sizes_out_of_bounds() {
    assert_eq!(found(&[("chord = \"420 mm\"", "chord = \"0 mm\"")]), one("panel.1.root.chord", "\"0 mm\""));
    assert_eq!(
        found(&[("chord = \"420 mm\"", "chord = \"-42 cm\"")]),
        one("panel.1.root.chord", "\"-42 cm\"")
    );
    assert_eq!(found(&[("chord = \"420 mm\"", "chord = \"420 m\"")]), one("panel.1.root.chord", "\"420 m\""));
    assert_eq!(
        found(&[("throw = \"28 deg\"", "throw = \"61 deg\"")]),
        one("panel.1.hinge.1.throw", "\"61 deg\"")
    );
    assert_eq!(found(&[("to = \"100 %\"", "to = \"101 %\"")]), one("panel.1.hinge.1.to", "\"101 %\""));
}

#[test]
fn panels_that_make_no_sense() {
    assert_eq!(
        found(&[("buttline = \"1000 mm\"", "buttline = \"0 mm\"")]),
        one("panel.1.tip.buttline", "the tip's buttline is 0 mm, the root's 0 mm (its default)")
    );
    assert_eq!(
        found(&[("waterline = \"410 mm\"", "waterline = \"-290 mm\"")]),
        one(
            "panel.3.tip.waterline",
            "the tip's waterline is -290 mm, the root's 60 mm (panel.3.root.waterline on line 46)"
        )
    );
    assert_eq!(
        found(&[(
            "waterline = \"0 mm\", chord = \"420 mm\"",
            "waterline = \"0 mm\", buttline = \"80 mm\", chord = \"420 mm\""
        )]),
        one("panel.1.root.buttline", "80 mm, beside the plane of symmetry")
    );
    assert_eq!(
        found(&[
            ("part = \"lower fin\"", "part = \"fin\""),
            ("waterline = \"-90 mm\"", "waterline = \"90 mm\"")
        ]),
        one("panel.4", "a second fin; the first is panel.3 on line 44")
    );
    assert_eq!(
        found(&[("\"1100 mm\"", "\"-1100 mm\""), ("\"1115 mm\"", "\"-1115 mm\""),]),
        one(
            "panel.2",
            "the root of the tailplane at station -1100 mm, that of the wing at 0 mm (panel.1 on line 18)"
        )
    );
    assert_eq!(found(&[("name = \"rudder\"", "name = \"flap\"")]), one("panel.3.hinge.1.name", "\"flap\""));
}

#[test]
fn missing_parts_are_named() {
    let text = larkspur(&[]).text().to_owned();
    let (before, rest) = text.split_once("[[panel]]").unwrap();
    let (_, after) = rest.split_once("[body]").unwrap();
    let report = read_airframe(Source::new("mine.toml", format!("{before}[body]{after}"))).unwrap_err();
    let found: Vec<_> = report.faults().iter().map(|fault| fault.found.as_str()).collect();
    assert_eq!(found, ["no wing", "no tailplane", "no fin"]);
}

#[test]
fn hinges_side_by_side() {
    let flap = "\n[[panel.hinge]]\nname = \"flap\"\nchord = \"25 %\"\nfrom = \"5 %\"\nto = \"50 %\"\nthrow = \"40 deg\"\n";
    let with = |hinge: &str| found(&[("throw = \"28 deg\"\n", &format!("throw = \"28 deg\"\n{hinge}"))]);
    assert_eq!(
        with(flap),
        one(
            "panel.1.hinge.2",
            "the flap from 5 % to 50 % overlaps the aileron from 12 % to 100 % (panel.1.hinge.1 on line 24)"
        )
    );
    let twin = flap.replace("flap", "aileron");
    assert_eq!(with(&twin), one("panel.1.hinge.2", "the name \"aileron\" again"));
    let still = flap.replace("throw = \"40 deg\"", "throw_up = \"0 deg\"\nthrow_down = \"0 deg\"");
    assert_eq!(with(&still), one("panel.1.hinge.2", "hardly any throw_up or throw_down"));
}

#[test]
fn masses_that_no_body_has() {
    let inertia = |roll: &str| {
        let line = format!("[trimmed]\n# {roll}\n");
        let mass = format!(
            "inertia = {{ roll = \"{roll}\", pitch = \"0.3 kg m2\", yaw = \"0.4 kg m2\" }}\n\n{line}"
        );
        larkspur(&[("[trimmed]\n", &mass)])
    };
    assert!(read_airframe(inertia("0.7 kg m2")).is_ok());
    let report = read_airframe(inertia("0.71 kg m2")).unwrap_err();
    assert_eq!(report.faults()[0].found, "0.71 kg m2, more than pitch and yaw together (0.7 kg m2)");
    assert_eq!(
        found(&[("station = \"180 mm\"", "station = \"180 cm\"")]),
        one("mass.centre.station", "1800 mm, but the model reaches from station -515 mm to 1498 mm")
    );
    assert_eq!(
        found(&[("waterline = \"0 mm\" }   # hung", "waterline = \"-500 mm\" }   # hung")]),
        one("mass.centre.waterline", "-500 mm, but the model reaches from waterline -130 mm to 410 mm")
    );
}

#[test]
fn body_and_propulsor() {
    assert_eq!(
        found(&[("station = \"105 mm\"", "station = \"-345 mm\"")]),
        one("body.stations.3", "station -345 mm, not behind -345 mm of body.stations.2 on line 74")
    );
    assert_eq!(found(&[("[propeller]", "[fan]")]), one("fan.inlet", "no \"inlet\""));
    assert_eq!(
        found(&[("[propeller]", "[fan]\n[propeller]")]),
        one("fan", "a fan beside propeller on line 88")
    );
    assert_eq!(
        found(&[("down_thrust = \"0 deg\"", "rotation = \"clockwis\"")]),
        one("propeller.rotation", "\"clockwis\"")
    );
}

#[test]
fn a_fan_reads() {
    let fan = larkspur(&[(
        "[propeller]",
        "[fan]\ninlet = \"75 cm2\"\nblades = 11\ncoefficients = { thrust = 0.9, no_thrust = 2.8, power = 1.1, no_power = 3.0 }",
    )]);
    let read = read_airframe(fan).unwrap_or_else(|report| panic!("{report}"));
    assert_eq!(read.value.propulsor.duct_inlet.unwrap().value, 0.0075);
    assert_eq!(read.value.propulsor.blades, 11);
    assert_eq!(read.value.propulsor.measured.no_power, Some(3.0));
}

#[test]
fn written_tolerances_win_over_the_defaults() {
    let read = read_airframe(larkspur(&[("\"5.00 kg\"", "\"5.00 ± 0.01 kg\"")])).unwrap();
    assert_eq!(read.value.mass.all_up, measure::Measured::with_tolerance(5.0, 0.01));
}

const BLEND: &str = "name = \"x\"\n[rates.aloft]\nrudder = { expo = \"20 %\" }\n[rates.landing]\n\n[[blend]]\nname = \"pitch\"\nfrom = \"rudder\"\nto = \"elevator\"\n";

#[test]
fn a_mix_reads_as_written() {
    use measure::Stick;
    use mix::{Condition, Follower, Lead, Rate, Shape};
    let text = format!(
        "{BLEND}curve = [[\"-100 %\", \"2 %\"], [\"0 %\", \"0 %\"], [\"100 %\", \"-3 %\"]]\n\
         engaged = {{ all = [{{ rates = \"aloft\" }}, {{ not = {{ gear = \"down\" }} }}, \
         {{ any = [{{ switch = \"down-line\", is = \"on\" }}, {{ lever = \"crow\", above = \"10 %\" }}] }}, \
         {{ stick = \"throttle\", above = \"5 %\", below = \"50 %\" }}] }}\nfade = \"0.3 s\"\nslow = \"1500 ms\"\n\
         [[blend]]\nname = \"lever\"\nfrom = {{ lever = \"spare 1\" }}\nto = \"ailerons together\"\nfull = \"-50 %\"\n"
    );
    let mix = read_mix(Source::new("mix.toml", text)).unwrap_or_else(|report| panic!("{report}")).value;
    assert_eq!(mix.rates.iter().map(|set| set.name.as_str()).collect::<Vec<_>>(), ["aloft", "landing"]);
    assert_eq!(mix.rates[0].sticks[2], Rate { throw: 1.0, expo: 0.2 });
    assert_eq!(mix.rates[0].sticks[0], Rate { throw: 1.0, expo: 0.0 });
    let [pitch, lever] = mix.blends.as_slice() else { panic!("{mix:?}") };
    assert_eq!(pitch.shape, Shape::Curve(vec![(-1.0, 0.02), (0.0, 0.0), (1.0, -0.03)]));
    assert_eq!((pitch.fade, pitch.slow), (0.3, 1.5));
    assert_eq!(
        pitch.engaged,
        Condition::All(vec![
            Condition::Rates("aloft".into()),
            Condition::Not(Box::new(Condition::Switch { name: "gear".into(), is: "down".into() })),
            Condition::Any(vec![
                Condition::Switch { name: "down-line".into(), is: "on".into() },
                Condition::LeverAbove { name: "crow".into(), threshold: 0.1 },
            ]),
            Condition::All(vec![
                Condition::StickAbove { stick: Stick::Throttle, threshold: 0.05 },
                Condition::StickBelow { stick: Stick::Throttle, threshold: 0.5 },
            ]),
        ])
    );
    assert_eq!(lever.from, Lead::Lever("spare 1".into()));
    assert_eq!(lever.to, Follower::AileronsTogether);
    assert_eq!(lever.shape, Shape::TwoSided { left: 0.0, right: -0.5 });
    assert_eq!(lever.engaged, Condition::Always);
}

#[test]
fn a_mix_has_the_keys_of_its_lead() {
    assert_eq!(
        of_mix(&format!("{}up = \"3 %\"\n", BLEND.replace("\"rudder\"", "\"throttle\""))),
        "\
mix.toml:10:6: blend.1.up
  10 | up = \"3 %\"
     |      ^^^^^
  found: the key \"up\"
  allowed: full, or a curve, for the lead \"throttle\"
  next: use the keys that belong to this lead, or check the lead
mix.toml: 1 fault"
    );
    assert_eq!(
        of_mix(&format!("{}left = \"3 %\"\n", BLEND)),
        "\
mix.toml:6:1: blend.1.right
  6 | [[blend]]
    | ^^^^^^^^^
  found: no \"right\"
  allowed: left and right, or a curve, for the lead \"rudder\"
  next: add it, such as right = \"-3 %\"
mix.toml: 1 fault"
    );
}

#[test]
fn what_the_mix_itself_refuses_stands_at_its_line() {
    let shares = "left = \"1 %\"\nright = \"-2 %\"\n";
    assert_eq!(
        of_mix(&format!("{BLEND}{shares}engaged = {{ rates = \"alfot\" }}\n")),
        "\
mix.toml:12:11: blend.1.engaged
  12 | engaged = { rates = \"alfot\" }
     |           ^^^^^^^^^^^^^^^^^^^
  found: rates \"alfot\"
  allowed: \"aloft\", \"landing\"
  next: did you mean \"aloft\"?
mix.toml: 1 fault"
    );
    assert_eq!(
        of_mix(&format!("{BLEND}curve = [[\"25 %\", \"-3 %\"], [\"0 %\", \"0 %\"]]\n")),
        "\
mix.toml:10:9: blend.1.curve
  10 | curve = [[\"25 %\", \"-3 %\"], [\"0 %\", \"0 %\"]]
     |         ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
  found: point 2 at lead 0 % after one at 25 %
  allowed: leads that rise from point to point
  next: sort the points by their first number and keep one for each lead
mix.toml: 1 fault"
    );
    let second = "[[blend]]\nname = \"back\"\nfrom = \"elevator\"\nto = \"rudder\"\ndown = \"1 %\"\nup = \"1 %\"\nafter = \"pitch\"\n";
    assert_eq!(
        of_mix(&format!("{BLEND}{shares}after = \"back\"\n{second}")),
        "\
mix.toml:19:9: blend.2.after
  19 | after = \"pitch\"
     |         ^^^^^^^
  found: \"back\" after \"pitch\" after \"back\"
  allowed: chains that end
  next: take `after` out of one of these
mix.toml: 1 fault"
    );
    assert_eq!(
        of_mix(&format!(
            "{BLEND}{shares}{}",
            second.replace("back", "pitch").replace("after = \"pitch\"\n", "")
        )),
        "\
mix.toml:13:8: blend.2.name
  13 | name = \"pitch\"
     |        ^^^^^^^
  found: two blends called \"pitch\"
  allowed: one blend of each name
  next: rename one of them, or put both into one curve
mix.toml: 1 fault"
    );
}

#[test]
fn names_are_not_called_unknown_while_something_is_unreadable() {
    let report = of_mix(&format!(
        "{BLEND}left = \"1\"\nright = \"1 %\"\n\
         [[blend]]\nname = \"b\"\nfrom = \"elevator\"\nto = \"rudder\"\ndown = \"1 %\"\nup = \"1 %\"\nafter = \"pitch\"\n"
    ));
    assert_eq!(
        report,
        "\
mix.toml:10:8: blend.1.left
  10 | left = \"1\"
     |        ^^^
  found: \"1\", without a unit
  allowed: a percentage in %
  next: add the unit: \"1 %\"
mix.toml: 1 fault"
    );
}
