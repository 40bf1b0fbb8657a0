//! How a manoeuvre is entered: on a straight line, with the sticks that this takes.

use crate::fly::FlyError;
use crate::rig::Rig;
use crate::scenario::{Scenario, Speed, Start};
use crate::tick::Memory;
use flight::{Bench, Course, Trimmed};
use measure::{DEG, Side, Stick};
use mix::{Commands, Hand};
use nalgebra::Vector3;

/// A state to begin `scenario` with, and the hand that holds it.
///
/// # Errors
/// [`FlyError`] where there is no such state, or the controls do not reach it.
pub fn enter(
    rig: &Rig,
    scenario: &Scenario,
    side: Side,
    bench: &mut Bench,
) -> Result<(Memory, Hand), FlyError> {
    let start = &scenario.start;
    let speed = speed(rig, start, bench)?;
    let mut hand = Hand::released(&rig.program);
    if let Some(rates) = &scenario.rates {
        hand.set_rates(rig.program.rates(rates)?);
    }
    // what a mix does not read moves nothing
    for (lever, position) in &start.levers {
        if let Ok(lever) = rig.program.lever(lever) {
            hand.set_lever(lever, *position)?;
        }
    }
    for (switch, is) in &start.switches {
        if let Ok(position) = rig.program.switch(switch, is) {
            hand.set_switch(position);
        }
    }
    hand.set_stick(Stick::Throttle, start.throttle.unwrap_or(rig.level.throttle).clamp(0.0, 1.0))?;
    let set = mix::steady(&rig.program, &hand);
    let line = steady(rig, start, speed, side, &set, bench)?;
    let throttle = given(start.speed, line.throttle);
    rig.within_travel(&line.sticks, throttle, speed)?;
    if !hold(rig, &line.sticks, throttle, &mut hand)? {
        return Err(FlyError::NotHeld { airframe: rig.name.clone(), speed });
    }
    let mut state = line.state;
    state.body.position = Vector3::new(0.0, 0.0, -start.height);
    let memory = Memory::settled(rig, state, &hand, bench)?;
    Ok((memory, hand))
}

/// The throttle of the entry: at the speed that a throttle holds level, no more than that. On its
/// back a model may need a little more to keep it, and loses a little speed instead.
fn given(speed: Speed, needed: f64) -> f64 {
    const LITTLE: f64 = 0.05;
    match speed {
        Speed::Throttle(most) if needed > most && needed < most + LITTLE => most,
        _ => needed,
    }
}

/// The speed of entry [m/s].
fn speed(rig: &Rig, start: &Start, bench: &mut Bench) -> Result<f64, FlyError> {
    match start.speed {
        Speed::Trimmed(times) => Ok(times * rig.trimmed_speed),
        Speed::Absolute(speed) => Ok(speed),
        Speed::Throttle(throttle) => speed_at(rig, throttle, bench),
    }
}

/// The speed at which `throttle` holds level flight, between half and four times the trimmed one.
fn speed_at(rig: &Rig, throttle: f64, bench: &mut Bench) -> Result<f64, FlyError> {
    const STEP: f64 = 1.1;
    const HALVINGS: usize = 30;
    let unknown = |speed| FlyError::NoEntry { airframe: rig.name.clone(), speed };
    let mut missing = |speed: f64| -> Result<f64, FlyError> {
        let level = rig.level(speed, bench)?;
        if level.converged { Ok(level.throttle - throttle) } else { Err(unknown(speed)) }
    };
    let mut low = rig.trimmed_speed;
    let upwards = missing(low)? < 0.0;
    let step = if upwards { STEP } else { 1.0 / STEP };
    let mut high = low;
    while (missing(high)? < 0.0) == upwards {
        (low, high) = (high, high * step);
        if !(0.5..=4.0).contains(&(high / rig.trimmed_speed)) {
            return Err(unknown(high));
        }
    }
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if (missing(middle)? < 0.0) == upwards { low = middle } else { high = middle }
    }
    Ok(0.5 * (low + high))
}

/// The line of the start; where it is not found at once, from level flight in steps.
fn steady(
    rig: &Rig,
    start: &Start,
    speed: f64,
    side: Side,
    set: &Commands,
    bench: &mut Bench,
) -> Result<Trimmed, FlyError> {
    const STEP: f64 = 15.0 * DEG;
    let course = |climb: f64, bank: f64| Course { speed, climb, bank, throttle: start.throttle };
    let bank = side.sign() * start.bank;
    let at_once = rig.steady(&course(start.climb, bank), set, None, bench)?;
    if at_once.converged {
        return Ok(at_once);
    }
    let steps = (start.climb.abs().max(bank.abs()) / STEP).ceil().max(1.0);
    let mut before = rig.steady(&course(0.0, 0.0), set, None, bench)?;
    for i in 1..=steps as usize {
        let share = i as f64 / steps;
        before = rig.steady(&course(share * start.climb, share * bank), set, Some(&before), bench)?;
    }
    if before.converged { Ok(before) } else { Err(FlyError::NoEntry { airframe: rig.name.clone(), speed }) }
}

/// Puts the sticks where rates, blends and trims make `wanted` shares of aileron, elevator and
/// rudder of them. Only blends make more than one round of it; returns whether it arrived.
fn hold(rig: &Rig, wanted: &[f64; 3], throttle: f64, hand: &mut Hand) -> Result<bool, FlyError> {
    const ROUNDS: usize = 100;
    const CLOSE: f64 = 1e-10;
    hand.set_stick(Stick::Throttle, throttle.clamp(0.0, 1.0))?;
    for _ in 0..ROUNDS {
        let now = rig.trimmed(&mix::steady(&rig.program, hand));
        let missing = [wanted[0] - now.aileron, wanted[1] - now.elevator, wanted[2] - now.rudder];
        if missing.iter().all(|m| m.abs() < CLOSE) {
            return Ok(true);
        }
        for (stick, missing) in Stick::ALL.into_iter().zip(missing) {
            let rate = rig.program.rate_of(hand, stick);
            hand.set_stick(stick, rate.stick_for(rate.apply(hand.stick(stick)) + missing))?;
        }
    }
    Ok(false)
}
