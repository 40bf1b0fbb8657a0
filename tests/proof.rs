//! Percentages by balance of forces against percentages swept in flight.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop")]

use aero::Coefficients;
use files::Kind;
use study::find::{Options, Proof, SECONDS, find, prove};

fn proofs(name: &str, seconds: f64) -> Vec<Proof> {
    let source = files::find(Kind::Airframe, name).unwrap();
    let airframe = files::read_airframe(source).unwrap_or_else(|r| panic!("{r}")).value;
    let options = Options { progress: &|_, _| {}, draws: 0, seed: 1, blends: &[] };
    let findings = find(&airframe, &[], &Coefficients::default(), &options).unwrap();
    prove(&airframe, &Coefficients::default(), &[], &findings, seconds).unwrap()
}

/// So short a flight that the pose still lasts \[s\].
const SHORT: f64 = 0.4;

/// Every coupling: swept in flight for two seconds the best percentage is within one percent of the
/// balance, or the coupling is one of those whose pose does not last (docs/find-and-flight.md):
/// `passing`. Where it is the speed that changes, it is so as long as the speed has not.
fn holds(name: &str, passing: &[&str]) {
    let (long, short) = (proofs(name, SECONDS), proofs(name, SHORT));
    assert!(long.len() > 10, "{name}: {}", long.len());
    let mut short_misses = Vec::new();
    for (long, short) in long.iter().zip(&short) {
        assert!(long.agrees() || passing.contains(&long.coupling.as_str()), "{name}: {}", long.words());
        let fast =
            long.coupling.starts_with("up-line") || ["power roll", "power yaw"].contains(&&*long.coupling);
        if fast && !short.agrees() {
            short_misses.push(short.words());
        }
        // where the pose lasts, the best of a sweep is better than nothing by far, or there was
        // nothing to better
        let [nothing, _, best] = long.turns.map(f64::abs);
        assert!(!long.agrees() || best < 0.6 * nothing || nothing < 0.02, "{name}: {}", long.words());
    }
    assert!(short_misses.is_empty(), "{name}: {short_misses:#?}");
}

#[test]
fn a_sweep_in_flight_finds_what_the_balance_says_of_larkspur() {
    holds("larkspur", &["rudder roll", "rudder pitch", "power pitch"]);
}

#[test]
fn a_sweep_in_flight_finds_what_the_balance_says_of_foxglove() {
    holds(
        "foxglove",
        &[
            "rudder pitch",
            "power roll",
            "power yaw",
            "power pitch",
            "up-line roll",
            "up-line yaw",
            "up-line pitch",
        ],
    );
}
