use nalgebra::Vector3;

use crate::causes::Cause;
use crate::columns::{add, multiply};
use crate::instant::Instant;
use crate::local_flow::{LocalFlow, Spot};
use crate::model::{Model, Room};
use crate::section::{Loads, SectionFlow, separated_loads};
use crate::small_angle;
use crate::strip::Strip;
use crate::tally::{Effect, Tally};

/// Largest lift coefficient and induced angle \[rad\] that a strip may show: a strip beside the jet
/// can have next to no speed of its own.
const MAX_LIFT: f64 = 2.5;
const MAX_INDUCED: f64 = 0.35;
/// Largest tangent of the wake's skew.
const MAX_SKEW: f64 = 0.6;

/// Loads of all wings, and the strengths of their wake, left in `s.circulation`.
pub(crate) fn act<T: Tally>(model: &Model, at: &Instant, local: &LocalFlow, s: &mut Room, tally: &mut T) {
    let swirling = look(model, local, s);
    let skew = solve(model, at, local, swirling, s);
    for i in 0..model.wing_strips {
        load(model, at, local, skew, i, s, tally);
    }
}

/// Flow at every strip, and the normal wash that the lattice has to meet, with and without
/// swirl: the wake that reaches the tail is taken without it, because what the wing takes out of
/// the swirl is counted in the tail's share. Returns whether there is any swirl.
fn look(model: &Model, local: &LocalFlow, s: &mut Room) -> bool {
    let mut swirling = false;
    for i in 0..model.wing_strips {
        let strip = &model.parts.strips[i];
        let flap = &s.flaps[model.groups[i]];
        let (velocity, swirl) = local.at(strip, &model.spots[i]);
        let flow = SectionFlow::new(velocity.dot(&strip.chord_dir), velocity.dot(&strip.normal));
        let separated = flow.separated(strip, flap, &model.parts.coefficients);
        s.flows[i] = flow;
        s.separated[i] = separated;
        s.wash[i] = flow.speed * flow.lifting(flap) * (1.0 - separated);
        s.calm[i] = 0.0;
        if swirl != Vector3::zeros() {
            swirling = true;
            let calm = SectionFlow::new(
                flow.along + swirl.dot(&strip.chord_dir),
                flow.across + swirl.dot(&strip.normal),
            );
            s.calm[i] = calm.speed * calm.lifting(flap) * (1.0 - separated) - s.wash[i];
        }
    }
    swirling
}

/// Strengths of the loaded lattice, the downwash at its bound vortices, and the strengths of its
/// wake (without swirl and skew). Returns the strength of the skew.
fn solve(model: &Model, at: &Instant, local: &LocalFlow, swirling: bool, s: &mut Room) -> f64 {
    let n = model.wing_strips;
    multiply(&model.parts.lattice.strength, &s.wash[..n], &mut s.strength[..n]);
    s.circulation[..n].copy_from_slice(&s.strength[..n]);
    if swirling {
        multiply(&model.parts.lattice.strength, &s.calm[..n], &mut s.work[..n]);
        add(1.0, &s.work[..n], &mut s.circulation[..n]);
    }
    let strength = if at.causes.has(Cause::WingSkew) { model.parts.skew_strength } else { 0.0 };
    let u = local.flow;
    let tangent = (u.y / (u.x.abs() + 0.3 * u.y.abs() + 0.001)).clamp(-MAX_SKEW, MAX_SKEW);
    if strength * tangent != 0.0 {
        multiply(&model.parts.lattice.skew, &s.strength[..n], &mut s.work[..n]);
        add(strength * tangent, &s.work[..n], &mut s.strength[..n]);
    }
    multiply(&model.parts.lattice.downwash, &s.strength[..n], &mut s.work[..n]);
    strength
}

/// Loads of strip `i`.
fn load<T: Tally>(
    model: &Model,
    at: &Instant,
    local: &LocalFlow,
    skew: f64,
    i: usize,
    s: &mut Room,
    tally: &mut T,
) {
    let strip = &model.parts.strips[i];
    let flow = &s.flows[i];
    let flap = &s.flaps[model.groups[i]];
    // chord square to the swept span line [m]
    let width = strip.chord * strip.chord_dir.x;
    let lift = (2.0 * s.strength[i] * flow.slowness / width).clamp(-MAX_LIFT, MAX_LIFT);
    let (sin_i, cos_i) = small_angle::sincos((s.work[i] * flow.slowness).clamp(-MAX_INDUCED, MAX_INDUCED));
    let attached = 1.0 - s.separated[i];
    let profile = attached * (strip.drag + flap.drag);
    let mut normal = lift * (flow.cos * cos_i + flow.sin * sin_i) + profile * flow.sin;
    let mut chordwise = lift * (flow.sin * cos_i - flow.cos * sin_i) - profile * flow.cos;
    let mut moment = attached * (strip.moment + flap.moment);
    if s.separated[i] > 0.0 {
        let mut plate = separated_loads(strip, flow, flap);
        plate.normal *= 1.0 + windward_gain(model, local.flow) * strip.spread;
        normal += s.separated[i] * plate.normal;
        chordwise += s.separated[i] * plate.chordwise;
        moment += s.separated[i] * plate.moment;
        let shed = plate.normal * flow.cos + plate.chordwise * flow.sin;
        s.circulation[i] += 0.5 * s.separated[i] * flow.speed * width * shed;
    }
    let pressure = 0.5 * at.density * flow.speed2;
    act_on(strip, &model.spots[i], pressure, Loads { normal, chordwise, moment }, tally);
    if skew > 0.0 {
        tally.add(
            strip.part,
            Effect::Skew,
            Vector3::zeros(),
            strip.position,
            strip.chord_dir * skew_couple(strip, at.density, skew, s.strength[i], local.flow),
        );
    }
}

/// How much more a separated wing carries at its right tip than in the middle: the windward side more,
/// level beyond about 15 deg of sideslip.
fn windward_gain(model: &Model, flow: Vector3<f64>) -> f64 {
    const LEVEL: f64 = 0.28;
    let sin = flow.y / (flow.norm() + 1e-9);
    let x2 = (sin / LEVEL) * (sin / LEVEL);
    model.parts.coefficients.separated_roll * sin / (1.0 + x2 * x2).sqrt().sqrt()
}

/// Couple of the sideways flow over the chordwise vortices on the wing [N m], along the chord.
#[inline]
fn skew_couple(strip: &Strip, density: f64, skew: f64, strength: f64, flow: Vector3<f64>) -> f64 {
    let span = strip.end - strip.start;
    -skew * density * strength * (flow.y * span.y + flow.z * span.z) * 0.75 * strip.chord
}

/// Puts section coefficients on the airframe.
#[inline]
pub(crate) fn act_on<T: Tally>(strip: &Strip, spot: &Spot, pressure: f64, loads: Loads, tally: &mut T) {
    let load = pressure * strip.area;
    let force = strip.normal * (load * loads.normal) + strip.chord_dir * (load * loads.chordwise);
    let couple = spot.twist * (load * strip.chord * loads.moment);
    tally.add(strip.part, Effect::Section, force, strip.position, couple);
}
