/// Sine and cosine for |x| <= 0.35 rad, by the power series: off by less than 3e-16, and many
/// times cheaper than the general functions.
#[inline]
pub(crate) fn sincos(x: f64) -> (f64, f64) {
    debug_assert!(x.abs() <= 0.350_001);
    let q = x * x;
    let sin = x
        * (1.0
            + q * (-1.0 / 6.0
                + q * (1.0 / 120.0
                    + q * (-1.0 / 5040.0
                        + q * (1.0 / 362_880.0 + q * (-1.0 / 39_916_800.0 + q * (1.0 / 6_227_020_800.0)))))));
    let cos = 1.0
        + q * (-0.5
            + q * (1.0 / 24.0
                + q * (-1.0 / 720.0
                    + q * (1.0 / 40320.0 + q * (-1.0 / 3_628_800.0 + q * (1.0 / 479_001_600.0))))));
    (sin, cos)
}

#[cfg(test)]
mod tests {
    use super::sincos;

    #[test]
    fn agrees_with_the_general_functions() {
        for i in -3500..=3500 {
            let x = f64::from(i) * 1e-4;
            let (sin, cos) = sincos(x);
            assert!((sin - libm::sin(x)).abs() < 3e-16 && (cos - libm::cos(x)).abs() < 3e-16, "{x}");
        }
    }
}
