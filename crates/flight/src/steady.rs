//! Steady states: zeros of small systems of equations (trim, needed deflections), by
//! Levenberg-Marquardt with differences for derivatives.

use crate::jacobian::{JacobianFault, central};
use core::cell::Cell;
use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::storage::Owned;
use nalgebra::{DMatrix, DVector, Dyn};

/// A search for a zero. Unbounded on purpose: an answer beyond what a surface can do is an answer.
#[derive(Debug, Clone, Copy)]
pub struct Search<'a> {
    /// Where to begin; each variable in its own unit.
    pub start: &'a [f64],
    /// For each variable a change that matters (5 m/s, 0.1 rad): steps and differences are
    /// measured in it.
    pub scales: &'a [f64],
    /// For each residual the size that counts as one (a weight, a weight times a chord).
    pub residual_scales: &'a [f64],
    /// The zero is found when no residual exceeds this many of its scales; 1e-9 is usual. Smaller
    /// costs a step or two and ends at rounding, near 1e-13.
    pub tolerance: f64,
}

/// Where a search ended: the best point it saw.
#[derive(Debug, Clone, PartialEq)]
pub struct Steady {
    /// Values of the variables, in their own units.
    pub values: Vec<f64>,
    /// Residuals there, in their own units.
    pub residuals: Vec<f64>,
    /// Largest residual in its scale.
    pub worst: f64,
    /// Whether `worst` is within the tolerance. If not, the point is a nearest miss, no solution.
    pub converged: bool,
    /// How often derivatives were taken.
    pub iterations: usize,
    /// How often the function was called, for differences too.
    pub evaluations: usize,
}

/// Why a search could not begin.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum SearchFault {
    /// Number of variables.
    #[error("a search over {found} variables is not possible; 1 to {MOST_VARIABLES} are")]
    Variables {
        /// Given number.
        found: usize,
    },
    /// Lengths do not fit.
    #[error("{found} {what} were given, but {wanted} are needed")]
    Count {
        /// What was counted.
        what: &'static str,
        /// Given number.
        found: usize,
        /// Needed number.
        wanted: usize,
    },
    /// A scale or the tolerance is not usable.
    #[error("{what} {index} is {found}, but must be a positive number")]
    NotPositive {
        /// Which list.
        what: &'static str,
        /// Which entry, from 0.
        index: usize,
        /// Given value.
        found: f64,
    },
    /// The function has no value at the start.
    #[error("residual {index} is {found} at the start, which is no number; begin from a possible state")]
    Start {
        /// Which residual, from 0.
        index: usize,
        /// What it was.
        found: f64,
    },
}

/// Searches here are over a handful of angles, speeds and sticks.
const MOST_VARIABLES: usize = 12;
/// Stands for a residual that is no number, in scales: so bad that the step is shortened.
const HOPELESS: f64 = 1e100;

/// Searches a zero of `f`, which gives as many residuals as there are variables.
/// Continue from a neighbouring solution where there is one: several zeros may exist.
///
/// # Errors
/// [`SearchFault`] for input that does not fit together. A search that finds no zero is a result
/// that says so.
pub fn find_steady(f: impl Fn(&[f64]) -> Vec<f64>, search: &Search) -> Result<Steady, SearchFault> {
    sound(search)?;
    let system = System::begin(f, search)?;
    let (system, _) = LevenbergMarquardt::new().minimize(system);
    Ok(system.into_steady())
}

fn sound(search: &Search) -> Result<(), SearchFault> {
    let variables = search.start.len();
    if !(1..=MOST_VARIABLES).contains(&variables) {
        return Err(SearchFault::Variables { found: variables });
    }
    count("scales", search.scales.len(), variables)?;
    count("residual scales", search.residual_scales.len(), variables)?;
    positive("scale", search.scales)?;
    positive("residual scale", search.residual_scales)?;
    positive("tolerance", &[search.tolerance])
}

fn count(what: &'static str, found: usize, wanted: usize) -> Result<(), SearchFault> {
    if found == wanted { Ok(()) } else { Err(SearchFault::Count { what, found, wanted }) }
}

fn positive(what: &'static str, numbers: &[f64]) -> Result<(), SearchFault> {
    match numbers.iter().position(|number| !(number.is_finite() && *number > 0.0)) {
        Some(index) => Err(SearchFault::NotPositive { what, index, found: numbers[index] }),
        None => Ok(()),
    }
}

/// The system in scaled variables and residuals.
struct System<'a, F> {
    f: F,
    search: &'a Search<'a>,
    now: Point,
    best: Point,
    iterations: Cell<usize>,
    evaluations: Cell<usize>,
}

/// Scaled variables with their scaled residuals.
#[derive(Clone)]
struct Point {
    place: DVector<f64>,
    residuals: DVector<f64>,
}

impl<'a, F: Fn(&[f64]) -> Vec<f64>> System<'a, F> {
    fn begin(f: F, search: &'a Search) -> Result<Self, SearchFault> {
        let raw = f(search.start);
        count("residuals", raw.len(), search.start.len())?;
        if let Some(index) = raw.iter().position(|residual| !residual.is_finite()) {
            return Err(SearchFault::Start { index, found: raw[index] });
        }
        let place = search.start.iter().zip(search.scales).map(|(x, scale)| x / scale);
        let residuals = raw.iter().zip(search.residual_scales).map(|(r, scale)| r / scale);
        let now = Point {
            place: DVector::from_iterator(search.start.len(), place),
            residuals: DVector::from_iterator(raw.len(), residuals),
        };
        Ok(Self { f, search, best: now.clone(), now, iterations: Cell::new(0), evaluations: Cell::new(1) })
    }

    fn values(&self, place: &[f64]) -> Vec<f64> {
        place.iter().zip(self.search.scales).map(|(z, scale)| z * scale).collect()
    }

    fn scaled_residuals(&self, place: &[f64]) -> Vec<f64> {
        self.evaluations.set(self.evaluations.get() + 1);
        let raw = (self.f)(&self.values(place));
        raw.iter().zip(self.search.residual_scales).map(|(r, scale)| r / scale).collect()
    }

    fn into_steady(self) -> Steady {
        let Point { place, residuals } = &self.best;
        let worst = residuals.amax();
        let raw = residuals.iter().zip(self.search.residual_scales).map(|(r, scale)| r * scale);
        Steady {
            values: self.values(place.as_slice()),
            residuals: raw.collect(),
            worst,
            converged: worst <= self.search.tolerance,
            iterations: self.iterations.get(),
            evaluations: self.evaluations.get(),
        }
    }
}

impl<F: Fn(&[f64]) -> Vec<f64>> LeastSquaresProblem<f64, Dyn, Dyn> for System<'_, F> {
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;
    type ParameterStorage = Owned<f64, Dyn>;

    fn set_params(&mut self, place: &DVector<f64>) {
        let residuals = self.scaled_residuals(place.as_slice());
        let tamed = |r: f64| if r.is_finite() { r.clamp(-HOPELESS, HOPELESS) } else { HOPELESS };
        let residuals = DVector::from_iterator(residuals.len(), residuals.into_iter().map(tamed));
        self.now = Point { place: place.clone(), residuals };
        if self.now.residuals.norm_squared() < self.best.residuals.norm_squared() {
            self.best = self.now.clone();
        }
    }

    fn params(&self) -> DVector<f64> {
        self.now.place.clone()
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        Some(self.now.residuals.clone())
    }

    fn jacobian(&self) -> Option<DMatrix<f64>> {
        self.iterations.set(self.iterations.get() + 1);
        let place = self.now.place.as_slice();
        let ones = vec![1.0; place.len()];
        let derivatives: Result<_, JacobianFault> = central(|z| self.scaled_residuals(z), place, &ones);
        // No derivatives, no way on: the search ends with the best point so far.
        derivatives.ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn search<'a>(start: &'a [f64], scales: &'a [f64], residual_scales: &'a [f64]) -> Search<'a> {
        Search { start, scales, residual_scales, tolerance: 1e-9 }
    }

    const ONES: [f64; 12] = [1.0; 12];

    fn plain(f: impl Fn(&[f64]) -> Vec<f64>, start: &[f64]) -> Steady {
        let n = start.len();
        find_steady(f, &search(start, &ONES[..n], &ONES[..n])).unwrap()
    }

    fn near(found: &Steady, wanted: &[f64]) {
        assert!(found.converged, "{found:?}");
        for (f, w) in found.values.iter().zip(wanted) {
            assert!((f - w).abs() < 1e-8, "{found:?}");
        }
    }

    // Published: More, Garbow & Hillstrom, "Testing unconstrained optimization software", ACM
    // Trans. Math. Softw. 7 (1981), 17-41, problems 1, 7, 26 (a formula of it), 30 and 2, with their
    // starts and solutions (numbers from memory; the solutions satisfy the equations).

    #[test]
    fn val_rosenbrock() {
        let f = |x: &[f64]| vec![10.0 * (x[1] - x[0] * x[0]), 1.0 - x[0]];
        near(&plain(f, &[-1.2, 1.0]), &[1.0, 1.0]);
    }

    #[test]
    fn val_helical_valley() {
        let f = |x: &[f64]| {
            let turn = libm::atan(x[1] / x[0]) / core::f64::consts::TAU + if x[0] < 0.0 { 0.5 } else { 0.0 };
            vec![10.0 * (x[2] - 10.0 * turn), 10.0 * (libm::hypot(x[0], x[1]) - 1.0), x[2]]
        };
        near(&plain(f, &[-1.0, 0.0, 0.0]), &[1.0, 0.0, 0.0]);
    }

    #[test]
    fn val_broyden_tridiagonal_with_as_many_variables_as_allowed() {
        let f = |x: &[f64]| {
            let at = |i: usize| x.get(i).copied().unwrap_or(0.0);
            let row = |i: usize| (3.0 - 2.0 * x[i]) * x[i] - at(i.wrapping_sub(1)) - 2.0 * at(i + 1) + 1.0;
            (0..x.len()).map(row).collect()
        };
        let found = plain(f, &[-1.0; 12]);
        assert!(found.converged && found.worst < 1e-9, "{found:?}");
        assert!(found.iterations <= 10, "{found:?}");
    }

    /// From this start the search runs into a local minimum with a sum of squares of 48.9842.
    #[test]
    fn val_freudenstein_and_roth_ends_in_a_minimum_that_is_no_zero_and_says_so() {
        let f = |x: &[f64]| {
            vec![
                -13.0 + x[0] + ((5.0 - x[1]) * x[1] - 2.0) * x[1],
                -29.0 + x[0] + ((x[1] + 1.0) * x[1] - 14.0) * x[1],
            ]
        };
        let found = plain(f, &[0.5, -2.0]);
        assert!(!found.converged, "{found:?}");
        let squares: f64 = found.residuals.iter().map(|r| r * r).sum();
        assert!((squares - 48.984_25).abs() < 1e-4, "{squares}");
        near(&plain(f, &[6.0, 3.5]), &[5.0, 4.0]);
    }

    /// The same system with variables and residuals in units far apart (powers of two, so that
    /// rounding is the same) takes the same way to the bit.
    #[test]
    fn scales_make_units_irrelevant() {
        let (large, small) = ((1_u64 << 40) as f64, 1.0 / (1_u64 << 40) as f64);
        let f = |x: &[f64]| vec![10.0 * (x[1] - x[0] * x[0]), 1.0 - x[0]];
        let odd = |x: &[f64]| {
            let residuals = f(&[x[0] / large, x[1] / small]);
            vec![residuals[0] * small, residuals[1] * large]
        };
        let start = [-1.2 * large, small];
        let found = find_steady(odd, &search(&start, &[large, small], &[small, large])).unwrap();
        let same = plain(f, &[-1.2, 1.0]);
        assert!(found.converged);
        assert_eq!(found.values, [same.values[0] * large, same.values[1] * small]);
        assert_eq!((found.worst, found.iterations), (same.worst, same.iterations));
    }

    #[test]
    fn a_start_that_is_the_answer_stays() {
        let found = plain(|x| vec![x[0] - 2.0], &[2.0]);
        assert!(found.converged);
        assert_eq!((found.values, found.evaluations), (vec![2.0], 1));
    }

    /// sqrt(x) - 1 from 9: a full step lands at -3, where the root has no value.
    #[test]
    fn a_step_out_of_range_is_shortened() {
        near(&plain(|x| vec![x[0].sqrt() - 1.0], &[9.0]), &[1.0]);
    }

    #[test]
    fn a_function_that_breaks_off_ends_the_search_at_its_best_point() {
        let f = |x: &[f64]| vec![if x[0] > 3.0 { x[0] } else { f64::NAN }];
        let found = plain(f, &[9.0]);
        assert!(!found.converged && found.values[0] > 3.0, "{found:?}");
        let flat = plain(|_| vec![1.0, 1.0], &[0.0, 0.0]);
        assert!(!flat.converged, "{flat:?}");
    }

    #[test]
    fn input_that_does_not_fit_is_refused() {
        let f = |x: &[f64]| x.to_vec();
        let fault = |s: Search| find_steady(f, &s).unwrap_err();
        assert!(matches!(fault(search(&[], &[], &[])), SearchFault::Variables { found: 0 }));
        assert!(matches!(
            fault(search(&[1.0; 13], &[1.0; 13], &[1.0; 13])),
            SearchFault::Variables { found: 13 }
        ));
        assert!(matches!(fault(search(&[1.0], &[1.0, 1.0], &[1.0])), SearchFault::Count { .. }));
        assert!(matches!(fault(search(&[1.0], &[1.0], &[])), SearchFault::Count { .. }));
        assert!(matches!(fault(search(&[1.0], &[-1.0], &[1.0])), SearchFault::NotPositive { index: 0, .. }));
        assert!(matches!(fault(search(&[f64::NAN], &[1.0], &[1.0])), SearchFault::Start { index: 0, .. }));
        let short = find_steady(|_| vec![], &search(&[1.0], &[1.0], &[1.0]));
        assert!(matches!(short, Err(SearchFault::Count { what: "residuals", .. })));
    }
}
