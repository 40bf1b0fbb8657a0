//! What the model predicts against what was measured: docs/truth.md.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a broken data file shall stop the test")]

mod aircraft;
mod bands;
mod bench;
mod check;
mod components;
mod draw;
mod families;
mod formulas;
mod misses;
mod missing;
mod page;
mod sketch;

use aero::Coefficients;
use aircraft::Fleet;
use check::Check;

fn all(c: &Coefficients) -> Vec<Check> {
    let fleet = Fleet::assumed();
    [
        formulas::checks(),
        components::checks(c),
        aircraft::checks(&fleet, c),
        aircraft::added(&fleet, c),
        aircraft::inertia(&fleet),
        missing::checks(),
    ]
    .concat()
}

/// Every check that does not hold stands in `tests/data/misses.toml` with its cause, and nothing
/// else stands there.
#[test]
fn val_misses_are_the_listed_ones() {
    let mut found: Vec<String> =
        all(&Coefficients::default()).iter().filter(|c| !c.holds()).map(Check::name).collect();
    found.extend(families::facts().iter().filter(|f| !f.holds()).map(|f| f.name.clone()));
    let listed: Vec<String> = misses::listed().into_iter().map(|(name, _)| name).collect();
    assert!(misses::listed().iter().all(|(_, cause)| cause.len() > 5), "a miss without a cause");
    let fresh: Vec<&String> = found.iter().filter(|f| !listed.contains(f)).collect();
    let gone: Vec<&String> = listed.iter().filter(|l| !found.contains(l)).collect();
    assert!(fresh.is_empty(), "missed, but not in the list: {fresh:#?}");
    assert!(gone.is_empty(), "in the list, but they hold: {gone:#?}");
}

/// A miss cannot hide behind another check of the same name.
#[test]
fn every_check_has_a_name_of_its_own() {
    let mut names: Vec<String> = all(&Coefficients::default()).iter().map(Check::name).collect();
    names.extend(families::facts().iter().map(|f| f.name.clone()));
    names.sort();
    let twice: Vec<&[String]> = names.windows(2).filter(|w| w[0] == w[1]).collect();
    assert!(twice.is_empty(), "{twice:?}");
}

/// A check that could not fail would prove nothing: ten times, and minus, what was published fails every one of them.
#[test]
fn every_check_can_fail() {
    for check in all(&Coefficients::default()) {
        let (middle, one) = (check.middle(), check.middle().signum());
        for found in [10.0 * middle + one, -middle - one, f64::NAN] {
            let wrong = Check { found, ..check.clone() };
            assert!(!wrong.holds(), "{} holds with {found}", check.name());
        }
    }
}

/// At least four in five of the published values lie between the 10 and the 90 % of the draws: of all rows, and of those
/// that the ranges were opened on. Of those that were added since it is fewer, and the page says how many.
#[test]
fn val_bands_hold_four_in_five() {
    let (fleet, c) = (Fleet::assumed(), Coefficients::default());
    let opened = aircraft::checks(&fleet, &c);
    for checks in [[opened.clone(), aircraft::added(&fleet, &c)].concat(), opened] {
        hold_four_in_five(&checks);
    }
}

fn hold_four_in_five(checks: &[Check]) {
    let bands = bands::bands();
    let outside: Vec<String> = checks
        .iter()
        .zip(bands)
        .filter(|(c, b)| !bands::covers(**b, c.published))
        .map(|(c, b)| format!("{}: {:?}, band {:.4} .. {:.4}", c.name(), c.published, b.0, b.1))
        .collect();
    assert!(
        5 * outside.len() <= checks.len(),
        "{} of {} rows outside: {outside:#?}",
        outside.len(),
        checks.len()
    );
}

/// What the page calls missed is the list, no more and no less.
#[test]
fn the_page_shows_every_miss() {
    let missed = page::page().lines().filter(|l| l.ends_with("| missed |")).count();
    assert_eq!(missed, misses::listed().len());
}

#[test]
fn the_page_is_not_stale() {
    page::hold();
}
