//! A mix that was checked, with names turned into numbers.

use crate::gate::Gate;
use crate::tuning::Tuned;
use crate::{Follower, Hand, HandError, MixError, RateSet, Shape};
use measure::Stick;

/// The lever that moves the flaps directly, without any blend.
pub const FLAP_LEVER: &str = "flap";
/// The lever that moves the door directly, without any blend.
pub const DOOR_LEVER: &str = "door";

/// The direct levers stand first in every program.
pub(crate) const DOOR: LeverId = LeverId(0);
pub(crate) const FLAP: LeverId = LeverId(1);

/// A lever of one program.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LeverId(pub(crate) usize);

/// A set of rates of one program.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RatesId(pub(crate) usize);

/// A switch of one program, standing at one of the positions some blend asks for, or (`None`) at
/// any other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SwitchPosition {
    pub(crate) switch: usize,
    pub(crate) position: Option<usize>,
}

/// A switch that blends ask for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SwitchNames {
    /// Its name.
    pub name: String,
    /// The positions some blend asks for. It may have more.
    pub positions: Vec<String>,
}

/// A stick or a lever.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Source {
    Stick(Stick),
    Lever(LeverId),
}

impl Source {
    pub(crate) const fn range(self) -> (f64, f64) {
        match self {
            Self::Stick(stick) => stick.range(),
            Self::Lever(_) => (0.0, 1.0),
        }
    }

    /// Where the hand holds it, before rates and expo.
    pub(crate) fn raw(self, hand: &Hand) -> f64 {
        match self {
            Self::Stick(stick) => hand.stick(stick),
            Self::Lever(lever) => hand.lever(lever),
        }
    }
}

/// A blend with its names resolved.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Step {
    pub(crate) name: String,
    pub(crate) lead: Source,
    pub(crate) follower: Follower,
    pub(crate) shape: Shape,
    pub(crate) engaged: Gate,
    pub(crate) tuned: Option<Tuned>,
    pub(crate) fade: f64,
    pub(crate) slow: f64,
    pub(crate) after: Option<usize>,
    pub(crate) off: bool,
}

/// A [`crate::Mix`] that was checked once and can be evaluated many times: [`crate::evaluate`],
/// [`crate::steady`]. The same blends in another order make the same program.
#[derive(Debug, Clone, PartialEq)]
pub struct Program {
    /// In file order: the first is active at first.
    pub(crate) rates: Vec<RateSet>,
    pub(crate) levers: Vec<String>,
    /// Where each lever stands while no hand has moved it: 0, or what a tuned blend is written for.
    pub(crate) rest: Vec<f64>,
    pub(crate) switches: Vec<SwitchNames>,
    /// By name: the order of the sums.
    pub(crate) blends: Vec<Step>,
    /// Every blend behind the one its lead includes.
    pub(crate) order: Vec<usize>,
    /// How many thresholds remember on which side they are.
    pub(crate) latches: usize,
}

impl Program {
    /// The levers this mix reads, by number; always with the direct ones, [`FLAP_LEVER`] and
    /// [`DOOR_LEVER`].
    #[must_use]
    pub fn levers(&self) -> &[String] {
        &self.levers
    }

    /// The switches this mix asks for.
    #[must_use]
    pub fn switches(&self) -> &[SwitchNames] {
        &self.switches
    }

    /// The names of the sets of rates, in file order.
    pub fn rate_names(&self) -> impl Iterator<Item = &str> {
        self.rates.iter().map(|set| set.name.as_str())
    }

    /// The names of the blends in canonical order, and whether each is on.
    pub fn blends(&self) -> impl Iterator<Item = (&str, bool)> {
        self.blends.iter().map(|step| (step.name.as_str(), !step.off))
    }

    /// Finds a lever.
    ///
    /// # Errors
    /// A name this mix does not read.
    pub fn lever(&self, name: &str) -> Result<LeverId, HandError> {
        let place = self.levers.iter().position(|known| known == name);
        place
            .map(LeverId)
            .ok_or_else(|| HandError::UnknownLever { found: name.into(), known: self.levers.clone() })
    }

    /// Finds a switch and a position of it. A position that no blend asks for is "any other".
    ///
    /// # Errors
    /// A switch this mix does not ask for.
    pub fn switch(&self, name: &str, is: &str) -> Result<SwitchPosition, HandError> {
        let Some(switch) = self.switches.iter().position(|known| known.name == name) else {
            let known = self.switches.iter().map(|switch| switch.name.clone()).collect();
            return Err(HandError::UnknownSwitch { found: name.into(), known });
        };
        let position = self.switches[switch].positions.iter().position(|known| known == is);
        Ok(SwitchPosition { switch, position })
    }

    /// Finds a set of rates.
    ///
    /// # Errors
    /// A name this mix does not have.
    pub fn rates(&self, name: &str) -> Result<RatesId, HandError> {
        let place = self.rates.iter().position(|set| set.name == name);
        let known = || self.rate_names().map(String::from).collect();
        place.map(RatesId).ok_or_else(|| HandError::UnknownRates { found: name.into(), known: known() })
    }

    /// The same program with these blends switched off, for a comparison: they add nothing, at
    /// once. Hands and fades of one serve the other.
    ///
    /// # Errors
    /// A name that is not there.
    pub fn without(&self, names: &[&str]) -> Result<Self, MixError> {
        self.switched(names, |off, named| off || named)
    }

    /// The same program with only these blends switched on.
    ///
    /// # Errors
    /// A name that is not there.
    pub fn with_only(&self, names: &[&str]) -> Result<Self, MixError> {
        self.switched(names, |_, named| !named)
    }

    fn switched(&self, names: &[&str], off: impl Fn(bool, bool) -> bool) -> Result<Self, MixError> {
        if let Some(unknown) = names.iter().find(|name| self.blends().all(|(known, _)| known != **name)) {
            let known = self.blends().map(|(name, _)| name.into()).collect();
            return Err(MixError::UnknownBlend { found: (*unknown).into(), known });
        }
        let mut program = self.clone();
        for step in &mut program.blends {
            step.off = off(step.off, names.contains(&step.name.as_str()));
        }
        Ok(program)
    }
}
