//! Air at a height: the U.S. Standard Atmosphere.

/// Still air at a height.
/// Source: *U.S. Standard Atmosphere, 1976*, NOAA-S/T 76-1562, part 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Atmosphere {
    /// Temperature \[K\].
    pub temperature: f64,
    /// Pressure \[Pa\].
    pub pressure: f64,
    /// Density [kg/m^3].
    pub density: f64,
    /// Speed of sound [m/s].
    pub speed_of_sound: f64,
}

/// A height outside the two lowest layers.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error(
    "a height of {found} m above sea level is outside the atmosphere model, which reaches from {LOWEST} to \
     {HIGHEST} m geopotential; check the height of the flying field and its unit"
)]
pub struct HeightFault {
    /// Given height \[m\].
    pub found: f64,
}

/// Radius of the earth in the conversion between the two heights \[m\].
const EARTH_RADIUS: f64 = 6_356_766.0;
/// Standard gravity [m/s^2].
const GRAVITY: f64 = 9.806_65;
/// Gas constant of air [J/(kg K)]: the standard's R* = 8314.32 J/(kmol K) over its M = 28.9644 kg/kmol.
const AIR: f64 = 8_314.32 / 28.964_4;
/// Ratio of specific heats.
const GAMMA: f64 = 1.4;
/// Sea level: temperature \[K\] and pressure \[Pa\].
const SEA_LEVEL: (f64, f64) = (288.15, 101_325.0);
/// Change of temperature with geopotential height below the tropopause [K/m].
const LAPSE: f64 = -0.006_5;
/// The tropopause and both ends of the model, geopotential \[m\]. The standard's tables begin at -5 km.
const TROPOPAUSE: f64 = 11_000.0;
const LOWEST: f64 = -5_000.0;
const HIGHEST: f64 = 20_000.0;

impl Atmosphere {
    /// Air at a geometric height above sea level \[m\], what a tape would measure.
    ///
    /// # Errors
    /// [`HeightFault`] outside -5 km..20 km geopotential.
    pub fn at_height(height: f64) -> Result<Self, HeightFault> {
        Self::at_geopotential(EARTH_RADIUS * height / (EARTH_RADIUS + height))
            .map_err(|_| HeightFault { found: height })
    }

    /// Air at a geopotential height above sea level \[m\], what the standard's layers are defined in:
    /// `T = T0 + L H`, `p = p0 (T0/T)^(g/(R L))`; above the tropopause T is constant and
    /// `p = p1 exp(-g (H - H1)/(R T))`.
    ///
    /// # Errors
    /// [`HeightFault`] outside -5 km..20 km.
    pub fn at_geopotential(height: f64) -> Result<Self, HeightFault> {
        if !(LOWEST..=HIGHEST).contains(&height) {
            return Err(HeightFault { found: height });
        }
        let (sea_temperature, sea_pressure) = SEA_LEVEL;
        let temperature = sea_temperature + LAPSE * height.min(TROPOPAUSE);
        let below = sea_pressure * power(temperature / sea_temperature, -GRAVITY / (AIR * LAPSE));
        let above = GRAVITY * (height - TROPOPAUSE) / (AIR * temperature);
        let pressure = if above > 0.0 { below * libm::exp(-above) } else { below };
        Ok(Self {
            temperature,
            pressure,
            density: pressure / (AIR * temperature),
            speed_of_sound: (GAMMA * AIR * temperature).sqrt(),
        })
    }
}

/// `x^n`. Near 1, where models fly, by Newton's binomial series, which is quicker: with `x` within 0.05 of 1
/// and the atmosphere's `n` of 5.26 its eleventh term is below rounding.
fn power(x: f64, n: f64) -> f64 {
    const TERMS: i32 = 10;
    let off = x - 1.0;
    if off.abs() > 0.05 {
        return libm::pow(x, n);
    }
    (1..=TERMS).rev().map(f64::from).fold(1.0, |sum, k| 1.0 + (n - k + 1.0) / k * off * sum)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_quick_power_is_the_power() {
        let n = -GRAVITY / (AIR * LAPSE);
        for i in -500..=500 {
            let x = 1.0 + 1e-4 * f64::from(i);
            assert!((power(x, n) / libm::pow(x, n) - 1.0).abs() < 1e-15, "{x}");
        }
    }

    fn close(found: Atmosphere, wanted: [f64; 4], relative: f64) {
        let found = [found.temperature, found.pressure, found.density, found.speed_of_sound];
        for (f, w) in found.iter().zip(wanted) {
            assert!((f - w).abs() <= relative * w, "{found:?} instead of {wanted:?}");
        }
    }

    /// Published: *U.S. Standard Atmosphere, 1976*, NOAA-S/T 76-1562. Values recomputed from its
    /// defining constants; they agree with a printed table to the digits it gives. T \[K\], p \[Pa\],
    /// rho [kg/m^3], speed of sound [m/s].
    #[test]
    fn val_standard_atmosphere_low_heights() {
        close(Atmosphere::at_height(0.0).unwrap(), [288.150, 101_325.0, 1.225_00, 340.294], 2e-6);
        let geometric = [
            (500.0, [284.900, 95_461.3, 1.167_27, 338.370]),
            (1000.0, [281.651, 89_876.3, 1.111_66, 336.435]),
            (2000.0, [275.154, 79_501.4, 1.006_55, 332.532]),
            (3000.0, [268.659, 70_121.2, 0.909_25, 328.584]),
        ];
        for (height, wanted) in geometric {
            close(Atmosphere::at_height(height).unwrap(), wanted, 2e-5);
        }
        let geopotential = [
            (500.0, [284.900, 95_460.8, 1.167_27, 338.370]),
            (1000.0, [281.650, 89_874.6, 1.111_64, 336.434]),
            (2000.0, [275.150, 79_495.2, 1.006_49, 332.529]),
            (3000.0, [268.650, 70_108.5, 0.909_12, 328.578]),
        ];
        for (height, wanted) in geopotential {
            close(Atmosphere::at_geopotential(height).unwrap(), wanted, 2e-5);
        }
    }

    /// Published: Murri, Jackson & Shelton, *Check-Cases for Verification of 6-Degree-of-Freedom
    /// Flight Vehicle Simulations*, NASA/TM-2015-218675, case 4, last record: 16231.3059 ft,
    /// 460.83158 degR, 1136.791653 lbf/ft^2, 0.00143705959 slug/ft^3, 1052.361209 ft/s.
    /// Its pressure lies 1e-5 above what its own density and temperature give with the standard's
    /// gas constant; the other three agree to 1e-6.
    #[test]
    fn val_nasa_case_4_last_record() {
        const FOOT: f64 = 0.304_8;
        const SLUG: f64 = 14.593_90;
        const POUND_FORCE: f64 = 4.448_221_6;
        let wanted = [
            460.831_58 / 1.8,
            1_136.791_653 * POUND_FORCE / (FOOT * FOOT),
            0.001_437_059_59 * SLUG / (FOOT * FOOT * FOOT),
            1_052.361_209 * FOOT,
        ];
        close(Atmosphere::at_height(16_231.305_9 * FOOT).unwrap(), wanted, 1e-5);
    }

    /// The standard's own base of the second layer: 216.65 K and 22632.06 Pa at 11 km, and
    /// 5474.889 Pa at 20 km (from memory of its table of layers).
    #[test]
    fn val_tropopause_and_top() {
        let base = Atmosphere::at_geopotential(11_000.0).unwrap();
        assert!((base.temperature - 216.65).abs() < 1e-9);
        assert!((base.pressure - 22_632.06).abs() < 0.01, "{base:?}");
        let top = Atmosphere::at_geopotential(20_000.0).unwrap();
        assert!((top.pressure - 5_474.889).abs() < 0.002, "{top:?}");
    }

    #[test]
    fn the_layers_meet() {
        let below = Atmosphere::at_geopotential(11_000.0 - 1e-6).unwrap();
        let above = Atmosphere::at_geopotential(11_000.0 + 1e-6).unwrap();
        assert!((below.pressure - above.pressure).abs() < 1e-5);
        assert!((below.temperature - above.temperature).abs() < 1e-7);
    }

    #[test]
    fn heights_outside_are_refused_with_the_height_that_was_given() {
        let fault = Atmosphere::at_height(30_000.0).unwrap_err();
        assert_eq!(fault.found, 30_000.0);
        assert!(fault.to_string().contains("30000 m"), "{fault}");
        assert!(Atmosphere::at_height(f64::NAN).is_err());
        assert!(Atmosphere::at_height(-6_000.0).is_err());
        assert!(Atmosphere::at_height(-EARTH_RADIUS).is_err());
    }
}
