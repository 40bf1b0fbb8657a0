//! What the window flies while something is dragged, against the flight itself.
#![allow(clippy::unwrap_used, reason = "a test may stop")]

mod support;

use aero::Coefficients;
use manoeuvre::Sample;
use measure::Side;
use mix::Shape;
use study::{Contestant, Earlier, compare_one, sketch};
use support::{geometry, mix, scenario};

/// Largest distance \[m\] and turn \[rad\] between two flights.
fn apart(a: &[Sample], b: &[Sample]) -> (f64, f64) {
    assert_eq!(a.len(), b.len());
    a.iter().zip(b).fold((0.0, 0.0), |(far, turned): (f64, f64), (a, b)| {
        let (a, b) = (&a.state.body, &b.state.body);
        (far.max((a.position - b.position).norm()), turned.max(2.0 * (a.attitude - b.attitude).norm()))
    })
}

/// Measured: at most a few millimetres and 0.03 deg in any manoeuvre of the demo club with any of its models.
#[test]
fn a_sketch_is_the_flight_to_a_centimetre() {
    let coefficients = Coefficients::default();
    for (manoeuvre, airframe) in [
        ("knife-edge-pass", "sorrel"),
        ("hover", "sorrel"),
        ("four-point-roll", "teasel"),
        ("flap-drop", "bramble"),
        ("half-rudder", "larkspur"),
    ] {
        let (scenario, side) = (scenario(manoeuvre), Side::Right);
        let contestant = Contestant { geometry: geometry(airframe), mix: mix(airframe) };
        let whole = compare_one(&contestant, &scenario, side, &coefficients).unwrap();
        let earlier = Earlier { run: &whole, same_without: false };
        let quick = sketch(&contestant, &scenario, &coefficients, earlier).unwrap();
        for (whole, quick) in whole.flights.iter().zip(&quick.flights) {
            let (far, turned) = apart(&whole.flown.samples, &quick.flown.samples);
            assert!(far > 0.0 && far < 0.01 && turned < 1e-3, "{manoeuvre}, {airframe}: {far} m, {turned}");
        }
    }
}

/// Only a percentage moved: one flight is kept, and the other is what it would have been without that
/// knowledge, to the bit.
#[test]
fn what_is_known_is_not_flown_again_and_changes_nothing() {
    let (scenario, coefficients) = (scenario("knife-edge-pass"), Coefficients::default());
    let mut contestant = Contestant { geometry: geometry("foxglove"), mix: mix("foxglove") };
    let before = compare_one(&contestant, &scenario, Side::Right, &coefficients).unwrap();
    contestant.mix.blends[0].shape = Shape::TwoSided { left: 0.0, right: 0.02 };
    let [kept, anew] = [true, false].map(|same_without| {
        sketch(&contestant, &scenario, &coefficients, Earlier { run: &before, same_without }).unwrap()
    });
    assert_eq!(kept.flights[0].flown.samples, before.flights[0].flown.samples);
    assert_eq!(kept.flights[1].flown.samples, anew.flights[1].flown.samples);
    let (moved, _) = apart(&kept.flights[1].flown.samples, &before.flights[1].flown.samples);
    assert!(moved > 0.2, "{moved} m");
}
