//! Saving on command: into the pilot's own files by the bytes of each number, so that comments and order stay; what
//! came from the demo club becomes a new file in the present folder, and nothing is ever overwritten.

use crate::club::Opened;
use files::{
    Existing, Kind, MixChange, NewValue, Source, ValueChange, WriteError, change_mix, change_values, save,
    write_file,
};
use manoeuvre::{Compared, Scenario, Speed};
use measure::{Dimension, Side, Stick};
use mix::{Blend, Mix, Shape};
use panels::{Setup, remeasured};
use std::path::Path;

/// What may be saved, each in its file.
const KINDS: [Kind; 3] = [Kind::Mix, Kind::Airframe, Kind::Scenario];

impl Opened {
    /// Writes what differs between `now` and the files into `folder`, or the files themselves. Says what was written
    /// where; what could not be written stays unsaved, and the words say why.
    pub(crate) fn save(&mut self, now: &Setup, folder: &Path) -> String {
        let said: Vec<String> =
            KINDS.into_iter().filter_map(|kind| self.save_one(kind, now, folder)).collect();
        if said.is_empty() {
            "nothing was changed, so nothing was written".to_owned()
        } else {
            said.join("; ")
        }
    }

    fn save_one(&mut self, kind: Kind, now: &Setup, folder: &Path) -> Option<String> {
        let changed = match kind {
            Kind::Mix => self.setup.mix != now.mix,
            Kind::Airframe => self.setup.airframe != now.airframe,
            Kind::Scenario => self.setup.scenario != now.scenario,
        };
        if !changed {
            return None;
        }
        let what = match kind {
            Kind::Mix => "blends and rates",
            Kind::Airframe => "measurements",
            Kind::Scenario => "the manoeuvre",
        };
        Some(match self.edited(kind, now).and_then(|edited| self.write(kind, &edited, folder)) {
            Ok(written) => {
                match kind {
                    Kind::Mix => self.setup.mix = now.mix.clone(),
                    Kind::Airframe => self.setup.airframe = now.airframe.clone(),
                    Kind::Scenario => self.setup.scenario = now.scenario.clone(),
                }
                format!("{what} saved in {written}")
            }
            Err(words) => format!("{what} not saved: {words}"),
        })
    }

    fn text(&mut self, kind: Kind) -> &mut Source {
        match kind {
            Kind::Mix => &mut self.mix,
            Kind::Airframe => &mut self.airframe,
            Kind::Scenario => &mut self.scenario,
        }
    }

    /// The text of a file with what was changed in it.
    pub(crate) fn edited(&self, kind: Kind, now: &Setup) -> Result<Source, String> {
        let before = &self.setup;
        let same = match kind {
            // a mix is opened with its airframe
            Kind::Mix => before.airframe.name == now.airframe.name && same_mix(&before.mix, &now.mix),
            Kind::Airframe => before.airframe.name == now.airframe.name,
            Kind::Scenario => before.scenario.name == now.scenario.name,
        };
        if !same {
            return Err("undo went back to another file; choose it again on the left, then save".to_owned());
        }
        let edited = match kind {
            Kind::Mix => change_mix(&self.mix, &mix_changes(&before.mix, &now.mix)),
            Kind::Airframe => {
                let changes: Vec<ValueChange> = remeasured(&before.airframe, &now.airframe)
                    .into_iter()
                    .map(|r| change(&r.path, NewValue::Quantity(r.value, r.dimension)))
                    .collect();
                change_values(&self.airframe, kind, &changes)
            }
            Kind::Scenario => {
                change_values(&self.scenario, kind, &scenario_changes(&before.scenario, &now.scenario))
            }
        };
        edited.map_err(|report| report.to_string())
    }

    /// Into its own file, or as a new one; how it is called.
    fn write(&mut self, kind: Kind, edited: &Source, folder: &Path) -> Result<String, String> {
        let source = self.text(kind).clone();
        let own = Path::new(source.name());
        let name = if own.is_file() {
            save(own, &source, edited).map_err(|fault| fault.to_string())?;
            source.name().to_owned()
        } else {
            new_file(folder, &self.stem(kind), &edited.bytes())?
        };
        *self.text(kind) = Source::open(Path::new(&name)).map_err(|fault| fault.to_string())?;
        Ok(name)
    }

    /// The beginning of a new file's name.
    fn stem(&self, kind: Kind) -> String {
        match kind {
            Kind::Mix => format!("{}-mix", plain(&self.club.airframe)),
            Kind::Airframe => format!("{}-airframe", plain(&self.club.airframe)),
            Kind::Scenario => format!("my-{}", plain(&self.club.manoeuvre)),
        }
    }
}

/// The name of a file without folder and ending: what is flown may be a file in another folder.
pub(crate) fn plain(name: &str) -> String {
    Path::new(name).file_stem().map_or_else(|| name.to_owned(), |stem| stem.to_string_lossy().into_owned())
}

/// Writes the first of `stem.toml`, `stem-2.toml`, ... that is free; its name.
pub(crate) fn new_file(folder: &Path, stem: &str, bytes: &[u8]) -> Result<String, String> {
    const MOST: u32 = 99;
    for number in 1..=MOST {
        let name = if number == 1 { format!("{stem}.toml") } else { format!("{stem}-{number}.toml") };
        let path = folder.join(&name);
        match write_file(&path, bytes, Existing::Keep) {
            Err(WriteError::Exists { .. }) => {}
            Err(fault) => return Err(fault.to_string()),
            Ok(()) => {
                return Ok(if folder.as_os_str().is_empty() { name } else { path.display().to_string() });
            }
        }
    }
    Err(format!("{stem}.toml to {stem}-{MOST}.toml are all there already; move some away"))
}

fn same_mix(before: &Mix, now: &Mix) -> bool {
    let rates = |mix: &Mix| mix.rates.iter().map(|set| set.name.clone()).collect::<Vec<_>>();
    before.name == now.name && rates(before) == rates(now)
}

fn change(path: &str, to: NewValue) -> ValueChange {
    ValueChange { path: path.to_owned(), to }
}

/// The changes that make one mix of another with the same rates.
fn mix_changes(before: &Mix, now: &Mix) -> Vec<MixChange> {
    let mut changes = Vec::new();
    let gone = |old: &&Blend| !now.blends.iter().any(|new| same_blend(old, new));
    let removed = |old: &Blend| MixChange::Removed { blend: old.name.clone() };
    changes.extend(before.blends.iter().filter(gone).map(removed));
    for new in &now.blends {
        match before.blends.iter().find(|old| same_blend(old, new)) {
            Some(old) => changes.extend(blend_changes(old, new)),
            None => changes.push(MixChange::Added(new.clone())),
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

/// Whether a blend is another one with other numbers.
fn same_blend(old: &Blend, new: &Blend) -> bool {
    (&old.name, &old.from, &old.to, &old.after) == (&new.name, &new.from, &new.to, &new.after)
}

fn blend_changes(old: &Blend, new: &Blend) -> Vec<MixChange> {
    let mut changes = Vec::new();
    let blend = || new.name.clone();
    match (&old.shape, &new.shape) {
        (Shape::TwoSided { left, right }, Shape::TwoSided { left: new_left, right: new_right }) => {
            for (side, was, is) in [(Side::Left, left, new_left), (Side::Right, right, new_right)] {
                if was != is {
                    changes.push(MixChange::Share { blend: blend(), side, to: *is });
                }
            }
        }
        (was, is) if was != is => changes.push(MixChange::Shape { blend: blend(), to: is.clone() }),
        _ => {}
    }
    if old.engaged != new.engaged {
        changes.push(MixChange::Engaged { blend: blend(), to: new.engaged.clone() });
    }
    if old.fade != new.fade {
        changes.push(MixChange::Fade { blend: blend(), to: new.fade });
    }
    if old.slow != new.slow {
        changes.push(MixChange::Slow { blend: blend(), to: new.slow });
    }
    if old.tuned != new.tuned {
        changes.push(MixChange::Tuned { blend: blend(), to: new.tuned.clone() });
    }
    changes
}

/// The changes that the window can make in a manoeuvre.
fn scenario_changes(before: &Scenario, now: &Scenario) -> Vec<ValueChange> {
    let mut changes = Vec::new();
    let (was, is) = (&before.start, &now.start);
    if was.speed != is.speed {
        let (speed, dimension) = match is.speed {
            Speed::Trimmed(times) | Speed::Throttle(times) => (times, Dimension::Share),
            Speed::Absolute(speed) => (speed, Dimension::Speed),
        };
        changes.push(change("start.speed", NewValue::Quantity(speed, dimension)));
    }
    if was.height != is.height {
        changes.push(change("start.height", NewValue::Quantity(is.height, Dimension::Length)));
    }
    if was.levers != is.levers {
        changes.push(change("start.levers", NewValue::Levers(is.levers.clone())));
    }
    if was.switches != is.switches {
        changes.push(change("start.switches", NewValue::Switches(is.switches.clone())));
    }
    if before.compared != now.compared {
        let names = match &now.compared {
            Compared::All => None,
            Compared::These(names) => Some(names.clone()),
        };
        changes.push(change("compared", NewValue::Names(names)));
    }
    if before.wind != now.wind {
        let [north, east, _] = now.wind;
        let tenths = |angle: f64| libm::round(angle / measure::DEG * 10.0) / 10.0 * measure::DEG;
        let from = tenths(libm::atan2(-east, -north).rem_euclid(core::f64::consts::TAU));
        changes.push(change("wind.from", NewValue::Quantity(from, Dimension::Angle)));
        let speed = libm::round(libm::hypot(north, east) * 1e3) / 1e3;
        changes.push(change("wind.speed", NewValue::Quantity(speed, Dimension::Speed)));
    }
    changes
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::club::open;
    use files::find;
    use std::fs;

    #[test]
    fn only_the_changed_number_of_a_file_is_written() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("mine.toml");
        let text = find(Kind::Mix, "foxglove").unwrap().text().to_owned();
        fs::write(&path, &text).unwrap();
        let mut opened = open("knife-edge-pass", "foxglove", path.to_str()).unwrap();
        let mut now = opened.setup.clone();
        if let Shape::TwoSided { right, .. } = &mut now.mix.blends[0].shape {
            *right = 0.123;
        }
        let said = opened.save(&now, folder.path());
        assert_eq!(said, format!("blends and rates saved in {}", path.display()));
        let written = fs::read_to_string(&path).unwrap();
        let differing = text.lines().zip(written.lines()).filter(|(a, b)| a != b).collect::<Vec<_>>();
        assert_eq!(differing.len(), 1, "{differing:?}");
        assert!(differing[0].1.contains("12.3 %"));
        assert_eq!(opened.save(&now, folder.path()), "nothing was changed, so nothing was written");
        fs::write(&path, &text).unwrap();
        now.mix.blends[0].fade = 0.5;
        assert!(opened.save(&now, folder.path()).contains("was changed by another program"));
    }

    #[test]
    fn demo_files_become_new_ones_and_read_back_as_they_were_flown() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("foxglove-mix.toml"), "somebody's own").unwrap();
        let mut opened = open("knife-edge-pass", "foxglove", None).unwrap();
        let mut now = opened.setup.clone();
        let blend = &mut now.mix.blends[0];
        blend.shape = Shape::Curve(vec![(-1.0, 0.05), (0.0, 0.0), (1.0, 0.08)]);
        blend.engaged = mix::Condition::Switch { name: "edge".into(), is: "on".into() };
        blend.fade = 0.4;
        now.airframe.mass.all_up.value = 4.25;
        now.scenario.wind = [0.0, 4.0, 0.0];
        now.scenario.start.speed = Speed::Trimmed(1.2);
        now.scenario.start.switches.push(("edge".into(), "on".into()));
        let said = opened.save(&now, folder.path());
        for name in ["foxglove-mix-2.toml", "foxglove-airframe.toml", "my-knife-edge-pass.toml"] {
            assert!(said.contains(name) && folder.path().join(name).is_file(), "{said}");
        }
        assert_eq!(fs::read_to_string(folder.path().join("foxglove-mix.toml")).unwrap(), "somebody's own");
        let at = |name: &str| folder.path().join(name).display().to_string();
        let again = open(
            &at("my-knife-edge-pass.toml"),
            &at("foxglove-airframe.toml"),
            Some(&at("foxglove-mix-2.toml")),
        );
        let again = again.unwrap().setup;
        assert!(again.mix == now.mix && remeasured(&again.airframe, &now.airframe).is_empty());
        assert_eq!(again.scenario.start, now.scenario.start);
        assert!((again.scenario.wind[1] - 4.0).abs() < 1e-9);
        // from now on they are the pilot's own files
        now.airframe.mass.all_up.value = 4.3;
        assert!(opened.save(&now, folder.path()).ends_with("foxglove-airframe.toml"));
        assert!(fs::read_to_string(at("foxglove-airframe.toml")).unwrap().contains("4.3 kg"));
    }

    #[test]
    fn blends_come_and_go_in_the_pilots_own_file() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("mine.toml");
        let text = find(Kind::Mix, "foxglove").unwrap().text().to_owned();
        fs::write(&path, &text).unwrap();
        let mut opened = open("knife-edge-pass", "foxglove", path.to_str()).unwrap();
        let mut now = opened.setup.clone();
        let roll = now.mix.blends.remove(1);
        // another one of the same name, and one more
        now.mix.blends.insert(1, Blend { to: mix::Follower::Throttle, ..roll.clone() });
        let none = Shape::TwoSided { left: 0.0, right: 0.0 };
        now.mix.blends.push(Blend { name: "new".into(), shape: none, ..roll });
        let said = opened.save(&now, folder.path());
        assert!(said.starts_with("blends and rates saved"), "{said}");
        let written = fs::read_to_string(&path).unwrap();
        let comments = |text: &str| text.lines().filter(|line| line.starts_with('#')).count();
        assert_eq!(comments(&written), comments(&text));
        let again = open("knife-edge-pass", "foxglove", path.to_str()).unwrap();
        let sorted = |setup: &Setup| {
            let mut blends = setup.mix.blends.clone();
            blends.sort_by(|a, b| a.name.cmp(&b.name));
            blends
        };
        assert_eq!(sorted(&again.setup), sorted(&now));
        assert_eq!(opened.save(&now, folder.path()), "nothing was changed, so nothing was written");
        // and back, as after undo
        let before = open("knife-edge-pass", "foxglove", None).unwrap().setup;
        now.mix = before.mix.clone();
        opened.save(&now, folder.path());
        let again = open("knife-edge-pass", "foxglove", path.to_str()).unwrap();
        assert_eq!(sorted(&again.setup), sorted(&before));
    }

    #[test]
    fn a_demo_mix_on_an_own_airframe_becomes_a_file_here() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("mine.toml");
        fs::write(&path, find(Kind::Airframe, "foxglove").unwrap().text()).unwrap();
        let here = folder.path().join("here");
        fs::create_dir(&here).unwrap();
        let mut opened = open("knife-edge-pass", path.to_str().unwrap(), Some("foxglove")).unwrap();
        let mut now = opened.setup.clone();
        now.mix.blends[0].fade = 0.5;
        opened.save(&now, &here);
        assert!(here.join("mine-mix.toml").is_file());
    }

    #[test]
    fn what_cannot_be_written_is_told_and_stays_unsaved() {
        let folder = tempfile::tempdir().unwrap();
        let mut opened = open("knife-edge-pass", "foxglove", None).unwrap();
        let mut now = opened.setup.clone();
        now.airframe.mass.all_up.value = 4.25;
        let nowhere = folder.path().join("a-file");
        fs::write(&nowhere, "").unwrap();
        assert!(opened.save(&now, &nowhere).starts_with("measurements not saved: "));
        assert_ne!(opened.setup.airframe, now.airframe);
        now.airframe.name = "Larkspur".into();
        assert!(opened.save(&now, folder.path()).contains("choose it again"));
    }
}
