//! A bar on the standard error stream while something takes longer than a second. Off when that
//! is not a terminal; the work does not depend on it.

use std::io::{IsTerminal, Write};
use std::sync::Mutex;
use std::time::{Duration, Instant};

const WIDTH: usize = 30;
/// Nothing is shown before this, and then no more often than [`EVERY`].
const PATIENCE: Duration = Duration::from_secs(1);
const EVERY: Duration = Duration::from_millis(100);

/// The bar; gone when dropped.
pub(crate) struct Progress {
    what: &'static str,
    begun: Instant,
    /// When it was last drawn; `None` before.
    drawn: Mutex<Option<Instant>>,
    terminal: bool,
}

impl Progress {
    /// Counting `what`.
    pub(crate) fn new(what: &'static str) -> Self {
        let terminal = std::io::stderr().is_terminal();
        Self { what, begun: Instant::now(), drawn: Mutex::new(None), terminal }
    }

    /// `done` of `all` are done.
    pub(crate) fn at(&self, done: usize, all: usize) {
        let now = Instant::now();
        if !self.terminal || now - self.begun < PATIENCE {
            return;
        }
        // whoever finds it being drawn goes on working
        let Ok(mut drawn) = self.drawn.try_lock() else { return };
        if drawn.is_none_or(|last| now - last >= EVERY) {
            *drawn = Some(now);
            Self::write(&format!("\r{}", bar(self.what, done, all)));
        }
    }

    /// A terminal that takes no bar is no fault.
    fn write(text: &str) {
        let mut stream = std::io::stderr().lock();
        let _ = stream.write_all(text.as_bytes()).and_then(|()| stream.flush());
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if self.drawn.get_mut().is_ok_and(|drawn| drawn.is_some()) {
            Self::write(&format!("\r{}\r", " ".repeat(WIDTH + self.what.len() + 20)));
        }
    }
}

fn bar(what: &str, done: usize, all: usize) -> String {
    let full = WIDTH * done / all.max(1);
    format!("[{}{}] {done} of {all} {what}", "#".repeat(full), "·".repeat(WIDTH - full))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bar_fills_from_the_left() {
        assert_eq!(bar("flights", 0, 4), format!("[{}] 0 of 4 flights", "·".repeat(30)));
        assert_eq!(bar("flights", 2, 4), format!("[{}{}] 2 of 4 flights", "#".repeat(15), "·".repeat(15)));
        assert_eq!(bar("flights", 4, 4), format!("[{}] 4 of 4 flights", "#".repeat(30)));
    }
}
