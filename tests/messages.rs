//! What a pilot reads when a file is wrong: exit code, stdout and stderr together, one expected
//! file for each case under `tests/messages/`. After a deliberate change
//! `COUNTERMIX_RENEW=1 cargo test --test messages` writes them anew; read the difference before you keep it.
#![allow(clippy::unwrap_used, reason = "a test may stop")]

use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use std::process::Command;

/// A case: its name, how its folder is filled, what is typed.
struct Case<'c> {
    name: &'c str,
    fill: &'c dyn Fn(&Path),
    typed: &'c [&'c str],
}

impl Case<'_> {
    /// Runs it and compares what is said; returns the name of a case that differs.
    fn differs(&self) -> Option<String> {
        let folder = tempfile::tempdir().unwrap();
        (self.fill)(folder.path());
        let before = names_in(folder.path());
        let output = Command::new(env!("CARGO_BIN_EXE_countermix"))
            .args(self.typed)
            .current_dir(folder.path())
            .output()
            .unwrap();
        assert_eq!(names_in(folder.path()), before, "{}: something was written", self.name);
        let mut said = format!("$ countermix {}\n", self.typed.join(" "));
        writeln!(said, "exit code {}", output.status.code().unwrap()).unwrap();
        for (stream, bytes) in [("stdout", output.stdout), ("stderr", output.stderr)] {
            let text = String::from_utf8(bytes).unwrap();
            write!(said, "-- {stream}\n{text}").unwrap();
        }
        let path =
            Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/messages").join(format!("{}.txt", self.name));
        if std::env::var_os("COUNTERMIX_RENEW").is_some() {
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(&path, &said).unwrap();
        }
        let expected = fs::read_to_string(&path).unwrap_or_default().replace("\r\n", "\n");
        (said != expected).then(|| format!("{}:\n{said}", self.name))
    }
}

fn names_in(folder: &Path) -> Vec<String> {
    let mut names: Vec<_> =
        fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

fn all_as_expected(cases: impl Iterator<Item = Option<String>>) {
    let differing: Vec<_> = cases.flatten().collect();
    assert!(
        differing.is_empty(),
        "not as in tests/messages; if that is meant, COUNTERMIX_RENEW=1 cargo test --test messages: {}",
        differing.join("\n")
    );
}

fn demo(kind: &str, name: &str) -> String {
    let path =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios").join(kind).join(format!("{name}.toml"));
    fs::read_to_string(path).unwrap().replace("\r\n", "\n")
}

/// The demo airframe Larkspur with one piece of text replaced by another.
const AIRFRAMES: &[(&str, &str, &str)] = &[
    ("missing-unit", "chord = \"420 mm\"", "chord = \"420\""),
    ("bare-number", "chord = \"420 mm\"", "chord = 420"),
    ("unit-of-another-kind", "\"5.00 kg\"", "\"5.00 m\""),
    ("unit-unknown", "\"5.00 kg\"", "\"5.00 stone\""),
    ("unknown-key", "all_up", "allup"),
    ("unknown-table", "[trimmed]", "[trim]"),
    ("key-of-another-table", "drag = 0.18", "camber = \"symmetrical\""),
    ("wrong-type-text-for-table", "[trimmed]\nspeed", "trimmed = \"fast\"\n[servo]\nrat"),
    ("wrong-type-yes-or-no", "\"25 m/s\"", "true"),
    ("wrong-type-date", "\"25 m/s\"", "2026-05-01"),
    ("wrong-type-list", "\"25 m/s\"", "[\"25 m/s\"]"),
    ("nan", "drag = 0.18", "drag = nan"),
    ("infinite", "drag = 0.18", "drag = -inf"),
    ("nan-with-unit", "\"25 m/s\"", "\"nan m/s\""),
    ("infinite-with-unit", "\"25 m/s\"", "\"inf m/s\""),
    ("too-large-a-number", "\"25 m/s\"", "\"1e999 m/s\""),
    ("decimal-comma", "drag = 0.18", "drag = 0,18"),
    ("decimal-comma-in-a-table", "drag = 0.012 }", "drag = 0,012, separation = \"9 deg\" }"),
    ("decimal-comma-in-quotes", "\"5.00 kg\"", "\"5,00 kg\""),
    ("unquoted", "\"25 m/s\"", "25 m/s"),
    ("curly-quotes", "\"25 m/s\"", "“25 m/s”"),
    ("quote-not-closed", "\"25 m/s\"", "\"25 m/s"),
    ("bracket-not-closed", "[[panel]]\npart = \"wing\"", "[[panel]\npart = \"wing\""),
    ("equals-missing", "speed = \"25 m/s\"", "speed \"25 m/s\""),
    ("key-twice", "idle = \"1060 rpm\"", "full = \"1060 rpm\""),
    ("single-brackets", "[[drag_item]]", "[drag_item]"),
    ("double-brackets", "[trimmed]", "[[trimmed]]"),
    ("negative-chord", "chord = \"420 mm\"", "chord = \"-420 mm\""),
    ("chord-in-centimetres", "chord = \"420 mm\"", "chord = \"420 cm\""),
    ("chord-implausible", "chord = \"420 mm\"", "chord = \"340 cm\""),
    ("mass-in-grams", "\"5.00 kg\"", "\"5.00 g\""),
    ("throw-beyond-60", "throw = \"28 deg\"", "throw = \"65 deg\""),
    ("hinge-beyond-its-panel", "to = \"100 %\"", "to = \"110 %\""),
    ("hinge-ends-swapped", "from = \"12 %\"", "from = \"100 %\""),
    ("hinge-of-another-part", "name = \"aileron\"", "name = \"rudder\""),
    ("two-throws", "throw = \"28 deg\"", "throw = \"28 deg\"\nthrow_up = \"20 deg\""),
    ("one-throw-of-two", "throw = \"28 deg\"", "throw_up = \"20 deg\""),
    (
        "inertia-impossible",
        "[trimmed]",
        "inertia = { roll = \"0.7 kg m2\", pitch = \"0.1 kg m2\", yaw = \"0.2 kg m2\" }\n[trimmed]",
    ),
    (
        "inertia-tiny",
        "[trimmed]",
        "inertia = { roll = \"1e-9 kg m2\", pitch = \"0.1 kg m2\", yaw = \"0.1 kg m2\" }\n[trimmed]",
    ),
    ("centre-outside-the-model", "station = \"180 mm\"", "station = \"1800 mm\""),
    ("centre-behind-the-neutral-point", "station = \"180 mm\"", "station = \"230 mm\""),
    ("centre-far-ahead", "station = \"180 mm\"", "station = \"60 mm\""),
    ("stations-out-of-order", "{ station = \"105 mm\"", "{ station = \"705 mm\""),
    ("tail-ahead-of-the-wing", "root = { station = \"1100 mm\"", "root = { station = \"-1100 mm\""),
    ("second-wing", "part = \"tailplane\"", "part = \"wing\""),
    ("no-propeller", "[propeller]", "[fan]"),
    ("idle-above-full", "\"1060 rpm\"", "\"10600 rpm\""),
    ("tips-as-fast-as-sound", "\"6020 rpm\"", "\"60200 rpm\""),
    ("span-for-half-span", "buttline = \"1000 mm\"", "buttline = \"2000 mm\""),
    ("light-as-a-feather", "\"5.00 kg\"", "\"0.50 kg\""),
    (
        "hanging-tips",
        "tip = { station = \"97 mm\", waterline = \"0 mm\"",
        "tip = { station = \"97 mm\", waterline = \"-100 mm\"",
    ),
    ("fraction-of-an-inch", "diameter = \"510 mm\"", "diameter = \"20 1/8 in\""),
    ("aileron-missing", "[[panel.hinge]]\nname = \"aileron\"", "[[panel.hinge]]\nname = \"flap\""),
];

#[test]
fn airframes() {
    let larkspur = demo("airframes", "larkspur");
    all_as_expected(AIRFRAMES.iter().map(|(name, old, new)| {
        assert!(larkspur.contains(old), "{old}");
        let text = larkspur.replacen(old, new, 1);
        let fill = |folder: &Path| fs::write(folder.join("model.toml"), &text).unwrap();
        Case { name: &format!("airframe-{name}"), fill: &fill, typed: &["check", "model.toml"] }.differs()
    }));
}

/// A mix with two sets of rates and a blend whose lines are these.
const MIXES: &[(&str, &str)] = &[
    (
        "good",
        "from = \"rudder\"\nto = \"elevator\"\nleft = \"2 %\"\nright = \"3 %\"\nengaged = { rates = \"aloft\" }",
    ),
    ("lead-unknown", "from = \"ruder\"\nto = \"elevator\"\nleft = \"2 %\"\nright = \"3 %\""),
    ("lever-as-a-stick", "from = \"flap\"\nto = \"elevator\"\nfull = \"2 %\""),
    ("sides-of-another-lead", "from = \"throttle\"\nto = \"elevator\"\nleft = \"2 %\"\nright = \"3 %\""),
    ("one-side", "from = \"rudder\"\nto = \"elevator\"\nleft = \"2 %\""),
    ("degrees", "from = \"rudder\"\nto = \"elevator\"\nleft = \"2 deg\"\nright = \"3 deg\""),
    (
        "moves-itself",
        "from = \"rudder\"\nto = \"rudder\"\nleft = \"2 %\"\nright = \"3 %\"\nengaged = { rates = \"aloft\" }",
    ),
    (
        "rolls-one-way",
        "from = \"rudder\"\nto = \"aileron\"\nleft = \"12 %\"\nright = \"10 %\"\nengaged = { rates = \"aloft\" }",
    ),
    (
        "beyond-full-throw",
        "from = \"rudder\"\nto = \"elevator\"\nleft = \"2 %\"\nright = \"-300 %\"\nengaged = { rates = \"aloft\" }",
    ),
    ("absurd", "from = \"rudder\"\nto = \"elevator\"\nleft = \"2 %\"\nright = \"-3000 %\""),
    ("on-for-landing", "from = \"rudder\"\nto = \"elevator\"\nleft = \"2 %\"\nright = \"3 %\""),
    (
        "curve-out-of-order",
        "from = \"throttle\"\nto = \"elevator\"\ncurve = [[\"50 %\", \"0 %\"], [\"0 %\", \"-3 %\"]]",
    ),
    ("curve-of-one-point", "from = \"throttle\"\nto = \"elevator\"\ncurve = [[\"50 %\", \"0 %\"]]"),
    (
        "curve-beyond-its-lead",
        "from = \"throttle\"\nto = \"elevator\"\ncurve = [[\"-50 %\", \"0 %\"], [\"100 %\", \"3 %\"]]",
    ),
    (
        "curve-beside-sides",
        "from = \"rudder\"\nto = \"elevator\"\ncurve = [[\"0 %\", \"0 %\"], [\"100 %\", \"3 %\"]]\nright = \"3 %\"",
    ),
    (
        "curve-of-three-values",
        "from = \"throttle\"\nto = \"elevator\"\ncurve = [[\"0 %\", \"0 %\", \"1 %\"], [\"100 %\", \"3 %\"]]",
    ),
    (
        "rates-unknown",
        "from = \"rudder\"\nto = \"elevator\"\nleft = \"2 %\"\nright = \"3 %\"\nengaged = { rates = \"alfot\" }",
    ),
    (
        "engaged-in-a-word",
        "from = \"rudder\"\nto = \"elevator\"\nleft = \"2 %\"\nright = \"3 %\"\nengaged = \"aloft\"",
    ),
    (
        "engaged-twice",
        "from = \"rudder\"\nto = \"elevator\"\nleft = \"2 %\"\nright = \"3 %\"\nengaged = { rates = \"aloft\", switch = \"x\", is = \"on\" }",
    ),
    (
        "threshold-unreachable",
        "from = \"rudder\"\nto = \"elevator\"\nleft = \"2 %\"\nright = \"3 %\"\nengaged = { lever = \"flap\", above = \"100 %\" }",
    ),
    (
        "fade-negative",
        "from = \"rudder\"\nto = \"elevator\"\nleft = \"2 %\"\nright = \"3 %\"\nfade = \"-1 s\"",
    ),
    (
        "loop",
        "from = \"rudder\"\nto = \"elevator\"\nleft = \"2 %\"\nright = \"3 %\"\nafter = \"back\"\n\n[[blend]]\nname = \"back\"\nfrom = \"elevator\"\nto = \"rudder\"\ndown = \"1 %\"\nup = \"1 %\"\nafter = \"pitch\"",
    ),
    (
        "name-twice",
        "from = \"rudder\"\nto = \"elevator\"\nleft = \"2 %\"\nright = \"3 %\"\nengaged = { rates = \"aloft\" }\n\n[[blend]]\nname = \"pitch\"\nfrom = \"elevator\"\nto = \"rudder\"\ndown = \"1 %\"\nup = \"1 %\"\nengaged = { rates = \"aloft\" }",
    ),
];

const HEAD: &str = "name = \"club\"\n\n[rates.aloft]\nrudder = { expo = \"20 %\" }\n\n[rates.landing]\n\n";

fn mix(blend: &str) -> String {
    format!("{HEAD}[[blend]]\nname = \"pitch\"\n{blend}\n")
}

#[test]
fn mixes() {
    let single = mix(MIXES[0].1).replace("[[blend]]", "[blend]");
    let rates = mix(MIXES[0].1).replace("expo = \"20 %\"", "throw = \"120 %\", expo = \"-60 %\"");
    let own = MIXES.iter().map(|(name, blend)| (*name, mix(blend)));
    all_as_expected(own.chain([("single-brackets", single), ("rates-out-of-range", rates)]).map(
        |(name, text)| {
            let fill = |folder: &Path| fs::write(folder.join("mix.toml"), &text).unwrap();
            Case { name: &format!("mix-{name}"), fill: &fill, typed: &["check", "mix.toml"] }.differs()
        },
    ));
}

/// The knife-edge pass with one piece of text replaced by another.
const SCENARIOS: &[(&str, &str, &str)] = &[
    ("good", "Rudder holds", "Right rudder holds"),
    ("itself-as-airframe", "[\"larkspur\", \"foxglove\"]", "[\"pass.toml\"]"),
    ("airframe-missing", "[\"larkspur\", \"foxglove\"]", "[\"heron.toml\"]"),
    ("missing-unit", "lasts = \"0.5 s\"", "lasts = \"0.5\""),
    ("unknown-key", "sides", "side"),
    ("unknown-quantity", "hold = \"climb\"", "hold = \"altitude\""),
    ("nothing-judged", "judged = { bank = \"-90 deg\" }", ""),
    (
        "lever-out-of-order",
        "rudder = \"keep\"",
        "levers = [[\"flap\", [[\"1 s\", \"0 %\"], [\"0 s\", \"70 %\"]]]]",
    ),
    ("height-underground", "height = \"80 m\"", "height = \"-8 m\""),
];

#[test]
fn scenarios() {
    let demo = demo(".", "knife-edge-pass");
    all_as_expected(SCENARIOS.iter().map(|(name, old, new)| {
        assert!(demo.contains(old), "{old}");
        let text = demo.replacen(old, new, 1);
        let fill = |folder: &Path| fs::write(folder.join("pass.toml"), &text).unwrap();
        Case { name: &format!("scenario-{name}"), fill: &fill, typed: &["check", "pass.toml"] }.differs()
    }));
}

/// Nothing is flown, and no folder of plots is made.
#[test]
fn scenarios_that_name_no_airframe_are_not_flown() {
    let naming = |airframe: &'static str| {
        move |folder: &Path| {
            let text = demo(".", "knife-edge-pass").replace("[\"larkspur\", \"foxglove\"]", airframe);
            fs::write(folder.join("pass.toml"), text).unwrap();
        }
    };
    let (itself, missing) = (naming("[\"pass.toml\"]"), naming("[\"heron.toml\"]"));
    let typed = ["compare", "pass.toml"];
    all_as_expected(
        [
            Case { name: "compare-itself-as-airframe", fill: &itself, typed: &typed },
            Case { name: "compare-airframe-missing", fill: &missing, typed: &typed },
            Case { name: "look-at-a-scenario", fill: &missing, typed: &["look", "pass.toml"] },
        ]
        .iter()
        .map(Case::differs),
    );
}

/// Texts and things that are no good file at all.
#[test]
fn whole_files() {
    let larkspur = demo("airframes", "larkspur");
    let deep = format!("x = {}", "[".repeat(10_000));
    let deep_condition = mix(&format!("engaged = {}", "{ not = ".repeat(10_000)));
    let crlf = format!("\u{feff}{}", larkspur.replace('\n', "\r\n"));
    let utf16: Vec<u8> = larkspur.encode_utf16().fold(vec![0xff, 0xfe], |mut bytes, unit| {
        bytes.extend(unit.to_le_bytes());
        bytes
    });
    let mut latin = larkspur.replace("club-house", "club~house").into_bytes();
    if let Some(tilde) = latin.iter_mut().find(|byte| **byte == b'~') {
        *tilde = 0xe9;
    }
    let files: [(&str, &[u8]); 10] = [
        ("empty", b""),
        ("blank", b"\n\n  \n"),
        ("another-file", b"dear = \"club\"\n"),
        ("not-toml", b"<html>\n<body>hello</body>\n</html>\n"),
        ("nul-bytes", b"name = \"x\0y\"\n[[panel]]\n"),
        ("deep-nesting", deep.as_bytes()),
        ("deep-condition", deep_condition.as_bytes()),
        ("crlf-and-bom-are-good", crlf.as_bytes()),
        ("utf-16", &utf16),
        ("latin-1", &latin),
    ];
    all_as_expected(files.iter().map(|(name, bytes)| {
        let fill = |folder: &Path| fs::write(folder.join("file.toml"), bytes).unwrap();
        Case { name: &format!("file-{name}"), fill: &fill, typed: &["check", "file.toml"] }.differs()
    }));
}

#[test]
fn things_that_are_no_file() {
    let huge = |folder: &Path| {
        fs::File::create(folder.join("huge.toml")).unwrap().set_len(100_000_000).unwrap(); // sparse
    };
    let folder = |folder: &Path| fs::create_dir(folder.join("models")).unwrap();
    let nothing = |_: &Path| {};
    all_as_expected(
        [
            Case { name: "file-of-100-megabytes", fill: &huge, typed: &["check", "huge.toml"] },
            Case { name: "folder", fill: &folder, typed: &["check", "models"] },
            Case { name: "file-missing", fill: &nothing, typed: &["check", "modle.toml"] },
            Case { name: "demo-name-is-good", fill: &nothing, typed: &["check", "larkspur"] },
            Case {
                name: "folder-to-compare",
                fill: &folder,
                typed: &["compare", "models", "--out", "plots"],
            },
            Case { name: "schema-of-nothing", fill: &nothing, typed: &["schema", "wing"] },
        ]
        .iter()
        .map(Case::differs),
    );
}

#[cfg(unix)]
#[test]
fn pipes_and_devices() {
    let pipe = |folder: &Path| {
        assert!(Command::new("mkfifo").arg(folder.join("pipe.toml")).status().unwrap().success());
    };
    let nothing = |_: &Path| {};
    all_as_expected(
        [
            Case { name: "pipe", fill: &pipe, typed: &["check", "pipe.toml"] },
            Case { name: "device", fill: &nothing, typed: &["check", "/dev/zero"] },
        ]
        .iter()
        .map(Case::differs),
    );
}

/// The superuser may read everything: there the case says nothing.
#[cfg(unix)]
#[test]
fn a_file_without_permission() {
    use std::os::unix::fs::PermissionsExt as _;
    let probe = tempfile::tempdir().unwrap();
    let lock = |folder: &Path| {
        fs::write(folder.join("locked.toml"), "name = \"x\"").unwrap();
        fs::set_permissions(folder.join("locked.toml"), fs::Permissions::from_mode(0o000)).unwrap();
    };
    lock(probe.path());
    if fs::read(probe.path().join("locked.toml")).is_err() {
        let case = Case { name: "file-without-permission", fill: &lock, typed: &["check", "locked.toml"] };
        all_as_expected([case.differs()].into_iter());
    }
}

#[test]
fn an_airframe_with_a_mix() {
    let fill = |folder: &Path| {
        fs::write(folder.join("model.toml"), demo("airframes", "larkspur")).unwrap();
        let blend = MIXES[0].1.replace("\"elevator\"", "\"flap\"");
        fs::write(folder.join("mix.toml"), mix(&blend)).unwrap();
    };
    let typed = ["check", "model.toml", "mix.toml"];
    let as_words = Case { name: "surface-that-the-airframe-lacks", fill: &fill, typed: &typed };
    let typed = ["check", "model.toml", "mix.toml", "--json"];
    let as_json = Case { name: "surface-that-the-airframe-lacks-as-json", fill: &fill, typed: &typed };
    all_as_expected([as_words.differs(), as_json.differs()].into_iter());
}

/// Every expected file belongs to a case, and there are as many as there are kinds of bad input.
#[test]
fn no_expected_file_is_left_over() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/messages");
    let known = include_str!("messages.rs");
    let names = names_in(&folder);
    for name in &names {
        let case = name.trim_end_matches(".txt");
        let short = case.split_once('-').map_or(case, |(_, rest)| rest);
        assert!(known.contains(&format!("\"{case}\"")) || known.contains(&format!("\"{short}\"")), "{name}");
    }
    assert!(names.len() > 85, "{}", names.len());
}
