//! The panels driven by their accessible labels, as a screen reader finds them.
#![allow(clippy::unwrap_used, clippy::panic, reason = "tests")]

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use files::{Kind, find, read_airframe, read_mix, read_scenario};
use measure::{Side, Stick};
use mix::{Condition, Shape};
use panels::{Ask, Club, Eye, Setup, State, dress, fly, window};
use std::sync::Arc;

const RIGHT: &str = "knife-edge pitch, full right rudder";

fn demo() -> Setup {
    Setup {
        airframe: read_airframe(find(Kind::Airframe, "foxglove").unwrap()).unwrap().value,
        mix: read_mix(find(Kind::Mix, "foxglove").unwrap()).unwrap().value,
        scenario: read_scenario(find(Kind::Scenario, "knife-edge-pass").unwrap()).unwrap().value,
        side: Side::Right,
    }
}

fn state() -> State {
    let club = Club {
        airframes: vec!["foxglove".into(), "larkspur".into()],
        manoeuvres: vec!["knife-edge-pass".into()],
        airframe: "foxglove".into(),
        manoeuvre: "knife-edge-pass".into(),
    };
    let mut state = State::new(demo(), club);
    state.receive(fly(&state.setup).map(Arc::new));
    state.clock.playing = false;
    state.wants_flight = false;
    state
}

fn harness(width: f32, height: f32) -> Harness<'static, (State, egui::Rect)> {
    Harness::builder().with_size([width, height]).with_step_dt(1.0 / 60.0).with_max_steps(60).build_ui_state(
        |ui: &mut egui::Ui, (state, field): &mut (State, egui::Rect)| {
            if dress(ui, &state.look) {
                *field = window(ui, state);
            }
        },
        (state(), egui::Rect::NOTHING),
    )
}

fn right_share(state: &State) -> f64 {
    match state.setup.shape("knife-edge pitch") {
        Some(Shape::TwoSided { right, .. }) => *right,
        other => panic!("{other:?}"),
    }
}

#[test]
fn the_verdict_is_the_sentence_of_the_comparison() {
    let mut h = harness(1280.0, 720.0);
    h.run();
    let sentence = h.state().0.show.as_ref().unwrap().run.as_ref().unwrap().sentence.clone();
    assert!(sentence.starts_with("Foxglove, right rudder (left wing down)"), "{sentence}");
    h.get_by_label(&sentence);
    h.state_mut().0.receive(Err("the airframe has no wing".into()));
    h.run();
    h.get_by_label("Not flown: the airframe has no wing");
    h.state_mut().0.trouble = None;
    h.state_mut().0.take_off(Err("my-flight.toml: no such file\n".into()));
    h.run();
    h.get_by_label("Not flown by hand: my-flight.toml: no such file");
    h.get_by_label(&sentence);
    h.key_press(Key::Escape);
    h.run();
    assert!(h.query_by_label_contains("Not flown by hand").is_none());
}

#[test]
fn dragging_a_percentage_is_one_step_and_asks_for_a_flight() {
    let mut h = harness(1280.0, 720.0);
    h.run();
    let before = right_share(&h.state().0);
    let at = h.get_by_label(RIGHT).rect().center();
    h.drag_at(at);
    h.run();
    for moved in [10.0, 25.0, 40.0] {
        h.hover_at(at + egui::vec2(moved, 0.0));
        h.run();
    }
    h.drop_at(at + egui::vec2(40.0, 0.0));
    h.run();
    let after = right_share(&h.state().0);
    assert!(after > before + 0.01, "{before} {after}");
    assert!(h.state().0.wants_flight && h.state().0.changed());
    h.get_by_label("Undo").click();
    h.run();
    assert!((right_share(&h.state().0) - before).abs() < 1e-12, "one drag, one step");
    h.get_by_label("Redo").click();
    h.run();
    assert!((right_share(&h.state().0) - after).abs() < 1e-12);
}

#[test]
fn percentages_are_typed_with_their_direction() {
    let mut h = harness(1280.0, 720.0);
    h.run();
    let before = right_share(&h.state().0);
    h.get_by_label(RIGHT).click();
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::A);
    h.run();
    h.event(egui::Event::Text("3 down".into()));
    h.run();
    h.key_press(Key::Enter);
    h.run();
    assert!((right_share(&h.state().0) + 0.03).abs() < 1e-12);
    h.get_by_label("Undo").click();
    h.run();
    assert_eq!(right_share(&h.state().0), before, "however many letters, one step");
}

#[test]
fn time_is_played_stepped_and_scrubbed() {
    let mut h = harness(1280.0, 720.0);
    h.run();
    h.get_by_label("Play").click();
    h.run();
    assert!(h.state().0.clock.playing);
    h.get_by_label("Pause").click();
    h.run();
    h.get_by_label("Step on").click();
    h.run();
    assert!((h.state().0.clock.time - 0.02).abs() < 1e-9);
    let line = h.get_by_label("Time line").rect();
    h.drag_at(line.center());
    h.run();
    h.drop_at(line.center());
    h.run();
    let time = h.state().0.clock.time;
    assert!(time > 2.0 && time < 4.5, "{time}");
    h.key_press(Key::Space);
    h.run();
    assert!(h.state().0.clock.playing);
}

#[test]
fn eyes_are_chosen_by_name_and_by_key() {
    let mut h = harness(1280.0, 720.0);
    h.run();
    h.get_by_label("Top").click();
    h.run();
    assert_eq!(h.state().0.view.eye, Eye::Top);
    h.key_press(Key::Num1);
    h.run();
    assert_eq!(h.state().0.view.eye, Eye::Pilot);
}

#[test]
fn the_other_side_is_another_flight() {
    let mut h = harness(1280.0, 720.0);
    h.state_mut().0.open.flown = true;
    h.run();
    h.get_by_label("left").click();
    h.run();
    assert_eq!(h.state().0.setup.side, Side::Left);
    assert!(h.state().0.wants_flight);
    assert!(!h.state().0.changed(), "looking at the other side changes no file");
}

#[test]
fn a_blend_is_left_in_both_flights_and_bent() {
    let mut h = harness(1280.0, 720.0);
    h.run();
    h.get_by_role_and_label(Role::CheckBox, "knife-edge roll").click_accesskit();
    h.run();
    let setup = &h.state().0.setup;
    assert!(!setup.compared("knife-edge roll") && setup.compared("knife-edge pitch"));
    let full = 100.0 * right_share(&h.state().0);
    h.get_all_by_label("Bend").next().unwrap().click_accesskit();
    h.run();
    assert!(
        matches!(h.state().0.setup.shape("knife-edge pitch"), Some(Shape::Curve(points)) if points.len() == 5)
    );
    let point = h.get_by_label("knife-edge pitch, point 5");
    assert!((point.accesskit_node().numeric_value().unwrap() - full).abs() < 1e-6);
}

#[test]
fn the_field_has_most_of_the_window() {
    for (width, height, flown) in [(1920.0, 1080.0, true), (1280.0, 720.0, false)] {
        let mut h = harness(width, height);
        h.state_mut().0.open.flown = flown;
        h.state_mut().0.open.strips = height > 800.0;
        h.run();
        // the harness keeps 8 points free on every side
        let share = h.state().1.area() / ((width - 16.0) * (height - 16.0));
        assert!(share >= 0.6, "{width} x {height}: {share}");
    }
}

#[test]
fn the_controls_stand_in_one_row_at_any_usual_size() {
    for (width, height, text, last) in [
        (1280.0, 720.0, 1.0, "Help"),
        (1280.0, 720.0, 1.6, "Panels"),
        (1920.0, 1080.0, 1.0, "Help"),
        (1920.0, 1080.0, 1.6, "Help"),
    ] {
        let mut h = harness(width, height);
        h.state_mut().0.look.text_size = text;
        h.run();
        let middle = |label: &str| h.get_by_label(label).rect().center().y;
        assert!((middle("Play") - middle(last)).abs() < 4.0, "{width} x {height} at {text}");
    }
    let mut h = harness(1280.0, 720.0);
    h.state_mut().0.look.text_size = 1.6;
    h.run();
    h.get_by_label("Seen: Chase").click();
    h.run();
    h.get_by_label("Top").click();
    h.run();
    h.get_by_label("Seen: Top");
    h.get_by_label("Panels").click();
    h.run();
    h.get_by_label("Charts").click();
    h.run();
    assert!(h.state().1.height() > 0.0 && !h.state().0.open.strips);
}

#[test]
fn what_only_the_host_can_do_is_asked_for() {
    let mut h = harness(1280.0, 720.0);
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::S);
    h.key_press(Key::F11);
    h.run();
    assert_eq!(h.state().0.asks, [Ask::Save, Ask::FullScreen]);
    h.key_press(Key::F1);
    h.run();
    h.get_by_label("play or pause");
}

#[test]
fn when_a_blend_acts_is_changed_on_its_card_in_one_step_each() {
    let mut h = harness(1280.0, 1400.0);
    h.run();
    let engaged = |h: &Harness<'static, (State, egui::Rect)>| h.state().0.setup.mix.blends[0].engaged.clone();
    let before = engaged(&h);
    h.get_all_by_label("When it acts").next().unwrap().click_accesskit();
    h.run();
    h.run();
    h.get_by_label("Without this condition").click_accesskit();
    h.run();
    assert_eq!(engaged(&h), Condition::Always);
    assert!(h.state().0.wants_flight);
    h.get_by_label("Only also ...").click_accesskit();
    h.run();
    h.get_by_label("above half throttle").click_accesskit();
    h.run();
    let threshold = 0.5;
    assert_eq!(engaged(&h), Condition::StickAbove { stick: Stick::Throttle, threshold });
    h.get_by_label("Undo").click_accesskit();
    h.run();
    assert_eq!(engaged(&h), Condition::Always);
    h.get_by_label("Undo").click_accesskit();
    h.run();
    assert_eq!(engaged(&h), before);
}

#[test]
fn conditions_inside_others_are_changed_too() {
    let mut h = harness(1280.0, 1400.0);
    let aloft = Condition::Rates("aloft".into());
    let spin = Condition::Switch { name: "spin".into(), is: "on".into() };
    let as_written = Condition::All(vec![Condition::Not(Box::new(Condition::Not(Box::new(spin.clone()))))]);
    h.state_mut().0.setup.mix.blends[0].engaged = as_written.clone();
    h.run();
    h.get_all_by_label("When it acts").next().unwrap().click_accesskit();
    h.run();
    h.run();
    let engaged = |h: &Harness<'static, (State, egui::Rect)>| h.state().0.setup.mix.blends[0].engaged.clone();
    assert_eq!(engaged(&h), as_written, "what is looked at stays as it was written");
    h.state_mut().0.setup.mix.blends[0].engaged = aloft.clone();
    let step = |h: &mut Harness<'static, (State, egui::Rect)>, place: usize, button: &str| {
        h.run();
        h.get_all_by_role_and_label(Role::Button, button).nth(place).unwrap().click_accesskit();
        h.run();
    };
    step(&mut h, 0, "Not");
    assert_eq!(engaged(&h), Condition::Not(Box::new(aloft.clone())));
    step(&mut h, 0, "Or ...");
    step(&mut h, 0, "on a switch");
    let switch = Condition::Switch { name: "blend".into(), is: "on".into() };
    let either = Condition::Any(vec![aloft.clone(), switch.clone()]);
    assert_eq!(engaged(&h), Condition::Not(Box::new(either)));
    step(&mut h, 0, "Or also ...");
    step(&mut h, 0, "below half throttle");
    step(&mut h, 1, "Not");
    let low = Condition::StickBelow { stick: Stick::Throttle, threshold: 0.5 };
    let any = Condition::Any(vec![aloft.clone(), Condition::Not(Box::new(switch)), low]);
    assert_eq!(engaged(&h), Condition::Not(Box::new(any)));
    for _ in 0..2 {
        step(&mut h, 1, "Without this condition");
    }
    step(&mut h, 0, "Not");
    assert_eq!(engaged(&h), aloft, "a group of one is that one, turned round twice it is as it was");
    step(&mut h, 0, "Without this condition");
    assert_eq!(engaged(&h), Condition::Always);
}

#[test]
fn a_blend_is_added_at_nothing_and_removed_and_both_are_undone() {
    let mut h = harness(1280.0, 2400.0);
    h.run();
    let before = h.state().0.setup.clone();
    h.get_by_label("New blend").click_accesskit();
    h.run();
    h.get_by_role_and_label(Role::ComboBox, "Lead").click_accesskit();
    h.run();
    h.get_by_label("aileron stick").click_accesskit();
    h.run();
    h.get_by_role_and_label(Role::ComboBox, "Follower").click_accesskit();
    h.run();
    h.get_by_label("throttle").click_accesskit();
    h.run();
    assert!(!h.state().0.wants_flight, "choosing changes nothing yet");
    h.get_by_label("Add it at 0 %").click_accesskit();
    h.run();
    let added = h.state().0.setup.mix.blends[6].clone();
    assert_eq!((added.name.as_str(), &added.engaged), ("aileron to throttle", &Condition::Always));
    assert_eq!(added.shape, Shape::TwoSided { left: 0.0, right: 0.0 });
    assert!(h.state().0.wants_flight && h.state().0.changed());
    h.get_by_label("aileron to throttle, full left aileron");
    h.get_all_by_label("Remove").nth(1).unwrap().click_accesskit();
    h.run();
    assert_eq!(h.state().0.setup.shape("knife-edge roll"), None);
    h.get_by_label("Undo").click_accesskit();
    h.run();
    assert!(h.state().0.setup.shape("knife-edge roll").is_some());
    h.get_by_label("Undo").click_accesskit();
    h.run();
    assert_eq!(h.state().0.setup, before);
    h.state_mut().0.setup.mix.blends[0].after = Some("knife-edge roll".into());
    h.run();
    assert!(
        h.get_all_by_label("Remove").nth(1).unwrap().accesskit_node().is_disabled(),
        "another builds on it"
    );
}

#[test]
fn a_switch_of_the_manoeuvre_is_turned() {
    let mut h = harness(1280.0, 1400.0);
    h.run();
    h.get_by_label("Levers and switches").click_accesskit();
    h.run();
    h.run();
    h.get_by_label("switch roll-in").click_accesskit();
    h.run();
    h.get_by_label("on").click_accesskit();
    h.run();
    assert_eq!(h.state().0.setup.scenario.start.switches, [("roll-in".to_owned(), "on".to_owned())]);
    assert!(h.state().0.changed() && h.state().0.wants_flight);
}

#[test]
fn a_search_shows_its_progress_and_is_cancelled() {
    let mut h = harness(1280.0, 1400.0);
    h.run();
    h.get_all_by_label("Find").next().unwrap().click_accesskit();
    h.run();
    h.get_by_label("Progress of the search");
    assert!(h.state().0.searching());
    h.get_by_label("Cancel").click_accesskit();
    h.run();
    assert!(h.state().0.seek.is_none() && !h.state().0.searching());
}

#[test]
fn what_is_not_certain_offers_no_percentage() {
    let mut h = harness(1280.0, 1400.0);
    h.run();
    h.get_all_by_label("Find").next().unwrap().click_accesskit();
    h.run();
    let began = std::time::Instant::now();
    while h.state().0.searching() {
        h.state_mut().0.advance(0.02);
        std::thread::sleep(std::time::Duration::from_millis(20));
        assert!(began.elapsed().as_secs() < 60, "no answer");
    }
    h.run();
    h.get_by_label(study::find::NOT_CERTAIN);
    h.get_by_label("Fly without it").click_accesskit();
    h.run();
    let before = right_share(&h.state().0);
    for _ in 0..40 {
        h.state_mut().0.advance(0.02);
    }
    assert_eq!(right_share(&h.state().0), 0.0);
    h.get_by_label("Undo").click_accesskit();
    h.run();
    assert!(before > 0.0 && right_share(&h.state().0) == before, "the way there is one step");
}

fn answered(h: &mut Harness<'static, (State, egui::Rect)>) {
    let began = std::time::Instant::now();
    while h.state().0.awaiting() {
        h.state_mut().0.advance(0.0);
        std::thread::sleep(std::time::Duration::from_millis(20));
        assert!(began.elapsed().as_secs() < 60, "no answer");
    }
    h.run();
}

#[test]
fn why_takes_the_coupling_apart_on_the_whole_and_at_the_cursor() {
    let mut h = harness(1600.0, 1400.0);
    h.run();
    h.get_all_by_label("Why").nth(1).unwrap().click_accesskit();
    h.run();
    h.get_by_label("Why: knife-edge roll");
    answered(&mut h);
    let reason = h.state().0.reason.clone().unwrap();
    let explained = reason.taken.unwrap().unwrap();
    h.get_by_label(&explained.sentence());
    let whole = report::explain_page::number(explained.coupling.follower, 100.0 * explained.needed);
    h.get_by_label(&format!("together: what is needed {whole}"));
    h.get_by_label("Show it on the model").click_accesskit();
    h.run();
    h.run();
    h.get_by_role(Role::Image);
    h.get_by_label("What to change instead").click_accesskit();
    h.run();
    answered(&mut h);
    h.get_by_label("an evening at the bench:");
    h.state_mut().0.clock.scrub(4.0);
    h.get_by_label("At the cursor").click_accesskit();
    h.run();
    let given = h.get_all_by_label_contains("given by stick and blends").next().unwrap();
    assert!(given.accesskit_node().value().unwrap().ends_with("left"), "right rudder, left aileron");
    // it is open already: the page follows from the whole to the cursor
    h.run();
    h.get_by_label("Foxglove at 4.00 s: what rolls it");
    h.state_mut().0.clock.scrub(4.5);
    h.run();
    h.get_by_label("Foxglove at 4.50 s: what rolls it");
    h.get_by_label("Show it on the model").click_accesskit();
    h.run();
    assert!(h.query_by_label("Foxglove at 4.50 s: what rolls it").is_none());
    h.key_press(Key::W);
    h.run();
    assert!(h.state().0.reason.is_none());
}
