//! Mass and inertia of a rigid body, checked once so that the equations of motion need not ask.

use nalgebra::Matrix3;

/// Mass and inertia about the centre of mass, body axes FRD; the inverse is kept.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MassProperties {
    mass: f64,
    inertia: Matrix3<f64>,
    inverse: Matrix3<f64>,
}

/// Why numbers cannot be the mass and inertia of a body.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum MassFault {
    /// The mass is not a positive number.
    #[error("the mass is {found} kg, but must be a positive number; check what was weighed and its unit")]
    Mass {
        /// What was given \[kg\].
        found: f64,
    },
    /// An entry of the inertia is not a number.
    #[error("the inertia has the entry {found} kg m^2, but every entry must be a finite number")]
    NotFinite {
        /// What was given [kg m^2].
        found: f64,
    },
    /// The matrix is not symmetric.
    #[error(
        "the inertia differs across its diagonal ({above} above, {below} kg m^2 below), but a product of \
         inertia stands in both places with the same sign"
    )]
    NotSymmetric {
        /// Entry above the diagonal [kg m^2].
        above: f64,
        /// Its partner below [kg m^2].
        below: f64,
    },
    /// A principal moment is zero or negative.
    #[error(
        "the smallest principal moment of inertia is {found} kg m^2, but must be positive; check decimal \
         points and the signs of the products"
    )]
    NotPositive {
        /// Smallest principal moment [kg m^2].
        found: f64,
    },
    /// One principal moment exceeds the other two together.
    #[error(
        "the largest principal moment of inertia is {largest} kg m^2, above the other two together \
         ({others}); no rigid body can have this, check decimal points and units"
    )]
    TooLarge {
        /// Largest principal moment [kg m^2].
        largest: f64,
        /// Sum of the other two [kg m^2].
        others: f64,
    },
}

/// A flat plate meets the limits exactly and must survive rounding.
const SLACK: f64 = 1e-9;

impl MassProperties {
    /// A rigid body of `mass` \[kg\] with `inertia` about its centre of mass, body FRD [kg m^2],
    /// off-diagonal entries being minus the products of inertia.
    ///
    /// # Errors
    /// A [`MassFault`] if no rigid body can have these numbers.
    pub fn new(mass: f64, inertia: Matrix3<f64>) -> Result<Self, MassFault> {
        if !(mass.is_finite() && mass > 0.0) {
            return Err(MassFault::Mass { found: mass });
        }
        let [_, _, largest] = positive_principal_moments(&inertia)?;
        let others = inertia.trace() - largest;
        if largest > others * (1.0 + SLACK) {
            return Err(MassFault::TooLarge { largest, others });
        }
        invert(mass, inertia)
    }

    /// The same body with the inertia of the air its surfaces carry along, body FRD [kg m^2].
    /// Carried air adds to rotation about some axes only, so one principal moment of the sum may
    /// well exceed the other two together. The mass stays.
    ///
    /// # Errors
    /// A [`MassFault`] if the sum is not symmetric and positive.
    pub fn with_carried_air(self, carried: Matrix3<f64>) -> Result<Self, MassFault> {
        let inertia = self.inertia + carried;
        positive_principal_moments(&inertia)?;
        invert(self.mass, inertia)
    }

    /// Mass \[kg\].
    #[must_use]
    pub const fn mass(&self) -> f64 {
        self.mass
    }

    /// Inertia about the centre of mass, body FRD [kg m^2].
    #[must_use]
    pub const fn inertia(&self) -> &Matrix3<f64> {
        &self.inertia
    }

    /// Inverse of the inertia, body FRD [1/(kg m^2)].
    #[must_use]
    pub const fn inverse_inertia(&self) -> &Matrix3<f64> {
        &self.inverse
    }
}

fn invert(mass: f64, inertia: Matrix3<f64>) -> Result<MassProperties, MassFault> {
    // Positive principal moments can still be too far apart for an inverse in f64.
    let singular = MassFault::NotPositive { found: 0.0 };
    let inverse = inertia.try_inverse().filter(|m| m.iter().all(|e| e.is_finite())).ok_or(singular)?;
    Ok(MassProperties { mass, inertia, inverse })
}

fn positive_principal_moments(inertia: &Matrix3<f64>) -> Result<[f64; 3], MassFault> {
    if let Some(&found) = inertia.iter().find(|entry| !entry.is_finite()) {
        return Err(MassFault::NotFinite { found });
    }
    for (row, column) in [(0, 1), (0, 2), (1, 2)] {
        let (above, below) = (inertia[(row, column)], inertia[(column, row)]);
        if (above - below).abs() > SLACK * inertia.norm() {
            return Err(MassFault::NotSymmetric { above, below });
        }
    }
    let mut moments: [f64; 3] = inertia.symmetric_eigenvalues().into();
    moments.sort_by(f64::total_cmp);
    if moments[0] <= 0.0 {
        return Err(MassFault::NotPositive { found: moments[0] });
    }
    Ok(moments)
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::Vector3;

    fn diagonal(x: f64, y: f64, z: f64) -> Matrix3<f64> {
        Matrix3::from_diagonal(&Vector3::new(x, y, z))
    }

    #[test]
    fn a_body_with_products_keeps_a_true_inverse() -> Result<(), MassFault> {
        let inertia = Matrix3::new(0.24, 0.01, -0.02, 0.01, 0.31, 0.005, -0.02, 0.005, 0.5);
        let body = MassProperties::new(4.8, inertia)?;
        assert!((body.inertia() * body.inverse_inertia() - Matrix3::identity()).norm() < 1e-14);
        Ok(())
    }

    #[test]
    fn a_flat_plate_is_a_body() {
        assert!(MassProperties::new(1.0, diagonal(0.7, 0.1, 0.8)).is_ok(), "0.7 + 0.1 < 0.8 in f64");
    }

    #[test]
    fn impossible_numbers_are_refused_with_the_reason() {
        let fault = |mass, inertia| MassProperties::new(mass, inertia).unwrap_err();
        assert!(matches!(fault(0.0, diagonal(1.0, 1.0, 1.0)), MassFault::Mass { found: 0.0 }));
        assert!(matches!(fault(f64::NAN, diagonal(1.0, 1.0, 1.0)), MassFault::Mass { .. }));
        assert!(matches!(fault(1.0, diagonal(1.0, f64::INFINITY, 1.0)), MassFault::NotFinite { .. }));
        assert!(matches!(fault(1.0, diagonal(1.0, -1.0, 1.0)), MassFault::NotPositive { .. }));
        assert!(matches!(fault(1.0, diagonal(0.0, 1.0, 1.0)), MassFault::NotPositive { .. }));
        assert!(matches!(fault(1.0, diagonal(1.0, 1.0, 2.1)), MassFault::TooLarge { .. }));
        let mut lopsided = diagonal(1.0, 1.0, 1.0);
        lopsided[(0, 2)] = 0.1;
        assert!(matches!(fault(1.0, lopsided), MassFault::NotSymmetric { .. }));
        let products_beyond_moments = Matrix3::new(1.0, 0.0, 1.2, 0.0, 1.0, 0.0, 1.2, 0.0, 1.0);
        assert!(matches!(fault(1.0, products_beyond_moments), MassFault::NotPositive { .. }));
    }

    #[test]
    fn carried_air_may_break_the_rule_for_rigid_bodies_but_not_make_inertia_negative() {
        let light = MassProperties::new(0.2, diagonal(0.002, 0.004, 0.005)).unwrap();
        let rolled = light.with_carried_air(diagonal(0.009, 0.0, 0.0)).unwrap();
        assert_eq!(rolled.inertia()[(0, 0)], 0.011);
        assert_eq!(rolled.mass(), 0.2);
        assert!(light.with_carried_air(diagonal(-0.002, 0.0, 0.0)).is_err());
    }
}
