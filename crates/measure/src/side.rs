/// Left or right, as seen by the pilot sitting in the model.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// The port side, negative buttline.
    Left,
    /// The starboard side, positive buttline.
    Right,
}

impl Side {
    /// -1 on the left, +1 on the right: the sign of y and of the sticks.
    #[must_use]
    pub const fn sign(self) -> f64 {
        match self {
            Self::Left => -1.0,
            Self::Right => 1.0,
        }
    }

    /// The other side.
    #[must_use]
    pub const fn opposite(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }

    /// `"left"` or `"right"`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }
}
