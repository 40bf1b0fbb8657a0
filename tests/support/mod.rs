//! Demo airframes made ready to fly.
#![allow(dead_code, reason = "shared by several test programs, none of which uses all of it")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "a broken demo file shall stop the test")]

use aero::Coefficients;
use airframe::Geometry;
use files::{Kind, find};
use flight::{Bench, Surroundings, Trimmed};
use manoeuvre::{Memory, Rig, Scenario};
use mix::{Hand, Mix};

pub(crate) const DEMOS: [&str; 7] =
    ["larkspur", "foxglove", "bramble", "thistle", "teasel", "sorrel", "clover"];

pub(crate) fn geometry(name: &str) -> Geometry {
    let source = find(Kind::Airframe, name).unwrap();
    let airframe = files::read_airframe(source).unwrap_or_else(|r| panic!("{r}")).value;
    Geometry::of(&airframe).unwrap()
}

pub(crate) fn mix(name: &str) -> Mix {
    files::read_mix(find(Kind::Mix, name).unwrap()).unwrap_or_else(|r| panic!("{r}")).value
}

pub(crate) fn scenario(name: &str) -> Scenario {
    files::read_scenario(find(Kind::Scenario, name).unwrap()).unwrap_or_else(|r| panic!("{r}")).value
}

/// No rates, no blends.
pub(crate) fn plain_mix() -> Mix {
    Mix { name: "plain".to_owned(), rates: Vec::new(), blends: Vec::new() }
}

pub(crate) fn rig(geometry: &Geometry, mix: &Mix) -> Rig {
    Rig::new(geometry, mix, &Coefficients::default(), Surroundings::CALM).unwrap_or_else(|e| panic!("{e}"))
}

/// With the empirical numbers of the prototype that the tables come from.
pub(crate) fn prototype_rig(geometry: &Geometry, mix: &Mix) -> Rig {
    Rig::new(geometry, mix, &Coefficients::prototype(), Surroundings::CALM).unwrap_or_else(|e| panic!("{e}"))
}

/// In trimmed level flight with the hands off the sticks.
pub(crate) fn trimmed(rig: &Rig, bench: &mut Bench) -> (Memory, Hand, Trimmed) {
    let level = rig.level(rig.trimmed_speed, bench).unwrap();
    assert!(level.converged);
    let mut hand = Hand::released(&rig.program);
    hand.set_stick(measure::Stick::Throttle, level.throttle).unwrap();
    let memory = Memory::settled(rig, level.state, &hand, bench).unwrap();
    (memory, hand, level)
}
