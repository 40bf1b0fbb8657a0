//! The shape of the model on the page, as it is turned at one moment.

use crate::drawing::{Group, Path, Stroke};
use crate::geometry::Point;
use crate::palette::{Colour, Ground, LineStyle};

/// A vector: body FRD (forward, right, down) or earth NED (north, east, down), as said where it is used.
pub type Vector = [f64; 3];
/// Body FRD to earth NED, row by row: `earth[i]` is the sum over `j` of `matrix[i][j] * body[j]`.
pub type BodyToEarth = [[f64; 3]; 3];

/// A flat piece of the model.
#[derive(Debug, Clone, PartialEq)]
pub struct Facet {
    /// Facets with the same number are one part and get one outline.
    pub part: usize,
    /// Corners in order, either way round, body FRD from the centre of mass (m).
    pub corners: Vec<Vector>,
}

/// The whole model.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ModelShape {
    /// All facets, those of one part next to each other.
    pub facets: Vec<Facet>,
}

impl ModelShape {
    /// Largest distance of a corner from the centre of mass (m); zero without corners.
    #[must_use]
    pub fn radius(&self) -> f64 {
        let corners = self.facets.iter().flat_map(|facet| &facet.corners);
        corners.map(|&corner| dot(corner, corner).sqrt()).fold(0.0, f64::max)
    }

    /// Largest reach from the centre of mass to either side, and up or down, as seen in `view` (m).
    #[must_use]
    pub fn reach(&self, attitude: BodyToEarth, view: View) -> (f64, f64) {
        let corners = self.facets.iter().flat_map(|facet| &facet.corners);
        corners
            .map(|&corner| view.flat(turn(attitude, corner)))
            .fold((0.0, 0.0), |most: (f64, f64), at| (most.0.max(at.0.abs()), most.1.max(at.1.abs())))
    }
}

/// From where the earth is seen: the two directions along the page, earth NED, unit length, at right
/// angles. The viewer looks against `right x up`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    /// To the right on the page.
    pub right: Vector,
    /// Up on the page.
    pub up: Vector,
}

impl View {
    /// From above, a flight along `heading_rad` (from north, clockwise) running to the right of the page.
    #[must_use]
    pub fn from_above(heading_rad: f64) -> Self {
        let (sin, cos) = libm::sincos(heading_rad);
        Self { right: [cos, sin, 0.0], up: [sin, -cos, 0.0] }
    }

    /// From the right of a flight along `heading_rad`, which runs to the right of the page.
    #[must_use]
    pub fn from_the_side(heading_rad: f64) -> Self {
        let (sin, cos) = libm::sincos(heading_rad);
        Self { right: [cos, sin, 0.0], up: [0.0, 0.0, -1.0] }
    }

    /// From behind a flight along `heading_rad`, which runs into the page.
    #[must_use]
    pub fn from_behind(heading_rad: f64) -> Self {
        let (sin, cos) = libm::sincos(heading_rad);
        Self { right: [-sin, cos, 0.0], up: [0.0, 0.0, -1.0] }
    }

    /// How far an earth vector reaches to the right and up on the page, in its own unit.
    #[must_use]
    pub fn flat(self, earth: Vector) -> (f64, f64) {
        (dot(self.right, earth), dot(self.up, earth))
    }

    /// Unit vector from the page to the viewer, earth NED.
    #[must_use]
    pub fn to_viewer(self) -> Vector {
        cross(self.right, self.up)
    }
}

/// Where and how large one silhouette is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placing {
    /// Where the centre of mass stands.
    pub at: Point,
    /// Pixels for one metre of the model.
    pub px_per_m: f64,
}

/// Draws the model as seen in `view`, parts farther away first. The upper side of each facet is light, its
/// underside darker, so that canopy and belly can be told apart.
#[must_use]
pub fn silhouette(
    shape: &ModelShape,
    attitude: BodyToEarth,
    view: View,
    placing: Placing,
    style: LineStyle,
    ground: Ground,
) -> Group {
    let mut parts: Vec<Vec<SeenFacet>> =
        shape.facets.chunk_by(|a, b| a.part == b.part).map(|part| seen(part, attitude, view)).collect();
    parts.sort_by(|a, b| nearness(a).total_cmp(&nearness(b)));
    let mut group = Group::new("the model");
    for part in &mut parts {
        part.sort_by(|a, b| a.nearness.total_cmp(&b.nearness));
        draw_part(part, placing, style, ground, &mut group);
    }
    group
}

struct SeenFacet {
    /// Right and up from the centre of mass (m).
    corners: Vec<(f64, f64)>,
    /// Mean reach of the corners towards the viewer (m).
    nearness: f64,
    underside: bool,
}

fn seen(facets: &[Facet], attitude: BodyToEarth, view: View) -> Vec<SeenFacet> {
    facets.iter().filter(|facet| facet.corners.len() >= 3).map(|facet| see(facet, attitude, view)).collect()
}

fn see(facet: &Facet, attitude: BodyToEarth, view: View) -> SeenFacet {
    let earth: Vec<Vector> = facet.corners.iter().map(|&corner| turn(attitude, corner)).collect();
    let viewer = view.to_viewer();
    let upwards = turn(attitude, upward_normal(&facet.corners));
    SeenFacet {
        corners: one_way_round(earth.iter().map(|&corner| view.flat(corner)).collect()),
        nearness: earth.iter().map(|&corner| dot(viewer, corner)).sum::<f64>() / earth.len() as f64,
        underside: dot(viewer, upwards) < 0.0,
    }
}

/// Normal of a facet, body FRD, turned to the side of the canopy; zero for an upright facet such as a fin.
fn upward_normal(corners: &[Vector]) -> Vector {
    const UPRIGHT: f64 = 0.2;
    let around = (1..corners.len() - 1).map(|i| {
        let [a, b] = [corners[i], corners[i + 1]].map(|corner| minus(corner, corners[0]));
        cross(a, b)
    });
    let normal = around.fold([0.0; 3], |sum, n| [sum[0] + n[0], sum[1] + n[1], sum[2] + n[2]]);
    if normal[2].abs() < UPRIGHT * dot(normal, normal).sqrt() {
        return [0.0; 3];
    }
    if normal[2] > 0.0 { normal.map(|n| -n) } else { normal }
}

fn nearness(part: &[SeenFacet]) -> f64 {
    part.iter().map(|facet| facet.nearness).sum::<f64>() / part.len().max(1) as f64
}

/// First all edges, then all insides over them: what remains is one outline around the part, and a part
/// seen edge-on is still a line. Facets of one tint that follow each other are one area, without seams.
fn draw_part(part: &[SeenFacet], placing: Placing, style: LineStyle, ground: Ground, group: &mut Group) {
    const OUTLINE: f64 = 1.3;
    const UPPER_TINT: f64 = 0.16;
    const UNDER_TINT: f64 = 0.55;
    let place = |&(right, up): &(f64, f64)| {
        Point::new(placing.at.x + right * placing.px_per_m, placing.at.y - up * placing.px_per_m)
    };
    let area = |facets: &[SeenFacet], ink: Colour| Path {
        segments: facets
            .iter()
            .flat_map(|facet| Path::area(facet.corners.iter().map(place), ink).segments)
            .collect(),
        fill: Some(ink.into()),
        stroke: None,
    };
    if part.is_empty() {
        return;
    }
    let edges = Stroke::solid(style.colour, 2.0 * OUTLINE);
    group.push(Path { stroke: Some(edges), ..area(part, style.colour) });
    for facets in part.chunk_by(|a, b| a.underside == b.underside) {
        let tint = if facets[0].underside { UNDER_TINT } else { UPPER_TINT };
        group.push(area(facets, style.colour.over(ground.paper(), tint)));
    }
}

/// Makes the corners run one way round on the page, so that overlapping facets of one area do not cut holes
/// into each other.
fn one_way_round(mut corners: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    let next = corners.iter().cycle().skip(1);
    let doubled_area: f64 = corners.iter().zip(next).map(|(a, b)| a.0 * b.1 - a.1 * b.0).sum();
    if doubled_area < 0.0 {
        corners.reverse();
    }
    corners
}

fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: Vector, b: Vector) -> Vector {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn minus(a: Vector, b: Vector) -> Vector {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

fn turn(matrix: BodyToEarth, body: Vector) -> Vector {
    matrix.map(|row| dot(row, body))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::Item;
    use crate::palette::Role;
    use std::f64::consts::FRAC_PI_2;

    const LEVEL_NORTH: BodyToEarth = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
    /// Heading north, rolled right by 90 degrees: right wing down, the canopy to the east.
    const RIGHT_WING_DOWN: BodyToEarth = [[1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]];
    const INVERTED: BodyToEarth = [[1.0, 0.0, 0.0], [0.0, -1.0, 0.0], [0.0, 0.0, -1.0]];
    const STYLE: LineStyle = Ground::Light.line(Role::WithBlend);

    fn right_wing() -> ModelShape {
        let corners = vec![[0.1, 0.0, 0.0], [0.1, 1.0, 0.0], [-0.2, 1.0, 0.0], [-0.2, 0.0, 0.0]];
        ModelShape { facets: vec![Facet { part: 0, corners }] }
    }

    fn draw(shape: &ModelShape, attitude: BodyToEarth, view: View) -> Group {
        let placing = Placing { at: Point::new(500.0, 300.0), px_per_m: 100.0 };
        silhouette(shape, attitude, view, placing, STYLE, Ground::Light)
    }

    fn fills(group: &Group) -> Vec<String> {
        let plain = |item: &Item| match item {
            Item::Path(path) if path.stroke.is_none() => path.fill.map(|ink| ink.colour.to_string()),
            _ => None,
        };
        group.items.iter().filter_map(plain).collect()
    }

    #[test]
    fn views_are_named_from_where_the_viewer_is() {
        let close = |a: Vector, b: Vector| (0..3).all(|i| (a[i] - b[i]).abs() < 1e-12);
        for heading in [0.0, 0.7, FRAC_PI_2] {
            assert!(close(View::from_above(heading).to_viewer(), [0.0, 0.0, -1.0]));
        }
        // Flying north, the right is the east and behind is the south.
        assert!(close(View::from_the_side(0.0).to_viewer(), [0.0, 1.0, 0.0]));
        assert!(close(View::from_behind(0.0).to_viewer(), [-1.0, 0.0, 0.0]));
    }

    #[test]
    fn right_wing_lies_where_a_pilot_sees_it() {
        // From above, northwards to the right of the page: the right wing points down the page.
        let seen = draw(&right_wing(), LEVEL_NORTH, View::from_above(0.0)).bounds().unwrap();
        assert!((seen.bottom - 400.0).abs() < 2.0 && (seen.top - 300.0).abs() < 2.0, "{seen:?}");
        // From behind: to the right of the page.
        let seen = draw(&right_wing(), LEVEL_NORTH, View::from_behind(0.0)).bounds().unwrap();
        assert!((seen.right - 600.0).abs() < 2.0 && seen.height() < 3.0, "{seen:?}");
        // Right wing down, from the side: down the page, and seen flat on.
        let seen = draw(&right_wing(), RIGHT_WING_DOWN, View::from_the_side(0.0)).bounds().unwrap();
        assert!((seen.bottom - 400.0).abs() < 2.0 && (seen.width() - 30.0).abs() < 4.0, "{seen:?}");
    }

    #[test]
    fn underside_is_darker_whichever_way_the_corners_run() {
        let mut reversed = right_wing();
        reversed.facets[0].corners.reverse();
        for shape in [right_wing(), reversed] {
            let top = fills(&draw(&shape, LEVEL_NORTH, View::from_above(0.0)));
            let under = fills(&draw(&shape, INVERTED, View::from_above(0.0)));
            assert_eq!(top, [STYLE.colour.over(Ground::Light.paper(), 0.16).to_string()]);
            assert_eq!(under, [STYLE.colour.over(Ground::Light.paper(), 0.55).to_string()]);
        }
    }

    #[test]
    fn nearer_parts_are_drawn_last() {
        let mut shape = right_wing();
        let above = shape.facets[0].corners.iter().map(|c| [c[0], c[1] - 0.5, -0.5]).collect();
        shape.facets.insert(0, Facet { part: 7, corners: above });
        let last_left = |attitude| {
            let drawn = draw(&shape, attitude, View::from_above(0.0));
            drawn.items.last().and_then(Item::bounds).unwrap().top
        };
        assert!((last_left(LEVEL_NORTH) - 250.0).abs() < 1e-9, "the upper part is nearer from above");
        assert!((last_left(INVERTED) - 200.0).abs() < 1e-9, "upside down the other one is");
    }
}
