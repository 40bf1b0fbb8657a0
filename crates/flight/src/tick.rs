//! One control interval: commands held, servos on their way, the wake's geometry sampled once.

use crate::aircraft::{Aircraft, AircraftState, Bench, Controls, Surroundings};
use crate::march::{Diverged, Stretch, StretchFault, march};
use crate::parabola::Parabola;
use crate::servo::Motion;
use crate::tableau::{CLASSICAL_4, DORMAND_PRINCE_5};
use aero::Causes;
use airframe::MAX_SURFACES;

/// What happens during a tick.
#[derive(Debug, Clone, Copy)]
pub struct Interval<'a> {
    /// When it begins \[s\].
    pub start: f64,
    /// How long it is \[s\].
    pub length: f64,
    /// Longest step of the calculation \[s\].
    pub longest_step: f64,
    /// The path of every surface, in the airframe's order.
    pub motions: &'a [Motion],
    /// 0 idle .. 1 full, held.
    pub throttle: f64,
    /// The air around.
    pub around: &'a Surroundings,
    /// Which causes act.
    pub causes: Causes,
}

/// Why a tick could not be flown.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TickFault {
    /// The flight left the numbers.
    #[error(transparent)]
    Diverged(#[from] Box<Diverged<AircraftState>>),
    /// The interval cannot be cut into steps.
    #[error(transparent)]
    Steps(#[from] StretchFault),
}

/// Every surface can bend its path a few times within a tick.
const MOST_KINKS: usize = 8 * MAX_SURFACES;
/// Kinks closer together than this share of a tick are one: marching between them moves nothing.
const SAME: f64 = 1e-9;

impl Aircraft {
    /// The state at the end of the interval. Between two kinks of any surface everything is
    /// smooth, so the order of the method is kept through them.
    ///
    /// # Errors
    /// [`TickFault::Diverged`] with time and last good state when a number stops being finite.
    pub fn fly(
        &self,
        state: AircraftState,
        interval: &Interval,
        bench: &mut Bench,
    ) -> Result<AircraftState, TickFault> {
        self.lay_wake(&state, interval, bench);
        let mut kinks = [interval.length; MOST_KINKS];
        let count = gather(interval, &mut kinks);
        let (mut from, mut state) = (0.0, state);
        for &to in &kinks[..count] {
            state = self.fly_smooth(state, interval, from, to, bench)?;
            from = to;
        }
        Ok(state)
    }

    /// A sketch of [`Aircraft::fly`]: in one step, every surface along the parabola next to its path.
    /// Within millimetres to a centimetre over a manoeuvre, for a third of the work under a moving
    /// hand.
    ///
    /// # Errors
    /// As [`Aircraft::fly`].
    pub fn sketch(
        &self,
        state: AircraftState,
        interval: &Interval,
        bench: &mut Bench,
    ) -> Result<AircraftState, TickFault> {
        self.lay_wake(&state, interval, bench);
        let paths: Vec<Parabola> = interval.motions.iter().map(Parabola::from).collect();
        let slope = |tau: f64, y: &AircraftState| {
            let mut deflections = [0.0; MAX_SURFACES];
            for (angle, path) in deflections.iter_mut().zip(&paths) {
                *angle = path.position(tau);
            }
            let controls = Controls { deflections, throttle: interval.throttle, causes: interval.causes };
            self.slope(y, interval.start + tau, interval.around, &controls, bench)
        };
        let end = march(&CLASSICAL_4, Stretch::in_steps(0.0, interval.length, 1)?, state, slope);
        end.map_err(|d| TickFault::Diverged(Box::new(Diverged { time: interval.start + d.time, ..d })))
    }

    fn lay_wake(&self, state: &AircraftState, interval: &Interval, bench: &mut Bench) {
        let at = self.instant(state, interval.start, interval.around, &controls(interval, 0.0));
        let strengths = &state.wake[..self.model.wing_strips()];
        self.model.lay_wake(&at, strengths, &mut bench.wake);
    }

    fn fly_smooth(
        &self,
        state: AircraftState,
        interval: &Interval,
        from: f64,
        to: f64,
        bench: &mut Bench,
    ) -> Result<AircraftState, TickFault> {
        let length = to - from;
        let stretch = Stretch::in_steps_of(from, length, interval.longest_step)?;
        // surfaces are read inside the stretch, so that a kink at its end is not yet seen
        let straight = Straight::between(interval.motions, from, to);
        let slope = |tau: f64, y: &AircraftState| {
            let controls = Controls {
                deflections: straight.at(tau),
                throttle: interval.throttle,
                causes: interval.causes,
            };
            self.slope(y, interval.start + tau, interval.around, &controls, bench)
        };
        // half a step by the fourth-order method is as good as a whole one by the fifth-order one
        let end = if length <= 0.5 * interval.longest_step {
            march(&CLASSICAL_4, stretch, state, slope)
        } else {
            march(&DORMAND_PRINCE_5, stretch, state, slope)
        };
        end.map_err(|d| TickFault::Diverged(Box::new(Diverged { time: interval.start + d.time, ..d })))
    }
}

fn controls(interval: &Interval, tau: f64) -> Controls {
    let mut deflections = [0.0; MAX_SURFACES];
    for (d, motion) in deflections.iter_mut().zip(interval.motions) {
        *d = motion.position(tau);
    }
    Controls { deflections, throttle: interval.throttle, causes: interval.causes }
}

/// Ends of the smooth stretches, in order, the end of the interval last; returns how many.
fn gather(interval: &Interval, kinks: &mut [f64; MOST_KINKS]) -> usize {
    let mut count = 0;
    let inside = SAME * interval.length..(1.0 - SAME) * interval.length;
    for kink in interval.motions.iter().flat_map(Motion::kinks) {
        if inside.contains(&kink) && count < MOST_KINKS - 1 {
            kinks[count] = kink;
            count += 1;
        }
    }
    kinks[count] = interval.length;
    kinks[..=count].sort_unstable_by(f64::total_cmp);
    let mut kept = 1;
    for i in 1..=count {
        if kinks[i] - kinks[kept - 1] > SAME * interval.length {
            kinks[kept] = kinks[i];
            kept += 1;
        }
    }
    kept
}

/// Paths of all surfaces over a stretch without kinks: straight lines.
struct Straight {
    from: f64,
    angle: [f64; MAX_SURFACES],
    slope: [f64; MAX_SURFACES],
}

impl Straight {
    fn between(motions: &[Motion], from: f64, to: f64) -> Self {
        let mut lines = Self { from, angle: [0.0; MAX_SURFACES], slope: [0.0; MAX_SURFACES] };
        for (i, motion) in motions.iter().enumerate() {
            lines.angle[i] = motion.position(from);
            lines.slope[i] = motion.slope(0.5 * (from + to));
        }
        lines
    }

    fn at(&self, tau: f64) -> [f64; MAX_SURFACES] {
        let elapsed = tau - self.from;
        core::array::from_fn(|i| self.angle[i] + self.slope[i] * elapsed)
    }
}
