//! Flights by hand in files: what is flown is read back from the texts that a recording carries, so that it is seen
//! again as it was, to the last bit.

use crate::club::{Opened, open_texts};
use crate::saving::new_file;
use files::{Kind, Recording, Source, find, read_recording};
use panels::{Flying, Setup};
use std::path::Path;

/// The texts of what is flown by hand.
#[derive(Debug, Clone)]
pub(crate) struct Texts {
    airframe: Source,
    mix: Source,
    scenario: Source,
}

impl Opened {
    /// A flight by hand from the entry of `now`, and the texts it is flown from.
    ///
    /// # Errors
    /// In words: what does not fit, and what to try.
    pub(crate) fn fly(&self, now: &Setup) -> Result<(Flying, Texts), String> {
        let text =
            |kind| self.edited(kind, now).map(|text| Source::new(opened_by(kind, text.name()), text.text()));
        let [airframe, mix, scenario] = [text(Kind::Airframe)?, text(Kind::Mix)?, text(Kind::Scenario)?];
        let setup = Setup { side: now.side, ..open_texts(&airframe, &mix, &scenario)? };
        Ok((Flying::start(&setup)?, Texts { airframe, mix, scenario }))
    }
}

/// What a text was opened by: a demo file is called more than its name.
fn opened_by(kind: Kind, name: &str) -> &str {
    name.strip_suffix(&format!(" (demo {})", kind.word())).unwrap_or(name)
}

/// Writes a flight into a new file in `folder`; its name.
///
/// # Errors
/// In words.
pub(crate) fn save(flying: &Flying, texts: &Texts, stem: &str, folder: &Path) -> Result<String, String> {
    let Texts { airframe, mix, scenario } = texts.clone();
    let (side, grips) = (flying.setup().side, flying.grips().to_vec());
    // what was moved after the last tick has moved nothing
    let turns = flying.turns().iter().filter(|turn| turn.tick < grips.len()).cloned().collect();
    let recording = Recording { airframe, mix, scenario, side, grips, turns };
    new_file(folder, stem, recording.written().as_bytes())
}

/// The flight of a recording file, whole, and the texts it was flown from.
///
/// # Errors
/// In words: which file, which line, what to do.
pub(crate) fn replay(path: &Path) -> Result<(Flying, Texts), String> {
    let source = Source::open(path).map_err(|fault| fault.to_string())?;
    let recording = read_recording(source).map_err(|report| report.to_string())?.value;
    let inside = |kind: Kind| {
        let text = recording.source(kind);
        Source::new(format!("{}, its {} {}", path.display(), kind.word(), text.name()), text.text())
    };
    let setup = open_texts(&inside(Kind::Airframe), &inside(Kind::Mix), &inside(Kind::Scenario))?;
    let setup = Setup { side: recording.side, ..setup };
    let (name, remark) = (path.display().to_string(), remark(&recording));
    let flying = Flying::replay(&setup, &recording.grips, &recording.turns, &name, &remark)?;
    let Recording { airframe, mix, scenario, .. } = recording;
    Ok((flying, Texts { airframe, mix, scenario }))
}

/// Which files are no longer what was flown.
fn remark(recording: &Recording) -> String {
    let other = |kind: &Kind| {
        let flown = recording.source(*kind);
        find(*kind, flown.name()).map_or(true, |now| now.text() != flown.text())
    };
    let other: Vec<String> = Kind::ALL
        .into_iter()
        .filter(other)
        .map(|k| format!("{} {}", k.word(), recording.source(k).name()))
        .collect();
    if other.is_empty() {
        return String::new();
    }
    format!(" Flown with other numbers than now stand in: {}; shown as it was flown.", other.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::club::open;
    use manoeuvre::{Grip, Turned};
    use mix::Shape;
    use panels::State;

    fn fly(state: &mut State, seconds: usize) {
        state.fly_or_play();
        for k in 0..seconds * 50 {
            if k == 50 {
                state.switch_blends();
                state.turn(Turned::lever("flap", 0.5));
                state.turn(Turned::switch("roll-in", "on"));
            }
            state.advance(0.02);
        }
        state.pause_flying();
    }

    #[test]
    fn a_saved_flight_is_seen_again_with_what_was_dragged_since_the_file() {
        let folder = tempfile::tempdir().unwrap();
        let opened = open("knife-edge-pass", "foxglove", None).unwrap();
        let mut now = opened.setup.clone();
        if let Shape::TwoSided { right, .. } = &mut now.mix.blends[0].shape {
            *right = 0.1234567;
        }
        now.scenario.wind = [0.3, 2.1, 0.0];
        let (flying, texts) = opened.fly(&now).unwrap();
        let mut state = State::new(now, opened.club.clone());
        state.take_off(Ok(flying));
        fly(&mut state, 2);
        let flying = state.flying.as_ref().unwrap();
        let name = save(flying, &texts, "foxglove-flight", folder.path()).unwrap();
        let (again, _) = replay(Path::new(&name)).unwrap();
        assert_eq!(again.grips(), flying.grips());
        assert_eq!((again.turns(), again.turns().len()), (flying.turns(), 2));
        assert_eq!(again.setup(), flying.setup());
        let flown = state.show.clone().unwrap();
        state.take_off(Ok(again));
        assert_eq!(state.show.as_ref().unwrap().tracks, flown.tracks, "the same bits");
        let words = state.flying.as_ref().unwrap().sentence();
        assert!(words.contains("mix foxglove, scenario knife-edge-pass; shown as it was flown"), "{words}");
        assert!(!words.contains("airframe"), "{words}");
        // a second one never takes the place of the first
        let second = save(state.flying.as_ref().unwrap(), &texts, "foxglove-flight", folder.path()).unwrap();
        assert!(second.ends_with("foxglove-flight-2.toml"), "{second}");
    }

    #[test]
    fn a_flight_of_the_files_as_they_are_says_nothing_of_them() {
        let folder = tempfile::tempdir().unwrap();
        let opened = open("knife-edge-pass", "foxglove", None).unwrap();
        let (flying, texts) = opened.fly(&opened.setup).unwrap();
        let grip = Grip::new([0.0, 0.0, 0.5, 0.5], true);
        let flown = Flying::replay(flying.setup(), &[grip; 20], &[], "x", "").unwrap();
        let name = save(&flown, &texts, "flight", folder.path()).unwrap();
        let (again, _) = replay(Path::new(&name)).unwrap();
        assert!(again.sentence().ends_with("flight.toml. Its end: 0.4 s."), "{}", again.sentence());
        let broken = std::fs::read_to_string(&name).unwrap().replacen("0.5 0.5 in", "0.5 5 in", 1);
        std::fs::write(&name, broken).unwrap();
        let words = replay(Path::new(&name)).unwrap_err();
        assert!(
            words.contains("flight.toml:7:") && words.contains("found") && words.contains("next"),
            "{words}"
        );
        assert!(replay(&folder.path().join("none.toml")).unwrap_err().contains("no such file"));
    }
}
