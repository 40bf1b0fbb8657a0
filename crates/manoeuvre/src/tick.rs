//! One control interval of a flying model: the function behind every flight, by script, by
//! recording or by hand.

use crate::rig::Rig;
use airframe::MAX_SURFACES;
use flight::{
    Aircraft, AircraftState, Bench, Controls, Diverged, Interval, Servo, ServoFault, TickFault, follow,
};
use mix::{Commands, Fades, Hand};

/// Length of a tick \[s\]: common practice for servo pulses, no source.
pub const TICK: f64 = 0.02;
/// Longest step of the calculation \[s\]: within 0.5 mm over 10 s of hard manoeuvring (docs/speed.md).
pub const LONGEST_STEP: f64 = 0.01;

/// Everything that changes while a model flies. Plain: saving it is cloning it.
#[derive(Debug, Clone, PartialEq)]
pub struct Memory {
    /// Ticks flown.
    pub ticks: u64,
    /// The model in the air.
    pub state: AircraftState,
    /// Every surface's servo.
    pub servos: Vec<Servo>,
    /// Blends coming in and going out.
    pub fades: Fades,
    /// What the motor has come to behind the throttle, 0..1.
    pub power: f64,
}

/// What a tick began with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// Since the flight began \[s\].
    pub time: f64,
    /// The model in the air.
    pub state: AircraftState,
    /// Sticks in the order of [`measure::Stick::ALL`].
    pub sticks: [f64; 4],
    /// What the mix made of them, trims added.
    pub commands: Commands,
    /// Where the surfaces stood \[rad\].
    pub deflections: [f64; MAX_SURFACES],
}

/// Why a flight ended early.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Halt {
    /// A number stopped being finite.
    #[error("the flight left the numbers {}", .0)]
    Diverged(Box<Diverged<AircraftState>>),
    /// A servo could not follow.
    #[error(transparent)]
    Servo(#[from] ServoFault),
    /// The tick could not be flown.
    #[error("{0}")]
    Tick(String),
}

impl Memory {
    /// At rest in `state`, with `hand` on the sticks for long enough that every surface and blend
    /// has settled, and the wake that belongs to it.
    ///
    /// # Errors
    /// [`ServoFault`] if a surface has no position.
    pub fn settled(
        rig: &Rig,
        state: AircraftState,
        hand: &Hand,
        bench: &mut Bench,
    ) -> Result<Self, ServoFault> {
        let commands = rig.trimmed(&mix::steady(&rig.program, hand));
        let deflections = rig.deflections(&commands);
        let controls = Controls { deflections, throttle: commands.throttle, causes: aero::Causes::ALL };
        Ok(Self {
            ticks: 0,
            state: rig.aircraft.with_steady_wake(state, &rig.around, &controls, bench),
            servos: rig.servos(&deflections)?,
            fades: Fades::settled(&rig.program, hand),
            power: commands.throttle,
        })
    }

    /// Time flown \[s\].
    #[must_use]
    pub fn time(&self) -> f64 {
        self.ticks as f64 * TICK
    }
}

/// Flies one tick with `hand` on the sticks, and moves `memory` on.
///
/// # Errors
/// [`Halt`] with time and last good state; `memory` then stays at the beginning of the tick.
pub fn tick(rig: &Rig, memory: &mut Memory, hand: &Hand, bench: &mut Bench) -> Result<Sample, Halt> {
    let mut fades = memory.fades.clone();
    let commands = rig.trimmed(&mix::evaluate(&rig.program, hand, &mut fades, TICK));
    let angles = rig.deflections(&commands);
    let mut servos = memory.servos.clone();
    let motions = follow(&mut servos, &angles, TICK)?;
    let sample = sample(rig, memory, hand, commands);
    let power = spooled(memory.power, commands.throttle, rig.spool);
    let interval = Interval {
        start: memory.time(),
        length: TICK,
        longest_step: LONGEST_STEP,
        motions: &motions,
        throttle: power,
        around: &rig.around,
        causes: aero::Causes::ALL,
    };
    let fly = if rig.sketched { Aircraft::sketch } else { Aircraft::fly };
    let state = fly(&rig.aircraft, memory.state, &interval, bench).map_err(|fault| match fault {
        TickFault::Diverged(d) => Halt::Diverged(d),
        TickFault::Steps(s) => Halt::Tick(s.to_string()),
    })?;
    *memory = Memory { ticks: memory.ticks + 1, state, servos, fades, power };
    Ok(sample)
}

/// The motor follows the throttle at the pace of its whole range in `spool` \[s\], or at once.
fn spooled(power: f64, throttle: f64, spool: Option<f64>) -> f64 {
    spool.map_or(throttle, |time| power + (throttle - power).clamp(-TICK / time, TICK / time))
}

fn sample(rig: &Rig, memory: &Memory, hand: &Hand, commands: Commands) -> Sample {
    let mut deflections = [0.0; MAX_SURFACES];
    for (d, servo) in deflections.iter_mut().zip(&memory.servos) {
        *d = servo.position();
    }
    debug_assert_eq!(rig.surfaces.len(), memory.servos.len());
    Sample {
        time: memory.time(),
        state: memory.state,
        sticks: measure::Stick::ALL.map(|stick| hand.stick(stick)),
        commands,
        deflections,
    }
}
