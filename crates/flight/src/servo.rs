//! A servo that follows commands held over ticks: late by a delay and no faster than its rate.
//! Under a held command its path is piecewise linear and known beforehand, so it is not
//! integrated: the marcher cuts the tick at its kinks and keeps its order.
//!
//! Everything here is odd in the angles: mirrored commands give the mirrored path, bit for bit.

/// Changes of command that can be on their way at the same time. A delay of four ticks needs four;
/// twice that lets every tick be halved.
const WAITING: usize = 8;
/// One piece at the start; each arrival adds a piece that moves and one that rests.
const PIECES: usize = 2 + 2 * WAITING;
/// Shares of a tick below which two instants are one: rounding, not motion.
const SAME: f64 = 1e-12;

/// A servo with all it remembers. Angles \[rad\] are those of the surface it moves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Servo {
    rate: f64,
    delay: f64,
    position: f64,
    chasing: f64,
    waiting: [Command; WAITING],
    count: usize,
}

/// A command on its way to the servo.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Command {
    angle: f64,
    /// Time until the servo begins to chase it \[s\].
    remaining: f64,
}

/// Why a servo cannot be built or cannot follow.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum ServoFault {
    /// The rate is not usable.
    #[error(
        "a servo of {found} rad/s cannot move its surface; the rate must be positive (0.1 s for 60 deg \
         is 10.5 rad/s at the arm)"
    )]
    Rate {
        /// Given rate [rad/s].
        found: f64,
    },
    /// The delay is not usable.
    #[error("a delay of {found} s is not possible; it must be zero or positive")]
    Delay {
        /// Given delay \[s\].
        found: f64,
    },
    /// An angle is not a number.
    #[error("a servo cannot go to {found} rad; the angle must be a finite number")]
    Angle {
        /// Given angle \[rad\].
        found: f64,
    },
    /// The tick is not usable.
    #[error("a servo cannot be planned over a tick of {found} s; it must be positive")]
    Tick {
        /// Given tick \[s\].
        found: f64,
    },
    /// More commands wait than fit.
    #[error(
        "{WAITING} changed commands already wait in a servo with a delay of {delay} s; a tick of {tick} s \
         is too short for it: four ticks of delay are meant, {WAITING} are possible"
    )]
    TooLate {
        /// Delay of the servo \[s\].
        delay: f64,
        /// Given tick \[s\].
        tick: f64,
    },
}

/// What a servo does over one tick, and what it is afterwards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plan {
    /// The path during the tick.
    pub motion: Motion,
    /// The servo at the end of the tick.
    pub after: Servo,
}

/// A piecewise linear path over one tick.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motion {
    tick: f64,
    pieces: [Piece; PIECES],
    count: usize,
}

#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Piece {
    /// Time in the tick at which the piece begins \[s\].
    from: f64,
    /// Angle there \[rad\].
    angle: f64,
    /// [rad/s]
    slope: f64,
}

impl Servo {
    /// A servo that rests at `angle` \[rad\] with nothing on its way; `rate` [rad/s] at the surface,
    /// `delay` \[s\] from command to first movement.
    ///
    /// # Errors
    /// [`ServoFault`] for a rate that is not positive, a negative delay, or anything not finite.
    pub fn at_rest(rate: f64, delay: f64, angle: f64) -> Result<Self, ServoFault> {
        if !(rate.is_finite() && rate > 0.0) {
            return Err(ServoFault::Rate { found: rate });
        }
        if !(delay.is_finite() && delay >= 0.0) {
            return Err(ServoFault::Delay { found: delay });
        }
        finite(angle)?;
        let waiting = [Command::default(); WAITING];
        Ok(Self { rate, delay, position: angle, chasing: angle, waiting, count: 0 })
    }

    /// Angle of the surface now \[rad\].
    #[must_use]
    pub const fn position(&self) -> f64 {
        self.position
    }

    /// What the servo does over the next `tick` \[s\] if `command` \[rad\] is given at its beginning and
    /// held.
    ///
    /// # Errors
    /// [`ServoFault`] for a command or tick that is not usable, or if the delay holds more changed
    /// commands than fit.
    pub fn plan(&self, command: f64, tick: f64) -> Result<Plan, ServoFault> {
        if !(tick.is_finite() && tick > 0.0) {
            return Err(ServoFault::Tick { found: tick });
        }
        let mut after = *self;
        after.receive(finite(command)?, tick)?;
        let mut path = Path::begin(self.position, self.rate, tick);
        while let Some(arrival) = after.next_arrival(tick) {
            path.chase(after.chasing, arrival);
            after.arrive();
        }
        path.chase(after.chasing, tick);
        after.position = path.angle;
        for command in &mut after.waiting[..after.count] {
            command.remaining -= tick;
        }
        Ok(Plan { motion: path.motion, after })
    }

    /// A command like the newest one adds nothing.
    fn receive(&mut self, angle: f64, tick: f64) -> Result<(), ServoFault> {
        let newest = self.waiting[..self.count].last().map_or(self.chasing, |command| command.angle);
        if angle == newest {
            return Ok(());
        }
        let full = ServoFault::TooLate { delay: self.delay, tick };
        *self.waiting.get_mut(self.count).ok_or(full)? = Command { angle, remaining: self.delay };
        self.count += 1;
        Ok(())
    }

    /// When the next command arrives, if in this tick. One that rounding has put beside an end of
    /// the tick arrives at that end.
    fn next_arrival(&self, tick: f64) -> Option<f64> {
        let remaining = self.waiting[..self.count].first()?.remaining;
        match remaining / tick {
            share if share < SAME => Some(0.0),
            share if share < 1.0 - SAME => Some(remaining),
            share if share < 1.0 + SAME => Some(tick),
            _ => None,
        }
    }

    fn arrive(&mut self) {
        self.chasing = self.waiting[0].angle;
        self.waiting.rotate_left(1);
        // Forgotten for good, so that equal servos are equal to the bit.
        self.waiting[WAITING - 1] = Command::default();
        self.count -= 1;
    }
}

fn finite(angle: f64) -> Result<f64, ServoFault> {
    if angle.is_finite() { Ok(angle) } else { Err(ServoFault::Angle { found: angle }) }
}

/// A path being laid out.
struct Path {
    motion: Motion,
    rate: f64,
    now: f64,
    angle: f64,
}

impl Path {
    fn begin(angle: f64, rate: f64, tick: f64) -> Self {
        let motion = Motion { tick, pieces: [Piece::default(); PIECES], count: 0 };
        Self { motion, rate, now: 0.0, angle }
    }

    /// Goes towards `target` until the time `until` in the tick, and waits there if it arrives.
    fn chase(&mut self, target: f64, until: f64) {
        let (gap, room) = (target - self.angle, until - self.now);
        let same = SAME * self.motion.tick;
        let needed = gap.abs() / self.rate;
        let slope = if gap < 0.0 { -self.rate } else { self.rate };
        if room <= 0.0 {
            return;
        }
        if needed <= same {
            self.angle = target;
            self.go(0.0, until, target);
        } else if needed < room - same {
            self.go(slope, self.now + needed, target);
            self.go(0.0, until, target);
        } else {
            let arrives = needed <= room + same;
            self.go(slope, until, if arrives { target } else { self.angle + slope * room });
        }
    }

    fn go(&mut self, slope: f64, until: f64, angle: f64) {
        let going_on = self.motion.pieces[..self.motion.count].last().is_some_and(|last| last.slope == slope);
        if !going_on {
            self.motion.pieces[self.motion.count] = Piece { from: self.now, angle: self.angle, slope };
            self.motion.count += 1;
        }
        (self.now, self.angle) = (until, angle);
    }
}

impl Motion {
    /// Angle \[rad\] at the time `tau` \[s\] since the beginning of the tick; held beyond its ends.
    #[must_use]
    pub fn position(&self, tau: f64) -> f64 {
        let tau = tau.clamp(0.0, self.tick);
        let piece = self.piece(tau);
        piece.angle + piece.slope * (tau - piece.from)
    }

    /// Angular velocity [rad/s] just after `tau` \[s\].
    #[must_use]
    pub fn slope(&self, tau: f64) -> f64 {
        self.piece(tau).slope
    }

    /// Times \[s\] inside the tick at which the angular velocity changes, in order.
    pub fn kinks(&self) -> impl Iterator<Item = f64> + '_ {
        self.pieces[..self.count].iter().skip(1).map(|piece| piece.from)
    }

    /// Pieces of the path: times \[s\] of beginning and end in the tick, angles \[rad\] there.
    pub(crate) fn straights(&self) -> impl Iterator<Item = [(f64, f64); 2]> + '_ {
        let pieces = &self.pieces[..self.count];
        pieces.iter().enumerate().map(|(i, piece)| {
            let until = pieces.get(i + 1).map_or(self.tick, |next| next.from);
            [(piece.from, piece.angle), (until, piece.angle + piece.slope * (until - piece.from))]
        })
    }

    pub(crate) const fn tick(&self) -> f64 {
        self.tick
    }

    fn piece(&self, tau: f64) -> &Piece {
        let begun = self.pieces[..self.count].iter().rposition(|piece| piece.from <= tau);
        &self.pieces[begun.unwrap_or(0)]
    }
}

/// Gives every servo its command \[rad\] for the next `tick` \[s\]; how each moves meanwhile. The servos then stand at the
/// end of the tick.
///
/// # Errors
/// As [`Servo::plan`]; some servos may have moved on by then.
pub fn follow(servos: &mut [Servo], commands: &[f64], tick: f64) -> Result<Vec<Motion>, ServoFault> {
    let mut motions = Vec::with_capacity(servos.len());
    for (servo, &command) in servos.iter_mut().zip(commands) {
        let plan = servo.plan(command, tick)?;
        motions.push(plan.motion);
        *servo = plan.after;
    }
    Ok(motions)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const TICK: f64 = 0.02;
    const RATE: f64 = 5.0;

    fn servo(delay: f64) -> Servo {
        Servo::at_rest(RATE, delay, 0.0).unwrap()
    }

    /// Path over many ticks, one command each.
    fn follow(mut servo: Servo, commands: &[f64], tick: f64) -> (Vec<Motion>, Servo) {
        let mut motions = Vec::new();
        for &command in commands {
            let plan = servo.plan(command, tick).unwrap();
            motions.push(plan.motion);
            servo = plan.after;
        }
        (motions, servo)
    }

    #[test]
    fn a_far_command_is_approached_at_the_rate_and_met_exactly() {
        let (motions, end) = follow(servo(0.0), &[0.25; 3], TICK);
        assert!((motions[0].position(0.01) - 0.05).abs() < 1e-15);
        assert_eq!(motions[0].kinks().count(), 0, "moving all along");
        assert_eq!(motions[2].position(TICK), 0.25);
        assert_eq!(end.position(), 0.25);
        let kinks: Vec<f64> = motions[2].kinks().collect();
        assert_eq!(kinks.len(), 1);
        assert!((kinks[0] - 0.01).abs() < 1e-14, "0.25 rad take 0.05 s: {kinks:?}");
        assert_eq!((motions[2].slope(0.005), motions[2].slope(0.015)), (RATE, 0.0));
    }

    /// Delays inside a tick, on its edge, and of several ticks.
    #[test]
    fn the_delay_is_exact() {
        for delay in [0.0, 0.007, 0.02, 0.033, 0.06, 0.08] {
            let (motions, _) = follow(servo(delay), &[1.0; 6], TICK);
            for k in 0..600 {
                let time = f64::from(k) * 0.0002;
                let tick = (k / 100) as usize;
                let wanted = RATE * (time - delay).max(0.0);
                let found = motions[tick].position(time - TICK * tick as f64);
                assert!((found - wanted).abs() < 1e-14, "delay {delay}, {time} s: {found}, not {wanted}");
            }
            let kinks: usize = motions.iter().map(|motion| motion.kinks().count()).sum();
            let inside_a_tick = delay == 0.007 || delay == 0.033;
            assert_eq!(kinks, usize::from(inside_a_tick), "delay {delay}");
        }
    }

    #[test]
    fn every_command_has_its_turn_after_the_delay() {
        let commands = [0.02, -0.02, 0.04, 0.0, 0.0, 0.0, 0.0];
        let (late, _) = follow(servo(0.08), &commands, TICK);
        let (prompt, _) = follow(servo(0.0), &commands, TICK);
        for k in 0..3 {
            for tau in [0.0, 0.003, 0.011, 0.02] {
                assert!((late[k + 4].position(tau) - prompt[k].position(tau)).abs() < 1e-14);
            }
        }
    }

    #[test]
    fn a_servo_at_its_target_rests() {
        let plan = servo(0.01).plan(0.0, TICK).unwrap();
        assert_eq!((plan.motion.kinks().count(), plan.motion.slope(0.0)), (0, 0.0));
        assert_eq!(plan.after, servo(0.01));
    }

    fn commands() -> impl Strategy<Value = Vec<f64>> {
        let angle = prop_oneof![-0.6..0.6, -0.05..0.05, Just(0.0), Just(0.5)];
        prop::collection::vec(angle, 1..12)
    }

    proptest! {
        #[test]
        fn the_rate_is_never_exceeded(delay in 0.0..0.08, commands in commands()) {
            let (motions, _) = follow(servo(delay), &commands, TICK);
            let path: Vec<f64> =
                motions.iter().flat_map(|m| (0..50).map(|k| m.position(TICK / 50.0 * f64::from(k)))).collect();
            for pair in path.windows(2) {
                prop_assert!((pair[1] - pair[0]).abs() <= RATE * TICK / 50.0 * (1.0 + 1e-9));
            }
        }

        #[test]
        fn the_last_command_is_reached_and_kept(delay in 0.0..0.08, commands in commands()) {
            let (_, end) = follow(servo(delay), &commands, TICK);
            let last = commands[commands.len() - 1];
            let (_, end) = follow(end, &[last; 17], TICK);
            prop_assert_eq!(end, Servo { delay, ..Servo::at_rest(RATE, delay, last).unwrap() });
        }

        #[test]
        fn kinks_are_the_only_changes_of_slope(delay in 0.0..0.08, commands in commands()) {
            for motion in follow(servo(delay), &commands, TICK).0 {
                let mut edges = vec![0.0];
                edges.extend(motion.kinks());
                edges.push(TICK);
                prop_assert!(edges.windows(2).all(|pair| pair[0] < pair[1]), "{:?}", edges);
                for pair in edges.windows(2) {
                    let middle = motion.position((pair[0] + pair[1]) / 2.0);
                    let straight = (motion.position(pair[0]) + motion.position(pair[1])) / 2.0;
                    prop_assert!((middle - straight).abs() < 1e-12);
                }
                for &kink in &edges[1..edges.len() - 1] {
                    prop_assert!(motion.slope(kink) != motion.slope(kink - 1e-9 * TICK));
                }
            }
        }

        #[test]
        fn two_half_ticks_are_one_tick(delay in 0.0..0.08, commands in commands()) {
            let twice: Vec<f64> = commands.iter().flat_map(|&c| [c, c]).collect();
            let (whole, end) = follow(servo(delay), &commands, TICK);
            let (halves, end_of_halves) = follow(servo(delay), &twice, TICK / 2.0);
            for (k, motion) in whole.iter().enumerate() {
                for tau in [0.0, 0.004, 0.0099, 0.01] {
                    prop_assert!((motion.position(tau) - halves[2 * k].position(tau)).abs() < 1e-12);
                    let later = halves[2 * k + 1].position(tau);
                    prop_assert!((motion.position(TICK / 2.0 + tau) - later).abs() < 1e-12);
                }
            }
            prop_assert!((end.position() - end_of_halves.position()).abs() < 1e-12);
            prop_assert_eq!(end.chasing, end_of_halves.chasing);
            prop_assert_eq!(end.count, end_of_halves.count);
        }

        #[test]
        fn mirrored_commands_give_the_mirrored_path(delay in 0.0..0.08, commands in commands()) {
            let mirrored: Vec<f64> = commands.iter().map(|c| -c).collect();
            let (right, _) = follow(servo(delay), &commands, TICK);
            let (left, _) = follow(servo(delay), &mirrored, TICK);
            for (r, l) in right.iter().zip(&left) {
                for k in 0..=50 {
                    let tau = TICK / 50.0 * f64::from(k);
                    prop_assert_eq!(r.position(tau), -l.position(tau));
                }
                prop_assert!(r.kinks().eq(l.kinks()));
            }
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        assert!(matches!(Servo::at_rest(0.0, 0.0, 0.0), Err(ServoFault::Rate { .. })));
        assert!(matches!(Servo::at_rest(RATE, -0.01, 0.0), Err(ServoFault::Delay { .. })));
        assert!(matches!(Servo::at_rest(RATE, 0.0, f64::NAN), Err(ServoFault::Angle { .. })));
        assert!(matches!(servo(0.0).plan(f64::INFINITY, TICK), Err(ServoFault::Angle { .. })));
        assert!(matches!(servo(0.0).plan(0.1, 0.0), Err(ServoFault::Tick { .. })));
        let mut waiting = servo(1.0);
        for k in 1..=8 {
            waiting = waiting.plan(f64::from(k), TICK).unwrap().after;
        }
        let fault = waiting.plan(9.0, TICK).unwrap_err();
        assert_eq!(fault, ServoFault::TooLate { delay: 1.0, tick: TICK });
        assert!(waiting.plan(8.0, TICK).is_ok(), "a command that stays needs no room");
    }
}
