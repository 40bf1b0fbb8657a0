//! Ink over the field: the judged line, the drift ruler at the cursor, distances on the poles, names of the two
//! models.

use crate::axes;
use crate::field::Stage;
use crate::ink::ROLES;
use bevy::math::Vec3;
use bevy::prelude::{Camera, GlobalTransform, Transform};
use bevy_egui::egui::{
    Align2, Context, FontId, LayerId, Painter, Pos2, Rect, Shape, Stroke, Vec2, pos2, vec2,
};
use panels::{Look, Show, State, aside};
use report::palette::Role;
use report::signed::Signed;

/// The flights in words.
const WORDS: [&str; 2] = ["without", "with"];

/// Draws everything into `field`.
pub(crate) fn draw(ctx: &Context, state: &State, field: Rect, camera: &Camera, eye: &Transform) {
    let Some(show) = &state.show else { return };
    let painter = ctx.layer_painter(LayerId::background()).with_clip_rect(field);
    let page = Page { painter, look: &state.look, camera, eye: GlobalTransform::from(*eye) };
    let models = page.models(show, state.clock.time);
    for (foot, words) in Stage::of(&show.setup).poles() {
        page.pole(foot + Vec3::Y * 13.0, &words, &models);
    }
    judged_line(&page, show);
    ruler(&page, show, state.clock.time);
    names(&page, show, state.clock.time);
}

struct Page<'a> {
    painter: Painter,
    look: &'a Look,
    camera: &'a Camera,
    eye: GlobalTransform,
}

impl Page<'_> {
    fn place(&self, at: Vec3) -> Option<Pos2> {
        let found = self.camera.world_to_viewport(&self.eye, at).ok()?;
        Some(pos2(found.x, found.y))
    }

    fn write(&self, at: Vec3, shift: Vec2, align: Align2, words: &str, role: Option<Role>) {
        self.write_below(None, at, shift, align, words, role);
    }

    /// Where the models are seen.
    fn models(&self, show: &Show, time: f64) -> Vec<Rect> {
        let reach = show.geometry.wing().half_span() as f32;
        let seen = |at: Vec3| {
            let middle = self.place(at)?;
            let ends = [Vec3::X, Vec3::Y, Vec3::Z].map(|way| self.place(at + way * reach));
            let size = ends.iter().flatten().map(|end| end.distance(middle)).fold(0.0, f32::max);
            Some(Rect::from_center_size(middle, Vec2::splat(2.0 * size)))
        };
        let places = show.tracks.iter().map(|track| axes::vector(&track.at(time).position));
        places.filter_map(seen).collect()
    }

    /// What stands on a pole, unless it would cover a model.
    fn pole(&self, at: Vec3, words: &str, models: &[Rect]) {
        let Some(place) = self.place(at) else { return };
        let font = FontId::proportional(self.look.px(13.0));
        let galley = self.painter.layout_no_wrap(words.to_owned(), font, self.look.quiet());
        let rect = Align2::CENTER_BOTTOM.anchor_size(place, galley.size());
        if models.iter().all(|model| !model.intersects(rect)) {
            self.painter.rect_filled(rect.expand(2.0), 2.0, self.look.paper());
            self.painter.galley(rect.min, galley, self.look.quiet());
        }
    }

    /// Writes below what it would cover; where.
    fn write_below(
        &self,
        other: Option<Rect>,
        at: Vec3,
        shift: Vec2,
        align: Align2,
        words: &str,
        role: Option<Role>,
    ) -> Option<Rect> {
        let place = self.place(at)?;
        let colour = role.map_or_else(|| self.look.quiet(), |role| self.look.role(role));
        let font = FontId::proportional(self.look.px(13.0));
        let galley = self.painter.layout_no_wrap(words.to_owned(), font, colour);
        let rect = align.anchor_size(place + shift, galley.size()).expand(2.0);
        let rect = other.map_or(rect, |other| below(other, rect));
        self.painter.rect_filled(rect, 2.0, self.look.paper());
        self.painter.galley(rect.min + vec2(2.0, 2.0), galley, colour);
        Some(rect)
    }

    /// A straight line in space, in the style of a role.
    fn line(&self, from: Vec3, to: Vec3, role: Role) {
        const PIECES: usize = 40;
        let points: Vec<Pos2> =
            (0..=PIECES).filter_map(|k| self.place(from.lerp(to, k as f32 / PIECES as f32))).collect();
        if points.len() < 2 {
            return;
        }
        let (style, colour) = (self.look.line(role), self.look.role(role));
        let stroke = Stroke::new(style.width as f32, colour);
        match role {
            Role::WithoutBlend => self.painter.extend(Shape::dashed_line(&points, stroke, 6.0, 3.0)),
            _ => {
                self.painter.add(Shape::line(points, stroke));
            }
        }
    }
}

/// A rectangle moved down until it covers nothing of the other.
fn below(other: Rect, rect: Rect) -> Rect {
    if rect.intersects(other) { rect.translate(vec2(0.0, other.bottom() - rect.top())) } else { rect }
}

fn judged_line(page: &Page<'_>, show: &Show) {
    let path: Vec<Vec3> = show.judged_path().iter().map(axes::vector).collect();
    let points: Vec<Pos2> = path.iter().filter_map(|&p| page.place(p)).collect();
    page.painter.extend(Shape::dotted_line(&points, page.look.role(Role::Judged), 7.0, 1.4));
    if let Some(&end) = path.last() {
        page.write(end, vec2(0.0, -6.0), Align2::CENTER_BOTTOM, "judged line", Some(Role::Judged));
    }
}

/// From the judged line to each model, level and square to the line, with the distance.
fn ruler(page: &Page<'_>, show: &Show, time: f64) {
    let off = Signed {
        unit: "m".to_owned(),
        decimals: 1,
        up: "towards the canopy".to_owned(),
        down: "towards the gear".to_owned(),
        least_axis: 1.0,
    };
    if show.judged.is_none_or(|(begins, _)| time < begins) {
        return;
    }
    let path: Vec<Vec3> = show.judged_path().iter().map(axes::vector).collect();
    let mut written = None;
    for (i, role) in ROLES.into_iter().enumerate() {
        let (Some(drift), Some(line)) = (show.drift_at(i, time), show.line(i)) else { continue };
        let at = show.tracks[i].at(time).position;
        let [foot, model] = [at - aside(line, drift), at].map(|p| axes::vector(&p));
        page.line(foot, model, role);
        // the model flies lower or higher by now than the line: from it to the foot, so that the ruler begins somewhere
        if let Some(line) = nearest(&path, foot).filter(|line| line.distance(foot) > 1.0) {
            let drop: Vec<Pos2> = [line, foot].into_iter().filter_map(|p| page.place(p)).collect();
            page.painter.extend(Shape::dotted_line(&drop, page.look.role(Role::Judged), 7.0, 1.0));
        }
        if drift.off.canopy.abs() > 0.3 {
            let above = if i == 0 { vec2(0.0, -4.0) } else { vec2(0.0, 4.0) };
            let align = if i == 0 { Align2::CENTER_BOTTOM } else { Align2::CENTER_TOP };
            let words = format!("{}: {}", WORDS[i], off.say(drift.off.canopy));
            let middle = foot.lerp(model, 0.5);
            written = page.write_below(written, middle, above, align, &words, Some(role)).or(written);
        }
    }
}

/// The point of a path that is nearest to a place.
fn nearest(path: &[Vec3], place: Vec3) -> Option<Vec3> {
    let on = |piece: &[Vec3]| {
        let along = piece[1] - piece[0];
        let share = (place - piece[0]).dot(along) / along.length_squared().max(1e-9);
        piece[0] + along * share.clamp(0.0, 1.0)
    };
    path.windows(2).map(on).min_by(|a, b| a.distance(place).total_cmp(&b.distance(place)))
}

/// "with" and "without" beside the models, where no ruler says it and once they are apart.
fn names(page: &Page<'_>, show: &Show, time: f64) {
    let places = [0, 1].map(|i| axes::vector(&show.tracks[i].at(time).position));
    let span = 1.3 * show.geometry.wing().half_span() as f32;
    let ruled = show.judged.is_some_and(|(begins, _)| time >= begins);
    if ruled || (places[0] - places[1]).length() < 2.0 * span {
        return;
    }
    for ((place, role), words) in places.into_iter().zip(ROLES).zip(WORDS) {
        page.write(place - Vec3::Y * span, vec2(0.0, 6.0), Align2::CENTER_TOP, words, Some(role));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_point_of_a_path_lies_between_its_points_or_at_an_end() {
        let path = [Vec3::ZERO, Vec3::new(10.0, 0.0, 0.0), Vec3::new(10.0, 0.0, 10.0)];
        assert_eq!(nearest(&path, Vec3::new(4.0, -3.0, 0.0)), Some(Vec3::new(4.0, 0.0, 0.0)));
        assert_eq!(nearest(&path, Vec3::new(11.0, 2.0, 7.0)), Some(Vec3::new(10.0, 0.0, 7.0)));
        assert_eq!(nearest(&path, Vec3::new(-5.0, 1.0, 0.0)), Some(Vec3::ZERO));
        assert_eq!(nearest(&path[..1], Vec3::ZERO), None);
    }

    #[test]
    fn two_labels_do_not_cover_each_other() {
        let label = |top: f32| Rect::from_min_size(pos2(10.0, top), vec2(80.0, 20.0));
        assert_eq!(below(label(100.0), label(110.0)), label(120.0));
        assert_eq!(below(label(100.0), label(90.0)), label(120.0));
        assert_eq!(below(label(100.0), label(130.0)), label(130.0), "what is free stays");
    }
}
