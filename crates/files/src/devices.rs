//! How the devices of a computer are read: which axis is which stick. Written by the window, one file for all devices.

use core::fmt::Write;

use manoeuvre::{Mapping, Travel};
use measure::{Dimension, Stick};

use crate::filled::Filled;
use crate::form::{Accepts, Field, Form};
use crate::reader::{Item, Read, Says, Tolerance, Wanted, read_source};
use crate::recording::quoted;
use crate::report::{Checked, Report};
use crate::source::Source;

/// The format that is written, and the only one that is read.
const FORMAT: u32 = 1;
/// Axes and buttons of a device.
const MOST: u32 = 300;
/// Less travel than this is none, in the device's numbers.
const LEAST: f64 = 0.05;
/// What a device may give.
const RAW: Wanted =
    Wanted { dimension: Dimension::Number, least: -1e3, most: 1e3, tolerance: Tolerance::Plain(0.0) };

static DEVICES: Form = Form::new(
    "devices",
    "how the devices of this computer are read",
    &[
        Field::new("devices", Accepts::Count(FORMAT, FORMAT), "the format"),
        Field::new("device", Accepts::Tables(&DEVICE), "the devices").absent("none"),
    ],
    &[],
);

static DEVICE: Form = Form::new(
    "device",
    "a gamepad, or a transmitter as USB joystick",
    &[
        Field::text("name", "\"...\"", "the name that it gives itself"),
        Field::new("aileron", Accepts::Table(&TRAVEL), "low: fully left; high: fully right"),
        Field::new("elevator", Accepts::Table(&TRAVEL), "low: stick forward; high: stick back"),
        Field::new("rudder", Accepts::Table(&TRAVEL), "low: fully left; high: fully right"),
        Field::new("throttle", Accepts::Table(&TRAVEL), "low: idle; high: full power"),
        Field::new("blends", Accepts::Count(0, MOST), "the button that puts the blends in and out")
            .absent("none"),
    ],
    &[],
);

static TRAVEL: Form = Form::new(
    "travel",
    "a stick's axis, with what the device gives along its travel",
    &[
        Field::new("axis", Accepts::Count(0, MOST), "which axis"),
        Field::quantity("low", RAW, "at one end"),
        Field::quantity("middle", RAW, "let go"),
        Field::quantity("high", RAW, "at the other end"),
    ],
    &[],
);

/// The text of the file for these devices.
#[must_use]
pub fn devices_text(mappings: &[Mapping]) -> String {
    let mut text = format!(
        "# Which axis of a device is which stick. Written by the window when sticks are moved for it.\n\
         devices = {FORMAT}\n"
    );
    for mapping in mappings {
        // writing to a text cannot fail
        let _ = writeln!(text, "\n[[device]]\nname = {}", quoted(&mapping.device));
        for (stick, travel) in Stick::ALL.into_iter().zip(&mapping.sticks) {
            let Travel { axis, low, middle, high } = travel;
            let _ = writeln!(
                text,
                "{} = {{ axis = {axis}, low = {low:?}, middle = {middle:?}, high = {high:?} }}",
                stick.word()
            );
        }
        if let Some(button) = mapping.blends {
            let _ = writeln!(text, "blends = {button}");
        }
    }
    text
}

/// Reads the file of devices.
///
/// # Errors
/// [`Report`] with every fault at its line.
pub fn read_devices(source: Source) -> Result<Checked<Vec<Mapping>>, Report> {
    read_source(source, |file| {
        let table = file.form(&DEVICES)?;
        table.need("devices").and_then(|item| item.count(FORMAT, FORMAT))?;
        let devices: Vec<_> = table.items("device")?.iter().map(device).collect();
        devices.into_iter().collect()
    })
}

fn device(item: &Item<'_>) -> Read<Mapping> {
    let table = item.form(&DEVICE)?;
    let name = table.text("name");
    let [aileron, elevator, rudder, throttle] =
        Stick::ALL.map(|stick| table.form(stick.word()).and_then(|t| travel(&t)));
    let blends = table.maybe_count("blends");
    Ok(Mapping { device: name?, sticks: [aileron?, elevator?, rudder?, throttle?], blends: blends? })
}

fn travel(table: &Filled<'_>) -> Read<Travel> {
    let axis = table.need("axis").and_then(|item| item.count(0, MOST));
    let [low, middle, high] = ["low", "middle", "high"].map(|key| table.quantity(key));
    let travel = Travel { axis: axis?, low: low?.value, middle: middle?.value, high: high?.value };
    if (travel.high - travel.low).abs() < LEAST {
        let next = "remove the file, and have the window ask for the sticks again";
        return Err(table.item.fault(Says::new(table.item.excerpt(), "a low and a high that differ", next)));
    }
    Ok(travel)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mapping(device: &str) -> Mapping {
        let travel = |axis| Travel { axis, low: -0.98, middle: 0.004, high: 1.0 };
        Mapping {
            device: device.to_owned(),
            sticks: [travel(0), travel(1), travel(3), travel(2)],
            blends: Some(4),
        }
    }

    #[test]
    fn what_is_written_reads_back() {
        let mut other = mapping("a \"good\" pad");
        (other.blends, other.sticks[2].low) = (None, 1e-7);
        let all = vec![mapping("Sticks"), other];
        assert_eq!(read_devices(Source::new("x", devices_text(&all))).unwrap().value, all);
        assert!(read_devices(Source::new("x", devices_text(&[]))).unwrap().value.is_empty());
    }

    #[test]
    fn what_is_broken_is_told_at_its_line() {
        let text = devices_text(&[mapping("Sticks")]);
        let says = |text: String| read_devices(Source::new("sticks.toml", text)).unwrap_err().to_string();
        let words = says(text.replace("axis = 3, low = -0.98", "axis = 3, low = 1.0"));
        assert!(words.contains("sticks.toml:8:") && words.contains("that differ"), "{words}");
        let words = says(text.replace("elevator", "elevater").replace("devices = 1", "devices = 7"));
        assert!(words.contains("from 1 to 1"), "{words}");
        let words = says(text.replace("elevator", "elevater"));
        assert!(words.contains("elevater") && words.contains("did you mean \"elevator\"?"), "{words}");
    }
}
