//! A section of a strip in any flow: where it separates, and what a separated plate feels.

use crate::abreast::Abreast;
use crate::coefficients::Coefficients;
use crate::flap::{FlapState, FourFlaps};
use crate::four::Four;
use crate::strip::Strip;

/// Share of the flow that has separated at `incidence` \[rad\] (shifted for camber and flap):
/// exactly 0 up to one `width` below `angle`, exactly 1 from three widths above, smooth between.
#[must_use]
pub fn separated_fraction(incidence: f64, angle: f64, width: f64) -> f64 {
    let t = ((incidence.abs() - angle) / width + 1.0) / 4.0;
    if t <= 0.0 {
        return 0.0;
    }
    if t >= 1.0 {
        return 1.0;
    }
    t * t * t * (10.0 + t * (6.0 * t - 15.0))
}

/// Normal force coefficient of a plate at an angle to the flow, by the sine of that angle.
/// Source: Lindenburg, ECN-C--03-025, 2003 (form from memory).
#[must_use]
pub fn plate_normal_force(square_on: f64, sin: f64) -> f64 {
    square_on * sin / (0.56 + 0.44 * sin.abs())
}

/// Flow at four strips, each in its own plane.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct SectionFlow {
    /// Speed along the chord direction [m/s].
    pub(crate) along: Four,
    /// Speed along the normal [m/s]; positive incidence makes it negative.
    pub(crate) across: Four,
    /// Square of the speed [m^2/s^2].
    pub(crate) speed2: Four,
    /// Speed [m/s].
    pub(crate) speed: Four,
    /// 1 over the speed, finite at rest [s/m].
    pub(crate) slowness: Four,
    /// sin and cos of the incidence; both 0 at rest.
    pub(crate) sin: Four,
    pub(crate) cos: Four,
}

impl SectionFlow {
    #[inline]
    pub(crate) fn new(along: Four, across: Four) -> Self {
        let speed2 = along * along + across * across;
        let speed = speed2.sqrt();
        let slowness = 1.0 / (speed + 1e-12);
        Self { along, across, speed2, speed, slowness, sin: -across * slowness, cos: along * slowness }
    }

    /// sin times cos of the lifting angle: incidence less zero-lift angle plus flap shift.
    #[inline]
    pub(crate) fn lifting(&self, flaps: &FourFlaps<'_>) -> Four {
        let (sin_lift, cos_lift) = (flaps.each(|f| f.sin_lift), flaps.each(|f| f.cos_lift));
        let sin = self.sin * cos_lift + self.cos * sin_lift;
        let cos = self.cos * cos_lift - self.sin * sin_lift;
        sin * cos
    }

    /// Separated shares of strips whose neighbours take `eased` off the speeds along their normals. Most strips are attached by far, and are told so without an arc tangent:
    /// |incidence| + |shift| below the onset, by tan(a - b) = (ta - tb)/(1 + ta tb), with a tangent
    /// of the shift that is no smaller than the true one.
    #[inline]
    pub(crate) fn separated(
        &self,
        four: &Abreast,
        strips: &[Strip],
        flaps: &FourFlaps<'_>,
        c: &Coefficients,
        eased: Four,
    ) -> Four {
        let across = self.across - eased;
        let (onset, shift) = (four.attached_tan, flaps.each(|f| f.separation_tan));
        let below = self.along * (onset - shift) - across.abs() * (1.0 + onset * shift);
        let mut shares = Four::default();
        if below.0.iter().all(|below| *below > 0.0) {
            return shares;
        }
        for (k, i) in four.each() {
            if below.0[k] > 0.0 {
                continue;
            }
            let incidence = libm::atan2(-across.0[k], self.along.0[k]);
            let shifted = incidence + flaps.0[k].separation;
            shares.0[k] = separated_fraction(shifted, strips[i].separation, c.separation_width);
        }
        shares
    }
}

/// Coefficients of a strip, or of four: along its normal, along its chord (forward), and the moment
/// about the quarter chord (nose up).
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Loads<N> {
    pub(crate) normal: N,
    pub(crate) chordwise: N,
    pub(crate) moment: N,
}

/// Two flat plates in separated flow: the front share of the chord at the incidence, the flap at
/// incidence plus deflection. `sin` and `cos` of the incidence.
pub(crate) fn separated_loads(strip: &Strip, sin: f64, cos: f64, flap: &FlapState) -> Loads<f64> {
    let e = strip.hinge_chord;
    let front = plate_normal_force(strip.plate, sin) + strip.plate_lift * 2.0 * sin * cos * cos;
    let rear = plate_normal_force(strip.plate, sin * flap.cos + cos * flap.sin);
    let hinge = e * (rear * flap.cos - front);
    Loads {
        normal: front + hinge,
        chordwise: -e * rear * flap.sin - strip.drag * cos,
        moment: -0.25 * front * (1.0 - cos) - hinge * (0.75 - 0.5 * e),
    }
}
