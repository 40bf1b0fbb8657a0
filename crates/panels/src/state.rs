//! Everything the panels read and write.

use crate::clock::Clock;
use crate::device::Devices;
use crate::flying::Flying;
use crate::history::History;
use crate::look::Look;
use crate::moment::Taker;
use crate::new_blend::Draft;
use crate::reason::Reason;
use crate::refly::Outcome;
use crate::seek::{Glide, Seek};
use crate::setup::Setup;
use crate::show::Show;
use crate::tour::Tour;
use crate::view::View;
use std::sync::Arc;

/// The state of the window.
#[derive(Debug, Clone)]
pub struct State {
    /// What is flown; panels edit it.
    pub setup: Setup,
    /// As it was opened or last saved.
    pub stored: Setup,
    /// Earlier and later setups.
    pub history: History,
    /// Time in the flight.
    pub clock: Clock,
    /// The newest flights; older than `setup` while they are being flown.
    pub show: Option<Arc<Show>>,
    /// Why the newest setup could not be flown, in words.
    pub trouble: Option<String>,
    /// Why no flight by hand begins or is seen again, in words, until something else is done.
    pub refused: Option<String>,
    /// The setup has changed and nobody has been asked to fly it.
    pub wants_flight: bool,
    /// From where the field is seen.
    pub view: View,
    /// Ground and text size.
    pub look: Look,
    /// What can be opened.
    pub club: Club,
    /// Which panels are open.
    pub open: Open,
    /// What the panels ask of their host, in order; the host empties it.
    pub asks: Vec<Ask>,
    /// The answer to the last ask, in words.
    pub said: Option<String>,
    /// The search for a blend's percentage, going on or answered.
    pub seek: Option<Seek>,
    /// The blend that is being chosen.
    pub draft: Option<Draft>,
    /// Percentages on their way to what was found.
    pub glide: Option<Glide>,
    /// The tour, while it goes on.
    pub tour: Option<Tour>,
    /// The question why a blend is needed.
    pub reason: Option<Reason>,
    /// The flight by hand that is flown or seen again.
    pub flying: Option<Flying>,
    /// Gamepads and transmitters.
    pub devices: Devices,
    /// The file of the recording that would be seen again, as it is typed.
    pub replayed: String,
    /// Takes moments of the flights on show apart, once that was asked for.
    pub(crate) taker: Option<Taker>,
}

/// Names that can be opened.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Club {
    /// Airframes.
    pub airframes: Vec<String>,
    /// Manoeuvres.
    pub manoeuvres: Vec<String>,
    /// The name that the airframe on show was opened by.
    pub airframe: String,
    /// The name that the manoeuvre on show was opened by.
    pub manoeuvre: String,
}

/// Which panels are open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(clippy::struct_excessive_bools, reason = "each panel is open or not, by itself")]
pub struct Open {
    /// What is flown.
    pub flown: bool,
    /// The blends at work.
    pub blends: bool,
    /// The strip charts.
    pub strips: bool,
    /// Keys and mouse.
    pub help: bool,
    /// The hint of the first run.
    pub hint: bool,
}

impl Default for Open {
    fn default() -> Self {
        Self { flown: true, blends: true, strips: true, help: false, hint: false }
    }
}

/// Something only the host can do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Ask {
    /// Open another airframe, with its mix.
    Airframe(String),
    /// Open another manoeuvre.
    Manoeuvre(String),
    /// Write what was changed.
    Save,
    /// Open a station of the tour.
    Visit {
        /// The manoeuvre, by its demo name.
        manoeuvre: String,
        /// The airframe, by its demo name.
        airframe: String,
    },
    /// Begin a flight by hand from the entry of the manoeuvre on show.
    Fly,
    /// Write the flight by hand as a recording.
    SaveFlight,
    /// Show a recording.
    Replay(String),
    /// Keep how devices are read.
    KeepDevices,
    /// The whole screen, or what it was before.
    FillScreen(bool),
    /// Full screen and back.
    FullScreen,
    /// A picture of the window.
    Picture,
    /// Close the window.
    Quit,
}

impl State {
    /// Shows a setup for the first time.
    #[must_use]
    pub fn new(setup: Setup, club: Club) -> Self {
        Self {
            stored: setup.clone(),
            setup,
            history: History::default(),
            clock: Clock::default(),
            show: None,
            trouble: None,
            refused: None,
            wants_flight: true,
            view: View::default(),
            look: Look::default(),
            club,
            open: Open::default(),
            asks: Vec::new(),
            said: None,
            seek: None,
            draft: None,
            glide: None,
            tour: None,
            reason: None,
            flying: None,
            devices: Devices::default(),
            replayed: String::new(),
            taker: None,
        }
    }

    /// Opens something else; undo goes back to what was there.
    pub fn open(&mut self, setup: Setup, club: Club) {
        let before = core::mem::replace(&mut self.setup, setup);
        self.history.note(&before, &self.setup, false);
        self.stored = self.setup.clone();
        (self.club, self.wants_flight, self.said, self.refused) = (club, true, None, None);
    }

    /// Takes what came of a flight. What could not be flown leaves the last flights on show.
    pub fn receive(&mut self, outcome: Outcome) {
        if self.flying.is_some() {
            return;
        }
        match outcome {
            Ok(show) => {
                self.clock.fit(show.length());
                (self.show, self.trouble) = (Some(show), None);
            }
            Err(words) => self.trouble = Some(words),
        }
    }

    /// Lets `seconds` of real time pass for everything that runs by itself.
    pub fn advance(&mut self, seconds: f64) {
        self.clock.advance(seconds);
        self.advance_tour(seconds);
        self.advance_flying(seconds);
        if let Some(seek) = &mut self.seek {
            seek.poll();
        }
        if let Some(reason) = &mut self.reason {
            reason.poll(&self.setup);
        }
        if let Some(mut glide) = self.glide.take() {
            let before = self.setup.clone();
            let going = glide.advance(&mut self.setup, seconds);
            self.settle(&before, going);
            self.glide = going.then_some(glide);
        }
    }

    /// Whether something moves without the pilot's doing, so that every picture counts: time runs, a glide or the tour goes on.
    #[must_use]
    pub const fn moving(&self) -> bool {
        self.clock.playing
            || self.flying.is_some()
            || self.glide.is_some()
            || self.tour.is_some()
            || self.wants_flight
    }

    /// Whether the answer to a search is awaited.
    #[must_use]
    pub fn searching(&self) -> bool {
        self.seek.as_ref().is_some_and(|seek| seek.answer.is_none())
    }

    /// Whether any answer is awaited from another thread.
    #[must_use]
    pub fn awaiting(&self) -> bool {
        self.searching() || self.reason.as_ref().is_some_and(Reason::asking)
    }

    /// Whether there is something to save.
    #[must_use]
    pub fn changed(&self) -> bool {
        self.setup.airframe != self.stored.airframe
            || self.setup.mix != self.stored.mix
            || self.setup.scenario != self.stored.scenario
    }

    /// Notes what a frame has changed: for undo, and to have it flown.
    pub(crate) fn settle(&mut self, before: &Setup, held: bool) {
        self.history.note(before, &self.setup, held);
        if *before != self.setup {
            (self.wants_flight, self.refused) = (true, None);
        }
    }

    /// One step back.
    pub fn undo(&mut self) {
        self.history.undo(&mut self.setup);
        self.wants_flight = true;
    }

    /// One step forward again.
    pub fn redo(&mut self) {
        self.history.redo(&mut self.setup);
        self.wants_flight = true;
    }
}

impl State {
    /// Opens every panel, the answer why with them: the most there is to draw.
    pub fn open_all(&mut self) {
        self.open = Open { flown: true, blends: true, strips: true, ..self.open };
        if self.reason.is_none() {
            crate::why::toggle(self, None);
        }
    }

    /// Closes what lies over the field.
    pub(crate) fn close(&mut self) {
        (self.open.help, self.open.hint, self.refused) = (false, false, None);
    }

    /// Paper or slate.
    pub(crate) fn turn_ground(&mut self) {
        use report::palette::Ground;
        self.look.ground = if self.look.ground == Ground::Light { Ground::Dark } else { Ground::Light };
    }

    /// Larger or smaller text.
    pub(crate) fn resize_text(&mut self, by: f32) {
        let (least, most) = crate::look::TEXT_SIZES;
        self.look.text_size =
            ((self.look.text_size + by) * 10.0).round().clamp(least * 10.0, most * 10.0) / 10.0;
    }
}
