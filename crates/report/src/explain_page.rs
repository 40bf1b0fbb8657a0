//! The page that takes a coupling apart: shares as a waterfall, and the model from behind and from
//! the side with the forces that make it, drawn where they act.

mod model;
mod turning;

use crate::comparison::PageError;
use crate::drawing::{Anchor, Drawing, Group, Ink, Path, Stroke, Text};
use crate::font::Weight;
use crate::geometry::{Point, Rect};
use crate::palette::{Colour, Ground, HAIRLINE_OPACITY, Part as Paint};
use crate::png;
use crate::run_page::{CAUTION, PERCENT};
use crate::sheet::{MARGIN, PAGE_WIDTH, Sheet};
use crate::{svg, text};
use airframe::{Geometry, Part};
use mix::Follower;
use model::solid;
use nalgebra::Vector3;
use study::explain::{Explained, Origin, Push, cell_words};
use study::find::way;
use turning::{CAPTION, MOMENT_CAPTION, Turning};

/// Rows of the waterfall before the rest is summed up.
const ROWS: usize = 10;
/// Cells below this share of the largest go into the rest.
const SMALL: f64 = 0.04;
const ROW_HEIGHT: f64 = 30.0;
const BAR_HEIGHT: f64 = 22.0;
const ROW_SIZE: f64 = 15.5;
/// Where bars may begin and end (px).
const BARS: (f64, f64) = (MARGIN + 262.0, PAGE_WIDTH - MARGIN - 72.0);
/// An explanation, ready to be drawn.
#[derive(Debug, Clone)]
pub struct ExplainPage {
    title: String,
    sentence: String,
    unit: String,
    rows: Vec<Row>,
    total: f64,
    follower: Follower,
    turning: Turning,
    notes: Vec<String>,
}

/// A bar of the waterfall.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Where it comes from.
    pub words: String,
    /// The part it acts on; `None` for what is summed up.
    pub part: Option<Part>,
    /// Percent of the follower at full lead, with its sign.
    pub percent: f64,
}

/// The page of `explained`, about the airframe of `geometry`.
#[must_use]
pub fn explain_page(explained: &Explained, geometry: &Geometry) -> ExplainPage {
    let follower = explained.coupling.follower;
    ExplainPage {
        title: format!("{}: {}, part by part", explained.airframe, explained.coupling.name()),
        sentence: explained.sentence(),
        unit: format!("percent of {} at full lead", follower.word()),
        rows: rows(explained),
        total: 100.0 * explained.needed,
        follower,
        turning: turning_of(explained, geometry),
        notes: vec![CAPTION.to_owned(), PERCENT.to_owned(), CAUTION.to_owned()],
    }
}

fn turning_of(explained: &Explained, geometry: &Geometry) -> Turning {
    Turning {
        model: solid(geometry),
        axis: match explained.coupling.axis() {
            "roll" => Vector3::x(),
            "pitch" => Vector3::y(),
            _ => Vector3::z(),
        },
        pushes: explained.shares.pushes.clone(),
        follower: explained.coupling.follower,
    }
}

/// The model with what turns it at one moment of several flights, each under its words.
#[derive(Debug, Clone)]
pub struct MomentPage {
    /// What the moment is called.
    pub title: String,
    /// A flight in words, and what turns its model about the axis of the follower.
    pub flights: Vec<(String, Vec<Push>)>,
    /// What answers.
    pub follower: Follower,
}

impl MomentPage {
    /// The airframe of `geometry` on `ground`.
    ///
    /// # Errors
    /// [`PageError::NotFinite`] for a share that is no number.
    pub fn draw(&self, geometry: &Geometry, ground: Ground) -> Result<Drawing, PageError> {
        let mut shares =
            self.flights.iter().flat_map(|(_, pushes)| pushes).map(|push| push.share).enumerate();
        if let Some((index, value)) = shares.find(|(_, share)| !share.is_finite()) {
            return Err(PageError::NotFinite { what: "a share".to_owned(), index, value });
        }
        let axis = match self.follower {
            Follower::Elevator => Vector3::y(),
            Follower::Rudder => Vector3::z(),
            _ => Vector3::x(),
        };
        let mut sheet = Sheet::new(&self.title, ground);
        for (words, pushes) in &self.flights {
            sheet.section(words);
            let (pushes, follower) = (pushes.clone(), self.follower);
            Turning { model: solid(geometry), axis, pushes, follower }.draw(&mut sheet);
        }
        sheet.notes(&[MOMENT_CAPTION.to_owned()]);
        Ok(sheet.finish(&self.title, MOMENT_CAPTION))
    }
}

/// `12.3 up`.
#[must_use]
pub fn number(follower: Follower, percent: f64) -> String {
    let words = format!("{:.1}", percent.abs());
    if words == "0.0" { words } else { format!("{words} {}", way(follower, percent)) }
}

/// The largest cells, and the rest in one.
#[must_use]
pub fn rows(explained: &Explained) -> Vec<Row> {
    let cells = explained.shares.cells();
    let least = SMALL * cells.first().map_or(0.0, |c| c.2.abs());
    let shown = cells.iter().take_while(|c| c.2.abs() >= least).count().min(ROWS);
    let row = |&(origin, part, share): &(Origin, Part, f64)| Row {
        words: if origin == Origin::Plain { cell_words(origin, part) } else { origin.words().to_owned() },
        part: Some(part),
        percent: 100.0 * share,
    };
    let mut rows: Vec<Row> = cells[..shown].iter().map(row).collect();
    let rest: f64 = cells[shown..].iter().map(|c| 100.0 * c.2).sum();
    if shown < cells.len() {
        rows.push(Row { words: format!("{} smaller ones", cells.len() - shown), part: None, percent: rest });
    }
    rows
}

/// How a part is coloured.
#[must_use]
pub const fn paint(part: Option<Part>) -> Paint {
    match part {
        Some(Part::Wing | Part::LowerWing) => Paint::Wing,
        Some(Part::Tailplane) => Paint::Tail,
        Some(Part::Fin | Part::LowerFin) => Paint::Fin,
        Some(Part::Body) => Paint::Body,
        Some(Part::Propulsor) => Paint::Propeller,
        Some(Part::Fittings) | None => Paint::Other,
    }
}

impl ExplainPage {
    /// The page as `stem.svg` and `stem.png`, the latter `scale` times as large.
    ///
    /// # Errors
    /// [`PageError`] if a number is not finite or the picture is too large.
    pub fn files(&self, stem: &str, ground: Ground, scale: f64) -> Result<Vec<(String, Vec<u8>)>, PageError> {
        let drawing = self.draw(ground)?;
        let picture = png::write(&drawing, scale)?;
        Ok(vec![(format!("{stem}.svg"), svg::write(&drawing).into_bytes()), (format!("{stem}.png"), picture)])
    }

    /// The page on `ground`.
    ///
    /// # Errors
    /// [`PageError::NotFinite`] for a share that is no number.
    pub fn draw(&self, ground: Ground) -> Result<Drawing, PageError> {
        self.finite()?;
        let mut sheet = Sheet::new(&self.title, ground);
        sheet.heading(&self.title, &self.sentence);
        sheet.section(&format!("Shares, {}", self.unit));
        self.waterfall(&mut sheet);
        sheet.section("What turns the model");
        self.turning.draw(&mut sheet);
        sheet.notes(&self.notes);
        let said: Vec<&str> =
            std::iter::once(&self.sentence).chain(&self.notes).map(String::as_str).collect();
        Ok(sheet.finish(&self.title, &said.join("\n")))
    }

    /// Only the model with what turns it, on `ground`.
    ///
    /// # Errors
    /// [`PageError::NotFinite`] for a share that is no number.
    pub fn draw_model(&self, ground: Ground) -> Result<Drawing, PageError> {
        self.finite()?;
        let mut sheet = Sheet::new(&self.title, ground);
        sheet.section("What turns the model");
        self.turning.draw(&mut sheet);
        sheet.notes(&[CAPTION.to_owned()]);
        Ok(sheet.finish(&self.title, &format!("{}\n{CAPTION}", self.sentence)))
    }

    fn finite(&self) -> Result<(), PageError> {
        let mut shares = self.rows.iter().map(|r| r.percent).chain([self.total]).enumerate();
        match shares.find(|(_, v)| !v.is_finite()) {
            Some((index, value)) => Err(PageError::NotFinite { what: "a share".to_owned(), index, value }),
            None => Ok(()),
        }
    }

    /// Each bar begins where the one above ends; the last one is the whole.
    fn waterfall(&self, sheet: &mut Sheet) {
        let mut ends = vec![0.0];
        for row in &self.rows {
            ends.push(ends[ends.len() - 1] + row.percent);
        }
        let (low, high) =
            ends.iter().chain([&self.total]).fold((0.0_f64, 0.0_f64), |(l, h), &e| (l.min(e), h.max(e)));
        let scale = (BARS.1 - BARS.0) / (high - low).max(1e-9);
        let x = |percent: f64| BARS.0 + (percent - low) * scale;
        let ground = sheet.ground();
        let top = sheet.down();
        let bottom = top + ROW_HEIGHT * (self.rows.len() as f64 + 1.0);
        let hairline = Ink { colour: ground.text(), opacity: 3.0 * HAIRLINE_OPACITY };
        sheet.push(Path::line([top, bottom].map(|y| Point::new(x(0.0), y)), Stroke::solid(hairline, 1.0)));
        for (i, row) in self.rows.iter().enumerate() {
            let bar = Bar {
                from: x(ends[i]),
                to: x(ends[i + 1]),
                top: sheet.down(),
                paint: paint(row.part).colour(),
            };
            let name = row.part.map_or("", Part::word);
            sheet.push(bar.draw(&row.words, name, &number(self.follower, row.percent), ground));
            // the eye is led on to the next bar
            let step = [bar.top + BAR_HEIGHT, bar.top + ROW_HEIGHT].map(|y| Point::new(bar.to, y));
            sheet.push(Path::line(step, Stroke::solid(hairline, 1.0)));
            sheet.skip(ROW_HEIGHT);
        }
        let whole = Bar { from: x(0.0), to: x(self.total), top: sheet.down(), paint: ground.text() };
        sheet.push(whole.draw("together: what is needed", "", &number(self.follower, self.total), ground));
        sheet.skip(ROW_HEIGHT + 22.0);
    }
}

struct Bar {
    from: f64,
    to: f64,
    top: f64,
    paint: Colour,
}

impl Bar {
    fn draw(&self, words: &str, name: &str, number: &str, ground: Ground) -> Group {
        let mut group = Group::new(words);
        let (left, right) =
            (self.from.min(self.to), self.from.max(self.to).max(self.from.min(self.to) + 1.5));
        let rect = Rect { left, top: self.top, right, bottom: self.top + BAR_HEIGHT };
        let base = self.top + 0.5 * BAR_HEIGHT + 0.35 * ROW_SIZE;
        group.push(Text::new(words, Point::new(MARGIN, base), ROW_SIZE, ground.text()));
        group.push(Path::rect(rect, self.paint));
        let inside = text::width(name, ROW_SIZE - 1.0, Weight::Regular) + 12.0 < rect.width();
        if inside && !name.is_empty() {
            let ink = readable_on(self.paint);
            let at = Point::new(0.5 * (left + right), base);
            group.push(Text::new(name, at, ROW_SIZE - 1.0, ink).anchored(Anchor::Middle));
        }
        let beside = if inside || name.is_empty() { number.to_owned() } else { format!("{name} {number}") };
        let wide = text::width(&beside, ROW_SIZE, Weight::Regular);
        let fits = right + 8.0 + wide < PAGE_WIDTH - MARGIN + 24.0;
        let (x, anchor) = if fits { (right + 8.0, Anchor::Start) } else { (left - 8.0, Anchor::End) };
        let told = Text::new(beside, Point::new(x, base), ROW_SIZE, ground.text());
        group.push(told.anchored(anchor).with_halo(ground.paper()));
        group
    }
}

/// Black or white, whichever stands out more.
fn readable_on(colour: Colour) -> Colour {
    let inks = [Colour::hex(0x1C_1C1C), Colour::hex(0xFF_FFFF)];
    if inks[0].contrast(colour) > inks[1].contrast(colour) { inks[0] } else { inks[1] }
}
