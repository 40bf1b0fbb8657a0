//! The left edge: what is flown. Manoeuvre, airframe, air, rates, and what was measured.

use crate::levers::levers;
use crate::measured::{MEASURED, Measure};
use crate::state::{Ask, State};
use egui::{Align, DragValue, Layout, RichText, Ui};
use manoeuvre::{Sides, Speed};
use measure::{DEG, Side, Stick};
use report::signed::decimal;

/// Draws the panel.
pub(crate) fn flown(ui: &mut Ui, state: &mut State) {
    ui.add_space(state.look.px(4.0));
    ui.heading("What is flown");
    choices(ui, state);
    ui.separator();
    entry(ui, state);
    air(ui, state);
    ui.collapsing("Rates", |ui| rates(ui, state));
    ui.collapsing("Levers and switches", |ui| levers(ui, &mut state.setup));
    ui.collapsing("As measured", |ui| measured(ui, state));
}

fn choices(ui: &mut Ui, state: &mut State) {
    let club = state.club.clone();
    let mut choice = |ui: &mut Ui, label: &str, now: &str, known: &[String], ask: fn(String) -> Ask| {
        ui.label(RichText::new(label).small().color(state.look.quiet()));
        egui::ComboBox::from_id_salt(label).selected_text(now).width(ui.available_width()).show_ui(
            ui,
            |ui| {
                for name in known {
                    if ui.selectable_label(name == now, name).clicked() && name != now {
                        state.asks.push(ask(name.clone()));
                    }
                }
            },
        );
    };
    choice(ui, "Manoeuvre", &club.manoeuvre, &club.manoeuvres, Ask::Manoeuvre);
    choice(ui, "Airframe", &club.airframe, &club.airframes, Ask::Airframe);
    if state.setup.scenario.sides == Sides::Both {
        ui.label(RichText::new("Rudder").small().color(state.look.quiet()));
        ui.horizontal(|ui| {
            for side in [Side::Left, Side::Right] {
                let words = side.word();
                let chosen = state.setup.side == side;
                let hint = format!("{} wing down", side.opposite().word());
                if ui.selectable_label(chosen, words).on_hover_text(hint).clicked() {
                    state.setup.side = side;
                }
            }
        });
    }
}

fn entry(ui: &mut Ui, state: &mut State) {
    let trimmed = state.setup.airframe.trimmed.speed.value;
    let start = &mut state.setup.scenario.start;
    let known = match start.speed {
        Speed::Trimmed(times) => Some(times * trimmed),
        Speed::Absolute(speed) => Some(speed),
        // what a throttle makes of the model is not known before it flies
        Speed::Throttle(_) => None,
    };
    if let Some(mut speed) = known
        && number(ui, "Entry speed", &mut speed, "m/s", 0.1, 1, 5.0..=120.0)
    {
        start.speed = match start.speed {
            Speed::Trimmed(_) => Speed::Trimmed(speed / trimmed),
            _ => Speed::Absolute(speed),
        };
    }
    number(ui, "Height", &mut start.height, "m", 0.5, 0, 5.0..=400.0);
}

fn air(ui: &mut Ui, state: &mut State) {
    let [north, east, down] = state.setup.scenario.wind;
    let mut speed = libm::hypot(north, east);
    // the wind is named after where it comes from
    let mut from = (libm::atan2(-east, -north) / DEG).rem_euclid(360.0);
    let blows = number(ui, "Wind", &mut speed, "m/s", 0.05, 1, 0.0..=25.0);
    let turns = speed > 0.0 && number(ui, "from", &mut from, "deg", 1.0, 0, 0.0..=360.0);
    if blows || turns {
        let (sin, cos) = libm::sincos(from * DEG);
        state.setup.scenario.wind = [-speed * cos, -speed * sin, down];
    }
}

fn rates(ui: &mut Ui, state: &mut State) {
    for set in &mut state.setup.mix.rates {
        ui.label(RichText::new(&set.name).family(crate::look::strong()));
        for (rate, stick) in set.sticks.iter_mut().zip([Stick::Aileron, Stick::Elevator, Stick::Rudder]) {
            share(ui, &format!("{} throw", stick.word()), &mut rate.throw, 5.0..=100.0);
            share(ui, &format!("{} expo", stick.word()), &mut rate.expo, -50.0..=100.0);
        }
    }
}

fn measured(ui: &mut Ui, state: &mut State) {
    for measure in MEASURED {
        let Measure { name, unit, per_unit, speed, decimals, range, .. } = *measure;
        let Some(value) = measure.of(&mut state.setup.airframe) else { continue };
        let mut shown = value / per_unit;
        if number(ui, name, &mut shown, unit, speed, decimals, range.0..=range.1) {
            measure.set(&mut state.setup.airframe, shown * per_unit);
        }
    }
}

/// A named number with its unit, draggable; whether it was changed.
pub(crate) fn number(
    ui: &mut Ui,
    name: &str,
    value: &mut f64,
    unit: &str,
    speed: f64,
    decimals: usize,
    range: core::ops::RangeInclusive<f64>,
) -> bool {
    let drag = DragValue::new(value)
        .speed(speed)
        .range(range)
        .update_while_editing(false)
        .suffix(format!(" {unit}"))
        .custom_formatter(move |v, _| decimal(v, decimals))
        .custom_parser(|text| text.replace('−', "-").trim().parse().ok());
    ui.horizontal(|ui| {
        ui.with_layout(Layout::right_to_left(Align::TOP), |ui| {
            let drag = ui.add(drag);
            // a long name takes a second line, never the place of the number
            let words = |ui: &mut Ui| ui.add(egui::Label::new(name).wrap());
            let label = ui.with_layout(Layout::left_to_right(Align::TOP), words).inner;
            drag.labelled_by(label.id).changed()
        })
        .inner
    })
    .inner
}

fn share(ui: &mut Ui, name: &str, value: &mut f64, range: core::ops::RangeInclusive<f64>) {
    let mut percent = 100.0 * *value;
    if number(ui, name, &mut percent, "%", 0.5, 0, range) {
        *value = percent / 100.0;
    }
}
