//! The gamepad or transmitter that is plugged in, as the panels see it.

use crate::learn::Learn;
use manoeuvre::Mapping;
use measure::Stick;

/// Devices and how they are read.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Devices {
    /// Those that are plugged in, in the order in which they came; the first is flown with.
    plugged: Vec<Device>,
    /// What is known of devices, plugged in or not.
    pub mappings: Vec<Mapping>,
    /// The questions, while they are asked.
    pub learn: Option<Learn>,
    /// What happened to a device, in words.
    pub said: Option<String>,
}

/// A device that is plugged in.
#[derive(Debug, Clone, PartialEq)]
struct Device {
    /// What the host calls it.
    id: u64,
    /// What it calls itself.
    name: String,
    /// Axes that were heard of, and what they gave last.
    axes: Vec<(u32, f64)>,
}

impl Devices {
    /// A device was plugged in.
    pub fn plug(&mut self, id: u64, name: &str) {
        self.plugged.retain(|device| device.id != id);
        self.plugged.push(Device { id, name: name.to_owned(), axes: Vec::new() });
        self.said = None;
    }

    /// A device is gone; whether it was the one that is flown with.
    pub fn unplug(&mut self, id: u64) -> bool {
        let first = self.plugged.first().filter(|device| device.id == id).map(|device| device.name.clone());
        self.plugged.retain(|device| device.id != id);
        if let Some(name) = &first {
            self.learn = None;
            self.said = Some(format!("\"{name}\" is gone: plug it in again, or fly on with the keys"));
        }
        first.is_some()
    }

    /// An axis stands at `raw`.
    pub fn axis(&mut self, id: u64, axis: u32, raw: f64) {
        let first = self.plugged.first().is_some_and(|device| device.id == id);
        let Some(device) = self.plugged.iter_mut().find(|device| device.id == id) else { return };
        match device.axes.iter_mut().find(|(known, _)| *known == axis) {
            Some((_, at)) => *at = raw,
            None => device.axes.push((axis, raw)),
        }
        if let Some(learn) = self.learn.as_mut().filter(|_| first) {
            learn.axis(axis, raw);
        }
    }

    /// A button was pressed; whether it puts the blends in and out.
    pub fn button(&mut self, id: u64, button: u32) -> bool {
        if self.plugged.first().is_none_or(|device| device.id != id) {
            return false;
        }
        match &mut self.learn {
            Some(learn) => {
                learn.button(button);
                false
            }
            None => self.mapping().is_some_and(|mapping| mapping.blends == Some(button)),
        }
    }

    /// The name of the device that is flown with.
    #[must_use]
    pub fn name(&self) -> Option<&str> {
        self.plugged.first().map(|device| device.name.as_str())
    }

    /// How it is read, if that is known.
    #[must_use]
    pub fn mapping(&self) -> Option<&Mapping> {
        let name = self.name()?;
        self.mappings.iter().find(|mapping| mapping.device == name)
    }

    /// Begins to ask.
    pub fn ask(&mut self) {
        self.learn = self.plugged.first().map(|device| Learn::new(&device.name, &device.axes));
    }

    /// Where its sticks stand, in the order of [`Stick::ALL`]; those whose axis was not heard of in the middle, the
    /// throttle at idle. `None`: no device, or one that is not known.
    #[must_use]
    pub fn sticks(&self) -> Option<[f64; 4]> {
        let mapping = self.mapping()?;
        Some(Stick::ALL.map(|stick| {
            let travel = &mapping.sticks[stick as usize];
            self.raw(travel.axis).map_or(0.0, |raw| travel.place(stick, raw))
        }))
    }

    fn raw(&self, axis: u32) -> Option<f64> {
        let device = self.plugged.first()?;
        device.axes.iter().find(|(known, _)| *known == axis).map(|&(_, raw)| raw)
    }

    /// Sticks of a known device whose axis was not heard of since it was plugged in.
    #[must_use]
    pub fn unheard(&self) -> Vec<Stick> {
        let Some(mapping) = self.mapping() else { return Vec::new() };
        let unheard = |stick: &Stick| self.raw(mapping.sticks[*stick as usize].axis).is_none();
        Stick::ALL.into_iter().filter(unheard).collect()
    }

    /// The questions are answered, or one of them; whether there is a new mapping to keep.
    pub fn answered(&mut self) -> bool {
        let Some(mapping) = self.learn.as_mut().and_then(Learn::accept) else { return false };
        self.learn = None;
        self.mappings.retain(|known| known.device != mapping.device);
        self.mappings.push(mapping);
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use manoeuvre::Travel;

    fn known() -> Devices {
        let travel = |axis| Travel { axis, low: -1.0, middle: 0.0, high: 1.0 };
        let sticks = [travel(0), travel(1), travel(2), travel(3)];
        let mapping = Mapping { device: "Sticks".to_owned(), sticks, blends: Some(4) };
        Devices { mappings: vec![mapping], ..Devices::default() }
    }

    #[test]
    fn a_known_device_is_read_and_what_was_not_heard_of_is_told() {
        let mut devices = known();
        devices.plug(1, "Sticks");
        assert_eq!(devices.sticks(), Some([0.0; 4]));
        devices.axis(1, 0, 0.5);
        devices.axis(1, 3, 0.0);
        assert_eq!(devices.sticks(), Some([0.5, 0.0, 0.0, 0.5]));
        assert_eq!(devices.unheard(), [Stick::Elevator, Stick::Rudder]);
        assert!(devices.button(1, 4) && !devices.button(1, 5) && !devices.button(2, 4));
    }

    #[test]
    fn an_unknown_device_moves_nothing_until_it_is_asked_about() {
        let mut devices = known();
        devices.plug(1, "Pad");
        devices.axis(1, 0, 1.0);
        assert_eq!((devices.sticks(), devices.name()), (None, Some("Pad")));
        devices.ask();
        for axis in 0..4 {
            for place in [0.0, 1.0, -1.0, if axis == 3 { -1.0 } else { 0.0 }] {
                devices.axis(1, axis, place);
            }
            assert!(!devices.answered(), "{:?}", devices.learn.as_ref().unwrap().said);
        }
        assert!(!devices.button(1, 2), "it is being asked for");
        assert!(devices.answered() && devices.learn.is_none());
        assert_eq!(devices.sticks(), Some([0.0; 4]));
        assert_eq!(devices.mappings.len(), 2);
        assert_eq!(devices.mapping().unwrap().blends, Some(2));
    }

    #[test]
    fn a_device_that_is_gone_is_told() {
        let mut devices = known();
        devices.plug(1, "Sticks");
        devices.plug(2, "Pad");
        assert!(!devices.unplug(2) && devices.said.is_none());
        assert!(devices.unplug(1));
        assert!(devices.said.clone().unwrap().contains("\"Sticks\" is gone"));
        assert_eq!(devices.sticks(), None);
    }
}
