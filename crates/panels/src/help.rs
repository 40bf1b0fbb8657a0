//! Keys and mouse, and the hint of the first run.

use crate::keys::table;
use crate::state::State;
use egui::{Align2, RichText, Ui, Window, vec2};

/// Draws the help when it is open.
pub(crate) fn help(ui: &Ui, state: &mut State) {
    let mut open = state.open.help;
    Window::new("Keys and mouse")
        .open(&mut open)
        .collapsible(false)
        .anchor(Align2::CENTER_CENTER, vec2(0.0, 0.0))
        .show(ui.ctx(), |ui| {
            ui.set_min_width(state.look.px(440.0).min(ui.ctx().viewport_rect().width() - 40.0));
            ui.label("On the field: drag to turn the view, scroll to come nearer.");
            ui.label(
                "On a number: drag it, or click and type. On the charts and the time line: drag the cursor.",
            );
            ui.separator();
            // title and words above it stay on the screen, too
            let room = ui.ctx().viewport_rect().height() - state.look.px(190.0);
            let height = state.look.px(420.0).min(room.max(100.0));
            let table_of_keys = egui::ScrollArea::vertical().max_height(height).min_scrolled_height(height);
            table_of_keys.show(ui, |ui| {
                egui::Grid::new("keys").num_columns(2).striped(true).show(ui, |ui| {
                    for (key, words) in table(ui, state.flying.is_some()) {
                        ui.label(RichText::new(key).family(crate::look::strong()));
                        ui.label(words);
                        ui.end_row();
                    }
                });
            });
        });
    state.open.help = open;
}

/// Draws the hint of the first run when it is open.
pub(crate) fn hint(ui: &Ui, state: &mut State) {
    if !state.open.hint {
        return;
    }
    let margin = state.look.px(12.0);
    egui::Area::new("hint".into()).anchor(Align2::CENTER_CENTER, vec2(0.0, -margin)).show(ui.ctx(), |ui| {
        egui::Frame::window(ui.style()).inner_margin(margin).show(ui, |ui| {
            ui.set_max_width(state.look.px(380.0));
            ui.heading("Two models, one manoeuvre");
            ui.label(
                "The solid model flies with its blends, the ghost without. A blend is what most pilots call a mix: \
                 one control moves another a little.",
            );
            ui.label("Drag a percentage on the right: both flights are flown again at once, and the path straightens or bends.");
            ui.label("\"Find\" looks for the percentage and says how sure it is, \"Why\" shows what on the model makes it necessary.");
            ui.label("Space plays and pauses, 1 to 6 change where you look from, F1 shows all keys.");
            if ui.button("Close this hint").clicked() {
                state.open.hint = false;
            }
        });
    });
}
