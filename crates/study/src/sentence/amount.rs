//! Sizes in words, no finer than the model is sure of.

use measure::DEG;

/// Tenths below 10 m.
pub(super) fn metres(signed: f64) -> String {
    tenths_below_ten(signed)
}

pub(super) fn tenths_below_ten(signed: f64) -> String {
    let size = signed.abs();
    if size < 9.95 { format!("{size:.1}") } else { format!("{size:.0}") }
}

pub(super) fn degrees(signed: f64) -> String {
    format!("{:.0}", signed.abs() / DEG)
}

pub(super) fn percent(share: f64) -> String {
    format!("{} %", tenths_below_ten(100.0 * share))
}

/// Elevator that is left for the flare, in words.
pub(super) fn left_for_the_flare(share: f64) -> String {
    match share {
        share if share >= 0.995 => "all of its up elevator left for the flare".to_owned(),
        share if share <= 0.005 => "no up elevator left for a flare".to_owned(),
        share => format!("{} of up elevator left for the flare", percent(share)),
    }
}

/// True for what is written as nothing but noughts.
pub(super) fn is_nothing(written: &str) -> bool {
    !written.contains(|c: char| ('1'..='9').contains(&c))
}

/// The word for the sign.
pub(super) const fn way(signed: f64, positive: &'static str, negative: &'static str) -> &'static str {
    if signed < 0.0 { negative } else { positive }
}
