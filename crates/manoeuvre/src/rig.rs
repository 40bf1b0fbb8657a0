//! A mix bound to an airframe: the only place where percent becomes radians.

use crate::feel::{Feel, Wash, feel, wash};
use aero::{Coefficients, Deflections};
use airframe::{Geometry, MAX_SURFACES, Part, Surface};
use flight::{Aircraft, AircraftFault, Bench, Course, Servo, ServoFault, Surroundings, TrimFault, Trimmed};
use measure::{Side, Stick};
use mix::{Commands, Follower, Hand, Mix, MixError, Program};

/// Everything that stays the same while a model flies.
#[derive(Debug, Clone)]
pub struct Rig {
    /// What the pilot calls the airframe.
    pub name: String,
    /// The airframe in motion.
    pub aircraft: Aircraft,
    /// Everything that moves, in the order of the deflections.
    pub surfaces: Vec<Surface>,
    /// What moves each of them.
    pub bindings: Vec<Binding>,
    /// The mix.
    pub program: Program,
    /// The air around.
    pub around: Surroundings,
    /// What aileron, elevator and rudder stand at in trimmed flight, blends and trims together.
    pub level: TrimSetting,
    /// Where the pilot has set the trims: what is left of that beside the blends.
    pub trim: TrimSetting,
    /// How it answers aileron, elevator and rudder at the trimmed speed.
    pub feel: [Feel; 3],
    /// What the propeller's wash adds to that at low speed.
    pub(crate) wash: [Wash; 3],
    /// Speed at which the pilot has trimmed [m/s].
    pub trimmed_speed: f64,
    /// Whether its flights are sketched ([`Aircraft::sketch`]), for somebody in a hurry.
    pub sketched: bool,
    servo: airframe::Servo,
    /// Time of the motor from idle to full \[s\]; `None`: at once.
    pub(crate) spool: Option<f64>,
}

/// What a surface follows: shares of full throw, + trailing edge down or left, or door open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Binding {
    /// The commands that move it, each with its sign.
    pub follows: [Option<(Follower, i8)>; 2],
}

/// Where the trim levers stand: added behind the mix.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct TrimSetting {
    /// Share of aileron, + rolls right.
    pub aileron: f64,
    /// Share of elevator, + up.
    pub elevator: f64,
    /// Share of rudder, + nose right.
    pub rudder: f64,
    /// Throttle of trimmed flight, 0..1.
    pub throttle: f64,
}

/// Why a mix and an airframe do not make a rig.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RigError {
    /// The mix has faults.
    #[error("the mix cannot be used: {}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))]
    Mix(Vec<MixError>),
    /// A blend moves something that the airframe lacks.
    #[error(
        "blend \"{blend}\" of mix \"{mix}\" moves the {follower}, but airframe \"{airframe}\" has {known}; \
         take the blend out of the mix, or add the hinge to the airframe"
    )]
    NoSurface {
        /// The blend.
        blend: String,
        /// Its mix.
        mix: String,
        /// What it moves.
        follower: &'static str,
        /// The airframe.
        airframe: String,
        /// What that has.
        known: String,
    },
    /// A surface of the airframe that nothing can move.
    #[error(
        "airframe \"{airframe}\" has a hinge or door called \"{hinge}\"; known names are aileron, elevator, \
         rudder, flap and door; rename it"
    )]
    UnknownHinge {
        /// The airframe.
        airframe: String,
        /// The name.
        hinge: String,
    },
    /// The airframe cannot fly.
    #[error(transparent)]
    Aircraft(#[from] AircraftFault),
    /// Its servos cannot work.
    #[error(transparent)]
    Servo(#[from] ServoFault),
    /// It cannot be trimmed at its own trimmed speed.
    #[error(
        "airframe \"{airframe}\" has no level flight at its trimmed speed of {speed:.1} m/s (nearest miss: \
         {worst:.1e}); check the speed, the mass and the centre of mass"
    )]
    NotTrimmed {
        /// The airframe.
        airframe: String,
        /// The speed [m/s].
        speed: f64,
        /// Left-over acceleration.
        worst: f64,
    },
    /// It flies level at some speed only with a control beyond its stop.
    #[error(
        "airframe \"{airframe}\" needs {what} of {percent:.0} % to fly level at {speed:.1} m/s; take another speed, \
         or check the throws and the motor"
    )]
    BeyondTravel {
        /// The airframe.
        airframe: String,
        /// Which control.
        what: &'static str,
        /// How much of its travel.
        percent: f64,
        /// The speed [m/s].
        speed: f64,
    },
    /// The search could not begin.
    #[error(transparent)]
    Trim(#[from] TrimFault),
}

impl Rig {
    /// Binds `mix` to an airframe in `around`, and trims it level at its trimmed speed.
    ///
    /// # Errors
    /// [`RigError`] where they do not fit together or the airframe cannot fly level.
    pub fn new(
        geometry: &Geometry,
        mix: &Mix,
        coefficients: &Coefficients,
        around: Surroundings,
    ) -> Result<Self, RigError> {
        let program = Program::try_from(mix).map_err(RigError::Mix)?;
        let bindings = bind(geometry)?;
        fits(mix, &geometry.name, &geometry.surfaces, &bindings)?;
        let mut rig = Self {
            name: geometry.name.clone(),
            aircraft: Aircraft::new(geometry, coefficients)?,
            surfaces: geometry.surfaces.clone(),
            bindings,
            program,
            around,
            level: TrimSetting::default(),
            trim: TrimSetting::default(),
            feel: [Feel::default(); 3],
            wash: [Wash::default(); 3],
            trimmed_speed: geometry.trimmed_speed,
            sketched: false,
            servo: geometry.servo,
            spool: geometry.motor.spool.map(|spool| spool.value),
        };
        rig.set_trim()?;
        Ok(rig)
    }

    fn set_trim(&mut self) -> Result<(), RigError> {
        let mut bench = Bench::new(&self.aircraft);
        let speed = self.trimmed_speed;
        let level = self.level(speed, &mut bench)?;
        if !level.converged {
            return Err(RigError::NotTrimmed { airframe: self.name.clone(), speed, worst: level.worst });
        }
        let [aileron, elevator, rudder] = level.sticks;
        self.within_travel(&level.sticks, level.throttle, speed)?;
        self.level = TrimSetting { aileron, elevator, rudder, throttle: level.throttle };
        self.trim = self.trims();
        self.trims_within_travel()?;
        self.feel = feel(self, &level, &mut bench);
        self.wash = wash(self, &level, &self.feel, &mut bench);
        Ok(())
    }

    /// What a strong blend leaves to the trims must fit them too.
    fn trims_within_travel(&self) -> Result<(), RigError> {
        let TrimSetting { aileron, elevator, rudder, throttle } = self.trim;
        self.within_travel(&[aileron, elevator, rudder], throttle, self.trimmed_speed)
    }

    /// Refuses level flight that takes a control beyond its stop.
    ///
    /// # Errors
    /// [`RigError::BeyondTravel`] with the control and how far it would have to go.
    pub(crate) fn within_travel(&self, sticks: &[f64; 3], throttle: f64, speed: f64) -> Result<(), RigError> {
        let travel = [
            ("aileron", sticks[0], -1.0),
            ("elevator", sticks[1], -1.0),
            ("rudder", sticks[2], -1.0),
            ("throttle", throttle, 0.0),
        ];
        match travel.iter().find(|(_, share, least)| !(*least..=1.0).contains(share)) {
            None => Ok(()),
            Some(&(what, share, _)) => {
                let airframe = self.name.clone();
                Err(RigError::BeyondTravel { airframe, what, percent: 100.0 * share, speed })
            }
        }
    }

    /// The same airframe with another program, trimmed anew: a blend that acts in trimmed flight
    /// is trimmed out.
    #[must_use]
    pub fn with_program(&self, program: Program) -> Self {
        let mut rig = Self { program, ..self.clone() };
        rig.trim = rig.trims();
        rig
    }

    /// The same airframe with another mix: as [`Rig::new`], without the work that only the airframe asks
    /// for.
    ///
    /// # Errors
    /// [`RigError`] where mix and airframe do not fit together.
    pub fn with_mix(&self, mix: &Mix) -> Result<Self, RigError> {
        let program = Program::try_from(mix).map_err(RigError::Mix)?;
        fits(mix, &self.name, &self.surfaces, &self.bindings)?;
        let rig = self.with_program(program);
        rig.trims_within_travel()?;
        Ok(rig)
    }

    fn trims(&self) -> TrimSetting {
        let mut hand = Hand::released(&self.program);
        // a throttle beyond its stop was refused before
        let throttle = self.level.throttle.clamp(0.0, 1.0);
        let blended = match hand.set_stick(Stick::Throttle, throttle) {
            Ok(()) => mix::steady(&self.program, &hand),
            Err(_) => Commands::default(),
        };
        TrimSetting {
            aileron: self.level.aileron - blended.aileron,
            elevator: self.level.elevator - blended.elevator,
            rudder: self.level.rudder - blended.rudder,
            throttle: self.level.throttle,
        }
    }

    /// Level, steady flight at `speed` [m/s]; sticks include the trim.
    ///
    /// # Errors
    /// [`TrimFault`] if there is nothing to begin the search with.
    pub fn level(&self, speed: f64, bench: &mut Bench) -> Result<Trimmed, TrimFault> {
        let course = Course { speed, climb: 0.0, bank: 0.0, throttle: None };
        self.steady(&course, &Commands::default(), None, bench)
    }

    /// Flight on a straight line without acceleration across it; flaps, door and both ailerons
    /// together as in `set`, sticks including the trim.
    ///
    /// # Errors
    /// [`TrimFault`] if there is nothing to begin the search with.
    pub fn steady(
        &self,
        course: &Course,
        set: &Commands,
        start: Option<&Trimmed>,
        bench: &mut Bench,
    ) -> Result<Trimmed, TrimFault> {
        let deflections = |[aileron, elevator, rudder]: [f64; 3]| {
            self.deflections(&Commands { aileron, elevator, rudder, ..*set })
        };
        self.aircraft.trim(course, &self.around, &deflections, start, bench)
    }

    /// Deflections \[rad\] of aileron, elevator and rudder at shares of full throw, unlimited.
    #[must_use]
    pub fn deflections_of(&self, [aileron, elevator, rudder]: [f64; 3]) -> Deflections {
        self.deflections(&Commands { aileron, elevator, rudder, ..Commands::default() })
    }

    /// Deflection \[rad\] of every surface under `commands`.
    #[must_use]
    pub fn deflections(&self, commands: &Commands) -> Deflections {
        let mut angles = [0.0; MAX_SURFACES];
        for ((angle, surface), binding) in angles.iter_mut().zip(&self.surfaces).zip(&self.bindings) {
            *angle = surface.deflection(binding.share(commands));
        }
        angles
    }

    /// `commands` with the trims added, kept within the travel.
    #[must_use]
    pub fn trimmed(&self, commands: &Commands) -> Commands {
        Commands {
            aileron: (commands.aileron + self.trim.aileron).clamp(-1.0, 1.0),
            elevator: (commands.elevator + self.trim.elevator).clamp(-1.0, 1.0),
            rudder: (commands.rudder + self.trim.rudder).clamp(-1.0, 1.0),
            ..*commands
        }
    }

    /// How late a servo begins to move \[s\].
    pub(crate) const fn servo_delay(&self) -> f64 {
        self.servo.delay.value
    }

    /// Servos at rest with their surfaces at `angles` \[rad\].
    pub(crate) fn servos(&self, angles: &Deflections) -> Result<Vec<Servo>, ServoFault> {
        let (rate, delay) = (self.servo.rate.value, self.servo.delay.value);
        angles[..self.surfaces.len()].iter().map(|&angle| Servo::at_rest(rate, delay, angle)).collect()
    }
}

impl Binding {
    /// Share of full throw under `commands`, + trailing edge down or left, or door open.
    #[must_use]
    pub fn share(&self, commands: &Commands) -> f64 {
        self.follows.iter().flatten().map(|&(f, sign)| f64::from(sign) * commands.get(f)).sum()
    }

    fn moves(&self, follower: Follower) -> bool {
        self.follows.iter().flatten().any(|&(f, _)| f == follower)
    }
}

/// Binds every surface by its hinge's name. Deflections are positive with the trailing edge down
/// (a rudder's to the left), so right aileron is left surface down, up elevator is negative, and
/// right rudder is negative.
///
/// # Errors
/// [`RigError::UnknownHinge`] for a surface that nothing moves.
pub fn bind(geometry: &Geometry) -> Result<Vec<Binding>, RigError> {
    geometry
        .surfaces
        .iter()
        .map(|surface| {
            binding(surface).ok_or_else(|| RigError::UnknownHinge {
                airframe: geometry.name.clone(),
                hinge: surface.hinge.clone(),
            })
        })
        .collect()
}

fn binding(surface: &Surface) -> Option<Binding> {
    let one = |follower, sign| Some(Binding { follows: [Some((follower, sign)), None] });
    match (surface.hinge.as_str(), surface.part) {
        ("aileron", _) => {
            let sign = if surface.side == Some(Side::Right) { -1 } else { 1 };
            let follows = [Some((Follower::Aileron, sign)), Some((Follower::AileronsTogether, 1))];
            Some(Binding { follows })
        }
        ("elevator", _) => one(Follower::Elevator, -1),
        ("rudder", _) => one(Follower::Rudder, -1),
        ("flap", _) => one(Follower::Flap, 1),
        (_, Part::Fittings) => one(Follower::Door, 1),
        _ => None,
    }
}

/// Every blend must move something.
fn fits(mix: &Mix, airframe: &str, surfaces: &[Surface], bindings: &[Binding]) -> Result<(), RigError> {
    let missing = mix
        .blends
        .iter()
        .find(|b| b.to != Follower::Throttle && !bindings.iter().any(|binding| binding.moves(b.to)));
    let Some(blend) = missing else { return Ok(()) };
    Err(RigError::NoSurface {
        blend: blend.name.clone(),
        mix: mix.name.clone(),
        follower: blend.to.word(),
        airframe: airframe.to_owned(),
        known: surfaces.iter().map(Surface::label).collect::<Vec<_>>().join(", "),
    })
}
