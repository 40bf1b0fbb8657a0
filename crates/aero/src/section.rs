//! A section of a strip in any flow: where it separates, and what a separated plate feels.

use crate::coefficients::Coefficients;
use crate::flap::FlapState;
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

/// Flow at a strip, in its own plane.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct SectionFlow {
    /// Speed along the chord direction [m/s].
    pub(crate) along: f64,
    /// Speed along the normal [m/s]; positive incidence makes it negative.
    pub(crate) across: f64,
    /// Square of the speed [m^2/s^2].
    pub(crate) speed2: f64,
    /// Speed [m/s].
    pub(crate) speed: f64,
    /// 1 over the speed, finite at rest [s/m].
    pub(crate) slowness: f64,
    /// sin and cos of the incidence; both 0 at rest.
    pub(crate) sin: f64,
    pub(crate) cos: f64,
}

impl SectionFlow {
    #[inline]
    pub(crate) fn new(along: f64, across: f64) -> Self {
        let speed2 = along * along + across * across;
        let speed = speed2.sqrt();
        let slowness = 1.0 / (speed + 1e-12);
        Self { along, across, speed2, speed, slowness, sin: -across * slowness, cos: along * slowness }
    }

    /// sin times cos of the lifting angle: incidence less zero-lift angle plus flap shift.
    #[inline]
    pub(crate) fn lifting(&self, flap: &FlapState) -> f64 {
        let sin = self.sin * flap.cos_lift + self.cos * flap.sin_lift;
        let cos = self.cos * flap.cos_lift - self.sin * flap.sin_lift;
        sin * cos
    }

    /// Separated share of a strip. Most strips are attached by far, and are told so without an
    /// arc tangent.
    #[inline]
    pub(crate) fn separated(&self, strip: &Strip, flap: &FlapState, c: &Coefficients) -> f64 {
        if self.surely_attached(strip.attached_tan, flap.separation_tan) {
            return 0.0;
        }
        let incidence = libm::atan2(-self.across, self.along);
        separated_fraction(incidence + flap.separation, strip.separation, c.separation_width)
    }

    /// |incidence| + |shift| below the onset, by tan(a - b) = (ta - tb)/(1 + ta tb), with a tangent
    /// of the shift that is no smaller than the true one.
    #[inline]
    fn surely_attached(&self, onset_tan: f64, shift_tan: f64) -> bool {
        self.across.abs() * (1.0 + onset_tan * shift_tan) < self.along * (onset_tan - shift_tan)
    }
}

/// Coefficients of a strip: along its normal, along its chord (forward), and the moment about the
/// quarter chord (nose up).
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Loads {
    pub(crate) normal: f64,
    pub(crate) chordwise: f64,
    pub(crate) moment: f64,
}

/// Two flat plates in separated flow: the front share of the chord at the incidence, the flap at
/// incidence plus deflection.
pub(crate) fn separated_loads(strip: &Strip, flow: &SectionFlow, flap: &FlapState) -> Loads {
    let e = strip.hinge_chord;
    let front =
        plate_normal_force(strip.plate, flow.sin) + strip.plate_lift * 2.0 * flow.sin * flow.cos * flow.cos;
    let rear = plate_normal_force(strip.plate, flow.sin * flap.cos + flow.cos * flap.sin);
    let hinge = e * (rear * flap.cos - front);
    Loads {
        normal: front + hinge,
        chordwise: -e * rear * flap.sin - strip.drag * flow.cos,
        moment: -0.25 * front * (1.0 - flow.cos) - hinge * (0.75 - 0.5 * e),
    }
}
