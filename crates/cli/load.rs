//! From what was typed to checked values. Cautions go to the standard error stream.

use airframe::{Airframe, Geometry};
use files::{Checked, Kind, Report, Source, find, read_airframe, read_mix, read_scenario};
use manoeuvre::Scenario;
use mix::Mix;
use std::io::{ErrorKind, Write};
use std::path::Path;

/// Why a command did not do its work, in words for the pilot.
#[derive(Debug)]
pub(crate) struct Trouble(String);

impl Trouble {
    pub(crate) fn new(words: &str) -> Self {
        Self(words.to_owned())
    }
}

impl core::fmt::Display for Trouble {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.write_str(self.0.trim_end())
    }
}

/// Every error becomes its own words.
impl<E: core::error::Error> From<E> for Trouble {
    fn from(error: E) -> Self {
        Self(error.to_string())
    }
}

fn read<T>(
    kind: Kind,
    name: &str,
    reader: impl Fn(Source) -> Result<Checked<T>, Report>,
) -> Result<T, Trouble> {
    let source = find(kind, name)?;
    if let Some(other) = Kind::of(&source).filter(|other| *other != kind) {
        return Err(Trouble(format!(
            "{name}: this is {}, where {} belongs; see the examples of countermix --help",
            other.with_article(),
            kind.with_article()
        )));
    }
    let checked = reader(source).map_err(|report| Trouble(report.to_string()))?;
    if !checked.cautions.is_empty() {
        eprintln!("{}", checked.cautions);
    }
    Ok(checked.value)
}

/// Prints; a reader that has gone away is no fault.
pub(crate) fn say(text: &str) -> Result<(), Trouble> {
    match std::io::stdout().write_all(format!("{text}\n").as_bytes()) {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => Err(error.into()),
        _ => Ok(()),
    }
}

pub(crate) fn airframe(name: &str) -> Result<Airframe, Trouble> {
    read(Kind::Airframe, name, read_airframe)
}

pub(crate) fn geometry(name: &str) -> Result<Geometry, Trouble> {
    let measured = airframe(name)?;
    Geometry::of(&measured).map_err(|fault| Trouble(format!("{name}: {fault}")))
}

pub(crate) fn scenario(name: &str) -> Result<Scenario, Trouble> {
    read(Kind::Scenario, name, read_scenario)
}

/// The mix named, or else the demo mix that carries the airframe's name, or else none: no rates, no
/// blends, which is told.
pub(crate) fn mix(named: Option<&str>, airframe: &str) -> Result<Mix, Trouble> {
    if let Some(name) = named {
        return read(Kind::Mix, name, read_mix);
    }
    let is_demo = !Path::new(airframe).exists();
    if is_demo && files::demo_names(Kind::Mix).any(|known| known.eq_ignore_ascii_case(airframe.trim())) {
        return read(Kind::Mix, airframe, read_mix);
    }
    eprintln!(
        "{airframe}: no mix is named, so it is flown bare: full throws, no blends. Name one with --mix FILE; \
         countermix find {airframe} --write FILE writes first values to try into one."
    );
    Ok(Mix { name: "bare".to_owned(), rates: Vec::new(), blends: Vec::new() })
}
