//! The whole window under test, stepped by hand without display and graphics card.

use crate::axes;
use crate::club::open;
use crate::host::{Host, HostPlugin};
use crate::scene::{Hinged, Model, ScenePlugin, cameras};
use crate::sticks::SticksPlugin;
use bevy::input::gamepad::{
    GamepadAxis, GamepadButton, GamepadConnection, GamepadConnectionEvent, RawGamepadAxisChangedEvent,
    RawGamepadButtonChangedEvent, RawGamepadEvent,
};
use bevy::log::LogPlugin;
use bevy::prelude::*;
use bevy::render::RenderPlugin;
use bevy::render::settings::{RenderCreation, WgpuSettings};
use bevy::time::TimeUpdateStrategy;
use bevy::winit::WinitPlugin;
use bevy_egui::EguiPlugin;
use panels::{Ask, Phase, STOPS, State, fly};
use std::sync::Arc;
use std::time::Duration;

fn app() -> App {
    let opened = open("knife-edge-pass", "foxglove", None).unwrap();
    let mut state = State::new(opened.setup.clone(), opened.club.clone());
    state.receive(fly(&state.setup).map(Arc::new));
    state.wants_flight = false;
    state.clock.playing = false;
    let mut app = App::new();
    let no_card = WgpuSettings { backends: None, ..default() };
    app.add_plugins(
        DefaultPlugins
            .set(RenderPlugin { render_creation: RenderCreation::Automatic(Box::new(no_card)), ..default() })
            .disable::<WinitPlugin>()
            .disable::<LogPlugin>(),
    )
    .add_plugins(EguiPlugin::default())
    .insert_resource(TimeUpdateStrategy::ManualDuration(Duration::from_millis(20)))
    .insert_resource(Host::new(state, opened, false))
    .add_plugins((HostPlugin, ScenePlugin, SticksPlugin));
    cameras(app.world_mut(), None, true);
    app.finish();
    app.cleanup();
    for _ in 0..4 {
        app.update();
    }
    app
}

fn at(app: &mut App, time: f64) {
    app.world_mut().resource_mut::<Host>().state.clock.scrub(time);
    app.update();
}

#[test]
fn models_and_surfaces_stand_where_the_flight_was() {
    let mut app = app();
    at(&mut app, 5.0);
    let show = app.world().resource::<Host>().state.show.clone().unwrap();
    let mut models = app.world_mut().query::<(&Model, &Transform)>();
    let places: Vec<(usize, Transform)> = models.iter(app.world()).map(|(m, t)| (m.0, *t)).collect();
    assert_eq!(places.len(), 2);
    for (i, place) in places {
        let pose = show.tracks[i].at(5.0);
        assert!((place.translation - axes::vector(&pose.position)).length() < 1e-4);
        assert!(place.rotation.dot(axes::attitude(&pose.attitude)).abs() > 1.0 - 1e-5);
    }
    let mut hinged = app.world_mut().query::<(&Hinged, &Transform)>();
    let angles: Vec<(usize, usize, f32)> =
        hinged.iter(app.world()).map(|(h, t)| (h.model, h.surface, t.rotation.to_axis_angle().1)).collect();
    assert_eq!(angles.len(), 2 * show.geometry.surfaces.len());
    for (model, surface, angle) in angles {
        let flown = show.tracks[model].at(5.0).deflections[surface].abs() as f32;
        assert!((angle - flown).abs() < 1e-3, "{}: {angle} {flown}", show.geometry.surfaces[surface].label());
    }
}

#[test]
fn the_ghost_is_hidden_while_both_are_one() {
    let mut app = app();
    let ghost = |app: &mut App, time: f64| {
        at(app, time);
        let mut models = app.world_mut().query::<(&Model, &Visibility)>();
        models.iter(app.world()).find(|(m, _)| m.0 == 0).map(|(_, v)| *v).unwrap()
    };
    assert_eq!(ghost(&mut app, 0.0), Visibility::Hidden);
    assert_eq!(ghost(&mut app, 6.0), Visibility::Inherited);
}

#[test]
fn a_changed_percentage_is_flown_again_and_moves_the_model() {
    let mut app = app();
    at(&mut app, 6.0);
    let before = app.world().resource::<Host>().state.show.clone().unwrap();
    let mut host = app.world_mut().resource_mut::<Host>();
    if let mix::Shape::TwoSided { right, .. } = &mut host.state.setup.mix.blends[0].shape {
        *right += 0.10;
    }
    host.state.wants_flight = true;
    for _ in 0..2000 {
        app.update();
        let now = app.world().resource::<Host>().state.show.clone().unwrap();
        if !Arc::ptr_eq(&now, &before) {
            app.update();
            let moved = (now.tracks[1].at(6.0).position - before.tracks[1].at(6.0).position).norm();
            assert!(moved > 0.5, "{moved}");
            return;
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    panic!("no flight came back");
}

#[test]
fn a_tour_opens_its_stations_and_leaves_what_was_there() {
    let mut app = app();
    let before = app.world().resource::<Host>().state.setup.clone();
    app.insert_resource(TimeUpdateStrategy::ManualDuration(Duration::from_millis(200)));
    app.world_mut().resource_mut::<Host>().state.start_tour();
    let second = STOPS[1].manoeuvre;
    for _ in 0..2000 {
        app.update();
        let state = &app.world().resource::<Host>().state;
        if state.club.manoeuvre == second && state.show.as_ref().is_some_and(|show| show.setup == state.setup)
        {
            break;
        }
        std::thread::sleep(Duration::from_millis(1));
    }
    let mut host = app.world_mut().resource_mut::<Host>();
    assert_eq!(host.state.show.as_ref().unwrap().setup.scenario.name, "half rudder");
    host.state.leave_tour();
    assert_eq!(host.state.setup, before);
}

/// A gamepad as the system reports one.
fn gamepad(app: &mut App, event: impl Into<RawGamepadEvent>) {
    app.world_mut().write_message::<RawGamepadEvent>(event.into());
}

#[test]
fn a_gamepad_is_asked_about_flies_both_models_and_may_be_lost() {
    let mut app = app();
    let pad = app.world_mut().spawn_empty().id();
    let name = "Sticks".to_owned();
    let connected = GamepadConnection::Connected { name, vendor_id: None, product_id: None };
    gamepad(&mut app, GamepadConnectionEvent { gamepad: pad, connection: connected });
    app.update();
    let said = app.world().resource::<Host>().state.said.clone().unwrap();
    assert_eq!(said, "\"Sticks\" is plugged in: \"Fly it\" flies with it");
    app.world_mut().resource_mut::<Host>().state.asks.push(Ask::Fly);
    app.update();
    let devices = |app: &mut App| app.world().resource::<Host>().state.devices.clone();
    assert_eq!((devices(&mut app).name(), devices(&mut app).sticks()), (Some("Sticks"), None));
    app.world_mut().resource_mut::<Host>().state.devices.ask();
    let axes = [
        GamepadAxis::RightStickX,
        GamepadAxis::RightStickY,
        GamepadAxis::LeftStickX,
        GamepadAxis::LeftStickY,
    ];
    for (i, axis) in axes.into_iter().enumerate() {
        for value in [0.9, -0.8, if i == 3 { -0.8 } else { 0.0 }] {
            gamepad(&mut app, RawGamepadAxisChangedEvent { gamepad: pad, axis, value });
            app.update();
        }
        let asked = &mut app.world_mut().resource_mut::<Host>().state.devices;
        assert!(!asked.answered(), "{:?}", asked.learn);
    }
    gamepad(
        &mut app,
        RawGamepadButtonChangedEvent { gamepad: pad, button: GamepadButton::South, value: 1.0 },
    );
    app.update();
    assert!(app.world_mut().resource_mut::<Host>().state.devices.answered());
    let pressed = |app: &mut App, value| {
        gamepad(app, RawGamepadButtonChangedEvent { gamepad: pad, button: GamepadButton::South, value });
        app.update();
    };
    pressed(&mut app, 0.0);
    // rudder to the right, throttle up, in the air
    for (axis, value) in [(GamepadAxis::LeftStickX, 0.9), (GamepadAxis::LeftStickY, 0.05)] {
        gamepad(&mut app, RawGamepadAxisChangedEvent { gamepad: pad, axis, value });
    }
    app.update();
    app.world_mut().resource_mut::<Host>().state.fly_or_play();
    for _ in 0..50 {
        app.update();
    }
    let show = app.world().resource::<Host>().state.show.clone().unwrap();
    assert!((show.length() - 1.0).abs() < 0.1, "{}", show.length());
    for track in &show.tracks {
        let sticks = track.samples()[20].sticks;
        assert!((sticks[2] - 1.0).abs() < 1e-9 && (sticks[3] - 0.5).abs() < 1e-9, "{sticks:?}");
    }
    pressed(&mut app, 1.0);
    let flying = |app: &App| app.world().resource::<Host>().state.flying.clone().unwrap();
    assert!(!flying(&app).blends, "the button puts them out");
    gamepad(&mut app, GamepadConnectionEvent { gamepad: pad, connection: GamepadConnection::Disconnected });
    app.update();
    assert_eq!(flying(&app).phase(), Phase::Waiting, "lost in the air: it waits");
    assert!(devices(&mut app).said.unwrap().contains("\"Sticks\" is gone"));
}
