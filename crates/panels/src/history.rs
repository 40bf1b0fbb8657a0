//! Undo and redo: a stack of values.

use crate::setup::Setup;

/// Earlier and later setups. One drag is one step, however many values it passed through.
#[derive(Debug, Clone, Default)]
pub struct History {
    past: Vec<Setup>,
    future: Vec<Setup>,
    /// A change is going on: the pointer is still down.
    open: bool,
    /// The latest change was an undo or redo, which is no edit.
    moved: bool,
}

/// Steps that are kept; the oldest are dropped.
const DEPTH: usize = 200;

impl History {
    /// Tells that `before` may have become `now`; `held` while the pointer is down.
    pub fn note(&mut self, before: &Setup, now: &Setup, held: bool) {
        if core::mem::take(&mut self.moved) {
            self.open = false;
        } else if before != now {
            if !self.open {
                self.past.push(before.clone());
                self.future.clear();
                let surplus = self.past.len().saturating_sub(DEPTH);
                self.past.drain(..surplus);
            }
            self.open = held;
        } else if !held {
            self.open = false;
        }
    }

    /// Goes one step back.
    pub fn undo(&mut self, now: &mut Setup) {
        if let Some(earlier) = self.past.pop() {
            self.future.push(core::mem::replace(now, earlier));
            self.moved = true;
        }
    }

    /// Goes one step forward again.
    pub fn redo(&mut self, now: &mut Setup) {
        if let Some(later) = self.future.pop() {
            self.past.push(core::mem::replace(now, later));
            self.moved = true;
        }
    }

    /// Whether there is something to undo.
    #[must_use]
    pub fn can_undo(&self) -> bool {
        !self.past.is_empty()
    }

    /// Whether there is something to redo.
    #[must_use]
    pub fn can_redo(&self) -> bool {
        !self.future.is_empty()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::demo;

    fn at_height(height: f64) -> Setup {
        let mut setup = demo("foxglove");
        setup.scenario.start.height = height;
        setup
    }

    #[test]
    fn a_drag_is_one_step() {
        let (mut history, mut now) = (History::default(), at_height(80.0));
        for height in [81.0, 82.0, 83.0] {
            let next = at_height(height);
            history.note(&now, &next, true);
            now = next;
        }
        history.note(&now, &now, false);
        let next = at_height(90.0);
        history.note(&now, &next, false);
        now = next;
        history.undo(&mut now);
        assert_eq!(now, at_height(83.0));
        history.note(&at_height(90.0), &now, false);
        history.undo(&mut now);
        assert_eq!(now, at_height(80.0));
        assert!(!history.can_undo());
        history.redo(&mut now);
        assert_eq!(now, at_height(83.0));
    }

    #[test]
    fn a_new_change_ends_what_could_be_redone() {
        let (mut history, mut now) = (History::default(), at_height(80.0));
        history.note(&now, &at_height(90.0), false);
        now = at_height(90.0);
        history.undo(&mut now);
        assert!(history.can_redo());
        history.note(&at_height(90.0), &now, false);
        assert!(history.can_redo(), "an undo is no edit");
        history.note(&now, &at_height(70.0), false);
        assert!(!history.can_redo());
    }
}
