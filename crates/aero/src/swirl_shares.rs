use airframe::{Geometry, Part};
use nalgebra::Vector3;

use crate::causes::{Cause, Causes};
use crate::coefficients::Coefficients;
use crate::instant::Instant;
use crate::lift_slope::helmbold;
use crate::model::{Model, Scratch};
use crate::propulsor::{Propulsor, steady_rotor_speed};
use crate::tally::Ledger;

/// The most angular momentum that a long flat plate, or a cross, can take out of a round jet in
/// solid rotation: 1 - 0.298/0.785 and 1 - 0.083/0.393 (half and quarter disc).
const PLATE: f64 = 0.62;
const CROSS: f64 = 0.79;

/// How much of the propeller's swirl each part takes: one budget of angular momentum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SwirlShares {
    /// Wings.
    pub wing: f64,
    /// Fins.
    pub fin: f64,
    /// Tailplane.
    pub tailplane: f64,
}

impl SwirlShares {
    /// No part takes anything from another.
    pub const FULL: Self = Self { wing: 1.0, fin: 1.0, tailplane: 1.0 };
    /// No swirl: a ducted fan's vanes have taken it out.
    pub const NONE: Self = Self { wing: 0.0, fin: 0.0, tailplane: 0.0 };

    /// The shares of `model`, whose propulsor still has full ones, and the roll moments per
    /// torque (wings, tail) they follow from.
    pub(crate) fn of(model: &mut Model, geometry: &Geometry, c: &Coefficients) -> Self {
        let Some(p) = model.parts.propulsor.as_mut() else { return Self::NONE };
        if p.duct_inlet.is_some() {
            return Self::NONE;
        }
        let half_plane = antisymmetric_slope(geometry, c);
        p.swirl = Self { tailplane: half_plane, ..Self::FULL };
        let p = p.clone();
        let (wings, tail) = roll_per_torque(model, &p, geometry.motor.full.value);
        let taken = wings / (1.0 + wings / PLATE);
        let left = (1.0 - taken) / (1.0 + tail / CROSS) * c.swirl_tail;
        Self { wing: c.swirl_wing / (1.0 + wings / PLATE), fin: left, tailplane: left * half_plane }
    }
}

/// Each half of a tailplane in turning flow works like a wing of half its aspect ratio.
fn antisymmetric_slope(geometry: &Geometry, c: &Coefficients) -> f64 {
    geometry.planform(Part::Tailplane).map_or(0.0, |t| {
        let aspect = t.span() / t.mean_chord();
        helmbold(0.5 * aspect, 0.0, c.section_slope) / helmbold(aspect, 0.0, c.section_slope)
    })
}

/// Roll moment per propeller torque that undiminished swirl puts on wings and tail, at full
/// throttle and about cruising speed.
fn roll_per_torque(model: &Model, p: &Propulsor, full: f64) -> (f64, f64) {
    let speed = 0.7 * 0.8 * p.no_thrust * p.diameter * full;
    let mut at = Instant::at(Vector3::new(speed, 0.0, 0.0));
    at.throttle = 1.0;
    at.rotor = steady_rotor_speed(p, 1.0, speed, at.density);
    let torque = p.thrust(at.rotor, speed, at.density).torque * p.rotation;
    let mut scratch = Scratch::new(model);
    let mut rolls = |causes: Causes| {
        let mut ledger = Ledger::default();
        at.causes = causes;
        model.forces_steady(&at, &mut scratch, &mut ledger);
        move |part: Part| ledger.part(part).moment.x
    };
    let with = rolls(Causes::ALL);
    let without = rolls(Causes::ALL.without(Cause::Swirl));
    let of = |parts: &[Part]| parts.iter().map(|&p| (with(p) - without(p)) / torque).sum::<f64>().max(0.0);
    (of(&[Part::Wing, Part::LowerWing]), of(&[Part::Tailplane, Part::Fin, Part::LowerFin]))
}
