//! Opening and saving: the only part of the window that knows files.

use airframe::Airframe;
use files::{
    Checked, Existing, Kind, MixChange, Report, Source, change_mix, demo_names, find, read_airframe,
    read_mix, read_scenario, save, write_file,
};
use measure::{Side, Stick};
use mix::{Mix, Shape};
use panels::{Club, Setup};
use std::path::Path;

/// What was opened.
#[derive(Debug, Clone)]
pub(crate) struct Opened {
    pub(crate) setup: Setup,
    pub(crate) club: Club,
    /// The text of the mix as it was read, and its name.
    mix: Source,
}

/// Opens a manoeuvre, an airframe and its mix.
///
/// # Errors
/// In words: which file, which line, what to do.
pub(crate) fn open(scenario: &str, airframe: &str, mix: Option<&str>) -> Result<Opened, String> {
    let mix_source = mix_of(airframe, mix)?;
    let setup = Setup {
        scenario: read(Kind::Scenario, find(Kind::Scenario, scenario), read_scenario)?,
        airframe: read::<Airframe>(Kind::Airframe, find(Kind::Airframe, airframe), read_airframe)?,
        mix: read::<Mix>(Kind::Mix, Ok(mix_source.clone()), read_mix)?,
        side: Side::Right,
    };
    Ok(Opened { setup, club: club(scenario, airframe), mix: mix_source })
}

fn club(scenario: &str, airframe: &str) -> Club {
    let names = |kind: Kind, opened: &str| {
        let mut names: Vec<String> = demo_names(kind).map(str::to_owned).collect();
        if !names.iter().any(|name| name == opened) {
            names.insert(0, opened.to_owned());
        }
        names
    };
    Club {
        airframes: names(Kind::Airframe, airframe),
        manoeuvres: names(Kind::Scenario, scenario),
        airframe: airframe.to_owned(),
        manoeuvre: scenario.to_owned(),
    }
}

fn read<T>(
    kind: Kind,
    source: Result<Source, files::FindError>,
    reader: impl Fn(Source) -> Result<Checked<T>, Report>,
) -> Result<T, String> {
    let source = source.map_err(|fault| fault.to_string())?;
    if let Some(other) = Kind::of(&source).filter(|other| *other != kind) {
        return Err(format!(
            "{}: this is a file of kind {}, where {} belongs",
            source.name(),
            other.word(),
            kind.word()
        ));
    }
    Ok(reader(source).map_err(|report| report.to_string())?.value)
}

/// The mix named, or else the demo mix that carries the airframe's name.
fn mix_of(airframe: &str, named: Option<&str>) -> Result<Source, String> {
    let name = named.unwrap_or(airframe);
    if named.is_none() && !demo_names(Kind::Mix).any(|known| known == airframe) {
        return Err(format!("no mix is known for \"{airframe}\"; name one with --mix FILE"));
    }
    find(Kind::Mix, name).map_err(|fault| fault.to_string())
}

impl Opened {
    /// Writes what was changed in the mix, by the bytes of each number; a mix of the demo club becomes a new file
    /// in the present folder. Returns what was done, in words.
    ///
    /// # Errors
    /// In words; the file is then as it was.
    pub(crate) fn save(&mut self, now: &Setup) -> Result<String, String> {
        let changes = changes(&self.setup.mix, &now.mix);
        let left = (now.airframe != self.setup.airframe || now.scenario != self.setup.scenario).then_some(
            "; measured numbers, speed, wind and what is compared are not written yet: note them down",
        );
        if changes.is_empty() {
            return Err(format!("nothing in the mix was changed{}", left.unwrap_or_default()));
        }
        let edited = change_mix(&self.mix, &changes).map_err(|report| report.to_string())?;
        let path = Path::new(self.mix.name());
        let name = if path.is_file() {
            save(path, &self.mix, &edited).map_err(|fault| fault.to_string())?;
            self.mix.name().to_owned()
        } else {
            let name = format!("{}-mix.toml", self.club.airframe);
            write_file(Path::new(&name), &edited.bytes(), Existing::Keep)
                .map_err(|fault| fault.to_string())?;
            name
        };
        self.mix = Source::new(name.clone(), edited.text());
        self.setup.mix = now.mix.clone();
        Ok(format!("saved {name}{}", left.unwrap_or_default()))
    }
}

/// The changes that make one mix of another with the same blends and rates.
fn changes(before: &Mix, now: &Mix) -> Vec<MixChange> {
    let mut changes = Vec::new();
    for (old, new) in before.blends.iter().zip(&now.blends) {
        match (&old.shape, &new.shape) {
            (Shape::TwoSided { left, right }, Shape::TwoSided { left: new_left, right: new_right }) => {
                for (side, was, is) in [(Side::Left, left, new_left), (Side::Right, right, new_right)] {
                    if was != is {
                        changes.push(MixChange::Share { blend: new.name.clone(), side, to: *is });
                    }
                }
            }
            (was, is) if was != is => {
                changes.push(MixChange::Shape { blend: new.name.clone(), to: is.clone() })
            }
            _ => {}
        }
    }
    for (old, new) in before.rates.iter().zip(&now.rates) {
        for (i, stick) in [Stick::Aileron, Stick::Elevator, Stick::Rudder].into_iter().enumerate() {
            let (was, is) = (old.sticks[i], new.sticks[i]);
            if was.throw != is.throw {
                changes.push(MixChange::Throw { rates: new.name.clone(), stick, to: is.throw });
            }
            if was.expo != is.expo {
                changes.push(MixChange::Expo { rates: new.name.clone(), stick, to: is.expo });
            }
        }
    }
    changes
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_changed_number_of_a_file_is_written() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("mine.toml");
        let text = find(Kind::Mix, "foxglove").unwrap().text().to_owned();
        std::fs::write(&path, &text).unwrap();
        let mut opened = open("knife-edge-pass", "foxglove", path.to_str()).unwrap();
        let mut now = opened.setup.clone();
        now.mix.blends[0].shape = match now.mix.blends[0].shape {
            Shape::TwoSided { left, .. } => Shape::TwoSided { left, right: 0.123 },
            ref other => other.clone(),
        };
        assert!(opened.save(&now).unwrap().starts_with("saved "));
        let written = std::fs::read_to_string(&path).unwrap();
        let differing = text.lines().zip(written.lines()).filter(|(a, b)| a != b).collect::<Vec<_>>();
        assert_eq!(differing.len(), 1, "{differing:?}");
        assert!(differing[0].1.contains("12.3 %"));
        assert!(opened.save(&now).unwrap_err().contains("nothing in the mix was changed"));
    }

    #[test]
    fn what_cannot_be_opened_is_told_in_words() {
        assert!(open("knife-edge-pass", "foxgolve", None).unwrap_err().contains("--mix FILE"));
        assert!(open("knife-edge", "foxglove", None).unwrap_err().contains("knife-edge-pass"));
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("broken.toml");
        std::fs::write(&path, "name = \"x\"\n[[blend]]\nname = 3\n").unwrap();
        let words = open("knife-edge-pass", "foxglove", path.to_str()).unwrap_err();
        assert!(words.contains("broken.toml"), "{words}");
    }
}
