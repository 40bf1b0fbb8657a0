//! The line over the view: the result in one sentence, always.

use crate::state::State;
use egui::{RichText, Ui};
use report::palette::Role;

/// Draws the sentence, or why there is none.
pub(crate) fn verdict(ui: &mut Ui, state: &State) {
    let look = &state.look;
    if let Some(words) = &state.refused {
        let text = format!("Not flown by hand: {}", words.trim_end());
        ui.label(RichText::new(text).color(look.role(Role::Limit)).family(crate::look::strong()));
    }
    if let Some(words) = &state.trouble {
        let text = format!("Not flown: {words}");
        ui.label(RichText::new(text).color(look.role(Role::Limit)).family(crate::look::strong()));
        return;
    }
    if let Some(flying) = &state.flying {
        ui.label(RichText::new(flying.sentence()).size(look.px(16.0)));
        return;
    }
    let Some(run) = state.show.as_ref().and_then(|show| show.run.as_ref()) else {
        ui.label("Flying both flights for the first time ...");
        return;
    };
    let sentence = ui.label(RichText::new(&run.sentence).size(look.px(16.0)));
    let more: Vec<&str> = [run.remarks.as_str(), &run.held].into_iter().filter(|w| !w.is_empty()).collect();
    sentence.on_hover_text(more.join("\n"));
}
