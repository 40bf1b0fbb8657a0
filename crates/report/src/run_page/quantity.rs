//! Quantities with the words for their signs, and strips of them.

use crate::comparison::Strip;
use crate::signed::Signed;
use manoeuvre::Drift;

pub(super) fn quantity(unit: &str, decimals: usize, up: &str, down: &str, least_axis: f64) -> Signed {
    Signed { unit: unit.to_owned(), decimals, up: up.to_owned(), down: down.to_owned(), least_axis }
}

pub(super) fn angle(up: &str, down: &str) -> Signed {
    quantity("deg", 0, up, down, 10.0)
}

pub(super) fn metres(up: &str, down: &str) -> Signed {
    quantity("m", 0, up, down, 4.0)
}

pub(super) fn share(decimals: usize, up: &str, down: &str) -> Signed {
    quantity("%", decimals, up, down, 5.0)
}

pub(super) fn strip(
    title: &str,
    quantity: Signed,
    without: &[Drift],
    with: &[Drift],
    value: impl Fn(&Drift) -> f64,
) -> Strip {
    Strip {
        title: title.to_owned(),
        quantity,
        without: without.iter().map(&value).collect(),
        with: with.iter().map(&value).collect(),
        limits: Vec::new(),
    }
}
