//! One setup as it was flown, ready to be drawn: both tracks, the judged line, the words.

use crate::setup::Setup;
use crate::track::Track;
use aero::Coefficients;
use airframe::Geometry;
use manoeuvre::{Drift, LegSpan, Line, TrimSetting, drifts};
use nalgebra::Vector3;
use study::{ByHand, CompareError, Contestant, Earlier, Run, compare_one, sketch};

/// What one setup came to.
#[derive(Debug, Clone)]
pub struct Show {
    /// What was flown.
    pub setup: Setup,
    /// The model in body axes.
    pub geometry: Geometry,
    /// The comparison; a flight by hand has none.
    pub run: Option<Run>,
    /// What the controls of the solid model stand at in trimmed flight.
    pub level: TrimSetting,
    /// Without the blends, with them.
    pub tracks: [Track; 2],
    /// Where both were against the judged line, from the beginning of the flight; empty if the
    /// flight did not get to the judged leg.
    pub drifts: [Vec<Drift>; 2],
    /// Beginning and end of the judged leg \[s\] since the flight began.
    pub judged: Option<(f64, f64)>,
}

/// Flies a setup without and with its blends.
///
/// # Errors
/// In words for the pilot: what does not fit, and what to try.
pub fn fly(setup: &Setup) -> Result<Show, String> {
    fly_by(setup, |contestant| compare_one(contestant, &setup.scenario, setup.side, &Coefficients::default()))
}

/// As [`fly`], quick enough to follow a drag, from the `last` show of the same flight: within a centimetre,
/// and what a hand on the line would have done is as it was.
///
/// # Errors
/// As [`fly`].
pub(crate) fn quickly(setup: &Setup, last: &Show) -> Result<Show, String> {
    let Some(run) = &last.run else { return fly(setup) };
    let earlier = Earlier { run, same_without: setup.same_without(&last.setup) };
    fly_by(setup, |contestant| sketch(contestant, &setup.scenario, &Coefficients::default(), earlier))
}

fn fly_by(setup: &Setup, compare: impl Fn(&Contestant) -> Result<Run, CompareError>) -> Result<Show, String> {
    let geometry = Geometry::of(&setup.airframe).map_err(|fault| fault.to_string())?;
    if !setup.scenario.flown_sides().contains(&setup.side) {
        return Err(format!("the manoeuvre has no flight with {} rudder", setup.side.word()));
    }
    let contestant = Contestant { geometry, mix: setup.mix.clone() };
    let run = compare(&contestant).map_err(|fault| fault.to_string())?;
    Ok(Show::new(setup, contestant.geometry, run))
}

impl Show {
    fn new(setup: &Setup, geometry: Geometry, run: Run) -> Self {
        let wind = Vector3::from(setup.scenario.wind);
        let track = |i: usize| Track::new(&run.flights[i].flown);
        let drift = |i: usize| drifts(&run.flights[i].flown, &setup.scenario, run.side, &wind, f64::MAX);
        let (tracks, drifts) = ([track(0), track(1)], [drift(0), drift(1)]);
        let judged = drifts[0].first().zip(drifts[0].last()).map(|(first, last)| {
            let begins = first.sample.time - first.time;
            (begins, last.sample.time)
        });
        let level = run.level;
        Self { setup: setup.clone(), geometry, run: Some(run), level, tracks, drifts, judged }
    }

    /// A flight by hand, as far as it has come.
    pub(crate) fn by_hand(setup: &Setup, geometry: &Geometry, flight: &ByHand) -> Self {
        Self {
            setup: setup.clone(),
            geometry: geometry.clone(),
            run: None,
            level: flight.level(),
            tracks: flight.flown().each_ref().map(|samples| Track::of(samples.clone())),
            drifts: [Vec::new(), Vec::new()],
            judged: None,
        }
    }

    /// Takes up how the flight by hand went on.
    pub(crate) fn follow(&mut self, flight: &ByHand) {
        for (track, samples) in self.tracks.iter_mut().zip(flight.flown()) {
            track.follow(samples);
        }
    }

    /// The legs of the solid model's flight; none of one by hand.
    #[must_use]
    pub fn legs(&self) -> &[LegSpan] {
        self.run.as_ref().map_or(&[], |run| &run.flights[1].flown.legs)
    }

    /// The line that a flight was judged by, 0 without, 1 with the blends; none of one by hand.
    #[must_use]
    pub fn line(&self, flight: usize) -> Option<&Line> {
        self.run.as_ref().map(|run| &run.flights[flight].verdict.line)
    }

    /// Length of the longer flight \[s\].
    #[must_use]
    pub fn length(&self) -> f64 {
        self.tracks[0].length().max(self.tracks[1].length())
    }

    /// Where a flight was against the judged line at `time` \[s\] since it began.
    #[must_use]
    pub fn drift_at(&self, flight: usize, time: f64) -> Option<&Drift> {
        let drifts = &self.drifts[flight];
        let after = drifts.partition_point(|d| d.sample.time < time);
        drifts.get(after).or_else(|| drifts.last())
    }

    /// The judged line over the ground, earth NED \[m\]: from where the judged leg began to where a
    /// model that kept it would be at its end.
    #[must_use]
    pub fn judged_line(&self) -> Option<[Vector3<f64>; 2]> {
        let (begins, ends) = self.judged?;
        let wind = Vector3::from(self.setup.scenario.wind);
        let start = self.tracks[0].at(begins).position;
        let reach = self.drifts.iter().filter_map(|d| d.last()).map(|d| d.off.along).fold(0.0, f64::max);
        let along = self.line(0)?.frame().column(0) * reach;
        Some([start, start + along + wind * (ends - begins)])
    }
}

impl Show {
    /// Where the solid model would have been on the judged line, at its own height, from the
    /// beginning of the judged leg; earth NED \[m\].
    #[must_use]
    pub fn judged_path(&self) -> Vec<Vector3<f64>> {
        let Some(line) = self.line(1) else { return Vec::new() };
        let on_line = self.drifts[1].iter().filter(|d| d.time >= 0.0);
        on_line.map(|d| d.sample.state.body.position - aside(line, d)).collect()
    }
}

/// From the judged line to the model, towards canopy or gear of who keeps the line, earth NED
/// \[m\].
#[must_use]
pub fn aside(line: &Line, drift: &Drift) -> Vector3<f64> {
    -line.frame().column(2) * drift.off.canopy
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::demo;
    use measure::Side;
    use mix::Shape;

    #[test]
    fn both_sides_are_flown_as_asked_for() {
        for side in [Side::Left, Side::Right] {
            let show = fly(&Setup { side, ..demo("foxglove") }).unwrap();
            assert_eq!(show.run.as_ref().unwrap().side, side);
            let (begins, ends) = show.judged.unwrap();
            assert!((begins - 3.5).abs() < 0.03 && (ends - 6.5).abs() < 0.03, "{begins} {ends}");
            assert!((show.length() - ends).abs() < 1e-9);
            let [from, to] = show.judged_line().unwrap();
            assert!((to - from).norm() > 60.0, "three seconds at more than 20 m/s");
            let off = show.drift_at(0, ends).unwrap().off.canopy;
            let moved = show.tracks[0].at(ends).position - from;
            let along = (to - from).normalize();
            let seen = (moved.x * along.y - moved.y * along.x).abs();
            assert!((off.abs() - seen).abs() < 0.01, "{off} {seen}");
        }
    }

    #[test]
    fn a_sketch_is_the_whole_flight_to_a_centimetre() {
        let last = fly(&demo("foxglove")).unwrap();
        let mut blended = demo("foxglove");
        blended.mix.blends[0].shape = Shape::TwoSided { left: 0.0, right: 0.01 };
        let mut higher = demo("foxglove");
        higher.scenario.start.height += 20.0;
        for (setup, kept) in [(blended, true), (higher, false)] {
            assert_eq!(setup.same_without(&last.setup), kept);
            let (sketch, whole) = (quickly(&setup, &last).unwrap(), fly(&setup).unwrap());
            assert_eq!(sketch.tracks[0] == last.tracks[0], kept);
            for (sketched, flown) in sketch.tracks.iter().zip(&whole.tracks) {
                assert_eq!(sketched.samples().len(), flown.samples().len());
                let apart = |(a, b): (&manoeuvre::Sample, &manoeuvre::Sample)| {
                    (a.state.body.position - b.state.body.position).norm()
                };
                let most = sketched.samples().iter().zip(flown.samples()).map(apart).fold(0.0, f64::max);
                assert!(most < 0.01, "{most}");
            }
            let end = whole.length();
            let moved = sketch.tracks[1].at(end).position - last.tracks[1].at(end).position;
            assert!(moved.norm() > 0.2, "{moved}");
            assert_eq!(
                sketch.run.as_ref().unwrap().flights[1].corrected,
                last.run.as_ref().unwrap().flights[1].corrected
            );
        }
    }

    #[test]
    fn what_does_not_fit_is_told_in_words() {
        let mut setup = demo("foxglove");
        setup.airframe.panels.clear();
        assert!(fly(&setup).unwrap_err().contains("has no wing"));
    }

    #[test]
    fn without_a_blend_it_is_flown_bare() {
        let mut setup = demo("foxglove");
        setup.mix.blends.clear();
        assert!(fly(&setup).unwrap().run.unwrap().sentence.contains("it was flown bare"));
    }
}
