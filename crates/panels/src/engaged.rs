//! When a blend acts: conditions that must all hold, each of them plain or made of others, how it comes in, and the lever that makes more or less of it.

use crate::flown::number;
use crate::look::Look;
use crate::words::condition;
use egui::{CollapsingHeader, ComboBox, RichText, TextEdit, Ui};
use measure::Stick;
use mix::{Blend, Condition, Tuning};

/// Draws the line that says when `blend` acts, and below it, unfolded, what can be changed about that.
pub(crate) fn engaged(ui: &mut Ui, look: &Look, blend: &mut Blend, rates: &[String]) {
    ui.label(RichText::new(format!("acts {}", summary(blend))).small().color(look.quiet()));
    let title = RichText::new("When it acts").small();
    let header = CollapsingHeader::new(title).id_salt(("acts", &blend.name));
    header.show(ui, |ui| {
        let mut conditions = parts(&blend.engaged);
        let before = conditions.clone();
        group(ui, &mut conditions, rates, "Only also ...");
        if conditions != before {
            blend.engaged = together(conditions);
        }
        number(ui, "Comes in over", &mut blend.fade, "s", 0.02, 2, 0.0..=10.0);
        number(ui, "Follower takes", &mut blend.slow, "s", 0.02, 2, 0.0..=10.0);
        tuned(ui, &mut blend.tuned);
    });
}

/// `under rates "aloft", coming in over 0.3 s, more or less on spare 1`.
fn summary(blend: &Blend) -> String {
    let mut text = condition(&blend.engaged);
    if blend.fade > 0.0 {
        text += &format!(", coming in over {} s", report::signed::decimal(blend.fade, 1));
    }
    if let Some(tuning) = &blend.tuned {
        text += &format!(", more or less on {}", tuning.lever);
    }
    text
}

/// The conditions that must all hold.
fn parts(whole: &Condition) -> Vec<Condition> {
    match whole {
        Condition::Always => Vec::new(),
        Condition::All(parts) => parts.clone(),
        one => vec![one.clone()],
    }
}

fn together(mut parts: Vec<Condition>) -> Condition {
    match parts.len() {
        0 => Condition::Always,
        1 => parts.remove(0),
        _ => Condition::All(parts),
    }
}

/// Conditions below each other, to be changed, taken out and added to.
fn group(ui: &mut Ui, conditions: &mut Vec<Condition>, rates: &[String], more: &str) {
    let mut i = 0;
    conditions.retain_mut(|part| {
        i += 1;
        ui.push_id(i, |ui| row(ui, part, rates)).inner
    });
    let mut chosen = None;
    ui.menu_button(more, |ui| chosen = offered(ui, rates));
    conditions.extend(chosen);
}

/// One condition, to be changed; whether it stays.
fn row(ui: &mut Ui, part: &mut Condition, rates: &[String]) -> bool {
    match part {
        Condition::Any(members) => {
            let before = members.len();
            inside(ui, "At least one of", |ui| group(ui, members, rates, "Or also ..."));
            return reduced(part, before);
        }
        Condition::All(members) => {
            let before = members.len();
            inside(ui, "All of", |ui| group(ui, members, rates, "And also ..."));
            return reduced(part, before);
        }
        Condition::Not(inner) => {
            let before = matches!(&**inner, Condition::Not(_));
            let stays = inside(ui, "Not", |ui| row(ui, inner, rates));
            // turned round twice is as it was
            if let Condition::Not(twice) = &**inner
                && !before
            {
                *part = (**twice).clone();
            }
            return stays;
        }
        Condition::Rates(name) => {
            ui.horizontal(|ui| {
                ui.label(RichText::new("Under rates").small());
                let combo = ComboBox::from_id_salt("rates").width(room(ui));
                combo.selected_text(name.clone()).show_ui(ui, |ui| {
                    for known in rates {
                        ui.selectable_value(name, known.clone(), known);
                    }
                });
            });
        }
        Condition::Switch { name, is } => {
            word(ui, "Switch", name);
            word(ui, "stands at", is);
        }
        Condition::StickAbove { stick, threshold } => {
            limit(ui, &format!("{} above", stick.word()), threshold, -1.0)
        }
        Condition::StickBelow { stick, threshold } => {
            limit(ui, &format!("{} below", stick.word()), threshold, -1.0)
        }
        Condition::LeverAbove { name, threshold } => {
            word(ui, "Lever", name);
            limit(ui, "above", threshold, 0.0);
        }
        Condition::LeverBelow { name, threshold } => {
            word(ui, "Lever", name);
            limit(ui, "below", threshold, 0.0);
        }
        Condition::Always => {
            ui.label("always");
        }
    }
    ui.horizontal_wrapped(|ui| {
        let stays = !ui.small_button("Without this condition").clicked();
        if ui.small_button("Not").on_hover_text("The opposite of it").clicked() {
            *part = Condition::Not(Box::new(part.clone()));
        }
        ui.menu_button("Or ...", |ui| {
            if let Some(other) = offered(ui, rates) {
                *part = Condition::Any(vec![part.clone(), other]);
            }
        });
        stays
    })
    .inner
}

fn inside<R>(ui: &mut Ui, words: &str, contents: impl FnOnce(&mut Ui) -> R) -> R {
    ui.label(RichText::new(words).small());
    ui.indent(words, contents).inner
}

/// A group that is down to one is that one; whether anything is left of it. As its file has it, it stays.
fn reduced(group: &mut Condition, before: usize) -> bool {
    let (Condition::Any(members) | Condition::All(members)) = group else { return true };
    let some = !members.is_empty();
    if members.len() == 1 && before > 1 {
        *group = members.remove(0);
    }
    some
}

fn limit(ui: &mut Ui, name: &str, threshold: &mut f64, least: f64) {
    let mut percent = 100.0 * *threshold;
    if number(ui, name, &mut percent, "%", 0.5, 0, 100.0 * least..=100.0) {
        *threshold = percent / 100.0;
    }
}

/// Width that is left for what stands in a box: a box is wider than what it holds.
pub(crate) fn room(ui: &Ui) -> f32 {
    ui.available_width() - 2.0 * ui.spacing().button_padding.x
}

/// The conditions to choose from; the chosen one.
fn offered(ui: &mut Ui, rates: &[String]) -> Option<Condition> {
    let stick = Stick::Throttle;
    let mut known: Vec<(String, Condition)> = vec![
        ("above half throttle".into(), Condition::StickAbove { stick, threshold: 0.5 }),
        ("below half throttle".into(), Condition::StickBelow { stick, threshold: 0.5 }),
        ("on a switch".into(), Condition::Switch { name: "blend".into(), is: "on".into() }),
        ("above half of a lever".into(), Condition::LeverAbove { name: "spare 1".into(), threshold: 0.5 }),
        ("below half of a lever".into(), Condition::LeverBelow { name: "spare 1".into(), threshold: 0.5 }),
    ];
    known
        .extend(rates.iter().map(|name| (format!("under rates \"{name}\""), Condition::Rates(name.clone()))));
    let mut chosen = None;
    for (words, condition) in known {
        if ui.button(words).clicked() {
            chosen = Some(condition);
            ui.close();
        }
    }
    chosen
}

/// The lever that makes more or less of a blend.
fn tuned(ui: &mut Ui, tuned: &mut Option<Tuning>) {
    let mut on = tuned.is_some();
    if ui.checkbox(&mut on, "More or less on a lever").changed() {
        *tuned = on.then(|| Tuning { lever: "spare 1".into(), least: 0.0, most: 2.0 });
    }
    let Some(tuning) = tuned else { return };
    word(ui, "Lever", &mut tuning.lever);
    for (name, factor) in [("of it at one end", &mut tuning.least), ("of it at the other", &mut tuning.most)]
    {
        let mut percent = 100.0 * *factor;
        if number(ui, name, &mut percent, "%", 1.0, 0, -300.0..=300.0) {
            *factor = percent / 100.0;
        }
    }
}

/// A word to be typed; taken when the field is left, and never an empty one: one edit is one step.
fn word(ui: &mut Ui, name: &str, value: &mut String) {
    ui.horizontal(|ui| {
        let label = ui.label(name);
        let id = ui.id().with((name, "typed"));
        let mut typed = ui.data(|data| data.get_temp::<String>(id)).unwrap_or_else(|| value.clone());
        let edit = TextEdit::singleline(&mut typed).desired_width(room(ui));
        let response = ui.add(edit).labelled_by(label.id);
        if response.lost_focus() {
            if !typed.trim().is_empty() {
                *value = typed.trim().to_owned();
            }
            ui.data_mut(|data| data.remove::<String>(id));
        } else if response.has_focus() {
            ui.data_mut(|data| data.insert_temp(id, typed));
        }
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn conditions_are_taken_apart_and_put_together_again() {
        let rates = Condition::Rates("aloft".into());
        let switch = Condition::Switch { name: "spin".into(), is: "on".into() };
        for whole in [Condition::Always, rates.clone(), Condition::All(vec![rates.clone(), switch])] {
            assert_eq!(together(parts(&whole)), whole);
        }
        assert_eq!(together(Vec::new()), Condition::Always);
        assert_eq!(together(vec![rates.clone()]), rates);
    }
}
