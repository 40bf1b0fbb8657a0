//! Sticks for those who have only keys: they go out and spring back at a finite pace; the throttle stays.

use egui::{Key, Ui};
use measure::Stick;

/// Pace towards the stop, half travels per second: from memory, no source.
const OUT: f64 = 2.5;
/// Pace back to the middle.
const BACK: f64 = 5.0;
/// Pace of the throttle, travels per second.
const THROTTLE: f64 = 0.6;

/// For each stick the keys that move it left, forward or down, and right, back or up; none of them does anything else
/// in the window.
const KEYS: [(Stick, Key, Key, &str); 4] = [
    (Stick::Aileron, Key::J, Key::K, "ailerons left, right"),
    (Stick::Elevator, Key::I, Key::M, "elevator stick forward, back"),
    (Stick::Rudder, Key::A, Key::S, "rudder left, right"),
    (Stick::Throttle, Key::X, Key::E, "less throttle, more"),
];

/// Sticks that keys move.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct KeySticks {
    /// Where they stand, in the order of [`Stick::ALL`].
    pub(crate) at: [f64; 4],
    /// Which way keys push them: -1, 0 or 1.
    pub(crate) pushed: [i8; 4],
}

impl KeySticks {
    /// Where they are given, and let go: they spring back, but for the throttle.
    pub(crate) const fn new(at: [f64; 4]) -> Self {
        Self { at, pushed: [0; 4] }
    }

    /// Looks which keys are down; none while something is being typed or Ctrl is held.
    pub(crate) fn look(&mut self, ui: &Ui) {
        let typing = ui.ctx().egui_wants_keyboard_input();
        for (stick, low, high, _) in KEYS {
            self.pushed[stick as usize] = ui.input(|input| {
                let down = |key| !typing && !input.modifiers.command && input.key_down(key);
                i8::from(down(high)) - i8::from(down(low))
            });
        }
    }

    /// Lets `seconds` pass.
    pub(crate) fn advance(&mut self, seconds: f64) {
        for stick in Stick::ALL {
            let pushed = f64::from(self.pushed[stick as usize]);
            let at = &mut self.at[stick as usize];
            let (low, high) = stick.range();
            *at = if stick == Stick::Throttle {
                (*at + pushed * THROTTLE * seconds).clamp(low, high)
            } else {
                let against = *at * pushed < 0.0;
                let pace = if pushed == 0.0 || against { BACK } else { OUT };
                *at + (pushed - *at).clamp(-pace * seconds, pace * seconds)
            };
        }
    }
}

/// The keys of each stick with what they do, as shown in the help.
pub(crate) fn table() -> impl Iterator<Item = (String, &'static str)> {
    KEYS.iter().map(|(_, low, high, words)| (format!("{} {}", low.name(), high.name()), *words))
}

#[cfg(test)]
mod tests {
    use super::*;

    const AILERON: usize = Stick::Aileron as usize;

    #[test]
    fn a_stick_goes_to_its_stop_and_springs_back() {
        let mut sticks = KeySticks::new([0.0, 0.0, 0.0, 0.4]);
        sticks.pushed[AILERON] = 1;
        sticks.advance(0.2);
        assert!((sticks.at[AILERON] - 0.5).abs() < 1e-12, "two and a half half travels a second");
        sticks.advance(9.0);
        assert_eq!(sticks.at[AILERON], 1.0);
        sticks.pushed[AILERON] = 0;
        sticks.advance(0.1);
        assert!((sticks.at[AILERON] - 0.5).abs() < 1e-12);
        sticks.advance(9.0);
        assert_eq!(sticks.at, [0.0, 0.0, 0.0, 0.4], "the throttle stays where it was");
    }

    #[test]
    fn the_throttle_moves_while_its_key_is_held() {
        let mut sticks = KeySticks::new([0.0, 0.0, 0.0, 0.4]);
        sticks.pushed[Stick::Throttle as usize] = -1;
        sticks.advance(0.5);
        assert!((sticks.at[Stick::Throttle as usize] - 0.1).abs() < 1e-12);
        sticks.advance(0.5);
        assert_eq!(sticks.at[Stick::Throttle as usize], 0.0);
    }
}
