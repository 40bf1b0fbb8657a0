//! A flight between its samples.

use airframe::MAX_SURFACES;
use manoeuvre::{Flown, Sample, TICK};
use nalgebra::{Quaternion, Vector3};

/// A model at an instant, as a picture needs it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pose {
    /// Centre of mass, earth NED \[m\].
    pub position: Vector3<f64>,
    /// Body FRD to earth NED.
    pub attitude: Quaternion<f64>,
    /// Where the surfaces stand \[rad\], in the order of the geometry's.
    pub deflections: [f64; MAX_SURFACES],
    /// Rotor speed [rev/s].
    pub rotor: f64,
}

/// A flight, one sample per tick.
#[derive(Debug, Clone, PartialEq)]
pub struct Track {
    /// At least one.
    samples: Vec<Sample>,
    /// In words, if it ended early.
    pub halt: Option<String>,
}

impl Track {
    /// Of a flight as it went.
    #[must_use]
    pub fn new(flown: &Flown) -> Self {
        Self { samples: flown.samples.clone(), halt: flown.halt.as_ref().map(ToString::to_string) }
    }

    /// Of a flight that goes on: at least one sample.
    pub(crate) const fn of(samples: Vec<Sample>) -> Self {
        Self { samples, halt: None }
    }

    /// Takes up how a flight went on: `samples` from its beginning, of which the last that is known here was this
    /// moment then.
    pub(crate) fn follow(&mut self, samples: &[Sample]) {
        self.samples.pop();
        self.samples.extend_from_slice(&samples[self.samples.len()..]);
    }

    /// Its samples.
    #[must_use]
    pub fn samples(&self) -> &[Sample] {
        &self.samples
    }

    /// When it ends \[s\].
    #[must_use]
    pub fn length(&self) -> f64 {
        self.samples.last().map_or(0.0, |s| s.time)
    }

    /// The last sample at or before `time` \[s\].
    #[must_use]
    pub fn sample(&self, time: f64) -> Option<&Sample> {
        let after = self.samples.partition_point(|s| s.time <= time);
        self.samples.get(after.saturating_sub(1))
    }

    /// The pose at `time` \[s\], between samples straight and shortest; held outside the flight.
    #[must_use]
    pub fn at(&self, time: f64) -> Pose {
        let after = self.samples.partition_point(|s| s.time <= time);
        match (after.checked_sub(1).and_then(|i| self.samples.get(i)), self.samples.get(after)) {
            (Some(a), Some(b)) => between(a, b, ((time - a.time) / TICK).clamp(0.0, 1.0)),
            (Some(s), None) | (None, Some(s)) => between(s, s, 0.0),
            (None, None) => Pose {
                position: Vector3::zeros(),
                attitude: Quaternion::identity(),
                deflections: [0.0; MAX_SURFACES],
                rotor: 0.0,
            },
        }
    }
}

fn between(a: &Sample, b: &Sample, t: f64) -> Pose {
    let (from, to) = (&a.state.body, &b.state.body);
    // ticks are short: the chord of the quaternions is as good as their arc
    let near = if from.attitude.dot(&to.attitude) < 0.0 { -to.attitude } else { to.attitude };
    let blended = from.attitude * (1.0 - t) + near * t;
    let mut deflections = a.deflections;
    for (d, next) in deflections.iter_mut().zip(b.deflections) {
        *d += (next - *d) * t;
    }
    Pose {
        position: from.position + (to.position - from.position) * t,
        attitude: blended / blended.norm(),
        deflections,
        rotor: a.state.rotor + (b.state.rotor - a.state.rotor) * t,
    }
}

#[cfg(test)]
mod tests {
    use crate::show::fly;
    use crate::testing::demo;

    #[test]
    fn between_samples_lies_between_them() {
        let show = fly(&demo("foxglove")).unwrap();
        let track = &show.tracks[1];
        let (a, b) = (track.samples()[100], track.samples()[101]);
        let middle = track.at(0.5 * (a.time + b.time));
        let expected = 0.5 * (a.state.body.position + b.state.body.position);
        assert!((middle.position - expected).norm() < 1e-9);
        assert!((middle.attitude.norm() - 1.0).abs() < 1e-12);
        assert!((track.at(a.time).position - a.state.body.position).norm() < 1e-9);
        assert_eq!(track.sample(a.time + 0.001), Some(&a));
        assert_eq!(track.at(-1.0).position, track.samples()[0].state.body.position);
        assert_eq!(track.at(1e9).position, track.samples().last().unwrap().state.body.position);
    }
}
