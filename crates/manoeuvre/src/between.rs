//! What a model did between two ticks: cubic in time, so that legs end and lines are judged at any
//! instant and results stay smooth.

use crate::tick::{Sample, TICK};
use flight::{AircraftState, State, earth_from_body};
use nalgebra::{Matrix3, Quaternion, Vector3};

/// The flight at `time` \[s\], from samples one tick apart; `None` without samples. State and
/// surfaces are interpolated; sticks and commands are those of the tick that `time` falls into.
#[must_use]
pub fn at(samples: &[Sample], time: f64) -> Option<Sample> {
    let first = samples.first()?;
    let last = samples.len() - 1;
    let ticks = ((time - first.time) / TICK).clamp(0.0, last as f64);
    // a time that is a tick but for rounding is that tick
    let whole = ticks.round();
    if (ticks - whole).abs() < 1e-7 {
        return Some(Sample { time, ..samples[whole as usize] });
    }
    let k = ticks.floor() as usize;
    let here = samples[k];
    let state = state_between(samples, k, ticks);
    let share = ticks - k as f64;
    let mut deflections = here.deflections;
    for (d, next) in deflections.iter_mut().zip(samples[k + 1].deflections) {
        *d += share * (next - *d);
    }
    Some(Sample { time, state, deflections, ..here })
}

/// Position and attitude by Hermite's cubic, as their slopes are known; what has none by the cubic
/// through four neighbours.
fn state_between(samples: &[Sample], k: usize, ticks: f64) -> AircraftState {
    let share = ticks - k as f64;
    let count = samples.len().min(4);
    let from = k.saturating_sub(1).min(samples.len() - count);
    let near = &samples[from..from + count];
    let weights = lagrange(ticks - from as f64, count);
    let (a, b) = (&samples[k].state.body, &samples[k + 1].state.body);
    let [earth_a, earth_b] = [a, b].map(|s| earth_from_body(&s.attitude));
    let position = hermite(share, a.position, earth_a * a.velocity, b.position, earth_b * b.velocity);
    let attitude = between_attitudes(share, &a.attitude, &a.rate, &b.attitude, &b.rate);
    let mut sum = AircraftState { rotor: 0.0, wake: [0.0; aero::MAX_WING_STRIPS], ..samples[k].state };
    let (mut velocity, mut rate) = (Vector3::zeros(), Vector3::zeros());
    for (sample, weight) in near.iter().zip(weights) {
        let body = &sample.state.body;
        velocity += earth_from_body(&body.attitude) * body.velocity * weight;
        rate += body.rate * weight;
        sum.rotor += weight * sample.state.rotor;
        for (w, of) in sum.wake.iter_mut().zip(&sample.state.wake) {
            *w += weight * of;
        }
    }
    let to_body: Matrix3<f64> = earth_from_body(&attitude).transpose();
    sum.body = flight::BodyState { position, velocity: to_body * velocity, attitude, rate };
    sum.settled()
}

fn hermite(s: f64, a: Vector3<f64>, da: Vector3<f64>, b: Vector3<f64>, db: Vector3<f64>) -> Vector3<f64> {
    let [wa, wda, wb, wdb] = hermite_weights(s);
    a * wa + da * (wda * TICK) + b * wb + db * (wdb * TICK)
}

fn hermite_weights(s: f64) -> [f64; 4] {
    let (s2, s3) = (s * s, s * s * s);
    [2.0 * s3 - 3.0 * s2 + 1.0, s3 - 2.0 * s2 + s, 3.0 * s2 - 2.0 * s3, s3 - s2]
}

fn between_attitudes(
    s: f64,
    a: &Quaternion<f64>,
    rate_a: &Vector3<f64>,
    b: &Quaternion<f64>,
    rate_b: &Vector3<f64>,
) -> Quaternion<f64> {
    let slope = |q: &Quaternion<f64>, rate: &Vector3<f64>| {
        *q * Quaternion::new(0.0, 0.5 * rate.x, 0.5 * rate.y, 0.5 * rate.z)
    };
    let [wa, wda, wb, wdb] = hermite_weights(s);
    let q = *a * wa + slope(a, rate_a) * (wda * TICK) + *b * wb + slope(b, rate_b) * (wdb * TICK);
    q / q.norm()
}

/// Weights of `count` points at 0, 1, 2 ... for the value at `x`.
fn lagrange(x: f64, count: usize) -> [f64; 4] {
    let mut weights = [0.0; 4];
    for (i, weight) in weights.iter_mut().enumerate().take(count) {
        let others = (0..count).filter(|&j| j != i);
        *weight = others.fold(1.0, |w, j| w * (x - j as f64) / (i as f64 - j as f64));
    }
    weights
}
