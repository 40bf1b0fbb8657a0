//! Products of a matrix and a list, in an order that is the same on every machine.

use nalgebra::DMatrix;

/// `y = m x`, four columns at a time: the order of the sums is fixed, and the inner loop is wide.
#[inline]
pub(crate) fn multiply(m: &DMatrix<f64>, x: &[f64], y: &mut [f64]) {
    let rows = y.len();
    y.fill(0.0);
    let mut columns = m.as_slice().chunks_exact(4 * rows);
    let mut shares = x.chunks_exact(4);
    for (four, share) in (&mut columns).zip(&mut shares) {
        let (left, right) = four.split_at(2 * rows);
        let ((a, b), (c, d)) = (left.split_at(rows), right.split_at(rows));
        for ((((y, a), b), c), d) in y.iter_mut().zip(a).zip(b).zip(c).zip(d) {
            *y += (share[0] * a + share[1] * b) + (share[2] * c + share[3] * d);
        }
    }
    for (column, &share) in columns.remainder().chunks_exact(rows).zip(shares.remainder()) {
        add(share, column, y);
    }
}

/// `y += share x`.
#[inline]
pub(crate) fn add(share: f64, x: &[f64], y: &mut [f64]) {
    for (y, x) in y.iter_mut().zip(x) {
        *y += share * x;
    }
}
