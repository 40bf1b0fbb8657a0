//! The measured numbers that are worth dragging: each moves some coupling that pilots know.

use airframe::{Airframe, Panel, Part};
use measure::{DEG, Dimension};

/// A measured number of an airframe.
#[derive(Clone, Copy)]
pub(crate) struct Measure {
    /// What it is called.
    pub(crate) name: &'static str,
    /// The unit it is shown in.
    pub(crate) unit: &'static str,
    /// SI per shown unit.
    pub(crate) per_unit: f64,
    /// What kind of quantity it is.
    dimension: Dimension,
    /// Shown units per point dragged.
    pub(crate) speed: f64,
    /// Decimals shown.
    pub(crate) decimals: usize,
    /// Smallest and largest, shown unit.
    pub(crate) range: (f64, f64),
    /// Where it lies. The first is shown; the others go with it, so that washout and dihedral stay.
    places: &'static [Place],
}

/// A place in an airframe and in its file.
struct Place {
    /// Keys of the file; the first is a part of the model, or `shaft` for propeller or fan.
    path: &'static str,
    /// `None` if the airframe has no such thing.
    get: fn(&mut Airframe) -> Option<&mut f64>,
}

/// A number that was measured anew.
#[derive(Debug, Clone, PartialEq)]
pub struct Remeasured {
    /// Keys in the airframe file, places in lists counted from 1: `panel.1.root.incidence`.
    pub path: String,
    /// SI units.
    pub value: f64,
    /// What kind of quantity it is.
    pub dimension: Dimension,
}

const MM: f64 = 1e-3;

const fn length(name: &'static str, places: &'static [Place]) -> Measure {
    Measure {
        name,
        unit: "mm",
        per_unit: MM,
        dimension: Dimension::Length,
        speed: 0.5,
        decimals: 0,
        range: (-3000.0, 3000.0),
        places,
    }
}

const fn tilt(name: &'static str, places: &'static [Place]) -> Measure {
    Measure {
        name,
        unit: "deg",
        per_unit: DEG,
        dimension: Dimension::Angle,
        speed: 0.02,
        decimals: 1,
        range: (-15.0, 15.0),
        places,
    }
}

macro_rules! places {
    ($($path:literal: $get:expr),+) => { &[$(Place { path: $path, get: $get }),+] };
}

/// In the order they are shown.
pub(crate) const MEASURED: &[Measure] = &[
    Measure {
        name: "Mass",
        unit: "kg",
        per_unit: 1.0,
        dimension: Dimension::Mass,
        speed: 0.01,
        decimals: 2,
        range: (0.1, 30.0),
        places: places!["mass.all_up": |a| Some(&mut a.mass.all_up.value)],
    },
    length("Centre of mass, station", places!["mass.centre.station": |a| Some(&mut a.mass.station.value)]),
    length(
        "Centre of mass, waterline",
        places!["mass.centre.waterline": |a| Some(&mut a.mass.waterline.value)],
    ),
    tilt(
        "Wing incidence",
        places!["wing.root.incidence": |a| Some(&mut part(a, Part::Wing)?.root.incidence.value),
                "wing.tip.incidence": |a| Some(&mut part(a, Part::Wing)?.tip.incidence.value)],
    ),
    tilt(
        "Tailplane incidence",
        places!["tailplane.root.incidence": |a| Some(&mut part(a, Part::Tailplane)?.root.incidence.value),
                "tailplane.tip.incidence": |a| Some(&mut part(a, Part::Tailplane)?.tip.incidence.value)],
    ),
    length(
        "Wing height at the root",
        places!["wing.root.waterline": |a| Some(&mut part(a, Part::Wing)?.root.waterline.value)],
    ),
    length(
        "Wing height at the tip",
        places!["wing.tip.waterline": |a| Some(&mut part(a, Part::Wing)?.tip.waterline.value)],
    ),
    length(
        "Tailplane height",
        places!["tailplane.root.waterline": |a| Some(&mut part(a, Part::Tailplane)?.root.waterline.value),
                "tailplane.tip.waterline": |a| Some(&mut part(a, Part::Tailplane)?.tip.waterline.value)],
    ),
    tilt("Right thrust", places!["shaft.right_thrust": |a| Some(&mut a.propulsor.right.value)]),
    tilt("Down thrust", places!["shaft.down_thrust": |a| Some(&mut a.propulsor.down.value)]),
    length(
        "Fin height",
        places!["fin.tip.waterline": |a| Some(&mut part(a, Part::Fin)?.tip.waterline.value)],
    ),
];

impl Measure {
    /// What was measured, SI; `None` if the airframe has no such thing.
    pub(crate) fn of(&self, airframe: &mut Airframe) -> Option<f64> {
        (self.places.first()?.get)(airframe).copied()
    }

    /// Measures it anew, SI.
    pub(crate) fn set(&self, airframe: &mut Airframe, to: f64) {
        let Some(was) = self.of(airframe) else { return };
        for (i, place) in self.places.iter().enumerate() {
            if let Some(value) = (place.get)(airframe) {
                *value = if i == 0 { to } else { *value + (to - was) };
            }
        }
    }
}

/// The numbers in which one airframe differs from another with the same parts.
#[must_use]
pub fn remeasured(before: &Airframe, now: &Airframe) -> Vec<Remeasured> {
    let (mut before, mut after) = (before.clone(), now.clone());
    let mut list = Vec::new();
    for measure in MEASURED {
        for place in measure.places {
            let values = [&mut before, &mut after].map(|a| (place.get)(a).copied());
            if let [Some(was), Some(value)] = values
                && was != value
            {
                list.push(Remeasured { path: in_file(place.path, now), value, dimension: measure.dimension });
            }
        }
    }
    list
}

fn in_file(path: &str, airframe: &Airframe) -> String {
    let (first, rest) = path.split_once('.').unwrap_or((path, ""));
    let panel = airframe.panels.iter().position(|panel| panel.part.word() == first);
    match panel {
        Some(i) => format!("panel.{}.{rest}", i + 1),
        None if first != "shaft" => path.to_owned(),
        None if airframe.propulsor.duct_inlet.is_some() => format!("fan.{rest}"),
        None => format!("propeller.{rest}"),
    }
}

fn part(airframe: &mut Airframe, part: Part) -> Option<&mut Panel> {
    airframe.panels.iter_mut().find(|panel| panel.part == part)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::demo;

    #[test]
    fn washout_stays_and_what_was_changed_is_known_by_its_keys() {
        let before = demo("foxglove").airframe;
        let mut now = before.clone();
        let named = |name: &str| MEASURED.iter().find(|m| m.name == name).unwrap();
        named("Wing incidence").set(&mut now, 2.0 * DEG);
        named("Down thrust").set(&mut now, 2.0 * DEG);
        let washout = |a: &Airframe| a.panels[0].root.incidence.value - a.panels[0].tip.incidence.value;
        assert!((washout(&before) - washout(&now)).abs() < 1e-12);
        let paths: Vec<String> = remeasured(&before, &now).into_iter().map(|r| r.path).collect();
        assert_eq!(paths, ["panel.1.root.incidence", "panel.1.tip.incidence", "propeller.down_thrust"]);
        assert!(remeasured(&before, &before).is_empty());
    }
}
