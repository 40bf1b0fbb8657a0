//! `countermix compare` as a pilot types it.
#![allow(clippy::unwrap_used, reason = "a test may stop")]

use serde_json::Value;
use std::path::Path;
use std::process::{Command, Output};

fn countermix(args: &[&str], folder: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_countermix")).args(args).current_dir(folder).output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

#[test]
fn words_and_plots() {
    let folder = tempfile::tempdir().unwrap();
    let output = countermix(&["compare", "knife-edge-pass"], folder.path());
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let words = text(&output.stdout);
    let sentences: Vec<&str> = words.lines().filter(|l| l.contains(" rudder (")).collect();
    assert_eq!(sentences.len(), 4, "{words}");
    let plots = folder.path().join("countermix-out/knife-edge-pass");
    for (airframe, side) in
        [("larkspur", "left"), ("larkspur", "right"), ("foxglove", "left"), ("foxglove", "right")]
    {
        let stem = plots.join(format!("{airframe}-{side}-rudder"));
        let svg = std::fs::read_to_string(stem.with_extension("svg")).unwrap();
        let sentence = sentences
            .iter()
            .find(|s| s.to_lowercase().starts_with(airframe) && s.contains(&format!("{side} rudder (")))
            .unwrap();
        assert!(
            svg.contains(&sentence.replace('"', "&quot;")) || svg.contains(*sentence),
            "the same sentence"
        );
        let png = std::fs::read(stem.with_extension("png")).unwrap();
        assert_eq!(&png[..4], b"\x89PNG");
    }
    assert!(words.contains("Percent: of the follower's full 100 % throw"));
    assert!(words.contains("not flown"), "the caution");
}

/// A second run makes a new folder: nothing is replaced.
#[test]
fn plots_are_never_replaced_unasked() {
    let folder = tempfile::tempdir().unwrap();
    for _ in 0..2 {
        assert!(countermix(&["compare", "knife-edge-pass", "larkspur"], folder.path()).status.success());
    }
    assert!(folder.path().join("countermix-out/knife-edge-pass-2/larkspur-left-rudder.svg").exists());
    let named = ["compare", "knife-edge-pass", "larkspur", "--out", "plots"];
    assert!(countermix(&named, folder.path()).status.success());
    let target = folder.path().join("plots/larkspur-left-rudder.svg");
    std::fs::write(&target, "mine").unwrap();
    let refused = countermix(&named, folder.path());
    assert_eq!(refused.status.code(), Some(2));
    assert!(text(&refused.stderr).contains("--force"));
    assert_eq!(std::fs::read_to_string(&target).unwrap(), "mine");
    let forced = [&named[..], &["--force"]].concat();
    assert!(countermix(&forced, folder.path()).status.success());
    assert_ne!(std::fs::read_to_string(&target).unwrap(), "mine");
}

#[test]
fn json_has_what_it_promises() {
    let folder = tempfile::tempdir().unwrap();
    let output = countermix(&["compare", "knife-edge-pass", "--json"], folder.path());
    assert_eq!(output.status.code(), Some(0));
    assert!(std::fs::read_dir(folder.path()).unwrap().next().is_none(), "no plots unless asked");
    let all: Value = serde_json::from_slice(&output.stdout).unwrap();
    let runs = all["runs"].as_array().unwrap();
    assert_eq!(runs.len(), 4);
    for run in runs {
        assert!(["left", "right"].contains(&run["side"].as_str().unwrap()));
        assert!(run["sentence"].as_str().unwrap().starts_with(run["airframe"].as_str().unwrap()));
        let flights = run["flights"].as_array().unwrap();
        let labels: Vec<&str> = flights.iter().map(|f| f["label"].as_str().unwrap()).collect();
        assert_eq!(labels, ["without", "with"]);
        for flight in flights {
            for key in [
                "heading_2s_deg",
                "bank_2s_deg",
                "path_2s_m",
                "drift_m",
                "held_elevator",
                "held_aileron",
                "marks",
                "marks_exact",
            ] {
                assert!(flight[key].as_f64().unwrap().is_finite(), "{key}");
            }
            assert!(flight["limits"].is_array());
            let (marks, exact) = (flight["marks"].as_f64().unwrap(), flight["marks_exact"].as_f64().unwrap());
            assert!(marks == marks.trunc() && (0.0..=10.0).contains(&marks) && (0.0..=10.0).contains(&exact));
            let (drift, path) = (flight["drift_m"].as_f64().unwrap(), flight["path_2s_m"].as_f64().unwrap());
            assert!(drift.abs() >= path.abs(), "the largest is no smaller than that after 2 s");
        }
    }
}

/// The claim of the demo, from the numbers: Foxglove needs its blends, Larkspur hardly does.
#[test]
fn foxglove_needs_its_blends() {
    let folder = tempfile::tempdir().unwrap();
    let output = countermix(&["compare", "knife-edge-pass", "--json"], folder.path());
    let all: Value = serde_json::from_slice(&output.stdout).unwrap();
    for run in all["runs"].as_array().unwrap() {
        let of = |flight: usize, key: &str| run["flights"][flight][key].as_f64().unwrap();
        let work = |flight: usize| of(flight, "held_elevator").abs() + of(flight, "held_aileron").abs();
        if run["airframe"] == "Foxglove" {
            assert!(
                of(0, "bank_2s_deg") > 45.0 && of(0, "heading_2s_deg") < -15.0,
                "rolls out, tucks: {run}"
            );
            assert!(of(1, "bank_2s_deg").abs() < 0.3 * of(0, "bank_2s_deg"), "{run}");
            assert!(work(1) < 0.3 * work(0), "{run}");
            assert!(of(1, "marks_exact") > of(0, "marks_exact") + 3.0, "{run}");
        } else {
            assert!(work(0) < 4.0, "percent of stick: {run}");
        }
    }
}

#[test]
fn bad_names_are_told_with_the_nearest_good_one() {
    let folder = tempfile::tempdir().unwrap();
    for (args, hint) in [
        (vec!["compare", "knife-edge-pas"], "knife-edge-pass"),
        (vec!["compare", "knife-edge-pass", "foxglov"], "foxglove"),
        (vec!["compare", "knife-edge-pass", "foxglove", "--mix", "larkspr"], "larkspur"),
    ] {
        let output = countermix(&args, folder.path());
        assert_eq!(output.status.code(), Some(2), "{args:?}");
        assert!(text(&output.stderr).contains(hint), "{}", text(&output.stderr));
        assert!(output.stdout.is_empty());
        assert!(std::fs::read_dir(folder.path()).unwrap().next().is_none(), "nothing written");
    }
}

/// Foxglove's mix moves nothing that Larkspur lacks, but a flap blend would.
#[test]
fn a_mix_that_moves_a_missing_surface_names_both() {
    let folder = tempfile::tempdir().unwrap();
    let mix = "name = \"with flaps\"\n[[blend]]\nname = \"flap it\"\nfrom = \"rudder\"\nto = \"flap\"\nleft = \"5 %\"\nright = \"5 %\"\nengaged = \"always\"\n";
    std::fs::write(folder.path().join("flaps.toml"), mix).unwrap();
    let output =
        countermix(&["compare", "knife-edge-pass", "larkspur", "--mix", "flaps.toml"], folder.path());
    assert_eq!(output.status.code(), Some(2));
    let words = text(&output.stderr);
    assert!(
        words.contains("flap it") && words.contains("with flaps") && words.contains("Larkspur"),
        "{words}"
    );
}

/// Two models of one name are two models: their plots do not replace each other.
#[test]
fn namesakes_are_kept_apart() {
    let folder = tempfile::tempdir().unwrap();
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/airframes/foxglove.toml");
    let raised =
        std::fs::read_to_string(path).unwrap().replace("waterline = \"-75 mm\"", "waterline = \"75 mm\"");
    std::fs::write(folder.path().join("raised.toml"), raised).unwrap();
    let args =
        ["compare", "knife-edge-pass", "foxglove", "raised.toml", "--mix", "foxglove", "--out", "plots"];
    let output = countermix(&args, folder.path());
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    for n in [1, 2] {
        assert!(folder.path().join(format!("plots/foxglove-{n}-right-rudder.svg")).exists(), "{n}");
    }
    let words = text(&output.stdout);
    assert!(words.contains("towards the gear and rolls out"), "the low wing tucks: {words}");
    assert!(words.contains("towards the canopy and rolls under"), "the high wing pulls: {words}");
}

fn demo(place: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios").join(place)).unwrap()
}

/// A scenario finds its airframes beside itself, from any folder; what is named on the command
/// line takes their place.
#[test]
fn airframes_lie_beside_their_scenario() {
    let folder = tempfile::tempdir().unwrap();
    let beside = folder.path().join("mine");
    std::fs::create_dir(&beside).unwrap();
    let pass = demo("knife-edge-pass.toml").replace("[\"larkspur\", \"foxglove\"]", "[\"heron.toml\"]");
    std::fs::write(beside.join("pass.toml"), pass).unwrap();
    std::fs::write(
        beside.join("heron.toml"),
        demo("airframes/foxglove.toml").replace("\"Foxglove\"", "\"Heron\""),
    )
    .unwrap();
    let output = countermix(&["compare", "mine/pass.toml", "--mix", "foxglove", "--json"], folder.path());
    assert_eq!(output.status.code(), Some(0), "{}", text_of(&output));
    assert!(text(&output.stdout).contains("\"Heron\""));
    std::fs::remove_file(beside.join("heron.toml")).unwrap();
    let named = countermix(&["compare", "mine/pass.toml", "larkspur", "--json"], folder.path());
    assert_eq!(named.status.code(), Some(0), "{}", text_of(&named));
    let gone = countermix(&["compare", "mine/pass.toml", "--mix", "foxglove"], folder.path());
    assert_eq!(gone.status.code(), Some(2));
}

fn text_of(output: &Output) -> String {
    text(&output.stderr)
}

#[test]
fn files_in_each_others_places_are_told_in_a_line() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("model.toml"), demo("airframes/foxglove.toml")).unwrap();
    std::fs::write(folder.path().join("pass.toml"), demo("knife-edge-pass.toml")).unwrap();
    for (args, words) in [
        (
            vec!["compare", "model.toml", "pass.toml"],
            "model.toml: this is an airframe, where a scenario belongs",
        ),
        (
            vec!["compare", "pass.toml", "model.toml", "--mix", "model.toml"],
            "model.toml: this is an airframe, where a mix belongs",
        ),
    ] {
        let output = countermix(&args, folder.path());
        assert_eq!(output.status.code(), Some(2));
        assert!(
            text_of(&output).starts_with(words) && text_of(&output).lines().count() == 1,
            "{}",
            text_of(&output)
        );
    }
}

/// A tail-heavy model never gets onto the knife edge: no percentage comes of it.
#[test]
fn no_blend_follows_from_a_flight_that_was_none() {
    let folder = tempfile::tempdir().unwrap();
    let heavy = demo("airframes/foxglove.toml").replace("station = \"115 mm\"", "station = \"220 mm\"");
    std::fs::write(folder.path().join("heavy.toml"), heavy).unwrap();
    let output =
        countermix(&["compare", "knife-edge-pass", "heavy.toml", "--mix", "foxglove"], folder.path());
    let words = text(&output.stdout);
    assert!(!words.contains("as a blend"), "{words}");
    if output.status.success() {
        assert!(words.contains("never settled") || words.contains("not held"), "{words}");
    }
}

/// A model of four grams runs away, and that is told in words for a pilot.
#[test]
fn a_flight_that_runs_away_is_told_in_words() {
    let folder = tempfile::tempdir().unwrap();
    let light = demo("airframes/foxglove.toml").replace("\"4.00 kg\"", "\"4 g\"");
    std::fs::write(folder.path().join("light.toml"), light).unwrap();
    let output =
        countermix(&["compare", "knife-edge-pass", "light.toml", "--mix", "foxglove"], folder.path());
    let said = text_of(&output);
    assert!(!said.contains("panicked") && !said.contains("step"), "{said}");
    assert_eq!(output.status.code(), Some(2), "{said}");
}

/// Every speed in every wind, in that order; the wind is taken out of what is judged.
#[test]
fn speeds_winds_and_blends() {
    let folder = tempfile::tempdir().unwrap();
    let args =
        ["compare", "knife-edge-pass", "foxglove", "--json", "--speed", "slow,120 %", "--wind", "calm,left"];
    let runs_of = |args: &[&str]| -> Vec<Value> {
        let output = countermix(args, folder.path());
        assert_eq!(output.status.code(), Some(0), "{}", text_of(&output));
        let all: Value = serde_json::from_slice(&output.stdout).unwrap();
        all["runs"].as_array().unwrap().clone()
    };
    let runs = runs_of(&args);
    let settings: Vec<&str> = runs.iter().map(|run| run["setting"].as_str().unwrap()).collect();
    let expected = ["slow, calm", "slow, left", "120 %, calm", "120 %, left"].map(|setting| [setting; 2]);
    assert_eq!(settings, expected.concat());
    let of = |run: &Value, flight: usize, key: &str| run["flights"][flight][key].as_f64().unwrap();
    for pair in runs.chunks(4) {
        for (calm, left) in pair[..2].iter().zip(&pair[2..]) {
            for key in ["heading_2s_deg", "bank_2s_deg", "path_2s_m"] {
                let (calm, left) = (of(calm, 0, key), of(left, 0, key));
                assert!((calm - left).abs() < 0.01, "{key}: {calm} in calm air, {left} in a crosswind");
            }
        }
    }
    assert!(of(&runs[0], 0, "speed_m_s") < of(&runs[4], 0, "speed_m_s"), "slow is slower");

    let pass = ["compare", "knife-edge-pass", "foxglove", "--json"];
    let both = &runs_of(&pass)[1];
    let roll = &runs_of(&[&pass[..], &["--blend", "knife-edge roll"]].concat())[1];
    assert!(both["blends"].as_array().unwrap().len() > 1, "all of the mix: {both}");
    assert_eq!(roll["blends"], serde_json::json!(["knife-edge roll"]));
    let gain = of(roll, 0, "bank_2s_deg").abs() - of(roll, 1, "bank_2s_deg").abs();
    assert!(gain > 5.0, "one blend alone makes a difference: {gain} deg of bank");
    assert!(
        of(roll, 0, "bank_2s_deg") != of(both, 0, "bank_2s_deg"),
        "the other blend stays in both flights"
    );
}

/// All speeds in all winds: every speed that the manoeuvre names and the one that it is written for,
/// calm and the four.
#[test]
fn the_whole_grid() {
    let folder = tempfile::tempdir().unwrap();
    let args = ["compare", "half-rudder", "larkspur", "--json", "--speed", "all", "--wind", "all"];
    let output = countermix(&args, folder.path());
    assert_eq!(output.status.code(), Some(0), "{}", text_of(&output));
    let all: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(all["runs"].as_array().unwrap().len(), 3 * 5 * 2, "three speeds, five winds, two sides");
    let settings: Vec<&str> =
        all["runs"].as_array().unwrap().iter().map(|run| run["setting"].as_str().unwrap()).collect();
    assert_eq!((settings[0], settings[29]), ("slow, calm", "full throttle, right"));
}

/// A model of one's own has no mix yet: it is flown bare, which is said.
#[test]
fn a_model_without_a_mix_is_flown_bare() {
    let folder = tempfile::tempdir().unwrap();
    let heron = demo("airframes/foxglove.toml").replace("\"Foxglove\"", "\"Heron\"");
    std::fs::write(folder.path().join("heron.toml"), heron).unwrap();
    let output = countermix(&["compare", "knife-edge-pass", "heron.toml"], folder.path());
    assert_eq!(output.status.code(), Some(0), "{}", text_of(&output));
    let said = text(&output.stdout);
    assert!(said.contains("it was flown bare, without a mix") && said.contains("as a blend"), "{said}");
    assert!(text_of(&output).contains("countermix find heron.toml --write"), "{}", text_of(&output));
}

/// What is no speed, wind or blend of this manoeuvre is told with what is.
#[test]
fn settings_that_are_none() {
    let folder = tempfile::tempdir().unwrap();
    for (args, hint) in [
        (["--speed", "warp"], "full throttle"),
        (["--speed", "28"], "m/s"),
        (["--wind", "sideways"], "behind"),
        (["--wind", "left 80 m/s"], "30 m/s"),
        (["--blend", "knife edge"], "\"knife-edge pitch\""),
    ] {
        let typed = [&["compare", "knife-edge-pass", "foxglove"], &args[..]].concat();
        let output = countermix(&typed, folder.path());
        assert_eq!(output.status.code(), Some(2), "{args:?}");
        assert!(
            text_of(&output).contains(args[1]) && text_of(&output).contains(hint),
            "{}",
            text_of(&output)
        );
        assert!(output.stdout.is_empty());
        assert!(std::fs::read_dir(folder.path()).unwrap().next().is_none(), "nothing written");
    }
}

/// One table of one airframe over all manoeuvres: every manoeuvre is in it, what cannot be flown
/// says why, and threads change not a byte.
#[test]
fn the_table_of_all_manoeuvres() {
    let folder = tempfile::tempdir().unwrap();
    let table = |threads: &str| {
        let output = Command::new(env!("CARGO_BIN_EXE_countermix"))
            .args(["compare", "--all", "foxglove", "--json"])
            .env("RAYON_NUM_THREADS", threads)
            .current_dir(folder.path())
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(0), "{}", text_of(&output));
        text(&output.stdout)
    };
    let one = table("1");
    assert_eq!(one, table("3"));
    assert!(std::fs::read_dir(folder.path()).unwrap().next().is_none(), "a table draws nothing");
    let all: Value = serde_json::from_str(&one).unwrap();
    let rows = all["rows"].as_array().unwrap();
    assert_eq!(rows.len(), files::demo_names(files::Kind::Scenario).count());
    let cell =
        |row: &Value| (row["cells"][0]["flown"].as_bool().unwrap(), row["cells"][0]["says"].to_string());
    let refused: Vec<String> =
        rows.iter().map(cell).filter(|(flown, _)| !flown).map(|(_, says)| says).collect();
    assert!(!refused.is_empty() && refused.iter().all(|says| says.contains("cannot:")), "{refused:?}");
    assert!(rows.iter().map(cell).filter(|(flown, _)| *flown).all(|(_, says)| !says.contains("cannot")));
    for cell in rows.iter().map(|row| &row["cells"][0]) {
        let outcome = cell["outcome"].as_str().unwrap();
        assert_eq!(cell["flown"].as_bool().unwrap(), outcome == "flown", "{cell}");
        assert_eq!(cell["reason"].is_null(), outcome == "flown", "{cell}");
        if outcome == "refused" {
            assert!(cell["flights"].is_null(), "{cell}");
            continue;
        }
        for flight in cell["flights"].as_array().unwrap() {
            for key in
                ["heading_2s_deg", "bank_2s_deg", "path_2s_m", "height_m", "held_elevator", "marks_exact"]
            {
                assert!(flight[key].is_f64(), "{key}: {cell}");
            }
            assert_eq!(flight["speed_range_m_s"].as_array().unwrap().len(), 2);
        }
    }
}

/// The sample in the README is what the program says.
#[test]
fn the_readme_says_what_the_program_says() {
    let folder = tempfile::tempdir().unwrap();
    let said = countermix(&["compare", "knife-edge-pass", "foxglove"], folder.path());
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let readme = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap();
    let sample = readme.split("```").find_map(|part| part.strip_prefix("text\n")).unwrap();
    assert!(sample.len() > 200);
    assert!(words(&text(&said.stdout)).contains(&words(sample)), "{}", text(&said.stdout));
}
