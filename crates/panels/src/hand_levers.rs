//! Levers and switches while flying by hand: by key and by button.

use crate::flown::number;
use crate::flying::Phase;
use crate::state::State;
use egui::{Key, RichText, Ui};
use manoeuvre::{TICK, Turned};
use mix::SwitchNames;

/// Pace of a lever whose key is held, travels per second: own choice, no source.
pub(crate) const PACE: f64 = 0.8;

/// The keys of the levers, in the order of the panel: out, in. None of them does anything else while flying.
const LEVER_KEYS: [(Key, Key); 3] = [(Key::F, Key::V), (Key::G, Key::B), (Key::H, Key::N)];
/// The keys of the switches, in the order of the panel.
const SWITCH_KEYS: [Key; 4] = [Key::R, Key::T, Key::U, Key::O];

/// Which way keys push the levers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct LeverKeys {
    /// -1, 0 or 1.
    pub(crate) pushed: [i8; LEVER_KEYS.len()],
}

impl LeverKeys {
    /// Looks which keys are down; none while something is being typed or Ctrl is held.
    pub(crate) fn look(&mut self, ui: &Ui) {
        let typing = ui.ctx().egui_wants_keyboard_input();
        self.pushed = LEVER_KEYS.map(|(out, back)| {
            ui.input(|input| {
                let down = |key| !typing && !input.modifiers.command && input.key_down(key);
                i8::from(down(out)) - i8::from(down(back))
            })
        });
    }
}

/// A switch in the air.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Switch {
    pub(crate) name: String,
    positions: Vec<String>,
    /// Where it stands.
    pub(crate) is: String,
}

impl Switch {
    /// With a position at which no blend acts; `is`: the one that it stands at, if a blend asks for that.
    pub(crate) fn new(names: SwitchNames, is: Option<String>) -> Self {
        let SwitchNames { name, mut positions } = names;
        let other = if positions.iter().any(|position| position == "off") { "elsewhere" } else { "off" };
        positions.insert(0, other.to_owned());
        Self { name, positions, is: is.unwrap_or_else(|| other.to_owned()) }
    }

    /// The position after the one that it stands at.
    pub(crate) fn next(&self) -> &str {
        let place = self.positions.iter().position(|position| *position == self.is).unwrap_or_default();
        &self.positions[(place + 1) % self.positions.len()]
    }
}

/// Turns the switches whose keys were pressed.
pub(crate) fn switch_keys(ui: &Ui, state: &mut State) {
    if ui.ctx().egui_wants_keyboard_input() {
        return;
    }
    for (place, key) in SWITCH_KEYS.into_iter().enumerate() {
        if ui.input_mut(|input| input.consume_key(egui::Modifiers::NONE, key)) {
            state.turn_switch(place);
        }
    }
}

/// Draws a line for each lever and switch, as they stand at the cursor; until the flight is over they can be moved.
pub(crate) fn levers(ui: &mut Ui, state: &mut State) {
    let Some(flying) = &state.flying else { return };
    let over = flying.phase() == Phase::Over;
    let tick = if over { (state.clock.time / TICK).round() as usize } else { flying.grips().len() };
    let (levers, switches) = (flying.levers(tick), flying.switches(tick));
    let mut turned = Vec::new();
    ui.add_enabled_ui(!over, |ui| {
        for (place, (name, at)) in levers.iter().enumerate() {
            let keys = LEVER_KEYS.get(place).map(|(out, back)| format!(" ({} {})", out.name(), back.name()));
            let mut percent = 100.0 * at;
            let label = format!("{name}{}", keys.unwrap_or_default());
            if number(ui, &label, &mut percent, "%", 0.5, 0, 0.0..=100.0) {
                turned.push(Turned::lever(name, percent / 100.0));
            }
        }
        for (place, switch) in switches.iter().enumerate() {
            ui.horizontal_wrapped(|ui| {
                let key = SWITCH_KEYS.get(place).map(|key| format!(" ({})", key.name()));
                ui.label(format!("{}{}", switch.name, key.unwrap_or_default()));
                for position in &switch.positions {
                    let button = ui.selectable_label(*position == switch.is, position);
                    let name = format!("{} {position}", switch.name);
                    ui.ctx().accesskit_node_builder(button.id, |node| node.set_label(name));
                    if button.clicked() {
                        turned.push(Turned::switch(&switch.name, position));
                    }
                }
            });
        }
    });
    if levers.is_empty() && switches.is_empty() {
        let words = "Nothing on this model follows a lever or a switch.";
        ui.label(RichText::new(words).small().color(state.look.quiet()));
    }
    turned.into_iter().for_each(|what| state.turn(what));
}

/// The keys with what they do, as shown in the help.
pub(crate) fn table() -> impl Iterator<Item = (String, &'static str)> {
    const ORDER: [&str; LEVER_KEYS.len()] = [
        "the first lever out, in: flaps where there are any",
        "the second lever out, in",
        "the third lever out, in",
    ];
    let levers = LEVER_KEYS.iter().zip(ORDER);
    let levers = levers.map(|((out, back), words)| (format!("{} {}", out.name(), back.name()), words));
    let switches: Vec<&str> = SWITCH_KEYS.iter().map(|key| key.name()).collect();
    levers.chain(core::iter::once((switches.join(" "), "the switches of the panel, in its order")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_switch_has_a_position_at_which_nothing_acts() {
        let names = |positions: &[&str]| SwitchNames {
            name: "gear".into(),
            positions: positions.iter().map(|p| (*p).to_owned()).collect(),
        };
        let two = Switch::new(names(&["on"]), None);
        assert_eq!((two.is.as_str(), two.next()), ("off", "on"));
        let three = Switch::new(names(&["off", "up"]), Some("up".into()));
        assert_eq!((three.is.as_str(), three.next()), ("up", "elsewhere"));
    }
}
