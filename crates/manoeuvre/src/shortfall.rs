//! What a flight could not do: "Bramble cannot hold height in knife-edge: beyond rudder". The one
//! rule for what counts as held.

use crate::fly::{Flown, HeldStick};
use crate::scenario::{Quantity, Scenario};
use core::fmt;
use measure::DEG;

/// Shorter than this at the end of the travel is a hand's ordinary work \[s\] (judgement).
const BRIEFLY: f64 = 0.5;

/// Something that a leg asked for and did not get.
#[derive(Debug, Clone, PartialEq)]
pub enum Shortfall {
    /// A stick, or what it moves, stood at its stop, and what it was to hold was not held.
    BeyondStick {
        /// Name of the leg.
        leg: String,
        /// What was missed, and by how much.
        held: HeldStick,
    },
    /// Not held when the leg ended, with stick to spare: not settled.
    NotSettled {
        /// Name of the leg.
        leg: String,
        /// What was missed, and by how much.
        held: HeldStick,
    },
    /// The flight ended early.
    Ended {
        /// Name of the leg.
        leg: String,
        /// Why.
        reason: String,
    },
}

/// Everything that the legs of a flight, up to the last that is judged, asked for and did not get,
/// in order.
#[must_use]
pub fn shortfalls(flown: &Flown, scenario: &Scenario) -> Vec<Shortfall> {
    let mut found = Vec::new();
    let count = scenario.judged().map_or(scenario.legs.len(), |(_, legs)| legs.end() + 1);
    for (leg, span) in scenario.legs.iter().zip(&flown.legs).take(count) {
        for held in span.held.iter().filter(|held| held.missed() > 1.0) {
            let (leg, held) = (leg.name.clone(), *held);
            found.push(if held.at_stop > BRIEFLY {
                Shortfall::BeyondStick { leg, held }
            } else {
                Shortfall::NotSettled { leg, held }
            });
        }
    }
    if let Some(halt) = &flown.halt {
        let leg = scenario.legs.get(flown.legs.len().saturating_sub(1));
        let leg = leg.map(|leg| leg.name.clone()).unwrap_or_default();
        found.push(Shortfall::Ended { leg, reason: halt.to_string() });
    }
    found
}

/// What still counts as held (judgement).
const fn tolerance(quantity: Quantity) -> f64 {
    match quantity {
        Quantity::Airspeed => 2.0,
        Quantity::Height => 5.0,
        Quantity::RollRate | Quantity::PitchRate => 30.0 * DEG,
        _ => 10.0 * DEG,
    }
}

impl HeldStick {
    /// How far off it was at the end, as a multiple of what still counts as held.
    #[must_use]
    pub fn missed(&self) -> f64 {
        self.error.abs() / tolerance(self.quantity)
    }
}

impl fmt::Display for Shortfall {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::BeyondStick { leg, held } => write!(
                f,
                "{leg}: beyond {}, at its stop for {:.1} s; {} missed by {}",
                held.stick.word(),
                held.at_stop,
                held.quantity.word(),
                amount(held)
            ),
            Self::NotSettled { leg, held } => {
                write!(f, "{leg}: {} not settled, {} off", held.quantity.word(), amount(held))
            }
            Self::Ended { leg, reason } => write!(f, "{leg}: {reason}"),
        }
    }
}

fn amount(held: &HeldStick) -> String {
    let size = held.error.abs();
    match held.quantity {
        Quantity::Airspeed => format!("{size:.0} m/s"),
        Quantity::Height => format!("{size:.0} m"),
        Quantity::RollRate | Quantity::PitchRate => format!("{:.0} deg/s", size / DEG),
        _ => format!("{:.0} deg", size / DEG),
    }
}

impl Quantity {
    /// The word in files and tables.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Bank => "bank",
            Self::RollRate => "roll rate",
            Self::Line => "line",
            Self::Track => "track",
            Self::Climb => "climb",
            Self::Nose => "nose",
            Self::PitchRate => "pitch rate",
            Self::Sideslip => "sideslip",
            Self::Airspeed => "airspeed",
            Self::Height => "height",
        }
    }
}
