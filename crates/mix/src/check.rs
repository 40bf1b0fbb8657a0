//! The numbers of a mix, each by itself.

use crate::error::{BlendAt, MixError, RatePart, TimePart};
use crate::rate::EXPO_RANGE;
use crate::{Blend, RateSet, Shape};
use measure::Stick;

/// Largest follower value, in shares of one. More than full throw is legitimate in a study of what
/// would be needed; beyond ten times it is a slip of the decimal point. Own choice, no source.
pub const LARGEST_SHARE: f64 = 10.0;

const RATED: [Stick; 3] = [Stick::Aileron, Stick::Elevator, Stick::Rudder];

/// Throws within 0..1, expo within [`EXPO_RANGE`].
pub(crate) fn check_rates(set: &RateSet, errors: &mut Vec<MixError>) {
    for stick in RATED {
        let rate = set.of(stick);
        let parts = [(RatePart::Throw, rate.throw, (0.0, 1.0)), (RatePart::Expo, rate.expo, EXPO_RANGE)];
        for (part, found, allowed) in parts {
            if !(allowed.0..=allowed.1).contains(&found) {
                errors.push(MixError::Rate { rates: set.name.clone(), stick, part, found, allowed });
            }
        }
    }
}

/// Shares, curve and times of a blend.
pub(crate) fn check_numbers(blend: &Blend, at: &BlendAt, errors: &mut Vec<MixError>) {
    match &blend.shape {
        Shape::TwoSided { left, right } => check_shares([*left, *right], at, errors),
        Shape::Curve(points) => check_curve(points, blend.from.range(), at, errors),
    }
    for (part, found) in [(TimePart::Fade, blend.fade), (TimePart::Slow, blend.slow)] {
        if !(found.is_finite() && found >= 0.0) {
            errors.push(MixError::Time { blend: at.clone(), part, found });
        }
    }
}

fn check_shares(shares: impl IntoIterator<Item = f64>, at: &BlendAt, errors: &mut Vec<MixError>) {
    for found in shares {
        if !(-LARGEST_SHARE..=LARGEST_SHARE).contains(&found) {
            errors.push(MixError::Share { blend: at.clone(), found, largest: LARGEST_SHARE });
        }
    }
}

fn check_curve(points: &[(f64, f64)], allowed: (f64, f64), at: &BlendAt, errors: &mut Vec<MixError>) {
    if points.len() < 2 {
        errors.push(MixError::CurveTooShort { blend: at.clone(), points: points.len() });
    }
    for (i, &(found, _)) in points.iter().enumerate() {
        if !(allowed.0..=allowed.1).contains(&found) {
            errors.push(MixError::CurveOutside { blend: at.clone(), point: i + 1, found, allowed });
        }
    }
    for (i, pair) in points.windows(2).enumerate() {
        let (before, found) = (pair[0].0, pair[1].0);
        if found <= before {
            errors.push(MixError::CurveNotRising { blend: at.clone(), point: i + 2, found, before });
        }
    }
    check_shares(points.iter().map(|point| point.1), at, errors);
}
