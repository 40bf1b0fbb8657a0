//! Flying by hand: one pair of sticks on the same model with and without its blends, tick by tick.

use crate::compare::{CompareError, Contestant, Pair, pair, switched_on};
use aero::Coefficients;
use flight::Bench;
use manoeuvre::{Grip, Halt, Memory, Rig, Sample, Scenario, TICK, TrimSetting, Turn, Turned, enter, tick};
use measure::{Side, Stick};
use mix::{Hand, HandError, Program, SwitchNames};

/// The longest flight \[s\].
pub const LONGEST: f64 = 180.0;

/// A flight by hand on its way: the ghost without the blends that are compared, the solid model with them while the
/// pilot has them in. Both get the same sticks; switching the blends changes nothing but what they add: the trims
/// stay where they were.
///
/// Where a blend acts in the trimmed flight of the entry, the ghost would need its sticks a little elsewhere: it gets
/// those of the solid model all the same, and moves off by itself. That is what the blend was doing.
#[derive(Debug, Clone)]
pub struct ByHand {
    models: [Model; 2],
    /// Of the solid model, with the blends out and in.
    programs: [Program; 2],
    hand: Hand,
    /// The hand at the entry.
    begun: Hand,
    /// What was flown so far, without and with: one sample per tick, and this moment.
    flown: [Vec<Sample>; 2],
    grips: Vec<Grip>,
    /// Levers and switches that were moved.
    turns: Vec<Turn>,
    /// The blends that the pilot switches.
    blends: Vec<String>,
}

#[derive(Debug, Clone)]
struct Model {
    rig: Rig,
    memory: Memory,
    bench: Bench,
    end: Option<End>,
}

/// Why the flight of a model is over.
#[derive(Debug, Clone, PartialEq)]
pub enum End {
    /// It has met the ground.
    Ground,
    /// The calculation ended.
    Halt(Halt),
    /// After [`LONGEST`].
    Long,
}

impl ByHand {
    /// Begins as `scenario` does, to `side`, in its wind and with its levers and switches; its legs are not flown.
    ///
    /// # Errors
    /// [`CompareError`] where airframe, mix and scenario do not fit together or there is no such flight.
    pub fn enter(
        contestant: &Contestant,
        scenario: &Scenario,
        side: Side,
        coefficients: &Coefficients,
    ) -> Result<Self, CompareError> {
        let Pair { rigs: [ghost, solid], blends, .. } = pair(contestant, scenario, coefficients)?;
        let scenario = switched_on(scenario, contestant);
        let programs = [ghost.program.clone(), solid.program.clone()];
        let (ghost, _) = Model::enter(ghost, &scenario, side)?;
        let (solid, hand) = Model::enter(solid, &scenario, side)?;
        let models = [ghost, solid];
        let flown = models.each_ref().map(|model| vec![model.now(&hand)]);
        let begun = hand.clone();
        Ok(Self { models, programs, hand, begun, flown, grips: Vec::new(), turns: Vec::new(), blends })
    }

    /// Flies one tick, if the solid model still flies. A ghost that has come down stays where it is.
    pub fn fly(&mut self, grip: Grip) {
        if self.end().is_some() {
            return;
        }
        self.take(grip);
        self.grips.push(grip);
        for (model, flown) in self.models.iter_mut().zip(&mut self.flown) {
            model.fly(&self.hand, flown);
        }
    }

    /// Moves a lever or a switch before the next tick; after the end nothing moves.
    ///
    /// # Errors
    /// A lever or a switch that the mix does not read.
    pub fn turn(&mut self, what: Turned) -> Result<(), HandError> {
        if self.end().is_some() {
            return Ok(());
        }
        set(&self.programs[1], &mut self.hand, &what)?;
        let tick = self.grips.len();
        self.turns.retain(|turn| turn.tick < tick || !turn.what.same(&what));
        self.turns.push(Turn { tick, what });
        Ok(())
    }

    /// What was moved besides the sticks, in order.
    #[must_use]
    pub fn turns(&self) -> &[Turn] {
        &self.turns
    }

    /// Where levers and switches stand while a tick is flown.
    fn hand_at(&self, tick: usize) -> Hand {
        let mut hand = self.begun.clone();
        for turn in self.turns.iter().take_while(|turn| turn.tick <= tick) {
            // it could be set when it was moved
            let _ = set(&self.programs[1], &mut hand, &turn.what);
        }
        hand
    }

    /// The levers that the mix reads and where they stand while a tick is flown, 0..1.
    #[must_use]
    pub fn levers(&self, tick: usize) -> Vec<(String, f64)> {
        let (program, hand) = (&self.programs[1], self.hand_at(tick));
        let place = |name: &String| Some((name.clone(), hand.lever(program.lever(name).ok()?)));
        program.levers().iter().filter_map(place).collect()
    }

    /// The switches that the mix asks for and where they stand while a tick is flown; `None`: at a position that no
    /// blend asks for.
    #[must_use]
    pub fn switches(&self, tick: usize) -> Vec<(SwitchNames, Option<String>)> {
        let (program, hand) = (&self.programs[1], self.hand_at(tick));
        let stands = |switch: &SwitchNames, is: &str| {
            program.switch(&switch.name, is).is_ok_and(|position| hand.switch_is(position))
        };
        let place = |switch: &SwitchNames| {
            (switch.clone(), switch.positions.iter().find(|is| stands(switch, is)).cloned())
        };
        program.switches().iter().map(place).collect()
    }

    fn take(&mut self, grip: Grip) {
        for (stick, at) in Stick::ALL.into_iter().zip(grip.sticks()) {
            // a grip is within the travel
            let _ = self.hand.set_stick(stick, at);
        }
        if self.grips.last().is_none_or(|last| last.blends != grip.blends) {
            self.models[1].rig.program.clone_from(&self.programs[usize::from(grip.blends)]);
        }
    }

    /// What was flown so far, without and with the blends: one sample per tick, and this moment.
    #[must_use]
    pub const fn flown(&self) -> &[Vec<Sample>; 2] {
        &self.flown
    }

    /// What the hand did, tick by tick.
    #[must_use]
    pub fn grips(&self) -> &[Grip] {
        &self.grips
    }

    /// The blends that the pilot switches.
    #[must_use]
    pub fn blends(&self) -> &[String] {
        &self.blends
    }

    /// Why the flight is over, if it is: that of the solid model.
    #[must_use]
    pub const fn end(&self) -> Option<&End> {
        self.models[1].end.as_ref()
    }

    /// Why the ghost flies no more, and since when \[s\].
    #[must_use]
    pub fn ghost_end(&self) -> Option<(&End, f64)> {
        let ghost = &self.models[0];
        ghost.end.as_ref().map(|end| (end, ghost.memory.time()))
    }

    /// Since it began \[s\].
    #[must_use]
    pub fn time(&self) -> f64 {
        self.models[1].memory.time()
    }

    /// What the controls of the solid model stand at in trimmed flight.
    #[must_use]
    pub const fn level(&self) -> TrimSetting {
        self.models[1].rig.level
    }

    /// Where the sticks are, in the order of [`Stick::ALL`]; before the first tick those of the entry.
    #[must_use]
    pub fn sticks(&self) -> [f64; 4] {
        Stick::ALL.map(|stick| self.hand.stick(stick))
    }
}

fn set(program: &Program, hand: &mut Hand, what: &Turned) -> Result<(), HandError> {
    match what {
        Turned::Lever { name, at } => hand.set_lever(program.lever(name)?, at.position()),
        Turned::Switch { name, is } => {
            hand.set_switch(program.switch(name, is)?);
            Ok(())
        }
    }
}

impl Model {
    fn enter(rig: Rig, scenario: &Scenario, side: Side) -> Result<(Self, Hand), CompareError> {
        let mut bench = Bench::new(&rig.aircraft);
        let (memory, hand) = enter(&rig, scenario, side, &mut bench)?;
        Ok((Self { rig, memory, bench, end: None }, hand))
    }

    /// Flies a tick; this moment is the last of `flown` before and after.
    fn fly(&mut self, hand: &Hand, flown: &mut Vec<Sample>) {
        if self.end.is_some() {
            return;
        }
        match tick(&self.rig, &mut self.memory, hand, &mut self.bench) {
            Ok(sample) => {
                flown.pop();
                flown.push(sample);
                flown.push(self.now(hand));
            }
            Err(halt) => self.end = Some(End::Halt(halt)),
        }
        if self.memory.state.body.position.z >= 0.0 {
            self.end = Some(End::Ground);
        } else if self.end.is_none() && self.memory.time() >= LONGEST - 0.5 * TICK {
            self.end = Some(End::Long);
        }
    }

    /// This moment, with the sticks as they are.
    fn now(&self, hand: &Hand) -> Sample {
        let mut deflections = [0.0; airframe::MAX_SURFACES];
        for (d, servo) in deflections.iter_mut().zip(&self.memory.servos) {
            *d = servo.position();
        }
        let sticks = Stick::ALL.map(|stick| hand.stick(stick));
        let commands = self.rig.trimmed(&mix::steady(&self.rig.program, hand));
        Sample { time: self.memory.time(), state: self.memory.state, sticks, commands, deflections }
    }
}
