//! Blends put into the mix and taken out of it.

use crate::engaged::room;
use crate::levers::moves;
use crate::setup::Setup;
use crate::state::State;
use egui::{ComboBox, RichText, TextEdit, Ui};
use manoeuvre::Compared;
use measure::Stick;
use mix::{Blend, Condition, Follower, Lead, Program, Shape};

/// Levers that any transmitter has to spare.
const SPARE: [&str; 2] = ["crow", "spare 1"];

/// A blend that is being chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Draft {
    /// The lead.
    pub from: Lead,
    /// The follower.
    pub to: Follower,
    /// What the pilot calls it, as far as it is typed.
    pub name: String,
}

impl Default for Draft {
    fn default() -> Self {
        Self { from: Lead::Stick(Stick::Rudder), to: Follower::Elevator, name: String::new() }
    }
}

impl Draft {
    /// The name it would get: the one that is typed, or lead and follower; with a number if that is taken.
    fn name(&self, setup: &Setup) -> String {
        let typed = self.name.trim();
        let said = format!("{} to {}", self.from.word(), self.to.word());
        let name = if typed.is_empty() { said.as_str() } else { typed };
        let taken = |name: &str| setup.mix.blends.iter().any(|blend| blend.name == name);
        let numbered = (2..).map(|number| format!("{name} {number}"));
        core::iter::once(name.to_owned()).chain(numbered).find(|name| !taken(name)).unwrap_or_default()
    }

    /// As it begins: nothing, always.
    fn blend(&self, setup: &Setup) -> Blend {
        Blend {
            name: self.name(setup),
            from: self.from.clone(),
            to: self.to,
            shape: Shape::TwoSided { left: 0.0, right: 0.0 },
            engaged: Condition::Always,
            fade: 0.0,
            slow: 0.0,
            tuned: None,
            after: None,
        }
    }
}

/// What a blend of this model may read.
fn leads(setup: &Setup) -> Vec<Lead> {
    let known = Program::try_from(&setup.mix).map(|program| program.levers().to_vec()).unwrap_or_default();
    let tuning = |lever: &str| {
        setup.mix.blends.iter().filter_map(|blend| blend.tuned.as_ref()).any(|tuning| tuning.lever == lever)
    };
    let mut levers: Vec<String> = known.into_iter().filter(|lever| moves(setup, lever)).collect();
    for spare in SPARE {
        if !levers.iter().any(|lever| lever == spare) {
            levers.push(spare.to_owned());
        }
    }
    levers.retain(|lever| !tuning(lever));
    Stick::ALL.into_iter().map(Lead::Stick).chain(levers.into_iter().map(Lead::Lever)).collect()
}

/// What a blend may move on this model, but not what its lead moves by itself.
fn followers(setup: &Setup, from: &Lead) -> Vec<Follower> {
    let there = |follower: &Follower| {
        let hinges = || setup.airframe.panels.iter().flat_map(|panel| &panel.hinges);
        match follower {
            Follower::Throttle => true,
            Follower::Door => !setup.airframe.doors.is_empty(),
            Follower::AileronsTogether => hinges().any(|hinge| hinge.name == Follower::Aileron.word()),
            other => hinges().any(|hinge| hinge.name == other.word()),
        }
    };
    let other = |follower: &Follower| follower.direct_lead().as_ref() != Some(from);
    Follower::ALL.into_iter().filter(there).filter(other).collect()
}

/// A lead as it is offered.
fn called(lead: &Lead) -> String {
    match lead {
        Lead::Stick(stick) => format!("{} stick", stick.word()),
        Lead::Lever(name) => format!("lever {name}"),
    }
}

/// Draws the button for a new blend, or what is to be chosen for it.
pub(crate) fn new_blend(ui: &mut Ui, state: &mut State) {
    let Some(mut draft) = state.draft.take() else {
        if ui.button("New blend").on_hover_text("One more control that moves another").clicked() {
            state.draft = Some(Draft::default());
        }
        return;
    };
    ui.label(RichText::new("New blend").family(crate::look::strong()));
    choice(ui, "Lead", &mut draft.from, leads(&state.setup), called);
    let followers = followers(&state.setup, &draft.from);
    if !followers.contains(&draft.to)
        && let Some(first) = followers.first()
    {
        draft.to = *first;
    }
    choice(ui, "Follower", &mut draft.to, followers, |follower| follower.word().to_owned());
    ui.horizontal(|ui| {
        let label = ui.label("Name");
        let hint = draft.name(&state.setup);
        let edit = TextEdit::singleline(&mut draft.name).hint_text(hint).desired_width(room(ui));
        ui.add(edit).labelled_by(label.id);
    });
    let (mut added, mut left) = (false, false);
    ui.horizontal(|ui| {
        added = ui.button("Add it at 0 %").clicked();
        left = ui.button("Leave it").clicked();
    });
    if added {
        state.setup.add_blend(draft.blend(&state.setup));
    } else if !left {
        state.draft = Some(draft);
    }
}

fn choice<T: PartialEq>(ui: &mut Ui, name: &str, now: &mut T, known: Vec<T>, word: fn(&T) -> String) {
    ui.horizontal(|ui| {
        ui.label(name);
        let combo = ComboBox::from_id_salt(name).width(room(ui)).selected_text(word(now));
        let combo = combo.show_ui(ui, |ui| {
            for one in known {
                let words = word(&one);
                ui.selectable_value(now, one, words);
            }
        });
        ui.ctx().accesskit_node_builder(combo.response.id, |node| node.set_label(name));
    });
}

/// The button that takes a blend out; whether it was pressed.
pub(crate) fn remove(ui: &mut Ui, setup: &Setup, index: usize) -> bool {
    let name = &setup.mix.blends[index].name;
    let above = setup.mix.blends.iter().find(|other| other.after.as_ref() == Some(name));
    let button = ui.add_enabled(above.is_none(), egui::Button::new(RichText::new("Remove").small()).small());
    let button = match above {
        Some(above) => {
            button.on_disabled_hover_text(format!("\"{}\" builds on it; remove that first", above.name))
        }
        None => button.on_hover_text("Out of the mix; Ctrl+Z brings it back"),
    };
    button.clicked()
}

impl Setup {
    /// One more blend, compared like the others.
    fn add_blend(&mut self, blend: Blend) {
        if let Compared::These(names) = &mut self.scenario.compared {
            names.push(blend.name.clone());
        }
        self.mix.blends.push(blend);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{configured, demo};

    fn names(setup: &Setup) -> Vec<&str> {
        setup.mix.blends.iter().map(|blend| blend.name.as_str()).collect()
    }

    #[test]
    fn a_new_blend_does_nothing_at_first_and_flies() {
        let mut setup = demo("foxglove");
        let before = crate::show::fly(&setup).unwrap();
        let draft = Draft { to: Follower::Throttle, ..Draft::default() };
        setup.add_blend(draft.blend(&setup));
        setup.add_blend(draft.blend(&setup));
        let last: Vec<&str> = names(&setup).split_off(6);
        assert_eq!(last, ["rudder to throttle", "rudder to throttle 2"]);
        let named = Draft { name: " knife-edge pitch ".into(), ..Draft::default() };
        assert_eq!(named.name(&setup), "knife-edge pitch 2");
        assert!(setup.compared("rudder to throttle"));
        assert_eq!(setup.scenario.compared, Compared::All);
        assert_eq!(crate::show::fly(&setup).unwrap().tracks, before.tracks);
    }

    #[test]
    fn only_what_the_model_has_is_offered() {
        let setup = demo("foxglove");
        let rudder = followers(&setup, &Lead::Stick(Stick::Rudder));
        assert!(rudder.contains(&Follower::Flap) && !rudder.contains(&Follower::Rudder));
        assert!(!rudder.contains(&Follower::Door), "it has no door");
        let lead = |name: &str| Lead::Lever(name.into());
        assert!(leads(&setup).contains(&lead("flap")) && !leads(&setup).contains(&lead("door")));
        assert!(!followers(&setup, &lead("flap")).contains(&Follower::Flap));
        let larkspur = demo("larkspur");
        assert!(!leads(&larkspur).contains(&lead("flap")), "it has no flaps");
    }

    #[test]
    fn a_manoeuvre_that_names_its_blends_names_the_new_one_too() {
        let mut setup = configured("slow-roll", "foxglove");
        let blend = Draft::default().blend(&setup);
        setup.add_blend(blend);
        let Compared::These(named) = &setup.scenario.compared else { panic!("{setup:?}") };
        assert_eq!(named[2..], ["rudder to elevator"]);
    }
}
