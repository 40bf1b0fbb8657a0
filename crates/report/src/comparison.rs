//! The page that shows one flight with and without a blend, for one side (left or right rudder), in a
//! fixed order: the path from where it bends, drift against time, the sticks and the surfaces that the
//! blend moved. The sentence on top is the one of the terminal, and also what a screen reader says.

mod path;
mod strips;

use crate::chart::Edge;
use crate::drawing::Drawing;
use crate::palette::Ground;
use crate::png::{self, PngError};
use crate::sheet::Sheet;
use crate::signed::{Signed, decimal};
use crate::silhouette::{BodyToEarth, ModelShape, Vector, View};
use crate::svg;

/// Everything on the page.
#[derive(Debug, Clone, PartialEq)]
pub struct ComparisonPage {
    /// Airframe, manoeuvre and side: "Larkspur, knife-edge, right rudder (left wing down)".
    pub title: String,
    /// The result in one sentence.
    pub sentence: String,
    /// The moment at which the numbers of the sentence hold, in the time of the traces (s): gets a ring on the
    /// lines. `None` if it is the end of the traces, whose values are written beside the lines.
    pub sentence_at_s: Option<f64>,
    /// Small print, a paragraph each: the definition of percent, cautions.
    pub notes: Vec<String>,
    /// From where the path is seen, in words: "The path, seen from above".
    pub path_title: String,
    /// From where the path is seen.
    pub view: PathView,
    /// The same flights as a pilot on the ground sees them; `None` leaves it out.
    pub station: Option<StationView>,
    /// Whether there is but one flight, because no blend was taken out: both traces are the same.
    pub alone: bool,
    /// The model, for its silhouettes.
    pub model: ModelShape,
    /// The flight without the blend.
    pub without: FlightTrace,
    /// The flight with it.
    pub with: FlightTrace,
    /// Start and end of the judged leg, in the time of the traces (s).
    pub judged_leg_s: Option<(f64, f64)>,
    /// The line that the flight is judged against, earth NED (m); empty if there is none.
    pub judged_line_ned_m: Vec<Vector>,
    /// What the time axis shows: "time from the start of the judged leg".
    pub time_words: String,
    /// Drift against time: heading, bank.
    pub drift: Vec<Strip>,
    /// Sticks, and the surfaces that the blend moved.
    pub controls: Vec<Strip>,
}

/// How the path is laid on the page: always to the right, so a down-line from the side has its way down to the
/// right of the page.
#[derive(Debug, Clone, PartialEq)]
pub struct PathView {
    /// Directions on the page.
    pub view: View,
    /// The zero of both axes, earth NED (m).
    pub origin_ned_m: Vector,
    /// What the horizontal axis shows: "distance along the pass".
    pub along_words: String,
    /// What up and down on the page mean; values in metres.
    pub across: Signed,
}

/// Both flights from where a pilot stands: directions, not distances.
#[derive(Debug, Clone, PartialEq)]
pub struct StationView {
    /// Heading of the picture: "As the pilot sees it from the line, 60 m away".
    pub title: String,
    /// The pilot's eyes, earth NED (m).
    pub eye_ned_m: Vector,
    /// Where the pilot faces, from north, clockwise (rad).
    pub facing_rad: f64,
    /// What up and down mean; values in degrees.
    pub height: Signed,
    /// Way of the flight without the blend over the ground, one place for each of its samples, earth NED (m).
    pub without_ned_m: Vec<Vector>,
    /// The same of the flight with it.
    pub with_ned_m: Vec<Vector>,
    /// The judged line over the ground, earth NED (m); empty if there is none.
    pub judged_ned_m: Vec<Vector>,
}

/// One flight, sampled; all lists have the same length. Its last values are written at the ends of its lines, with
/// their time, so end it with the judged leg.
#[derive(Debug, Clone, PartialEq)]
pub struct FlightTrace {
    /// Time (s), rising.
    pub time_s: Vec<f64>,
    /// Centre of mass, earth NED (m).
    pub position_ned_m: Vec<Vector>,
    /// Attitude.
    pub attitude: Vec<BodyToEarth>,
}

impl FlightTrace {
    /// The sample nearest to a moment (s); `None` if none is close.
    fn sample_at(&self, moment: f64) -> Option<usize> {
        let off = |&i: &usize| (self.time_s[i] - moment).abs();
        let nearest = (0..self.time_s.len()).min_by(|a, b| off(a).total_cmp(&off(b)))?;
        (off(&nearest) <= CLOSE_S).then_some(nearest)
    }

    /// When it ends: "after 3 s"; nothing for a flight that ended before time zero.
    fn end_words(&self) -> String {
        self.time_s.last().filter(|&&end| end > 0.0).map_or_else(String::new, |&end| after(end))
    }
}

/// Whole seconds where the difference is no more than a few ticks.
fn after(moment_s: f64) -> String {
    let whole = (moment_s - moment_s.round()).abs() < 0.05;
    format!("after {} s", decimal(moment_s, usize::from(!whole)))
}

/// One quantity of both flights against time.
#[derive(Debug, Clone, PartialEq)]
pub struct Strip {
    /// What it is: "Heading change", "Elevator".
    pub title: String,
    /// Unit and the words for its directions.
    pub quantity: Signed,
    /// Values of the flight without the blend, one for each of its samples, in the printed unit.
    pub without: Vec<f64>,
    /// Values of the flight with the blend, likewise.
    pub with: Vec<f64>,
    /// When a surface stood at its limit.
    pub limits: Vec<LimitSpan>,
}

/// A while during which a surface stood at its limit.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitSpan {
    /// Start (s).
    pub from_s: f64,
    /// End (s).
    pub to_s: f64,
    /// At which end of its travel.
    pub edge: Edge,
    /// What happened, in few words: "elevator stick fully down, with the blend".
    pub words: String,
}

/// Why a page could not be made.
#[derive(Debug, thiserror::Error)]
pub enum PageError {
    /// A trace is too short to draw.
    #[error("the flight {flight} has {found} sample(s), but a line needs at least 2")]
    TooShort {
        /// Which flight.
        flight: &'static str,
        /// Number of samples.
        found: usize,
    },
    /// A list does not match the times of its flight.
    #[error("{what} has {found} values, but the flight has {expected} samples")]
    Length {
        /// Which list, of which flight.
        what: String,
        /// Number of values.
        found: usize,
        /// Number of samples.
        expected: usize,
    },
    /// A value is not a number.
    #[error("{what} is {value} at number {index}, counted from 0; end a trace at its last good state")]
    NotFinite {
        /// Which list.
        what: String,
        /// Which value, from 0.
        index: usize,
        /// What it is.
        value: f64,
    },
    /// The picture could not be made.
    #[error(transparent)]
    Png(#[from] PngError),
}

/// How near a sample must be to a moment to stand for it (s).
const CLOSE_S: f64 = 0.1;
const WITHOUT: &str = "without the blend";
const WITH: &str = "with the blend";
/// Room right of every chart for the names of its lines (px).
const LABEL_ROOM: f64 = 184.0;

impl ComparisonPage {
    /// Name of a line that stands for both flights.
    const fn both_words(&self) -> &'static str {
        if self.alone { "the flight" } else { "both flights" }
    }

    /// The page as `STEM.svg` and `STEM.png`, the picture with `scale` pixels for each pixel of the page.
    ///
    /// # Errors
    /// If the traces cannot be drawn, or the picture would be too large.
    pub fn files(&self, stem: &str, ground: Ground, scale: f64) -> Result<Vec<(String, Vec<u8>)>, PageError> {
        let drawing = self.draw(ground)?;
        let picture = png::write(&drawing, scale)?;
        Ok(vec![(format!("{stem}.svg"), svg::write(&drawing).into_bytes()), (format!("{stem}.png"), picture)])
    }

    /// The page.
    ///
    /// # Errors
    /// If a trace has fewer than two samples, lists of different lengths, or values that are no numbers.
    pub fn draw(&self, ground: Ground) -> Result<Drawing, PageError> {
        self.check()?;
        let mut sheet = Sheet::new(&self.title, ground);
        sheet.heading(&self.title, &self.sentence);
        path::draw(self, &mut sheet);
        strips::draw(self, &mut sheet);
        sheet.notes(&self.notes);
        let said: Vec<&str> =
            std::iter::once(&self.sentence).chain(&self.notes).map(String::as_str).collect();
        Ok(sheet.finish(&self.title, &said.join("\n")))
    }

    fn check(&self) -> Result<(), PageError> {
        check_trace(&self.without, WITHOUT)?;
        check_trace(&self.with, WITH)?;
        for strip in self.drift.iter().chain(&self.controls) {
            let name = &strip.title;
            check_values(&format!("{name} {WITHOUT}"), &strip.without, self.without.time_s.len())?;
            check_values(&format!("{name} {WITH}"), &strip.with, self.with.time_s.len())?;
            let limits = strip.limits.iter().flat_map(|limit| [limit.from_s, limit.to_s]);
            check_finite(&format!("a limit of {name}"), limits)?;
        }
        let leg = self.judged_leg_s.iter().flat_map(|&(from, to)| [from, to]);
        check_finite("the judged leg", leg)?;
        check_finite("the moment of the sentence", self.sentence_at_s)?;
        check_finite("the judged line", self.judged_line_ned_m.iter().flatten().copied())?;
        let corners = self.model.facets.iter().flat_map(|facet| facet.corners.iter().flatten().copied());
        check_finite("the shape of the model", corners)?;
        let view = [self.view.origin_ned_m, self.view.view.right, self.view.view.up];
        check_finite("the view of the path", view.into_iter().flatten())?;
        self.station.as_ref().map_or(Ok(()), |station| station.check(&self.without, &self.with))
    }
}

impl StationView {
    fn check(&self, without: &FlightTrace, with: &FlightTrace) -> Result<(), PageError> {
        for (flight, way, trace) in [(WITHOUT, &self.without_ned_m, without), (WITH, &self.with_ned_m, with)]
        {
            let what = format!("the way over the ground {flight}");
            check_length(&what, way.len(), trace.time_s.len())?;
            check_finite(&what, way.iter().flatten().copied())?;
        }
        check_finite("the pilot's place", self.eye_ned_m.into_iter().chain([self.facing_rad]))?;
        check_finite("the judged line over the ground", self.judged_ned_m.iter().flatten().copied())
    }
}

fn check_trace(trace: &FlightTrace, flight: &'static str) -> Result<(), PageError> {
    let samples = trace.time_s.len();
    if samples < 2 {
        return Err(PageError::TooShort { flight, found: samples });
    }
    for (what, found) in [("position", trace.position_ned_m.len()), ("attitude", trace.attitude.len())] {
        check_length(&format!("the {what} {flight}"), found, samples)?;
    }
    check_finite(&format!("the time {flight}"), trace.time_s.iter().copied())?;
    check_finite(&format!("the position {flight}"), trace.position_ned_m.iter().flatten().copied())?;
    check_finite(&format!("the attitude {flight}"), trace.attitude.iter().flatten().flatten().copied())
}

fn check_values(what: &str, values: &[f64], expected: usize) -> Result<(), PageError> {
    check_length(what, values.len(), expected)?;
    check_finite(what, values.iter().copied())
}

fn check_length(what: &str, found: usize, expected: usize) -> Result<(), PageError> {
    if found == expected {
        return Ok(());
    }
    Err(PageError::Length { what: what.to_owned(), found, expected })
}

fn check_finite(what: &str, values: impl IntoIterator<Item = f64>) -> Result<(), PageError> {
    match values.into_iter().enumerate().find(|(_, value)| !value.is_finite()) {
        Some((index, value)) => Err(PageError::NotFinite { what: what.to_owned(), index, value }),
        None => Ok(()),
    }
}
