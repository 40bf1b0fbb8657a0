/// An effect that can be switched off, for attribution and tests. Off means strength 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Cause {
    /// The wing's wake at tailplane and fins: downwash, sidewash, loss of pressure, sinking.
    WingWake,
    /// The propeller's jet over strips and body.
    Slipstream,
    /// The jet's rotation; acts only with [`Cause::Slipstream`].
    Swirl,
    /// Side force and hub moment of a propeller at an angle to the flow.
    PropellerInPlane,
    /// The motor's reaction torque, and the rotor's angular momentum in motion.
    Torque,
    /// The body's cross flow at the strips: the effect of wing and tail height.
    BodyField,
    /// Weakening of that field on the lee side; acts only with [`Cause::BodyField`].
    LeeLoss,
    /// Everything the body does but its axial drag.
    BodyForces,
    /// The section moment of a deflected flap.
    HingeMoment,
    /// The skewed wake of a wing in sideslip.
    WingSkew,
}

impl Cause {
    /// All, in canonical order.
    pub const ALL: [Self; 10] = [
        Self::WingWake,
        Self::Slipstream,
        Self::Swirl,
        Self::PropellerInPlane,
        Self::Torque,
        Self::BodyField,
        Self::LeeLoss,
        Self::BodyForces,
        Self::HingeMoment,
        Self::WingSkew,
    ];

    /// What a pilot would call it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::WingWake => "wing wake at the tail",
            Self::Slipstream => "propeller jet",
            Self::Swirl => "swirl of the jet",
            Self::PropellerInPlane => "propeller at an angle",
            Self::Torque => "motor torque and precession",
            Self::BodyField => "cross flow around the body",
            Self::LeeLoss => "lee of the body",
            Self::BodyForces => "body forces",
            Self::HingeMoment => "flap moment",
            Self::WingSkew => "skewed wing wake",
        }
    }
}

/// Which causes act.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Causes(u16);

impl Causes {
    /// Everything acts.
    pub const ALL: Self = Self((1 << Cause::ALL.len()) - 1);

    /// The set whose members are the bits of `bits`, in the order of [`Cause::ALL`].
    #[must_use]
    pub const fn from_bits(bits: u16) -> Self {
        Self(bits & Self::ALL.0)
    }

    /// Without one.
    #[must_use]
    pub const fn without(self, cause: Cause) -> Self {
        Self(self.0 & !(1 << cause as u16))
    }

    /// Whether it acts.
    #[must_use]
    pub const fn has(self, cause: Cause) -> bool {
        self.0 >> cause as u16 & 1 == 1
    }
}

impl Default for Causes {
    fn default() -> Self {
        Self::ALL
    }
}
