//! Where each moving surface lies on the model, for the plan view and for the scene.

use airframe::{Geometry, Part, Planform};
use measure::Side;
use nalgebra::Vector3;

/// A moving surface at rest, body axes FRD about the centre of mass \[m\].
#[derive(Debug, Clone, PartialEq)]
pub struct Flap {
    /// Index of its surface in the geometry.
    pub surface: usize,
    /// Which part it sits on.
    pub part: Part,
    /// Ends of the hinge line: root end, tip end (of a door: left, right).
    pub hinge: [Vector3<f64>; 2],
    /// The trailing edge behind them.
    pub trailing: [Vector3<f64>; 2],
}

/// The piece of a part between two shares of its length, on one side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Leading edge \[m\].
    pub leading: Vector3<f64>,
    /// Chord \[m\].
    pub chord: f64,
}

/// The section of a part at `share` of its length; `side` mirrors.
#[must_use]
pub fn section(plan: &Planform, side: Option<Side>, share: f64) -> Section {
    let chord = plan.root_chord + (plan.tip_chord - plan.root_chord) * share;
    let quarter = plan.root + plan.reach * share;
    let y = if side == Some(Side::Left) { -quarter.y } else { quarter.y };
    Section { leading: Vector3::new(quarter.x + 0.25 * chord, y, quarter.z), chord }
}

/// A hinge on a part: the shares of the part's length between which it runs, and the share of the
/// chord behind it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Inner end.
    pub from: f64,
    /// Outer end.
    pub to: f64,
    /// Share of the chord that moves.
    pub chord: f64,
}

/// Where a surface is hinged on its part; `None` for a door.
#[must_use]
pub fn span(geometry: &Geometry, surface: usize) -> Option<Span> {
    let plan = geometry.planform(geometry.surfaces.get(surface)?.part)?;
    let strips = geometry.strips.iter().filter(|s| s.surface == Some(surface));
    strips
        .map(|s| {
            let half = 0.5 * s.area / (s.chord * plan.length);
            Span { from: s.mid - half, to: s.mid + half, chord: s.hinge_chord }
        })
        .reduce(|a, b| Span { from: a.from.min(b.from), to: a.to.max(b.to), chord: a.chord })
}

/// Every moving surface.
#[must_use]
pub fn flaps(geometry: &Geometry) -> Vec<Flap> {
    let hinged = (0..geometry.surfaces.len()).filter_map(|i| hinged(geometry, i));
    hinged.chain(geometry.doors.iter().map(door)).collect()
}

fn hinged(geometry: &Geometry, surface: usize) -> Option<Flap> {
    let what = &geometry.surfaces[surface];
    let (plan, span) = (geometry.planform(what.part)?, span(geometry, surface)?);
    let ends = [span.from, span.to].map(|share| section(plan, what.side, share));
    let back = |share: f64| ends.map(|e| e.leading - Vector3::new(share * e.chord, 0.0, 0.0));
    Some(Flap { surface, part: what.part, hinge: back(1.0 - span.chord), trailing: back(1.0) })
}

fn door(door: &airframe::DoorShape) -> Flap {
    let half = 0.5 * door.area / door.length.max(1e-6);
    let hinge = [-half, half].map(|y| door.hinge + Vector3::new(0.0, y, 0.0));
    Flap {
        surface: door.surface,
        part: Part::Fittings,
        hinge,
        trailing: hinge.map(|h| h - Vector3::new(door.length, 0.0, 0.0)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::demo;

    #[test]
    fn surfaces_lie_where_they_were_measured() {
        let setup = demo("larkspur");
        let geometry = Geometry::of(&setup.airframe).unwrap();
        let flaps = flaps(&geometry);
        assert_eq!(flaps.len(), geometry.surfaces.len());
        let right = |f: &&Flap| geometry.surfaces[f.surface].label() == "right aileron";
        let aileron = flaps.iter().find(right).unwrap();
        // the file: half span 1000 mm, aileron from 12 % to 100 %, chord behind it 25 % of 240 mm at the tip
        assert!((aileron.hinge[0].y - 0.12).abs() < 1e-9 && (aileron.hinge[1].y - 1.0).abs() < 1e-9);
        let tip = aileron.hinge[1] - aileron.trailing[1];
        assert!((tip.x - 0.25 * 0.240).abs() < 1e-9, "{tip:?}");
        // trailing edge of the tip: station 97 + 240 mm, centre of mass at 180 mm
        assert!((aileron.trailing[1].x - (0.180 - 0.337)).abs() < 1e-9);
        let left = |f: &&Flap| geometry.surfaces[f.surface].label() == "left aileron";
        let mirrored = flaps.iter().find(left).unwrap();
        assert!((mirrored.hinge[1].y + 1.0).abs() < 1e-9);
    }
}
