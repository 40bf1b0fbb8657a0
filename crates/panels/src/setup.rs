//! What is flown, as one plain value: every edit of the window changes it, undo brings an earlier
//! one back.

use airframe::{Airframe, Geometry};
use manoeuvre::{Compared, Scenario};
use measure::Side;
use mix::{Follower, Mix, Shape};

/// Everything that a flight depends on.
#[derive(Debug, Clone, PartialEq)]
pub struct Setup {
    /// The model as measured.
    pub airframe: Airframe,
    /// Its mix.
    pub mix: Mix,
    /// The manoeuvre.
    pub scenario: Scenario,
    /// The side that is shown.
    pub side: Side,
}

impl Setup {
    /// The blends that are in one flight and out of the other.
    #[must_use]
    pub fn compared(&self, blend: &str) -> bool {
        self.scenario.compared.has(blend)
    }

    /// Takes a blend into the comparison, or leaves it in both flights. The last one stays: with none
    /// there would be nothing to compare.
    pub fn set_compared(&mut self, blend: &str, on: bool) {
        let mut compared: Vec<String> =
            self.mix.blends.iter().map(|b| b.name.clone()).filter(|name| self.compared(name)).collect();
        if on && !self.compared(blend) {
            compared.push(blend.to_owned());
        } else if !on && compared.len() > 1 {
            compared.retain(|name| name != blend);
        }
        let all = self.mix.blends.iter().all(|b| compared.contains(&b.name));
        self.scenario.compared = if all { Compared::All } else { Compared::These(compared) };
    }

    /// Whether `other` flies the same without the blends: nothing but what compared blends come to is different.
    #[must_use]
    pub(crate) fn same_without(&self, other: &Self) -> bool {
        let bare = |setup: &Self| {
            let mut bare = setup.clone();
            for blend in bare.mix.blends.iter_mut().filter(|blend| setup.compared(&blend.name)) {
                blend.shape = Shape::TwoSided { left: 0.0, right: 0.0 };
            }
            bare
        };
        bare(self) == bare(other)
    }

    /// Whether `other` is the same model in the same manoeuvre, however set.
    #[must_use]
    pub(crate) fn same_flight(&self, other: &Self) -> bool {
        self.airframe.name == other.airframe.name
            && self.scenario.legs == other.scenario.legs
            && self.side == other.side
    }

    /// The shape of a blend; `None` for a name that is not there.
    #[must_use]
    pub fn shape(&self, blend: &str) -> Option<&Shape> {
        self.mix.blends.iter().find(|b| b.name == blend).map(|b| &b.shape)
    }

    /// Full throw of what a follower moves, to its plus and to its minus side \[rad\]: of several surfaces, or of two
    /// that go opposite ways, the largest; 0 where there is none.
    #[must_use]
    pub fn throws(&self, geometry: &Geometry, follower: Follower) -> (f64, f64) {
        let hinge = match follower {
            Follower::Throttle => return (0.0, 0.0),
            Follower::Aileron | Follower::AileronsTogether => "aileron",
            other => other.word(),
        };
        let of_hinge = geometry.surfaces.iter().filter(|s| s.hinge == hinge);
        let (up, down) =
            of_hinge.fold((0.0_f64, 0.0_f64), |most, s| (most.0.max(s.throw_up), most.1.max(s.throw_down)));
        match follower {
            // the trailing edge goes up, or to the right
            Follower::Elevator | Follower::Rudder => (up, down),
            Follower::Aileron => (up.max(down), up.max(down)),
            _ => (down, up),
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::demo;
    use manoeuvre::Compared;
    use mix::Follower;

    #[test]
    fn throws_are_those_of_the_side_that_a_follower_goes_to() {
        let mut setup = demo("foxglove");
        setup.airframe.panels[1].hinges[0].throw_down.value = 0.2;
        let geometry = airframe::Geometry::of(&setup.airframe).unwrap();
        let (up, down) = setup.throws(&geometry, Follower::Elevator);
        assert!((up - 20.0 * measure::DEG).abs() < 1e-9 && (down - 0.2).abs() < 1e-9, "{up} {down}");
        let (down, up) = setup.throws(&geometry, Follower::Flap);
        assert!((down - 45.0 * measure::DEG).abs() < 1e-9 && up == 0.0, "flaps only go down: {down} {up}");
        assert_eq!(setup.throws(&geometry, Follower::Throttle), (0.0, 0.0));
    }

    #[test]
    fn the_last_blend_of_a_comparison_stays() {
        let mut setup = demo("foxglove");
        let names: Vec<String> = setup.mix.blends.iter().map(|b| b.name.clone()).collect();
        assert!(names.iter().all(|name| setup.compared(name)));
        for name in names.iter().filter(|name| *name != "knife-edge pitch") {
            setup.set_compared(name, false);
        }
        assert_eq!(setup.scenario.compared, Compared::These(vec!["knife-edge pitch".to_owned()]));
        setup.set_compared("knife-edge pitch", false);
        assert_eq!(setup.scenario.compared, Compared::These(vec!["knife-edge pitch".to_owned()]));
        names.iter().for_each(|name| setup.set_compared(name, true));
        assert_eq!(setup.scenario.compared, Compared::All, "all of them: the file's own way to say it");
    }
}
