//! A servo's path over a tick, smoothed for a sketch.

use crate::servo::Motion;

/// The parabola with the same mean and the same first two moments over a tick as a servo's path. How
/// far a surface turns and moves the model within the tick depends on mean and first moment, but for
/// what damping makes of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parabola {
    tick: f64,
    /// Of Legendre's first three polynomials on the tick \[rad\].
    weights: [f64; 3],
}

/// Legendre's polynomials 0 to 2, for `x` from -1 to 1.
fn legendre(x: f64) -> [f64; 3] {
    [1.0, x, 1.5 * x * x - 0.5]
}

impl From<&Motion> for Parabola {
    fn from(motion: &Motion) -> Self {
        let tick = motion.tick();
        let mut moments = [0.0; 3];
        for [(from, begun), (until, ended)] in motion.straights() {
            // Simpson's rule is exact for a straight line times a parabola
            let middle = (0.5 * (from + until), 0.5 * (begun + ended));
            for (share, (tau, angle)) in [(1.0, (from, begun)), (4.0, middle), (1.0, (until, ended))] {
                let weight = share / 6.0 * (until - from) / tick * angle;
                for (moment, p) in moments.iter_mut().zip(legendre(2.0 * tau / tick - 1.0)) {
                    *moment += weight * p;
                }
            }
        }
        // over -1..1 the square of polynomial n has the mean 1/(2 n + 1)
        Self { tick, weights: [moments[0], 3.0 * moments[1], 5.0 * moments[2]] }
    }
}

impl Parabola {
    /// Angle \[rad\] at the time `tau` \[s\] since the beginning of the tick.
    #[must_use]
    pub fn position(&self, tau: f64) -> f64 {
        let [mean, tilt, bend] = legendre(2.0 * tau / self.tick - 1.0);
        self.weights[0] * mean + self.weights[1] * tilt + self.weights[2] * bend
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::servo::Servo;

    const TICK: f64 = 0.02;

    /// The path that a servo at rest takes to `command` \[rad\] at 10 rad/s, 5 ms late.
    fn path(command: f64) -> Motion {
        Servo::at_rest(10.0, 0.005, 0.0).unwrap().plan(command, TICK).unwrap().motion
    }

    #[test]
    fn mean_and_moments_are_those_of_the_path() {
        const STEPS: u32 = 200_000;
        for command in [0.0, 0.03, 0.1, 1.0] {
            let (motion, parabola) = (path(command), Parabola::from(&path(command)));
            let mut missed = [0.0; 3];
            for k in 0..STEPS {
                let share = (f64::from(k) + 0.5) / f64::from(STEPS);
                let apart = parabola.position(share * TICK) - motion.position(share * TICK);
                for (missed, p) in missed.iter_mut().zip(legendre(2.0 * share - 1.0)) {
                    *missed += apart * p / f64::from(STEPS);
                }
            }
            assert!(missed.iter().all(|m| m.abs() < 1e-9), "{command} rad: {missed:?}");
        }
    }

    #[test]
    fn a_straight_path_stays_as_it_is() {
        let moving = Servo::at_rest(10.0, 0.0, -0.1).unwrap().plan(1.0, TICK).unwrap().motion;
        let parabola = Parabola::from(&moving);
        for tau in [0.0, 0.004, 0.01, 0.02] {
            assert!((parabola.position(tau) - moving.position(tau)).abs() < 1e-15, "{tau}");
        }
    }
}
