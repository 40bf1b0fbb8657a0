//! Where levers and switches stand when the manoeuvre begins.

use crate::engaged::room;
use crate::flown::number;
use crate::setup::Setup;
use egui::{ComboBox, Ui};
use mix::{DOOR_LEVER, FLAP_LEVER, Program};

/// Draws a line for each lever and switch that something follows.
pub(crate) fn levers(ui: &mut Ui, setup: &mut Setup) {
    // a mix that is no mix says so over the field
    let Ok(program) = Program::try_from(&setup.mix) else { return };
    let mut any = false;
    for lever in program.levers() {
        if !moves(setup, lever) {
            continue;
        }
        any = true;
        let mut percent = 100.0 * stands(setup, lever);
        if number(ui, lever, &mut percent, "%", 0.5, 0, 0.0..=100.0) {
            put(&mut setup.scenario.start.levers, lever, percent / 100.0);
        }
    }
    for switch in program.switches() {
        any = true;
        let set = setup.scenario.start.switches.iter().find(|(name, _)| *name == switch.name);
        let mut is = set.map(|(_, is)| is.clone());
        let before = is.clone();
        ui.label(&switch.name);
        let shown = is.clone().unwrap_or_else(|| NOT_SET.to_owned());
        let combo = ComboBox::from_id_salt(&switch.name).width(room(ui));
        let combo = combo.selected_text(shown).show_ui(ui, |ui| {
            ui.selectable_value(&mut is, None, NOT_SET);
            let off = (!switch.positions.iter().any(|position| position == "off")).then_some("off");
            for position in switch.positions.iter().map(String::as_str).chain(off) {
                ui.selectable_value(&mut is, Some(position.to_owned()), position);
            }
        });
        let name = format!("switch {}", switch.name);
        ui.ctx().accesskit_node_builder(combo.response.id, |node| node.set_label(name));
        combo.response.on_hover_text(NOT_SET_MEANS);
        if is != before {
            match is {
                Some(is) => put(&mut setup.scenario.start.switches, &switch.name, is),
                None => setup.scenario.start.switches.retain(|(name, _)| *name != switch.name),
            }
        }
    }
    if !any {
        ui.label("Nothing on this model follows a lever or a switch.");
    }
}

const NOT_SET: &str = "not set";
const NOT_SET_MEANS: &str = "Not set: it stands elsewhere, but where the manoeuvre names the blends that it compares, it stands as they ask.";

/// The flap and door levers move something only where there is a flap or a door.
pub(crate) fn moves(setup: &Setup, lever: &str) -> bool {
    let hinges = || setup.airframe.panels.iter().flat_map(|panel| &panel.hinges);
    match lever {
        FLAP_LEVER => hinges().any(|hinge| hinge.name == FLAP_LEVER),
        DOOR_LEVER => !setup.airframe.doors.is_empty(),
        _ => true,
    }
}

/// Where a lever stands when the manoeuvre begins; one that nobody has moved stands at 0, or so that what it tunes is
/// as written.
fn stands(setup: &Setup, lever: &str) -> f64 {
    let set = setup.scenario.start.levers.iter().find(|(name, _)| name == lever);
    let tuned =
        || setup.mix.blends.iter().filter_map(|blend| blend.tuned.as_ref()).find(|t| t.lever == lever);
    set.map(|(_, share)| *share)
        .or_else(|| tuned().map(|t| ((1.0 - t.least) / (t.most - t.least)).clamp(0.0, 1.0)))
        .unwrap_or(0.0)
}

fn put<T>(list: &mut Vec<(String, T)>, name: &str, to: T) {
    match list.iter_mut().find(|(known, _)| known == name) {
        Some((_, value)) => *value = to,
        None => list.push((name.to_owned(), to)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::demo;
    use mix::Tuning;

    #[test]
    fn levers_stand_where_the_flight_has_them() {
        let mut setup = demo("foxglove");
        assert!(moves(&setup, FLAP_LEVER) && !moves(&setup, DOOR_LEVER));
        assert_eq!(stands(&setup, FLAP_LEVER), 0.0);
        put(&mut setup.scenario.start.levers, FLAP_LEVER, 0.25);
        put(&mut setup.scenario.start.levers, FLAP_LEVER, 0.5);
        assert_eq!(setup.scenario.start.levers, [(FLAP_LEVER.to_owned(), 0.5)]);
        setup.mix.blends[0].tuned = Some(Tuning { lever: "spare 1".into(), least: 0.0, most: 2.0 });
        assert_eq!(stands(&setup, "spare 1"), 0.5, "as written");
    }
}
