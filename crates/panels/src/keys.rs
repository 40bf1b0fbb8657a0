//! Keys: the same table drives them and fills the help.

use crate::state::{Ask, State};
use crate::view::Eye;
use crate::why;
use crate::{hand_levers, key_sticks};
use egui::{Key, KeyboardShortcut, Modifiers, Ui};

/// A key and what it does.
struct Binding {
    key: KeyboardShortcut,
    words: &'static str,
    act: fn(&mut State),
}

const fn plain(key: Key, words: &'static str, act: fn(&mut State)) -> Binding {
    Binding { key: KeyboardShortcut::new(Modifiers::NONE, key), words, act }
}

const fn with(modifiers: Modifiers, key: Key, words: &'static str, act: fn(&mut State)) -> Binding {
    Binding { key: KeyboardShortcut::new(modifiers, key), words, act }
}

/// Ticks of a long step.
const LONG_STEP: i32 = 10;

/// What changes the set-up or shows something about it: not while flying by hand. The longer combinations stand first:
/// a shorter one would swallow them.
const EDITING: &[Binding] = &[
    with(Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::Z, "redo", State::redo),
    with(Modifiers::COMMAND, Key::Z, "undo", State::undo),
    with(Modifiers::COMMAND, Key::Y, "redo", State::redo),
    with(Modifiers::COMMAND, Key::S, "save what was changed", |s| s.asks.push(Ask::Save)),
    plain(Key::F, "fold or unfold what is flown", |s| s.open.flown = !s.open.flown),
    plain(Key::B, "fold or unfold the blends", |s| s.open.blends = !s.open.blends),
    plain(Key::W, "why a blend is needed", |s| why::toggle(s, None)),
    plain(Key::T, "the tour: every manoeuvre of the club, until Esc", State::start_tour),
    plain(Key::Y, "fly it yourself", |s| s.asks.push(Ask::Fly)),
];

/// While flying by hand, besides the sticks.
const FLYING: &[Binding] = &[
    with(Modifiers::COMMAND, Key::S, "save the flight as a recording", |s| s.asks.push(Ask::SaveFlight)),
    plain(Key::Space, "begin or pause; after the flight: play or pause", State::fly_or_play),
    plain(Key::Q, "blends in or out", State::switch_blends),
    plain(Key::Backspace, "from the entry again", State::fly_again),
    plain(Key::Y, "back to the manoeuvre", State::land),
];

/// Always.
const SEEING: &[Binding] = &[
    with(Modifiers::SHIFT, Key::ArrowLeft, "ten steps back", |s| s.clock.step(-LONG_STEP)),
    with(Modifiers::SHIFT, Key::ArrowRight, "ten steps on", |s| s.clock.step(LONG_STEP)),
    plain(Key::Space, "play or pause", |s| s.clock.toggle()),
    plain(Key::ArrowLeft, "one step back", |s| s.clock.step(-1)),
    plain(Key::ArrowRight, "one step on", |s| s.clock.step(1)),
    plain(Key::Home, "to the beginning", |s| s.clock.scrub(0.0)),
    plain(Key::End, "to the end", |s| s.clock.scrub(f64::MAX)),
    plain(Key::Minus, "slower", |s| s.clock.hurry(0.5)),
    plain(Key::Plus, "faster", |s| s.clock.hurry(2.0)),
    plain(Key::Equals, "faster", |s| s.clock.hurry(2.0)),
    plain(Key::L, "loop", |s| s.clock.looped = !s.clock.looped),
    plain(Key::Num1, "see from the pilot station", |s| s.view.look_from(Eye::Pilot)),
    plain(Key::Num2, "follow behind", |s| s.view.look_from(Eye::Chase)),
    plain(Key::Num3, "sit on the tail", |s| s.view.look_from(Eye::Tail)),
    plain(Key::Num4, "see from above", |s| s.view.look_from(Eye::Top)),
    plain(Key::Num5, "see from the side", |s| s.view.look_from(Eye::Side)),
    plain(Key::Num6, "look around freely", |s| s.view.look_from(Eye::Free)),
    plain(Key::C, "fold or unfold the charts", |s| s.open.strips = !s.open.strips),
    plain(Key::D, "paper or slate", State::turn_ground),
    plain(Key::Comma, "smaller text", |s| s.resize_text(-0.1)),
    plain(Key::Period, "larger text", |s| s.resize_text(0.1)),
    plain(Key::P, "save a picture of the window", |s| s.asks.push(Ask::Picture)),
    plain(Key::F11, "full screen and back", |s| s.asks.push(Ask::FullScreen)),
    plain(Key::F1, "help", |s| s.open.help = !s.open.help),
    plain(Key::Escape, "close help and hint", State::close),
    with(Modifiers::COMMAND, Key::Q, "close the window", |s| s.asks.push(Ask::Quit)),
];

/// Acts on the keys of this frame; nothing while something is being typed.
pub(crate) fn keys(ui: &Ui, state: &mut State) {
    if ui.ctx().egui_wants_keyboard_input() {
        return;
    }
    let first = if state.flying.is_some() { FLYING } else { EDITING };
    for binding in first.iter().chain(SEEING) {
        if ui.input_mut(|input| input.consume_shortcut(&binding.key)) {
            (binding.act)(state);
        }
    }
}

/// Each key with what it does, as shown in the help: in the manoeuvre, and while flying by hand.
pub(crate) fn table(ui: &Ui, flying: bool) -> Vec<(String, &'static str)> {
    let first = if flying { FLYING } else { EDITING };
    let shown = |b: &Binding| (ui.ctx().format_shortcut(&b.key), b.words);
    let sticks = key_sticks::table().chain(hand_levers::table()).filter(|_| flying);
    // Space has its own meaning while flying
    let others = SEEING.iter().filter(|b| first.iter().all(|f| f.key != b.key));
    sticks.chain(first.iter().chain(others).map(shown)).collect()
}
