//! The measured numbers that are worth dragging: each moves some coupling that pilots know.

use airframe::{Airframe, Panel, Part};
use measure::DEG;

/// A measured number of an airframe.
#[derive(Clone, Copy)]
pub(crate) struct Measure {
    /// What it is called.
    pub(crate) name: &'static str,
    /// The unit it is shown in.
    pub(crate) unit: &'static str,
    /// SI per shown unit.
    pub(crate) per_unit: f64,
    /// Shown units per point dragged.
    pub(crate) speed: f64,
    /// Decimals shown.
    pub(crate) decimals: usize,
    /// Smallest and largest, shown unit.
    pub(crate) range: (f64, f64),
    /// Where it lies in the airframe; `None` if that has no such thing.
    pub(crate) get: fn(&mut Airframe) -> Option<&mut f64>,
}

const MM: f64 = 1e-3;

const fn length(name: &'static str, get: fn(&mut Airframe) -> Option<&mut f64>) -> Measure {
    Measure { name, unit: "mm", per_unit: MM, speed: 0.5, decimals: 0, range: (-3000.0, 3000.0), get }
}

const fn tilt(name: &'static str, get: fn(&mut Airframe) -> Option<&mut f64>) -> Measure {
    Measure { name, unit: "deg", per_unit: DEG, speed: 0.02, decimals: 1, range: (-15.0, 15.0), get }
}

/// In the order they are shown.
pub(crate) const MEASURED: &[Measure] = &[
    Measure {
        name: "Mass",
        unit: "kg",
        per_unit: 1.0,
        speed: 0.01,
        decimals: 2,
        range: (0.1, 30.0),
        get: |a| Some(&mut a.mass.all_up.value),
    },
    length("Centre of mass, station", |a| Some(&mut a.mass.station.value)),
    length("Centre of mass, waterline", |a| Some(&mut a.mass.waterline.value)),
    tilt("Wing incidence", |a| incidence(a, Part::Wing)),
    tilt("Tailplane incidence", |a| incidence(a, Part::Tailplane)),
    length("Wing height at the root", |a| Some(&mut part(a, Part::Wing)?.root.waterline.value)),
    length("Wing height at the tip", |a| Some(&mut part(a, Part::Wing)?.tip.waterline.value)),
    length("Tailplane height", |a| Some(&mut part(a, Part::Tailplane)?.root.waterline.value)),
    tilt("Right thrust", |a| Some(&mut a.propulsor.right.value)),
    tilt("Down thrust", |a| Some(&mut a.propulsor.down.value)),
    length("Fin height", |a| Some(&mut part(a, Part::Fin)?.tip.waterline.value)),
];

fn part(airframe: &mut Airframe, part: Part) -> Option<&mut Panel> {
    airframe.panels.iter_mut().find(|panel| panel.part == part)
}

/// Of the root; the tip turns with it, so that the washout stays.
fn incidence(airframe: &mut Airframe, which: Part) -> Option<&mut f64> {
    Some(&mut part(airframe, which)?.root.incidence.value)
}
