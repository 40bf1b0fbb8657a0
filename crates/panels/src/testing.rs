//! What the tests of this crate share.

use crate::refly::{Outcome, Refly};
use crate::setup::Setup;
use files::{Kind, find, read_airframe, read_mix, read_scenario};
use measure::Side;

/// The knife-edge pass of a model of the demo club.
pub(crate) fn demo(name: &str) -> Setup {
    configured("knife-edge-pass", name)
}

/// A manoeuvre of a model of the demo club.
pub(crate) fn configured(manoeuvre: &str, name: &str) -> Setup {
    Setup {
        airframe: read_airframe(find(Kind::Airframe, name).unwrap()).unwrap().value,
        mix: read_mix(find(Kind::Mix, name).unwrap()).unwrap().value,
        scenario: read_scenario(find(Kind::Scenario, manoeuvre).unwrap()).unwrap().value,
        side: Side::Right,
    }
}

/// The next result of a worker.
pub(crate) fn wait(refly: &mut Refly) -> Outcome {
    loop {
        if let Some(outcome) = refly.take() {
            return outcome;
        }
        std::thread::yield_now();
    }
}
