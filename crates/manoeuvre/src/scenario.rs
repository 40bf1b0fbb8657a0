//! A manoeuvre as it is written down: where it begins, and its legs.

use measure::{Side, Stick};

/// A manoeuvre. Written for right rudder, or right aileron; the other side is its mirror image.
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
    /// To which sides it is flown.
    pub sides: Sides,
    /// In order; at least one is judged.
    pub legs: Vec<Leg>,
    /// Blends that are taken out for the flight without.
    pub compared: Compared,
    /// Other speeds of entry that are worth a look, by name; [`Scenario::at_speed`] takes them.
    pub speeds: Vec<NamedSpeed>,
}

/// Which blends a comparison takes out for the flight without.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Compared {
    /// All that the mix has.
    All,
    /// Those of these names that the mix has. Of none, one flight is looked at, with whatever acts.
    These(Vec<String>),
}

impl Compared {
    /// Whether a blend of this name is taken out.
    #[must_use]
    pub fn has(&self, blend: &str) -> bool {
        match self {
            Self::All => true,
            Self::These(names) => names.iter().any(|name| name == blend),
        }
    }

    /// Whether nothing is compared.
    #[must_use]
    pub const fn is_nothing(&self) -> bool {
        matches!(self, Self::These(names) if names.is_empty())
    }
}

/// To which sides a manoeuvre is flown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sides {
    /// To the right, and its mirror image.
    Both,
    /// To the right only.
    Right,
    /// It has none, such as a vertical line.
    None,
}

/// A speed of entry with a word for it, such as slow, cruise, full throttle.
#[derive(Debug, Clone, PartialEq)]
pub struct NamedSpeed {
    /// What the pilot calls it.
    pub name: String,
    /// The speed.
    pub speed: Speed,
}

/// Where a manoeuvre begins: on a straight line, with no acceleration across it and no rotation.
#[derive(Debug, Clone, PartialEq)]
pub struct Start {
    /// Airspeed.
    pub speed: Speed,
    /// Height above the field \[m\].
    pub height: f64,
    /// Climb angle of the path \[rad\].
    pub climb: f64,
    /// Bank about the path, + right wing down \[rad\].
    pub bank: f64,
    /// Throttle, 0..1; `None`: as much as keeps the speed. With one that does not, the speed
    /// changes from the first moment.
    pub throttle: Option<f64>,
    /// Where levers stand, by name, 0..1.
    pub levers: Vec<(String, f64)>,
    /// Where switches stand, by name.
    pub switches: Vec<(String, String)>,
}

/// A speed that suits every airframe, or one in particular.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Speed {
    /// Times the speed at which the pilot trims.
    Trimmed(f64),
    /// [m/s]
    Absolute(f64),
    /// At which this throttle, 0..1, holds level flight.
    Throttle(f64),
}

/// A part of a manoeuvre.
#[derive(Debug, Clone, PartialEq)]
pub struct Leg {
    /// What it is called.
    pub name: String,
    /// Climb angle of the line that it follows \[rad\]; its direction is that of the entry.
    pub climb: f64,
    /// What each stick does, in the order of [`Stick::ALL`].
    pub sticks: [Order; 4],
    /// What levers do, by name; those not named stay.
    pub levers: Vec<(String, Order)>,
    /// Switches that are turned when it begins, by name.
    pub switches: Vec<(String, String)>,
    /// Rates chosen when it begins.
    pub rates: Option<String>,
    /// When it ends.
    pub ends: Ending,
    /// What is judged from its beginning on, if anything.
    pub judged: Option<Judged>,
    /// Whether what was judged in the leg before is still judged here.
    pub judged_on: bool,
}

/// What a stick or a lever does during a leg.
#[derive(Debug, Clone, PartialEq)]
pub enum Order {
    /// Stays where it was when the leg began.
    Keep,
    /// Goes and stands there.
    Fixed(f64),
    /// Straight lines through points (time since the leg began \[s\], position).
    Line(Vec<(f64, f64)>),
    /// Holds one quantity, by a hand that sees at once.
    Hold(Quantity, Target),
    /// Holds one quantity, by a hand that sees late and overlooks what is small.
    Corrected(Quantity, Target),
    /// Stays centred (a throttle: where it was) so that the drift shows; where the work shall
    /// show, it is [`Order::Corrected`].
    LeftAlone(Quantity, Target),
}

/// Something a stick can hold, relative to the air.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// Bank about the line of the leg, + right wing down \[rad\]; by aileron.
    Bank,
    /// Rate of roll, + right [rad/s]; by aileron.
    RollRate,
    /// The path on the line of the leg; elevator and rudder each do what they can.
    Line,
    /// Direction of the path over the compass \[rad\]; by elevator or rudder.
    Track,
    /// Climb angle of the path \[rad\]; by elevator or rudder.
    Climb,
    /// The nose along the line of the leg, by elevator or rudder.
    Nose,
    /// Rate of pitch, + nose up [rad/s]; by elevator.
    PitchRate,
    /// Angle of sideslip, + nose left of the path \[rad\]; by rudder.
    Sideslip,
    /// Airspeed [m/s]; by throttle.
    Airspeed,
    /// Height above the field \[m\]; by throttle.
    Height,
}

/// Where a quantity is held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Target {
    /// At this value; to the other side it is mirrored where it has one.
    Value(f64),
    /// At what it was when the manoeuvre began.
    Entry,
}

/// When a leg ends: whichever comes first.
#[derive(Debug, Clone, PartialEq)]
pub struct Ending {
    /// Time since it began \[s\].
    pub after: f64,
    /// Quantities that pass a value.
    pub when: Vec<Passing>,
}

/// A quantity that passes a value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Passing {
    /// Which.
    pub of: Passed,
    /// The value, SI; as for the right side.
    pub value: f64,
    /// Upwards, or else downwards.
    pub upwards: bool,
}

/// What can end a leg.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Passed {
    /// Airspeed [m/s].
    Airspeed,
    /// Airspeed as a share of that at the entry.
    AirspeedShare,
    /// Bank about the line of the leg \[rad\].
    Bank,
    /// Climb angle of the path \[rad\].
    Climb,
    /// Height above the field \[m\].
    Height,
    /// Rolled about the line of the leg since it began, + right; whole turns count \[rad\].
    Rolled,
    /// Pitched since the leg began, + nose up; whole turns count \[rad\].
    Pitched,
    /// Change of the path's compass direction since the leg began, + right \[rad\].
    Turned,
}

/// What is judged, and against which line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judged {
    /// Climb angle of the line \[rad\].
    pub climb: f64,
    /// Bank about it \[rad\], as for the right side.
    pub bank: f64,
    /// What is looked at.
    pub as_what: Judging,
}

/// What a judge looks at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Judging {
    /// A straight line.
    Line,
    /// A roll along a straight line.
    Roll,
    /// A turn with the wings level.
    Turn,
    /// A roll into a turn: the nose against it.
    RollIn,
    /// A tumble about the lateral axis.
    Tumble,
    /// Flaps or the like coming out.
    Flaps,
    /// A steep descent at a large incidence.
    Descent,
    /// Hanging on the propeller.
    Hover,
}

impl Judging {
    /// The word in files and tables.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Line => "line",
            Self::Roll => "roll",
            Self::Turn => "turn",
            Self::RollIn => "roll-in",
            Self::Tumble => "tumble",
            Self::Flaps => "flaps",
            Self::Descent => "descent",
            Self::Hover => "hover",
        }
    }
}

/// Which sticks that may be left alone the scripted pilot corrects, in the order of [`Stick::ALL`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Following(pub [bool; 4]);

impl Following {
    /// None: the drift shows.
    pub const LEFT_ALONE: Self = Self([false; 4]);
    /// All: the work shows.
    pub const CORRECTED: Self = Self([true; 4]);

    /// This one only.
    #[must_use]
    pub fn only(stick: Stick) -> Self {
        Self(Stick::ALL.map(|s| s == stick))
    }

    /// Whether this stick is corrected.
    #[must_use]
    pub const fn corrects(self, stick: Stick) -> bool {
        self.0[stick as usize]
    }
}

impl Scenario {
    /// The sides it is flown to; one that has none is flown as if to the right.
    #[must_use]
    pub const fn flown_sides(&self) -> &'static [Side] {
        match self.sides {
            Sides::Both => &[Side::Left, Side::Right],
            Sides::Right | Sides::None => &[Side::Right],
        }
    }

    /// The same manoeuvre, entered at another speed.
    #[must_use]
    pub fn at_speed(&self, speed: Speed) -> Self {
        let mut other = self.clone();
        other.start.speed = speed;
        other
    }

    /// The same manoeuvre in air that moves with `wind`, earth NED [m/s].
    #[must_use]
    pub fn in_wind(&self, wind: [f64; 3]) -> Self {
        Self { wind, ..self.clone() }
    }

    /// What is judged, and in which legs: the first that begins it, to the last that goes on.
    #[must_use]
    pub fn judged(&self) -> Option<(Judged, core::ops::RangeInclusive<usize>)> {
        let (first, judged) = self.legs.iter().enumerate().find_map(|(i, leg)| Some((i, leg.judged?)))?;
        let on = self.legs[first + 1..].iter().take_while(|leg| leg.judged_on).count();
        Some((judged, first..=first + on))
    }
}

impl Start {
    /// Level flight.
    #[must_use]
    pub const fn level(speed: Speed, height: f64) -> Self {
        Self {
            speed,
            height,
            climb: 0.0,
            bank: 0.0,
            throttle: None,
            levers: Vec::new(),
            switches: Vec::new(),
        }
    }
}

impl Leg {
    /// What a stick does.
    #[must_use]
    pub const fn order(&self, stick: Stick) -> &Order {
        &self.sticks[stick as usize]
    }
}

impl Ending {
    /// After so long \[s\].
    #[must_use]
    pub const fn after(seconds: f64) -> Self {
        Self { after: seconds, when: Vec::new() }
    }
}
