//! Forces and moments of every part at 40 instants each of two airframes, from the raw strips of
//! the reference files.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a broken reference file shall stop the test")]

mod reference;

use aero::{Ledger, Scratch, Tally, Total};
use airframe::Part;
use nalgebra::Vector3;
use reference::{COMPONENTS, close, instant, load, model, numbers};

const TOLERANCE: f64 = 1e-9;

fn compare(name: &str) {
    let file = load(name);
    let model = model(&file);
    let mut scratch = Scratch::new(&model);
    let states = file["states"].as_array().unwrap();
    assert_eq!(states.len(), 40);
    for (i, state) in states.iter().enumerate() {
        let mut ledger = Ledger::default();
        model.forces_steady(&instant(state), &mut scratch, &mut ledger);
        for (key, part) in COMPONENTS {
            let expected = numbers(&state["components"][key]);
            let entry = ledger.part(part);
            let found = [entry.force.as_slice(), entry.moment.as_slice()].concat();
            for (axis, (f, e)) in found.iter().zip(&expected).enumerate() {
                assert!(
                    close(*f, *e, TOLERANCE),
                    "{name} state {i}, {key}, component {axis}: {f} against {e}"
                );
            }
        }
    }
}

#[test]
fn val_larkspur_parts() {
    compare("larkspur");
}

#[test]
fn val_bramble_parts() {
    compare("bramble");
}

/// The total counts the same contributions as the ledger: only the order of the sums differs.
#[test]
fn ledger_sums_to_the_total() {
    for name in ["larkspur", "bramble"] {
        let file = load(name);
        let model = model(&file);
        let mut scratch = Scratch::new(&model);
        for state in file["states"].as_array().unwrap() {
            let at = instant(state);
            let (mut total, mut ledger) = (Total::default(), Ledger::default());
            model.forces_steady(&at, &mut scratch, &mut total);
            model.forces_steady(&at, &mut scratch, &mut ledger);
            let sum = ledger.total();
            assert!((sum.force - total.force).norm() <= 1e-12 * (1.0 + total.force.norm()));
            assert!((sum.moment - total.moment).norm() <= 1e-12 * (1.0 + total.moment.norm()));
            assert!(total.force.norm() > 0.0);
        }
    }
}

/// The ledger's point of action is where a single contribution acted.
#[test]
fn ledger_keeps_the_point_of_action() {
    let mut ledger = Ledger::default();
    let (force, at) = (Vector3::new(0.0, 0.0, -3.0), Vector3::new(0.2, 0.5, -0.1));
    ledger.add(Part::Fin, aero::Effect::Section, force, at, Vector3::zeros());
    let point = ledger.part(Part::Fin).point().unwrap();
    assert!((point - at).norm() < 1e-15);
    assert_eq!(ledger.part(Part::Wing).point(), None);
}
