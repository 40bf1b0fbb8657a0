use airframe::{BodyLine, BodySection, Part, Planform};
use core::f64::consts::PI;
use nalgebra::Vector3;

use crate::body::apparent_mass;
use crate::coefficients::Coefficients;
use crate::fin::Fin;
use crate::flap::{flap_moment, flap_shift};
use crate::lift_slope::{helmbold, schrenk};

/// A strip with all the numbers its forces need. Body axes about the centre of mass, SI.
#[derive(Debug, Clone, PartialEq)]
pub struct Strip {
    /// Which part.
    pub part: Part,
    /// Quarter-chord point \[m\].
    pub position: Vector3<f64>,
    /// Unit vector along the chord, forward.
    pub chord_dir: Vector3<f64>,
    /// Unit normal, towards the suction side at positive incidence.
    pub normal: Vector3<f64>,
    /// Chord \[m\].
    pub chord: f64,
    /// Area [m^2].
    pub area: f64,
    /// Bound vortex: start \[m\].
    pub start: Vector3<f64>,
    /// Bound vortex: end \[m\].
    pub end: Vector3<f64>,
    /// Index of the surface on it.
    pub surface: Option<usize>,
    /// Share of the chord behind the hinge.
    pub hinge_chord: f64,
    /// Shift of the zero-lift angle per radian of flap, thin aerofoil.
    pub flap_shift: f64,
    /// Moment coefficient per radian of flap, thin aerofoil.
    pub flap_moment: f64,
    /// Aspect ratio of the part, for the induced drag of tail surfaces.
    pub aspect: f64,
    /// Lift slope [1/rad], tail surfaces only.
    pub slope: f64,
    /// Incidence at which the flow begins to separate \[rad\].
    pub separation: f64,
    /// tan of the incidence up to which it is exactly attached.
    pub attached_tan: f64,
    /// Drag coefficient at no lift.
    pub drag: f64,
    /// Zero-lift angle \[rad\].
    pub zero_lift: f64,
    /// Moment coefficient at no lift.
    pub moment: f64,
    /// Normal force coefficient square to the flow, separated.
    pub plate: f64,
    /// Lift coefficient that it keeps when separated, on 2 sin cos^2 of the incidence.
    pub plate_lift: f64,
    /// Place along the half span, -1 left tip .. 1 right tip; 0 off the wings.
    pub spread: f64,
    /// The body's cross flow here.
    pub beside: Beside,
}

/// Where a strip stands against the body.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Beside {
    /// Strength of the cross-flow doublet: half height times mean of half height and half width
    /// [m^2]; 0 where there is no body.
    pub doublet: f64,
    /// Scale of its flow here.
    pub gain: f64,
    /// Share of the lee's loss that acts here.
    pub lee: f64,
    /// Speed along the normal, per speed of the cross flow, that the neighbours take off before it separates a strip
    /// (wings only).
    pub eased: f64,
    /// z of the body's middle \[m\].
    pub centre_z: f64,
    /// Distance from the nose in body half heights.
    pub travel: f64,
    /// Cross-flow drag area shed ahead of it (body vortices only) [m^2].
    pub shed_area: f64,
    /// Half height of the body vortices' cross section \[m\].
    pub vortex_height: f64,
    /// Distance from the nose \[m\].
    pub from_nose: f64,
}

/// Default separation angles \[rad\] of wings and tailplanes (judgement).
const WING_SEPARATION: f64 = 15.0 * PI / 180.0;
const TAIL_SEPARATION: f64 = 16.0 * PI / 180.0;

impl Strip {
    /// Fills in what the section, the planform and the body beside it imply.
    #[must_use]
    pub(crate) fn prepare(
        s: &airframe::Strip,
        plan: &Planform,
        fin: &Fin,
        body: &BodyLine,
        c: &Coefficients,
    ) -> Self {
        let aspect = if s.part.is_fin() { fin.aspect } else { plan.aspect() };
        let kept = if s.part.is_fin() { fin.kept } else { 1.0 };
        let sweep = plan.sweep();
        let separation = separation_angle(plan, fin);
        Self {
            part: s.part,
            position: s.position,
            chord_dir: s.chord_dir,
            normal: s.normal,
            chord: s.chord,
            area: s.area,
            start: s.start,
            end: s.end,
            surface: s.surface,
            hinge_chord: s.hinge_chord,
            flap_shift: flap_shift(s.hinge_chord)
                * low_aspect_gain(s.hinge_chord, aspect, c)
                * beside_body(s, body, c),
            flap_moment: flap_moment(s.hinge_chord) * beside_body(s, body, c),
            aspect,
            slope: kept * helmbold(aspect, sweep, c.section_slope) / libm::cos(sweep)
                * schrenk(s.mid, s.chord, plan.mean_chord()),
            separation,
            attached_tan: Self::attached_tan(separation, c),
            drag: plan.section.drag.value,
            zero_lift: plan.section.zero_lift.value,
            moment: plan.section.moment.value,
            plate: c.plate_scale * (c.plate_base + c.plate_aspect * aspect),
            plate_lift: if s.part.is_wing() { c.separated_lift } else { 0.0 },
            spread: if s.part.is_wing() { s.position.y / plan.half_span() } else { 0.0 },
            beside: Beside::of(s.part, s.position.x, body, c),
        }
    }

    /// tan of the incidence up to which the flow is exactly attached; 0 where that is never sure.
    #[must_use]
    pub fn attached_tan(separation: f64, c: &Coefficients) -> f64 {
        let onset = separation - c.separation_width;
        if (0.0..1.5).contains(&onset) { libm::tan(onset) } else { 0.0 }
    }
}

/// Surfaces of low aspect ratio get more out of their flaps than sections do. Fit, within 0.04, to
/// fig. 6.1.4.1-14 of the USAF Stability and Control DATCOM as digitised elsewhere.
fn low_aspect_gain(hinge_chord: f64, aspect: f64, c: &Coefficients) -> f64 {
    let lost = (1.0 - flap_shift(hinge_chord)).max(0.0);
    1.0 + c.low_aspect_flap * 0.66 * libm::pow(lost, 1.2) / libm::pow(aspect, 0.72)
}

/// Share of its effect that a flap of a wing keeps in the junction with the body.
fn beside_body(s: &airframe::Strip, body: &BodyLine, c: &Coefficients) -> f64 {
    let width = body.section_at(s.position.x).unwrap_or_default().width;
    if s.part.is_wing() && s.position.y.abs() < 1.1 * width { c.flap_beside_body } else { 1.0 }
}

/// As given, or the part's default. Low fins separate late: 20 deg at aspect ratio 2
/// (Pelletier and Mueller, J. Aircraft 37(5), 2000, read off figures), 30 deg at 1 (from memory).
fn separation_angle(plan: &Planform, fin: &Fin) -> f64 {
    if let Some(given) = plan.section.separation {
        return given.value;
    }
    match plan.part {
        Part::Wing | Part::LowerWing => WING_SEPARATION,
        Part::Tailplane => TAIL_SEPARATION,
        _ => (40.0 - 10.0 * fin.exposed_aspect).clamp(17.0, 32.0) * PI / 180.0,
    }
}

impl Beside {
    /// Of a strip of `part` whose quarter chord stands at `x`.
    #[must_use]
    pub fn of(part: Part, x: f64, body: &BodyLine, c: &Coefficients) -> Self {
        // a section of no size, and so no doublet, where there is no body
        let section = body.section_at(x).unwrap_or_default();
        let half = 0.5 * section.height;
        Self {
            doublet: doublet(section, c.box_field * body.squareness),
            gain: field_gain(part, c),
            lee: if part.is_wing() { c.lee_wing } else { 1.0 },
            centre_z: section.centre_z,
            travel: (body.nose() - x).max(0.0) / (0.5 * section.height.max(0.5 * body.max_height())),
            ..Self::shed(x, body, half)
        }
    }

    /// What the body ahead has shed into its lee, for the alternative pair of body vortices.
    fn shed(x: f64, body: &BodyLine, half_height: f64) -> Self {
        const POINTS: usize = 60;
        let (from, to) = (body.nose(), x.max(body.tail()).min(body.nose()));
        let step = (to - from) / (POINTS - 1) as f64;
        let heights: Vec<f64> =
            (0..POINTS).map(|i| body.section_held(from + i as f64 * step).height).collect();
        let area: f64 = heights.windows(2).map(|h| 0.5 * (h[0] + h[1]) * -step).sum();
        let tallest = heights.iter().fold(0.0, |a: f64, &h| a.max(h));
        let square = body.squareness;
        Self {
            shed_area: cross_flow_length_factor(body) * (1.2 * (1.0 - square) + 2.3 * square) * area,
            vortex_height: half_height.max(0.35 * tallest),
            from_nose: (body.nose() - x).max(0.0),
            ..Self::default()
        }
    }
}

fn field_gain(part: Part, c: &Coefficients) -> f64 {
    match part {
        Part::Wing | Part::LowerWing => c.field_wing,
        Part::Fin | Part::LowerFin => c.field_fin,
        _ => 1.0,
    }
}

/// Strength of the doublet that a section in cross flow is from afar [m^2]: its area and its
/// apparent mass (as an area) over 2 pi. Of an ellipse: half height times mean of half height and
/// half width.
fn doublet(section: BodySection, squareness: f64) -> f64 {
    let (h, w) = (section.height, section.width);
    let area = h * w * (PI / 4.0 + squareness * (1.0 - PI / 4.0));
    let apparent = apparent_mass(squareness, h, w) * PI / 4.0 * h * h;
    (area + apparent) / (2.0 * PI)
}

/// Cross-flow drag of a finite body over that of an endless one (from memory).
#[must_use]
pub(crate) fn cross_flow_length_factor(body: &BodyLine) -> f64 {
    (0.50 + 0.02 * body.length() / body.max_height()).min(0.78)
}
