//! Wakes a window at rest when a gamepad or transmitter is plugged in or moved: the window itself looks at them only
//! while it is awake.

use gilrs::{EventType, Gilrs};
use std::thread;
use std::time::Duration;

/// From this change on a hand has moved an axis, of -1 to 1: worn sticks tremble by themselves.
const MOVED: f32 = 0.1;
/// What was plugged in was no gamepad: until the next look.
const PAUSE: Duration = Duration::from_millis(50);

/// Calls `wake` from a thread of its own, for as long as the program runs.
pub(crate) fn watch(wake: impl Fn() + Send + 'static) {
    thread::spawn(move || {
        // where the system has no gamepads there is nothing to wait for
        let Ok(mut gilrs) = Gilrs::new() else { return };
        let mut axes = Axes::default();
        loop {
            let Some(event) = gilrs.next_event_blocking(None) else {
                thread::sleep(PAUSE);
                continue;
            };
            let by_hand = match event.event {
                EventType::AxisChanged(_, at, code) | EventType::ButtonChanged(_, at, code) => {
                    axes.moved((event.id.into(), code.into_u32()), at)
                }
                EventType::Dropped | EventType::ForceFeedbackEffectCompleted => false,
                _ => true,
            };
            if by_hand {
                wake();
            }
        }
    });
}

/// Where the axes stood when they last woke the window, each by its device and number.
#[derive(Debug, Default)]
struct Axes(Vec<((usize, u32), f32)>);

impl Axes {
    /// Whether an axis has been moved since it last woke the window; one that is heard of for the first time has.
    fn moved(&mut self, axis: (usize, u32), at: f32) -> bool {
        match self.0.iter_mut().find(|(known, _)| *known == axis) {
            Some((_, before)) if (at - *before).abs() < MOVED => false,
            Some((_, before)) => {
                *before = at;
                true
            }
            None => {
                self.0.push((axis, at));
                true
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_trembling_axis_lets_the_window_rest_and_a_moved_one_does_not() {
        let mut axes = Axes::default();
        assert!(axes.moved((0, 1), 0.02));
        let trembling = (0..100).map(|k| if k % 2 == 0 { 0.05 } else { -0.04 });
        assert!(trembling.into_iter().all(|at| !axes.moved((0, 1), at)));
        assert!(axes.moved((0, 1), 0.2) && !axes.moved((0, 1), 0.15));
        assert!(axes.moved((1, 1), 0.15), "another device");
        // slowly, but on and on
        let woken = (0..100).filter(|k| axes.moved((0, 1), 0.2 + 0.008 * *k as f32)).count();
        assert!((5..=8).contains(&woken), "{woken}");
    }
}
