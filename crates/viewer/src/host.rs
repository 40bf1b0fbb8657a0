//! The window's own business: flights, time, panels, and what the panels ask for.

use crate::club::{Opened, open};
use crate::config;
use crate::labels;
use crate::logbook::{self, Texts};
use crate::pace::waker;
use crate::saving::plain;
use crate::sticks::keep;
use bevy::prelude::*;
use bevy::window::{MonitorSelection, PrimaryWindow, WindowMode};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass, egui};
use panels::{Ask, Flying, Refly, State};
use std::path::Path;
use std::sync::{Mutex, PoisonError};

/// The state of the window and where it came from.
#[derive(Resource)]
pub(crate) struct Host {
    pub(crate) state: State,
    pub(crate) opened: Opened,
    /// What the flight by hand is flown from.
    texts: Option<Texts>,
    /// Only field and verdict.
    pub(crate) bare: bool,
    /// The part of the window left for the field \[points\].
    pub(crate) field: egui::Rect,
}

/// The worker that flies; only one system at a time speaks to it.
#[derive(Resource)]
pub(crate) struct Worker(Mutex<Refly>);

/// Everything but the scene.
pub(crate) struct HostPlugin;

impl Plugin for HostPlugin {
    fn build(&self, app: &mut App) {
        let refly = Refly::start(waker(app));
        app.insert_resource(Worker(Mutex::new(refly)))
            .add_systems(PreUpdate, (fly, run_clock).chain())
            .add_systems(Update, (fulfil, remember_hint))
            .add_systems(EguiPrimaryContextPass, draw);
    }
}

impl Host {
    pub(crate) fn new(state: State, opened: Opened, bare: bool) -> Self {
        Self { state, opened, texts: None, bare, field: egui::Rect::NOTHING }
    }
}

/// Has the newest setup flown and takes what came back.
fn fly(mut host: ResMut<Host>, worker: Res<Worker>) {
    let mut refly = worker.0.lock().unwrap_or_else(PoisonError::into_inner);
    if host.state.wants_flight {
        host.state.wants_flight = false;
        refly.ask(&host.state.setup);
    }
    if let Some(outcome) = refly.take() {
        host.state.receive(outcome);
    }
}

fn run_clock(mut host: ResMut<Host>, time: Res<Time>) {
    host.state.advance(f64::from(time.delta_secs()));
}

/// Draws the panels and the labels over the field.
fn draw(
    mut contexts: EguiContexts,
    mut host: ResMut<Host>,
    camera: Single<(&Camera, &Transform), With<Camera3d>>,
) -> Result {
    let ctx = contexts.ctx_mut()?;
    let all = ctx.viewport_rect();
    let builder = egui::UiBuilder::new().layer_id(egui::LayerId::background()).max_rect(all);
    let mut root = egui::Ui::new(ctx.clone(), "root".into(), builder);
    if !panels::dress(&mut root, &host.state.look) {
        return Ok(());
    }
    host.field = if host.bare {
        panels::bare(&mut root, &host.state)
    } else {
        panels::window(&mut root, &mut host.state)
    };
    labels::draw(ctx, &host.state, host.field, camera.0, camera.1);
    Ok(())
}

/// Does what the panels asked for.
fn fulfil(
    mut host: ResMut<Host>,
    mut windows: Query<&mut Window, With<PrimaryWindow>>,
    mut exit: MessageWriter<AppExit>,
    mut commands: Commands,
) {
    for ask in core::mem::take(&mut host.state.asks) {
        match ask {
            Ask::Airframe(name) => {
                let opened = host.opened.with_airframe(&name);
                host.reopen(opened);
            }
            Ask::Manoeuvre(name) => {
                let opened = host.opened.with_manoeuvre(&name);
                host.reopen(opened);
            }
            Ask::Visit { manoeuvre, airframe } => match open(&manoeuvre, &airframe, None) {
                Ok(opened) => host.state.visit(opened.setup, opened.club),
                Err(words) => host.state.trouble = Some(words),
            },
            Ask::FillScreen(fill) => windows.iter_mut().for_each(|mut window| fill_screen(&mut window, fill)),
            Ask::Save => host.save(),
            Ask::Fly => host.fly(),
            Ask::SaveFlight => host.save_flight(),
            Ask::Replay(name) => host.take_off(logbook::replay(Path::new(&name))),
            Ask::KeepDevices => {
                let said = keep(config::folder().as_deref(), &host.state.devices.mappings);
                host.state.said = Some(said);
            }
            Ask::FullScreen => windows.iter_mut().for_each(|mut window| turn_full_screen(&mut window)),
            Ask::Picture => {
                use bevy::render::view::screenshot::{Screenshot, save_to_disk};
                commands.spawn(Screenshot::primary_window()).observe(save_to_disk("countermix-window.png"));
                host.state.said = Some("picture saved as countermix-window.png".to_owned());
            }
            Ask::Quit => {
                exit.write(AppExit::Success);
            }
        }
    }
}

/// A hint that was closed does not come back at the next start.
fn remember_hint(host: Res<Host>, mut shown: Local<bool>) {
    if *shown && !host.state.open.hint {
        config::remember_hint(config::folder().as_deref());
    }
    *shown = host.state.open.hint;
}

impl Host {
    /// Shows what was opened instead; edits of the rest stay.
    fn reopen(&mut self, opened: Result<Opened, String>) {
        let opened = match opened {
            Ok(opened) => opened,
            Err(words) => {
                self.state.said = Some(words);
                return;
            }
        };
        let mut setup = self.state.setup.clone();
        if opened.club.manoeuvre != self.opened.club.manoeuvre {
            setup.scenario = opened.setup.scenario.clone();
        }
        if opened.club.airframe != self.opened.club.airframe {
            (setup.airframe, setup.mix) = (opened.setup.airframe.clone(), opened.setup.mix.clone());
            // names of another mix's blends
            setup.scenario.compared.clone_from(&opened.setup.scenario.compared);
        }
        self.state.open(setup, opened.club.clone());
        self.state.stored = opened.setup.clone();
        self.opened = opened;
    }

    fn fly(&mut self) {
        let flight = self.opened.fly(&self.state.setup);
        self.take_off(flight);
    }

    /// Goes to the entry of a flight by hand, or shows a recording.
    pub(crate) fn take_off(&mut self, flight: Result<(Flying, Texts), String>) {
        let flying = flight.map(|(flying, texts)| {
            self.texts = Some(texts);
            flying
        });
        self.state.take_off(flying);
    }

    fn save_flight(&mut self) {
        let stem = format!("{}-flight", plain(&self.opened.club.airframe));
        let said = match (&self.state.flying, &self.texts) {
            (Some(flying), Some(texts)) if !flying.replayed() && !flying.grips().is_empty() => {
                logbook::save(flying, texts, &stem, Path::new(""))
            }
            _ => Err("there is no new flight to save; Space begins one".to_owned()),
        };
        self.state.said = Some(match said {
            Ok(name) => {
                self.state.replayed.clone_from(&name);
                format!("flight saved in {name}")
            }
            Err(words) => words,
        });
    }

    fn save(&mut self) {
        let said = self.opened.save(&self.state.setup, Path::new(""));
        self.state.stored = self.opened.setup.clone();
        self.state.said = Some(said);
    }
}

fn turn_full_screen(window: &mut Window) {
    fill_screen(window, window.mode == WindowMode::Windowed);
}

fn fill_screen(window: &mut Window, fill: bool) {
    let whole = WindowMode::BorderlessFullscreen(MonitorSelection::Current);
    window.mode = if fill { whole } else { WindowMode::Windowed };
}
