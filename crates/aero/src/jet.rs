use airframe::Part;
use nalgebra::Vector3;

use crate::causes::{Cause, Causes};
use crate::coefficients::Coefficients;
use crate::four::{Four, FourVectors};
use crate::local_flow::Speeds;
use crate::propulsor::{Propulsor, Thrust};
use crate::strip::Strip;
use crate::swirl_shares::SwirlShares;

/// 2 pi times the integral that makes the angular momentum of the swirl profile equal the torque.
const SWIRL_NORM: f64 = 1.955;

/// The jet drifts no more than this per length behind the disc.
const MOST_DRIFT: f64 = 1.5;
/// Radius of the widest jet with its soft edge over that of the disc: 1.15 sqrt(1.5), rounded up.
const WIDEST: f64 = 1.15 * 1.225;

/// Radius at which the jet ends for the tail, over that of the disc. `(1 - (r/1.46 R)^2)^1.25` lies
/// within 0.04 of the chart (see [`tail_gain`]): half at R.
const TAIL_JET_EDGE: f64 = 1.46;

/// What the tail sees of the jet's dynamic pressure in its middle, as the square of a speed
/// [m^2/s^2]: a share of the momentum value that falls with the thrust coefficient.
/// Source: USAF DATCOM fig. 4.6.3-16 as digitised in its computer form, thrust coefficients 0.5 to
/// 4.6 over disc area (fit 0.36 + 0.75 exp(-0.85 t), within 0.07). Jets of model propellers at rest
/// keep 0.8 (Khan and Nahon, J. Aircraft 2015, secondary text); how the share rises to that between
/// is a judgement.
fn tail_gain(thrust: &Thrust) -> f64 {
    let axial = thrust.axial.max(0.0);
    let momentum = 4.0 * thrust.induced * (axial + thrust.induced);
    let slow = axial * axial;
    if momentum <= 0.0 {
        return momentum;
    }
    let at_rest = momentum * momentum / (momentum * momentum + 400.0 * slow * slow + 1e-12);
    let fallen = if slow > 0.0 { libm::exp(-0.85 * momentum / slow) } else { 0.0 };
    momentum * (0.36 + 0.75 * fallen + 0.44 * at_rest)
}

/// 0 below 0, 1 above 1, smooth between.
#[inline]
pub(crate) fn smooth_step(x: f64) -> f64 {
    let x = x.clamp(0.0, 1.0);
    x * x * (3.0 - 2.0 * x)
}

/// The propeller's jet: faster air behind the disc that contracts, drifts with the cross flow,
/// and turns.
/// Source: momentum theory (McCormick, 2nd ed. 1995, from memory); swirl from the torque.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Jet {
    radius: f64,
    axial: f64,
    induced: f64,
    /// Cross flow of the air over the hub [m/s].
    cross: Vector3<f64>,
    /// Most drift per length behind the disc and speed of the cross flow [s/m].
    most_drift: f64,
    /// Lowest speed the jet is taken to have [m/s].
    floor: f64,
    /// Most drift per length behind the disc.
    widest_drift: f64,
    /// Square of the speed that the tail sees added in the middle, over that of the stream [m^2/s^2];
    /// `None`: the tail sees the wing's jet.
    tail_gain: Option<f64>,
    /// Swirl strength before it is divided by speed and size; per part in `shares`.
    swirl: f64,
    shares: SwirlShares,
}

/// What the jet adds to the velocities of four strips relative to the air.
#[derive(Debug, Clone, Copy, Default)]
struct JetFlow {
    /// Along the axis [m/s].
    axial: Four,
    /// From the middle of the jet to the strips \[m\].
    off_middle: FourVectors,
    /// Rate at which the air turns there [rad/s]; its velocity is to be taken off.
    turn: Four,
}

/// What the places of four strips behind the disc fix once and for all.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct JetSpots {
    parts: [Part; 4],
    /// Distance behind the disc, not below 0 \[m\], and whether there is any.
    behind: Four,
    is_behind: Four,
    /// From the axis to the strips \[m\].
    off_axis: FourVectors,
    /// Its length \[m\].
    distance: Four,
    /// Speed added there on the axis per induced speed: 1 at the disc, 2 far behind.
    gain: Four,
    /// How much of the swirl has come into being.
    turned: Four,
    /// Speed along chord and normal per speed along the axis.
    along: Four,
    across: Four,
    /// The same per rate of turn, as levers on the way from the middle of the jet.
    turning_along: FourVectors,
    turning_across: FourVectors,
}

impl JetSpots {
    pub(crate) fn of(strips: [&Strip; 4], p: &Propulsor) -> Self {
        let number = |f: &dyn Fn(&Strip) -> f64| Four::of(|k| f(strips[k]));
        let vector = |f: &dyn Fn(&Strip) -> Vector3<f64>| FourVectors::of(|k| f(strips[k]));
        let behind = |s: &Strip| -(s.position - p.hub).dot(&p.axis);
        let off_axis = |s: &Strip| s.position - p.hub + p.axis * behind(s);
        let radius = 0.5 * p.diameter;
        Self {
            parts: strips.map(|s| s.part),
            behind: number(&|s| behind(s).max(0.0)),
            is_behind: number(&|s| if behind(s) > 0.0 { 1.0 } else { 0.0 }),
            off_axis: vector(&off_axis),
            distance: number(&|s| off_axis(s).norm()),
            gain: number(&|s| gain(behind(s), radius)),
            turned: number(&|s| smooth_step(behind(s) / (0.5 * radius))),
            along: number(&|s| p.axis.dot(&s.chord_dir)),
            across: number(&|s| p.axis.dot(&s.normal)),
            turning_along: vector(&|s| s.chord_dir.cross(&p.axis)),
            turning_across: vector(&|s| s.normal.cross(&p.axis)),
        }
    }
}

/// Speed that a disc of `radius` \[m\] adds on its axis `behind` it \[m\], over what it adds at the disc.
/// Source: vortex cylinder (McCormick, from memory).
#[must_use]
pub fn gain(behind: f64, radius: f64) -> f64 {
    1.0 + behind / (behind * behind + radius * radius).sqrt()
}

impl Jet {
    pub(crate) fn new(
        p: &Propulsor,
        thrust: &Thrust,
        density: f64,
        c: &Coefficients,
        causes: Causes,
    ) -> Option<Self> {
        if p.duct_inlet.is_some() || !causes.has(Cause::Slipstream) {
            return None;
        }
        let cross = -thrust.cross;
        let speed = cross.norm();
        let floor = 0.2 * thrust.induced.abs() + 0.5;
        let swirl =
            if causes.has(Cause::Swirl) { p.rotation * thrust.torque / (SWIRL_NORM * density) } else { 0.0 };
        Some(Self {
            radius: 0.5 * p.diameter,
            axial: thrust.axial,
            induced: thrust.induced,
            cross,
            most_drift: MOST_DRIFT / speed.max(1e-9),
            floor,
            widest_drift: (speed / thrust.axial.max(floor)).min(MOST_DRIFT),
            tail_gain: (c.tail_jet > 0.0).then(|| c.tail_jet_pressure * tail_gain(thrust)),
            swirl,
            shares: p.swirl,
        })
    }

    /// Speed that the disc adds where its gain is `gain` [m/s].
    #[inline]
    pub(crate) fn added(&self, gain: f64) -> f64 {
        self.induced * gain
    }

    /// Adds the jet to the speeds of four strips; returns how much of that is taken off by the swirl.
    #[inline]
    pub(crate) fn blow(&self, spots: &JetSpots, speeds: &mut Speeds) -> Speeds {
        let mut jet = self.at_wing(spots);
        if let Some(gain) = self.tail_gain
            && !spots.parts[0].is_wing()
        {
            jet.axial = self.added_at_tail(gain, spots);
        }
        let swirl = Speeds {
            along: jet.turn * spots.turning_along.dot_each(&jet.off_middle),
            across: jet.turn * spots.turning_across.dot_each(&jet.off_middle),
        };
        speeds.along += jet.axial * spots.along - swirl.along;
        speeds.across += jet.axial * spots.across - swirl.across;
        swirl
    }

    /// Whether a jet of this radius, drifting the most, reaches any of the strips: most are outside.
    #[inline]
    fn reaches(&self, radius: f64, spots: &JetSpots) -> bool {
        let off = spots.distance - spots.behind * self.widest_drift;
        off.0.iter().any(|off| *off <= radius)
    }

    /// Speed added at tail strips [m/s]: the jet keeps the disc's radius, its edge is washed out,
    /// and it drifts as it leaves the disc.
    #[inline]
    fn added_at_tail(&self, gain: f64, spots: &JetSpots) -> Four {
        let reach = TAIL_JET_EDGE * self.radius;
        if !self.reaches(reach, spots) {
            return Four::default();
        }
        let slowness = 1.0 / (self.axial + self.induced).max(self.floor);
        let q = spots.off_axis.less(spots.behind * slowness.min(self.most_drift), &self.cross);
        let inside = (1.0 - q.norm_squared() * (1.0 / (reach * reach))).at_least(0.0);
        let profile = inside * inside.sqrt().sqrt() * spots.is_behind;
        let axial = self.axial.max(0.0);
        (axial * axial + gain * profile).at_least(0.0).sqrt() - axial
    }

    #[inline]
    fn at_wing(&self, spots: &JetSpots) -> JetFlow {
        if !self.reaches(WIDEST * self.radius, spots) {
            return JetFlow::default();
        }
        let speed = (self.axial + self.induced * spots.gain).at_least(self.floor);
        let slowness = 1.0 / speed;
        let q = spots.off_axis.less(spots.behind * slowness.at_most(self.most_drift), &self.cross);
        // faster air fills less: speed at the strip over speed at the disc, and 1 over the radius squared
        let contraction =
            (speed * (1.0 / (self.axial + self.induced).max(0.3))).at_least(1.0 / 1.5).at_most(2.5);
        let over_radius2 = contraction * (1.0 / (self.radius * self.radius));
        let radii2 = q.norm_squared() * over_radius2;
        let edge = ((1.15 - radii2.sqrt()) * (1.0 / 0.3)).at_least(0.0).at_most(1.0);
        let inside = edge * edge * (3.0 - 2.0 * edge);
        let share = Four::of(|k| self.share(spots.parts[k]));
        let turn = self.swirl * slowness * share * spots.turned * inside * over_radius2 * over_radius2
            / (radii2 + 0.0625).sqrt();
        JetFlow { axial: inside * self.induced * spots.gain, off_middle: q, turn }
    }

    const fn share(&self, part: Part) -> f64 {
        match part {
            Part::Wing | Part::LowerWing => self.shares.wing,
            Part::Tailplane => self.shares.tailplane,
            _ => self.shares.fin,
        }
    }
}

/// Angular momentum per torque that the swirl profile carries, for the record: the profile
/// `O r / sqrt(r^2 + (R/4)^2)` integrated over the disc gives `2 pi 0.311 R^3`.
#[cfg(test)]
fn profile_integral() -> f64 {
    // midpoint rule in r/R, swirl speed r/sqrt(r^2+1/16), lever r, area 2 pi r dr
    let n = 200_000;
    (0..n)
        .map(|i| {
            let r = (f64::from(i) + 0.5) / f64::from(n);
            2.0 * core::f64::consts::PI * r * r * r / (r * r + 0.0625).sqrt() / f64::from(n)
        })
        .sum()
}

#[cfg(test)]
mod tests {
    #[test]
    fn swirl_carries_the_torque() {
        assert!((super::profile_integral() - super::SWIRL_NORM).abs() < 2e-3);
    }
}
