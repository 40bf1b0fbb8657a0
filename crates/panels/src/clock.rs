//! Time in the flight: playing, stepping, scrubbing.

use manoeuvre::TICK;

/// Slowest and fastest playing, times real time.
pub const RATES: (f64, f64) = (0.1, 4.0);

/// Where in the flight the window stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clock {
    /// Since the flight began \[s\].
    pub time: f64,
    /// Length of the longer flight \[s\].
    pub length: f64,
    /// Whether time runs.
    pub playing: bool,
    /// Times real time, within [`RATES`].
    pub rate: f64,
    /// Begins again at the end.
    pub looped: bool,
}

impl Default for Clock {
    fn default() -> Self {
        Self { time: 0.0, length: 0.0, playing: true, rate: 1.0, looped: true }
    }
}

impl Clock {
    /// Lets `seconds` of real time pass.
    pub fn advance(&mut self, seconds: f64) {
        if !self.playing || self.length <= 0.0 {
            return;
        }
        let next = self.time + seconds * self.rate;
        if next < self.length {
            self.time = next;
        } else if self.looped {
            self.time = next % self.length;
        } else {
            (self.time, self.playing) = (self.length, false);
        }
    }

    /// Plays or pauses; from the end it begins again.
    pub fn toggle(&mut self) {
        if !self.playing && self.time >= self.length {
            self.time = 0.0;
        }
        self.playing = !self.playing;
    }

    /// Pauses and moves by whole ticks.
    pub fn step(&mut self, ticks: i32) {
        self.playing = false;
        self.scrub(((self.time / TICK).round() + f64::from(ticks)) * TICK);
    }

    /// Goes to a time, kept within the flight.
    pub fn scrub(&mut self, time: f64) {
        self.time = time.clamp(0.0, self.length.max(0.0));
    }

    /// Another flight of `length` \[s\] is shown; time stays where it was if it can.
    pub fn fit(&mut self, length: f64) {
        self.length = length;
        self.scrub(self.time);
    }

    /// Faster or slower by a factor, within [`RATES`].
    pub fn hurry(&mut self, factor: f64) {
        self.rate = (self.rate * factor).clamp(RATES.0, RATES.1);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const CLOCK: Clock = Clock { time: 0.0, length: 6.0, playing: true, rate: 1.0, looped: true };

    #[test]
    fn runs_at_its_rate_and_begins_again() {
        let mut clock = Clock { rate: 0.5, ..CLOCK };
        clock.advance(2.0);
        assert_eq!(clock.time, 1.0);
        clock.advance(11.0);
        assert!((clock.time - 0.5).abs() < 1e-12 && clock.playing);
    }

    #[test]
    fn stops_at_the_end_and_plays_again_from_there() {
        let mut clock = Clock { looped: false, ..CLOCK };
        clock.advance(100.0);
        assert_eq!((clock.time, clock.playing), (6.0, false));
        clock.toggle();
        assert_eq!((clock.time, clock.playing), (0.0, true));
    }

    #[test]
    fn a_step_is_a_tick_and_never_leaves_the_flight() {
        let mut clock = Clock { time: 0.013, ..CLOCK };
        clock.step(1);
        assert!((clock.time - 2.0 * TICK).abs() < 1e-12 && !clock.playing);
        clock.step(-5);
        assert_eq!(clock.time, 0.0);
        clock.time = 5.0;
        clock.fit(3.0);
        assert_eq!(clock.time, 3.0);
    }

    #[test]
    fn rates_stay_in_range() {
        let mut clock = CLOCK;
        clock.hurry(100.0);
        assert_eq!(clock.rate, RATES.1);
        clock.hurry(1e-6);
        assert_eq!(clock.rate, RATES.0);
    }
}
