//! The bottom edge: playing, the time line, and from where the field is seen.

use crate::clock::RATES;
use crate::look::Look;
use crate::show::Show;
use crate::state::{Ask, State};
use crate::strips::TimeAxis;
use crate::view::Eye;
use egui::{
    Align2, FontId, Painter, Pos2, Rangef, Rect, Sense, Slider, Stroke, TextStyle, Ui, WidgetInfo,
    WidgetType, pos2, vec2,
};
use report::palette::Role;
use report::signed::decimal;

/// Draws the row of controls.
pub(crate) fn controls(ui: &mut Ui, state: &mut State) {
    ui.horizontal_wrapped(|ui| {
        playing(ui, state);
        ui.separator();
        eyes(ui, state);
        ui.separator();
        if ui.add_enabled(state.history.can_undo(), egui::Button::new("Undo")).clicked() {
            state.undo();
        }
        if ui.add_enabled(state.history.can_redo(), egui::Button::new("Redo")).clicked() {
            state.redo();
        }
        if ui.add_enabled(state.changed(), egui::Button::new("Save")).clicked() {
            state.asks.push(Ask::Save);
        }
        if ui.button("Fly it").on_hover_text("yourself, with keys, a gamepad or a transmitter").clicked() {
            state.asks.push(Ask::Fly);
        }
        ui.separator();
        ui.toggle_value(&mut state.open.flown, "Flown");
        ui.toggle_value(&mut state.open.blends, "Blends");
        ui.toggle_value(&mut state.open.strips, "Charts");
        ui.toggle_value(&mut state.open.help, "Help");
        if let Some(said) = &state.said {
            ui.label(egui::RichText::new(said).small().color(state.look.quiet()));
        }
    });
}

/// Plays, pauses, steps.
pub(crate) fn playing(ui: &mut Ui, state: &mut State) {
    let clock = &mut state.clock;
    if ui.button(if clock.playing { "Pause" } else { "Play" }).clicked() {
        clock.toggle();
    }
    if ui.button("Step back").clicked() {
        clock.step(-1);
    }
    if ui.button("Step on").clicked() {
        clock.step(1);
    }
    ui.checkbox(&mut clock.looped, "Loop");
    let speed = format!("{} x", decimal(clock.rate, if clock.rate < 1.0 { 2 } else { 1 }));
    let rate =
        Slider::new(&mut clock.rate, RATES.0..=RATES.1).logarithmic(true).show_value(false).text(speed);
    ui.spacing_mut().slider_width *= 0.5;
    ui.add(rate);
}

/// From where the field is seen.
pub(crate) fn eyes(ui: &mut Ui, state: &mut State) {
    for eye in Eye::ALL {
        if ui.selectable_label(state.view.eye == eye, eye.word()).clicked() {
            state.view.look_from(eye);
        }
    }
}

/// Draws the time line; dragging on it moves the cursor.
pub(crate) fn time_line(ui: &mut Ui, state: &mut State) {
    let size = vec2(ui.available_width(), state.look.px(25.0));
    let (area, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
    let axis = TimeAxis::new(&state.look, area, state.clock.length);
    if let Some(at) = response.interact_pointer_pos() {
        state.clock.playing = false;
        state.clock.scrub(axis.time(at.x));
    }
    let (time, length) = (state.clock.time, state.clock.length);
    response.widget_info(|| WidgetInfo {
        value: Some(time),
        ..WidgetInfo::labeled(WidgetType::Slider, true, "Time line")
    });
    let (look, painter) = (&state.look, ui.painter());
    let font = TextStyle::Small.resolve(ui.style());
    let middle = axis.plot.bottom() - look.px(7.0);
    painter.hline(axis.plot.x_range(), middle, Stroke::new(1.0, look.quiet()));
    if let Some(show) = &state.show {
        let legs = legs(show, &axis);
        for (i, (name, x)) in legs.iter().enumerate() {
            let ends = legs.get(i + 1).map_or(axis.plot.right(), |next| next.1);
            leg(painter, look, &font, name, Rangef::new(*x, ends), middle);
        }
        let under = |at: Pos2| legs.iter().rev().find(|(_, x)| *x <= at.x);
        if let Some((name, _)) = response.hover_pos().and_then(under) {
            response.on_hover_text(*name);
        }
        if let Some((begins, ends)) = show.judged {
            let bar = Rect::from_x_y_ranges(
                Rangef::new(axis.x(begins), axis.x(ends)),
                Rangef::new(middle, middle + look.px(4.0)),
            );
            painter.rect_filled(bar, 0.0, look.role(Role::Judged).gamma_multiply(0.6));
        }
    }
    let x = axis.x(time);
    painter.vline(x, area.y_range(), Stroke::new(1.5, look.text()));
    painter.circle_filled(pos2(x, middle), look.px(5.0), look.text());
    let words = format!("{} s of {} s", decimal(time, 2), decimal(length, 2));
    painter.text(
        pos2(axis.area.left() + look.px(4.0), middle),
        Align2::LEFT_CENTER,
        words,
        font.clone(),
        look.text(),
    );
    if state.show.as_ref().is_some_and(|s| s.judged.is_some()) {
        painter.text(
            pos2(axis.plot.right() + look.px(8.0), middle),
            Align2::LEFT_CENTER,
            "dark bar: the judged leg",
            font,
            look.quiet(),
        );
    }
}

/// Names of the legs and where they begin.
fn legs<'s>(show: &'s Show, axis: &TimeAxis) -> Vec<(&'s str, f32)> {
    let legs = show.setup.scenario.legs.iter().zip(show.legs());
    legs.map(|(leg, span)| (leg.name.as_str(), axis.x(span.first as f64 * manoeuvre::TICK))).collect()
}

/// Marks where a leg begins, with its name if there is room for it until the next.
fn leg(painter: &Painter, look: &Look, font: &FontId, name: &str, across: Rangef, middle: f32) {
    let ends = Rangef::new(middle - look.px(8.0), middle + look.px(3.0));
    painter.vline(across.min, ends, Stroke::new(1.0, look.quiet()));
    let galley = painter.layout_no_wrap(name.to_owned(), font.clone(), look.quiet());
    let place = pos2(across.min + look.px(4.0), middle - look.px(1.0) - galley.size().y);
    if place.x + galley.size().x <= across.max {
        painter.galley(place, galley, look.quiet());
    }
}
