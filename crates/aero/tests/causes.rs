//! Causes can be switched off one by one, and nothing else changes with them.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a broken reference file shall stop the test")]

mod reference;

use aero::{Cause, Causes, Instant, Ledger, Model, Scratch, Total};
use airframe::Part;
use nalgebra::Vector3;
use reference::{load, model};

/// A pass with sideslip, incidence, all surfaces deflected and power on: every cause acts.
fn busy() -> Instant {
    let mut at = Instant::at(Vector3::new(22.0, 6.0, 1.5));
    at.rate = Vector3::new(0.3, 0.2, -0.4);
    at.deflections[..7].copy_from_slice(&[0.0, 0.05, -0.05, -0.1, -0.3, 0.2, 0.2]);
    at.throttle = 0.8;
    at.rotor = 95.0;
    at
}

fn total(model: &Model, at: &Instant, causes: Causes) -> Total {
    let mut total = Total::default();
    model.forces_steady(&Instant { causes, ..*at }, &mut Scratch::new(model), &mut total);
    total
}

#[test]
fn every_cause_does_something() {
    for name in ["larkspur", "bramble"] {
        let model = model(&load(name));
        let whole = total(&model, &busy(), Causes::ALL);
        for cause in Cause::ALL {
            let without = total(&model, &busy(), Causes::ALL.without(cause));
            let change = (whole.moment - without.moment).norm();
            assert!(change > 1e-3, "{name}, {cause:?}: {change} N m");
        }
    }
}

#[test]
fn nested_causes_are_worth_nothing_alone() {
    let model = model(&load("larkspur"));
    for (outer, inner) in [(Cause::Slipstream, Cause::Swirl), (Cause::BodyField, Cause::LeeLoss)] {
        let off = Causes::ALL.without(outer);
        assert_eq!(total(&model, &busy(), off), total(&model, &busy(), off.without(inner)), "{inner:?}");
    }
}

#[test]
fn causes_stay_with_their_parts() {
    let model = model(&load("larkspur"));
    let ledger = |causes: Causes| {
        let mut ledger = Ledger::default();
        model.forces_steady(&Instant { causes, ..busy() }, &mut Scratch::new(&model), &mut ledger);
        ledger
    };
    let whole = ledger(Causes::ALL);
    let same = |cause: Cause, part: Part| {
        whole.part(part).force == ledger(Causes::ALL.without(cause)).part(part).force
    };
    for part in [Part::Wing, Part::Body, Part::Propulsor, Part::Fittings] {
        assert!(same(Cause::WingWake, part), "{part:?}");
    }
    assert!(!same(Cause::WingWake, Part::Tailplane));
    for part in [Part::Wing, Part::Tailplane, Part::Fin, Part::Body] {
        assert!(same(Cause::Torque, part) && same(Cause::PropellerInPlane, part), "{part:?}");
    }
    // axial drag is not among what the switch takes away
    let bare = ledger(Causes::ALL.without(Cause::BodyForces)).part(Part::Body);
    assert!(bare.force.x < 0.0 && bare.force.y == 0.0 && bare.force.z == 0.0);
}

#[test]
fn a_set_is_its_bits() {
    assert_eq!(Causes::from_bits(0x3ff), Causes::ALL);
    assert_eq!(Causes::from_bits(0xffff), Causes::ALL);
    let none = Causes::from_bits(0);
    for (i, cause) in Cause::ALL.into_iter().enumerate() {
        assert!(!none.has(cause) && Causes::ALL.has(cause));
        assert!(Causes::from_bits(1 << i).has(cause));
        assert!(!Causes::ALL.without(cause).has(cause));
    }
}
