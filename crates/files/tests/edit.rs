//! A changed value changes nothing but its own bytes.
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use std::fs;

use files::{
    Kind, MixChange, NewValue, SaveError, Source, ValueChange, change_mix, change_values, find, read_mix,
    read_scenario, save,
};
use measure::{DEG, Dimension, Side, Stick, quantity};
use mix::{Blend, Condition, Follower, Lead, Mix, Shape, Tuning};
use proptest::prelude::*;

fn mix(source: &Source) -> Mix {
    read_mix(source.clone()).unwrap_or_else(|report| panic!("{report}\n{}", source.text())).value
}

fn changed(source: &Source, change: MixChange) -> Source {
    change_mix(source, &[change]).unwrap_or_else(|report| panic!("{report}\n{}", source.text()))
}

fn percent(text: &str) -> f64 {
    quantity::parse(&format!("{text} %"), Dimension::Share).unwrap().value
}

/// How somebody writes: everything that must survive.
#[derive(Debug, Clone)]
struct Hand {
    quotes: &'static str,
    before: &'static str,
    between: &'static str,
    behind: &'static str,
    comment: &'static str,
    line_end: &'static str,
    layout: Layout,
    final_line_end: bool,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Layout {
    Headings,
    Inline,
    Dotted,
}

fn hand() -> impl Strategy<Value = Hand> {
    let one = |words: &[&'static str]| prop::sample::select(words.to_vec());
    (
        one(&["\"", "'", "\"\"\"", "'''"]),
        one(&["", " ", "\t", "  "]),
        one(&["", " ", "  ", "\u{a0}"]),
        one(&["", " ", " ± 0.5 %", "+-1%"]),
        one(&["", " # 7 % was too much", "\t# \"-2 %\" = left"]),
        one(&["\n", "\r\n"]),
        prop::sample::select(vec![Layout::Headings, Layout::Inline, Layout::Dotted]),
        any::<bool>(),
    )
        .prop_map(|(quotes, before, between, behind, comment, line_end, layout, final_line_end)| Hand {
            quotes,
            before,
            between,
            behind,
            comment,
            line_end,
            layout,
            final_line_end,
        })
}

/// The values of the file below, in its order: what may be changed, and the number that stands there.
const PLACES: usize = 11;

fn change(place: usize, to: f64, numbers: &[String]) -> MixChange {
    let (pitch, idle) = ("knife-edge \"pitch\" ü", "idle");
    let share = |side| MixChange::Share { blend: pitch.into(), side, to };
    match place {
        0 => MixChange::Throw { rates: "a loft".into(), stick: Stick::Rudder, to },
        1 => MixChange::Expo { rates: "a loft".into(), stick: Stick::Rudder, to },
        2 => share(Side::Left),
        3 => share(Side::Right),
        4 => MixChange::Share { blend: "lever".into(), side: Side::Right, to },
        _ => {
            let value = |i: usize| if i == place { to } else { percent(&numbers[i]) };
            let points = [(5, 6), (7, 8), (9, 10)].map(|(lead, share)| (value(lead), value(share)));
            MixChange::Shape { blend: idle.into(), to: Shape::Curve(points.to_vec()) }
        }
    }
}

/// The file as this hand writes it, around the numbers.
fn text(hand: &Hand, numbers: &[String]) -> String {
    let Hand { quotes: q, before, between, behind, comment, .. } = hand;
    let v = |i: usize| format!("{q}{before}{}{between}%{behind}{q}", numbers[i]);
    let name = "\"knife-edge \\\"pitch\\\" \\u00fc\"";
    let curve = |gap: &str| {
        format!("[{gap}[{}, {}],{gap}[{} , {}],{gap}[{},{}]{gap}]", v(5), v(6), v(7), v(8), v(9), v(10))
    };
    let lines = match hand.layout {
        Layout::Headings => format!(
            "name = 'mine'{comment}\n\n[rates.\"a loft\"]\nrudder = {{ throw = {}, expo = {} }}{comment}\n\n\
             [[blend]] # first\nname = {name}\nfrom = \"rudder\"\nto='elevator'\nleft = {}{comment}\n\
             right={}{comment}\n\n[[blend]]\nname = \"lever\"\nfrom = {{ lever = \"spare 1\" }}\n\
             to = \"flap\"\nfull   =   {}{comment}\n[[blend]]\ncurve = {}{comment}\nname = \"idle\"\n\
             from = \"throttle\"\nto = \"elevator\"",
            v(0),
            v(1),
            v(2),
            v(3),
            v(4),
            curve("\n  # point\n  "),
        ),
        Layout::Inline => format!(
            "name = 'mine'{comment}\nrates = {{ \"a loft\" = {{ rudder = {{ throw = {}, expo = {} }} }} }}{comment}\n\
             blend = [\n  # first\n  {{ name = {name}, from = \"rudder\", to = \"elevator\", left = {}, right = {} }},{comment}\n\
             {{ full = {}, name = \"lever\", from.lever = \"spare 1\", to = \"flap\" }}{comment}\n , \
             {{ name = \"idle\", from = \"throttle\", to = \"elevator\", curve = {} }},{comment}\n]{comment}",
            v(0),
            v(1),
            v(2),
            v(3),
            v(4),
            curve(" "),
        ),
        Layout::Dotted => format!(
            "name = 'mine'{comment}\nrates.\"a loft\".rudder.throw = {}{comment}\n\
             rates.'a loft'.\"rudder\".expo = {}{comment}\n[[blend]]\nname = {name}\nfrom = \"rudder\"\n\
             to = \"elevator\"\nleft = {}{comment}\n\"right\" = {}{comment}\n[[blend]]\nname = \"lever\"\n\
             from.lever = \"spare 1\"\nto = \"flap\"\n'full' = {}{comment}\n[[blend]]\nname = \"idle\"\n\
             from = \"throttle\"\nto = \"elevator\"\ncurve = {}{comment}",
            v(0),
            v(1),
            v(2),
            v(3),
            v(4),
            curve(""),
        ),
    };
    let end = if hand.final_line_end { "\n" } else { "" };
    (lines + end).replace('\n', hand.line_end)
}

/// Numbers that stand in the file first: rates in their range, leads rising.
fn numbers() -> impl Strategy<Value = Vec<String>> {
    let number = |range: core::ops::Range<i32>| range.prop_map(|n| (f64::from(n) / 4.0).to_string());
    (
        (number(0..400), number(-200..400)),
        (number(-600..600), number(-600..600), number(-600..600)),
        (number(0..100), number(100..200), number(200..400)),
        (number(-600..600), number(-600..600), number(-600..600)),
        any::<bool>(),
    )
        .prop_map(|((throw, expo), (left, right, full), (a, b, c), (x, y, z), plus)| {
            let plus = |n: String| if plus && !n.starts_with('-') { format!("+{n}") } else { n };
            vec![throw, expo, plus(left), right.replace('-', "−"), full, a, plus(x), b, y, c, z]
        })
}

proptest! {
    /// The one number is replaced, whatever surrounds it; every other byte is the same.
    #[test]
    fn a_change_replaces_one_number(
        hand in hand(), numbers in numbers(), place in 0..PLACES, to in 0..99_i32, hundredths in 0..100_i32,
    ) {
        let source = Source::new("m", text(&hand, &numbers));
        let before = mix(&source);
        let mut new = numbers.clone();
        new[place] = match place {
            5 => "0".into(), 7 => "49".into(), 9 => "100".into(),
            // read, not added up: a sum would have digits that nobody wrote
            _ => format!("{to}.{hundredths:02}").parse::<f64>().unwrap().to_string(),
        };
        // A value that is there already keeps its spelling.
        if percent(&new[place]) == percent(&numbers[place]) {
            new[place] = numbers[place].clone();
        }
        let edited = changed(&source, change(place, percent(&new[place]), &numbers));
        prop_assert_eq!(edited.text(), text(&hand, &new));
        let back = changed(&edited, change(place, percent(&numbers[place]), &numbers));
        prop_assert_eq!(mix(&back), before);
    }

    /// What was meant is what is read back, to the bit, for everything a percentage can say.
    #[test]
    fn any_written_percentage_reads_back(text in "-?[0-9]{1,2}(\\.[0-9]{1,12})?") {
        let foxglove = find(Kind::Mix, "foxglove").unwrap();
        let to = percent(&text);
        let share = MixChange::Share { blend: "knife-edge roll".into(), side: Side::Left, to };
        let Shape::TwoSided { left, .. } = mix(&changed(&foxglove, share)).blends[1].shape else {
            return Err(TestCaseError::fail("two sides"));
        };
        prop_assert_eq!(left, to);
    }

    /// Shares that no percentage says exactly become the nearest one.
    #[test]
    fn any_share_reads_back_to_rounding(to in -1.5..1.5f64) {
        let foxglove = find(Kind::Mix, "foxglove").unwrap();
        let share = MixChange::Share { blend: "knife-edge roll".into(), side: Side::Left, to };
        let Shape::TwoSided { left, .. } = mix(&changed(&foxglove, share)).blends[1].shape else {
            return Err(TestCaseError::fail("two sides"));
        };
        prop_assert!((left - to).abs() <= f64::EPSILON * to.abs(), "{} {}", left, to);
    }

    /// A whole blend goes to the end and reads back; everything before stays.
    #[test]
    fn an_appended_blend_reads_back(hand in hand(), numbers in numbers(), blend in blend()) {
        let source = Source::new("m", text(&hand, &numbers));
        let edited = change_mix(&source, &[MixChange::Added(blend.clone())]).unwrap_or_else(|report| panic!("{report}\n{blend:?}"));
        let mut wanted = mix(&source);
        wanted.blends.push(blend);
        prop_assert_eq!(mix(&edited), wanted);
        let (old, new) = (source.text().as_bytes(), edited.text().as_bytes());
        let before = old.iter().zip(new).take_while(|(a, b)| a == b).count();
        let behind = old.iter().rev().zip(new.iter().rev()).take_while(|(a, b)| a == b).count();
        prop_assert!(before + behind >= old.len(), "one piece came in, and nothing else");
        if hand.layout != Layout::Inline {
            prop_assert!(edited.text().starts_with(source.text()));
            prop_assert!(edited.text().ends_with('\n'));
        }
        let lone = edited.text().replace("\r\n", "").contains('\n');
        prop_assert!(hand.line_end == "\n" || !lone, "line ends of the file");
    }

    /// What comes in goes out again without a trace.
    #[test]
    fn an_added_blend_is_taken_out_again(hand in hand(), numbers in numbers(), blend in blend()) {
        let source = Source::new("m", text(&hand, &numbers));
        let more = changed(&source, MixChange::Added(blend.clone()));
        let less = changed(&more, MixChange::Removed { blend: blend.name });
        prop_assert_eq!(mix(&less), mix(&source));
        let comments = |source: &Source| source.text().matches('#').count();
        prop_assert_eq!(comments(&less), comments(&source));
        if hand.layout != Layout::Inline {
            prop_assert_eq!(less.text().trim_end(), source.text().trim_end());
        }
    }
}

#[test]
fn a_blend_is_taken_out_and_every_comment_stays() {
    let text = "name = \"m\"\n\n# about a\n[[blend]] # one\nname = \"a\"\nfrom = \"throttle\"\nto = \"elevator\"\n# \"up\" helped\n\
                full = \"1 %\" # 7 % was too much\n[blend.engaged] # switch\nall = [\n  { switch = \"a#b\", is = \"on\" }, # mine\n]\n\n\
                # about b\n[[blend]]\nname = 'b'\nfrom = \"throttle\"\nto = \"rudder\"\nengaged.rates = \"aloft\"\nfull = \"2 %\"\n\n\
                # landing\n[rates.aloft]\naileron = { throw = \"90 %\" }\n";
    for line_end in ["\n", "\r\n"] {
        let source = Source::new("m", text.replace('\n', line_end));
        let without = |name: &str| changed(&source, MixChange::Removed { blend: name.into() });
        let (begin, rest) = text.split_once("[[blend]] # one").unwrap();
        let (a, b_on) = rest.split_once("\n\n# about b").unwrap();
        assert!(a.ends_with("# mine\n]"));
        let kept = "# one\n# \"up\" helped\n# 7 % was too much\n# switch\n# mine";
        let expected = format!("{begin}{kept}\n\n# about b{b_on}").replace('\n', line_end);
        assert_eq!(without("a").text(), expected);
        let (begin, rest) = text.split_once("[[blend]]\nname = 'b'").unwrap();
        let (_, end) = rest.split_once("\n\n").unwrap();
        assert_eq!(without("b").text(), format!("{begin}\n{end}").replace('\n', line_end));
    }
}

#[test]
fn a_blend_goes_from_a_list_in_brackets_and_not_from_between_other_tables() {
    let member = |name: &str| {
        format!("{{ name = \"{name}\", from = \"throttle\", to = \"elevator\", full = \"1 %\" }}")
    };
    let (a, b) = (member("a"), member("b"));
    let text = format!("name = \"m\"\nblend = [\n  {a}, # first\n  {b}\n]\n");
    let without = |text: &str, name: &str| {
        change_mix(&Source::new("m", text), &[MixChange::Removed { blend: name.into() }])
    };
    assert_eq!(without(&text, "a").unwrap().text(), text.replace(&format!("{a}, "), ""));
    assert_eq!(without(&text, "b").unwrap().text(), text.replace(&format!("  {b}\n"), ""));
    let scattered = format!(
        "{SMALL}[rates.aloft]\naileron = {{ throw = \"90 %\" }}\n[blend.engaged]\nswitch = \"x\"\nis = \"on\"\n"
    );
    let words = without(&scattered, "a").unwrap_err().to_string();
    assert!(words.contains("move its lines together"), "{words}");
    let words = without(&text, "c").unwrap_err().to_string();
    assert!(words.contains("no blend \"c\""), "{words}");
}

fn share() -> impl Strategy<Value = f64> {
    (-9999..9999_i32).prop_map(|n| percent(&(f64::from(n) / 100.0).to_string()))
}

fn condition() -> impl Strategy<Value = Condition> {
    let name = || "[a-z \"\\\\']{0,6}x";
    let at = || (1..99_i32).prop_map(|n| percent(&n.to_string()));
    let leaf = prop_oneof![
        Just(Condition::Always),
        Just(Condition::Rates("a loft".into())),
        (name(), name()).prop_map(|(name, is)| switch(&name, &is)),
        Just(switch("gear", "down")),
        (name(), at())
            .prop_map(|(name, threshold)| Condition::LeverAbove { name: name.trim().into(), threshold }),
        (name(), at())
            .prop_map(|(name, threshold)| Condition::LeverBelow { name: name.trim().into(), threshold }),
        at().prop_map(|threshold| Condition::StickAbove { stick: Stick::Rudder, threshold }),
        at().prop_map(|threshold| Condition::StickBelow { stick: Stick::Throttle, threshold }),
    ];
    leaf.prop_recursive(3, 8, 3, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 1..3).prop_map(Condition::All),
            prop::collection::vec(inner.clone(), 1..3).prop_map(Condition::Any),
            inner.prop_map(|inner| Condition::Not(Box::new(inner))),
        ]
    })
}

fn switch(name: &str, is: &str) -> Condition {
    Condition::Switch { name: name.trim().into(), is: is.trim().into() }
}

fn blend() -> impl Strategy<Value = Blend> {
    let leads = vec![
        Lead::Stick(Stick::Aileron),
        Lead::Stick(Stick::Rudder),
        Lead::Stick(Stick::Throttle),
        Lead::Lever("flap".into()),
    ];
    let time = || prop_oneof![Just(0.0), (1..6000_i32).prop_map(|ms| f64::from(ms) / 1000.0)];
    (
        "[a-zäß#\"\\\\'\\[= ]{0,12}[a-z]",
        prop::sample::select(leads),
        (share(), share(), any::<bool>()),
        condition(),
        (time(), time()),
    )
        .prop_map(|(name, from, (a, b, curved), engaged, (fade, slow))| {
            let one_sided = matches!(from, Lead::Stick(Stick::Throttle) | Lead::Lever(_));
            let shape = if curved {
                Shape::Curve(vec![(0.0, a), (0.25, 0.0), (1.0, b)])
            } else {
                Shape::TwoSided { left: if one_sided { 0.0 } else { a }, right: b }
            };
            let name = format!("new {}", name.trim());
            let tuned = (a > 0.0).then(|| Tuning { lever: "spare 2".into(), least: 0.0, most: a });
            Blend { name, from, to: Follower::Elevator, shape, engaged, fade, slow, tuned, after: None }
        })
}

const SMALL: &str =
    "name = \"m\"\n[[blend]]\nname = \"a\"\nfrom = \"throttle\"\nto = \"elevator\"\nfull = \"1 %\"\n";

fn with(lines: &str) -> Source {
    Source::new("my-mix.toml", format!("{SMALL}{lines}"))
}

#[test]
fn times_keep_the_unit_of_their_author() {
    let source = with("fade = '300 ms' # gently\nslow = \"1.5 s\"");
    let edited = change_mix(
        &source,
        &[MixChange::Fade { blend: "a".into(), to: 0.5 }, MixChange::Slow { blend: "a".into(), to: 2.0 }],
    )
    .unwrap();
    assert_eq!(edited.text(), with("fade = '500 ms' # gently\nslow = \"2 s\"").text());
}

#[test]
fn escapes_are_written_anew_and_nothing_else() {
    let source = with("fade = \"0\\u002e3 s\" # gently");
    let edited = changed(&source, MixChange::Fade { blend: "a".into(), to: 0.5 });
    assert_eq!(edited.text(), with("fade = \"0.5 s\" # gently").text());
    let text = SMALL.replace("full = \"1 %\"", "full = \"\"\"\n  1 \\\n  %\"\"\" # x");
    let edited = changed(
        &Source::new("m", text.clone()),
        MixChange::Share { blend: "a".into(), side: Side::Right, to: -0.07 },
    );
    assert_eq!(edited.text(), text.replace("\"\"\"\n  1 \\\n  %\"\"\"", "\"-7 %\""));
}

#[test]
fn a_curve_may_get_another_number_of_points() {
    let text = SMALL.replace("full = \"1 %\"", "curve = [['0 %', \"1 %\"], # idle\n ['100 %', \"2 %\"]] # x");
    let points = vec![(0.0, -0.03), (0.25, 0.0), (1.0, 0.0)];
    let to = Shape::Curve(points.clone());
    let edited = changed(&Source::new("m", text), MixChange::Shape { blend: "a".into(), to: to.clone() });
    let list = "[[\"0 %\", \"-3 %\"], [\"25 %\", \"0 %\"], [\"100 %\", \"0 %\"]]";
    assert_eq!(edited.text(), SMALL.replace("full = \"1 %\"", &format!("curve = {list} # x")));
    assert_eq!(mix(&edited).blends[0].shape, to);
}

#[test]
fn both_sides_at_once_and_one_side_where_there_is_one() {
    let foxglove = find(Kind::Mix, "foxglove").unwrap();
    let to = Shape::TwoSided { left: 0.0625, right: 0.07 };
    let edited = changed(&foxglove, MixChange::Shape { blend: "knife-edge pitch".into(), to: to.clone() });
    let [left, right] = ["blend.1.left", "blend.1.right"].map(|path| foxglove.locate(path));
    let text = foxglove.text();
    let between = &text[left.end..right.start];
    let expected = format!("{}\"6.25 %\"{between}\"7 %\"{}", &text[..left.start], &text[right.end..]);
    assert_eq!(edited.text(), expected);
    let one = Shape::TwoSided { left: 0.0, right: 0.02 };
    let edited = changed(&with(""), MixChange::Shape { blend: "a".into(), to: one });
    assert_eq!(edited.text(), SMALL.replace("1 %", "2 %"));
}

#[test]
fn what_is_not_there_is_refused_with_its_place() {
    let says = |change| change_mix(&with(""), &[change]).unwrap_err().to_string();
    let blend = says(MixChange::Fade { blend: "aa".into(), to: 0.5 });
    assert!(blend.contains("found: no blend \"aa\"\n  allowed: \"a\"\n"), "{blend}");
    let left = says(MixChange::Shape { blend: "a".into(), to: Shape::TwoSided { left: 0.1, right: 0.1 } });
    assert!(left.contains("found: no \"left\" to change"), "{left}");
    let rates = says(MixChange::Throw { rates: "aloft".into(), stick: Stick::Rudder, to: 0.5 });
    assert!(rates.contains("found: no set of rates \"aloft\"\n  allowed: none"), "{rates}");
    let foxglove = find(Kind::Mix, "foxglove").unwrap();
    let expo = MixChange::Expo { rates: "aloft".into(), stick: Stick::Rudder, to: 0.5 };
    let expo = change_mix(&foxglove, &[expo]).unwrap_err().to_string();
    assert!(expo.contains("rates.aloft.rudder.expo"), "{expo}");
}

#[test]
fn what_no_mix_may_say_is_refused_with_its_place() {
    for bad in [f64::NAN, f64::INFINITY, 50.0] {
        let share = MixChange::Share { blend: "a".into(), side: Side::Right, to: bad };
        let report = change_mix(&with(""), &[share]).unwrap_err();
        assert!(report.to_string().starts_with("my-mix.toml:6:8: blend.1.full"), "{report}");
    }
    let broken = Source::new("m", "name = \"m\"\n[[blend]]\nname = \"a\"\n");
    assert!(change_mix(&broken, &[]).is_err());
    let twin = mix(&with("")).blends[0].clone();
    let report = change_mix(&with(""), &[MixChange::Added(twin)]).unwrap_err().to_string();
    assert!(report.contains("my-mix.toml:9:8: blend.2.name"), "{report}");
}

#[test]
fn appending_to_an_empty_list_and_to_a_bare_file() {
    let twin = mix(&with("")).blends[0].clone();
    for (before, after) in [
        (
            "name = \"m\"\nblend = [ ] # none",
            "blend = [{ name = \"a\", from = \"throttle\", to = \"elevator\", full = \"1 %\" } ] # none",
        ),
        (
            "name = \"m\"",
            "\n\n[[blend]]\nname = \"a\"\nfrom = \"throttle\"\nto = \"elevator\"\nfull = \"1 %\"\n",
        ),
    ] {
        let edited = changed(&Source::new("m", before), MixChange::Added(twin.clone()));
        assert!(edited.text().ends_with(after), "{}", edited.text());
        assert_eq!(mix(&edited).blends, core::slice::from_ref(&twin));
    }
}

#[test]
fn a_saved_file_keeps_its_mark_and_a_changed_one_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("mine.toml");
    let bytes = format!("\u{feff}{}", SMALL.replace('\n', "\r\n"));
    fs::write(&path, &bytes).unwrap();
    let read = Source::open(&path).unwrap();
    let edited = changed(&read, MixChange::Share { blend: "a".into(), side: Side::Right, to: -0.125 });
    save(&path, &read, &edited).unwrap();
    assert_eq!(fs::read(&path).unwrap(), bytes.replace("1 %", "-12.5 %").into_bytes());
    // The text read first is not what stands there now; neither is one without its mark.
    let refused = save(&path, &read, &edited).unwrap_err();
    assert!(matches!(refused, SaveError::Changed { .. }), "{refused}");
    fs::write(&path, edited.text()).unwrap();
    assert!(matches!(save(&path, &edited, &read), Err(SaveError::Changed { .. })));
    assert_eq!(fs::read_to_string(&path).unwrap(), edited.text());
    fs::remove_file(&path).unwrap();
    assert!(matches!(save(&path, &edited, &read), Err(SaveError::Open(_))));
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
}

#[test]
fn two_sides_become_a_curve_and_back_and_comments_stay() {
    for line_end in ["\n", "\r\n"] {
        let text = "# mine\n[[blend]]\nname = 'a' # first\nfrom = \"rudder\"\nto = \"elevator\"\n  left = \"-1 %\" # tucks\n  right = \"2 %\"\n\n# the end\n";
        let text = format!("name = \"m\"\n{text}").replace('\n', line_end);
        let source = Source::new("m", text.clone());
        let points = vec![(-1.0, -0.01), (0.5, 0.0), (1.0, 0.02)];
        let bent = changed(&source, MixChange::Shape { blend: "a".into(), to: Shape::Curve(points.clone()) });
        let curve = "curve = [[\"-100 %\", \"-1 %\"], [\"50 %\", \"0 %\"], [\"100 %\", \"2 %\"]]";
        let expected =
            text.replace("left = \"-1 %\"", curve).replace(&format!("  right = \"2 %\"{line_end}"), "");
        assert_eq!(bent.text(), expected);
        assert_eq!(mix(&bent).blends[0].shape, Shape::Curve(points));
        let to = Shape::TwoSided { left: -0.01, right: 0.02 };
        let back = changed(&bent, MixChange::Shape { blend: "a".into(), to: to.clone() });
        assert_eq!(mix(&back).blends[0].shape, to);
        assert!(back.text().contains("# first") && back.text().contains("# tucks"), "{}", back.text());
        assert_eq!(
            back.text().matches(line_end).count(),
            back.text().matches('\n').count(),
            "line ends stay"
        );
    }
}

#[test]
fn a_blend_in_braces_is_bent_too() {
    let text = "name = \"m\"\nblend = [\n  { name = \"a\", from = \"rudder\", to = \"elevator\", left = \"1 %\", right = \"2 %\" }, # x\n]\n";
    let to = Shape::Curve(vec![(-1.0, 0.01), (1.0, 0.02)]);
    let bent = changed(&Source::new("m", text), MixChange::Shape { blend: "a".into(), to: to.clone() });
    let curve = "curve = [[\"-100 %\", \"1 %\"], [\"100 %\", \"2 %\"]]";
    assert_eq!(bent.text(), text.replace("left = \"1 %\", right = \"2 %\"", curve));
    let back = changed(
        &bent,
        MixChange::Shape { blend: "a".into(), to: Shape::TwoSided { left: 0.01, right: 0.02 } },
    );
    assert_eq!(back.text(), text);
}

#[test]
fn conditions_times_and_levers_are_put_where_none_stood() {
    let blend = || "a".to_owned();
    let engaged = Condition::All(vec![
        Condition::Switch { name: "spin".into(), is: "on".into() },
        Condition::StickAbove { stick: Stick::Throttle, threshold: 0.25 },
    ]);
    let tuning = Tuning { lever: "spare 1".into(), least: 0.0, most: 2.0 };
    let source = with("# the end\n");
    let edited = change_mix(
        &source,
        &[
            MixChange::Engaged { blend: blend(), to: engaged.clone() },
            MixChange::Fade { blend: blend(), to: 0.3 },
            MixChange::Slow { blend: blend(), to: 0.0 },
            MixChange::Tuned { blend: blend(), to: Some(tuning.clone()) },
        ],
    )
    .unwrap();
    let lines = "engaged = { all = [{ switch = \"spin\", is = \"on\" }, { stick = \"throttle\", above = \"25 %\" }] }\nfade = \"0.3 s\"\ntuned = { lever = \"spare 1\", from = \"0 %\", to = \"200 %\" }\n# the end\n";
    assert_eq!(edited.text(), with(lines).text());
    let read = &mix(&edited).blends[0];
    assert_eq!((&read.engaged, read.fade, read.tuned.as_ref()), (&engaged, 0.3, Some(&tuning)));
    let back = change_mix(
        &edited,
        &[
            MixChange::Engaged { blend: blend(), to: Condition::Always },
            MixChange::Fade { blend: blend(), to: 0.0 },
            MixChange::Tuned { blend: blend(), to: None },
        ],
    )
    .unwrap();
    assert_eq!(back.text(), with("engaged = \"always\"\nfade = \"0 s\"\n# the end\n").text());
    let dotted = with("engaged.stick = \"throttle\"\nengaged.above = \"10 %\"\n");
    let words = change_mix(&dotted, &[MixChange::Engaged { blend: blend(), to: engaged }]).unwrap_err();
    assert!(words.to_string().contains("write it in braces"), "{words}");
}

#[test]
fn measurements_are_changed_where_they_stand() {
    let foxglove = find(Kind::Airframe, "foxglove").unwrap();
    let quantity = |path: &str, value, dimension| ValueChange {
        path: path.into(),
        to: NewValue::Quantity(value, dimension),
    };
    let edited = change_values(
        &foxglove,
        Kind::Airframe,
        &[
            quantity("mass.all_up", 4.2, Dimension::Mass),
            quantity("mass.centre.station", 0.12, Dimension::Length),
            quantity("panel.1.root.incidence", 2.0 * DEG, Dimension::Angle),
            quantity("panel.3.root.incidence", 1.0 * DEG, Dimension::Angle),
            quantity("propeller.right_thrust", 2.5 * DEG, Dimension::Angle),
        ],
    )
    .unwrap();
    let expected = foxglove.text().replace("4.00 kg", "4.2 kg").replace("\"115 mm\"", "\"120 mm\"");
    let expected = expected.replacen("1.5 deg\" }", "2 deg\" }", 1).replace("= \"1.5 deg\"", "= \"2.5 deg\"");
    let fin = "waterline = \"50 mm\", chord = \"240 mm\"";
    assert_eq!(edited.text(), expected.replace(fin, &format!("{fin}, incidence = \"1 deg\"")));
}

#[test]
fn wind_levers_and_switches_come_into_a_manoeuvre_that_had_none() {
    let pass = find(Kind::Scenario, "knife-edge-pass").unwrap();
    let change = |path: &str, to| ValueChange { path: path.into(), to };
    let changes = [
        change("start.speed", NewValue::Quantity(1.4, Dimension::Share)),
        change("start.levers", NewValue::Levers(vec![("flap".into(), 0.5)])),
        change("start.switches", NewValue::Switches(vec![("roll-in".into(), "on".into())])),
        change("compared", NewValue::Names(Some(vec!["knife-edge pitch".into()]))),
        change("wind.from", NewValue::Quantity(90.0 * DEG, Dimension::Angle)),
        change("wind.speed", NewValue::Quantity(3.0, Dimension::Speed)),
    ];
    let edited = change_values(&pass, Kind::Scenario, &changes).unwrap();
    let read = read_scenario(edited.clone()).unwrap().value;
    assert_eq!(read.start.levers, [("flap".to_owned(), 0.5)]);
    assert_eq!(read.start.switches, [("roll-in".to_owned(), "on".to_owned())]);
    assert!(read.compared.has("knife-edge pitch") && !read.compared.has("roll-in"));
    assert!((read.wind[1] + 3.0).abs() < 1e-12, "{:?}", read.wind);
    for line in pass.text().lines().filter(|line| !line.contains("130 %")) {
        assert!(edited.text().contains(line), "{line}");
    }
    let nothing = [
        change("start.levers", NewValue::Levers(Vec::new())),
        change("start.switches", NewValue::Switches(Vec::new())),
        change("compared", NewValue::Names(None)),
    ];
    let back = change_values(&edited, Kind::Scenario, &nothing).unwrap();
    let plain =
        change_values(&pass, Kind::Scenario, &[changes[0].clone(), changes[4].clone(), changes[5].clone()])
            .unwrap();
    assert_eq!(back.text(), plain.text(), "taken out with their lines");
    let nowhere = change("start.wheels.left", NewValue::Quantity(1.0, Dimension::Share));
    assert!(change_values(&pass, Kind::Scenario, &[nowhere]).is_err());
}

#[test]
fn a_list_of_levers_keeps_the_comments_between_its_members() {
    let pass = find(Kind::Scenario, "knife-edge-pass").unwrap();
    let lists = "[start]\nlevers = [\n  [\"flap\", \"25 %\"], # a notch\n  ['spare 1', '50 %'], # half\n] # in the air\n\
                 switches = [[\"spin\", \"on\"]] # up\n";
    let source = Source::new("pass.toml", pass.text().replacen("[start]\n", lists, 1));
    let text = source.text();
    assert!(text.contains("# a notch"), "{text}");
    let lever = |name: &str, at: f64| (name.to_owned(), at);
    let levers = |levers: &[(String, f64)]| {
        let to = NewValue::Levers(levers.to_vec());
        let change = ValueChange { path: "start.levers".into(), to };
        change_values(&source, Kind::Scenario, &[change]).unwrap().text().to_owned()
    };
    let (flap, spare) = (lever("flap", 0.25), lever("spare 1", 0.5));
    assert_eq!(levers(&[flap.clone(), spare.clone()]), text, "nothing differs");
    assert_eq!(levers(&[lever("flap", 0.4), spare.clone()]), text.replace("\"25 %\"", "\"40 %\""));
    assert_eq!(levers(core::slice::from_ref(&spare)), text.replace("[\"flap\", \"25 %\"], ", ""));
    let more = levers(&[flap, spare.clone(), lever("crow", 1.0)]);
    assert_eq!(more, text.replace("'50 %']", "'50 %'], [\"crow\", \"100 %\"]"));
    let others = levers(&[lever("crow", 1.0)]);
    assert!(others.contains("levers = [[\"crow\", \"100 %\"]] # in the air"), "{others}");
    let to = NewValue::Switches(vec![("spin".into(), "off".into()), ("edge".into(), "on".into())]);
    let edited =
        change_values(&source, Kind::Scenario, &[ValueChange { path: "start.switches".into(), to }]).unwrap();
    let expected =
        text.replace("[[\"spin\", \"on\"]] # up", "[[\"spin\", \"off\"], [\"edge\", \"on\"]] # up");
    assert_eq!(edited.text(), expected);
}
