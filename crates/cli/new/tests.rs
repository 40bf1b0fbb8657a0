use super::*;
use aero::Coefficients;
use airframe::Geometry;
use study::find::Stand;
use study::look;

fn sheet_of(class: &Class, span: &str) -> Sheet {
    let mut sheet = Sheet::new(*class, "Dandelion");
    sheet.answer(Item::Span, span).unwrap();
    sheet
}

fn geometry_of(sheet: &Sheet) -> Geometry {
    let checked = read_airframe(Source::new("dandelion.toml", starter(sheet)));
    let checked = checked.unwrap_or_else(|report| panic!("{report}"));
    assert!(checked.cautions.is_empty(), "{} {}", sheet.class.word, checked.cautions);
    Geometry::of(&checked.value).unwrap()
}

#[test]
fn every_class_trims_level_at_every_size() {
    for class in &CLASSES {
        for span in ["0.7 m", "1.0 m", "1.6 m", "2.2 m", "3 m"] {
            let stand = Stand::new(&geometry_of(&sheet_of(class, span)), &Coefficients::default()).unwrap();
            let level = &stand.level;
            let word = format!("{} {span}: {:?} {}", class.word, level.sticks, level.throttle);
            assert!(level.sticks.iter().all(|share| share.abs() < 0.5), "{word}");
            assert!((0.1..0.95).contains(&level.throttle), "{word}");
        }
    }
}

/// Each class is what its name says, and stable as a whole.
#[test]
fn every_class_looks_like_itself() {
    for class in &CLASSES {
        let seen = look(&geometry_of(&sheet_of(class, "1600 mm")), &Coefficients::default()).unwrap();
        let margin = seen.balance.neutral - seen.balance.centre;
        assert!((0.02..0.30).contains(&margin), "{}: margin {margin}", class.word);
        let speed = seen.cruise.pose.speed;
        assert!(seen.stall < 0.85 * speed, "{}: stall {} at {speed}", class.word, seen.stall);
        assert!(seen.top_speed.unwrap() > 1.1 * speed, "{}: top {:?} at {speed}", class.word, seen.top_speed);
        assert_eq!(seen.hover.is_some(), class.thrust > 1.2, "{}: {:?}", class.word, seen.hover);
    }
}

#[test]
fn an_answer_is_taken_as_it_is_measured() {
    let mut sheet = sheet_of(&CLASSES[0], "1600 ± 3 mm");
    sheet.answer(Item::RootChord, "26 cm").unwrap();
    sheet.answer(Item::Mass, "2400 ± 20 g").unwrap();
    let text = starter(&sheet);
    for part in ["buttline = \"800 ± 1.5 mm\"", "chord = \"260 mm\"", "all_up = \"2.4 ± 0.02 kg\""] {
        assert!(text.contains(part), "{part}\n{text}");
    }
    assert!(!text.contains("GUESS: mass") && text.contains("GUESS: tip chord"), "{text}");
}

#[test]
fn an_answer_is_checked_at_once_against_those_before() {
    let mut sheet = sheet_of(&CLASSES[0], "1600 mm");
    let wrong = sheet.answer(Item::RootChord, "2600 mm").unwrap_err();
    assert!(wrong.starts_with("found 2600 mm; allowed for the root chord is 80 mm to 800 mm"), "{wrong}");
    let bare = sheet.answer(Item::RootChord, "260").unwrap_err();
    assert!(bare.contains("mm"), "{bare}");
    for text in ["", "nan mm", "-5 mm", "1e400 mm", "5 kg", "\u{0}"] {
        assert!(sheet.answer(Item::RootChord, text).is_err(), "{text:?}");
    }
}

/// Odd measurements pull the guesses with them: whatever is allowed makes a file without faults.
#[test]
fn extremes_that_are_allowed_still_read() {
    for class in &CLASSES {
        for (root, length) in [("90 mm", "700 mm"), ("700 mm", "2400 mm"), ("250 mm", "2500 mm")] {
            let mut sheet = sheet_of(class, "1600 mm");
            sheet.answer(Item::RootChord, root).unwrap();
            sheet.answer(Item::Length, length).unwrap();
            let read = read_airframe(Source::new("odd.toml", starter(&sheet)));
            if let Err(report) = read {
                panic!("{} {root} {length}: {report}", class.word);
            }
        }
    }
}

#[derive(clap::Parser)]
struct Alone {
    #[command(flatten)]
    args: Args,
}

fn talk(flags: &[&str], answers: &str) -> (Result<Sheet, Trouble>, String) {
    use clap::Parser;
    let args = Alone::parse_from(["new"].iter().chain(flags)).args;
    let mut prompts = Vec::new();
    let mut answers = answers.as_bytes();
    let mut hand = Hand { answers: &mut answers, prompts: &mut prompts };
    let sheet = fill(&args, Some(&mut hand));
    (sheet, String::from_utf8(prompts).unwrap())
}

#[test]
fn a_wrong_answer_is_asked_again_with_the_reason() {
    let rest = "\n".repeat(Item::ALL.len());
    let (sheet, said) = talk(&[], &format!("glider\ntrainer\n\nDandelion\n1600\n1600 mm\n{rest}"));
    let sheet = sheet.unwrap();
    assert_eq!((sheet.class.word, sheet.name.as_str()), ("trainer", "Dandelion"));
    assert!(!sheet.entry(Item::Span).guess && sheet.entry(Item::Mass).guess);
    assert!(said.contains("  found \"glider\"; allowed is one of trainer"), "{said}");
    assert_eq!(said.matches("span, from wing tip").count(), 2, "{said}");
}

#[test]
fn what_a_flag_gives_is_not_asked() {
    let rest = "\n".repeat(Item::ALL.len());
    let (sheet, said) = talk(&["--class", "aerobat", "--name", "Yarrow", "--span", "2 m"], &rest);
    assert_eq!(sheet.unwrap().name, "Yarrow");
    assert!(!said.contains("span, from wing tip") && said.contains("root chord"), "{said}");
    let (refused, _) = talk(&["--class", "aerobat", "--name", "Yarrow", "--span", "2"], &rest);
    assert!(refused.unwrap_err().to_string().starts_with("--span: found"));
}

#[test]
fn answers_that_end_early_end_it() {
    let (refused, _) = talk(&[], "trainer\nDandelion\n1600 mm\n");
    assert!(refused.unwrap_err().to_string().contains("nothing was written"));
}

#[test]
fn names_cannot_break_the_file() {
    for name in ["Say \"hello\"", "back\\slash", "Köhler's 3"] {
        let mut sheet = sheet_of(&CLASSES[1], "1.4 m");
        name.clone_into(&mut sheet.name);
        assert_eq!(geometry_of(&sheet).name, name);
    }
    assert!(name_of("tab\there").is_err() && name_of("").is_err() && name_of("--").is_err());
}
