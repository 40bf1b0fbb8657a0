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

impl WakeRow {
    /// Loss of dynamic pressure at a point behind.
    /// Source: Silverstein and Katzoff, NACA TR 648; handbook method 4.4.1 (from memory).
    fn loss(&self, at: Vector3<f64>, dir: Vector3<f64>) -> f64 {
        let behind = self.edge - at.x;
        if behind <= 0.0 || at.y.abs() >= self.half_span {
            return 0.0;
        }
        let chords = behind / self.chord;
        let off = at.z - (self.z - dir.z / dir.x * behind);
        let half_width = 0.68 * self.chord * (self.drag * (chords + 0.15)).sqrt();
        if off.abs() >= half_width {
            return 0.0;
        }
        let cos = libm::cos(0.5 * PI * off / half_width);
        2.42 * self.drag.sqrt() / (chords + 0.3) * cos * cos
    }
}

impl BodyWake {
    fn loss(&self, at: Vector3<f64>, dir: Vector3<f64>) -> f64 {
        let behind = self.x - at.x;
        if behind <= 0.0 || self.radius <= 0.0 {
            return 0.0;
        }
        let y = at.y + 0.5 * (dir.y / dir.x) * behind;
        let z = at.z - self.z + 0.5 * (dir.z / dir.x) * behind;
        let r = (y * y + z * z).sqrt() / self.radius;
        if r >= 1.0 {
            return 0.0;
        }
        let cos = libm::cos(0.5 * PI * r);
        self.loss * cos * cos
    }
}

/// Share of the dynamic pressure that is left at a tail strip: wakes of wings and body, and
/// `factor` (gap, hinge, junction).
pub(crate) fn pressure_left(
    at: Vector3<f64>,
    dir: Vector3<f64>,
    wings: &[WakeRow],
    body: &BodyWake,
    wing_wake: bool,
    c: &Coefficients,
    factor: f64,
) -> f64 {
    let mut loss = 0.0;
    if dir.x < REACHES {
        if wing_wake {
            loss += wings.iter().map(|w| c.wing_wake_loss * w.loss(at, dir)).sum::<f64>();
        }
        loss += body.loss(at, dir);
    }
    (1.0 - loss.min(MOST)) * factor
}
