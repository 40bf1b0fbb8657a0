//! Turbulence near the ground with Dryden's spectrum, as a sum of waves: a smooth function of seed
//! and time that can be taken up at any instant.
//!
//! The field is frozen and one-dimensional: the aircraft meets it at one reference airspeed, so
//! gusts depend on time alone, not on where a manoeuvre has taken the aircraft, and they do not
//! differ along the span.

use crate::splitmix::uniform;
use core::f64::consts::{FRAC_1_PI, FRAC_2_PI, TAU};
use nalgebra::Vector3;

/// Strength and scale of turbulence; components along the mean wind, across it to the right, down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turbulence {
    /// Standard deviations [m/s].
    pub deviation: Vector3<f64>,
    /// Scale lengths \[m\].
    pub scale: Vector3<f64>,
}

/// Why gusts cannot be made from numbers.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum GustFault {
    /// The height is outside the model.
    #[error(
        "gusts at {found} m above ground are outside the low-altitude model, which reaches from {LOWEST} \
         to {HIGHEST} m; give the height at which the manoeuvre is flown"
    )]
    Height {
        /// Given height \[m\].
        found: f64,
    },
    /// The wind is not usable.
    #[error("a wind of {found} m/s at 6 m above ground cannot drive gusts; it must be zero or positive")]
    Wind {
        /// Given wind [m/s].
        found: f64,
    },
    /// The airspeed is not usable.
    #[error("gusts cannot be met at an airspeed of {found} m/s; it must be positive")]
    Airspeed {
        /// Given airspeed [m/s].
        found: f64,
    },
    /// A deviation is negative or a scale not positive.
    #[error(
        "turbulence with a deviation of {deviation} m/s and a scale of {scale} m cannot be; the deviation \
         must be zero or positive, the scale positive"
    )]
    Turbulence {
        /// Given deviation [m/s].
        deviation: f64,
        /// Given scale \[m\].
        scale: f64,
    },
}

const FOOT: f64 = 0.304_8;
/// Limits of the low-altitude model above ground \[m\]: 10 and 1000 ft (the lower one from memory).
const LOWEST: f64 = 10.0 * FOOT;
const HIGHEST: f64 = 1_000.0 * FOOT;

impl Turbulence {
    /// Turbulence `height` \[m\] above ground where the wind at 20 ft (6 m) is `wind` [m/s]; 15, 30
    /// and 45 knots are called light, moderate and severe. With h in feet:
    /// ```text
    /// Lw = h               Lu = Lv = h/(0.177 + 0.000823 h)^1.2
    /// sw = 0.1 wind        su = sv = sw/(0.177 + 0.000823 h)^0.4
    /// ```
    /// Source: MIL-F-8785C, *Flying Qualities of Piloted Airplanes*, 1980, section 3.7, low-altitude
    /// model. MIL-HDBK-1797 writes the same lengths with other factors in its spectra.
    ///
    /// # Errors
    /// [`GustFault`] for a height outside 10..1000 ft or a wind that is negative or not finite.
    pub fn low_altitude(height: f64, wind: f64) -> Result<Self, GustFault> {
        if !(LOWEST..=HIGHEST).contains(&height) {
            return Err(GustFault::Height { found: height });
        }
        if !(wind.is_finite() && wind >= 0.0) {
            return Err(GustFault::Wind { found: wind });
        }
        let feet = height / FOOT;
        let shape = 0.177 + 0.000_823 * feet;
        let vertical = 0.1 * wind;
        let level = vertical / libm::pow(shape, 0.4);
        let length = height / libm::pow(shape, 1.2);
        Ok(Self {
            deviation: Vector3::new(level, level, vertical),
            scale: Vector3::new(length, length, height),
        })
    }
}

/// Waves per component. Their frequencies are spread evenly by ratio between these multiples of
/// airspeed over scale length; what the spectrum holds outside goes to the first and last wave, so
/// that the deviation is met exactly. More waves cost time in every evaluation; fewer leave gaps in the spectrum.
const WAVES: usize = 32;
const SLOWEST: f64 = 0.02;
const FASTEST: f64 = 50.0;

#[derive(Debug, Clone, Copy, PartialEq)]
struct Wave {
    /// [m/s]
    amplitude: f64,
    /// [rad/s]
    frequency: f64,
    /// \[rad\]
    phase: f64,
}

/// Gusts of one seed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gusts {
    waves: [[Wave; WAVES]; 3],
}

impl Gusts {
    /// Gusts of this `turbulence` as met at `airspeed` [m/s].
    ///
    /// # Errors
    /// [`GustFault`] for an airspeed or turbulence that cannot be.
    pub fn new(turbulence: &Turbulence, airspeed: f64, seed: u64) -> Result<Self, GustFault> {
        if !(airspeed.is_finite() && airspeed > 0.0) {
            return Err(GustFault::Airspeed { found: airspeed });
        }
        for (&deviation, &scale) in turbulence.deviation.iter().zip(&turbulence.scale) {
            let possible = deviation.is_finite() && deviation >= 0.0 && scale.is_finite() && scale > 0.0;
            if !possible {
                return Err(GustFault::Turbulence { deviation, scale });
            }
        }
        let component = |axis: usize, share_below: fn(f64) -> f64| {
            let (deviation, rate) = (turbulence.deviation[axis], airspeed / turbulence.scale[axis]);
            core::array::from_fn(|i| wave(i, axis, seed, share_below).scaled(deviation, rate))
        };
        Ok(Self {
            waves: [component(0, along_below), component(1, across_below), component(2, across_below)],
        })
    }

    /// Velocity of the gust at `time` \[s\]: along the mean wind, across it to the right, down [m/s].
    #[must_use]
    pub fn velocity(&self, time: f64) -> Vector3<f64> {
        let component = |axis: usize| self.waves[axis].iter().map(|wave| wave.at(time)).sum();
        Vector3::new(component(0), component(1), component(2))
    }
}

impl Wave {
    fn scaled(self, deviation: f64, rate: f64) -> Self {
        Self { amplitude: self.amplitude * deviation, frequency: self.frequency * rate, ..self }
    }

    fn at(&self, time: f64) -> f64 {
        self.amplitude * libm::sin(self.frequency * time + self.phase)
    }
}

/// Wave `i` for a deviation of one and a ratio of airspeed to scale length of one: its amplitude
/// carries the variance of its band, its frequency lies anywhere in the band's ratio (evenly
/// spaced ones would repeat), its phase anywhere.
fn wave(i: usize, axis: usize, seed: u64, share_below: fn(f64) -> f64) -> Wave {
    let edge = |k: f64| SLOWEST * libm::pow(FASTEST / SLOWEST, k / WAVES as f64);
    let below = |k: usize| match k {
        0 => 0.0,
        WAVES => 1.0,
        _ => share_below(edge(k as f64)),
    };
    let place = (2 * (axis * WAVES + i)) as u64;
    Wave {
        amplitude: (2.0 * (below(i + 1) - below(i))).sqrt(),
        frequency: edge(i as f64 + uniform(seed, place)),
        phase: TAU * uniform(seed, place + 1),
    }
}

/// Share of the variance below the frequency x = scale length * wave number, along the flight:
/// the integral of `2/pi / (1 + x^2)`. Spectrum: MIL-F-8785C, section 3.7.1.2 (number from memory).
fn along_below(x: f64) -> f64 {
    FRAC_2_PI * libm::atan(x)
}

/// The same across and down: the integral of `1/pi (1 + 3 x^2)/(1 + x^2)^2`.
fn across_below(x: f64) -> f64 {
    FRAC_1_PI * (2.0 * libm::atan(x) - x / (1.0 + x * x))
}

#[cfg(test)]
mod tests {
    use super::*;

    const KNOT_FEET: f64 = 25.317 / 15.0 * FOOT;

    /// Published: MIL-F-8785C section 3.7; numbers worked out from its formulas.
    /// (height ft, wind kn) -> sigma w, sigma u [m/s], L w, L u \[m\].
    #[test]
    fn val_strength_and_scale_near_the_ground() {
        let cases = [
            ((20.0, 15.0), [0.7717, 1.4887, 20.0 * FOOT, 43.766]),
            ((100.0, 30.0), [1.5433, 2.6481, 100.0 * FOOT, 153.976]),
            ((500.0, 45.0), [2.3150, 2.8619, 500.0 * FOOT, 287.932]),
        ];
        for ((feet, knots), wanted) in cases {
            let air = Turbulence::low_altitude(feet * FOOT, knots * KNOT_FEET).unwrap();
            let found = [air.deviation.z, air.deviation.x, air.scale.z, air.scale.x];
            for (f, w) in found.iter().zip(wanted) {
                assert!((f - w).abs() < 1e-4 * w, "{found:?} instead of {wanted:?}");
            }
            assert_eq!((air.deviation.x, air.scale.x), (air.deviation.y, air.scale.y));
        }
    }

    fn light() -> Turbulence {
        Turbulence::low_altitude(30.0, 15.0 * KNOT_FEET).unwrap()
    }

    const AIRSPEED: f64 = 20.0;

    /// Mean of a sum over evenly spaced times.
    fn average(n: usize, spacing: f64, of: impl Fn(f64) -> f64) -> f64 {
        (0..n).map(|k| of(k as f64 * spacing)).sum::<f64>() / n as f64
    }

    /// Over 300 correlation times (300 scale lengths flown) of each component, for several seeds.
    #[test]
    fn the_deviation_is_met_within_a_tenth() {
        let air = light();
        for seed in 0..20 {
            let gusts = Gusts::new(&air, AIRSPEED, seed).unwrap();
            for axis in 0..3 {
                let correlation = air.scale[axis] / AIRSPEED;
                let (n, spacing) = (15_000, 0.02 * correlation);
                let mean = average(n, spacing, |t| gusts.velocity(t)[axis]);
                let square = average(n, spacing, |t| gusts.velocity(t)[axis] * gusts.velocity(t)[axis]);
                let deviation = (square - mean * mean).sqrt();
                let relative = deviation / air.deviation[axis];
                assert!((relative - 1.0).abs() < 0.1, "seed {seed}, axis {axis}: {relative}");
            }
        }
    }

    /// Autocorrelation follows from the spectrum: exp(-s) along, (1 - s/2) exp(-s) across, s the
    /// distance in scale lengths (Wiener-Khinchin). Averaged over seeds to tame its scatter.
    #[test]
    fn the_correlation_is_drydens() {
        let air = light();
        let seeds: Vec<Gusts> = (0..20).map(|seed| Gusts::new(&air, AIRSPEED, seed).unwrap()).collect();
        for (axis, distance) in [(0, 0.5), (0, 1.0), (1, 0.5), (1, 1.0), (2, 1.0)] {
            let correlation = air.scale[axis] / AIRSPEED;
            let product =
                |g: &Gusts, t: f64| g.velocity(t)[axis] * g.velocity(t + distance * correlation)[axis];
            let over_time = |g: &Gusts| average(1500, 0.2 * correlation, |t| product(g, t));
            let mean = seeds.iter().map(over_time).sum::<f64>() / 20.0;
            let found = mean / (air.deviation[axis] * air.deviation[axis]);
            let shape = if axis == 0 { 1.0 } else { 1.0 - distance / 2.0 };
            let wanted = shape * libm::exp(-distance);
            assert!((found - wanted).abs() < 0.05, "axis {axis} at {distance}: {found}, not {wanted}");
        }
    }

    #[test]
    fn the_variance_of_the_waves_is_exact() {
        let air = light();
        let gusts = Gusts::new(&air, AIRSPEED, 5).unwrap();
        for axis in 0..3 {
            let variance: f64 = gusts.waves[axis].iter().map(|w| w.amplitude * w.amplitude / 2.0).sum();
            assert!((variance.sqrt() / air.deviation[axis] - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn the_same_seed_and_time_give_the_same_bits() {
        let gusts = |seed| Gusts::new(&light(), AIRSPEED, seed).unwrap();
        let late = 123.456;
        let in_order: Vec<_> = (0..10).map(|k| gusts(3).velocity(f64::from(k))).collect();
        assert_eq!(gusts(3).velocity(late), gusts(3).velocity(late));
        assert_eq!(gusts(3).velocity(7.0), in_order[7], "no memory of what was asked before");
        assert_ne!(gusts(3).velocity(late), gusts(4).velocity(late));
    }

    #[test]
    fn components_of_one_seed_differ() {
        let air = Turbulence { deviation: Vector3::repeat(1.0), scale: Vector3::repeat(10.0) };
        let gust = Gusts::new(&air, AIRSPEED, 0).unwrap().velocity(1.0);
        assert!((gust.y - gust.z).abs() > 1e-3, "{gust}");
    }

    #[test]
    fn no_wind_is_no_gust_at_all() {
        let air = Turbulence::low_altitude(30.0, 0.0).unwrap();
        let gusts = Gusts::new(&air, AIRSPEED, 9).unwrap();
        for k in 0..100 {
            assert_eq!(gusts.velocity(0.37 * f64::from(k)), Vector3::zeros());
        }
    }

    #[test]
    fn impossible_gusts_are_refused() {
        assert!(matches!(Turbulence::low_altitude(1.0, 5.0), Err(GustFault::Height { .. })));
        assert!(matches!(Turbulence::low_altitude(f64::NAN, 5.0), Err(GustFault::Height { .. })));
        assert!(matches!(Turbulence::low_altitude(30.0, -5.0), Err(GustFault::Wind { .. })));
        assert!(matches!(Gusts::new(&light(), 0.0, 1), Err(GustFault::Airspeed { .. })));
        let flat = Turbulence { deviation: Vector3::repeat(1.0), scale: Vector3::zeros() };
        assert!(matches!(Gusts::new(&flat, 20.0, 1), Err(GustFault::Turbulence { .. })));
    }
}
