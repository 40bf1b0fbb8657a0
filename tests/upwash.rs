//! The upwash beside the body: steep and narrow, it loads a wing less than an even one of its size.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop")]

use aero::{Coefficients, Model, Pose, Sizes, Tunnel};
use airframe::{Geometry, Part};
use files::Kind;
use measure::DEG;

fn geometry(name: &str) -> Geometry {
    let source = files::find(Kind::Airframe, name).unwrap();
    Geometry::of(&files::read_airframe(source).unwrap_or_else(|r| panic!("{r}")).value).unwrap()
}

#[test]
fn a_narrow_wash_is_felt_less_than_an_even_one() {
    for name in files::demo_names(Kind::Airframe) {
        let model = Model::prepare(&geometry(name), &Coefficients::default());
        let (lattice, n) = (&model.parts().lattice, model.wing_strips());
        for i in 0..n {
            let narrow: Vec<f64> = (0..n).map(|k| if k == i { 1.0 } else { 0.0 }).collect();
            let felt = lattice.felt(&narrow);
            assert!((0.1..0.95).contains(&felt[i]), "{name}, strip {i}: {}", felt[i]);
            let elsewhere = felt.iter().enumerate().filter(|(k, _)| *k != i).map(|(_, f)| f.abs());
            assert!(elsewhere.fold(0.0, f64::max) < felt[i], "{name}, strip {i}: {felt:?}");
        }
    }
}

/// What is eased has opposite signs on left and right, and most of it is beside the body.
#[test]
fn what_is_eased_is_odd_and_near_the_body() {
    for name in ["foxglove", "bramble", "teasel"] {
        let model = Model::prepare(&geometry(name), &Coefficients::default());
        let wing = || model.parts().strips.iter().filter(|s| s.part == Part::Wing);
        let most = wing().map(|s| s.beside.eased.abs()).fold(0.0, f64::max);
        for strip in wing() {
            let mirrored = wing()
                .min_by(|a, b| {
                    (a.position.y + strip.position.y)
                        .abs()
                        .total_cmp(&(b.position.y + strip.position.y).abs())
                })
                .unwrap();
            assert!((strip.beside.eased + mirrored.beside.eased).abs() < 1e-9, "{name}");
        }
        let place = wing().max_by(|a, b| a.beside.eased.abs().total_cmp(&b.beside.eased.abs())).unwrap();
        assert!(place.spread.abs() < 0.35, "{name}: most of it at {} of the half span", place.spread);
        let tip = wing().max_by(|a, b| a.position.y.abs().total_cmp(&b.position.y.abs())).unwrap();
        assert!(tip.beside.eased.abs() < 0.1 * most, "{name}: {} {most}", tip.beside.eased);
        let tail = model.parts().strips.iter().filter(|s| !s.part.is_wing());
        assert!(tail.into_iter().all(|s| s.beside.eased == 0.0), "{name}");
    }
}

/// Left to itself a strip beside the body of a high wing separates in 20 deg of sideslip, 8 deg above no lift; eased it
/// does not, and the wing keeps lift.
#[test]
fn a_wing_beside_its_body_keeps_its_lift_in_sideslip() {
    let lift = |eased_upwash: f64| {
        let c = Coefficients { eased_upwash, ..Coefficients::default() };
        let geometry = geometry("bramble");
        let mut tunnel = Tunnel::bare(&Model::prepare(&geometry, &c), Sizes::of(&geometry), 17.0);
        tunnel.shares(&Pose { sideslip: 20.0 * DEG, ..Pose::at(5.0 * DEG) }).lift
    };
    assert!(lift(1.0) > lift(0.0) + 0.01, "{} {}", lift(1.0), lift(0.0));
}
