//! Opening: with [`crate::saving`] the only part of the window that knows files.

use files::{Checked, Kind, Report, Source, demo_names, find, read_airframe, read_mix, read_scenario};
use measure::Side;
use panels::{Club, Setup};

/// What was opened.
#[derive(Debug, Clone)]
pub(crate) struct Opened {
    /// As it stands in the files.
    pub(crate) setup: Setup,
    pub(crate) club: Club,
    /// The texts as they were read, each with its name.
    pub(crate) airframe: Source,
    pub(crate) mix: Source,
    pub(crate) scenario: Source,
}

/// Opens a manoeuvre, an airframe and its mix.
///
/// # Errors
/// In words: which file, which line, what to do.
pub(crate) fn open(manoeuvre: &str, model: &str, mix: Option<&str>) -> Result<Opened, String> {
    let mix = mix_of(model, mix)?;
    let (scenario, airframe) = (source(Kind::Scenario, manoeuvre)?, source(Kind::Airframe, model)?);
    let setup = open_texts(&airframe, &mix, &scenario)?;
    Ok(Opened { setup, club: club(manoeuvre, model), airframe, mix, scenario })
}

/// What stands in three texts.
///
/// # Errors
/// As [`open`].
pub(crate) fn open_texts(airframe: &Source, mix: &Source, scenario: &Source) -> Result<Setup, String> {
    Ok(Setup {
        scenario: read(Kind::Scenario, scenario, read_scenario)?,
        airframe: read(Kind::Airframe, airframe, read_airframe)?,
        mix: read(Kind::Mix, mix, read_mix)?,
        side: Side::Right,
    })
}

fn source(kind: Kind, name: &str) -> Result<Source, String> {
    find(kind, name).map_err(|fault| fault.to_string())
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
    source: &Source,
    reader: impl Fn(Source) -> Result<Checked<T>, Report>,
) -> Result<T, String> {
    if let Some(other) = Kind::of(source).filter(|other| *other != kind) {
        return Err(format!(
            "{}: this is a file of kind {}, where {} belongs",
            source.name(),
            other.word(),
            kind.word()
        ));
    }
    Ok(reader(source.clone()).map_err(|report| report.to_string())?.value)
}

/// A mix to begin with.
const SMALLEST: &str = "\
name = \"mine\"

[[blend]]
name = \"knife-edge pitch\"
from = \"rudder\"
to = \"elevator\"
left = \"0 %\"
right = \"0 %\"
";

/// The mix named, or else the demo mix that carries the airframe's name.
fn mix_of(airframe: &str, named: Option<&str>) -> Result<Source, String> {
    let name = named.unwrap_or(airframe);
    if named.is_none() && !demo_names(Kind::Mix).any(|known| known == airframe) {
        return Err(format!(
            "no mix is known for \"{airframe}\"; name one with --mix FILE. The smallest is, as my-mix.toml,\n\n{SMALLEST}\n\
             then: countermix-viewer knife-edge-pass {airframe} --mix my-mix.toml"
        ));
    }
    source(Kind::Mix, name)
}

impl Opened {
    /// Another manoeuvre for the same airframe and mix.
    ///
    /// # Errors
    /// As [`open`].
    pub(crate) fn with_manoeuvre(&self, name: &str) -> Result<Self, String> {
        let scenario = source(Kind::Scenario, name)?;
        let setup = Setup { scenario: read(Kind::Scenario, &scenario, read_scenario)?, ..self.setup.clone() };
        Ok(Self { setup, scenario, club: club(name, &self.club.airframe), ..self.clone() })
    }

    /// Another airframe with the mix of its name, in the same manoeuvre.
    ///
    /// # Errors
    /// As [`open`].
    pub(crate) fn with_airframe(&self, name: &str) -> Result<Self, String> {
        let (airframe, mix) = (source(Kind::Airframe, name)?, mix_of(name, None)?);
        let setup = Setup {
            airframe: read(Kind::Airframe, &airframe, read_airframe)?,
            mix: read(Kind::Mix, &mix, read_mix)?,
            ..self.setup.clone()
        };
        Ok(Self {
            setup,
            airframe,
            mix,
            club: club(&self.club.manoeuvre, name),
            scenario: self.scenario.clone(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn another_manoeuvre_keeps_the_pilots_own_mix() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("mine.toml");
        let text = find(Kind::Mix, "foxglove").unwrap().text().replace("7.5 %", "9.25 %");
        std::fs::write(&path, text).unwrap();
        let opened = open("knife-edge-pass", "foxglove", path.to_str()).unwrap();
        let other = opened.with_manoeuvre("half-rudder").unwrap();
        assert_eq!(other.setup.mix, opened.setup.mix);
        assert_eq!(
            (other.club.manoeuvre.as_str(), other.setup.scenario.name.as_str()),
            ("half-rudder", "half rudder")
        );
        let model = opened.with_airframe("larkspur").unwrap();
        assert_eq!(model.setup.airframe.name, "Larkspur");
        assert_ne!(model.setup.mix, opened.setup.mix);
        assert_eq!(model.setup.scenario, opened.setup.scenario);
    }

    #[test]
    fn what_cannot_be_opened_is_told_in_words() {
        assert!(open("knife-edge-pass", "foxgolve", None).unwrap_err().contains("--mix FILE"));
        assert!(open("knife-edge", "foxglove", None).unwrap_err().contains("knife-edge-pass"));
        assert!(read_mix(Source::new("my-mix.toml", SMALLEST)).is_ok());
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("broken.toml");
        std::fs::write(&path, "name = \"x\"\n[[blend]]\nname = 3\n").unwrap();
        let words = open("knife-edge-pass", "foxglove", path.to_str()).unwrap_err();
        assert!(words.contains("broken.toml"), "{words}");
    }
}
