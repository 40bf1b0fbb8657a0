//! The window on a desktop.

use crate::args::Args;
use crate::config;
use crate::host::{Host, HostPlugin};
use crate::pace::PacePlugin;
use crate::scene::{ScenePlugin, cameras};
use crate::sticks::{SticksPlugin, kept};
use bevy::log::LogPlugin;
use bevy::prelude::*;
use bevy_egui::EguiPlugin;
use std::panic::{self, AssertUnwindSafe};
use std::sync::{Arc, Mutex, PoisonError};

/// Opens the window and runs until it is closed.
///
/// # Errors
/// In words, with the command that helps: no display, no graphics driver.
pub(crate) fn open(mut host: Host, args: &Args) -> Result<(), String> {
    display()?;
    host.state.open.hint = !config::hint_was_read(config::folder().as_deref());
    if args.tour {
        // a manoeuvre of one's own is no station: it is there again when the tour is left
        host.state.start_tour_at(crate::headless::station(&args.scenario).unwrap_or_default());
    }
    match kept(config::folder().as_deref()) {
        Ok(mappings) => host.state.devices.mappings = mappings,
        Err(words) => host.state.devices.said = Some(words),
    }
    let low = args.low;
    let size = args.size;
    let said = listen();
    let ended = panic::catch_unwind(AssertUnwindSafe(move || {
        let window = Window { title: "Countermix".to_owned(), resolution: size.into(), ..default() };
        App::new()
            .add_plugins(
                DefaultPlugins.set(WindowPlugin { primary_window: Some(window), ..default() }).set(log()),
            )
            .add_plugins(EguiPlugin::default())
            .insert_resource(host)
            .add_plugins((HostPlugin, PacePlugin, ScenePlugin, SticksPlugin))
            .add_systems(PreStartup, move |world: &mut World| cameras(world, None, low))
            .run()
    }));
    let _ = panic::take_hook();
    match ended {
        Ok(_) => Ok(()),
        Err(_) => Err(trouble(&said.lock().unwrap_or_else(PoisonError::into_inner))),
    }
}

/// What the libraries say; not what the graphics loader says before the same is told in words.
pub(crate) fn log() -> LogPlugin {
    LogPlugin { level: bevy::log::Level::ERROR, filter: "wgpu_hal=off".to_owned(), ..default() }
}

/// Without a display there is nothing to try.
fn display() -> Result<(), String> {
    let set = |name: &str| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    if cfg!(target_os = "linux") && !set("DISPLAY") && !set("WAYLAND_DISPLAY") {
        return Err("there is no display to open a window on; on a desktop start it from a terminal there, \
                    or have a picture written: countermix-viewer --shot pass.png"
            .to_owned());
    }
    Ok(())
}

/// Keeps the words of a panic instead of printing them: the libraries have no other way to say that there is no
/// graphics driver.
fn listen() -> Arc<Mutex<String>> {
    let said = Arc::new(Mutex::new(String::new()));
    let heard = Arc::clone(&said);
    panic::set_hook(Box::new(move |info| {
        let mut words = heard.lock().unwrap_or_else(PoisonError::into_inner);
        words.push_str(&info.to_string());
        words.push('\n');
    }));
    said
}

/// What a panic of the libraries means for somebody at a desktop.
pub(crate) fn trouble(words: &str) -> String {
    if words.contains("GPU") || words.contains("adapter") {
        return "no graphics driver for Vulkan was found; install the one of your card, or the software one, which \
                is slow but works: apt install libvulkan1 mesa-vulkan-drivers, then countermix-viewer --low"
            .to_owned();
    }
    if words.contains("event loop") {
        return "the window could not be opened on this display; is a desktop running there, and are libx11-6, \
                libxkbcommon0, libxkbcommon-x11-0, libxcursor1 and libxi6 installed?"
            .to_owned();
    }
    format!("the window ended unexpectedly; please report these lines:\n{words}")
}

#[cfg(test)]
mod tests {
    use super::trouble;

    #[test]
    fn what_the_libraries_say_becomes_a_command_that_helps() {
        assert!(trouble("Unable to find a GPU! Make sure ...").contains("apt install"));
        assert!(trouble("Failed to build event loop: ...").contains("libx11-6"));
        assert!(trouble("index out of bounds").contains("please report"));
    }
}
