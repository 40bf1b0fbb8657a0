//! The tour: every manoeuvre of the demo club, each on an airframe that shows it well, one after the other and
//! unattended. What was on show before comes back when it is left.

use crate::clock::Clock;
use crate::history::History;
use crate::look::Look;
use crate::setup::Setup;
use crate::show::Show;
use crate::state::{Ask, Club, Open, State};
use crate::verdict::verdict;
use crate::view::{Eye, View};
use crate::words::{percent, senses};
use egui::{Frame, Key, Margin, Panel, Rect, RichText, Ui};
use manoeuvre::{Compared, Scenario};
use measure::Side;
use mix::{Blend, Condition, Lead, Shape};
use std::sync::Arc;

/// One station of the tour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stop {
    /// The manoeuvre, by its demo name.
    pub manoeuvre: &'static str,
    /// The airframe, by its demo name.
    pub airframe: &'static str,
    /// From where it is seen best.
    pub eye: Eye,
    /// Which control disturbs what.
    pub disturbs: &'static str,
}

const fn stop(manoeuvre: &'static str, airframe: &'static str, eye: Eye, disturbs: &'static str) -> Stop {
    Stop { manoeuvre, airframe, eye, disturbs }
}

/// All stations, in order.
pub const STOPS: [Stop; 16] = [
    stop(
        "knife-edge-pass",
        "foxglove",
        Eye::Chase,
        "Rudder holds a model up on its side. It also pitches the nose and rolls the wings.",
    ),
    stop(
        "half-rudder",
        "foxglove",
        Eye::Chase,
        "Half rudder, wings level. Rudder should only turn the nose, but it rolls and pitches.",
    ),
    stop(
        "flat-turn",
        "larkspur",
        Eye::Chase,
        "A turn with the rudder alone. The wings want to roll, and the nose drops.",
    ),
    stop(
        "slow-roll",
        "thistle",
        Eye::Side,
        "In a slow roll elevator and rudder change places, and the rudder's mischief comes twice.",
    ),
    stop(
        "four-point-roll",
        "thistle",
        Eye::Chase,
        "Four stops in a roll: a knife-edge to either side, and what the rudder does in each.",
    ),
    stop(
        "roll-in",
        "clover",
        Eye::Tail,
        "Aileron rolls into a turn, and drags the nose the wrong way first.",
    ),
    stop(
        "full-throttle-run",
        "clover",
        Eye::Side,
        "Full throttle should make it faster. It also raises the nose and rolls the wings.",
    ),
    stop(
        "go-around",
        "clover",
        Eye::Side,
        "Full throttle when slow: the same, when there is little speed to hold it.",
    ),
    stop(
        "up-line",
        "thistle",
        Eye::Side,
        "Straight up at full throttle: as the air gets slow, the propeller has its way.",
    ),
    stop(
        "down-line",
        "foxglove",
        Eye::Side,
        "Straight down at idle. The elevator trim of level flight pulls it off the line.",
    ),
    stop(
        "flap-drop",
        "foxglove",
        Eye::Side,
        "Flaps should slow it down. They also lift it and turn the nose.",
    ),
    stop(
        "hover",
        "larkspur",
        Eye::Pilot,
        "Hanging on the propeller: its torque turns the model the other way.",
    ),
    stop(
        "push-tumble",
        "larkspur",
        Eye::Side,
        "A full push. Ailerons that move with the elevator change how tight it turns over.",
    ),
    stop(
        "steep-descent",
        "sorrel",
        Eye::Side,
        "Stick slowly back to the stop, idle: how steep can it come down?",
    ),
    stop(
        "inverted",
        "foxglove",
        Eye::Side,
        "On its back, hands off. What trims it upright now pulls it down.",
    ),
    stop(
        "inverted-45",
        "thistle",
        Eye::Side,
        "On its back, 45 degrees up, hands off: the flyer's test for the centre of mass.",
    ),
];

/// The caption stands alone for so long before the flight begins \[s\].
const READ: f64 = 3.0;
/// Times real time.
const RATE: f64 = 0.6;
/// The end of the flight stands for so long \[s\].
const STAY: f64 = 4.0;
/// A picture that took longer does not hurry the tour \[s\].
const LONGEST: f64 = 0.2;
/// Text is at least so large: twenty people read it.
const TEXT: f32 = 1.4;

/// Where the tour stands.
#[derive(Debug, Clone)]
pub struct Tour {
    /// Index of the station.
    stop: usize,
    /// Since its flight was there to be shown \[s\].
    elapsed: f64,
    before: Box<Before>,
}

/// What was on show before.
#[derive(Debug, Clone)]
struct Before {
    setup: Setup,
    stored: Setup,
    club: Club,
    show: Option<Arc<Show>>,
    history: History,
    clock: Clock,
    view: View,
    look: Look,
    open: Open,
}

/// What is to be seen at a moment of a station.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Cue {
    /// This time of the flight \[s\].
    At(f64),
    /// The next station.
    Next,
}

/// What is to be seen `elapsed` \[s\] after a flight of `length` \[s\] was there.
fn cue(elapsed: f64, length: f64) -> Cue {
    let flown = RATE * (elapsed - READ);
    if flown < length + RATE * STAY { Cue::At(flown.clamp(0.0, length)) } else { Cue::Next }
}

impl Tour {
    /// When a moment of the flight is shown \[s\], since the flight was there.
    #[must_use]
    pub fn shows(time: f64) -> f64 {
        READ + time / RATE
    }

    /// The station.
    #[must_use]
    pub const fn stop(&self) -> &'static Stop {
        &STOPS[self.stop]
    }
}

impl State {
    /// Begins the tour at its first station, on the whole screen.
    pub fn start_tour(&mut self) {
        self.start_tour_at(0);
    }

    /// Begins the tour at a station, by its place in [`STOPS`].
    pub fn start_tour_at(&mut self, stop: usize) {
        if self.tour.is_some() {
            return;
        }
        let before = Before {
            setup: self.setup.clone(),
            stored: self.stored.clone(),
            club: self.club.clone(),
            show: self.show.clone(),
            history: core::mem::take(&mut self.history),
            clock: self.clock,
            view: self.view,
            look: self.look,
            open: self.open,
        };
        (self.seek, self.glide) = (None, None);
        self.look.text_size = self.look.text_size.max(TEXT);
        self.tour = Some(Tour { stop: stop % STOPS.len(), elapsed: 0.0, before: Box::new(before) });
        self.asks.push(Ask::FillScreen(true));
        self.go_on(0);
    }

    /// Ends the tour; everything is as it was.
    pub fn leave_tour(&mut self) {
        let Some(Tour { before, .. }) = self.tour.take() else { return };
        let Before { setup, stored, club, show, history, clock, view, look, open } = *before;
        (self.setup, self.stored, self.club, self.show) = (setup, stored, club, show);
        (self.history, self.clock, self.view, self.look, self.open) = (history, clock, view, look, open);
        (self.trouble, self.wants_flight) = (None, true);
        self.asks.push(Ask::FillScreen(false));
    }

    /// Goes `by` stations on, round and round.
    pub fn go_on(&mut self, by: isize) {
        let Some(tour) = &mut self.tour else { return };
        tour.stop = (tour.stop as isize + by).rem_euclid(STOPS.len() as isize) as usize;
        tour.elapsed = 0.0;
        let stop = tour.stop();
        self.asks
            .push(Ask::Visit { manoeuvre: stop.manoeuvre.to_owned(), airframe: stop.airframe.to_owned() });
        self.view.look_from(stop.eye);
        self.clock.playing = false;
        self.clock.scrub(0.0);
    }

    /// Shows another setup without taking leave of what was edited.
    pub fn visit(&mut self, setup: Setup, club: Club) {
        (self.setup, self.club, self.wants_flight, self.trouble) = (setup, club, true, None);
    }

    /// Shows the station as it is `elapsed` \[s\] after its flight was there; whether it lasts so long.
    pub fn show_station(&mut self, elapsed: f64) -> bool {
        let Some(tour) = &mut self.tour else { return false };
        let Cue::At(time) = cue(elapsed, self.clock.length) else { return false };
        tour.elapsed = elapsed;
        self.clock.scrub(time);
        true
    }

    /// Lets `seconds` of real time pass for the tour.
    pub(crate) fn advance_tour(&mut self, seconds: f64) {
        let Some(tour) = &mut self.tour else { return };
        let there = self.show.as_ref().is_some_and(|show| show.setup == self.setup)
            && self.club.manoeuvre == tour.stop().manoeuvre
            && self.club.airframe == tour.stop().airframe;
        if !there && self.trouble.is_none() {
            return;
        }
        tour.elapsed += seconds.min(LONGEST);
        match cue(tour.elapsed, self.clock.length) {
            Cue::At(time) => self.clock.scrub(time),
            Cue::Next => self.go_on(1),
        }
    }
}

/// Which blends are for it, in words.
fn cure(show: &Show) -> String {
    let blends = show.run.as_ref().map_or(&[][..], |run| &run.blends);
    let compared = |blend: &&Blend| blends.contains(&blend.name) && acts(&show.setup.scenario, blend);
    let told: Vec<String> =
        show.setup.mix.blends.iter().filter(compared).map(|b| told(b, show.setup.side)).collect();
    match told.len() {
        0 => "No blend of this model is for it: that is the hand's work.".to_owned(),
        1 => format!("The blend meant for it: {}.", told[0]),
        _ => format!("The blends meant for it: {}.", told.join("; ")),
    }
}

/// Whether a compared blend has anything to do: no lever that nobody moves, no switch that nobody turns. Those that
/// a manoeuvre names have their switches turned for them.
fn acts(scenario: &Scenario, blend: &Blend) -> bool {
    let moved = |lever: &str| {
        let legs = scenario.legs.iter().flat_map(|leg| &leg.levers).map(|(name, _)| name);
        legs.chain(scenario.start.levers.iter().map(|(name, _)| name)).any(|name| name == lever)
    };
    let named = matches!(&scenario.compared, Compared::These(names) if names.contains(&blend.name));
    let waits = |condition: &Condition| matches!(condition, Condition::Switch { .. });
    let waiting = match &blend.engaged {
        Condition::All(all) => all.iter().any(waits),
        one => waits(one),
    };
    (named || !waiting) && !matches!(&blend.from, Lead::Lever(lever) if !moved(lever))
}

/// `"knife-edge pitch (rudder moves elevator, 7.5 % up)"`.
fn told(blend: &Blend, side: Side) -> String {
    let amount = match &blend.shape {
        Shape::TwoSided { left, right } => {
            let share = if side == Side::Left { left } else { right };
            format!(", {}", percent(*share, senses(blend.to)))
        }
        Shape::Curve(_) => String::new(),
    };
    format!("{} ({} moves {}{amount})", blend.name, blend.from.word(), blend.to.word())
}

/// Draws the station and acts on the keys of a tour; returns what is left for the field.
pub(crate) fn tour(ui: &mut Ui, state: &mut State) -> Rect {
    let pressed = |key| ui.input(|input| input.key_pressed(key));
    if pressed(Key::Escape) {
        state.leave_tour();
    } else if pressed(Key::ArrowRight) || pressed(Key::Space) {
        state.go_on(1);
    } else if pressed(Key::ArrowLeft) {
        state.go_on(-1);
    }
    let frame = Frame::new().fill(state.look.paper()).inner_margin(Margin::symmetric(16, 8));
    if let Some(tour) = &state.tour {
        Panel::top("tour").resizable(false).frame(frame).show(ui, |ui| caption(ui, state, tour));
    }
    Panel::bottom("tour verdict").resizable(false).frame(frame).show(ui, |ui| {
        verdict(ui, state);
        let words = "Solid: with the blends. Ghost: without. Esc leaves the tour, arrows go on and back.";
        ui.label(RichText::new(words).small().color(state.look.quiet()));
    });
    ui.available_rect_before_wrap()
}

fn caption(ui: &mut Ui, state: &State, tour: &Tour) {
    let (scenario, airframe) = (&state.setup.scenario, &state.setup.airframe);
    let title = format!("{}, {}", scenario.name, airframe.name);
    ui.horizontal(|ui| {
        ui.heading(title);
        let count = format!("{} of {}", tour.stop + 1, STOPS.len());
        ui.label(RichText::new(count).small().color(state.look.quiet()));
    });
    ui.label(tour.stop().disturbs);
    if let Some(show) = state.show.as_ref().filter(|show| show.setup == state.setup) {
        ui.label(cure(show));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::show::fly;
    use crate::testing::{configured, demo};
    use files::{Kind, demo_names};

    /// What the host does: opens what is asked for, and has it flown.
    fn serve(state: &mut State) -> Vec<Ask> {
        let asks = core::mem::take(&mut state.asks);
        for ask in &asks {
            if let Ask::Visit { manoeuvre, airframe } = ask {
                let club =
                    Club { manoeuvre: manoeuvre.clone(), airframe: airframe.clone(), ..Club::default() };
                state.visit(configured(manoeuvre, airframe), club);
                state.receive(fly(&state.setup).map(Arc::new));
            }
        }
        asks
    }

    #[test]
    fn every_manoeuvre_of_the_club_is_a_station_once_and_can_be_flown() {
        let mut visited: Vec<&str> = STOPS.iter().map(|stop| stop.manoeuvre).collect();
        visited.sort_unstable();
        let mut known: Vec<&str> = demo_names(Kind::Scenario).collect();
        known.sort_unstable();
        assert_eq!(visited, known);
        for stop in STOPS {
            let show = fly(&configured(stop.manoeuvre, stop.airframe)).unwrap();
            let blended = !show.run.as_ref().unwrap().blends.is_empty();
            assert_eq!(cure(&show).starts_with("The blend"), blended, "{}: {}", stop.manoeuvre, cure(&show));
            if stop.manoeuvre == "knife-edge-pass" {
                assert_eq!(
                    cure(&show),
                    "The blends meant for it: knife-edge pitch (rudder moves elevator, 13 % up); \
                     knife-edge roll (rudder moves aileron, 18 % left)."
                );
            }
        }
    }

    #[test]
    fn goes_round_unattended_and_leaves_everything_as_it_was() {
        let mut state = State::new(demo("foxglove"), Club { airframe: "mine".into(), ..Club::default() });
        state.receive(fly(&state.setup).map(Arc::new));
        state.clock.scrub(3.0);
        state.view.magnify(2.0);
        let before = state.clone();
        state.start_tour();
        assert!(serve(&mut state).contains(&Ask::FillScreen(true)));
        let (mut seen, mut latest) = (Vec::new(), 0.0_f64);
        for _ in 0..40_000 {
            let name = state.tour.as_ref().unwrap().stop().manoeuvre;
            if seen.last() != Some(&name) {
                assert_eq!(state.clock.time, 0.0);
                seen.push(name);
            }
            latest = latest.max(state.clock.time / state.clock.length);
            state.advance(0.1);
            serve(&mut state);
            if seen.len() > STOPS.len() {
                break;
            }
        }
        assert_eq!(seen.len(), STOPS.len() + 1, "{seen:?}");
        assert_eq!(seen[0], seen[STOPS.len()], "it begins again");
        assert_eq!(latest, 1.0, "flights are shown to their ends");
        state.leave_tour();
        assert_eq!(serve(&mut state), [Ask::FillScreen(false)]);
        assert_eq!((&state.setup, &state.club), (&before.setup, &before.club));
        assert_eq!((state.clock, state.view, state.look), (before.clock, before.view, before.look));
        assert!(state.wants_flight && state.tour.is_none());
    }

    #[test]
    fn a_flight_is_read_flown_and_looked_at() {
        assert_eq!(cue(0.0, 6.0), Cue::At(0.0));
        assert_eq!(cue(READ + 5.0, 6.0), Cue::At(5.0 * RATE));
        assert_eq!(cue(READ + 6.0 / RATE + 0.5 * STAY, 6.0), Cue::At(6.0));
        assert_eq!(cue(READ + 6.0 / RATE + 1.01 * STAY, 6.0), Cue::Next);
        assert_eq!(cue(Tour::shows(3.0), 6.0), Cue::At(3.0));
        let mut state = State::new(demo("foxglove"), Club::default());
        assert!(!state.show_station(1.0), "without a tour there is no station");
        state.start_tour_at(3);
        assert_eq!(state.tour.as_ref().unwrap().stop().manoeuvre, STOPS[3].manoeuvre);
        serve(&mut state);
        assert!(state.show_station(Tour::shows(2.0)) && (state.clock.time - 2.0).abs() < 1e-9);
        assert!(!state.show_station(Tour::shows(state.clock.length) + 1.01 * STAY));
        assert!((state.clock.time - 2.0).abs() < 1e-9, "what is shown stays");
    }
}
