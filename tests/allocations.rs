//! A force evaluation takes no memory: everything it needs was made beforehand.
#![allow(clippy::unwrap_used, reason = "a test may stop")]

mod support;

use aero::{Instant, Ledger, Total};
use flight::{Bench, Controls, Surroundings};
use nalgebra::Vector3;
use stats_alloc::{INSTRUMENTED_SYSTEM, Region, StatsAlloc};
use std::alloc::System;
use support::{DEMOS, geometry, plain_mix, rig};

#[global_allocator]
static COUNTER: &StatsAlloc<System> = &INSTRUMENTED_SYSTEM;

/// One test in this program, so that nothing else allocates while it counts.
#[test]
fn nothing_is_allocated_per_evaluation() {
    for name in DEMOS {
        let rig = rig(&geometry(name), &plain_mix());
        let mut bench = Bench::new(&rig.aircraft);
        let level = rig.level(rig.trimmed_speed, &mut bench).unwrap();
        let controls = Controls {
            deflections: rig.deflections_of(level.sticks),
            throttle: level.throttle,
            causes: aero::Causes::ALL,
        };
        let at = rig.aircraft.instant(&level.state, 0.0, &Surroundings::CALM, &controls);
        let strengths = &level.state.wake[..rig.aircraft.model.wing_strips()];
        let separated = Instant { velocity: Vector3::new(3.0, 8.0, 12.0), ..at };
        let before = Region::new(COUNTER);
        for at in [at, separated] {
            let (mut total, mut ledger) = (Total::default(), Ledger::default());
            rig.aircraft.model.lay_wake(&at, strengths, &mut bench.wake);
            rig.aircraft.model.forces(&at, &bench.wake, strengths, &mut bench.scratch, &mut total);
            rig.aircraft.model.forces_steady(&at, &mut bench.scratch, &mut ledger);
            rig.aircraft.slope(&level.state, 0.0, &Surroundings::CALM, &controls, &mut bench);
        }
        let change = before.change();
        assert_eq!((change.allocations, change.reallocations), (0, 0), "{name}: {change:?}");
    }
    // the counter counts
    let before = Region::new(COUNTER);
    assert_eq!(std::hint::black_box(vec![1.0; 8]).len(), 8);
    assert!(before.change().allocations > 0);
}
