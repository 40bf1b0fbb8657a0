//! What acts on a body at an instant.

use crate::rigid_body::BodyState;
use nalgebra::Vector3;

/// Force, moment and the spin of rotating parts at an instant, body FRD. Gravity is not in it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Loads {
    /// Force \[N\].
    pub force: Vector3<f64>,
    /// Moment about the centre of mass [N m].
    pub moment: Vector3<f64>,
    /// Angular momentum of parts that rotate relative to the body, a propeller's along its
    /// axis [kg m^2/s].
    pub spin: Vector3<f64>,
}

/// A source of loads.
pub trait Wrench {
    /// Loads at `time` \[s\] in the state `body`. Must depend on nothing else, so that a flight can
    /// be repeated, differentiated and taken up from any instant.
    fn loads(&self, time: f64, body: &BodyState) -> Loads;
}

impl<F: Fn(f64, &BodyState) -> Loads> Wrench for F {
    fn loads(&self, time: f64, body: &BodyState) -> Loads {
        self(time, body)
    }
}
