use airframe::Part;
use nalgebra::Vector3;

use crate::causes::{Cause, Causes};
use crate::propulsor::{Propulsor, Thrust};

/// 2 pi times the integral that makes the angular momentum of the swirl profile equal the torque.
const SWIRL_NORM: f64 = 1.955;

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
    hub: Vector3<f64>,
    axis: Vector3<f64>,
    radius: f64,
    axial: f64,
    induced: f64,
    /// Cross flow of the air over the hub [m/s].
    cross: Vector3<f64>,
    cross_speed: f64,
    /// Lowest speed the jet is taken to have [m/s].
    floor: f64,
    /// Swirl strength before it is divided by speed and size; per part below.
    swirl: f64,
    share_wing: f64,
    share_fin: f64,
    share_tailplane: f64,
    swirling: bool,
}

/// What the jet adds to a strip's velocity relative to the air [m/s].
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct JetFlow {
    /// Along the axis.
    pub(crate) axial: Vector3<f64>,
    /// Velocity of the turning air; to be taken off.
    pub(crate) swirl: Vector3<f64>,
}

impl Jet {
    pub(crate) fn new(p: &Propulsor, thrust: &Thrust, density: f64, causes: Causes) -> Option<Self> {
        if p.duct_inlet.is_some() || !causes.has(Cause::Slipstream) {
            return None;
        }
        let cross = -thrust.cross;
        Some(Self {
            hub: p.hub,
            axis: p.axis,
            radius: 0.5 * p.diameter,
            axial: thrust.axial,
            induced: thrust.induced,
            cross,
            cross_speed: cross.norm(),
            floor: 0.2 * thrust.induced.abs() + 0.5,
            swirl: p.rotation * thrust.torque / (SWIRL_NORM * density),
            share_wing: p.swirl.wing,
            share_fin: p.swirl.fin,
            share_tailplane: p.swirl.tailplane,
            swirling: causes.has(Cause::Swirl),
        })
    }

    /// Speed that the disc adds at `behind` [m] behind it, on the axis.
    #[inline]
    pub(crate) fn added(&self, behind: f64) -> f64 {
        self.induced * (1.0 + behind / (behind * behind + self.radius * self.radius).sqrt())
    }

    #[inline]
    pub(crate) fn at(&self, part: Part, position: Vector3<f64>) -> JetFlow {
        let e = position - self.hub;
        let behind = -e.dot(&self.axis);
        let off_axis = e + self.axis * behind;
        if self.surely_outside(behind, &off_axis) {
            return JetFlow::default();
        }
        let added = self.added(behind);
        let speed = (self.axial + added).max(self.floor);
        // drift per length behind the disc, at most 1.5
        let drift = 1.0 / speed.max(self.cross_speed / 1.5);
        let q = off_axis - self.cross * (drift * behind.max(0.0));
        let distance2 = q.norm_squared();
        let jet_radius = self.radius * ((self.axial + self.induced).max(0.3) / speed).clamp(0.4, 1.5).sqrt();
        let inside = smooth_step((1.15 * jet_radius - distance2.sqrt()) / (0.3 * jet_radius));
        if inside <= 0.0 {
            return JetFlow::default();
        }
        let swirl = if behind > 0.0 && self.swirling {
            let core = (distance2 + 0.0625 * jet_radius * jet_radius).sqrt();
            let size = jet_radius * jet_radius * jet_radius;
            let turn = self.swirl / (speed * size * core)
                * self.share(part)
                * smooth_step(behind / (0.5 * self.radius))
                * inside;
            self.axis.cross(&q) * turn
        } else {
            Vector3::zeros()
        };
        JetFlow { axial: self.axis * (inside * added), swirl }
    }

    /// A cheap test that most strips pass: outside the widest jet even if it drifts the most.
    #[inline]
    fn surely_outside(&self, behind: f64, off_axis: &Vector3<f64>) -> bool {
        const WIDEST: f64 = 1.15 * 1.225; // sqrt(1.5) rounded up
        let slowest = self.axial.max(self.floor).max(self.cross_speed / 1.5);
        let reach = WIDEST * self.radius + behind.max(0.0) * self.cross_speed / slowest;
        off_axis.norm_squared() > reach * reach
    }

    const fn share(&self, part: Part) -> f64 {
        match part {
            Part::Wing | Part::LowerWing => self.share_wing,
            Part::Tailplane => self.share_tailplane,
            _ => self.share_fin,
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
