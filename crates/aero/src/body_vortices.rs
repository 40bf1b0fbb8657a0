use core::f64::consts::PI;

use nalgebra::Vector3;

use crate::coefficients::Coefficients;
use crate::strip::Strip;

/// A pair of vortices that the body sheds into its lee: the alternative to the lee loss, for
/// judging how much the answer depends on that choice. Strength from the cross-flow drag shed
/// ahead (drag per length = density times speed times d(strength times spacing)/dx); positions
/// after body measurements, from memory.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BodyVortices {
    rate: Vector3<f64>,
    flow: Vector3<f64>,
    strength: f64,
}

impl BodyVortices {
    pub(crate) const fn new(flow: Vector3<f64>, rate: Vector3<f64>, c: &Coefficients) -> Self {
        Self { rate, flow, strength: c.body_vortices }
    }

    /// Whether they do anything at all.
    pub(crate) const fn act(&self) -> bool {
        self.strength > 0.0
    }

    /// Added to the velocity of the strip relative to the air [m/s].
    pub(crate) fn at(&self, strip: &Strip) -> Vector3<f64> {
        let beside = &strip.beside;
        if beside.doublet <= 0.0 || beside.shed_area <= 0.0 {
            return Vector3::zeros();
        }
        let r = strip.position;
        let h = beside.vortex_height;
        let cross = -(self.flow.y + self.rate.z * r.x - self.rate.x * r.z);
        let along = self.flow.x.abs() + 0.3 * self.flow.y.abs() + 0.1;
        let circulation =
            self.strength * 0.5 * beside.shed_area * cross.abs() * cross / (1.35 * h * along) / (2.0 * PI);
        let drift = 0.45 * self.flow.y.abs() / along * beside.from_nose;
        let lee = (0.64 * h * h + drift * drift).sqrt() * if cross < 0.0 { -1.0 } else { 1.0 };
        let (half, core2) = (0.675 * h, 0.09 * h * h);
        let up = -(r.z - beside.centre_z);
        let (ey, over, under) = (r.y - lee, up - half, up + half);
        let (r_over, r_under) = (ey * ey + over * over + core2, ey * ey + under * under + core2);
        Vector3::new(
            0.0,
            -circulation * (over / r_over - under / r_under),
            circulation * (ey / r_under - ey / r_over),
        )
    }
}
