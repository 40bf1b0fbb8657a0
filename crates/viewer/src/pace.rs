//! When the window draws: while something moves, and else only when something has happened. Who reads a gamepad or
//! shows something that runs by itself says so in [`panels::State::moving`].

use crate::awake;
use crate::host::Host;
use bevy::prelude::*;
use bevy::winit::{EventLoopProxyWrapper, UpdateMode, WinitSettings, WinitUserEvent};
use bevy_egui::{EguiContext, EguiInput, EguiPreUpdateSet, egui};
use std::sync::Arc;
use std::time::Duration;

/// A window at rest looks around so often all the same.
const REST: Duration = Duration::from_secs(60);
/// How often a search is asked for its answer.
const ASKING: Duration = Duration::from_millis(200);
/// Panels are drawn after the scene: a change takes a few pictures to arrive everywhere.
const ARRIVING: u32 = 3;

/// Paces the window.
pub(crate) struct PacePlugin;

impl Plugin for PacePlugin {
    fn build(&self, app: &mut App) {
        awake::watch(waker(app));
        let quiet = quiet.after(EguiPreUpdateSet::ProcessInput).before(EguiPreUpdateSet::BeginPass);
        app.insert_resource(WinitSettings::continuous())
            .add_systems(PreUpdate, quiet)
            .add_systems(Last, pace);
    }
}

/// Wakes the window from another thread; does nothing where there is none.
pub(crate) fn waker(app: &App) -> impl Fn() + Send + 'static {
    let line = app.world().get_resource::<EventLoopProxyWrapper>().map(|line| (**line).clone());
    move || {
        if let Some(line) = &line {
            // a window that is being closed needs no waking
            let _ = line.send_event(WinitUserEvent::WakeUp);
        }
    }
}

/// egui is told of the modifier keys in every picture, and asks for another picture when it is told anything: no
/// window would ever rest. What it knows already is not told again.
fn quiet(mut contexts: Query<(&mut EguiContext, &mut EguiInput)>) {
    for (mut context, mut input) in &mut contexts {
        let known = context.get_mut().input(|input| input.modifiers);
        input.events.retain(|event| *event != egui::Event::ModifiersChanged(known));
    }
}

/// What the picture depends on besides the widgets.
type Seen = (f64, panels::View, panels::Look, egui::Rect, Option<usize>);

fn pace(
    host: Res<Host>,
    mut settings: ResMut<WinitSettings>,
    mut last: Local<Option<Seen>>,
    mut more: Local<u32>,
) {
    let state = &host.state;
    let flights = state.show.as_ref().map(|show| Arc::as_ptr(show) as usize);
    let seen = Some((state.clock.time, state.view, state.look, host.field, flights));
    *more = if *last == seen { more.saturating_sub(1) } else { ARRIVING };
    *last = seen;
    let moving = *more > 0 || state.moving() || !state.asks.is_empty();
    let mode = mode(moving, state.awaiting());
    (settings.focused_mode, settings.unfocused_mode) = (mode, mode);
}

/// A flight under way wakes the window when it is done; a search has to be asked.
fn mode(moving: bool, searching: bool) -> UpdateMode {
    match (moving, searching) {
        (true, _) => UpdateMode::Continuous,
        (_, true) => UpdateMode::reactive_low_power(ASKING),
        _ => UpdateMode::reactive_low_power(REST),
    }
}
