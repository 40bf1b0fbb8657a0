//! The window while flying by hand: sticks, what the blends make of them, devices, recordings.

use crate::flying::Phase;
use crate::keys::keys;
use crate::look::Look;
use crate::show::Show;
use crate::state::{Ask, State};
use crate::time::Room;
use crate::window::mouse;
use crate::{hand_levers, help, strips, surfaces, time, verdict};
use egui::{Align, Frame, Layout, Margin, Panel, Rect, RichText, Sense, Ui, vec2};
use flight::Euler;
use measure::{DEG, Stick};
use report::palette::Role;
use report::signed::decimal;

/// Width of the panel at text size 1 \[points\].
const WIDTH: f32 = 232.0;
/// Said in this mode, always.
const SAFETY: &str = "What works in here still needs its ground check and a high first try at the field, by local and \
                      club rules.";
/// Less than this is no difference: of angles \[deg\], of heights \[m\].
const SAME: (f64, f64) = (0.5, 0.1);

/// Draws everything and acts on keys and mouse; returns what is left for the field.
pub(crate) fn fly_window(ui: &mut Ui, state: &mut State) -> Rect {
    keys(ui, state);
    hand_levers::switch_keys(ui, state);
    if let Some(flying) = &mut state.flying {
        flying.keys().look(ui);
        flying.lever_keys().look(ui);
    }
    let frame = Frame::new().fill(state.look.paper()).inner_margin(Margin::symmetric(8, 4));
    Panel::left("fly").exact_size(state.look.px(WIDTH)).frame(frame).show(ui, |ui| {
        egui::ScrollArea::vertical().show(ui, |ui| {
            by_hand(ui, state);
            ui.separator();
            surfaces::surfaces(ui, state);
        });
    });
    if state.open.strips {
        Panel::bottom("charts").resizable(false).frame(frame).show(ui, |ui| strips::strips(ui, state));
    }
    Panel::bottom("time").resizable(false).frame(frame).show_separator_line(false).show(ui, |ui| {
        controls(ui, state);
        time::time_line(ui, state);
    });
    Panel::top("verdict").resizable(false).frame(frame).show(ui, |ui| verdict::verdict(ui, state));
    let field = ui.available_rect_before_wrap();
    mouse(ui, state, field);
    help::help(ui, state);
    field
}

/// What the row takes at text size 1 after the flight \[points\]: all of it, and with the places of the eye in one button.
const ROW: (f32, f32) = (845.0, 635.0);

fn controls(ui: &mut Ui, state: &mut State) {
    let room = Room::of(&state.look, ui.available_width(), ROW.0, ROW.1);
    ui.horizontal_wrapped(|ui| {
        if state.flying.as_ref().is_some_and(|flying| flying.phase() == Phase::Over) {
            time::playing(ui, state, room);
            ui.separator();
        }
        time::eyes(ui, state, room);
        ui.separator();
        ui.toggle_value(&mut state.open.strips, "Charts");
        ui.toggle_value(&mut state.open.help, "Help");
    });
    time::said(ui, state);
}

fn by_hand(ui: &mut Ui, state: &mut State) {
    ui.add_space(state.look.px(4.0));
    ui.heading("Fly it yourself");
    ui.label(RichText::new(SAFETY).small().color(state.look.quiet()));
    flight(ui, state);
    ui.separator();
    sticks(ui, state);
    ui.separator();
    hand_levers::levers(ui, state);
    ui.separator();
    hands(ui, state);
    ui.separator();
    recordings(ui, state);
}

/// Begin, pause, again, back; blends in or out.
fn flight(ui: &mut Ui, state: &mut State) {
    let Some(flying) = &state.flying else { return };
    let (phase, blends) = (flying.phase(), flying.blends);
    let names = flying.switched().join(", ");
    ui.horizontal_wrapped(|ui| {
        let word = match phase {
            Phase::Waiting => Some("Begin"),
            Phase::Aloft => Some("Hold"),
            Phase::Over => None,
        };
        if word.is_some_and(|word| ui.button(word).clicked()) {
            state.fly_or_play();
        }
        if ui.button("From the entry").clicked() {
            state.fly_again();
        }
        if ui.button("Back to the manoeuvre").clicked() {
            state.land();
        }
    });
    if names.is_empty() {
        ui.label("There is no blend to switch: both models are one.");
    } else if phase != Phase::Over {
        let mut on = blends;
        let switch = ui.checkbox(&mut on, "Blends in (Q)").on_hover_text(names);
        if switch.changed() {
            state.switch_blends();
        }
    }
}

/// Where the sticks stand at the cursor, and where that took the two models.
fn sticks(ui: &mut Ui, state: &State) {
    let Some(show) = &state.show else { return };
    let time = state.clock.time;
    let Some(sample) = show.tracks[1].sample(time) else { return };
    for stick in Stick::ALL {
        let at = sample.sticks[stick as usize];
        let (low, high) = stick.range();
        ui.horizontal(|ui| {
            ui.label(RichText::new(stick.word()).small());
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                ui.label(RichText::new(stands(stick, at)).small());
                bar(ui, &state.look, ((at - low) / (high - low)) as f32, (-low / (high - low)) as f32);
            });
        });
    }
    ui.add_space(state.look.px(4.0));
    ui.label(RichText::new("With the blends, against the ghost").family(crate::look::strong()));
    for words in differences(show, time) {
        ui.label(RichText::new(words).small());
    }
}

/// A stick in the pilot's words.
fn stands(stick: Stick, at: f64) -> String {
    let percent = decimal(100.0 * at.abs(), 0);
    let way = match (stick, at > 0.0) {
        (Stick::Throttle, _) => return format!("{percent} %"),
        _ if percent == "0" => return "middle".to_owned(),
        (Stick::Elevator, true) => "back",
        (Stick::Elevator, false) => "forward",
        (_, true) => "right",
        (_, false) => "left",
    };
    format!("{percent} % {way}")
}

/// A line filled from `rest` to `at`, shares of its length.
fn bar(ui: &mut Ui, look: &Look, at: f32, rest: f32) {
    let (area, _) = ui.allocate_exact_size(vec2(look.px(64.0), look.px(8.0)), Sense::hover());
    let x = |share: f32| egui::lerp(area.left()..=area.right(), share);
    let middle = area.center().y;
    let stroke = egui::Stroke::new(1.0, look.quiet());
    ui.painter().hline(area.x_range(), middle, stroke);
    ui.painter().vline(x(rest), area.y_range(), stroke);
    let ends = egui::Rangef::new(x(at.min(rest)), x(at.max(rest)));
    ui.painter().hline(ends, middle, egui::Stroke::new(look.px(4.0), look.role(Role::WithBlend)));
}

/// Heading, bank and height of the solid model against the ghost, in words.
fn differences(show: &Show, time: f64) -> [String; 3] {
    let [ghost, solid] = [0, 1].map(|i| {
        let pose = show.tracks[i].at(time);
        (Euler::from_attitude(&pose.attitude), -pose.position.z)
    });
    let turned = |to: f64, from: f64| (to - from + 180.0).rem_euclid(360.0) - 180.0;
    let aside = |word: &str, degrees: f64| match degrees {
        d if d.abs() < SAME.0 => format!("{word}: the same"),
        d => {
            format!("{word}: {} deg further {}", decimal(d.abs(), 0), if d > 0.0 { "right" } else { "left" })
        }
    };
    let higher = solid.1 - ghost.1;
    [
        aside("heading", turned(solid.0.yaw / DEG, ghost.0.yaw / DEG)),
        aside("bank", turned(solid.0.roll / DEG, ghost.0.roll / DEG)),
        match higher {
            h if h.abs() < SAME.1 => "height: the same".to_owned(),
            h => format!("height: {} m {}", decimal(h.abs(), 1), if h > 0.0 { "higher" } else { "lower" }),
        },
    ]
}

/// What the sticks are: keys or a device, and how that is read.
fn hands(ui: &mut Ui, state: &mut State) {
    let quiet = state.look.quiet();
    let small = |words: &str| RichText::new(words).small().color(quiet);
    if let Some(said) = &state.devices.said {
        ui.label(RichText::new(said).color(state.look.role(Role::Limit)));
    }
    if state.devices.learn.is_some() {
        questions(ui, state);
        return;
    }
    match (state.devices.name().map(str::to_owned), state.devices.mapping().is_some()) {
        (None, _) => {
            ui.label(small(
                "Keys: J K ailerons, I M elevator, A S rudder, X E throttle. A gamepad, or a transmitter in its USB \
                 joystick mode, is seen when it is plugged in.",
            ));
        }
        (Some(name), false) => {
            ui.label(format!("\"{name}\" is plugged in, but it is not known which axis is which stick: until then the keys fly."));
            ask(ui, state, "Show it the sticks");
        }
        (Some(name), true) => {
            ui.label(format!("Sticks: \"{name}\""));
            let unheard: Vec<&str> = state.devices.unheard().into_iter().map(Stick::word).collect();
            if !unheard.is_empty() {
                let words = format!(
                    "not heard of yet: {}; move it once, until then it stands at rest",
                    unheard.join(", ")
                );
                ui.label(RichText::new(words).small().color(state.look.role(Role::Limit)));
            }
            ask(ui, state, "Show it the sticks again");
        }
    }
}

fn ask(ui: &mut Ui, state: &mut State, words: &str) {
    if ui.button(words).clicked() {
        state.pause_flying();
        state.devices.ask();
    }
}

fn questions(ui: &mut Ui, state: &mut State) {
    let Some(learn) = &state.devices.learn else { return };
    ui.label(RichText::new(learn.question()).family(crate::look::strong()));
    if let Some(button) = learn.pressed() {
        ui.label(format!("button {}", button + 1));
    }
    if let Some(said) = &learn.said {
        ui.label(RichText::new(said).color(state.look.role(Role::Limit)));
    }
    ui.horizontal(|ui| {
        if ui.button("Next").clicked() && state.devices.answered() {
            state.asks.push(Ask::KeepDevices);
        }
        if ui.button("Leave it").clicked() {
            state.devices.learn = None;
        }
    });
}

fn recordings(ui: &mut Ui, state: &mut State) {
    let flown = state.flying.as_ref().is_some_and(|flying| !flying.grips().is_empty() && !flying.replayed());
    if ui.add_enabled(flown, egui::Button::new("Save this flight")).clicked() {
        state.asks.push(Ask::SaveFlight);
    }
    ui.horizontal(|ui| {
        let label = ui.label(RichText::new("recording").small());
        let width = ui.available_width() - state.look.px(98.0);
        ui.add(egui::TextEdit::singleline(&mut state.replayed).desired_width(width)).labelled_by(label.id);
        let named = !state.replayed.trim().is_empty();
        if ui.add_enabled(named, egui::Button::new("See again")).clicked() {
            state.asks.push(Ask::Replay(state.replayed.trim().to_owned()));
        }
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sticks_are_told_in_the_pilots_words() {
        assert_eq!(stands(Stick::Elevator, 0.25), "25 % back");
        assert_eq!(stands(Stick::Elevator, -1.0), "100 % forward");
        assert_eq!(stands(Stick::Rudder, -0.5), "50 % left");
        assert_eq!(stands(Stick::Aileron, 0.001), "middle");
        assert_eq!(stands(Stick::Throttle, 0.0), "0 %");
    }
}
