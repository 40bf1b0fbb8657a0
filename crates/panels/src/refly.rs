//! Live re-flying: a worker that always flies the newest setup. Jobs that were overtaken are
//! dropped. While jobs follow each other they are sketched, and flown whole once they pause.

use crate::setup::Setup;
use crate::show::{Show, fly, quickly};
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::thread;
use std::time::Duration;

/// Counts what was asked for: the newest wins.
pub type Generation = u64;

/// What came of a job.
pub type Outcome = Result<Arc<Show>, String>;

/// A drag that pauses for so long is over.
const PAUSE: Duration = Duration::from_millis(200);

/// The worker as its owner sees it.
#[derive(Debug)]
pub struct Refly {
    desk: Arc<Desk>,
    done: Receiver<(Generation, Outcome)>,
    asked: Generation,
    seen: Generation,
}

/// Where the newest job lies until the worker takes it.
#[derive(Debug, Default)]
struct Desk {
    slot: Mutex<Slot>,
    filled: Condvar,
}

#[derive(Debug, Default)]
struct Slot {
    job: Option<(Generation, Setup)>,
    closed: bool,
}

/// What the worker does next.
enum Next {
    /// Fly this.
    Job(Generation, Box<Setup>),
    /// Nothing was asked for during [`PAUSE`].
    Pause,
    /// The owner is gone.
    Close,
}

impl Refly {
    /// Starts the worker; `wake` is called after every result, from the worker's thread.
    #[must_use]
    pub fn start(wake: impl Fn() + Send + 'static) -> Self {
        let desk = Arc::new(Desk::default());
        let (send, done) = channel();
        let at_work = Arc::clone(&desk);
        thread::spawn(move || work(&at_work, &send, &wake));
        Self { desk, done, asked: 0, seen: 0 }
    }

    /// Asks for a setup to be flown; a job that nobody has begun is dropped for it.
    pub fn ask(&mut self, setup: &Setup) {
        self.asked += 1;
        self.desk.lock().job = Some((self.asked, setup.clone()));
        self.desk.filled.notify_one();
    }

    /// The newest result since the last call, if there is one.
    pub fn take(&mut self) -> Option<Outcome> {
        let mut newest = None;
        loop {
            match self.done.try_recv() {
                Ok((generation, outcome)) if generation >= self.seen => {
                    self.seen = generation;
                    newest = Some(outcome);
                }
                Ok(_) => {}
                Err(TryRecvError::Empty | TryRecvError::Disconnected) => return newest,
            }
        }
    }

    /// Whether something that was asked for has not come back.
    #[must_use]
    pub const fn busy(&self) -> bool {
        self.seen < self.asked
    }
}

impl Drop for Refly {
    fn drop(&mut self) {
        self.desk.lock().closed = true;
        self.desk.filled.notify_one();
    }
}

impl Desk {
    /// A slot is whole after every assignment, so a panic elsewhere leaves nothing half done.
    fn lock(&self) -> std::sync::MutexGuard<'_, Slot> {
        self.slot.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Waits for the next job, or for as long as a pause takes if that is of interest.
    fn next(&self, or_pause: bool) -> Next {
        let mut slot = self.lock();
        let mut paused = false;
        loop {
            if slot.closed {
                return Next::Close;
            }
            if let Some((generation, setup)) = slot.job.take() {
                return Next::Job(generation, Box::new(setup));
            }
            if paused {
                return Next::Pause;
            }
            slot = if or_pause {
                let (slot, waited) =
                    self.filled.wait_timeout(slot, PAUSE).unwrap_or_else(PoisonError::into_inner);
                paused = waited.timed_out();
                slot
            } else {
                self.filled.wait(slot).unwrap_or_else(PoisonError::into_inner)
            };
        }
    }
}

fn work(desk: &Desk, send: &Sender<(Generation, Outcome)>, wake: &impl Fn()) {
    let mut last: Option<Arc<Show>> = None;
    // what was only sketched
    let mut sketched = None;
    loop {
        let (generation, outcome) = match (desk.next(sketched.is_some()), sketched.take()) {
            (Next::Job(generation, setup), _) => {
                match last.as_ref().filter(|l| setup.same_flight(&l.setup)) {
                    Some(last) => {
                        let outcome = quickly(&setup, last);
                        sketched = Some((generation, setup));
                        (generation, outcome)
                    }
                    None => (generation, fly(&setup)),
                }
            }
            (Next::Pause, Some((generation, setup))) => (generation, fly(&setup)),
            (Next::Pause, None) => continue,
            (Next::Close, _) => return,
        };
        let outcome = outcome.map(Arc::new);
        last = outcome.as_ref().ok().cloned().or(last);
        if send.send((generation, outcome)).is_err() {
            return;
        }
        wake();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{demo, wait};

    #[test]
    fn the_newest_setup_is_flown_and_stale_jobs_are_dropped() {
        let mut refly = Refly::start(|| {});
        let mut setup = demo("foxglove");
        const ASKED: usize = 40;
        for step in 1..=ASKED {
            setup.scenario.start.height = 80.0 + step as f64;
            refly.ask(&setup);
        }
        let mut flown = 0;
        let mut last = None;
        while refly.busy() {
            let show = wait(&mut refly).unwrap();
            let height = show.setup.scenario.start.height;
            assert!(last.is_none_or(|before| before < height), "results never go back");
            (last, flown) = (Some(height), flown + 1);
        }
        assert_eq!(last, Some(80.0 + ASKED as f64));
        assert!(flown < ASKED, "{flown} of {ASKED} jobs were flown");
    }

    #[test]
    fn what_was_sketched_is_flown_whole_once_nothing_is_asked() {
        let mut refly = Refly::start(|| {});
        refly.ask(&demo("foxglove"));
        let first = wait(&mut refly).unwrap();
        let mut setup = demo("foxglove");
        setup.scenario.start.speed = manoeuvre::Speed::Trimmed(0.9);
        refly.ask(&setup);
        let [sketch, whole] = [(); 2].map(|()| wait(&mut refly).unwrap());
        assert!(!refly.busy() && sketch.setup == setup && whole.setup == setup);
        let corrected = |show: &Show| show.run.as_ref().unwrap().flights[1].corrected.clone();
        assert_eq!(corrected(&sketch), corrected(&first), "not flown anew at first");
        assert_ne!(corrected(&whole), corrected(&first));
    }

    #[test]
    fn a_setup_that_cannot_fly_does_not_end_the_worker() {
        let mut refly = Refly::start(|| {});
        let mut broken = demo("foxglove");
        broken.airframe.mass.all_up.value = -1.0;
        refly.ask(&broken);
        assert!(wait(&mut refly).is_err());
        refly.ask(&demo("foxglove"));
        assert!(wait(&mut refly).is_ok());
    }
}
