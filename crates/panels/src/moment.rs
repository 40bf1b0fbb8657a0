//! What each part of the model does at one moment of a flight, counted in the follower that would cancel it.

use crate::show::Show;
use aero::{Causes, Coefficients, Deflections, Tally, Total};
use airframe::Part;
use flight::{Air, Aircraft, Bench, Controls, Surroundings};
use manoeuvre::{Binding, Sample, bind};
use mix::Follower;
use nalgebra::Vector3;
use std::sync::Arc;
use study::explain::{Halves, Push};

/// Step for the follower's own effect, share of throw.
const STEP: f64 = 0.02;
/// Less than this turns nothing [N m per full throw].
const NOTHING: f64 = 1e-6;

/// A moment of a flight, taken apart. Shares of the follower's full throw, + as it counts.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Moment {
    /// What each part, wings by halves, does more than at the beginning of the flight, and the follower that would cancel it.
    pub(crate) pushes: Vec<Push>,
    /// What stick and blends give more than at the beginning.
    pub(crate) given: f64,
}

impl Moment {
    /// What a part asks for.
    pub(crate) fn asked(&self, part: Part) -> f64 {
        self.pushes.iter().filter(|push| push.part == part).map(|push| push.share).sum()
    }

    /// What all parts ask for.
    pub(crate) fn all(&self) -> f64 {
        Part::ALL.into_iter().map(|part| self.asked(part)).sum()
    }
}

/// A model on which moments are taken apart.
#[derive(Debug, Clone)]
pub(crate) struct Taker {
    /// Whose flights they are.
    pub(crate) show: Arc<Show>,
    aircraft: Aircraft,
    bindings: Vec<Binding>,
    around: Surroundings,
}

impl Taker {
    /// `None` for what cannot fly.
    pub(crate) fn new(show: &Arc<Show>) -> Option<Self> {
        let air = Air::steady(Vector3::from(show.setup.scenario.wind)).ok()?;
        Some(Self {
            show: Arc::clone(show),
            aircraft: Aircraft::new(&show.geometry, &Coefficients::default()).ok()?,
            bindings: bind(&show.geometry).ok()?,
            around: Surroundings { air, ..Surroundings::CALM },
        })
    }

    /// The moment at `time` \[s\] of a flight about the axis of `follower`; `None` where that turns nothing.
    pub(crate) fn at(&self, flight: usize, time: f64, follower: Follower) -> Option<Moment> {
        let axis = match follower {
            Follower::Aileron => 0,
            Follower::Elevator => 1,
            Follower::Rudder => 2,
            _ => return None,
        };
        let track = &self.show.tracks[flight];
        let (start, now) = (track.samples().first()?, track.sample(time)?);
        let given = now.commands.get(follower) - start.commands.get(follower);
        // the surfaces as they stand, but for what the follower has done since the beginning
        let moved = |step: f64| self.moved(now, follower, step - given);
        let moment = |step: f64| self.tally::<Total>(now, &moved(step)).moment[axis];
        let per_throw = (moment(STEP) - moment(-STEP)) / (2.0 * STEP);
        if per_throw.abs() < NOTHING {
            return None;
        }
        let here: Halves = self.tally(now, &moved(0.0));
        let there: Halves = self.tally(start, &start.deflections);
        Some(Moment { pushes: here.pushes(&there, axis, -1.0 / per_throw), given })
    }

    /// Where the surfaces would stand with so much more of the follower.
    fn moved(&self, sample: &Sample, follower: Follower, more: f64) -> Deflections {
        let mut other = sample.commands;
        match follower {
            Follower::Aileron => other.aileron += more,
            Follower::Elevator => other.elevator += more,
            _ => other.rudder += more,
        }
        let mut angles = sample.deflections;
        let surfaces = self.show.geometry.surfaces.iter().zip(&self.bindings);
        for (angle, (surface, binding)) in angles.iter_mut().zip(surfaces) {
            let at = |commands| surface.deflection(binding.share(commands));
            *angle += at(&other) - at(&sample.commands);
        }
        angles
    }

    fn tally<T: Tally + Default>(&self, sample: &Sample, deflections: &Deflections) -> T {
        let controls =
            Controls { deflections: *deflections, throttle: sample.commands.throttle, causes: Causes::ALL };
        let (model, state) = (&self.aircraft.model, &sample.state);
        let at = self.aircraft.instant(state, sample.time, &self.around, &controls);
        let strengths = &state.wake[..model.wing_strips()];
        let mut bench = Bench::new(&self.aircraft);
        model.lay_wake(&at, strengths, &mut bench.wake);
        let mut tally = T::default();
        model.forces(&at, &bench.wake, strengths, &mut bench.scratch, &mut tally);
        tally
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::show::fly;
    use crate::testing::demo;
    use core::f64::consts::TAU;

    fn taker() -> Taker {
        Taker::new(&Arc::new(fly(&demo("foxglove")).unwrap())).unwrap()
    }

    /// Newton's second law for turning, from how the flight went on: I w' + w x (I w + h).
    #[test]
    fn the_ledger_is_what_turned_the_model() {
        let taker = taker();
        let samples = taker.show.tracks[0].samples();
        let inertia = taker.aircraft.mass.inertia();
        let rotor = taker.aircraft.model.parts().propulsor.as_ref().unwrap();
        for k in [190, 220, 260] {
            let [before, now, after] = [k - 1, k, k + 1].map(|i| &samples[i]);
            let rate = now.state.body.rate;
            let turning = (after.state.body.rate - before.state.body.rate) / (2.0 * manoeuvre::TICK);
            let spin = rotor.axis * (rotor.rotation * rotor.inertia * TAU * now.state.rotor);
            let expected = inertia * turning + rate.cross(&(inertia * rate + spin));
            let moment = taker.tally::<Total>(now, &now.deflections).moment;
            let near = 0.05 * expected.norm() + 0.02;
            assert!((moment - expected).norm() < near, "sample {k}: {moment:?} {expected:?}");
        }
    }

    #[test]
    fn at_the_beginning_nothing_is_asked_and_the_blend_gives_what_is_asked() {
        let taker = taker();
        let start = taker.at(1, 0.0, Follower::Aileron).unwrap();
        assert!(start.all().abs() < 1e-9 && start.given == 0.0);
        // a moment after the hand let go of the aileron, the blend in: most of what is asked for is given
        let with = taker.at(1, 3.7, Follower::Aileron).unwrap();
        assert!(with.given < -0.05 && with.all() < 0.0, "right rudder, left aileron: {with:?}");
        assert!((with.all() - with.given).abs() < 0.5 * with.given.abs(), "{with:?}");
    }

    #[test]
    fn parts_by_halves_are_the_ledger_of_the_parts() {
        let taker = taker();
        let (start, now) = (&taker.show.tracks[0].samples()[0], &taker.show.tracks[0].samples()[240]);
        for (place, follower) in [Follower::Aileron, Follower::Elevator].into_iter().enumerate() {
            let moment = taker.at(0, now.time, follower).unwrap();
            let [here, there] = [now, start].map(|s| {
                let back = if s.time > 0.0 { -moment.given } else { 0.0 };
                taker.tally::<aero::Ledger>(s, &taker.moved(s, follower, back))
            });
            for part in Part::ALL {
                let does = here.part(part).moment[place] - there.part(part).moment[place];
                let halves = moment.pushes.iter().filter(|push| push.part == part).map(|push| push.moment);
                assert!((halves.sum::<f64>() - does).abs() < 1e-9, "{part:?} {place}");
            }
            assert!(moment.pushes.iter().any(|push| push.side.is_some()), "wings by halves");
        }
    }

    #[test]
    fn what_has_no_axis_is_not_taken_apart() {
        assert_eq!(taker().at(0, 1.0, Follower::Throttle), None);
    }
}
