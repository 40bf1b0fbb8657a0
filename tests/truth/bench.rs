//! A published or drawn aircraft in the tunnel, its controls by name.

use aero::{Coefficients, Model, Pose, Shares, Sizes, Tunnel};
use airframe::{Geometry, MAX_SURFACES};
use measure::Side;

use crate::sketch::Sketch;

pub(crate) struct Subject {
    pub(crate) geometry: Geometry,
    pub(crate) model: Model,
    pub(crate) sizes: Sizes,
    pub(crate) speed: f64,
}

impl Subject {
    pub(crate) fn new(sketch: &Sketch, c: &Coefficients) -> Self {
        let geometry = sketch.geometry();
        let model = Model::prepare(&geometry, c);
        let mut sizes = Sizes::of(&geometry);
        if sketch.chord > 0.0 {
            sizes.chord = sketch.chord;
        }
        Self { geometry, model, sizes, speed: sketch.speed }
    }

    /// Propeller removed.
    pub(crate) fn bare(&self) -> Tunnel {
        Tunnel::bare(&self.model, self.sizes, self.speed)
    }

    /// Propeller at an advance ratio.
    pub(crate) fn at_advance(&self, ratio: f64) -> Tunnel {
        Tunnel::new(self.model.clone(), self.sizes, self.speed).at_advance(ratio)
    }

    /// Surfaces of a control, each with its share: ailerons so that the left one goes down, the rest
    /// trailing edge down or left.
    pub(crate) fn control(&self, name: &str) -> Vec<(usize, f64)> {
        let sign =
            |side: Option<Side>| if name == "aileron" && side == Some(Side::Right) { -1.0 } else { 1.0 };
        let all = self.geometry.surfaces.iter().enumerate();
        all.filter(|(_, s)| s.hinge == name).map(|(i, s)| (i, sign(s.side))).collect()
    }

    /// A pose with a control deflected \[rad\].
    pub(crate) fn deflected(&self, at: &Pose, name: &str, angle: f64) -> Pose {
        let mut deflections = [0.0; MAX_SURFACES];
        for (i, share) in self.control(name) {
            deflections[i] = share * angle;
        }
        Pose { deflections, ..*at }
    }

    /// Change of the coefficients by a control at `angle` \[rad\].
    pub(crate) fn change(&self, tunnel: &mut Tunnel, at: &Pose, name: &str, angle: f64) -> Shares {
        tunnel.shares(&self.deflected(at, name, angle)) - tunnel.shares(at)
    }
}
