//! Flying by hand: real time made into ticks, the sticks of keys or a device into grips, and what to say about it.

use crate::hand_levers::{self, LeverKeys, Switch};
use crate::key_sticks::KeySticks;
use crate::levers::moves;
use crate::setup::Setup;
use crate::show::Show;
use crate::state::State;
use aero::Coefficients;
use airframe::Geometry;
use manoeuvre::{Grip, TICK, Turn, Turned};
use mix::{DOOR_LEVER, FLAP_LEVER};
use report::signed::decimal;
use std::sync::Arc;
use study::{ByHand, Contestant, End, LONGEST};

/// Most ticks between two pictures: a computer that shows fewer than this takes the time from the flight, it never
/// jumps.
const MOST_TICKS: usize = 15;
/// Real time lost up to here is not worth a word \[s\].
const UNNOTICED: f64 = 0.2;

/// A flight by hand.
#[derive(Debug, Clone)]
pub struct Flying {
    /// What is flown; nothing of it changes in flight.
    setup: Setup,
    geometry: Geometry,
    flight: ByHand,
    keys: KeySticks,
    levers: LeverKeys,
    /// Whether the pilot has the blends in.
    pub blends: bool,
    phase: Phase,
    /// Real time that has passed and is not flown yet, less than a tick \[s\].
    due: f64,
    /// Real time that was not flown because the computer did not keep up \[s\].
    lost: f64,
    /// The recording that is seen again, and what has changed since, in words.
    replay: Option<Replay>,
}

#[derive(Debug, Clone)]
struct Replay {
    name: String,
    remark: String,
}

/// How far a flight by hand is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Phase {
    /// At the entry, or paused.
    Waiting,
    /// In the air.
    Aloft,
    /// Over, to be looked at.
    Over,
}

impl Flying {
    /// At the entry of a setup's manoeuvre.
    ///
    /// # Errors
    /// In words for the pilot: what does not fit, and what to try.
    pub fn start(setup: &Setup) -> Result<Self, String> {
        let geometry = Geometry::of(&setup.airframe).map_err(|fault| fault.to_string())?;
        let contestant = Contestant { geometry: geometry.clone(), mix: setup.mix.clone() };
        let flight = ByHand::enter(&contestant, &setup.scenario, setup.side, &Coefficients::default())
            .map_err(|fault| fault.to_string())?;
        let keys = KeySticks::new(flight.sticks());
        let (phase, due, lost) = (Phase::Waiting, 0.0, 0.0);
        Ok(Self {
            setup: setup.clone(),
            geometry,
            flight,
            keys,
            levers: LeverKeys::default(),
            blends: true,
            phase,
            due,
            lost,
            replay: None,
        })
    }

    /// A flight as its recording has it, from its beginning to its end.
    ///
    /// # Errors
    /// As [`Self::start`].
    pub fn replay(
        setup: &Setup,
        grips: &[Grip],
        turns: &[Turn],
        name: &str,
        remark: &str,
    ) -> Result<Self, String> {
        let mut flying = Self::start(setup)?;
        let mut turns = turns.iter().peekable();
        for (tick, grip) in grips.iter().enumerate() {
            while let Some(turn) = turns.next_if(|turn| turn.tick <= tick) {
                flying.flight.turn(turn.what.clone()).map_err(|fault| fault.to_string())?;
            }
            flying.flight.fly(*grip);
        }
        flying.phase = Phase::Over;
        flying.replay = Some(Replay { name: name.to_owned(), remark: remark.to_owned() });
        Ok(flying)
    }

    /// Lets `seconds` of real time pass in the air; the sticks stand where the device has them, or else the keys.
    fn advance(&mut self, seconds: f64, device: Option<[f64; 4]>) {
        self.due += seconds;
        let mut ticks = 0;
        // a sum of pictures may end a hair short of a tick
        while self.due > TICK - 1e-9 && ticks < MOST_TICKS && self.flight.end().is_none() {
            self.keys.advance(TICK);
            self.move_levers();
            self.flight.fly(Grip::new(device.unwrap_or(self.keys.at), self.blends));
            (self.due, ticks) = (self.due - TICK, ticks + 1);
        }
        if self.flight.end().is_some() {
            self.phase = Phase::Over;
        } else if self.due > TICK {
            self.lost += self.due;
            self.due = 0.0;
        }
    }

    /// Moves the levers whose keys are held, for one tick.
    fn move_levers(&mut self) {
        let pushed = self.levers.pushed;
        if pushed.iter().all(|way| *way == 0) {
            return;
        }
        for ((name, at), way) in self.levers(self.grips().len()).into_iter().zip(pushed) {
            if way != 0 {
                self.turn(Turned::lever(&name, at + f64::from(way) * hand_levers::PACE * TICK));
            }
        }
    }

    /// Moves a lever or a switch.
    fn turn(&mut self, what: Turned) {
        // only those that the mix reads are offered
        let _ = self.flight.turn(what);
    }

    /// The levers that move something and where they stand while a tick is flown: flaps, doors, then the others.
    pub(crate) fn levers(&self, tick: usize) -> Vec<(String, f64)> {
        let mut levers = self.flight.levers(tick);
        levers.retain(|(name, _)| moves(&self.setup, name));
        levers.sort_by_key(|(name, _)| match name.as_str() {
            FLAP_LEVER => 0,
            DOOR_LEVER => 1,
            _ => 2,
        });
        levers
    }

    /// The switches, each with its positions and the one that it stands at while a tick is flown.
    pub(crate) fn switches(&self, tick: usize) -> Vec<Switch> {
        self.flight.switches(tick).into_iter().map(|(names, is)| Switch::new(names, is)).collect()
    }

    /// Levers and switches that were moved, in order.
    #[must_use]
    pub fn turns(&self) -> &[Turn] {
        self.flight.turns()
    }

    pub(crate) const fn lever_keys(&mut self) -> &mut LeverKeys {
        &mut self.levers
    }

    /// What the hand did, tick by tick.
    #[must_use]
    pub fn grips(&self) -> &[Grip] {
        self.flight.grips()
    }

    /// How far it is.
    #[must_use]
    pub const fn phase(&self) -> Phase {
        self.phase
    }

    /// Whether a recording is seen again.
    #[must_use]
    pub const fn replayed(&self) -> bool {
        self.replay.is_some()
    }

    /// What is flown.
    #[must_use]
    pub const fn setup(&self) -> &Setup {
        &self.setup
    }

    /// The blends that the pilot switches.
    pub(crate) fn switched(&self) -> &[String] {
        self.flight.blends()
    }

    pub(crate) const fn keys(&mut self) -> &mut KeySticks {
        &mut self.keys
    }

    /// What happens, in a sentence or two.
    #[must_use]
    pub fn sentence(&self) -> String {
        let time = decimal(self.flight.time(), 1);
        let now = match (self.phase, &self.replay) {
            (Phase::Waiting, _) if self.grips().is_empty() => {
                format!("At the entry of \"{}\": Space begins, F1 shows the keys.", self.setup.scenario.name)
            }
            (Phase::Waiting, _) => format!("Paused at {time} s: Space goes on."),
            (Phase::Aloft, _) => {
                format!("Flying by hand: {time} s, blends {}.", if self.blends { "in" } else { "out" })
            }
            (Phase::Over, Some(Replay { name, remark })) => {
                format!("Seen again: {name}. {}{remark}", self.ended(&time))
            }
            (Phase::Over, None) => self.ended(&time),
        };
        format!("{now}{}{}", self.ghost(), self.slow())
    }

    fn ended(&self, time: &str) -> String {
        match self.flight.end() {
            Some(End::Ground) => format!("The field: {time} s."),
            Some(End::Long) => format!("{} s: no flight is longer.", decimal(LONGEST, 0)),
            Some(End::Halt(halt)) => format!("At {time} s: {halt}."),
            None => format!("Its end: {time} s."),
        }
    }

    fn ghost(&self) -> String {
        match self.flight.ghost_end() {
            Some((End::Ground, time)) if self.flight.end().is_none() || time < self.flight.time() - TICK => {
                format!(" Without the blends it met the field at {} s.", decimal(time, 1))
            }
            _ => String::new(),
        }
    }

    fn slow(&self) -> String {
        if self.lost < UNNOTICED {
            return String::new();
        }
        let lost = decimal(self.lost, 1);
        format!(
            " This computer does not keep up: time ran slower, {lost} s so far; a smaller window or --low helps."
        )
    }
}

impl State {
    /// Goes to the entry of a manoeuvre to fly it by hand, or shows a recording.
    pub fn take_off(&mut self, flying: Result<Flying, String>) {
        match flying {
            Ok(flying) => {
                let show = Show::by_hand(&flying.setup, &flying.geometry, &flying.flight);
                self.clock.playing = flying.replayed();
                self.clock.length = show.length();
                self.clock.scrub(0.0);
                (self.show, self.trouble, self.said) = (Some(Arc::new(show)), None, None);
                self.refused = None;
                (self.seek, self.glide, self.reason, self.tour) = (None, None, None, None);
                self.flying = Some(flying);
            }
            Err(words) => self.refused = Some(words),
        }
    }

    /// Back to the manoeuvre.
    pub(crate) fn land(&mut self) {
        (self.flying, self.refused) = (None, None);
        self.devices.learn = None;
        // the flight by hand stays on show until the manoeuvre has been flown again
        self.wants_flight = true;
    }

    /// To the entry again, in the air at once if it was flown before.
    pub(crate) fn fly_again(&mut self) {
        let Some(flying) = &self.flying else { return };
        let flown = !flying.grips().is_empty() && !flying.replayed();
        self.take_off(Flying::start(&flying.setup));
        if flown {
            self.fly_or_play();
        }
    }

    /// Begins, pauses or goes on; a flight that is over is played.
    pub fn fly_or_play(&mut self) {
        let Some(flying) = &mut self.flying else { return };
        match flying.phase {
            Phase::Waiting => {
                (flying.phase, self.clock.playing, self.devices.learn) = (Phase::Aloft, false, None);
            }
            Phase::Aloft => flying.phase = Phase::Waiting,
            Phase::Over => self.clock.toggle(),
        }
    }

    /// Pauses a flight in the air.
    pub fn pause_flying(&mut self) {
        if let Some(flying) = self.flying.as_mut().filter(|flying| flying.phase == Phase::Aloft) {
            flying.phase = Phase::Waiting;
        }
    }

    /// Puts the blends in or out.
    pub fn switch_blends(&mut self) {
        if let Some(flying) = self.flying.as_mut().filter(|flying| flying.phase != Phase::Over) {
            flying.blends = !flying.blends;
        }
    }

    /// Moves a lever or a switch of a flight that is not over.
    pub fn turn(&mut self, what: Turned) {
        if let Some(flying) = self.flying.as_mut().filter(|flying| flying.phase != Phase::Over) {
            flying.turn(what);
        }
    }

    /// Turns a switch on to its next position, by its place.
    pub(crate) fn turn_switch(&mut self, place: usize) {
        let Some(flying) = &self.flying else { return };
        if let Some(switch) = flying.switches(flying.grips().len()).get(place) {
            let to = Turned::switch(&switch.name, switch.next());
            self.turn(to);
        }
    }

    /// Lets `seconds` of real time pass in the air; the clock stands at this moment.
    pub(crate) fn advance_flying(&mut self, seconds: f64) {
        let device = self.devices.sticks();
        let (Some(flying), Some(show)) = (&mut self.flying, &mut self.show) else { return };
        if flying.phase != Phase::Aloft {
            return;
        }
        flying.advance(seconds, device);
        Arc::make_mut(show).follow(&flying.flight);
        self.clock.length = show.length();
        self.clock.scrub(show.length());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::state::Club;
    use crate::testing::demo;
    use manoeuvre::Sample;
    use measure::Stick;

    const RUDDER: usize = Stick::Rudder as usize;

    fn start() -> Flying {
        Flying::start(&demo("foxglove")).unwrap()
    }

    fn bits(flying: &Flying) -> Vec<[u64; 7]> {
        let of = |s: &Sample| {
            let (p, q) = (s.state.body.position, s.state.body.attitude.coords);
            [p.x, p.y, p.z, q.x, q.y, q.z, q.w].map(f64::to_bits)
        };
        flying.flight.flown().iter().flatten().map(of).collect()
    }

    /// Two seconds of rudder with some of everything else.
    fn grips(ticks: usize) -> impl Iterator<Item = Grip> {
        (0..ticks).map(|k| {
            let wave = libm::sin(0.1 * k as f64);
            Grip::new([0.2 * wave, 0.1 - 0.1 * wave, 0.8, 0.5 + 0.2 * wave], k % 90 < 60)
        })
    }

    #[test]
    fn hands_off_the_entry_is_held() {
        let mut flying = start();
        let held = Grip::new(flying.flight.sticks(), true);
        (0..100).for_each(|_| flying.flight.fly(held));
        for track in flying.flight.flown() {
            let (first, last) = (track[0].state.body, track[100].state.body);
            assert!((last.position.z - first.position.z).abs() < 0.3, "{first:?} {last:?}");
            assert!(last.position.y.abs() < 0.3 && (last.velocity - first.velocity).norm() < 0.3);
        }
    }

    #[test]
    fn by_hand_it_is_the_model_that_the_script_flies() {
        let setup = demo("foxglove");
        let scripted = crate::show::fly(&setup).unwrap();
        let mut flying = start();
        let samples = scripted.tracks[1].samples();
        samples[..300].iter().for_each(|s| flying.flight.fly(Grip::new(s.sticks, true)));
        for k in [50, 150, 300] {
            let apart = samples[k].state.body.position - flying.flight.flown()[1][k].state.body.position;
            // sticks in steps of a ten-thousandth
            assert!(apart.norm() < 0.1, "tick {k}: {apart:?}");
        }
    }

    #[test]
    fn the_blends_act_while_they_are_in() {
        let mut flying = start();
        let pushed = |blends| Grip::new([0.0, 0.0, 0.8, 0.6], blends);
        (0..50).for_each(|_| flying.flight.fly(pushed(false)));
        let [ghost, solid] = flying.flight.flown();
        assert_eq!(ghost, solid, "with the blends out both are one");
        (0..50).for_each(|_| flying.flight.fly(pushed(true)));
        let [ghost, solid] = flying.flight.flown();
        let apart = ghost[90].commands.elevator - solid[90].commands.elevator;
        assert!(apart.abs() > 0.02, "{apart}");
        (0..50).for_each(|_| flying.flight.fly(pushed(false)));
        let [ghost, solid] = flying.flight.flown();
        let commands = [ghost, solid].map(|track| track[140].commands);
        assert_eq!(commands[0], commands[1], "out again");
        assert_ne!(ghost[140].state.body, solid[140].state.body);
    }

    #[test]
    fn a_replay_gives_the_same_bits() {
        let mut flying = start();
        for (k, grip) in grips(200).enumerate() {
            if (20..60).contains(&k) {
                flying.turn(Turned::lever("flap", 0.02 * (k - 20) as f64));
            }
            if k == 90 {
                flying.turn(Turned::switch("roll-in", "on"));
            }
            flying.flight.fly(grip);
        }
        let again =
            Flying::replay(&demo("foxglove"), flying.grips(), flying.turns(), "flight.toml", "").unwrap();
        assert_eq!(bits(&again), bits(&flying));
        assert_eq!(again.phase, Phase::Over);
        assert_eq!(again.sentence(), "Seen again: flight.toml. Its end: 4.0 s.");
    }

    #[test]
    fn levers_go_out_while_their_keys_are_held_and_both_models_follow() {
        let mut flying = start();
        flying.phase = Phase::Aloft;
        assert_eq!(flying.levers(0), [("flap".to_owned(), 0.0)], "a door would move nothing");
        flying.levers.pushed = [1, 0, 0];
        (0..25).for_each(|_| flying.advance(TICK, None));
        flying.levers.pushed = [0; 3];
        (0..25).for_each(|_| flying.advance(TICK, None));
        let at = flying.levers(50)[0].1;
        assert!((at - 25.0 * TICK * hand_levers::PACE).abs() < 1e-9, "{at}");
        assert_eq!(flying.turns().len(), 25);
        assert!(flying.levers(10)[0].1 < 0.5 * at, "and where it stood is known");
        let flap = flying.geometry.surfaces.iter().position(|surface| surface.hinge == "flap").unwrap();
        for track in flying.flight.flown() {
            let angle = |k: usize| track[k].deflections[flap].abs();
            assert!(angle(0) < 1e-9 && angle(12) > 0.0 && angle(12) < 0.7 * angle(26));
            let out = flying.geometry.surfaces[flap].throw_down * at;
            assert!((angle(50) - out).abs() < 0.01 * out, "{} {out}", angle(50));
        }
    }

    #[test]
    fn a_switch_goes_round_its_positions() {
        let mut state = State::new(demo("foxglove"), Club::default());
        state.take_off(Flying::start(&state.setup));
        let stands = |state: &State| state.flying.as_ref().unwrap().switches(0)[2].clone();
        let names = |switch: &Switch| (switch.name.clone(), switch.is.clone());
        assert_eq!(names(&stands(&state)), ("roll-in".to_owned(), "off".to_owned()));
        state.turn_switch(2);
        assert_eq!(stands(&state).is, "on");
        state.turn_switch(2);
        assert_eq!(stands(&state).is, "off");
        state.turn_switch(9);
        state.turn(Turned::lever("nothing", 0.5));
        assert_eq!(
            state.flying.unwrap().turns().len(),
            1,
            "the latest of one tick, and nothing that is not there"
        );
    }

    #[test]
    fn the_ground_ends_the_flight_in_a_plain_word() {
        let mut setup = demo("foxglove");
        setup.scenario.start.height = 30.0;
        let mut flying = Flying::start(&setup).unwrap();
        flying.phase = Phase::Aloft;
        for _ in 0..600 {
            flying.advance(TICK, Some([0.0, -0.8, 0.0, 0.5]));
        }
        let time = flying.flight.time();
        assert!(flying.phase == Phase::Over && (0.5..6.0).contains(&time), "{time}");
        assert_eq!(flying.sentence(), format!("The field: {} s.", decimal(time, 1)));
        let last = flying.flight.flown()[1].last().unwrap().state.body.position;
        assert!((0.0..2.0).contains(&last.z), "{last:?}");
    }

    #[test]
    fn real_time_becomes_whole_ticks_and_what_is_lost_is_told() {
        let mut flying = start();
        flying.phase = Phase::Aloft;
        // sixty pictures a second
        (0..60).for_each(|_| flying.advance(1.0 / 60.0, None));
        assert_eq!(flying.grips().len(), 50);
        assert!(!flying.sentence().contains("slower"));
        // then one that took a second
        flying.advance(1.0, None);
        assert_eq!(flying.grips().len(), 50 + MOST_TICKS, "no jump");
        assert!(flying.sentence().contains("time ran slower, 0.7 s so far"), "{}", flying.sentence());
    }

    #[test]
    fn keys_go_out_and_back_and_the_device_comes_before_them() {
        let mut flying = start();
        flying.phase = Phase::Aloft;
        flying.keys.pushed[RUDDER] = 1;
        flying.advance(0.2, None);
        let at = flying.grips().last().unwrap().sticks()[RUDDER];
        assert!((at - 0.5).abs() < 0.02, "{at}");
        flying.advance(TICK, Some([0.1, 0.2, -0.3, 0.4]));
        assert_eq!(flying.grips().last().unwrap().sticks(), [0.1, 0.2, -0.3, 0.4]);
    }

    #[test]
    fn the_window_follows_the_flight_and_goes_back() {
        let mut state = State::new(demo("foxglove"), Club::default());
        state.take_off(Flying::start(&state.setup));
        state.advance(1.0);
        assert_eq!(state.clock.length, 0.0, "at the entry it waits");
        state.fly_or_play();
        for _ in 0..10 {
            state.advance(0.1);
        }
        assert!((state.clock.time - 1.0).abs() < 1e-9 && (state.clock.length - 1.0).abs() < 1e-9);
        assert_eq!(
            state.show.as_ref().unwrap().tracks[1].samples(),
            &state.flying.as_ref().unwrap().flight.flown()[1]
        );
        state.pause_flying();
        state.advance(1.0);
        assert!((state.clock.length - 1.0).abs() < 1e-9);
        assert!(state.flying.as_ref().unwrap().sentence().starts_with("Paused at 1.0 s"));
        state.fly_again();
        assert_eq!(state.flying.as_ref().unwrap().phase(), Phase::Aloft);
        assert_eq!(state.clock.length, 0.0);
        state.wants_flight = false;
        state.land();
        assert!(state.flying.is_none() && state.wants_flight);
        let mut broken = demo("foxglove");
        broken.airframe.panels.clear();
        state.take_off(Flying::start(&broken));
        assert!(state.flying.is_none() && state.refused.as_ref().unwrap().contains("has no wing"));
        let (before, mut after) = (state.setup.clone(), state.setup.clone());
        after.scenario.start.height += 1.0;
        state.setup = after;
        state.settle(&before, false);
        assert_eq!(state.refused, None, "something else was done");
    }
}
