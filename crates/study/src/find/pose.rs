//! Poses: what the controls must stand at so that nothing but the motion wanted is left. A knife
//! edge with a given rudder, level flight at a throttle, a vertical line, a glide with flaps.

use aero::{Causes, Coefficients, Deflections, MAX_WING_STRIPS};
use airframe::{Geometry, MAX_SURFACES, Surface};
use core::cell::RefCell;
use core::f64::consts::FRAC_PI_2;
use flight::{
    Aircraft, AircraftFault, AircraftState, Bench, BodyState, Controls, Euler, Search, SearchFault, Servo,
    Surroundings, earth_from_body, find_steady,
};
use manoeuvre::{Binding, RigError, bind};
use measure::{G0, Side};
use mix::Commands;
use nalgebra::{Matrix3, Quaternion, Vector3};

/// A straight path at an instant, and which of the controls are given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pose {
    /// Airspeed [m/s].
    pub speed: f64,
    /// Climb angle of the path \[rad\]; `None`: whatever the throttle makes of it.
    pub climb: Option<f64>,
    /// Bank about the path, + right wing down \[rad\].
    pub bank: f64,
    /// `None`: what keeps the speed; given, the speed may change unless the climb is free.
    pub throttle: Option<f64>,
    /// Rudder as a share of full throw, + right, its trim included. `None`: what keeps the path
    /// straight sideways. Given, the path may bend sideways: in a knife edge the height is free.
    pub rudder: Option<f64>,
    /// Whether the path turns about the vertical, as fast as the force across it makes it, and the
    /// model with it; otherwise nothing turns, and what is left across the path is told.
    pub turning: bool,
    /// Flaps, doors, and whatever blends add to aileron, elevator and rudder.
    pub set: Commands,
}

impl Pose {
    /// Level and steady at `speed` [m/s].
    #[must_use]
    pub fn level(speed: f64) -> Self {
        Self {
            speed,
            climb: Some(0.0),
            bank: 0.0,
            throttle: None,
            rudder: None,
            turning: false,
            set: Commands::default(),
        }
    }

    /// Level at `speed`, at a throttle that need not keep it.
    #[must_use]
    pub fn level_at(speed: f64, throttle: f64) -> Self {
        Self { throttle: Some(throttle), ..Self::level(speed) }
    }

    /// Upside down, level and steady.
    #[must_use]
    pub fn inverted(speed: f64) -> Self {
        Self { bank: 2.0 * FRAC_PI_2, ..Self::level(speed) }
    }

    /// Straight up or down, nothing across the path.
    #[must_use]
    pub fn vertical(speed: f64, throttle: f64, up: bool) -> Self {
        let climb = Some(if up { FRAC_PI_2 } else { -FRAC_PI_2 });
        Self { climb, ..Self::level_at(speed, throttle) }
    }

    /// Wings vertical with the rudder given to `side` as a share of its throw: no turning, and no
    /// acceleration towards canopy or gear; height free. Every airframe has an answer.
    #[must_use]
    pub fn knife_edge(speed: f64, throttle: f64, side: Side, rudder: f64) -> Self {
        Self {
            bank: -side.sign() * FRAC_PI_2,
            rudder: Some(side.sign() * rudder),
            ..Self::level_at(speed, throttle)
        }
    }

    /// Wings vertical, level and steady, with whatever rudder, throttle and throws that takes.
    #[must_use]
    pub fn level_knife_edge(speed: f64, side: Side) -> Self {
        Self { bank: -side.sign() * FRAC_PI_2, ..Self::level(speed) }
    }

    /// Wings level with the rudder given, + right: a steady flat turn. The side force bends the path,
    /// and the nose goes round with it; so the propeller's precession and the roll of a turning wing
    /// are in it.
    #[must_use]
    pub fn skid(speed: f64, throttle: f64, rudder: f64) -> Self {
        Self { rudder: Some(rudder), turning: true, ..Self::level_at(speed, throttle) }
    }

    /// Settled at a speed and throttle, the path climbing or sinking as it will.
    #[must_use]
    pub fn settled(speed: f64, throttle: f64, set: Commands) -> Self {
        Self { climb: None, set, ..Self::level_at(speed, throttle) }
    }

    /// The same with something else standing out.
    #[must_use]
    pub const fn with(self, set: Commands) -> Self {
        Self { set, ..self }
    }
}

/// What a pose takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Posed {
    /// What was asked for.
    pub pose: Pose,
    /// Aileron, elevator, rudder as shares of full throw beside what [`Pose::set`] adds, unbounded:
    /// 1.45 is 145 %, beyond the throw.
    pub sticks: [f64; 3],
    /// 0 idle .. 1 full, and beyond.
    pub throttle: f64,
    /// Climb angle of the path \[rad\].
    pub climb: f64,
    /// Incidence \[rad\].
    pub incidence: f64,
    /// Sideslip, + wind from the right \[rad\].
    pub sideslip: f64,
    /// What acceleration is left, along the path, to the right of it and below it as the pilot
    /// in the model sees it [m/s^2].
    pub acceleration: Vector3<f64>,
    /// The state, at the origin, heading north.
    pub state: AircraftState,
    /// Where the surfaces stand and what the motor does.
    pub controls: Controls,
    /// Whether the pose was found; if not, this is the nearest miss.
    pub converged: bool,
    /// Largest left-over acceleration in its scale.
    pub worst: f64,
}

impl Posed {
    /// What the surfaces are told with the sticks at `sticks`, and everything else as in the pose.
    #[must_use]
    pub fn commands(&self, [aileron, elevator, rudder]: [f64; 3]) -> Commands {
        let set = self.pose.set;
        Commands {
            aileron: set.aileron + aileron,
            elevator: set.elevator + elevator,
            rudder: set.rudder + rudder,
            ..set
        }
    }
}

/// An airframe with its surfaces bound to the commands, ready to be posed. Needs no mix.
#[derive(Debug, Clone)]
pub struct Stand {
    /// The airframe in motion.
    pub aircraft: Aircraft,
    /// Everything that moves, in the order of the deflections.
    pub surfaces: Vec<Surface>,
    /// What moves each of them.
    pub bindings: Vec<Binding>,
    /// The air around.
    pub around: Surroundings,
    /// Where every stick's zero is: level and steady at the speed at which the pilot trims.
    pub level: Posed,
    servo: airframe::Servo,
}

/// Why an airframe cannot be posed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum StandError {
    /// The airframe cannot fly.
    #[error(transparent)]
    Aircraft(#[from] AircraftFault),
    /// Something on it cannot be moved.
    #[error(transparent)]
    Surfaces(#[from] RigError),
    /// There is nothing to begin a search with.
    #[error("no pose can be searched: {0}")]
    Search(#[from] SearchFault),
    /// It cannot be trimmed.
    #[error(
        "airframe \"{airframe}\" has no level flight at its trimmed speed of {speed:.1} m/s (nearest miss: {worst:.1e}); \
         check the speed, the mass and the centre of mass"
    )]
    NotTrimmed {
        /// The airframe.
        airframe: String,
        /// The speed [m/s].
        speed: f64,
        /// Left-over acceleration in its scale.
        worst: f64,
    },
}

/// Residuals smaller than this, in scales, are none. Percentages then hold to about 1e-6.
const TOLERANCE: f64 = 1e-9;

impl Stand {
    /// Puts an airframe on the stand in calm air at sea level, and trims it.
    ///
    /// # Errors
    /// [`StandError`] where it cannot fly, be moved or be trimmed.
    pub fn new(geometry: &Geometry, coefficients: &Coefficients) -> Result<Self, StandError> {
        let aircraft = Aircraft::new(geometry, coefficients)?;
        let (bindings, mut bench) = (bind(geometry)?, Bench::new(&aircraft));
        let surfaces = geometry.surfaces.clone();
        let around = Surroundings::CALM;
        let place = Place { aircraft: &aircraft, surfaces: &surfaces, bindings: &bindings, around: &around };
        let speed = geometry.trimmed_speed;
        let level = place.pose(&Pose::level(speed), None, &mut bench)?;
        if !level.converged {
            let airframe = geometry.name.clone();
            return Err(StandError::NotTrimmed { airframe, speed, worst: level.worst });
        }
        Ok(Self { aircraft, surfaces, bindings, around, level, servo: geometry.servo })
    }

    /// Searches what `pose` takes, from a neighbouring one where there is one. No such pose is a
    /// result that says so.
    ///
    /// # Errors
    /// [`SearchFault`] for a pose that has no numbers to begin with.
    pub fn pose(&self, pose: &Pose, start: Option<&Posed>, bench: &mut Bench) -> Result<Posed, SearchFault> {
        self.place().pose(pose, start, bench)
    }

    /// Deflection \[rad\] of every surface under `commands`, unlimited.
    #[must_use]
    pub fn deflections(&self, commands: &Commands) -> Deflections {
        self.place().deflections(commands)
    }

    /// Servos at rest with their surfaces at `angles` \[rad\]; `None` if such servos cannot work.
    pub(crate) fn servos(&self, angles: &Deflections) -> Option<Vec<Servo>> {
        let (rate, delay) = (self.servo.rate.value, self.servo.delay.value);
        let of = |&angle: &f64| Servo::at_rest(rate, delay, angle).ok();
        angles[..self.surfaces.len()].iter().map(of).collect()
    }

    const fn place(&self) -> Place<'_> {
        Place {
            aircraft: &self.aircraft,
            surfaces: self.surfaces.as_slice(),
            bindings: self.bindings.as_slice(),
            around: &self.around,
        }
    }
}

/// What a search needs of a stand, also before the stand is complete.
#[derive(Clone, Copy)]
struct Place<'a> {
    aircraft: &'a Aircraft,
    surfaces: &'a [Surface],
    bindings: &'a [Binding],
    around: &'a Surroundings,
}

impl<'a> Place<'a> {
    fn deflections(&self, commands: &Commands) -> Deflections {
        let mut angles = [0.0; MAX_SURFACES];
        for ((angle, surface), binding) in angles.iter_mut().zip(self.surfaces).zip(self.bindings) {
            *angle = surface.deflection(binding.share(commands));
        }
        angles
    }

    /// From the given start, or from a few sideslips, as far as needed.
    fn pose(&self, pose: &Pose, start: Option<&Posed>, bench: &mut Bench) -> Result<Posed, SearchFault> {
        let attempt = Attempt { place: *self, pose, bench: RefCell::new(bench) };
        let guesses = attempt.guesses();
        let mut best: Option<Posed> = None;
        for from in start.map(values_of).iter().chain(&guesses) {
            let found = attempt.search(from)?;
            if best.is_none_or(|b| found.worst < b.worst) {
                best = Some(found);
            }
            if found.converged {
                break;
            }
        }
        best.ok_or(SearchFault::Variables { found: 0 })
    }
}

/// Pitch and yaw of the nose from the banked path \[rad\], aileron, elevator, rudder, throttle,
/// climb \[rad\], turn about the vertical [rad/s]: all there is, solved for or not.
type Values = [f64; 8];

/// Changes that matter, in the order of [`Values`].
const SCALES: Values = [0.1, 0.1, 0.1, 0.1, 0.1, 0.2, 0.1, 0.2];

fn values_of(posed: &Posed) -> Values {
    let air = posed.state.body.velocity;
    let yaw = -libm::atan2(air.y, libm::hypot(air.x, air.z));
    let [aileron, elevator, rudder] = posed.sticks;
    let turn = (earth_from_body(&posed.state.body.attitude) * posed.state.body.rate).z;
    [libm::atan2(air.z, air.x), yaw, aileron, elevator, rudder, posed.throttle, posed.climb, turn]
}

/// One search. Body-axis rotations, so that vertical paths are ordinary.
struct Attempt<'a> {
    place: Place<'a>,
    pose: &'a Pose,
    bench: RefCell<&'a mut Bench>,
}

impl Attempt<'_> {
    fn guesses(&self) -> Vec<Values> {
        let p = self.pose;
        let given = [p.throttle.unwrap_or(0.5), p.climb.unwrap_or(-0.1)];
        let guess = |pitch, yaw, rudder| [pitch, yaw, 0.0, 0.0, rudder, given[0], given[1], 0.0];
        match (p.rudder, libm::sin(p.bank)) {
            (Some(rudder), _) => [0.25, 0.5, 0.1].map(|times| guess(0.0, times * rudder, rudder)).into(),
            // right wing down: the nose is held up by left rudder
            (None, side) if side.abs() > 0.3 => {
                [-0.12, -0.25, -0.4].map(|yaw| guess(0.0, yaw * side.signum(), -0.5 * side.signum())).into()
            }
            _ => vec![guess(0.03, 0.0, 0.0)],
        }
    }

    /// Which of [`Values`] are solved for.
    fn free(&self) -> Vec<usize> {
        let p = self.pose;
        let others =
            [(4, p.rudder.is_none()), (5, p.throttle.is_none()), (6, p.climb.is_none()), (7, p.turning)];
        (0..4).chain(others.iter().filter(|(_, free)| *free).map(|(i, _)| *i)).collect()
    }

    fn search(&self, from: &Values) -> Result<Posed, SearchFault> {
        let free = self.free();
        let all = |x: &[f64]| {
            let mut values = *from;
            if let Some(rudder) = self.pose.rudder {
                values[4] = rudder;
            }
            if !self.pose.turning {
                values[7] = 0.0;
            }
            for (value, &i) in x.iter().zip(&free) {
                values[i] = *value;
            }
            values
        };
        let of = |list: &[f64]| free.iter().map(|&i| list[i]).collect::<Vec<_>>();
        let search = Search {
            start: &of(from),
            scales: &of(&SCALES),
            residual_scales: &self.residual_scales(),
            tolerance: TOLERANCE,
        };
        let found = find_steady(|x| self.residuals(&all(x)), &search)?;
        Ok(self.posed(&all(&found.values), found.converged, found.worst))
    }

    fn along(&self, v: &Values) -> Quaternion<f64> {
        Euler { roll: self.pose.bank, pitch: self.pose.climb.unwrap_or(v[6]), yaw: 0.0 }.attitude()
    }

    fn at(&self, v: &Values) -> (AircraftState, Controls, Matrix3<f64>) {
        let along = self.along(v);
        let yawed = Euler { roll: 0.0, pitch: 0.0, yaw: v[1] }.attitude();
        let pitched = Euler { roll: 0.0, pitch: v[0], yaw: 0.0 }.attitude();
        let (attitude, path) = (along * yawed * pitched, earth_from_body(&along));
        let velocity = earth_from_body(&attitude).tr_mul(&(path.column(0) * self.pose.speed));
        let throttle = self.pose.throttle.unwrap_or(v[5]).max(0.0);
        let origin = Vector3::zeros();
        let density = self.place.around.density(&origin);
        let rotor = self.place.aircraft.steady_rotor(&velocity, throttle, density);
        let rate = earth_from_body(&attitude).tr_mul(&Vector3::new(0.0, 0.0, v[7]));
        let body = BodyState { position: origin, velocity, attitude, rate };
        let set = &self.pose.set;
        let commands = Commands {
            aileron: set.aileron + v[2],
            elevator: set.elevator + v[3],
            rudder: set.rudder + v[4],
            ..*set
        };
        let deflections = self.place.deflections(&commands);
        let controls = Controls { deflections, throttle, causes: Causes::ALL };
        (AircraftState { body, rotor, wake: [0.0; MAX_WING_STRIPS] }, controls, path)
    }

    /// Change of the velocity as the model carries it along, in the axes of the path, and of rotation.
    fn motion(&self, v: &Values) -> (Vector3<f64>, Vector3<f64>) {
        let (state, controls, path) = self.at(v);
        let mut bench = self.bench.borrow_mut();
        let slope = self.place.aircraft.steady_slope(&state, self.place.around, &controls, &mut bench).body;
        (path.tr_mul(&(earth_from_body(&state.body.attitude) * slope.velocity)), slope.rate)
    }

    /// Acceleration towards canopy or gear, of roll, pitch and yaw; sideways unless the rudder is
    /// given and nothing turns; along the path where throttle or climb answers for it.
    fn residuals(&self, v: &Values) -> Vec<f64> {
        let (path, turn) = self.motion(v);
        let mut list = vec![path.z, turn.x, turn.y, turn.z];
        if self.pose.rudder.is_none() || self.pose.turning {
            list.push(path.y);
        }
        if self.pose.throttle.is_none() || self.pose.climb.is_none() {
            // less than no throttle is no throttle, and a residual that leads back
            let below = if self.pose.throttle.is_none() { v[5].min(0.0) * G0 } else { 0.0 };
            list.push(path.x + below);
        }
        list
    }

    /// A weight, and a tenth of a weight at the end of a lever of half a metre or so.
    fn residual_scales(&self) -> Vec<f64> {
        let mass = &self.place.aircraft.mass;
        let turn = |i: usize| 0.05 * mass.mass() * G0 / mass.inertia()[(i, i)];
        let mut scales = vec![G0, turn(0), turn(1), turn(2)];
        scales.resize(self.free().len(), G0);
        scales
    }

    fn posed(&self, v: &Values, converged: bool, worst: f64) -> Posed {
        let (state, controls, path) = self.at(v);
        let round = earth_from_body(&state.body.attitude) * state.body.rate.cross(&state.body.velocity);
        let acceleration = self.motion(v).0 + path.tr_mul(&round);
        let air = state.body.velocity;
        Posed {
            pose: *self.pose,
            sticks: [v[2], v[3], v[4]],
            throttle: self.pose.throttle.unwrap_or(v[5]),
            climb: self.pose.climb.unwrap_or(v[6]),
            incidence: libm::atan2(air.z, air.x),
            sideslip: libm::asin((air.y / air.norm()).clamp(-1.0, 1.0)),
            acceleration,
            state,
            controls,
            converged,
            worst,
        }
    }
}
