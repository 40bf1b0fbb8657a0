//! A manoeuvre as it is written down: where it begins, and its legs.

use measure::Stick;

/// A manoeuvre. Written for right rudder; the other side is its mirror image.
#[derive(Debug, Clone, PartialEq)]
pub struct Scenario {
    /// What the pilot calls it.
    pub name: String,
    /// What it shows, in a sentence.
    pub about: String,
    /// Airframes flown when none is named.
    pub airframes: Vec<String>,
    /// Set of rates; `None`: the first of the mix.
    pub rates: Option<String>,
    /// Where it begins.
    pub start: Start,
    /// Velocity of the air, earth NED [m/s]: where the wind goes to.
    pub wind: [f64; 3],
    /// Whether it is flown to both sides.
    pub both_sides: bool,
    /// In order; at least one is judged.
    pub legs: Vec<Leg>,
    /// Blends that are taken out for the flight without; empty: all of the mix.
    pub compared: Vec<String>,
}

/// Where a manoeuvre begins: level and steady.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Start {
    /// Airspeed.
    pub speed: Speed,
    /// Height above the field \[m\].
    pub height: f64,
}

/// A speed that suits every airframe, or one in particular.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Speed {
    /// Times the speed at which the pilot trims.
    Trimmed(f64),
    /// [m/s]
    Absolute(f64),
}

/// A part of a manoeuvre.
#[derive(Debug, Clone, PartialEq)]
pub struct Leg {
    /// What it is called.
    pub name: String,
    /// What each stick does, in the order of [`Stick::ALL`].
    pub sticks: [Order; 4],
    /// When it ends.
    pub ends: Ending,
    /// The line that is judged, if any.
    pub judged: Option<Judged>,
}

/// What a stick does during a leg.
#[derive(Debug, Clone, PartialEq)]
pub enum Order {
    /// Stays where it was when the leg began.
    Keep,
    /// Stands there.
    Fixed(f64),
    /// Straight lines through points (time since the leg began \[s\], position).
    Line(Vec<(f64, f64)>),
    /// Holds one quantity.
    Hold(Quantity, Target),
    /// Stays centred so that the drift shows; where the work shall show, the pilot holds this.
    LeftAlone(Quantity, Target),
}

/// Something a stick can hold, relative to the air.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// Bank, + right wing down \[rad\]; by aileron.
    Bank,
    /// Direction of the path over the compass \[rad\]; by elevator or rudder.
    Track,
    /// Climb angle of the path \[rad\]; by elevator or rudder.
    Climb,
    /// Airspeed [m/s]; by throttle.
    Airspeed,
}

/// Where a quantity is held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Target {
    /// At this value; banks and tracks as for right rudder.
    Value(f64),
    /// At what it was when the manoeuvre began.
    Entry,
}

/// When a leg ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ending {
    /// After so long \[s\].
    After(f64),
}

/// The line that a leg is judged against.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judged {
    /// Bank to be kept \[rad\], as for right rudder.
    pub bank: f64,
}

/// What the scripted pilot does where a stick may be left alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Following {
    /// Nothing: the drift shows.
    LeftAlone,
    /// Holds the line: the work shows.
    Corrected,
}

impl Leg {
    /// What a stick does.
    #[must_use]
    pub const fn order(&self, stick: Stick) -> &Order {
        &self.sticks[stick as usize]
    }

    /// How long it takes \[s\].
    #[must_use]
    pub const fn seconds(&self) -> f64 {
        let Ending::After(seconds) = self.ends;
        seconds
    }
}
