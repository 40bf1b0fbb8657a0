//! Why a coupling is there: taken apart on another thread, and anew when the model is measured anew.

use crate::beside::beside;
use crate::setup::Setup;
use aero::Coefficients;
use airframe::Airframe;
use measure::Side;
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use study::explain::{ExplainError, Explained, explain};
use study::find::Coupling;

/// What came of it.
pub type Taken = Result<Arc<Explained>, String>;

/// The question why, for one blend.
#[derive(Debug, Clone)]
pub struct Reason {
    /// The blend.
    pub blend: String,
    /// What it is there for.
    pub coupling: Coupling,
    /// The newest answer; kept while a newer one is being computed.
    pub taken: Option<Taken>,
    /// Whether the moment at the cursor is shown instead of the whole.
    pub at_cursor: bool,
    /// Whether the model with what turns it is shown over the field.
    pub page: bool,
    /// What the newest question was about.
    airframe: Airframe,
    side: Side,
    /// What would make it smaller is asked for as well.
    cures: bool,
    line: Option<Arc<Mutex<Receiver<Taken>>>>,
}

impl Reason {
    /// Asks why `blend` is needed.
    #[must_use]
    pub fn start(setup: &Setup, blend: &str, coupling: Coupling) -> Self {
        let mut reason = Self {
            blend: blend.to_owned(),
            coupling,
            taken: None,
            at_cursor: false,
            page: false,
            airframe: setup.airframe.clone(),
            side: setup.side,
            cures: false,
            line: None,
        };
        reason.ask();
        reason
    }

    /// Also asks what could be changed on the model instead.
    pub fn ask_cures(&mut self) {
        self.cures = true;
        self.ask();
    }

    fn ask(&mut self) {
        let (send, line) = channel();
        let (airframe, coupling, side, cures) = (self.airframe.clone(), self.coupling, self.side, self.cures);
        thread::spawn(move || {
            let coefficients = Coefficients::default();
            let taken = beside(|| {
                let taken = explain(&airframe, coupling, side, &coefficients)?;
                Ok::<_, ExplainError>(if cures { taken.with_cures(&airframe, &coefficients) } else { taken })
            });
            // nobody may be waiting any more: then the answer is not needed
            let _ = send.send(taken.map(Arc::new).map_err(|fault| fault.to_string()));
        });
        self.line = Some(Arc::new(Mutex::new(line)));
    }

    /// Takes the answer if it has come, and asks anew where the model or the side is another by now.
    pub fn poll(&mut self, setup: &Setup) {
        if let Some(line) = &self.line {
            let answer = line.lock().unwrap_or_else(PoisonError::into_inner).try_recv();
            match answer {
                Ok(taken) => (self.taken, self.line) = (Some(taken), None),
                Err(TryRecvError::Empty) => {}
                Err(TryRecvError::Disconnected) => {
                    let words = "the question ended without an answer".to_owned();
                    (self.taken, self.line) = (Some(Err(words)), None);
                }
            }
        }
        if self.line.is_none() && (setup.airframe != self.airframe || setup.side != self.side) {
            (self.airframe, self.side, self.cures) = (setup.airframe.clone(), setup.side, false);
            self.ask();
        }
    }

    /// Whether an answer is awaited.
    #[must_use]
    pub const fn asking(&self) -> bool {
        self.line.is_some()
    }

    /// Whether the answer that is awaited comes with what to change.
    #[must_use]
    pub const fn asking_cures(&self) -> bool {
        self.asking() && self.cures
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::seek::coupling;
    use crate::testing::demo;

    #[test]
    fn the_answer_follows_the_model() {
        let mut setup = demo("foxglove");
        let mut reason =
            Reason::start(&setup, "knife-edge roll", coupling(&setup, "knife-edge roll").unwrap());
        let wait = |reason: &mut Reason, setup: &Setup| {
            while reason.asking() {
                reason.poll(setup);
                thread::yield_now();
            }
            reason.taken.clone().unwrap().unwrap()
        };
        let before = wait(&mut reason, &setup);
        assert!((before.shares.total() - before.needed).abs() < 1e-9);
        setup.airframe.panels[0].tip.waterline.value -= 0.03;
        reason.poll(&setup);
        assert!(reason.asking());
        let after = wait(&mut reason, &setup);
        assert!(after.needed.abs() < before.needed.abs(), "less dihedral, less roll");
        assert!(after.cures.is_empty());
        reason.ask_cures();
        assert!(!wait(&mut reason, &setup).cures.is_empty());
    }
}
