use nalgebra::Vector3;

use crate::causes::Cause;
use crate::columns::{add, add_column, multiply};
use crate::four::Four;
use crate::instant::Instant;
use crate::local_flow::LocalFlow;
use crate::model::{Model, Room};
use crate::section::{Loads, SectionFlow, separated_loads};
use crate::small_angle;
use crate::tally::Tally;

/// Largest lift coefficient and induced angle \[rad\] that a strip may show: a strip beside the jet
/// can have next to no speed of its own.
const MAX_LIFT: f64 = 2.5;
const MAX_INDUCED: f64 = 0.35;
/// Largest tangent of the wake's skew.
const MAX_SKEW: f64 = 0.6;

/// Loads of all wings, and the strengths of their wake, left in `s.circulation`.
pub(crate) fn act<T: Tally>(model: &Model, at: &Instant, local: &LocalFlow, s: &mut Room, tally: &mut T) {
    look(model, local, s);
    let skew = solve(model, at, local, s);
    for i in 0..model.wings.len() {
        load(model, at, local, skew, i, s, tally);
    }
}

/// Flow at every strip, and the normal wash that the lattice has to meet, with and without
/// swirl: the wake that reaches the tail is taken without it, because what the wing takes out of
/// the swirl is counted in the tail's share.
fn look(model: &Model, local: &LocalFlow, s: &mut Room) {
    for (i, four) in model.wings.iter().enumerate() {
        let flaps = four.flaps(&s.flaps);
        let mut speeds = local.at(four, &model.parts.strips);
        let swirl = local.blow(four, &mut speeds);
        let flow = SectionFlow::new(speeds.along, speeds.across);
        let (strips, c) = (&model.parts.strips, &model.parts.coefficients);
        let separated = flow.separated(four, strips, &flaps, c, local.eased(four));
        let wash = flow.speed * flow.lifting(&flaps) * (1.0 - separated);
        let calm = if swirl.none() {
            Four::default()
        } else {
            let calm = SectionFlow::new(flow.along + swirl.along, flow.across + swirl.across);
            calm.speed * calm.lifting(&flaps) * (1.0 - separated) - wash
        };
        wash.write(&mut s.wash, i);
        calm.write(&mut s.calm, i);
        (s.flows[i], s.separated[i]) = (flow, separated);
    }
}

/// Strengths of the loaded lattice, the downwash at its bound vortices, and the strengths of its
/// wake (without swirl and skew). Returns the strength of the skew.
fn solve(model: &Model, at: &Instant, local: &LocalFlow, s: &mut Room) -> f64 {
    let n = model.wing_strips;
    multiply(&model.response.loaded, &s.wash[..n], &mut s.response);
    s.circulation[..n].copy_from_slice(&s.response[..n]);
    for (i, calm) in s.calm[..n].iter().enumerate().filter(|(_, calm)| **calm != 0.0) {
        add_column(*calm, &model.parts.lattice.strength, i, &mut s.circulation);
    }
    let strength = if at.causes.has(Cause::WingSkew) { model.parts.skew_strength } else { 0.0 };
    let u = local.flow;
    let tangent = (u.y / (u.x.abs() + 0.3 * u.y.abs() + 0.001)).clamp(-MAX_SKEW, MAX_SKEW);
    if strength * tangent != 0.0 {
        multiply(&model.response.skewed, &s.wash[..n], &mut s.skewed);
        add(strength * tangent, &s.skewed, &mut s.response);
    }
    strength
}

/// Loads of the four strips `i`.
fn load<T: Tally>(
    model: &Model,
    at: &Instant,
    local: &LocalFlow,
    skew: f64,
    i: usize,
    s: &mut Room,
    tally: &mut T,
) {
    let (four, flow, separated) = (&model.wings[i], &s.flows[i], s.separated[i]);
    let flaps = four.flaps(&s.flaps);
    let (strength, downwash) = (Four::read(&s.response, i), Four::read(&s.response, model.wings.len() + i));
    let lift = (strength * flow.slowness * four.lift_gain).within(MAX_LIFT);
    let (sin_i, cos_i) = small_angle::sincos((downwash * flow.slowness).within(MAX_INDUCED));
    let attached = 1.0 - separated;
    let profile = attached * (four.drag + flaps.each(|f| f.drag));
    let mut loads = Loads {
        normal: lift * (flow.cos * cos_i + flow.sin * sin_i) + profile * flow.sin,
        chordwise: lift * (flow.sin * cos_i - flow.cos * sin_i) - profile * flow.cos,
        moment: attached * (four.moment + flaps.each(|f| f.moment)),
    };
    if separated != Four::default() {
        load_separated(model, local, i, s, &mut loads);
    }
    let pressure = 0.5 * at.density * s.flows[i].speed2;
    four.act(pressure, &loads, tally);
    if skew > 0.0 {
        four.act_skewed(skew * at.density * strength, &local.flow, tally);
    }
}

/// What of the four strips `i` is separated: its loads, and the wake it sheds.
fn load_separated(model: &Model, local: &LocalFlow, i: usize, s: &mut Room, loads: &mut Loads<Four>) {
    let (four, flow, windward) = (&model.wings[i], &s.flows[i], windward_gain(model, local.flow));
    for (k, strip) in four.each().map(|(k, i)| (k, &model.parts.strips[i])) {
        let share = s.separated[i].0[k];
        if share <= 0.0 {
            continue;
        }
        let (sin, cos) = (flow.sin.0[k], flow.cos.0[k]);
        let mut plate = separated_loads(strip, sin, cos, four.flaps(&s.flaps).0[k]);
        plate.normal *= 1.0 + windward * strip.spread;
        loads.normal.0[k] += share * plate.normal;
        loads.chordwise.0[k] += share * plate.chordwise;
        loads.moment.0[k] += share * plate.moment;
        let shed = plate.normal * cos + plate.chordwise * sin;
        // chord square to the swept span line [m]
        let width = strip.chord * strip.chord_dir.x;
        s.circulation[4 * i + k] += 0.5 * share * flow.speed.0[k] * width * shed;
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
