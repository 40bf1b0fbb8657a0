//! Gamepads and transmitters: what they say goes to the panels; how they are read is kept in the user's configuration
//! folder.

use crate::host::Host;
use bevy::input::gamepad::{GamepadAxis, GamepadButton, GamepadConnection, RawGamepadEvent};
use bevy::prelude::*;
use files::{Existing, Source, devices_text, read_devices, write_file};
use manoeuvre::Mapping;
use std::path::Path;

/// The file in the configuration folder.
const FILE: &str = "devices.toml";
/// From here on a button is pressed; below half of it it is let go.
const PRESSED: f32 = 0.6;

/// Hands on what devices say.
pub(crate) struct SticksPlugin;

impl Plugin for SticksPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(PreUpdate, listen.after(bevy::input::InputSystems));
    }
}

fn listen(
    mut host: ResMut<Host>,
    mut events: MessageReader<RawGamepadEvent>,
    mut down: Local<Vec<(Entity, GamepadButton)>>,
) {
    for event in events.read() {
        let state = &mut host.bypass_change_detection().state;
        match event {
            RawGamepadEvent::Connection(event) => match &event.connection {
                GamepadConnection::Connected { name, .. } => {
                    state.devices.plug(event.gamepad.to_bits(), name);
                    state.said = Some(format!("\"{name}\" is plugged in: \"Fly it\" flies with it"));
                }
                GamepadConnection::Disconnected => {
                    if state.devices.unplug(event.gamepad.to_bits()) {
                        state.pause_flying();
                    }
                }
            },
            RawGamepadEvent::Axis(event) => {
                state.devices.axis(event.gamepad.to_bits(), axis(event.axis), f64::from(event.value));
            }
            RawGamepadEvent::Button(event) => {
                let key = (event.gamepad, event.button);
                let was = down.contains(&key);
                if event.value >= PRESSED && !was {
                    down.push(key);
                    if state.devices.button(event.gamepad.to_bits(), button(event.button)) {
                        state.switch_blends();
                    }
                } else if event.value < 0.5 * PRESSED && was {
                    down.retain(|known| *known != key);
                }
            }
        }
    }
}

/// An axis by number, as the file has it.
fn axis(axis: GamepadAxis) -> u32 {
    let known = GamepadAxis::all();
    let place = known.iter().position(|known| *known == axis);
    match (place, axis) {
        (_, GamepadAxis::Other(number)) => known.len() as u32 + u32::from(number),
        (place, _) => place.unwrap_or_default() as u32,
    }
}

/// A button by number, as the file has it.
fn button(button: GamepadButton) -> u32 {
    let known = GamepadButton::all();
    let place = known.iter().position(|known| *known == button);
    match (place, button) {
        (_, GamepadButton::Other(number)) => known.len() as u32 + u32::from(number),
        (place, _) => place.unwrap_or_default() as u32,
    }
}

/// How devices are read, as kept in `folder`; none where nothing is kept.
///
/// # Errors
/// In words: what is wrong with the file, at its line.
pub(crate) fn kept(folder: Option<&Path>) -> Result<Vec<Mapping>, String> {
    let Some(path) = folder.map(|folder| folder.join(FILE)).filter(|path| path.exists()) else {
        return Ok(Vec::new());
    };
    let source = Source::open(&path).map_err(|fault| fault.to_string())?;
    Ok(read_devices(source).map_err(|report| report.to_string())?.value)
}

/// Keeps how devices are read; says where, or why not. What is kept and cannot be read stays as it is.
pub(crate) fn keep(folder: Option<&Path>, mappings: &[Mapping]) -> String {
    let Some(folder) = folder else {
        return "this computer does not say where its programs keep things: the sticks are known until the window closes"
            .to_owned();
    };
    let path = folder.join(FILE);
    if let Err(words) = kept(Some(folder)) {
        return format!("not kept, because what is there cannot be read: {words}");
    }
    match write_file(&path, devices_text(mappings).as_bytes(), Existing::Replace) {
        Ok(()) => format!("kept in {}", path.display()),
        Err(fault) => format!("not kept: {fault}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use manoeuvre::Travel;

    #[test]
    fn what_is_kept_is_read_again_and_a_broken_file_is_left_alone() {
        let folder = tempfile::tempdir().unwrap();
        let mine = folder.path().join("deep/countermix");
        assert_eq!(kept(Some(&mine)), Ok(Vec::new()));
        let travel = |axis| Travel { axis, low: -1.0, middle: 0.0, high: 1.0 };
        let sticks = [travel(0), travel(1), travel(2), travel(3)];
        let mappings = vec![Mapping { device: "Sticks".to_owned(), sticks, blends: None }];
        assert!(keep(Some(&mine), &mappings).starts_with("kept in "));
        assert_eq!(kept(Some(&mine)), Ok(mappings.clone()));
        std::fs::write(mine.join(FILE), "devices = 1\n[[device]]\n").unwrap();
        assert!(kept(Some(&mine)).unwrap_err().contains("devices.toml:2"));
        assert!(keep(Some(&mine), &mappings).starts_with("not kept, because"));
        assert_eq!(std::fs::read_to_string(mine.join(FILE)).unwrap(), "devices = 1\n[[device]]\n");
        assert!(keep(None, &mappings).contains("until the window closes"));
    }

    #[test]
    fn axes_and_buttons_have_numbers_of_their_own() {
        assert_eq!(axis(GamepadAxis::LeftStickX), 0);
        assert_eq!(axis(GamepadAxis::Other(2)), 8);
        assert_eq!(button(GamepadButton::Other(0)), GamepadButton::all().len() as u32);
    }
}
