//! Products of a matrix and a list, in an order that is the same on every machine.

use nalgebra::DMatrix;

use crate::four::Four;

/// `y = m x`: every row summed from the first column to the last, many rows at a time.
#[inline]
pub(crate) fn multiply(m: &DMatrix<f64>, x: &[f64], y: &mut [f64]) {
    let rows = y.len();
    let mut done = 0;
    while rows - done >= 16 {
        rows_of::<4>(m, x, done, y);
        done += 16;
    }
    while rows - done >= 4 {
        rows_of::<1>(m, x, done, y);
        done += 4;
    }
    for row in done..rows {
        y[row] = m.as_slice().chunks_exact(rows).zip(x).map(|(column, share)| share * column[row]).sum();
    }
}

/// Rows `from` to `from + 4 N` of the product.
#[inline]
fn rows_of<const N: usize>(m: &DMatrix<f64>, x: &[f64], from: usize, y: &mut [f64]) {
    let mut sums = [Four::default(); N];
    for (column, &share) in m.as_slice().chunks_exact(y.len()).zip(x) {
        let entries = &column[from..from + 4 * N];
        for (i, sum) in sums.iter_mut().enumerate() {
            *sum += share * Four::read(entries, i);
        }
    }
    for (i, sum) in sums.into_iter().enumerate() {
        sum.write(&mut y[from..], i);
    }
}

/// `y += share` times column `j` of `m`.
#[inline]
pub(crate) fn add_column(share: f64, m: &DMatrix<f64>, j: usize, y: &mut [f64]) {
    let rows = y.len();
    add(share, &m.as_slice()[j * rows..(j + 1) * rows], y);
}

/// `y += share x`.
#[inline]
pub(crate) fn add(share: f64, x: &[f64], y: &mut [f64]) {
    for (y, x) in y.iter_mut().zip(x) {
        *y += share * x;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_product_is_every_row_times_the_list() {
        for rows in [1, 4, 7, 16, 43] {
            let m = DMatrix::from_fn(rows, 3, |i, j| (i * i) as f64 - 10.0 * j as f64);
            let (x, mut y) = ([2.0, -1.0, 0.5], vec![f64::NAN; rows]);
            multiply(&m, &x, &mut y);
            for (i, y) in y.into_iter().enumerate() {
                // all of it halves of whole numbers, so exact
                assert_eq!(y, 2.0 * m[(i, 0)] - m[(i, 1)] + 0.5 * m[(i, 2)], "row {i} of {rows}");
            }
        }
    }
}
