//! A model held in a stream: forces as coefficients, and how they change.

use core::ops::{Add, Mul, Sub};

use airframe::{Geometry, MAX_SURFACES, Part};
use nalgebra::Vector3;

use crate::causes::{Cause, Causes};
use crate::instant::{Deflections, Instant};
use crate::model::{Model, Scratch};
use crate::propulsor::steady_rotor_speed;
use crate::tally::{Effect, Ledger, Total};

/// Force and moment coefficients about the centre of mass, stability axes: lift and drag square to
/// and along the plane-of-symmetry flow, side to the right, roll right, pitch up, yaw right.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Shares {
    /// Lift.
    pub lift: f64,
    /// Drag.
    pub drag: f64,
    /// Side force.
    pub side: f64,
    /// Rolling moment, over the span.
    pub roll: f64,
    /// Pitching moment, over the chord.
    pub pitch: f64,
    /// Yawing moment, over the span.
    pub yaw: f64,
}

impl Shares {
    fn each(self, other: Self, f: impl Fn(f64, f64) -> f64) -> Self {
        Self {
            lift: f(self.lift, other.lift),
            drag: f(self.drag, other.drag),
            side: f(self.side, other.side),
            roll: f(self.roll, other.roll),
            pitch: f(self.pitch, other.pitch),
            yaw: f(self.yaw, other.yaw),
        }
    }
}

impl Add for Shares {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        self.each(other, |a, b| a + b)
    }
}

impl Sub for Shares {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self.each(other, |a, b| a - b)
    }
}

impl Mul<f64> for Shares {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        self.each(self, |a, _| a * factor)
    }
}

/// What coefficients are made with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sizes {
    /// Area [m^2].
    pub area: f64,
    /// Span \[m\].
    pub span: f64,
    /// Chord \[m\].
    pub chord: f64,
}

impl Sizes {
    /// Area of all wings, span and mean chord of the (upper) wing.
    #[must_use]
    pub fn of(geometry: &Geometry) -> Self {
        let wing = geometry.wing();
        Self {
            area: geometry.wings().map(airframe::Planform::area).sum(),
            span: wing.span(),
            chord: wing.mean_chord(),
        }
    }
}

/// How a model is held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pose {
    /// Incidence \[rad\].
    pub incidence: f64,
    /// Sideslip, wind from the right + \[rad\].
    pub sideslip: f64,
    /// Rates about the stability axes: pb/2V, qc/2V, rb/2V.
    pub rates: [f64; 3],
    /// Deflections \[rad\].
    pub deflections: Deflections,
}

impl Pose {
    /// At an incidence \[rad\], else centred.
    #[must_use]
    pub const fn at(incidence: f64) -> Self {
        Self { incidence, sideslip: 0.0, rates: [0.0; 3], deflections: [0.0; MAX_SURFACES] }
    }
}

/// How the coefficients change: per radian, per radian of reduced rate.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Derivatives {
    /// By incidence.
    pub incidence: Shares,
    /// By sideslip.
    pub sideslip: Shares,
    /// By pb/2V.
    pub roll_rate: Shares,
    /// By qc/2V.
    pub pitch_rate: Shares,
    /// By rb/2V.
    pub yaw_rate: Shares,
    /// Pitching moment by the rate of incidence, alphadot c/2V: the wake takes its time to the tail.
    pub lag: f64,
}

impl Derivatives {
    /// Neutral point behind the centre of mass, in chords.
    #[must_use]
    pub fn neutral_point(&self) -> f64 {
        -self.incidence.pitch / self.incidence.lift
    }
}

/// A stream of air with a model in it.
#[derive(Debug, Clone)]
pub struct Tunnel {
    model: Model,
    scratch: Scratch,
    sizes: Sizes,
    /// Its speed [m/s].
    pub speed: f64,
    /// Rotor speed [rev/s].
    pub rotor: f64,
    /// Which causes act.
    pub causes: Causes,
}

impl Tunnel {
    /// `model` without its propulsor, at `speed` [m/s].
    #[must_use]
    pub fn bare(model: &Model, sizes: Sizes, speed: f64) -> Self {
        Self::new(model.without_propulsor(), sizes, speed)
    }

    /// `model` as it is, its rotor standing.
    #[must_use]
    pub fn new(model: Model, sizes: Sizes, speed: f64) -> Self {
        let scratch = Scratch::new(&model);
        Self { model, scratch, sizes, speed, rotor: 0.0, causes: Causes::ALL }
    }

    /// Lets the propeller turn at an advance ratio v/(n D).
    #[must_use]
    pub fn at_advance(mut self, ratio: f64) -> Self {
        let diameter = self.model.parts().propulsor.as_ref().map_or(f64::INFINITY, |p| p.diameter);
        self.rotor = self.speed / (ratio * diameter);
        self
    }

    /// Lets the motor turn it at a throttle.
    #[must_use]
    pub fn at_throttle(mut self, throttle: f64) -> Self {
        self.rotor = self.model.parts().propulsor.as_ref().map_or(0.0, |p| {
            steady_rotor_speed(p, throttle, self.speed, Instant::at(Vector3::zeros()).density)
        });
        self
    }

    fn instant(&self, pose: &Pose) -> Instant {
        let (sin, cos) = libm::sincos(pose.incidence);
        let (sin_b, cos_b) = libm::sincos(pose.sideslip);
        let [p, q, r] = pose.rates;
        let (per_span, per_chord) = (2.0 * self.speed / self.sizes.span, 2.0 * self.speed / self.sizes.chord);
        let (p, q, r) = (p * per_span, q * per_chord, r * per_span);
        let mut at =
            Instant::at(Vector3::new(self.speed * cos * cos_b, self.speed * sin_b, self.speed * sin * cos_b));
        at.rate = Vector3::new(p * cos - r * sin, q, p * sin + r * cos);
        at.deflections = pose.deflections;
        at.rotor = self.rotor;
        at.causes = self.causes;
        at
    }

    /// Force \[N\] and moment [N m], body axes.
    pub fn total(&mut self, pose: &Pose) -> Total {
        let at = self.instant(pose);
        let mut total = Total::default();
        self.model.forces_steady(&at, &mut self.scratch, &mut total);
        total
    }

    /// Force \[N\] and moment [N m] by part and effect, body axes.
    pub fn ledger(&mut self, pose: &Pose) -> Ledger {
        let at = self.instant(pose);
        let mut ledger = Ledger::default();
        self.model.forces_steady(&at, &mut self.scratch, &mut ledger);
        ledger
    }

    /// The coefficients, without the motor's torque.
    pub fn shares(&mut self, pose: &Pose) -> Shares {
        let total = self.total(pose);
        self.shares_of(&total, pose.incidence)
    }

    fn shares_of(&self, total: &Total, incidence: f64) -> Shares {
        let (sin, cos) = libm::sincos(incidence);
        let (f, m) = (total.force, total.moment);
        let load = 0.5 * Instant::at(Vector3::zeros()).density * self.speed * self.speed * self.sizes.area;
        Shares {
            lift: (f.x * sin - f.z * cos) / load,
            drag: -(f.x * cos + f.z * sin) / load,
            side: f.y / load,
            roll: (m.x * cos + m.z * sin) / (load * self.sizes.span),
            pitch: m.y / (load * self.sizes.chord),
            yaw: (m.z * cos - m.x * sin) / (load * self.sizes.span),
        }
    }

    /// The coefficients of one part.
    pub fn shares_of_part(&mut self, pose: &Pose, part: Part) -> Shares {
        let entry = self.ledger(pose).part(part);
        self.shares_of(&Total { force: entry.force, moment: entry.moment }, pose.incidence)
    }

    /// The coefficients of one effect on one part.
    pub fn shares_of_effect(&mut self, pose: &Pose, part: Part, effect: Effect) -> Shares {
        let entry = *self.ledger(pose).entry(part, effect);
        self.shares_of(&Total { force: entry.force, moment: entry.moment }, pose.incidence)
    }

    /// Incidence \[rad\] at which the lift coefficient is `lift`, between -0.2 and 0.25 rad, where it
    /// grows with incidence.
    pub fn incidence_for(&mut self, lift: f64) -> f64 {
        let (mut low, mut high) = (-0.2, 0.25);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if self.shares(&Pose::at(middle)).lift < lift {
                low = middle;
            } else {
                high = middle;
            }
        }
        0.5 * (low + high)
    }

    /// Half the difference of two poses that differ in one quantity by `size` each way, per size.
    fn odd(&mut self, at: &Pose, size: f64, change: impl Fn(&mut Pose, f64)) -> Shares {
        let (mut plus, mut minus) = (*at, *at);
        change(&mut plus, size);
        change(&mut minus, -size);
        (self.shares(&plus) - self.shares(&minus)) * (0.5 / size)
    }

    /// All derivatives about a pose: differences of 0.01 rad of incidence, 0.05 rad of sideslip,
    /// 0.02 of reduced rates each way.
    pub fn derivatives(&mut self, at: &Pose) -> Derivatives {
        Derivatives {
            incidence: self.odd(at, 0.01, |p, d| p.incidence += d),
            sideslip: self.odd(at, 0.05, |p, d| p.sideslip += d),
            roll_rate: self.odd(at, 0.01, |p, d| p.rates[0] += d),
            pitch_rate: self.odd(at, 0.01, |p, d| p.rates[1] += d),
            yaw_rate: self.odd(at, 0.01, |p, d| p.rates[2] += d),
            lag: self.lag(at),
        }
    }

    /// The wake of a wing whose incidence changes reaches the tail late by the way between over the
    /// speed.
    fn lag(&mut self, at: &Pose) -> f64 {
        let mut slope = |causes| {
            self.causes = causes;
            let mut tail = |d: f64| {
                let pose = Pose { incidence: at.incidence + d, ..*at };
                self.shares_of_part(&pose, Part::Tailplane).pitch
            };
            (tail(0.01) - tail(-0.01)) / 0.02
        };
        let all = Causes::ALL;
        let (without, with) = (slope(all.without(Cause::WingWake)), slope(all));
        (without - with) * 2.0 * self.model.parts().lag_length / self.sizes.chord
    }

    /// By a control, per radian: `surfaces` and the share of the deflection each takes; differences
    /// of `size` \[rad\] each way.
    pub fn control(&mut self, at: &Pose, surfaces: &[(usize, f64)], size: f64) -> Shares {
        self.odd(at, size, |p, d| surfaces.iter().for_each(|&(i, share)| p.deflections[i] += share * d))
    }
}
