//! Explanations: shares that add up, causes that must be there or must not, cures that cure.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop")]

use aero::{Cause, Coefficients};
use airframe::{Airframe, Geometry, Part};
use files::Kind;
use flight::Bench;
use measure::{DEG, Side};
use report::drawing::{Group, Item, Text};
use report::explain_page::explain_page;
use report::palette::Ground;
use study::explain::{Effort, ExplainError, Explained, Origin, explain};
use study::find::{Coupling, FindError, Pose, Stand};

fn demo(name: &str) -> Airframe {
    files::read_airframe(files::find(Kind::Airframe, name).unwrap()).unwrap_or_else(|r| panic!("{r}")).value
}

fn of(airframe: &Airframe, coupling: &str, side: Side) -> Explained {
    explain(airframe, Coupling::named(coupling).unwrap(), side, &Coefficients::default()).unwrap()
}

fn cured(airframe: &Airframe, coupling: &str) -> Explained {
    of(airframe, coupling, Side::Right).with_cures(airframe, &Coefficients::default())
}

#[test]
fn shares_add_up_to_what_the_pose_needs() {
    for (name, coupling) in [
        ("foxglove", "knife-edge-roll"),
        ("foxglove", "knife-edge-pitch"),
        ("foxglove", "flap-pitch"),
        ("bramble", "power-pitch"),
        ("bramble", "door-pitch"),
        ("thistle", "down-line-pitch"),
        ("thistle", "roll-in-yaw"),
    ] {
        for side in [Side::Left, Side::Right] {
            let e = of(&demo(name), coupling, side);
            let by_origin: f64 = Origin::all().map(|o| e.shares.origin(o)).sum();
            let by_part: f64 = Part::ALL.into_iter().map(|p| e.shares.part(p)).sum();
            let cells: f64 = e.shares.cells().iter().map(|c| c.2).sum();
            for sum in [by_origin, by_part, cells] {
                assert!((sum - e.needed).abs() < 1e-12, "{name} {coupling}: {sum} {}", e.needed);
            }
            let need = e.by_speed.iter().find(|row| row.0 == e.speed).unwrap().1;
            assert!(
                (e.needed - need).abs() < 1e-9 * (1.0 + need.abs()),
                "{name} {coupling}: {} {need}",
                e.needed
            );
            assert!(e.needed.abs() > 0.005, "{name} {coupling} is no example: {}", e.needed);
        }
    }
}

/// What is drawn adds up to the same whole, and both halves of a rolling wing push, opposite ways.
#[test]
fn what_turns_the_model_adds_up_to_the_same() {
    for (name, coupling) in [
        ("foxglove", "knife-edge-roll"),
        ("foxglove", "rudder-pitch"),
        ("bramble", "door-pitch"),
        ("thistle", "power-yaw"),
        ("larkspur", "up-line-roll"),
        ("thistle", "roll-in-yaw"),
    ] {
        let e = of(&demo(name), coupling, Side::Right);
        let sum: f64 = e.shares.pushes.iter().map(|p| p.share).sum();
        assert!((sum - e.needed).abs() < 1e-9, "{name} {coupling}: {sum} {}", e.needed);
    }
    let e = of(&demo("foxglove"), "knife-edge-roll", Side::Right);
    let wing = |side: Side| {
        let own = e.shares.pushes.iter().filter(move |p| p.part == Part::Wing && p.side == Some(side));
        own.max_by(|a, b| a.share.abs().total_cmp(&b.share.abs())).unwrap()
    };
    let (left, right) = (wing(Side::Left), wing(Side::Right));
    assert!(left.at.y < -0.2 && right.at.y > 0.2, "{left:?} {right:?}");
    let lifts = |p: &study::explain::Push| -p.moment / p.at.y;
    assert!(lifts(left) * lifts(right) < 0.0, "{left:?} {right:?}");
}

fn texts(group: &Group, list: &mut Vec<Text>) {
    for item in &group.items {
        match item {
            Item::Text(text) => list.push(text.clone()),
            Item::Group(inner) => texts(inner, list),
            Item::Path(_) => {}
        }
    }
}

/// Every coupling of three airframes drawn: words stay on the page and off one another.
#[test]
fn words_on_the_page_stay_apart() {
    for name in ["foxglove", "thistle", "teasel"] {
        let airframe = demo(name);
        let geometry = Geometry::of(&airframe).unwrap();
        for coupling in Coupling::of(&geometry).into_iter().filter(|c| c.axis() != "speed") {
            let e = explain(&airframe, coupling, Side::Right, &Coefficients::default()).unwrap();
            let page = explain_page(&e, &geometry).draw(Ground::Light).unwrap();
            let mut words = Vec::new();
            texts(&page.content, &mut words);
            assert!(words.len() > 10);
            for (i, a) in words.iter().enumerate() {
                let place = a.bounds();
                let inside = place.left >= 0.0 && place.right <= page.width && place.bottom <= page.height;
                assert!(inside, "{name}, {}: {} leaves the page", coupling.name(), a.content);
                for b in &words[i + 1..] {
                    // ascenders and descenders of neighbouring lines may touch
                    let core = |t: &Text| t.bounds().grown(-2.0);
                    assert!(
                        !core(a).overlaps(core(b)),
                        "{name}, {}: {} lies on {}",
                        coupling.name(),
                        a.content,
                        b.content
                    );
                }
            }
        }
    }
}

/// Where one percentage cannot serve: each list holds the need itself where it is the need, and none is
/// there that nobody could fly.
#[test]
fn speed_throttle_and_flap_are_looked_at_where_they_can_be() {
    let at = |list: &[(f64, f64)], at: f64| list.iter().find(|r| r.0 == at).map(|r| r.1);
    let e = of(&demo("foxglove"), "knife-edge-roll", Side::Right);
    assert_eq!((e.by_speed.len(), e.by_throttle.len(), e.by_flap.len()), (3, 3, 0));
    assert!(e.by_speed.is_sorted_by(|a, b| a.0 < b.0), "{:?}", e.by_speed);
    assert!(e.words().contains("By throttle: 0 % "), "{}", e.words());
    let e = of(&demo("foxglove"), "rudder-pitch", Side::Right);
    assert_eq!((e.by_throttle.len(), e.by_flap.len()), (3, 3));
    assert!((at(&e.by_flap, 0.0).unwrap() - e.needed).abs() < 1e-6, "no flap is the need itself");
    let e = of(&demo("bramble"), "door-pitch", Side::Right);
    assert!((at(&e.by_flap, 0.0).unwrap() - e.needed).abs() < 1e-6 && e.by_throttle.is_empty());
    assert!((at(&e.by_flap, 1.0).unwrap() - e.needed).abs() > 1e-3, "flaps change it");
    let e = of(&demo("foxglove"), "power-pitch", Side::Right);
    assert!((at(&e.by_flap, 0.0).unwrap() - e.needed).abs() < 1e-6 && e.by_throttle.is_empty());
    let e = of(&demo("larkspur"), "rudder-roll", Side::Left);
    assert!(e.by_flap.is_empty(), "it has none");
}

/// A fan's duct straightens its jet and its motor's reaction stays in the duct: torque and swirl do
/// nothing.
#[test]
fn a_fan_has_no_swirl_and_no_torque() {
    let e = of(&demo("teasel"), "power-pitch", Side::Right);
    for cause in [Cause::Swirl, Cause::Torque] {
        assert!(e.shares.origin(Origin::Cause(cause)).abs() < 1e-9, "{cause:?}");
    }
}

/// The motor's torque rolls the model, whatever else happens: on an up-line it is there, by the
/// propulsor alone, and it wants right aileron against a propeller that turns clockwise.
#[test]
fn torque_is_the_propulsors_and_wants_right_aileron() {
    let e = of(&demo("larkspur"), "up-line-roll", Side::Right);
    let torque = Origin::Cause(Cause::Torque);
    assert!(e.shares.of(torque, Part::Propulsor) > 0.01);
    let others = e.shares.origin(torque) - e.shares.of(torque, Part::Propulsor);
    assert!(others.abs() < 1e-12, "{others}");
    let mut anticlockwise = demo("larkspur");
    anticlockwise.propulsor.rotation = -anticlockwise.propulsor.rotation;
    let e = of(&anticlockwise, "up-line-roll", Side::Right);
    assert!(e.shares.of(torque, Part::Propulsor) < -0.01);
}

/// Aileron, share of its throw at full lead, that one degree of dihedral asks for, by strip theory: sideslip times
/// dihedral is incidence on the whole half wing, deflection times effectiveness on the part with the aileron, and the
/// slope of lift is on both sides of the balance. Formula from memory; effectiveness from thin aerofoils (Glauert)
/// times what the model leaves of it at small deflections.
fn dihedral_by_strips(airframe: &Airframe, e: &Explained) -> f64 {
    let c = Coefficients::default();
    let stand = Stand::new(&Geometry::of(airframe).unwrap(), &c).unwrap();
    let pose = Pose::knife_edge(e.speed, stand.level.throttle, e.side, e.lead.abs());
    let posed = stand.pose(&pose, None, &mut Bench::new(&stand.aircraft)).unwrap();
    assert!(posed.converged);
    // Foxglove's file: chords 340 and 200 mm, half span 800 mm, ailerons from 55 to 97 % of it, a quarter of the
    // chord, 18 deg
    let arm = |from: f64, to: f64| {
        let at = |y: f64| 0.34 * y * y / 2.0 - 0.14 / 0.8 * y * y * y / 3.0;
        at(0.8 * to) - at(0.8 * from)
    };
    let effect = 0.609 * c.flap_scale * (c.flap_floor + c.flap_gain);
    let dihedral = DEG * posed.sideslip.abs() * arm(0.0, 1.0);
    dihedral / (effect * 18.0 * DEG * arm(0.55, 0.97)) / e.lead.abs()
}

/// The wing's dihedral makes most of this roll, so taking some away is the best cure.
#[test]
fn dihedral_is_the_cure_of_a_dihedral_roll() {
    let e = cured(&demo("foxglove"), "knife-edge-roll");
    let best = e.cures.iter().max_by(|a, b| a.takes.total_cmp(&b.takes)).unwrap();
    assert_eq!((best.words.as_str(), best.effort), ("1 deg less dihedral", Effort::NextModel));
    let expected = dihedral_by_strips(&demo("foxglove"), &e);
    assert!((best.takes / expected - 1.0).abs() < 0.2, "{} {expected}", best.takes);
    assert!((best.after.abs() + best.takes - e.needed.abs()).abs() < 1e-9);
}

/// Thrust washers: right thrust moves the yaw with power, by more than it moves anything else here.
#[test]
fn right_thrust_answers_for_yaw_with_power() {
    let mut straight = demo("bramble");
    straight.propulsor.right.value = 0.0;
    let e = cured(&straight, "power-yaw");
    assert!(e.needed > 0.05, "a clockwise propeller swings left: right rudder, {}", e.needed);
    let evening: Vec<&str> =
        e.cures.iter().filter(|c| c.effort == Effort::Evening).map(|c| c.words.as_str()).collect();
    assert_eq!(evening[0], "1 deg more right thrust", "{evening:?}");
}

/// A centre of mass further forward takes from the knife edge what it adds to the down-line: both
/// are the relief of a trimmed model. The side effect is told, with the static margin.
#[test]
fn side_effects_are_told() {
    let e = cured(&demo("foxglove"), "down-line-pitch");
    let aft = e.cures.iter().find(|c| c.words == "centre of mass 10 mm further aft").unwrap();
    let (before, after) = aft.margin.unwrap();
    assert!(before > after, "{before} {after}");
    assert!(aft.disturbs.iter().any(|d| d.coupling.name() == "knife-edge pitch"));
    let words = e.words();
    assert!(words.contains("static margin from") && words.contains("an evening at the bench"), "{words}");
}

#[test]
fn what_cannot_be_shown_is_refused() {
    let door = Coupling::named("door-pitch").unwrap();
    let fault = explain(&demo("larkspur"), door, Side::Right, &Coefficients::default()).unwrap_err();
    assert!(matches!(fault, ExplainError::Find(FindError::NotShown { .. })));
    let speed = Coupling::named("door-speed").unwrap();
    let fault = explain(&demo("bramble"), speed, Side::Right, &Coefficients::default()).unwrap_err();
    assert!(matches!(fault, ExplainError::NoAxis(_)));
}
