//! What the model predicts against what was measured: docs/truth.md.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a broken data file shall stop the test")]

mod aircraft;
mod bench;
mod check;
mod components;
mod misses;
mod sketch;

use aero::Coefficients;
use check::Check;

fn all(c: &Coefficients) -> Vec<Check> {
    [components::checks(c), aircraft::checks(c)].concat()
}

/// Every check that does not hold stands in `tests/data/misses.toml` with its cause, and nothing
/// else stands there.
#[test]
fn val_misses_are_the_listed_ones() {
    let found: Vec<String> =
        all(&Coefficients::default()).iter().filter(|c| !c.holds()).map(Check::name).collect();
    let listed: Vec<String> = misses::listed().into_iter().map(|(name, _)| name).collect();
    let fresh: Vec<&String> = found.iter().filter(|f| !listed.contains(f)).collect();
    let gone: Vec<&String> = listed.iter().filter(|l| !found.contains(l)).collect();
    assert!(fresh.is_empty(), "missed, but not in the list: {fresh:#?}");
    assert!(gone.is_empty(), "in the list, but they hold: {gone:#?}");
}
