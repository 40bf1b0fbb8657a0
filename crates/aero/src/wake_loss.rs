use core::f64::consts::PI;

use nalgebra::Vector3;

use crate::coefficients::Coefficients;

/// Below this downstream direction the wakes do not reach the tail.
const REACHES: f64 = -0.5;
/// The most pressure that a tail strip can lose.
const MOST: f64 = 0.6;

/// The viscous wake of a wing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WakeRow {
    /// x of the trailing edge at the root \[m\].
    pub edge: f64,
    /// z of the wing \[m\].
    pub z: f64,
    /// Mean chord \[m\].
    pub chord: f64,
    /// Its drag coefficient.
    pub drag: f64,
    /// Half span \[m\].
    pub half_span: f64,
}

/// The viscous wake of body and fittings: a round jet of slow air.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct BodyWake {
    /// x where it begins \[m\].
    pub x: f64,
    /// z of its middle \[m\].
    pub z: f64,
    /// Radius \[m\].
    pub radius: f64,
    /// Loss of pressure in its middle.
    pub loss: f64,
}

/// What a tail strip's place behind the wakes fixes once and for all.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct LossSpot {
    /// The wings that it can stand in the wake of.
    wings: Vec<BehindWing>,
    body: Option<BehindBody>,
    /// Load of the strip against a clean isolated surface: gap, hinge, junction.
    factor: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct BehindWing {
    /// Distance behind the trailing edge, and below the wing \[m\].
    behind: f64,
    below: f64,
    /// Half of the wake's width there \[m\].
    half_width: f64,
    /// Loss of dynamic pressure in its middle.
    most: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct BehindBody {
    /// From where the wake begins: back, right, down \[m\].
    behind: f64,
    right: f64,
    below: f64,
    wake: BodyWake,
}

impl BehindWing {
    /// Source: Silverstein and Katzoff, NACA TR 648; handbook method 4.4.1 (from memory).
    fn of(wing: &WakeRow, at: Vector3<f64>, c: &Coefficients) -> Option<Self> {
        let behind = wing.edge - at.x;
        if behind <= 0.0 || at.y.abs() >= wing.half_span {
            return None;
        }
        let chords = behind / wing.chord;
        Some(Self {
            behind,
            below: at.z - wing.z,
            half_width: 0.68 * wing.chord * (wing.drag * (chords + 0.15)).sqrt(),
            most: c.wing_wake_loss * 2.42 * wing.drag.sqrt() / (chords + 0.3),
        })
    }

    /// `rise`: of the wake, per length that it travels back.
    fn loss(&self, rise: f64) -> f64 {
        let off = self.below + rise * self.behind;
        if off.abs() >= self.half_width {
            return 0.0;
        }
        let cos = libm::cos(0.5 * PI * off / self.half_width);
        self.most * cos * cos
    }
}

impl BehindBody {
    fn of(wake: &BodyWake, at: Vector3<f64>) -> Option<Self> {
        let behind = wake.x - at.x;
        let reached = behind > 0.0 && wake.radius > 0.0;
        reached.then_some(Self { behind, right: at.y, below: at.z - wake.z, wake: *wake })
    }

    fn loss(&self, left: f64, rise: f64) -> f64 {
        let y = self.right + 0.5 * left * self.behind;
        let z = self.below + 0.5 * rise * self.behind;
        let r = (y * y + z * z).sqrt() / self.wake.radius;
        if r >= 1.0 {
            return 0.0;
        }
        let cos = libm::cos(0.5 * PI * r);
        self.wake.loss * cos * cos
    }
}

impl LossSpot {
    /// Of a tail strip at `at`, whose load is `factor` of a clean isolated one's.
    pub(crate) fn of(
        at: Vector3<f64>,
        wings: &[WakeRow],
        body: &BodyWake,
        c: &Coefficients,
        factor: f64,
    ) -> Self {
        let wings = wings.iter().filter_map(|wing| BehindWing::of(wing, at, c)).collect();
        Self { wings, body: BehindBody::of(body, at), factor }
    }

    /// Share of the dynamic pressure that is left where the wakes leave along `dir`.
    pub(crate) fn pressure_left(&self, dir: &Vector3<f64>, wing_wake: bool) -> f64 {
        let mut loss = 0.0;
        if dir.x < REACHES {
            let (left, rise) = (dir.y / dir.x, dir.z / dir.x);
            if wing_wake {
                loss += self.wings.iter().map(|wing| wing.loss(rise)).sum::<f64>();
            }
            loss += self.body.map_or(0.0, |body| body.loss(left, rise));
        }
        (1.0 - loss.min(MOST)) * self.factor
    }
}
