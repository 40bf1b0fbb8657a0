//! Names at the ends of lines, in place of a legend.

/// Moves blocks of text apart that would overlap.
///
/// `wanted` are the middles (px), `heights` the heights; the returned middles keep the order of the wanted
/// ones, do not overlap, and stay between `low` and `high` as long as all blocks together fit there.
#[must_use]
pub fn spread(wanted: &[f64], heights: &[f64], low: f64, high: f64) -> Vec<f64> {
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    order.sort_by(|&a, &b| wanted[a].total_cmp(&wanted[b]));
    let mut middles = wanted.to_vec();
    let mut edge = low;
    for &i in &order {
        middles[i] = middles[i].max(edge + 0.5 * heights[i]);
        edge = middles[i] + 0.5 * heights[i];
    }
    let mut edge = high;
    for &i in order.iter().rev() {
        middles[i] = middles[i].min(edge - 0.5 * heights[i]);
        edge = middles[i] - 0.5 * heights[i];
    }
    middles
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_far_apart_stay_where_they_are() {
        assert_eq!(spread(&[80.0, 20.0], &[20.0, 20.0], 0.0, 100.0), [80.0, 20.0]);
    }

    #[test]
    fn labels_never_overlap_nor_leave_and_keep_their_order() {
        for wanted in [[50.0, 50.0, 50.0], [0.0, 1.0, 2.0], [99.0, 100.0, 98.0], [10.0, 90.0, 11.0]] {
            let middles = spread(&wanted, &[30.0, 20.0, 25.0], 0.0, 100.0);
            for i in 0..3 {
                let half = [15.0, 10.0, 12.5];
                assert!(middles[i] - half[i] >= -1e-9 && middles[i] + half[i] <= 100.0 + 1e-9, "{middles:?}");
                for j in 0..i {
                    assert!((middles[i] - middles[j]).abs() >= half[i] + half[j] - 1e-9, "{middles:?}");
                    assert!((wanted[i] - wanted[j]) * (middles[i] - middles[j]) >= 0.0, "{middles:?}");
                }
            }
        }
    }
}
