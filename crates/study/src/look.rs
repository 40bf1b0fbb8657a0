//! Does this look like my model? What a pilot knows of a model without measuring, computed.

use crate::find::{Pose, Posed, Stand, StandError};
use aero::{Coefficients, Instant, Model, Total, margin};
use airframe::Geometry;
use flight::{Bench, SearchFault};
use measure::{DEG, G0, Side};
use mix::Commands;
use nalgebra::Vector3;

/// What a pilot can hold against the model. Calm air at sea level, SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Look {
    /// Mass over the area of all wings [kg/m^2].
    pub wing_loading: f64,
    /// Speed at which the largest lift equals the weight, motor idling [m/s].
    pub stall: f64,
    /// Level and steady at full throttle [m/s]; `None` if it cannot keep its height at any speed
    /// between stall and four times the trimmed speed.
    pub top_speed: Option<f64>,
    /// Level and steady at the trimmed speed.
    pub cruise: Posed,
    /// Steady rate of roll at full aileron stick and trimmed speed [rad/s].
    pub roll_rate: f64,
    /// Where it balances.
    pub balance: Balance,
    /// Thrust at rest over weight, full throttle.
    pub thrust_to_weight: f64,
    /// Throttle 0..1 that carries it on its propeller; `None` if full throttle does not.
    pub hover: Option<f64>,
    /// What it does nose up at full throttle.
    pub climb: Climb,
    /// The slowest knife edge it holds, with left and with right rudder; `None` if it holds none.
    pub knife_edges: [Option<Posed>; 2],
}

/// In shares of the mean chord of the (upper) wing, behind its leading edge, propeller removed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance {
    /// Centre of mass.
    pub centre: f64,
    /// Neutral point. Uncertain by -0.10/+0.03: never move a balance by it alone.
    pub neutral: f64,
}

/// The best of full throttle at the trimmed speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Climb {
    /// Straight up, gaining speed.
    Vertical,
    /// Settled at an angle \[rad\], negative if it sinks.
    Path(f64),
    /// No settled path was found.
    Unknown,
}

impl Balance {
    /// At the trimmed speed. The mean chord lies half way along the wing.
    #[must_use]
    pub fn of(geometry: &Geometry, coefficients: &Coefficients) -> Self {
        Self::on(geometry, &Model::prepare(geometry, coefficients))
    }

    fn on(geometry: &Geometry, model: &Model) -> Self {
        let wing = geometry.wing();
        let chord = wing.mean_chord();
        let centre = (wing.root.x + 0.5 * wing.reach.x + 0.25 * chord) / chord;
        Self { centre, neutral: centre + margin(model, geometry.trimmed_speed).behind / chord }
    }
}

/// Looks at an airframe from all sides.
///
/// # Errors
/// [`StandError`] where it cannot fly or be trimmed.
pub fn look(geometry: &Geometry, coefficients: &Coefficients) -> Result<Look, StandError> {
    let stand = Stand::new(geometry, coefficients)?;
    let mut bench = Bench::new(&stand.aircraft);
    let mut looker = Looker { stand: &stand, bench: &mut bench };
    let area: f64 = geometry.wings().map(airframe::Planform::area).sum();
    let stall = looker.stall();
    let top_speed = looker.top_speed(stall)?;
    Ok(Look {
        wing_loading: geometry.mass / area,
        stall,
        top_speed,
        cruise: stand.level,
        roll_rate: looker.roll_rate(),
        balance: Balance::on(geometry, &stand.aircraft.model),
        thrust_to_weight: looker.static_thrust() / looker.weight(),
        hover: looker.hover(),
        climb: looker.climb()?,
        knife_edges: match top_speed {
            Some(top) => {
                [looker.knife_edge(Side::Left, stall, top)?, looker.knife_edge(Side::Right, stall, top)?]
            }
            None => [None, None],
        },
    })
}

/// Bodies were compared with tunnel models up to about here; beyond it a model hangs on its propeller \[rad\].
const MOST_SIDESLIP: f64 = 25.0 * DEG;

struct Looker<'a> {
    stand: &'a Stand,
    bench: &'a mut Bench,
}

/// Halvings of a range: finer than any pilot sees.
const HALVINGS: usize = 24;
/// Incidences at which the largest lift is looked for \[deg\].
const INCIDENCES: core::ops::RangeInclusive<i32> = 4..=26;
/// Speeds at which a knife edge is tried, from a little above the stall to the top speed.
const KNIFE_EDGES: u32 = 24;

impl Looker<'_> {
    fn weight(&self) -> f64 {
        self.stand.aircraft.mass.mass() * G0
    }

    fn density(&self) -> f64 {
        self.stand.around.density(&Vector3::zeros())
    }

    /// Force [N] and moment [N m] on the airframe, body axes, with its sticks as trimmed but for
    /// the aileron added.
    fn loads(&mut self, velocity: Vector3<f64>, rate: Vector3<f64>, throttle: f64, aileron: f64) -> Total {
        let density = self.density();
        let [trim, elevator, rudder] = self.stand.level.sticks;
        let commands =
            Commands { aileron: (trim + aileron).clamp(-1.0, 1.0), elevator, rudder, ..Commands::default() };
        let deflections = self.stand.deflections(&commands);
        let rotor = self.stand.aircraft.steady_rotor(&velocity, throttle, density);
        let at = Instant { rate, deflections, throttle, rotor, density, ..Instant::at(velocity) };
        let mut total = Total::default();
        self.stand.aircraft.model.forces_steady(&at, &mut self.bench.scratch, &mut total);
        total
    }

    /// Tail and elevator as trimmed, pitching moments unbalanced. Lift goes nearly with the square
    /// of the speed, so that three corrections are plenty.
    fn stall(&mut self) -> f64 {
        let mut speed = self.stand.level.pose.speed;
        for _ in 0..3 {
            let most =
                INCIDENCES.map(|degrees| self.lift(speed, f64::from(degrees) * DEG)).fold(0.0, f64::max);
            speed *= (self.weight() / most).sqrt();
        }
        speed
    }

    fn lift(&mut self, speed: f64, incidence: f64) -> f64 {
        let (sin, cos) = libm::sincos(incidence);
        let velocity = Vector3::new(speed * cos, 0.0, speed * sin);
        let force = self.loads(velocity, Vector3::zeros(), 0.0, 0.0).force;
        force.x * sin - force.z * cos
    }

    fn top_speed(&mut self, stall: f64) -> Result<Option<f64>, SearchFault> {
        let trimmed = self.stand.level.pose.speed;
        // level flight at trimmed speed may already take more than full throttle
        let begin = if self.gains(trimmed)? { trimmed } else { 1.1 * stall };
        if !self.gains(begin)? {
            return Ok(None);
        }
        let (mut low, mut high) = (begin, 4.0 * trimmed);
        if self.gains(high)? {
            return Ok(None);
        }
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if self.gains(middle)? {
                low = middle;
            } else {
                high = middle;
            }
        }
        Ok(Some(0.5 * (low + high)))
    }

    /// Whether full throttle makes it faster in level flight.
    fn gains(&mut self, speed: f64) -> Result<bool, SearchFault> {
        let posed = self.stand.pose(&Pose::level_at(speed, 1.0), Some(&self.stand.level), self.bench)?;
        Ok(posed.converged && posed.acceleration.x > 0.0)
    }

    /// The rate at which the damping of wing and tail equals the ailerons; incidence held.
    fn roll_rate(&mut self) -> f64 {
        let (velocity, throttle) = (self.stand.level.state.body.velocity, self.stand.level.throttle);
        let mut moment =
            |rate: f64| self.loads(velocity, Vector3::new(rate, 0.0, 0.0), throttle, 1.0).moment.x;
        let (mut low, mut high) = (0.0, 1.0);
        while moment(high) > 0.0 && high < 100.0 {
            (low, high) = (high, 2.0 * high);
        }
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if moment(middle) > 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        0.5 * (low + high)
    }

    fn static_thrust(&self) -> f64 {
        let density = self.density();
        let rotor = self.stand.aircraft.steady_rotor(&Vector3::zeros(), 1.0, density);
        let propulsor = self.stand.aircraft.model.parts().propulsor.as_ref();
        propulsor.map_or(0.0, |p| p.thrust(rotor, 0.0, density).thrust)
    }

    /// Force along the body at rest, with what its own jet drags at it.
    fn hover(&mut self) -> Option<f64> {
        let weight = self.weight();
        let mut carries =
            |throttle: f64| self.loads(Vector3::zeros(), Vector3::zeros(), throttle, 0.0).force.x > weight;
        if !carries(1.0) {
            return None;
        }
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if carries(middle) {
                high = middle;
            } else {
                low = middle;
            }
        }
        Some(0.5 * (low + high))
    }

    fn climb(&mut self) -> Result<Climb, SearchFault> {
        let speed = self.stand.level.pose.speed;
        let up = self.stand.pose(&Pose::vertical(speed, 1.0, true), None, self.bench)?;
        if up.converged && up.acceleration.x > 0.0 {
            return Ok(Climb::Vertical);
        }
        let pose = Pose::settled(speed, 1.0, Commands::default());
        let path = self.stand.pose(&pose, Some(&self.stand.level), self.bench)?;
        Ok(if path.converged { Climb::Path(path.climb) } else { Climb::Unknown })
    }

    /// From slow to fast, the first that rudder and throttle can hold at a sideslip at which the model
    /// of bodies has been compared with measurements.
    fn knife_edge(&mut self, side: Side, stall: f64, top: f64) -> Result<Option<Posed>, SearchFault> {
        for step in 0..=KNIFE_EDGES {
            let speed = stall + (top - stall) * f64::from(step) / f64::from(KNIFE_EDGES);
            let posed = self.stand.pose(&Pose::level_knife_edge(speed, side), None, self.bench)?;
            let holds = posed.sticks.iter().all(|share| share.abs() <= 1.0)
                && posed.throttle <= 1.0
                && posed.sideslip.abs() <= MOST_SIDESLIP;
            if posed.converged && holds {
                return Ok(Some(posed));
            }
        }
        Ok(None)
    }
}
