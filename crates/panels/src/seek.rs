//! The search for what cancels a blend's coupling: computed on other threads, with its progress, how sure it is, and
//! the way there when it is asked for.

use crate::beside::beside;
use crate::setup::Setup;
use aero::Coefficients;
use airframe::Airframe;
use mix::Shape;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use study::find::{Coupling, Found, Manoeuvre, Options, find_unless};

/// Draws over the tolerances of the measurements and the ranges of the model: how sure is it. Fewer say little about a
/// share of 95 %.
const DRAWS: usize = 64;
/// Their seed.
const SEED: u64 = 1;
/// How long the percentages take to glide to what was found \[s\].
const GLIDE: f64 = 0.5;

/// What a search came to.
pub type Answer = Result<Found, String>;

/// The search for one blend. Dropped, it begins no further draw.
#[derive(Debug, Clone)]
pub struct Seek {
    /// The blend.
    pub blend: String,
    /// The airframe it is about.
    pub airframe: Airframe,
    /// What was found; `None` while it is being computed.
    pub answer: Option<Answer>,
    at: Arc<At>,
    line: Arc<Mutex<Receiver<Answer>>>,
}

/// How far a search is, and whether it is still wanted.
#[derive(Debug, Default)]
struct At {
    draws: usize,
    done: AtomicUsize,
    stop: AtomicBool,
}

/// A blend on its way to what was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Glide {
    blend: String,
    from: Shape,
    to: Shape,
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
        Self::drawing(setup, blend, coupling, DRAWS)
    }

    fn drawing(setup: &Setup, blend: &str, coupling: Coupling, draws: usize) -> Self {
        let (send, line) = channel();
        let at = Arc::new(At { draws, ..At::default() });
        let (airframe, told) = (setup.airframe.clone(), Arc::clone(&at));
        let others: Vec<mix::Blend> = setup.mix.blends.iter().filter(|b| b.name != blend).cloned().collect();
        thread::spawn(move || {
            let progress = |done, _| {
                told.done.fetch_max(done, Ordering::Relaxed);
            };
            let options = Options { progress: &progress, draws, seed: SEED, blends: &others };
            let found = beside(|| {
                find_unless(&airframe, &[coupling], &Coefficients::default(), &options, &told.stop)
            });
            let one = found.map_err(|fault| fault.to_string()).and_then(|mut findings| {
                findings.found.pop().ok_or_else(|| format!("{} shows no {}", airframe.name, coupling.name()))
            });
            // nobody may be waiting any more: then the answer is not needed
            let _ = send.send(one);
        });
        let airframe = setup.airframe.clone();
        Self { blend: blend.to_owned(), airframe, answer: None, at, line: Arc::new(Mutex::new(line)) }
    }

    /// Share of the draws that are done.
    #[must_use]
    pub fn progress(&self) -> f32 {
        self.at.done.load(Ordering::Relaxed) as f32 / self.at.draws as f32
    }

    /// Lets no further draw begin.
    pub fn cancel(&self) {
        self.at.stop.store(true, Ordering::Relaxed);
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

    /// What to fly: what was found, or the blend at nothing where none is advised; `None` while it is not known.
    #[must_use]
    pub fn shape(&self) -> Option<Shape> {
        let Some(Ok(found)) = &self.answer else { return None };
        Some(found.advised().unwrap_or(Shape::TwoSided { left: 0.0, right: 0.0 }))
    }
}

impl Glide {
    /// From where the blend stands to `to`; `None` for a blend that is not there.
    #[must_use]
    pub fn start(setup: &Setup, blend: &str, to: Shape) -> Option<Self> {
        Some(Self { blend: blend.to_owned(), from: setup.shape(blend)?.clone(), to, elapsed: 0.0 })
    }

    /// Lets `seconds` pass; whether it is still on its way.
    pub fn advance(&mut self, setup: &mut Setup, seconds: f64) -> bool {
        self.elapsed = (self.elapsed + seconds).min(GLIDE);
        let t = self.elapsed / GLIDE;
        if let Some(blend) = setup.mix.blends.iter_mut().find(|b| b.name == self.blend) {
            blend.shape = between(&self.from, &self.to, t * t * (3.0 - 2.0 * t));
        }
        t < 1.0
    }
}

/// Part of the way from one shape to another, in the form of the other; at the end that itself, to the bit.
fn between(from: &Shape, to: &Shape, t: f64) -> Shape {
    let on_the_way =
        |lead: f64, goal: f64| if t >= 1.0 { goal } else { from.follower(lead) * (1.0 - t) + goal * t };
    match to {
        Shape::TwoSided { left, right } => {
            Shape::TwoSided { left: on_the_way(-1.0, *left), right: on_the_way(1.0, *right) }
        }
        Shape::Curve(points) => {
            Shape::Curve(points.iter().map(|&(lead, goal)| (lead, on_the_way(lead, goal))).collect())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::demo;

    fn sought(setup: &Setup, name: &str) -> Seek {
        let mut seek = Seek::drawing(setup, name, coupling(setup, name).unwrap(), 16);
        while seek.poll() {
            thread::yield_now();
        }
        seek
    }

    #[test]
    fn what_is_found_is_glided_to_and_keeps_the_wings_where_they_are() {
        // certain on both sides, as Foxglove's is not
        let mut setup = demo("teasel");
        let name = "knife-edge roll";
        let blend = setup.mix.blends.iter_mut().find(|b| b.name == name).unwrap();
        blend.shape = Shape::TwoSided { left: 0.0, right: 0.0 };
        let seek = sought(&setup, name);
        assert_eq!(seek.progress(), 1.0);
        let found = seek.shape().unwrap();
        assert!(found.follower(1.0) < -0.05, "right rudder wants left aileron, {found:?}");
        let rolled = |setup: &Setup| {
            crate::show::fly(setup).unwrap().run.unwrap().flights[1].verdict.headline.roll.abs()
        };
        let before = rolled(&setup);
        let mut glide = Glide::start(&setup, name, found.clone()).unwrap();
        while glide.advance(&mut setup, 0.1) {}
        assert_eq!(setup.shape(name), Some(&found));
        let after = rolled(&setup);
        assert!(after < 0.5 * before, "{before} {after}");
    }

    #[test]
    fn a_direction_that_is_not_certain_is_flown_without() {
        let setup = demo("larkspur");
        let seek = sought(&setup, "knife-edge pitch");
        let found = seek.answer.as_ref().unwrap().as_ref().unwrap();
        assert_eq!((found.verdict, found.advised()), (study::find::Verdict::Unsure, None));
        assert_eq!(seek.shape(), Some(Shape::TwoSided { left: 0.0, right: 0.0 }));
    }

    #[test]
    fn what_is_found_for_any_blend_of_the_club_makes_a_mix() {
        for name in ["foxglove", "bramble"] {
            let setup = demo(name);
            for blend in &setup.mix.blends {
                let Some(coupling) = coupling(&setup, &blend.name) else { continue };
                let mut seek = Seek::drawing(&setup, &blend.name, coupling, 2);
                while seek.poll() {
                    thread::yield_now();
                }
                let Some(shape) = seek.shape() else {
                    assert!(matches!(seek.answer, Some(Err(_))), "{name}, {}: {:?}", blend.name, seek.answer);
                    continue;
                };
                let mix = setup.mix.with_shape(&blend.name, shape).unwrap();
                assert!(mix::Program::try_from(&mix).is_ok(), "{name}, {}", blend.name);
            }
        }
    }

    #[test]
    fn a_cancelled_search_ends_at_once() {
        let setup = demo("foxglove");
        let name = setup.mix.blends[0].name.clone();
        let mut seek = Seek::start(&setup, &name, coupling(&setup, &name).unwrap());
        seek.cancel();
        while seek.poll() {
            thread::yield_now();
        }
        let found = seek.answer.unwrap().unwrap();
        assert_eq!(found.sides[1].unwrap().sure, None, "no draw was begun");
    }

    #[test]
    fn a_shape_changes_its_form_on_the_way() {
        let straight = Shape::TwoSided { left: 0.04, right: 0.08 };
        let curve = Shape::Curve(vec![(-1.0, 0.0), (0.5, 0.02), (1.0, 0.1)]);
        let half = between(&straight, &curve, 0.5);
        assert!((half.follower(-1.0) - 0.02).abs() < 1e-12 && (half.follower(0.5) - 0.03).abs() < 1e-12);
        assert_eq!(between(&straight, &curve, 1.0), curve);
        assert_eq!(between(&curve, &straight, 1.0), straight);
    }
}
