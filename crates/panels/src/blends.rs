//! The right edge: the blends at work, a card each, with the percentage big enough to drag.

use crate::curve::{curve, deflection, points_of};
use crate::engaged::engaged;
use crate::look::{Look, large, strong};
use crate::new_blend::{new_blend, remove};
use crate::setup::Setup;
use crate::show::Show;
use crate::state::State;
use crate::words::{ends, percent, read_percent, senses};
use crate::{found, why};
use egui::{Align, DragValue, Frame, Layout, RichText, Stroke, Ui};
use mix::{Blend, Follower, Lead, Shape};

/// Draws the panel.
pub(crate) fn blends(ui: &mut Ui, state: &mut State) {
    ui.add_space(state.look.px(4.0));
    ui.heading("Blends at work")
        .on_hover_text("Computed, not flown: a first try at height, at half its size.");
    let look = state.look;
    let show = state.show.clone();
    let mut gone = None;
    for i in order(state) {
        Frame::new().stroke(Stroke::new(1.0, look.hairline())).inner_margin(look.px(8.0)).show(ui, |ui| {
            if card(ui, &look, &mut state.setup, i, show.as_deref()) {
                gone = Some(i);
            }
            ui.horizontal_wrapped(|ui| {
                bend_or_straighten(ui, &mut state.setup.mix.blends[i]);
                found::button(ui, state, i);
                why::button(ui, state, i);
            });
            found::found(ui, state, i);
        });
    }
    if let Some(i) = gone {
        state.setup.mix.blends.remove(i);
    }
    new_blend(ui, state);
    if state.setup.mix.blends.is_empty() {
        ui.label("This mix has no blend.");
    }
    let note = "Percent of the follower's full throw when the lead stands at its full throw.";
    ui.label(RichText::new(note).small().color(look.quiet()));
}

/// Those that the manoeuvre is about first; ticking one does not move it under the pointer.
fn order(state: &State) -> Vec<usize> {
    let about = |i: &usize| state.stored.scenario.compared.has(&state.setup.mix.blends[*i].name);
    let mut order: Vec<usize> = (0..state.setup.mix.blends.len()).collect();
    order.sort_by_key(|i| !about(i));
    order
}

/// What a blend is and does; whether it shall go.
fn card(ui: &mut Ui, look: &Look, setup: &mut Setup, index: usize, show: Option<&Show>) -> bool {
    ui.set_width(ui.available_width());
    let gone = title(ui, setup, index);
    let throws = show.map_or((0.0, 0.0), |show| setup.throws(&show.geometry, setup.mix.blends[index].to));
    let rates: Vec<String> = setup.mix.rates.iter().map(|set| set.name.clone()).collect();
    let blend = &mut setup.mix.blends[index];
    let from_to = format!("{} moves {}", blend.from.word(), blend.to.word());
    ui.label(RichText::new(from_to).small().color(look.quiet()));
    match &blend.shape {
        Shape::TwoSided { .. } => two_sides(ui, look, blend, throws),
        Shape::Curve(_) => curve(ui, look, blend, throws),
    }
    engaged(ui, look, blend, &rates);
    gone
}

/// The name, ticked or not, and what takes it out; whether that was pressed.
fn title(ui: &mut Ui, setup: &mut Setup, index: usize) -> bool {
    let name = setup.mix.blends[index].name.clone();
    let mut compared = setup.compared(&name);
    let right = Layout::right_to_left(Align::TOP);
    let row = ui.horizontal(|ui| {
        ui.with_layout(right, |ui| {
            let gone = remove(ui, setup, index);
            let hint = "Ticked: in one flight, out of the other. Unticked: in both.";
            let words = RichText::new(&name).family(strong());
            let tick = |ui: &mut Ui| {
                ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Wrap);
                ui.checkbox(&mut compared, words).on_hover_text(hint)
            };
            let tick = ui.with_layout(Layout::left_to_right(Align::TOP), tick).inner;
            if tick.changed() {
                setup.set_compared(&name, compared);
            }
            gone
        })
        .inner
    });
    row.inner
}

fn two_sides(ui: &mut Ui, look: &Look, blend: &mut Blend, throws: (f64, f64)) {
    let (name, follower, lead) = (blend.name.clone(), blend.to, blend.from.word().to_owned());
    let (lower, upper) = ends(&blend.from);
    let one_sided = blend.from.range().0 >= 0.0;
    let Shape::TwoSided { left, right } = &mut blend.shape else { return };
    let side = |ui: &mut Ui, end: &str, share: &mut f64| {
        ui.horizontal(|ui| {
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 0.0;
                // the lead is named above
                let end = end.strip_suffix(lead.as_str()).unwrap_or(end).trim_end();
                ui.label(RichText::new(end).small());
                let degrees = deflection(*share, throws).abs() / measure::DEG;
                let moved = format!("{} deg", report::signed::decimal(degrees, 1));
                ui.label(RichText::new(moved).small().color(look.quiet()));
            });
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                big_percent(ui, &format!("{name}, {end}"), share, follower);
            });
        });
    };
    if !one_sided {
        side(ui, &lower, left);
    }
    side(ui, &upper, right);
}

/// A share that is dragged in percent, with its direction in words.
fn big_percent(ui: &mut Ui, name: &str, share: &mut f64, follower: Follower) {
    let senses = senses(follower);
    let mut value = 100.0 * *share;
    ui.scope(|ui| {
        ui.style_mut().drag_value_text_style = large();
        let drag = DragValue::new(&mut value)
            .speed(0.1)
            .range(-100.0..=100.0)
            .update_while_editing(false)
            .custom_formatter(move |v, _| percent(v / 100.0, senses))
            .custom_parser(move |text| read_percent(text, senses));
        let response = ui.add(drag).on_hover_text("Drag, or click and type");
        ui.ctx().accesskit_node_builder(response.id, |node| node.set_label(name));
        if response.changed() {
            *share = value / 100.0;
        }
    });
}

fn bend_or_straighten(ui: &mut Ui, blend: &mut Blend) {
    let from = blend.from.clone();
    match &blend.shape {
        Shape::TwoSided { .. } => {
            if ui.button("Bend").on_hover_text("Into a curve of points to drag").clicked() {
                blend.shape = Shape::Curve(points_of(&blend.shape, &from));
            }
        }
        Shape::Curve(_) => {
            if ui.button("Straighten").on_hover_text("To one percentage per side").clicked() {
                blend.shape = straightened(&blend.shape, &from);
            }
        }
    }
}

/// The two-sided shape with the same values at full lead.
fn straightened(shape: &Shape, from: &Lead) -> Shape {
    let (low, high) = from.range();
    Shape::TwoSided { left: if low < 0.0 { shape.follower(low) } else { 0.0 }, right: shape.follower(high) }
}
