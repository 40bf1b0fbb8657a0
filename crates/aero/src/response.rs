use nalgebra::DMatrix;

use crate::lattice::{Lattice, product};

/// What the wings' lattice answers to the normal wash at its strips [m/s], as one product with the
/// list of washes. Rows: strengths [m^2/s], then the downwash at the bound vortices [m/s], each list
/// filled up to whole fours.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Response {
    /// Of the lattice with its wake straight aft.
    pub(crate) loaded: DMatrix<f64>,
    /// What the wake's skew changes in that, per tangent.
    pub(crate) skewed: DMatrix<f64>,
}

impl Response {
    pub(crate) fn of(lattice: &Lattice) -> Self {
        let skewed = product(&lattice.skew, &lattice.strength);
        Self {
            loaded: stacked(&lattice.strength, &product(&lattice.downwash, &lattice.strength)),
            skewed: stacked(&skewed, &product(&lattice.downwash, &skewed)),
        }
    }
}

/// One above the other, both with rows of zeros up to whole fours.
fn stacked(top: &DMatrix<f64>, bottom: &DMatrix<f64>) -> DMatrix<f64> {
    let rows = top.nrows().next_multiple_of(4);
    let mut both = DMatrix::zeros(2 * rows, top.ncols());
    both.rows_mut(0, top.nrows()).copy_from(top);
    both.rows_mut(rows, bottom.nrows()).copy_from(bottom);
    both
}
