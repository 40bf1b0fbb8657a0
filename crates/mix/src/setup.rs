//! A mix as a pilot sets it up. Shares of one stand for percent: 0.35 is 35 %.

use measure::Stick;

/// What a hand sets besides the four sticks. Each runs from 0 to 1.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Lead {
    /// One of the four sticks, after rates and expo.
    Stick(Stick),
    /// A lever by name: `flap`, `crow`, `brake`, `spare 1`.
    Lever(String),
}

/// What a blend moves. Each is a command in percent of full throw.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Follower {
    /// Ailerons in opposite directions; + rolls right.
    Aileron,
    /// + is trailing edge up.
    Elevator,
    /// + is nose right.
    Rudder,
    /// + is more power.
    Throttle,
    /// + is down.
    Flap,
    /// Both ailerons in the same direction; + is both trailing edges down.
    AileronsTogether,
    /// + is open.
    Door,
}

/// Everything between the pilot's hand and the surfaces.
#[derive(Debug, Clone, PartialEq)]
pub struct Mix {
    /// What the pilot calls it.
    pub name: String,
    /// Named sets of rates; exactly one is active at a time. In file order.
    pub rates: Vec<RateSet>,
    /// The blends. Order carries no meaning.
    pub blends: Vec<Blend>,
}

/// A named set of rates.
#[derive(Debug, Clone, PartialEq)]
pub struct RateSet {
    /// `aloft`, `landing`.
    pub name: String,
    /// Per stick: aileron, elevator, rudder (throttle has none).
    pub sticks: [Rate; 3],
}

/// Throw and expo of one stick.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rate {
    /// Share of full throw at full stick, 0..1.
    pub throw: f64,
    /// Expo, -0.5..1: `(1 - e) x + e x^3`; + softens the middle. Below -0.5 the cubic would turn
    /// back before full stick, so that is refused.
    pub expo: f64,
}

/// One control moves another a little.
#[derive(Debug, Clone, PartialEq)]
pub struct Blend {
    /// What the pilot calls it; unique in its mix.
    pub name: String,
    /// The lead.
    pub from: Lead,
    /// The follower.
    pub to: Follower,
    /// How much.
    pub shape: Shape,
    /// When it acts.
    pub engaged: Condition,
    /// Time to come in and go out after a change of `engaged`, in seconds.
    pub fade: f64,
    /// Time for the follower to move through 100 %, in seconds; 0 for at once.
    pub slow: f64,
    /// A lever that makes more or less of it in flight.
    pub tuned: Option<Tuning>,
    /// The name of a blend whose follower output this one's lead shall include.
    pub after: Option<String>,
}

/// A spare lever on which a blend is tuned in flight: the blend is multiplied by a factor that
/// goes with the lever on a straight line. The lever moves nothing else.
#[derive(Debug, Clone, PartialEq)]
pub struct Tuning {
    /// The lever's name.
    pub lever: String,
    /// Factor with the lever at 0.
    pub least: f64,
    /// Factor with the lever at its other end.
    pub most: f64,
}

/// How the follower depends on the lead. Percent of the follower's full throw when the lead
/// stands at its 100 % throw; lead read after rates and expo; trims excluded.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// One share for each side of the lead: output is `left * |lead|` for lead < 0 and
    /// `right * lead` for lead > 0. A one-sided lead (throttle, lever) uses `right` alone.
    TwoSided {
        /// At full left (or full down) lead.
        left: f64,
        /// At full right (or full up) lead.
        right: f64,
    },
    /// Straight lines through points (lead, follower), leads strictly rising; held outside.
    Curve(Vec<(f64, f64)>),
}

/// When a blend acts: only what a hand can set.
#[derive(Debug, Clone, PartialEq)]
pub enum Condition {
    /// At all times.
    Always,
    /// Under this set of rates.
    Rates(String),
    /// A named switch stands at a named position.
    Switch {
        /// Its name.
        name: String,
        /// The position.
        is: String,
    },
    /// A lever stands above a position.
    LeverAbove {
        /// Its name.
        name: String,
        /// 0..1.
        threshold: f64,
    },
    /// A lever stands below a position.
    LeverBelow {
        /// Its name.
        name: String,
        /// 0..1.
        threshold: f64,
    },
    /// A stick stands above a position.
    StickAbove {
        /// Which.
        stick: Stick,
        /// In its own range.
        threshold: f64,
    },
    /// A stick stands below a position.
    StickBelow {
        /// Which.
        stick: Stick,
        /// In its own range.
        threshold: f64,
    },
    /// All of these.
    All(Vec<Condition>),
    /// At least one of these.
    Any(Vec<Condition>),
    /// Not this.
    Not(Box<Condition>),
}
