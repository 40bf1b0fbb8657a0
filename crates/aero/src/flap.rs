//! What a deflected hinge does to its section.

use core::f64::consts::PI;

use crate::causes::{Cause, Causes};
use crate::coefficients::Coefficients;
use crate::four::Four;
use crate::instant::Deflections;
use crate::small_angle;
use crate::strip::Strip;

/// Change of the zero-lift angle per radian of flap, thin aerofoil, flap chord share `e`.
/// Source: Glauert, ARC R&M 1095, 1927 (from memory); formula as in Houghton and Carpenter,
/// *Aerodynamics for Engineering Students*, eq. 4.49-4.52.
#[must_use]
pub fn flap_shift(e: f64) -> f64 {
    if e <= 0.0 {
        return 0.0;
    }
    let theta = libm::acos(2.0 * e - 1.0);
    1.0 - (theta - libm::sin(theta)) / PI
}

/// Change of the moment coefficient about the quarter chord per radian of flap, thin aerofoil.
/// Source: as [`flap_shift`]; `-0.5 sin phi (1 - cos phi)` with `cos phi = 2 e - 1`.
#[must_use]
pub fn flap_moment(e: f64) -> f64 {
    let rest = 1.0 - e;
    -2.0 * (e * rest * rest * rest).max(0.0).sqrt()
}

/// Share of the thin-aerofoil flap effect that a real flap reaches at deflection `d` \[rad\].
#[must_use]
pub fn flap_effectiveness(c: &Coefficients, d: f64) -> f64 {
    let x = d.abs() / c.flap_angle;
    c.flap_scale * (c.flap_floor + c.flap_gain / (1.0 + x * x * x))
}

/// Share of its effect at small deflections that a flap with chord share `e` on a section keeps at
/// deflection `d` \[rad\]. Fit, within 0.04, to USAF DATCOM fig. 6.1.1.1-40 as digitised in its computer
/// form, chord shares 0.25 to 0.5.
#[must_use]
pub fn section_flap_fall(e: f64, d: f64) -> f64 {
    let beyond = e.clamp(0.15, 0.55) - 0.25;
    let (left, knee) = (0.51 - 0.2 * beyond, 0.42 - 0.28 * beyond);
    let x = d.abs() / knee;
    let x2 = x * x;
    left + (1.0 - left) / (1.0 + x2 * x2 * x)
}

/// Strips that share surface, hinge and camber share one of these.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct FlapGroup {
    surface: Option<usize>,
    hinge_chord: f64,
    shift: f64,
    moment: f64,
    zero_lift: f64,
    drag: f64,
    /// Weight of the section's faster fall with deflection.
    fall: f64,
    /// With the surface in the middle.
    centred: FlapState,
}

/// The state of a group at an instant.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct FlapState {
    /// sin and cos of what is added to the incidence to give the lifting angle.
    pub(crate) sin_lift: f64,
    pub(crate) cos_lift: f64,
    /// What is added to the incidence before it is held against the separation angle \[rad\].
    pub(crate) separation: f64,
    /// No less than the tangent of its size; infinite where that is large.
    pub(crate) separation_tan: f64,
    /// Added to the profile drag coefficient.
    pub(crate) drag: f64,
    /// Added to the moment coefficient.
    pub(crate) moment: f64,
    /// sin and cos of the deflection.
    pub(crate) sin: f64,
    pub(crate) cos: f64,
}

/// The flaps of four strips.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FourFlaps<'a>(pub(crate) [&'a FlapState; 4]);

impl FourFlaps<'_> {
    /// One number of each.
    #[inline]
    pub(crate) fn each(&self, number: impl Fn(&FlapState) -> f64) -> Four {
        Four::of(|k| number(self.0[k]))
    }
}

impl FlapGroup {
    pub(crate) fn of(strip: &Strip, c: &Coefficients) -> Self {
        let group = Self {
            surface: strip.surface,
            hinge_chord: strip.hinge_chord,
            shift: strip.flap_shift,
            moment: strip.flap_moment,
            zero_lift: strip.zero_lift,
            drag: c.flap_drag * libm::pow(strip.hinge_chord, 1.38),
            fall: if strip.part.is_wing() { c.wing_flap_fall } else { 0.0 },
            centred: FlapState::default(),
        };
        Self { centred: group.deflected(0.0, c, Causes::ALL), ..group }
    }

    /// What the faster fall leaves of the effectiveness at deflection `d` \[rad\].
    fn fallen(&self, d: f64, c: &Coefficients) -> f64 {
        if d == 0.0 || self.fall == 0.0 {
            return 1.0;
        }
        let own = flap_effectiveness(c, d) / flap_effectiveness(c, 0.0);
        1.0 + self.fall * (section_flap_fall(self.hinge_chord, d) / own - 1.0)
    }

    pub(crate) fn state(&self, deflections: &Deflections, c: &Coefficients, causes: Causes) -> FlapState {
        match self.surface.map_or(0.0, |s| deflections[s]) {
            0.0 => self.centred,
            d => self.deflected(d, c, causes),
        }
    }

    fn deflected(&self, d: f64, c: &Coefficients, causes: Causes) -> FlapState {
        let effective = flap_effectiveness(c, d) * d * self.fallen(d, c);
        let shift = self.shift * effective;
        let (sin, cos) = small_angle::quick_sincos(d);
        let lift = shift - self.zero_lift;
        let (sin_lift, cos_lift) = small_angle::quick_sincos(lift);
        let moment = if causes.has(Cause::HingeMoment) { self.moment * effective } else { 0.0 };
        let separation = c.separation_shift * shift - 0.5 * self.zero_lift;
        FlapState {
            sin_lift,
            cos_lift,
            separation,
            separation_tan: tan_from_above(separation.abs()),
            drag: self.drag * sin * sin,
            moment,
            sin,
            cos,
        }
    }
}

/// x/(1 - x^2/2) lies above tan(x) for 0 < x < 1, closely for small x.
fn tan_from_above(x: f64) -> f64 {
    if x < 0.8 { x / (1.0 - 0.5 * x * x) } else { f64::INFINITY }
}

#[cfg(test)]
mod tests {
    use super::tan_from_above;

    #[test]
    fn the_bound_is_one() {
        for i in 0..1000 {
            let x = f64::from(i) * 1e-3;
            assert!(tan_from_above(x) >= libm::tan(x), "{x}");
        }
    }
}
