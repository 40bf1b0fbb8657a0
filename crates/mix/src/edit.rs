//! Changes to a mix as a value: for sweeps, and for flying what a study found.

use crate::{Mix, MixError, Shape};

impl Mix {
    /// The same mix with another shape for one blend.
    ///
    /// # Errors
    /// A name that is not there.
    pub fn with_shape(&self, blend: &str, shape: Shape) -> Result<Self, MixError> {
        self.edited(blend, |_| shape)
    }

    /// The same mix with one blend's follower values multiplied: 0 for none of it, 2 for twice.
    ///
    /// # Errors
    /// A name that is not there.
    pub fn with_scaled(&self, blend: &str, factor: f64) -> Result<Self, MixError> {
        self.edited(blend, |shape| shape.scaled(factor))
    }

    fn edited(&self, name: &str, edit: impl FnOnce(&Shape) -> Shape) -> Result<Self, MixError> {
        let mut mix = self.clone();
        let Some(blend) = mix.blends.iter_mut().find(|blend| blend.name == name) else {
            let known = self.blends.iter().map(|blend| blend.name.clone()).collect();
            return Err(MixError::UnknownBlend { found: name.into(), known });
        };
        blend.shape = edit(&blend.shape);
        Ok(mix)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Blend, Condition, Follower, Lead};
    use measure::Stick;

    fn mix() -> Mix {
        let blend = Blend {
            name: "knife-edge pitch".into(),
            from: Lead::Stick(Stick::Rudder),
            to: Follower::Elevator,
            shape: Shape::TwoSided { left: -0.02, right: -0.03 },
            engaged: Condition::Always,
            fade: 0.0,
            slow: 0.0,
            tuned: None,
            after: None,
        };
        Mix { name: "club set-up".into(), rates: Vec::new(), blends: vec![blend] }
    }

    #[test]
    fn only_the_named_shape_changes() -> Result<(), MixError> {
        let twice = mix().with_scaled("knife-edge pitch", 2.0)?;
        assert_eq!(twice.blends[0].shape, Shape::TwoSided { left: -0.04, right: -0.06 });
        assert_eq!(twice.with_shape("knife-edge pitch", mix().blends[0].shape.clone())?, mix());
        Ok(())
    }

    #[test]
    fn an_unknown_name_is_told_with_the_known_ones() {
        let error = mix().with_scaled("knife edge", 0.0).unwrap_err();
        assert_eq!(
            error.to_string(),
            "blend: found \"knife edge\"; allowed: \"knife-edge pitch\"; check the spelling against the mix file"
        );
    }
}
