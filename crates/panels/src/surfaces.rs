//! The surfaces at the cursor, on a plan view of the model itself: each fills as it goes up or
//! down, and says it in words.

use crate::flap::{Flap, flaps};
use crate::look::Look;
use crate::show::Show;
use crate::state::State;
use airframe::{Geometry, Surface};
use egui::{Color32, Painter, Pos2, Rect, RichText, Sense, Shape, Stroke, Ui, pos2, vec2};
use measure::DEG;
use nalgebra::Vector3;
use report::palette::Role;
use report::signed::decimal;

/// Height of the drawing at text size 1 \[points\].
const HEIGHT: f32 = 150.0;
/// Below this a surface is called neutral \[rad\].
const NEUTRAL: f64 = 0.05 * DEG;

/// Draws the plan view and the words.
pub(crate) fn surfaces(ui: &mut Ui, state: &State) {
    ui.heading("Surfaces, with the blends");
    let Some(show) = &state.show else { return };
    let (area, _) = ui.allocate_exact_size(vec2(ui.available_width(), state.look.px(HEIGHT)), Sense::hover());
    let pose = show.tracks[1].at(state.clock.time);
    Plan::new(&show.geometry, area).draw(ui.painter(), &state.look, &pose.deflections);
    words(ui, state, show);
}

fn words(ui: &mut Ui, state: &State, show: &Show) {
    let [without, with] = [0, 1].map(|i| show.tracks[i].at(state.clock.time).deflections);
    for (i, surface) in show.geometry.surfaces.iter().enumerate() {
        let text = format!("{}: {}", surface.label(), stands(surface, with[i]));
        let response = ui.label(RichText::new(text).small());
        response.on_hover_text(format!("without the blends: {}", stands(surface, without[i])));
    }
}

/// Where a surface stands, in degrees and millimetres of its trailing edge.
#[must_use]
pub(crate) fn stands(surface: &Surface, angle: f64) -> String {
    if angle.abs() < NEUTRAL {
        return "neutral".to_owned();
    }
    let direction = match (surface.part.is_fin(), surface.part == airframe::Part::Fittings, angle > 0.0) {
        (_, true, _) => "open",
        (true, _, true) => "left",
        (true, _, false) => "right",
        (_, _, true) => "down",
        (_, _, false) => "up",
    };
    let (degrees, mm) = (angle.abs() / DEG, surface.travel(angle.abs()) * 1e3);
    format!("{} deg {direction}, {} mm", decimal(degrees, 1), decimal(mm, 0))
}

/// The model from above, nose up.
struct Plan<'g> {
    geometry: &'g Geometry,
    flaps: Vec<Flap>,
    middle: Pos2,
    /// Middle of the model \[m\], forward.
    centre: f64,
    /// Points per metre.
    scale: f32,
}

impl<'g> Plan<'g> {
    fn new(geometry: &'g Geometry, area: Rect) -> Self {
        let corners: Vec<Vector3<f64>> =
            airframe::outline(geometry).into_iter().flat_map(|piece| piece.corners).collect();
        let reach = |f: fn(&Vector3<f64>) -> f64, pick: fn(f64, f64) -> f64, start: f64| {
            corners.iter().map(f).fold(start, pick)
        };
        let (aft, ahead) = (reach(|c| c.x, f64::min, f64::MAX), reach(|c| c.x, f64::max, f64::MIN));
        let span = 2.0 * reach(|c| c.y.abs(), f64::max, 0.1);
        let scale = (f64::from(area.height()) / (ahead - aft)).min(f64::from(area.width()) / span);
        Self {
            geometry,
            flaps: flaps(geometry),
            middle: area.center(),
            centre: 0.5 * (aft + ahead),
            scale: scale as f32 * 0.96,
        }
    }

    fn place(&self, at: &Vector3<f64>) -> Pos2 {
        self.middle + vec2(at.y as f32, (self.centre - at.x) as f32) * self.scale
    }

    fn draw(&self, painter: &Painter, look: &Look, angles: &[f64]) {
        let edge = Stroke::new(1.2, look.text());
        for piece in airframe::outline(self.geometry).iter().filter(|piece| !piece.part.is_fin()) {
            let corners: Vec<Pos2> = piece.corners.iter().map(|c| self.place(c)).collect();
            painter.add(Shape::convex_polygon(corners.clone(), look.paper(), Stroke::NONE));
            painter.add(Shape::closed_line(corners, edge));
        }
        for flap in &self.flaps {
            let surface = &self.geometry.surfaces[flap.surface];
            let angle = angles.get(flap.surface).copied().unwrap_or_default();
            if flap.part.is_fin() {
                self.rudder(painter, look, flap, angle)
            } else {
                self.fill(painter, look, flap, surface, angle)
            }
        }
    }

    /// Seen from above a rudder shows its angle itself.
    fn rudder(&self, painter: &Painter, look: &Look, flap: &Flap, angle: f64) {
        let chord = flap.hinge[0].x - flap.trailing[0].x;
        let (sin, cos) = libm::sincos(angle);
        let end = flap.hinge[0] + Vector3::new(-chord * cos, -chord * sin, 0.0);
        let line = [self.place(&flap.hinge[0]), self.place(&end)];
        painter.line_segment(line, Stroke::new(3.0, look.role(Role::WithBlend)));
    }

    /// From the hinge line backwards as far as the surface has gone of its throw: solid when up,
    /// hatched when down.
    fn fill(&self, painter: &Painter, look: &Look, flap: &Flap, surface: &Surface, angle: f64) {
        let throw = if angle > 0.0 { surface.throw_down } else { surface.throw_up };
        let share = (angle.abs() / throw.max(1e-6)).min(1.0);
        let back =
            |i: usize, part: f64| self.place(&(flap.hinge[i] + (flap.trailing[i] - flap.hinge[i]) * part));
        let colour = look.role(Role::WithBlend);
        painter.line_segment([back(0, 0.0), back(1, 0.0)], Stroke::new(1.0, look.quiet()));
        if angle.abs() < NEUTRAL {
            return;
        }
        let quad = vec![back(0, 0.0), back(1, 0.0), back(1, share), back(0, share)];
        if angle < 0.0 {
            painter.add(Shape::convex_polygon(quad, colour, Stroke::new(1.0, colour)));
        } else {
            painter.add(Shape::closed_line(quad.clone(), Stroke::new(1.0, colour)));
            hatch(painter, &quad, colour);
        }
    }
}

/// Lines across a quadrilateral, root to tip.
fn hatch(painter: &Painter, quad: &[Pos2], colour: Color32) {
    const SPACING: f32 = 4.0;
    let &[a, b, c, d] = quad else { return };
    let count = ((b - a).length() / SPACING).ceil().max(1.0);
    for k in 0..=count as usize {
        let t = k as f32 / count;
        let line = [
            pos2(egui::lerp(a.x..=b.x, t), egui::lerp(a.y..=b.y, t)),
            pos2(egui::lerp(d.x..=c.x, t), egui::lerp(d.y..=c.y, t)),
        ];
        painter.line_segment(line, Stroke::new(1.2, colour));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::demo;

    #[test]
    fn surfaces_say_where_they_stand() {
        let geometry = Geometry::of(&demo("larkspur").airframe).unwrap();
        let named = |label: &str| geometry.surfaces.iter().find(|s| s.label() == label).unwrap();
        assert_eq!(stands(named("rudder"), 0.0), "neutral");
        assert!(stands(named("rudder"), -10.0 * DEG).starts_with("10.0 deg right, "), "right rudder");
        let down = stands(named("left aileron"), 5.0 * DEG);
        // mean chord behind the hinge: 25 % of (420 + 240 - 0.12 * 180) / 2 mm; travel 2 sin(2.5 deg) of it
        assert_eq!(down, "5.0 deg down, 7 mm");
    }
}
