//! A curve of a blend: drawn in degrees of the surface, its points dragged.

use crate::look::Look;
use crate::words::{angle, percent, senses};
use egui::{
    Align2, Color32, Pos2, Rect, RichText, Sense, Shape as Paint, Stroke, Ui, WidgetInfo, WidgetType, pos2,
    vec2,
};
use measure::DEG;
use mix::{Blend, Lead, Shape};
use report::palette::Role;
use report::signed::decimal;

/// Height of the drawing at text size 1 \[points\].
const HEIGHT: f32 = 110.0;
/// Leads of neighbouring points stay so far apart.
const GAP: f64 = 0.02;
/// The least reach of the vertical axis, share of full throw.
const LEAST: f64 = 0.05;

/// Points that make a shape into the same curve.
#[must_use]
pub(crate) fn points_of(shape: &Shape, from: &Lead) -> Vec<(f64, f64)> {
    let (low, high) = from.range();
    let leads = if low < 0.0 { vec![low, 0.5 * low, 0.0, 0.5 * high, high] } else { vec![0.0, 0.5, 1.0] };
    leads.into_iter().map(|lead| (lead, shape.follower(lead))).collect()
}

/// Draws the curve of `blend` and lets its points be dragged; `throws` are the surface's, to plus and minus \[rad\].
pub(crate) fn curve(ui: &mut Ui, look: &Look, blend: &mut Blend, throws: (f64, f64)) {
    let (name, follower, range) = (blend.name.clone(), blend.to, blend.from.range());
    let Shape::Curve(points) = &mut blend.shape else { return };
    let (area, _) = ui.allocate_exact_size(vec2(ui.available_width(), look.px(HEIGHT)), Sense::hover());
    let most = points.iter().map(|p| p.1.abs()).fold(LEAST, f64::max) * 1.25;
    let axes = Axes { rect: area.shrink(look.px(7.0)), range, most };
    let begins = points.first().map_or(0.0, |first| first.1 / most);
    axes.draw(ui, look, throws, senses(follower), begins);
    let colour = look.role(Role::WithBlend);
    let line: Vec<Pos2> = points.iter().map(|&p| axes.place(p)).collect();
    ui.painter().add(Paint::line(line, Stroke::new(2.5, colour)));
    for i in 0..points.len() {
        let at = axes.place(points[i]);
        let grip = Rect::from_center_size(at, vec2(look.px(18.0), look.px(18.0)));
        let id = ui.id().with((&name, i));
        let response = ui.interact(grip, id, Sense::drag());
        let label = format!("{name}, point {}", i + 1);
        let value = 100.0 * points[i].1;
        response.widget_info(|| WidgetInfo {
            value: Some(value),
            ..WidgetInfo::labeled(WidgetType::Slider, true, &label)
        });
        if let Some(to) = response.interact_pointer_pos() {
            let (lead, share) = axes.read(to);
            points[i] = (between_neighbours(points, i, lead), share);
        }
        ui.painter().circle(
            at,
            look.px(5.0),
            if response.hovered() { colour } else { look.paper() },
            Stroke::new(2.0, colour),
        );
        response.on_hover_text(format!(
            "at {} % {}: {}, {} of surface",
            decimal(100.0 * points[i].0, 0),
            blend.from.word(),
            percent(points[i].1, senses(follower)),
            angle(deflection(points[i].1, throws), 1, senses(follower)),
        ));
    }
    ui.label(RichText::new("Drag the points; the height is degrees of surface.").small().color(look.quiet()));
}

/// How far a share of full throw moves the surface \[rad\].
#[must_use]
pub(crate) fn deflection(share: f64, (plus, minus): (f64, f64)) -> f64 {
    share * if share > 0.0 { plus } else { minus }
}

/// Leads rise strictly; the outermost points keep theirs.
fn between_neighbours(points: &[(f64, f64)], i: usize, lead: f64) -> f64 {
    let (Some(before), Some(after)) = (i.checked_sub(1).and_then(|j| points.get(j)), points.get(i + 1))
    else {
        return points[i].0;
    };
    lead.max(before.0 + GAP).min(after.0 - GAP)
}

struct Axes {
    rect: Rect,
    /// Of the lead.
    range: (f64, f64),
    /// Largest share shown.
    most: f64,
}

impl Axes {
    fn place(&self, (lead, share): (f64, f64)) -> Pos2 {
        let across = (lead - self.range.0) / (self.range.1 - self.range.0);
        let up = 0.5 + 0.5 * share / self.most;
        pos2(
            egui::lerp(self.rect.left()..=self.rect.right(), across as f32),
            egui::lerp(self.rect.bottom()..=self.rect.top(), up as f32),
        )
    }

    fn read(&self, at: Pos2) -> (f64, f64) {
        let across = f64::from((at.x - self.rect.left()) / self.rect.width());
        let up = f64::from((self.rect.bottom() - at.y) / self.rect.height());
        let lead = self.range.0 + across.clamp(0.0, 1.0) * (self.range.1 - self.range.0);
        (lead, ((2.0 * up - 1.0) * self.most).clamp(-1.0, 1.0))
    }

    /// `begins`: how high the curve begins, share of the reach.
    fn draw(&self, ui: &Ui, look: &Look, throws: (f64, f64), (plus, minus): (&str, &str), begins: f64) {
        let hair = Stroke::new(1.0, look.hairline());
        let painter = ui.painter();
        painter.rect_stroke(self.rect, 0.0, hair, egui::StrokeKind::Inside);
        let zero = self.place((0.0, 0.0));
        painter.hline(self.rect.x_range(), zero.y, Stroke::new(1.0, look.quiet()));
        painter.vline(zero.x, self.rect.y_range(), hair);
        let degrees = |throw: f64| decimal(self.most * throw / DEG, 1);
        let small = egui::TextStyle::Small.resolve(ui.style());
        let note = |at: Pos2, align: Align2, text: String, colour: Color32| {
            painter.text(at, align, text, small.clone(), colour);
        };
        let inset = vec2(look.px(4.0), look.px(2.0));
        // a label stands where the curve does not begin
        let area = self.rect.shrink2(inset);
        let upper = if begins > 0.5 {
            (area.right_top(), Align2::RIGHT_TOP)
        } else {
            (area.left_top(), Align2::LEFT_TOP)
        };
        note(upper.0, upper.1, format!("{} deg {plus}", degrees(throws.0)), look.quiet());
        let lower = if begins < -0.5 {
            (area.right_bottom(), Align2::RIGHT_BOTTOM)
        } else {
            (area.left_bottom(), Align2::LEFT_BOTTOM)
        };
        note(lower.0, lower.1, format!("{} deg {minus}", degrees(throws.1)), look.quiet());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::Stick;

    #[test]
    fn a_shape_and_its_points_are_the_same_curve() {
        let shape = Shape::TwoSided { left: -0.02, right: 0.06 };
        let bent = Shape::Curve(points_of(&shape, &Lead::Stick(Stick::Rudder)));
        for lead in [-1.0, -0.7, 0.0, 0.2, 1.0] {
            assert!((bent.follower(lead) - shape.follower(lead)).abs() < 1e-12, "{lead}");
        }
    }

    #[test]
    fn points_keep_their_order() {
        let points = [(-1.0, 0.0), (0.0, 0.1), (1.0, 0.2)];
        assert_eq!(between_neighbours(&points, 1, -2.0), -1.0 + GAP);
        assert_eq!(between_neighbours(&points, 1, 2.0), 1.0 - GAP);
        assert_eq!(between_neighbours(&points, 0, 0.5), -1.0, "the outermost stay");
    }
}
