use nalgebra::Vector3;

use crate::instant::Instant;
use crate::model::{Model, Scratch};
use crate::tally::Total;

/// Where the neutral point lies, propeller removed, body axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Margin {
    /// Neutral point behind the centre of mass, by lift \[m\].
    pub behind: f64,
    /// The same by the force along body z \[m\]; differs by a fraction of a percent of the chord.
    pub behind_by_normal_force: f64,
}

/// The static margin at `speed` [m/s], between 0.01 and 0.05 rad of incidence.
#[must_use]
pub fn margin(model: &Model, speed: f64) -> Margin {
    let glider = model.without_propulsor();
    let mut scratch = Scratch::new(&glider);
    let mut look = |incidence: f64| {
        let (sin, cos) = libm::sincos(incidence);
        let mut total = Total::default();
        glider.forces_steady(
            &Instant::at(Vector3::new(speed * cos, 0.0, speed * sin)),
            &mut scratch,
            &mut total,
        );
        let lift = total.force.x * sin - total.force.z * cos;
        (lift, -total.force.z, total.moment.y)
    };
    let (low, high) = (look(0.01), look(0.05));
    let pitch = high.2 - low.2;
    Margin { behind: -pitch / (high.0 - low.0), behind_by_normal_force: -pitch / (high.1 - low.1) }
}
