//! The model as triangles and ink lines, from its measured geometry. Section thickness is not measured: it is
//! drawn at a share of the chord that is usual, and flown at none.

use crate::axes::vector;
use airframe::{BodySection, Geometry, Part, Planform};
use bevy::asset::RenderAssetUsages;
use bevy::math::Vec3;
use bevy::mesh::{Mesh, PrimitiveTopology};
use measure::Side;
use nalgebra::Vector3;
use panels::{flaps, section, span};

/// Thickness of a section over its chord.
const THICKNESS: f64 = 0.10;
/// Points around a section of the body.
const AROUND: usize = 20;
/// Shade of what is neither on the canopy side nor on the gear side.
const FLANK: f64 = 0.5;

/// The colours of one model, linear RGBA: canopy side, gear side, edges.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Tint {
    pub(crate) upper: [f32; 4],
    pub(crate) under: [f32; 4],
    pub(crate) edge: [f32; 4],
}

/// Faces with baked shading, and the ink lines on their edges.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Pieces {
    corners: Vec<Vec3>,
    /// A share per triangle: 1 on the canopy side, 0 on the gear side.
    shades: Vec<f32>,
    lines: Vec<[Vec3; 2]>,
}

/// A surface on its hinge: its pieces have the hinge line through the origin, root to tip along `axis`.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Moving {
    /// Index of its surface in the geometry.
    pub(crate) surface: usize,
    /// Where the hinge is on the model.
    pub(crate) at: Vec3,
    /// Unit vector along the hinge: a positive turn about it moves the trailing edge down (a rudder's left).
    pub(crate) axis: Vec3,
    /// Relative to `at`.
    pub(crate) pieces: Pieces,
}

/// What does not move.
pub(crate) fn fixed(geometry: &Geometry) -> Pieces {
    let mut pieces = Pieces::default();
    for plan in &geometry.planforms {
        let halves: &[Option<Side>] =
            if plan.part.is_fin() { &[None] } else { &[Some(Side::Left), Some(Side::Right)] };
        for &side in halves {
            fixed_half(geometry, plan, side, &mut pieces);
        }
    }
    body(geometry, &mut pieces);
    propeller(geometry, &mut pieces);
    pieces
}

/// Everything on hinges.
pub(crate) fn moving(geometry: &Geometry) -> Vec<Moving> {
    flaps(geometry)
        .into_iter()
        .map(|flap| {
            let at = flap.hinge[0];
            let chords = [0, 1].map(|i| flap.hinge[i] - flap.trailing[i]);
            let thick = [0, 1].map(|i| 0.7 * THICKNESS * chords[i].x);
            let mut pieces = Pieces::default();
            let across = thickness_direction(flap.part);
            let [hinge, trailing] = [flap.hinge, flap.trailing].map(|e| e.map(|p| p - at));
            pieces.wedge(hinge, trailing, thick, across);
            Moving {
                surface: flap.surface,
                at: vector(&at),
                axis: hinge_axis(flap.part, &flap.hinge),
                pieces,
            }
        })
        .collect()
}

/// Across the faces of a part.
fn thickness_direction(part: Part) -> Vector3<f64> {
    if part.is_fin() { Vector3::y() } else { Vector3::z() }
}

/// The hinge line so directed that a positive turn moves the trailing edge down, or a rudder's to the left.
fn hinge_axis(part: Part, hinge: &[Vector3<f64>; 2]) -> Vec3 {
    let along = (hinge[1] - hinge[0]).normalize();
    let aft = -Vector3::x();
    let wanted = if part.is_fin() { -Vector3::y() } else { Vector3::z() };
    let sign = if along.cross(&aft).dot(&wanted) > 0.0 { 1.0 } else { -1.0 };
    vector(&(along * sign))
}

/// A half between its hinge ends: back to the hinge line where something moves, to the trailing edge elsewhere.
fn fixed_half(geometry: &Geometry, plan: &Planform, side: Option<Side>, pieces: &mut Pieces) {
    let hinges: Vec<_> = (0..geometry.surfaces.len())
        .filter(|&i| geometry.surfaces[i].part == plan.part && geometry.surfaces[i].side == side)
        .filter_map(|i| span(geometry, i))
        .collect();
    let mut cuts: Vec<f64> =
        [0.0, 1.0].into_iter().chain(hinges.iter().flat_map(|h| [h.from, h.to])).collect();
    cuts.sort_by(f64::total_cmp);
    cuts.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    for pair in cuts.windows(2) {
        let middle = 0.5 * (pair[0] + pair[1]);
        let hinge = hinges.iter().find(|h| h.from <= middle && middle <= h.to);
        let ends = [pair[0], pair[1]].map(|share| section(plan, side, share));
        pieces.plate(ends, 1.0 - hinge.map_or(0.0, |h| h.chord), thickness_direction(plan.part));
    }
}

/// Lofted through the measured sections: superellipses, rounder or squarer.
fn body(geometry: &Geometry, pieces: &mut Pieces) {
    let power = 2.0 / (1.0 + 3.0 * geometry.body.squareness);
    let ring = |x: f64, s: BodySection| -> Vec<Vector3<f64>> {
        (0..AROUND)
            .map(|k| {
                let (sin, cos) = libm::sincos(core::f64::consts::TAU * k as f64 / AROUND as f64);
                let round = |v: f64| v.signum() * libm::pow(v.abs(), power);
                Vector3::new(x, 0.5 * s.width * round(sin), s.centre_z - 0.5 * s.height * round(cos))
            })
            .collect()
    };
    let rings: Vec<Vec<Vector3<f64>>> = geometry.body.stations().map(|(x, s)| ring(x, s)).collect();
    for pair in rings.windows(2) {
        for k in 0..AROUND {
            let next = (k + 1) % AROUND;
            let angle = core::f64::consts::TAU * (k as f64 + 0.5) / AROUND as f64;
            let shade = 0.5 + 0.5 * libm::cos(angle);
            pieces.quad([pair[0][k], pair[0][next], pair[1][next], pair[1][k]], shade);
        }
        for k in [0, AROUND / 4, AROUND / 2, 3 * AROUND / 4] {
            pieces.line(pair[0][k], pair[1][k]);
        }
    }
    for end in [rings.first(), rings.last()].into_iter().flatten() {
        let middle = end.iter().sum::<Vector3<f64>>() / AROUND as f64;
        for k in 0..AROUND {
            pieces.triangle([middle, end[k], end[(k + 1) % AROUND]], FLANK);
        }
    }
}

/// The disc as a ring of ink.
fn propeller(geometry: &Geometry, pieces: &mut Pieces) {
    const ARCS: usize = 32;
    let p = &geometry.propulsor;
    let aside = p.axis.cross(&Vector3::z()).normalize();
    let up = p.axis.cross(&aside);
    let at = |k: usize| {
        let (sin, cos) = libm::sincos(core::f64::consts::TAU * k as f64 / ARCS as f64);
        p.hub + (aside * cos + up * sin) * (0.5 * p.diameter)
    };
    for k in 0..ARCS {
        pieces.line(at(k), at(k + 1));
    }
}

impl Pieces {
    fn triangle(&mut self, [a, b, c]: [Vector3<f64>; 3], shade: f64) {
        self.corners.extend([a, b, c].iter().map(vector));
        self.shades.push(shade as f32);
    }

    fn quad(&mut self, [a, b, c, d]: [Vector3<f64>; 4], shade: f64) {
        self.triangle([a, b, c], shade);
        self.triangle([a, c, d], shade);
    }

    fn line(&mut self, a: Vector3<f64>, b: Vector3<f64>) {
        self.lines.push([vector(&a), vector(&b)]);
    }

    /// From the leading edge to `back` of the chord.
    fn plate(&mut self, ends: [panels::Section; 2], back: f64, across: Vector3<f64>) {
        const STATIONS: [(f64, f64); 5] = [(0.0, 0.0), (0.05, 0.35), (0.2, 0.5), (0.5, 0.42), (1.0, 0.0)];
        let mut shares: Vec<(f64, f64)> = STATIONS.into_iter().filter(|s| s.0 < back - 1e-6).collect();
        let half = STATIONS
            .windows(2)
            .find(|w| w[1].0 >= back - 1e-6)
            .map_or(0.0, |w| w[0].1 + (w[1].1 - w[0].1) * (back - w[0].0) / (w[1].0 - w[0].0));
        shares.push((back, half));
        let at = |end: usize, (share, thick): (f64, f64), sign: f64| {
            let e = ends[end];
            e.leading - Vector3::new(share * e.chord, 0.0, 0.0)
                + across * (sign * thick * THICKNESS * e.chord)
        };
        for sign in [-1.0, 1.0] {
            for pair in shares.windows(2) {
                let face =
                    [at(0, pair[0], sign), at(1, pair[0], sign), at(1, pair[1], sign), at(0, pair[1], sign)];
                self.quad(face, shade(across, sign));
            }
        }
        for pair in shares.windows(2) {
            let tip = [at(1, pair[0], -1.0), at(1, pair[0], 1.0), at(1, pair[1], 1.0), at(1, pair[1], -1.0)];
            self.quad(tip, FLANK);
        }
        let corner = |end: usize, share: f64| at(end, (share, 0.0), 1.0);
        self.line(corner(0, 0.0), corner(1, 0.0));
        self.line(corner(0, back), corner(1, back));
        self.line(corner(1, 0.0), corner(1, back));
    }

    /// From a thick hinge line to a sharp trailing edge.
    fn wedge(
        &mut self,
        hinge: [Vector3<f64>; 2],
        trailing: [Vector3<f64>; 2],
        thick: [f64; 2],
        across: Vector3<f64>,
    ) {
        let edge = |i: usize, sign: f64| hinge[i] + across * (sign * 0.5 * thick[i]);
        for sign in [-1.0, 1.0] {
            self.quad([edge(0, sign), edge(1, sign), trailing[1], trailing[0]], shade(across, sign));
        }
        for i in [0, 1] {
            self.triangle([edge(i, -1.0), edge(i, 1.0), trailing[i]], FLANK);
        }
        self.line(trailing[0], trailing[1]);
        for i in [0, 1] {
            self.line(hinge[i], trailing[i]);
        }
    }

    /// The faces, light on the canopy side and dark on the gear side.
    pub(crate) fn faces(&self, tint: &Tint) -> Mesh {
        let colour =
            |shade: &f32| core::array::from_fn(|i| tint.under[i] + (tint.upper[i] - tint.under[i]) * shade);
        let colours: Vec<[f32; 4]> = self.shades.iter().flat_map(|shade| [colour(shade); 3]).collect();
        let mut mesh = Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::default());
        mesh.insert_attribute(Mesh::ATTRIBUTE_POSITION, self.corners.clone());
        mesh.insert_attribute(Mesh::ATTRIBUTE_COLOR, colours);
        mesh
    }

    /// The edges.
    pub(crate) fn edges(&self, tint: &Tint) -> Mesh {
        lines(self.lines.iter().map(|&line| (line, tint.edge)))
    }
}

/// The shade of a face on the side `sign` of `across`: canopy side light, gear side dark, fins alike on both.
fn shade(across: Vector3<f64>, sign: f64) -> f64 {
    FLANK - 0.5 * sign * across.z
}

/// Lines one pixel wide.
pub(crate) fn lines(all: impl Iterator<Item = ([Vec3; 2], [f32; 4])>) -> Mesh {
    let (mut at, mut colours) = (Vec::new(), Vec::new());
    for (line, colour) in all {
        at.extend(line);
        colours.extend([colour; 2]);
    }
    let mut mesh = Mesh::new(PrimitiveTopology::LineList, RenderAssetUsages::default());
    mesh.insert_attribute(Mesh::ATTRIBUTE_POSITION, at);
    mesh.insert_attribute(Mesh::ATTRIBUTE_COLOR, colours);
    mesh
}

#[cfg(test)]
mod tests {
    use super::*;
    use bevy::math::Quat;

    fn larkspur() -> Geometry {
        let source = files::find(files::Kind::Airframe, "larkspur").unwrap();
        Geometry::of(&files::read_airframe(source).unwrap().value).unwrap()
    }

    #[test]
    fn a_positive_turn_moves_a_trailing_edge_down_and_a_rudder_left() {
        let geometry = larkspur();
        let all = moving(&geometry);
        assert_eq!(all.len(), geometry.surfaces.len());
        for one in all {
            let surface = &geometry.surfaces[one.surface];
            // the middle of the trailing edge, in scene axes: behind the hinge is +z
            let [a, b] = one.pieces.lines[0];
            let middle = 0.5 * (a + b);
            let moved = Quat::from_axis_angle(one.axis, 0.2) * middle - middle;
            if surface.part.is_fin() {
                assert!(moved.x < -0.005, "{}: to the left, {moved}", surface.label());
            } else {
                assert!(moved.y < -0.005, "{}: down, {moved}", surface.label());
            }
        }
    }

    #[test]
    fn the_model_is_as_large_as_it_was_measured() {
        let pieces = fixed(&larkspur());
        let reach = |f: fn(&Vec3) -> f32| pieces.corners.iter().map(f).fold(f32::MIN, f32::max);
        assert!((reach(|c| c.x) - 1.0).abs() < 1e-4 && (reach(|c| -c.x) - 1.0).abs() < 1e-4);
        // nose at station -515 mm, centre of mass at 180 mm
        assert!((reach(|c| -c.z) - 0.695).abs() < 1e-3, "{}", reach(|c| -c.z));
        assert_eq!(pieces.corners.len(), 3 * pieces.shades.len());
    }
}
