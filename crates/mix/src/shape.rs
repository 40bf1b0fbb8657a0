//! How a follower depends on its lead.

use crate::Shape;

impl Shape {
    /// Share of the follower's full throw for a lead, both in shares of one.
    #[must_use]
    pub fn follower(&self, lead: f64) -> f64 {
        match self {
            Self::TwoSided { left, .. } if lead < 0.0 => left * -lead,
            Self::TwoSided { right, .. } => right * lead,
            Self::Curve(points) => along(points, lead),
        }
    }

    /// The same shape with every follower value multiplied.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        match self {
            Self::TwoSided { left, right } => Self::TwoSided { left: left * factor, right: right * factor },
            Self::Curve(points) => {
                Self::Curve(points.iter().map(|&(lead, share)| (lead, share * factor)).collect())
            }
        }
    }
}

/// Straight lines through points, held outside; 0 if there are none.
fn along(points: &[(f64, f64)], lead: f64) -> f64 {
    let above = points.partition_point(|&(x, _)| x <= lead);
    match (above.checked_sub(1).and_then(|i| points.get(i)), points.get(above)) {
        (Some(&low), Some(&high)) => between(low, high, lead),
        (Some(&(_, share)), None) | (None, Some(&(_, share))) => share,
        (None, None) => 0.0,
    }
}

/// The straight line through two points. Weighing both ends alike keeps mirrored curves mirrored
/// to the bit and the points themselves exact; the clamp keeps level stretches level.
fn between((x0, y0): (f64, f64), (x1, y1): (f64, f64), x: f64) -> f64 {
    let (to_low, to_high) = ((x1 - x) / (x1 - x0), (x - x0) / (x1 - x0));
    (y0 * to_low + y1 * to_high).clamp(y0.min(y1), y0.max(y1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn each_side_has_its_own_share() {
        let shape = Shape::TwoSided { left: -0.02, right: -0.03 };
        assert_eq!(shape.follower(-1.0), -0.02);
        assert_eq!(shape.follower(1.0), -0.03);
        assert_eq!(shape.follower(0.5), -0.015);
        assert_eq!(shape.follower(0.0), 0.0);
    }

    #[test]
    fn a_curve_is_held_outside_its_points() {
        let shape = Shape::Curve(vec![(0.1, -0.03), (0.25, 0.0)]);
        assert_eq!(shape.follower(0.0), -0.03);
        assert_eq!(shape.follower(1.0), 0.0);
        assert!((shape.follower(0.175) + 0.015).abs() < 1e-15);
    }

    /// A curve with rising leads, at least two points.
    fn points() -> impl Strategy<Value = Vec<(f64, f64)>> {
        prop::collection::vec((0.01..0.3f64, -1.0..1.0f64), 2..7).prop_map(|steps| {
            let mut lead = -1.0;
            let rise = |(step, share)| {
                lead += step;
                (lead, share)
            };
            steps.into_iter().map(rise).collect()
        })
    }

    proptest! {
        #[test]
        fn passes_through_its_points(points in points()) {
            let shape = Shape::Curve(points.clone());
            for (lead, share) in points {
                prop_assert_eq!(shape.follower(lead), share);
            }
        }

        #[test]
        fn mirrored_points_give_the_mirrored_curve(points in points(), x in -1.0..1.0f64) {
            let mirrored = points.iter().rev().map(|&(lead, share)| (-lead, -share)).collect();
            let (here, there) = (Shape::Curve(points).follower(x), Shape::Curve(mirrored).follower(-x));
            prop_assert_eq!(here, -there);
        }

        /// Across points exactly; between two points but for rounding.
        #[test]
        fn rises_where_its_points_rise(mut points in points(), a in -1.0..1.0f64, b in -1.0..1.0f64) {
            let mut shares: Vec<f64> = points.iter().map(|p| p.1).collect();
            shares.sort_by(f64::total_cmp);
            for (point, share) in points.iter_mut().zip(shares) {
                point.1 = share;
            }
            let shape = Shape::Curve(points);
            prop_assert!(shape.follower(a.min(b)) <= shape.follower(a.max(b)) + 4.0 * f64::EPSILON);
        }

        #[test]
        fn a_level_stretch_is_level(share in -1.0..1.0f64, x in -1.0..1.0f64) {
            let shape = Shape::Curve(vec![(-1.0, share), (0.3, share), (1.0, share)]);
            prop_assert_eq!(shape.follower(x).to_bits(), share.to_bits());
        }
    }
}
