/// The four things a hand moves all the time.
///
/// Signs: + is right aileron, up elevator (stick back), right rudder, more throttle.
/// Aileron, elevator and rudder run from -1 to 1, throttle from 0 (idle) to 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stick {
    /// Rolls the model; + is right wing down.
    Aileron,
    /// Pitches the model; + is nose up (stick back).
    Elevator,
    /// Yaws the model; + is nose right.
    Rudder,
    /// Power, from 0 at idle to 1.
    Throttle,
}

impl Stick {
    /// All four, in canonical order.
    pub const ALL: [Self; 4] = [Self::Aileron, Self::Elevator, Self::Rudder, Self::Throttle];

    /// The word in files and tables.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Aileron => "aileron",
            Self::Elevator => "elevator",
            Self::Rudder => "rudder",
            Self::Throttle => "throttle",
        }
    }

    /// Smallest and largest position.
    #[must_use]
    pub const fn range(self) -> (f64, f64) {
        match self {
            Self::Throttle => (0.0, 1.0),
            _ => (-1.0, 1.0),
        }
    }
}
