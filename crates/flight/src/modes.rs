//! Small motions about a steady state: eigenvalues of the matrix A in `x' = A x`, as modes.

use nalgebra::{DMatrix, Schur};

/// One way in which a disturbance dies out or grows, as `exp((real + i imaginary) t)`.
/// A pair of conjugate eigenvalues is one mode.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mode {
    /// Rate of growth [1/s]; negative dies out.
    pub real: f64,
    /// Angular frequency [rad/s], zero if the mode does not oscillate.
    pub imaginary: f64,
}

impl Mode {
    /// Whether the mode swings.
    #[must_use]
    pub fn oscillates(&self) -> bool {
        self.imaginary != 0.0
    }

    /// Undamped natural frequency [rad/s]: the modulus of the eigenvalue.
    #[must_use]
    pub fn natural_frequency(&self) -> f64 {
        libm::hypot(self.real, self.imaginary)
    }

    /// Damping ratio: 1 does not swing, 0 swings for ever, below 0 grows. None for a mode that
    /// neither moves nor grows.
    #[must_use]
    pub fn damping(&self) -> Option<f64> {
        let frequency = self.natural_frequency();
        (frequency > 0.0).then(|| -self.real / frequency)
    }

    /// Time \[s\] to fall to 1/e; negative: to grow by e. None if the mode does neither.
    #[must_use]
    pub fn time_constant(&self) -> Option<f64> {
        (self.real != 0.0).then(|| -1.0 / self.real)
    }
}

/// Why a matrix has no modes here.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum ModesFault {
    /// The matrix is not square.
    #[error("modes need a square matrix, but this one has {rows} rows and {columns} columns")]
    Shape {
        /// Rows.
        rows: usize,
        /// Columns.
        columns: usize,
    },
    /// An entry is not a number.
    #[error("entry ({row}, {column}) of the matrix is {found}, but must be a finite number")]
    NotFinite {
        /// Row, from 0.
        row: usize,
        /// Column, from 0.
        column: usize,
        /// What it is.
        found: f64,
    },
    /// The iteration did not end.
    #[error("the eigenvalues were not found in {STEPS} steps; scale the variables to similar sizes")]
    NoEnd,
}

/// Steps allowed to the iteration; a dozen rows take about thirty.
const STEPS: usize = 10_000;

/// Modes of `x' = A x`, fastest (highest natural frequency) first. The order does not depend on the
/// machine.
///
/// # Errors
/// [`ModesFault`] if the matrix is not square and finite.
pub fn modes(a: &DMatrix<f64>) -> Result<Vec<Mode>, ModesFault> {
    let (rows, columns) = a.shape();
    if rows != columns {
        return Err(ModesFault::Shape { rows, columns });
    }
    for (row, column) in (0..rows).flat_map(|row| (0..columns).map(move |column| (row, column))) {
        let found = a[(row, column)];
        if !found.is_finite() {
            return Err(ModesFault::NotFinite { row, column, found });
        }
    }
    if rows == 0 {
        return Ok(Vec::new());
    }
    let schur = Schur::try_new(a.clone(), f64::EPSILON, STEPS).ok_or(ModesFault::NoEnd)?;
    let one_of_each_pair = schur.complex_eigenvalues();
    let mut modes: Vec<Mode> = one_of_each_pair
        .iter()
        .filter(|eigenvalue| eigenvalue.im >= 0.0)
        .map(|eigenvalue| Mode { real: eigenvalue.re, imaginary: eigenvalue.im })
        .collect();
    let key = |mode: &Mode| [-mode.natural_frequency(), mode.real, mode.imaginary];
    modes.sort_by(|m, n| {
        let pairs = key(m).into_iter().zip(key(n));
        pairs.map(|(x, y)| x.total_cmp(&y)).find(|order| order.is_ne()).unwrap_or(core::cmp::Ordering::Equal)
    });
    Ok(modes)
}

/// The two modes of longitudinal motion in level flight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LongitudinalModes {
    /// The fast one: incidence and pitch rate at constant speed.
    pub short_period: Mode,
    /// The slow one: speed against height.
    pub phugoid: Mode,
}

impl LongitudinalModes {
    /// Names the modes of the four longitudinal states, given fastest first as by [`modes`]. None if
    /// they are not two oscillations: then these words do not fit.
    #[must_use]
    pub fn named(modes: &[Mode]) -> Option<Self> {
        match *modes {
            [short_period, phugoid] if short_period.oscillates() && phugoid.oscillates() => {
                Some(Self { short_period, phugoid })
            }
            _ => None,
        }
    }
}

/// The three modes of lateral motion in level flight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LateralModes {
    /// Yaw and roll swinging against each other.
    pub dutch_roll: Mode,
    /// Roll rate dying out.
    pub roll: Mode,
    /// Bank and heading, slow.
    pub spiral: Mode,
}

impl LateralModes {
    /// Names the modes of the four lateral states (sideslip, roll and yaw rate, bank), given fastest
    /// first as by [`modes`]. None if they are not one oscillation and two that do not swing.
    #[must_use]
    pub fn named(modes: &[Mode]) -> Option<Self> {
        let swings: Vec<Mode> = modes.iter().copied().filter(Mode::oscillates).collect();
        let rest: Vec<Mode> = modes.iter().copied().filter(|mode| !mode.oscillates()).collect();
        match (swings.as_slice(), rest.as_slice()) {
            (&[dutch_roll], &[roll, spiral]) => Some(Self { dutch_roll, roll, spiral }),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The general-aviation example (Navion) of R. C. Nelson, *Flight Stability and Automatic
    /// Control*, 2nd ed., table B.1 and the worked examples of chapters 4 and 5. Inputs and results
    /// are from memory; the results follow from the inputs when recomputed, so a slip is unlikely.
    /// Feet, pounds, slugs, seconds, radians.
    mod navion {
        pub(super) const SPEED: f64 = 176.0;
        pub(super) const GRAVITY: f64 = 32.2;
        pub(super) const MASS: f64 = 2750.0 / GRAVITY;
        pub(super) const PRESSURE: f64 = 0.5 * 0.002_378 * SPEED * SPEED;
        pub(super) const AREA: f64 = 184.0;
        pub(super) const SPAN: f64 = 33.4;
        pub(super) const CHORD: f64 = 5.7;
        pub(super) const IX: f64 = 1048.0;
        pub(super) const IY: f64 = 3000.0;
        pub(super) const IZ: f64 = 3530.0;
        pub(super) const FORCE: f64 = PRESSURE * AREA;
    }

    struct Longitudinal {
        xu: f64,
        xw: f64,
        zu: f64,
        zw: f64,
        mw: f64,
        mw_dot: f64,
        mq: f64,
    }

    fn longitudinal() -> Longitudinal {
        use navion::*;
        let (cl, cd, cl_alpha, cd_alpha) = (0.41, 0.05, 4.44, 0.33);
        let (cm_alpha, cm_alpha_dot, cm_q) = (-0.683, -4.36, -9.96);
        let force = FORCE / (MASS * SPEED);
        let moment = FORCE * CHORD / IY;
        let half = CHORD / (2.0 * SPEED);
        Longitudinal {
            xu: -2.0 * cd * force,
            xw: -(cd_alpha - cl) * force,
            zu: -2.0 * cl * force,
            zw: -(cl_alpha + cd) * force,
            mw: cm_alpha * moment / SPEED,
            mw_dot: cm_alpha_dot * half * moment / SPEED,
            mq: cm_q * half * moment,
        }
    }

    /// Variables: forward and downward velocity, pitch rate, pitch angle.
    fn longitudinal_matrix() -> DMatrix<f64> {
        let d = longitudinal();
        let (mu, mw) = (d.mw_dot * d.zu, d.mw + d.mw_dot * d.zw);
        let mq = d.mq + d.mw_dot * navion::SPEED;
        #[rustfmt::skip]
        let rows = [
            d.xu, d.xw, 0.0, -navion::GRAVITY,
            d.zu, d.zw, navion::SPEED, 0.0,
            mu, mw, mq, 0.0,
            0.0, 0.0, 1.0, 0.0,
        ];
        DMatrix::from_row_slice(4, 4, &rows)
    }

    /// Variables: sideslip, roll rate, yaw rate, bank. No product of inertia.
    fn lateral_matrix() -> DMatrix<f64> {
        use navion::*;
        let half = SPAN / (2.0 * SPEED);
        let (roll, yaw) = (FORCE * SPAN / IX, FORCE * SPAN / IZ);
        #[rustfmt::skip]
        let rows = [
            -0.564 * FORCE / (MASS * SPEED), 0.0, -1.0, GRAVITY / SPEED,
            -0.074 * roll, -0.410 * half * roll, 0.107 * half * roll, 0.0,
            0.071 * yaw, -0.0575 * half * yaw, -0.125 * half * yaw, 0.0,
            0.0, 1.0, 0.0, 0.0,
        ];
        DMatrix::from_row_slice(4, 4, &rows)
    }

    fn within(found: f64, published: f64, relative: f64) {
        assert!((found - published).abs() < relative * published.abs(), "{found}, published {published}");
    }

    #[test]
    fn val_navion_longitudinal_derivatives() {
        let d = longitudinal();
        for (found, published) in [(d.xu, -0.045), (d.xw, 0.036), (d.zu, -0.369), (d.zw, -2.02)] {
            within(found, published, 0.01);
        }
        for (found, published) in [(d.mw, -0.05), (d.mw_dot, -0.0051), (d.mq, -2.05)] {
            within(found, published, 0.02);
        }
    }

    #[test]
    fn val_navion_longitudinal_modes() {
        let found = LongitudinalModes::named(&modes(&longitudinal_matrix()).unwrap()).unwrap();
        within(found.short_period.real, -2.5, 0.01);
        within(found.short_period.imaginary, 2.59, 0.01);
        within(found.phugoid.real, -0.0171, 0.01);
        within(found.phugoid.imaginary, 0.213, 0.01);
        // Recomputed from the inputs to the digits shown.
        for (value, wanted) in [(found.short_period.real, -2.5105), (found.short_period.imaginary, 2.5918)] {
            assert!((value - wanted).abs() < 1e-4, "{found:?}");
        }
        for (value, wanted) in [(found.phugoid.real, -0.017_12), (found.phugoid.imaginary, 0.213_06)] {
            assert!((value - wanted).abs() < 1e-5, "{found:?}");
        }
    }

    #[test]
    fn val_navion_lateral_modes() {
        let found = LateralModes::named(&modes(&lateral_matrix()).unwrap()).unwrap();
        within(found.roll.real, -8.435, 0.01);
        within(found.dutch_roll.real, -0.487, 0.01);
        within(found.dutch_roll.imaginary, 2.335, 0.01);
        // The spiral root is a small difference of large numbers.
        assert!((found.spiral.real + 0.00877).abs() < 0.0015, "{found:?}");
        let recomputed = [
            (found.roll.real, -8.4349),
            (found.dutch_roll.real, -0.4870),
            (found.dutch_roll.imaginary, 2.3472),
        ];
        for (value, wanted) in recomputed {
            assert!((value - wanted).abs() < 1e-4, "{found:?}");
        }
        assert!((found.spiral.real + 0.008_20).abs() < 1e-5, "{found:?}");
    }

    #[test]
    fn numbers_of_a_mode_follow_from_its_eigenvalue() {
        let swing = Mode { real: -3.0, imaginary: 4.0 };
        assert!(swing.oscillates());
        assert_eq!(swing.natural_frequency(), 5.0);
        assert_eq!(swing.damping(), Some(0.6));
        assert_eq!(swing.time_constant(), Some(1.0 / 3.0));
        let drift = Mode { real: 0.02, imaginary: 0.0 };
        assert_eq!((drift.damping(), drift.time_constant()), (Some(-1.0), Some(-50.0)));
        let heading = Mode { real: 0.0, imaginary: 0.0 };
        assert_eq!((heading.damping(), heading.time_constant()), (None, None));
    }

    #[test]
    fn words_are_withheld_where_they_do_not_fit() {
        let swing = Mode { real: -1.0, imaginary: 2.0 };
        let fade = Mode { real: -1.0, imaginary: 0.0 };
        assert!(LongitudinalModes::named(&[swing, fade, fade]).is_none());
        assert!(LongitudinalModes::named(&[fade, fade]).is_none());
        assert!(LateralModes::named(&[swing, swing]).is_none());
        assert!(LateralModes::named(&[fade, fade, fade, fade]).is_none());
    }

    proptest! {
        /// Trace and determinant are sum and product of the eigenvalues.
        #[test]
        fn eigenvalues_have_the_sum_and_product_of_the_matrix(entries in prop::array::uniform25(-5.0..5.0)) {
            let a = DMatrix::from_row_slice(5, 5, &entries);
            let found = modes(&a).unwrap();
            let sum: f64 = found.iter().map(|m| if m.oscillates() { 2.0 * m.real } else { m.real }).sum();
            let product: f64 = found
                .iter()
                .map(|m| if m.oscillates() { m.natural_frequency() * m.natural_frequency() } else { m.real })
                .product();
            prop_assert!((sum - a.trace()).abs() < 1e-10);
            prop_assert!((product - a.determinant()).abs() < 1e-7 * (1.0 + product.abs()));
            prop_assert!(found.windows(2).all(|pair| pair[0].natural_frequency() >= pair[1].natural_frequency()));
        }
    }

    #[test]
    fn matrices_without_modes_are_refused() {
        assert!(matches!(modes(&DMatrix::zeros(2, 3)), Err(ModesFault::Shape { rows: 2, columns: 3 })));
        let mut broken = DMatrix::zeros(3, 3);
        broken[(1, 2)] = f64::NAN;
        assert!(matches!(modes(&broken), Err(ModesFault::NotFinite { row: 1, column: 2, .. })));
        assert_eq!(modes(&DMatrix::zeros(0, 0)), Ok(Vec::new()));
        let still = Mode { real: 0.0, imaginary: 0.0 };
        assert_eq!(modes(&DMatrix::zeros(3, 3)), Ok(vec![still; 3]));
    }
}
