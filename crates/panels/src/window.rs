//! The window: panels on its edges, the field in the middle.

use crate::keys::keys;
use crate::state::State;
use crate::{blends, flown, fly_panel, help, strips, surfaces, time, tour, verdict, why};
use egui::{Frame, Margin, Panel, PointerButton, Rect, Sense, Ui};

/// Widths of the left and the right edge at text size 1 \[points\].
const WIDTHS: (f32, f32) = (190.0, 246.0);
/// Width of the answer why at text size 1, and the width of the window from which the blends stay beside it \[points\].
const WHY: f32 = 280.0;
const ROOMY: f32 = 1150.0;
/// Radians per point dragged on the field.
const TURN: f32 = 0.006;

/// Draws all panels and acts on keys and mouse; returns the part of the window that is left for the
/// field.
pub fn window(ui: &mut Ui, state: &mut State) -> Rect {
    if state.tour.is_some() {
        return tour::tour(ui, state);
    }
    if state.flying.is_some() {
        return fly_panel::fly_window(ui, state);
    }
    let before = state.setup.clone();
    keys(ui, state);
    let frame = Frame::new().fill(state.look.paper()).inner_margin(Margin::symmetric(8, 4));
    // over the whole width: it is the longest row
    Panel::bottom("controls").resizable(false).frame(frame).show(ui, |ui| time::controls(ui, state));
    if state.open.flown {
        let width = state.look.px(WIDTHS.0);
        Panel::left("flown").exact_size(width).frame(frame).show(ui, |ui| {
            egui::ScrollArea::vertical().show(ui, |ui| {
                flown::flown(ui, state);
                ui.separator();
                surfaces::surfaces(ui, state);
            });
        });
    }
    // on a small window what is asked takes the place of what it was asked about
    let room = ui.available_width() > state.look.px(ROOMY);
    if state.open.blends && (room || state.reason.is_none()) {
        let width = state.look.px(WIDTHS.1);
        Panel::right("blends").exact_size(width).frame(frame).show(ui, |ui| {
            egui::ScrollArea::vertical().show(ui, |ui| blends::blends(ui, state));
        });
    }
    if state.reason.is_some() {
        let width = state.look.px(WHY);
        Panel::right("why").exact_size(width).frame(frame).show(ui, |ui| {
            egui::ScrollArea::vertical().show(ui, |ui| why::why(ui, state));
        });
    }
    if state.open.strips {
        Panel::bottom("charts").resizable(false).frame(frame).show(ui, |ui| strips::strips(ui, state));
    }
    Panel::bottom("time")
        .resizable(false)
        .frame(frame.inner_margin(Margin::symmetric(8, 2)))
        .show_separator_line(false)
        .show(ui, |ui| time::time_line(ui, state));
    Panel::top("verdict").resizable(false).frame(frame).show(ui, |ui| verdict::verdict(ui, state));
    let field = ui.available_rect_before_wrap();
    mouse(ui, state, field);
    why::page(ui, state, field);
    help::help(ui, state);
    help::hint(ui, state);
    let held = ui.input(|input| input.pointer.any_down()) || state.glide.is_some();
    state.settle(&before, held);
    field
}

/// Dragging turns the view, scrolling comes nearer.
pub(crate) fn mouse(ui: &Ui, state: &mut State, field: Rect) {
    let response = ui.interact(field, ui.id().with("field"), Sense::click_and_drag());
    if response.dragged_by(PointerButton::Primary) || response.dragged_by(PointerButton::Secondary) {
        let moved = response.drag_delta();
        state.view.turn(-moved.x * TURN, moved.y * TURN);
    }
    if response.hovered() {
        let scrolled = ui.input(|input| input.smooth_scroll_delta().y);
        if scrolled != 0.0 {
            state.view.magnify((scrolled * 0.004).exp());
        }
    }
}

/// Draws the verdict alone; returns what is left for the field.
pub fn bare(ui: &mut Ui, state: &State) -> Rect {
    let frame = Frame::new().fill(state.look.paper()).inner_margin(Margin::symmetric(8, 4));
    Panel::top("verdict").resizable(false).frame(frame).show(ui, |ui| verdict::verdict(ui, state));
    ui.available_rect_before_wrap()
}
