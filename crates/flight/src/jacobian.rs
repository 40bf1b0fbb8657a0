//! Derivatives of vector functions by central differences, each variable with its own scale.

use nalgebra::DMatrix;

/// Derivatives with a measure of how far to trust them.
#[derive(Debug, Clone, PartialEq)]
pub struct Jacobian {
    /// Entry (i, j) is the derivative of result i with respect to variable j.
    pub matrix: DMatrix<f64>,
    /// How much halving the step moved each derivative: above what its error can be where the
    /// function is smooth over a step, and as large as the derivative's jump at a kink.
    pub doubt: DMatrix<f64>,
}

/// Why derivatives could not be taken.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum JacobianFault {
    /// Not as many scales as variables.
    #[error("{variables} variables came with {scales} scales, but each needs its own")]
    Scales {
        /// Number of variables.
        variables: usize,
        /// Number of scales.
        scales: usize,
    },
    /// A scale is not usable.
    #[error("variable {index} has the scale {found}, but a scale is a positive number")]
    Scale {
        /// Which variable, from 0.
        index: usize,
        /// Given scale.
        found: f64,
    },
    /// The function gave results that are not numbers, or not always as many.
    #[error(
        "near its point the function gave {found} finite results instead of {wanted} when variable {index} \
         was moved by {step}; choose a point away from the edge of the function's range, or a smaller scale"
    )]
    Results {
        /// Which variable was moved, from 0.
        index: usize,
        /// By how much.
        step: f64,
        /// Number of finite results.
        found: usize,
        /// Number of results expected.
        wanted: usize,
    },
}

/// Step of a plain central difference, in scales: near (3 eps)^(1/3), where truncation and rounding
/// balance.
const STEP: f64 = 1e-5;
/// Step of the extrapolated difference, in scales: near eps^(1/5), likewise.
const LONG_STEP: f64 = 1e-3;

/// Derivatives of `f` at `at` by central differences. `scales`: for each variable a change over
/// which `f` bends noticeably (5 m/s, 0.1 rad), in the unit of the variable.
///
/// # Errors
/// [`JacobianFault`] for unusable scales or results.
pub fn central(
    mut f: impl FnMut(&[f64]) -> Vec<f64>,
    at: &[f64],
    scales: &[f64],
) -> Result<DMatrix<f64>, JacobianFault> {
    sound(at, scales)?;
    differences(&mut f, at, scales, STEP)
}

/// Like [`central`], from two steps and extrapolated to none (Richardson): an error of fourth
/// instead of second order, and the doubt comes with it. Twice the evaluations.
///
/// # Errors
/// [`JacobianFault`] for unusable scales or results.
pub fn checked(
    mut f: impl FnMut(&[f64]) -> Vec<f64>,
    at: &[f64],
    scales: &[f64],
) -> Result<Jacobian, JacobianFault> {
    sound(at, scales)?;
    let long = differences(&mut f, at, scales, LONG_STEP)?;
    let short = differences(&mut f, at, scales, LONG_STEP / 2.0)?;
    let change = &short - long;
    Ok(Jacobian { matrix: short + &change / 3.0, doubt: change.abs() })
}

fn sound(at: &[f64], scales: &[f64]) -> Result<(), JacobianFault> {
    if at.len() != scales.len() {
        return Err(JacobianFault::Scales { variables: at.len(), scales: scales.len() });
    }
    match scales.iter().position(|scale| !(scale.is_finite() && *scale > 0.0)) {
        Some(index) => Err(JacobianFault::Scale { index, found: scales[index] }),
        None => Ok(()),
    }
}

fn differences(
    f: &mut impl FnMut(&[f64]) -> Vec<f64>,
    at: &[f64],
    scales: &[f64],
    share: f64,
) -> Result<DMatrix<f64>, JacobianFault> {
    let mut columns = Vec::new();
    let mut rows = None;
    for (index, scale) in scales.iter().enumerate() {
        let step = share * scale;
        // The step that is really taken, after rounding.
        let (ahead, behind) = (at[index] + step, at[index] - step);
        for (place, sign) in [(ahead, 1.0), (behind, -1.0)] {
            let mut point = at.to_vec();
            point[index] = place;
            let results = f(&point);
            let wanted = *rows.get_or_insert(results.len());
            let found = results.iter().filter(|r| r.is_finite()).count();
            if found != wanted || results.len() != wanted {
                return Err(JacobianFault::Results { index, step: sign * step, found, wanted });
            }
            columns.push(results);
        }
    }
    let width = |j: usize| (at[j] + share * scales[j]) - (at[j] - share * scales[j]);
    let entry = |i: usize, j: usize| (columns[2 * j][i] - columns[2 * j + 1][i]) / width(j);
    Ok(DMatrix::from_fn(rows.unwrap_or(0), at.len(), entry))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn bent(x: &[f64]) -> Vec<f64> {
        vec![libm::sin(x[0]) * libm::exp(x[1] / 3.0), x[0] * x[0] * x[1], x[1]]
    }

    fn bent_derivatives(x: &[f64]) -> DMatrix<f64> {
        let e = libm::exp(x[1] / 3.0);
        let rows = [libm::cos(x[0]) * e, libm::sin(x[0]) * e / 3.0, 2.0 * x[0] * x[1], x[0] * x[0], 0.0, 1.0];
        DMatrix::from_row_slice(3, 2, &rows)
    }

    proptest! {
        #[test]
        fn derivatives_agree_with_the_formula(x in -3.0..3.0, y in -3.0..3.0) {
            let (at, scales) = ([x, y], [1.0, 3.0]);
            let truth = bent_derivatives(&at);
            let plain = central(bent, &at, &scales).unwrap();
            prop_assert!((&plain - &truth).abs().max() < 2e-9, "{}", plain - truth);
            let fine = checked(bent, &at, &scales).unwrap();
            prop_assert!((&fine.matrix - &truth).abs().max() < 1e-10, "{}", fine.matrix - truth);
            prop_assert!(fine.doubt.max() < 1e-5);
        }
    }

    #[test]
    fn the_doubt_is_above_the_error_and_grows_at_a_kink() {
        let at = [0.3, 1.0];
        let fine = checked(bent, &at, &[1.0, 1.0]).unwrap();
        let error = (&fine.matrix - bent_derivatives(&at)).abs();
        // 1e-12: rounding alone, where the function is no steeper than a parabola.
        assert!(error.iter().zip(&fine.doubt).all(|(e, d)| *e <= d + 1e-12), "{error} {}", fine.doubt);
        let kinked = checked(|x| vec![(x[0] - 0.0003).abs()], &[0.0], &[1.0]).unwrap();
        assert!(kinked.doubt[(0, 0)] > 0.1, "{kinked:?}");
    }

    #[test]
    fn scales_far_apart_do_not_hurt() {
        let f = |x: &[f64]| vec![libm::sin(x[0] * 1e6), libm::sin(x[1] * 1e-6)];
        let found = central(f, &[0.0, 0.0], &[1e-6, 1e6]).unwrap();
        assert!((found[(0, 0)] / 1e6 - 1.0).abs() < 1e-9);
        assert!((found[(1, 1)] / 1e-6 - 1.0).abs() < 1e-9);
    }

    #[test]
    fn unusable_input_is_refused() {
        let f = |x: &[f64]| vec![x[0].sqrt()];
        assert!(matches!(central(f, &[1.0], &[1.0, 1.0]), Err(JacobianFault::Scales { .. })));
        assert!(matches!(central(f, &[1.0], &[0.0]), Err(JacobianFault::Scale { index: 0, .. })));
        let edge = central(f, &[0.0], &[1.0]).unwrap_err();
        assert!(matches!(edge, JacobianFault::Results { found: 0, wanted: 1, .. }), "{edge}");
    }
}
