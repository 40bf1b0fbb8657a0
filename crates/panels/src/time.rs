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

/// What fits into one row of controls.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Room {
    /// One button for each group.
    Narrow,
    /// One button for the places of the eye.
    Middling,
    /// Everything side by side.
    Wide,
}

impl Room {
    /// In a row of `width` \[points\] in which everything at text size 1 takes `whole`, or `folded` with the places of the
    /// eye in one button.
    pub(crate) fn of(look: &Look, width: f32, whole: f32, folded: f32) -> Self {
        match () {
            () if width >= look.px(whole) => Self::Wide,
            () if width >= look.px(folded) => Self::Middling,
            () => Self::Narrow,
        }
    }
}

/// What the row takes at text size 1 \[points\]: all of it, and with the places of the eye in one button.
const ROW: (f32, f32) = (1225.0, 1010.0);

/// Draws the row of controls.
pub(crate) fn controls(ui: &mut Ui, state: &mut State) {
    let room = Room::of(&state.look, ui.available_width(), ROW.0, ROW.1);
    ui.horizontal_wrapped(|ui| {
        playing(ui, state, room);
        ui.separator();
        eyes(ui, state, room);
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
        let open = &mut state.open;
        let mut panels = |ui: &mut Ui| {
            ui.toggle_value(&mut open.flown, "Flown");
            ui.toggle_value(&mut open.blends, "Blends");
            ui.toggle_value(&mut open.strips, "Charts");
            ui.toggle_value(&mut open.help, "Help");
        };
        if room == Room::Narrow {
            ui.menu_button("Panels", panels);
        } else {
            panels(ui);
        }
    });
    said(ui, state);
}

/// What was said last, below the row, which stays as it is.
pub(crate) fn said(ui: &mut Ui, state: &State) {
    if let Some(said) = &state.said {
        ui.label(egui::RichText::new(said).small().color(state.look.quiet()));
    }
}

/// Plays, pauses, steps.
pub(crate) fn playing(ui: &mut Ui, state: &mut State, room: Room) {
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
    if room == Room::Narrow {
        let rate = egui::DragValue::new(&mut clock.rate).speed(0.01).range(RATES.0..=RATES.1).suffix(" x");
        ui.add(rate.custom_formatter(|rate, _| decimal(rate, if rate < 1.0 { 2 } else { 1 })));
        return;
    }
    let speed = format!("{} x", decimal(clock.rate, if clock.rate < 1.0 { 2 } else { 1 }));
    let rate =
        Slider::new(&mut clock.rate, RATES.0..=RATES.1).logarithmic(true).show_value(false).text(speed);
    ui.spacing_mut().slider_width *= 0.5;
    ui.add(rate);
}

/// From where the field is seen.
pub(crate) fn eyes(ui: &mut Ui, state: &mut State, room: Room) {
    let view = &mut state.view;
    let words = format!("Seen: {}", view.eye.word());
    let mut all = |ui: &mut Ui| {
        for eye in Eye::ALL {
            if ui.selectable_label(view.eye == eye, eye.word()).clicked() {
                view.look_from(eye);
                ui.close();
            }
        }
    };
    if room == Room::Wide {
        all(ui);
    } else {
        ui.menu_button(words, all);
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
    let now = format!("{} s", decimal(time, 2));
    let left = axis.area.left() + look.px(4.0);
    let written = |words: &str| painter.layout_no_wrap(words.to_owned(), font.clone(), look.text());
    let whole = written(&format!("{now} of {} s", decimal(length, 2)));
    let fits = left + whole.size().x + look.px(6.0) < axis.plot.left();
    let words = if fits { whole } else { written(&now) };
    painter.galley(pos2(left, middle - 0.5 * words.size().y), words, look.text());
    if state.show.as_ref().is_some_and(|s| s.judged.is_some()) {
        painter.text(
            pos2(axis.plot.right() + look.px(8.0), middle),
            Align2::LEFT_CENTER,
            "bar: the judged leg",
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
