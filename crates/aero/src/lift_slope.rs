//! Lift slopes of tail surfaces: Helmbold's slope for the whole, Schrenk's shape along the span.

use core::f64::consts::PI;

/// Lift slope [1/rad] of a surface of aspect ratio `aspect` and sweep `sweep` \[rad\], section
/// slope 2 pi times `section`.
/// Source: Helmbold, Jahrbuch 1942 der Deutschen Luftfahrtforschung (form from a secondary text).
#[must_use]
pub fn helmbold(aspect: f64, sweep: f64, section: f64) -> f64 {
    let tan = libm::tan(sweep);
    let ratio = aspect / section;
    2.0 * PI * aspect / (2.0 + (ratio * ratio * (1.0 + tan * tan) + 4.0).sqrt())
}

/// Local load at `mid` (share of the half span) over that of an even spread: mean of the chord
/// and of an ellipse of equal area, over the chord.
/// Source: Schrenk, NACA TM 948, 1940 (abstract seen, form from memory).
#[must_use]
pub fn schrenk(mid: f64, chord: f64, mean_chord: f64) -> f64 {
    let ellipse = 4.0 / PI * mean_chord * (1.0 - mid * mid).max(0.0).sqrt();
    0.5 * (1.0 + ellipse / chord)
}
