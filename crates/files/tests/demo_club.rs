//! Every demo file reads without a fault or a caution, and says what it should.
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use airframe::{Geometry, Part};
use files::{Kind, demo_names, find, read_airframe, read_mix};
use measure::DEG;
use mix::{Follower, Program, Shape};

const CLUB: [&str; 7] = ["bramble", "clover", "foxglove", "larkspur", "sorrel", "teasel", "thistle"];

fn airframe(name: &str) -> airframe::Airframe {
    let read = read_airframe(find(Kind::Airframe, name).unwrap()).unwrap_or_else(|report| panic!("{report}"));
    assert!(read.cautions.is_empty(), "{}", read.cautions);
    read.value
}

fn mix(name: &str) -> mix::Mix {
    let read = read_mix(find(Kind::Mix, name).unwrap()).unwrap_or_else(|report| panic!("{report}"));
    assert!(read.cautions.is_empty(), "{}", read.cautions);
    read.value
}

#[test]
fn every_demo_airframe_reads_and_has_a_geometry() {
    let names: Vec<_> = demo_names(Kind::Airframe).collect();
    assert_eq!(names, CLUB);
    for name in names {
        let airframe = airframe(name);
        assert_eq!(airframe.name.to_lowercase(), name);
        Geometry::of(&airframe).unwrap();
    }
}

#[test]
fn every_demo_mix_reads_and_makes_a_program() {
    let names: Vec<_> = demo_names(Kind::Mix).collect();
    assert_eq!(names, CLUB);
    for name in names {
        let mix = mix(name);
        assert!(!mix.blends.is_empty());
        Program::try_from(&mix).unwrap();
    }
}

#[test]
fn larkspur_says_what_was_measured() {
    let larkspur = airframe("larkspur");
    assert_eq!((larkspur.mass.all_up.value, larkspur.mass.all_up.tolerance), (5.0, 0.025));
    assert_eq!((larkspur.mass.station.value, larkspur.mass.station.tolerance), (0.180, 0.003));
    assert_eq!(larkspur.mass.waterline.tolerance, 0.008);
    assert_eq!(larkspur.mass.inertia, None);
    let wing = &larkspur.panels[0];
    assert_eq!(wing.part, Part::Wing);
    assert_eq!((wing.root.chord.value, wing.tip.chord.value), (0.420, 0.240));
    assert_eq!((wing.root.buttline.value, wing.tip.buttline.value), (0.0, 1.0));
    assert_eq!(wing.tip.waterline.tolerance, 0.5 * DEG);
    assert_eq!(wing.root.incidence.tolerance, 0.5 * DEG);
    let aileron = &wing.hinges[0];
    assert_eq!((aileron.name.as_str(), aileron.from.value, aileron.to.value), ("aileron", 0.12, 1.0));
    assert_eq!((aileron.throw_up.value, aileron.throw_down.tolerance), (28.0 * DEG, DEG));
    assert_eq!(larkspur.motor.full.value, 6020.0 / 60.0);
    assert_eq!((larkspur.propulsor.blades, larkspur.propulsor.rotation), (2, 1.0));
    assert_eq!(larkspur.propulsor.duct_inlet, None);
    assert_eq!(larkspur.servo.rate.value, 600.0 * DEG);
    assert_eq!(larkspur.servo.delay.value, 0.010);
    assert_eq!(larkspur.drag_items[0].drag_area.value, 0.0045);
}

#[test]
fn bramble_has_a_door_and_flaps_that_go_down_only() {
    let bramble = airframe("bramble");
    assert_eq!(bramble.doors.len(), 1);
    assert_eq!((bramble.doors[0].area.value, bramble.doors[0].throw.value), (0.04, 80.0 * DEG));
    let flap = bramble.panels[0].hinges.iter().find(|hinge| hinge.name == "flap").unwrap();
    assert_eq!((flap.throw_up.value, flap.throw_down.value), (0.0, 45.0 * DEG));
    assert_eq!(bramble.panels[0].section.zero_lift.value, -3.5 * DEG);
}

#[test]
fn a_roll_blend_changes_its_sign_with_the_rudder() {
    let foxglove = mix("foxglove");
    let [pitch, roll, ..] = foxglove.blends.as_slice() else { panic!("{foxglove:?}") };
    assert_eq!((pitch.to, roll.to), (Follower::Elevator, Follower::Aileron));
    let Shape::TwoSided { left, right } = roll.shape else { panic!("{roll:?}") };
    assert!(left > 0.0 && right < 0.0, "left rudder wants right aileron, right rudder left: {roll:?}");
    let Shape::TwoSided { left, right } = pitch.shape else { panic!("{pitch:?}") };
    assert!(left > 0.0 && right > 0.0, "up elevator on both sides: {pitch:?}");
}
