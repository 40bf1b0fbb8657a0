//! Finding out which axis of a device is which stick: by moving one stick after the other.

use manoeuvre::{Mapping, Travel};
use measure::Stick;

/// A stick has been moved when its axis has gone so far, in the device's numbers (whole travel: about 2).
const MOVED: f64 = 0.5;
/// A second axis that went this share of the first one's way was moved as well.
const ALSO: f64 = 0.6;
/// A stick let go stands at least this share of its travel away from both ends.
const LET_GO: f64 = 0.2;

/// The questions, one stick after the other, then the button.
#[derive(Debug, Clone, PartialEq)]
pub struct Learn {
    device: String,
    known: Vec<Travel>,
    /// Every axis that was heard of, since this question was asked.
    axes: Vec<Seen>,
    button: Option<u32>,
    /// Why the last answer was none.
    pub said: Option<String>,
}

/// An axis since a question was asked.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Seen {
    axis: u32,
    start: f64,
    now: f64,
    low: f64,
    high: f64,
    /// Whether it went up first, once it has gone far enough to tell.
    rose: Option<bool>,
}

impl Learn {
    /// Begins with a device whose axes stand where they were last heard of.
    #[must_use]
    pub fn new(device: &str, axes: &[(u32, f64)]) -> Self {
        let axes = axes.iter().map(|&(axis, at)| Seen::at(axis, at)).collect();
        Self { device: device.to_owned(), known: Vec::new(), axes, button: None, said: None }
    }

    /// The stick that is asked for; `None`: the button.
    fn stick(&self) -> Option<Stick> {
        Stick::ALL.get(self.known.len()).copied()
    }

    /// What the pilot is asked to do.
    #[must_use]
    pub fn question(&self) -> &'static str {
        match self.stick() {
            Some(Stick::Aileron) => {
                "Move the stick that steers the ailerons fully to the right, then fully to the left, and let it go."
            }
            Some(Stick::Elevator) => {
                "Pull the stick that steers the elevator fully towards you, then push it fully away, and let it go."
            }
            Some(Stick::Rudder) => {
                "Move the stick that steers the rudder fully to the right, then fully to the left, and let it go."
            }
            Some(Stick::Throttle) => "Move the throttle to full power, then to idle, and leave it there.",
            None => "Press the button or switch that shall put the blends in and out, or leave it out.",
        }
    }

    /// An axis stands at `raw`.
    pub fn axis(&mut self, axis: u32, raw: f64) {
        match self.axes.iter_mut().find(|seen| seen.axis == axis) {
            Some(seen) => seen.moved(raw),
            // it is first heard of when it moves: a stick let go stands about the middle of what a device gives
            None => {
                let mut seen = Seen { start: 0.0, ..Seen::at(axis, raw) };
                seen.moved(raw);
                self.axes.push(seen);
            }
        }
    }

    /// A button was pressed.
    pub fn button(&mut self, button: u32) {
        if self.stick().is_none() {
            self.button = Some(button);
        }
    }

    /// The button that was pressed last, counted from 0.
    #[must_use]
    pub const fn pressed(&self) -> Option<u32> {
        self.button
    }

    /// The pilot is done with what was asked; the mapping once all is answered. What was no answer is asked again,
    /// with the reason in [`Self::said`].
    pub fn accept(&mut self) -> Option<Mapping> {
        let Some(stick) = self.stick() else {
            let sticks = self.known.as_slice().try_into().ok()?;
            return Some(Mapping { device: self.device.clone(), sticks, blends: self.button });
        };
        match self.found(stick) {
            Ok(travel) => {
                self.known.push(travel);
                self.said = None;
            }
            Err(words) => self.said = Some(words),
        }
        for seen in &mut self.axes {
            *seen = Seen::at(seen.axis, seen.now);
        }
        None
    }

    fn found(&self, stick: Stick) -> Result<Travel, String> {
        let word = stick.word();
        let mut far = self.axes.clone();
        far.sort_by(|a, b| b.travelled().total_cmp(&a.travelled()));
        let Some(seen) = far.first().filter(|seen| seen.travelled() >= MOVED) else {
            return Err(format!(
                "no axis moved far enough; move the {word} stick all the way to both ends. If nothing comes at all, \
                 switch the device on, and a transmitter to its joystick mode"
            ));
        };
        if far.get(1).is_some_and(|other| other.travelled() > ALSO * seen.travelled()) {
            return Err(format!("two axes moved; move the {word} stick alone, straight out and back"));
        }
        if let Some(at) = self.known.iter().position(|known| known.axis == seen.axis) {
            return Err(format!(
                "that is the axis of the {} stick; move the {word} stick",
                Stick::ALL[at].word()
            ));
        }
        seen.travel(stick)
            .ok_or_else(|| format!("the {word} stick does not stand in the middle; let it go before Next"))
    }
}

impl Seen {
    const fn at(axis: u32, raw: f64) -> Self {
        Self { axis, start: raw, now: raw, low: raw, high: raw, rose: None }
    }

    fn moved(&mut self, raw: f64) {
        (self.now, self.low, self.high) = (raw, self.low.min(raw), self.high.max(raw));
        if self.rose.is_none() && (raw - self.start).abs() > 0.5 * MOVED {
            self.rose = Some(raw > self.start);
        }
    }

    fn travelled(&self) -> f64 {
        self.high - self.low
    }

    /// The first end that a stick went to is its high one; a throttle is left at its low one, wherever it began.
    fn travel(&self, stick: Stick) -> Option<Travel> {
        let (axis, middle) = (self.axis, self.now);
        let share = (self.now - self.low) / self.travelled();
        let up = match stick {
            Stick::Throttle => share < 0.5,
            _ if (LET_GO..=1.0 - LET_GO).contains(&share) => self.rose?,
            _ => return None,
        };
        let (low, high) = if up { (self.low, self.high) } else { (self.high, self.low) };
        Some(Travel { axis, low, middle, high })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Moves an axis through these places, with a little of every other as hands do.
    fn sweep(learn: &mut Learn, axis: u32, places: &[f64]) {
        for &place in places {
            learn.axis(axis, place);
            learn.axis((axis + 1) % 4, 0.1 * place);
        }
    }

    #[test]
    fn direction_range_and_middle_come_from_the_movement() {
        let mut learn = Learn::new("Sticks", &[]);
        sweep(&mut learn, 3, &[0.01, 0.5, 0.9, 0.0, -0.95, 0.02]);
        assert_eq!(learn.accept(), None);
        sweep(&mut learn, 1, &[0.0, -0.6, -1.0, 0.0, 1.0, 0.0]);
        learn.accept();
        sweep(&mut learn, 0, &[0.1, 0.8, -0.7, 0.1]);
        learn.accept();
        assert!(learn.said.is_none() && learn.question().contains("throttle"));
        // it stood at full power already
        sweep(&mut learn, 2, &[-0.9, 0.95, 0.9]);
        learn.accept();
        assert!(learn.question().contains("button"), "{:?}", learn.said);
        learn.button(7);
        let mapping = learn.accept().unwrap();
        assert_eq!((mapping.device.as_str(), mapping.blends), ("Sticks", Some(7)));
        let [aileron, elevator, rudder, throttle] = mapping.sticks;
        assert_eq!(aileron, Travel { axis: 3, low: -0.95, middle: 0.02, high: 0.9 });
        assert_eq!((elevator.axis, elevator.low, elevator.high), (1, 1.0, -1.0));
        assert_eq!((rudder.axis, rudder.low, rudder.high), (0, -0.7, 0.8));
        assert_eq!((throttle.axis, throttle.low, throttle.high), (2, 0.95, -0.9));
    }

    #[test]
    fn what_is_no_answer_is_told_and_asked_again() {
        let mut learn = Learn::new("Sticks", &[(0, 0.0)]);
        let says = |learn: &mut Learn| {
            assert_eq!(learn.accept(), None);
            learn.said.clone().unwrap_or_default()
        };
        assert!(says(&mut learn).contains("joystick mode"), "nothing moved");
        for place in [0.0, 1.0, -1.0, 0.0] {
            learn.axis(0, place);
            learn.axis(1, place);
        }
        assert!(says(&mut learn).contains("two axes moved"));
        sweep(&mut learn, 0, &[0.0, 1.0, -1.0]);
        assert!(says(&mut learn).contains("let it go"));
        sweep(&mut learn, 0, &[0.0, 1.0, -1.0, 0.0]);
        assert_eq!(says(&mut learn), "");
        sweep(&mut learn, 0, &[0.0, 1.0, -1.0, 0.0]);
        assert!(says(&mut learn).contains("that is the axis of the aileron stick; move the elevator stick"));
        learn.button(3);
        assert_eq!(learn.pressed(), None, "no button is asked for yet");
    }
}
