//! The find button of a blend: computes on another thread which percentage cancels its coupling, says how sure
//! that is, and moves the blend there when asked.

use crate::setup::Setup;
use aero::Coefficients;
use mix::Shape;
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use study::find::{Coupling, Found, Manoeuvre, Options, find};

/// Draws over the tolerances of the measurements and the ranges of the model: how sure is it.
const DRAWS: usize = 24;
/// Their seed.
const SEED: u64 = 1;
/// How long the percentages take to glide to what was found \[s\].
const GLIDE: f64 = 0.6;

/// What a search came to.
pub type Answer = Result<Found, String>;

/// The search for one blend.
#[derive(Debug, Clone)]
pub struct Seek {
    /// The blend.
    pub blend: String,
    /// What was found; `None` while it is being computed.
    pub answer: Option<Answer>,
    line: Arc<Mutex<Receiver<Answer>>>,
}

/// Percentages on their way to what was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Glide {
    blend: String,
    from: (f64, f64),
    to: (f64, f64),
    elapsed: f64,
}

/// The coupling that a blend is there for: by its name, or else by what it moves in the same manner.
#[must_use]
pub(crate) fn coupling(setup: &Setup, blend: &str) -> Option<Coupling> {
    let it = setup.mix.blends.iter().find(|b| b.name == blend)?;
    Coupling::named(blend).or_else(|| {
        let same = |c: &Coupling| {
            c.manoeuvre.lead() == it.from && c.follower == it.to && c.manoeuvre != Manoeuvre::Skid
        };
        Coupling::ALL.into_iter().find(same)
    })
}

impl Seek {
    /// Starts the search for the percentage of `blend`; the other blends of the mix are taken to be at work.
    #[must_use]
    pub fn start(setup: &Setup, blend: &str, coupling: Coupling) -> Self {
        let (send, line) = channel();
        let airframe = setup.airframe.clone();
        let others: Vec<mix::Blend> = setup.mix.blends.iter().filter(|b| b.name != blend).cloned().collect();
        thread::spawn(move || {
            let options = Options { progress: &|_, _| {}, draws: DRAWS, seed: SEED, blends: &others };
            let found = find(&airframe, &[coupling], &Coefficients::default(), &options);
            let one = found.map_err(|fault| fault.to_string()).and_then(|mut findings| {
                findings.found.pop().ok_or_else(|| format!("{} shows no {}", airframe.name, coupling.name()))
            });
            // nobody may be waiting any more: then the answer is not needed
            let _ = send.send(one);
        });
        Self { blend: blend.to_owned(), answer: None, line: Arc::new(Mutex::new(line)) }
    }

    /// Takes the answer if it has come; whether it is still awaited.
    pub fn poll(&mut self) -> bool {
        if self.answer.is_none() {
            match self.line.lock().unwrap_or_else(PoisonError::into_inner).try_recv() {
                Ok(answer) => self.answer = Some(answer),
                Err(TryRecvError::Empty) => {}
                Err(TryRecvError::Disconnected) => {
                    self.answer = Some(Err("the search ended without an answer".to_owned()))
                }
            }
        }
        self.answer.is_none()
    }

    /// The found shares at full left and full right lead; `None` where there is none.
    #[must_use]
    pub fn shares(&self) -> Option<(f64, f64)> {
        let Some(Ok(found)) = &self.answer else { return None };
        let [left, right] = found.sides.map(|side| side.map(|side| side.percent));
        Some((left.unwrap_or_default(), right?))
    }
}

impl Glide {
    /// From where the blend stands to `to`; `None` for a blend that is not two-sided.
    #[must_use]
    pub fn start(setup: &Setup, blend: &str, to: (f64, f64)) -> Option<Self> {
        let Some(&Shape::TwoSided { left, right }) = setup.shape(blend) else { return None };
        Some(Self { blend: blend.to_owned(), from: (left, right), to, elapsed: 0.0 })
    }

    /// Lets `seconds` pass; whether it is still on its way.
    pub fn advance(&mut self, setup: &mut Setup, seconds: f64) -> bool {
        self.elapsed = (self.elapsed + seconds).min(GLIDE);
        let t = self.elapsed / GLIDE;
        // at the end the found value itself, to the bit
        let between = |a: f64, b: f64| if t >= 1.0 { b } else { a + (b - a) * t * t * (3.0 - 2.0 * t) };
        let shares = (between(self.from.0, self.to.0), between(self.from.1, self.to.1));
        let blend = setup.mix.blends.iter_mut().find(|b| b.name == self.blend);
        if let Some(Shape::TwoSided { left, right }) = blend.map(|b| &mut b.shape) {
            (*left, *right) = shares;
        }
        t < 1.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::demo;

    #[test]
    fn what_is_found_is_glided_to_and_straightens_the_path() {
        let mut setup = demo("foxglove");
        for blend in &mut setup.mix.blends[..1] {
            blend.shape = Shape::TwoSided { left: 0.0, right: 0.0 };
        }
        let name = setup.mix.blends[0].name.clone();
        let coupling = coupling(&setup, &name).unwrap();
        assert_eq!(coupling.name(), "knife-edge pitch");
        let mut seek = Seek::start(&setup, &name, coupling);
        while seek.poll() {
            thread::yield_now();
        }
        let found = seek.shares().unwrap();
        assert!(found.1 > 0.02, "Foxglove tucks to the gear: up elevator, {found:?}");
        let mut glide = Glide::start(&setup, &name, found).unwrap();
        while glide.advance(&mut setup, 0.1) {}
        assert_eq!(setup.shape(&name), Some(&Shape::TwoSided { left: found.0, right: found.1 }));
        let v = &crate::show::fly(&setup).unwrap().run.flights;
        assert!(
            v[1].verdict.headline.pitch.abs() < 0.5 * v[0].verdict.headline.pitch.abs(),
            "the nose stays nearer to the line"
        );
    }
}
