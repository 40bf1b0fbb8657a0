//! Under a blend: the find button with its progress, then what was found, as a picture and in words, and how sure.

use crate::look::Look;
use crate::seek::{Glide, Seek, coupling};
use crate::state::State;
use crate::words::ends;
use egui::{Align2, Rangef, Rect, RichText, Sense, Shape as Paint, Stroke, TextStyle, Ui, pos2, vec2};
use mix::Follower;
use report::palette::Role;
use study::find::{CERTAIN, SideFound, share_words};

/// Height of one side's row at text size 1 \[points\].
const ROW: f32 = 20.0;
/// The least reach of the axis, share of full throw.
const LEAST: f64 = 0.05;

/// Draws what there is of the search for a blend's percentage.
pub(crate) fn found(ui: &mut Ui, state: &mut State, index: usize) {
    let name = state.setup.mix.blends[index].name.clone();
    let Some(seek) = state.seek.clone().filter(|seek| seek.blend == name) else { return };
    let Some(answer) = &seek.answer else {
        progress(ui, state, &seek);
        return;
    };
    let found = match answer {
        Ok(found) => found,
        Err(words) => {
            ui.label(RichText::new(words.trim_end()).small().color(state.look.role(Role::Limit)));
            return;
        }
    };
    let (lower, upper) = ends(&found.coupling.manoeuvre.lead());
    let most = found.sides.iter().flatten().map(reach).fold(LEAST, f64::max);
    for (side, end) in found.sides.iter().zip([lower, upper]) {
        if let Some(side) = side {
            range(ui, &state.look, side, most);
            ui.label(RichText::new(format!("{end}: {}", how_sure(found.coupling.follower, side))).small());
        }
    }
    let mut advice = found.verdict.words().to_owned();
    if let Some(cause) = &found.cause {
        advice += &format!(": the likeliest is {cause}");
    }
    ui.label(RichText::new(advice).small().family(crate::look::strong())).on_hover_text(found.words());
    if seek.airframe != state.setup.airframe {
        let stale = "The measurements have changed since: find again.";
        ui.label(RichText::new(stale).small().color(state.look.role(Role::Limit)));
    }
    let words = if found.advised().is_some() { "Fly what was found" } else { "Fly without it" };
    if let Some(shape) = seek.shape().filter(|_| ui.button(words).clicked()) {
        state.glide = Glide::start(&state.setup, &name, shape);
    }
}

/// The button that starts it; not while another search goes on.
pub(crate) fn button(ui: &mut Ui, state: &mut State, index: usize) {
    let name = state.setup.mix.blends[index].name.clone();
    let Some(coupling) = coupling(&state.setup, &name) else { return };
    let hint = format!("Computes which percentage cancels it: {}", coupling.manoeuvre.words());
    if ui.add_enabled(!state.searching(), egui::Button::new("Find")).on_hover_text(hint).clicked() {
        state.seek = Some(Seek::start(&state.setup, &name, coupling));
    }
}

fn progress(ui: &mut Ui, state: &mut State, seek: &Seek) {
    ui.label(
        RichText::new("Finding, and how sure: the same model measured a little differently each time")
            .small(),
    );
    ui.horizontal(|ui| {
        let share = seek.progress();
        let bar = egui::ProgressBar::new(share)
            .desired_width((ui.available_width() - state.look.px(70.0)).max(20.0))
            .desired_height(state.look.px(8.0))
            .fill(state.look.role(Role::WithBlend));
        let response = ui.add(bar);
        ui.ctx().accesskit_node_builder(response.id, |node| node.set_label("Progress of the search"));
        if ui.button("Cancel").clicked() {
            seek.cancel();
            state.seek = None;
        }
    });
}

/// How far from zero a side's row goes, share.
fn reach(side: &SideFound) -> f64 {
    let ends = side.sure.map_or(0.0, |s| s.range.0.abs().max(s.range.1.abs()));
    ends.max(side.exact.abs()) * 1.1
}

/// The percentage and its range in words; no percentage where its direction is not certain.
fn how_sure(follower: Follower, side: &SideFound) -> String {
    let Some(percent) = side.told() else {
        let agree = side.sure.map_or(0.0, |sure| 100.0 * sure.direction);
        return format!(
            "direction not certain: {agree:.0} % agree on it, {:.0} % would have to",
            100.0 * CERTAIN
        );
    };
    if side.is_small() {
        return "leave it, slop swallows it".to_owned();
    }
    let mut text = share_words(follower, percent);
    if let Some(sure) = side.sure {
        let half = |share: f64| (200.0 * share).round() / 200.0;
        let [low, high] = [sure.range.0, sure.range.1].map(|end| share_words(follower, half(end)));
        text += &format!(
            ", four of five draws {low} to {high}; {:.0} % agree on the direction",
            100.0 * sure.direction
        );
    }
    text
}

/// One side's row: zero, the band in which four of five draws lie, and a mark at what was found. A direction that is
/// not certain has a hatched band and no mark.
fn range(ui: &mut Ui, look: &Look, side: &SideFound, most: f64) {
    let (area, _) = ui.allocate_exact_size(vec2(ui.available_width(), look.px(ROW)), Sense::hover());
    let painter = ui.painter();
    let plot = area.shrink2(vec2(look.px(4.0), look.px(3.0)));
    let x = |share: f64| egui::lerp(plot.left()..=plot.right(), (0.5 + 0.5 * share / most) as f32);
    painter.hline(plot.x_range(), plot.center().y, Stroke::new(1.0, look.hairline()));
    painter.vline(x(0.0), area.y_range(), Stroke::new(1.0, look.quiet()));
    let (zero, left) = (TextStyle::Small.resolve(ui.style()), pos2(x(0.0) - look.px(3.0), area.top()));
    painter.text(left, Align2::RIGHT_TOP, "0", zero, look.quiet());
    let sure = side.is_sure();
    let colour = if sure { look.role(Role::WithBlend) } else { look.role(Role::Limit) };
    if let Some(s) = side.sure {
        let band = Rect::from_x_y_ranges(Rangef::new(x(s.range.0), x(s.range.1)), plot.y_range());
        if sure {
            painter.rect_filled(band, 0.0, colour.gamma_multiply(0.25));
        } else {
            let step = look.px(5.0);
            for k in 0..(band.width() / step).ceil() as usize {
                let from = band.left() + k as f32 * step;
                let line = [pos2(from, band.bottom()), pos2((from + step).min(band.right()), band.top())];
                painter.line_segment(line, Stroke::new(1.2, colour));
            }
        }
        painter.rect_stroke(band, 0.0, Stroke::new(1.0, colour), egui::StrokeKind::Inside);
    }
    if sure {
        let at = pos2(x(side.percent), plot.center().y);
        let size = look.px(6.0);
        let corners = [vec2(0.0, -size), vec2(size, 0.0), vec2(0.0, size), vec2(-size, 0.0)];
        painter.add(Paint::convex_polygon(
            corners.map(|c| at + c).to_vec(),
            colour,
            Stroke::new(1.0, look.paper()),
        ));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use study::find::Sure;

    #[test]
    fn a_direction_that_is_not_certain_has_no_percentage() {
        let sure = Sure { direction: 0.7, range: (-0.02, 0.05), draws: 64 };
        let side = SideFound {
            exact: 0.031,
            percent: 0.03,
            sure: Some(sure),
            first_try: 0.01,
            deflection: 0.02,
            travel: 0.002,
            slop: 0.0,
        };
        assert_eq!(
            how_sure(Follower::Elevator, &side),
            "direction not certain: 70 % agree on it, 95 % would have to"
        );
        let certain =
            SideFound { sure: Some(Sure { direction: 1.0, range: (0.02, 0.05), draws: 64 }), ..side };
        assert_eq!(
            how_sure(Follower::Elevator, &certain),
            "3 % up, four of five draws 2 % up to 5 % up; 100 % agree on the direction"
        );
        assert!(reach(&side) > 0.05);
    }
}
