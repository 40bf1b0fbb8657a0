//! The page that takes a coupling apart: shares as a waterfall, and the model from behind and from
//! the side with the forces that make it, drawn where they act.

use crate::comparison::PageError;
use crate::drawing::{Anchor, Drawing, Group, Ink, Path, Stroke, Text};
use crate::font::Weight;
use crate::geometry::{Point, Rect};
use crate::palette::{Colour, Ground, HAIRLINE_OPACITY, LineStyle, Part as Paint};
use crate::png;
use crate::run_page::{CAUTION, PERCENT, shape};
use crate::sheet::{MARGIN, PAGE_WIDTH, Sheet};
use crate::silhouette::{ModelShape, Placing, Vector, View, silhouette};
use crate::{svg, text};
use airframe::{Geometry, Part};
use measure::Side;
use study::explain::{Explained, Origin, Push};

/// Rows of the waterfall before the rest is summed up.
const ROWS: usize = 10;
/// Cells below this share of the largest go into the rest.
const SMALL: f64 = 0.04;
const ROW_HEIGHT: f64 = 30.0;
const BAR_HEIGHT: f64 = 22.0;
const ROW_SIZE: f64 = 15.5;
/// Where bars may begin and end (px).
const BARS: (f64, f64) = (MARGIN + 262.0, PAGE_WIDTH - MARGIN - 72.0);
/// Longest arrow (px).
const ARROW: f64 = 96.0;
/// Forces below this share of the largest are not drawn.
const FAINT: f64 = 0.06;
/// Most a model may reach above and below its centre of mass (px).
const MOST_HIGH: f64 = 110.0;
/// Where the pair of forces of a rolling wing stands, share of its half span.
const PAIR: f64 = 0.6;
const LEVEL: [[f64; 3]; 3] = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];

/// An explanation, ready to be drawn.
#[derive(Debug, Clone)]
pub struct ExplainPage {
    title: String,
    sentence: String,
    unit: String,
    rows: Vec<Row>,
    total: f64,
    model: ModelShape,
    pushes: Vec<Push>,
    roll: bool,
    half_span: f64,
    notes: Vec<String>,
}

/// A bar of the waterfall.
#[derive(Debug, Clone, PartialEq)]
struct Row {
    words: String,
    part: Option<Part>,
    /// Percent, with its sign.
    percent: f64,
}

/// The page of `explained`, about the airframe of `geometry`.
#[must_use]
pub fn explain_page(explained: &Explained, geometry: &Geometry) -> ExplainPage {
    let follower = explained.coupling.follower.word();
    ExplainPage {
        title: format!("{}: {}, part by part", explained.airframe, explained.coupling.name()),
        sentence: explained.sentence(),
        unit: format!("percent of {follower} at full lead"),
        rows: rows(explained),
        total: 100.0 * explained.needed,
        model: shape(geometry),
        pushes: explained.shares.pushes.clone(),
        roll: explained.coupling.axis() == "roll",
        half_span: geometry.wing().half_span(),
        notes: vec![
            "Arrows: what each part pushes more than in the flight from which the need is counted, in proportion; where they \
             pass the centre of mass (the dot) at a distance, they turn the model. The rolling of a wing or tailplane stands as \
             the pair of forces that would do it."
                .to_owned(),
            PERCENT.to_owned(),
            CAUTION.to_owned(),
        ],
    }
}

/// The largest cells, and the rest in one.
fn rows(explained: &Explained) -> Vec<Row> {
    let cells = explained.shares.cells();
    let least = SMALL * cells.first().map_or(0.0, |c| c.2.abs());
    let shown = cells.iter().take_while(|c| c.2.abs() >= least).count().min(ROWS);
    let row = |&(origin, part, share): &(Origin, Part, f64)| Row {
        words: origin.words().to_owned(),
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

const fn paint(part: Option<Part>) -> Paint {
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
        let shares = self.rows.iter().map(|r| r.percent).chain([self.total]);
        if let Some((index, value)) = shares.enumerate().find(|(_, v)| !v.is_finite()) {
            return Err(PageError::NotFinite { what: "a share".to_owned(), index, value });
        }
        let mut sheet = Sheet::new(&self.title, ground);
        sheet.heading(&self.title, &self.sentence);
        sheet.section(&format!("Shares, {}", self.unit));
        self.waterfall(&mut sheet);
        sheet.section("The forces that make it");
        self.views(&mut sheet);
        sheet.notes(&self.notes);
        let said: Vec<&str> =
            std::iter::once(&self.sentence).chain(&self.notes).map(String::as_str).collect();
        Ok(sheet.finish(&self.title, &said.join("\n")))
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
            sheet.push(bar.draw(&row.words, name, row.percent, ground));
            // the eye is led on to the next bar
            let step = [bar.top + BAR_HEIGHT, bar.top + ROW_HEIGHT].map(|y| Point::new(bar.to, y));
            sheet.push(Path::line(step, Stroke::solid(hairline, 1.0)));
            sheet.skip(ROW_HEIGHT);
        }
        let whole = Bar { from: x(0.0), to: x(self.total), top: sheet.down(), paint: ground.text() };
        sheet.push(whole.draw("together: what is needed", "", self.total, ground));
        sheet.skip(ROW_HEIGHT + 22.0);
    }

    /// Forces to be drawn: part, force, place. Where roll is asked for, a wing's turning stands as
    /// the pair of forces that would do it: its lift as a whole turns nothing.
    fn forces(&self) -> Vec<(Part, Vector, Vector)> {
        let mut forces = Vec::new();
        for push in &self.pushes {
            if self.roll && (push.part.is_wing() || push.part == Part::Tailplane) {
                let arm = PAIR * self.half_span;
                for side in [Side::Left, Side::Right] {
                    let down = 0.5 * side.sign() * push.moment.x / arm;
                    forces.push((push.part, [0.0, 0.0, down], [push.at.x, side.sign() * arm, push.at.z]));
                }
            } else {
                forces.push((push.part, push.force.into(), push.at.into()));
            }
        }
        forces
    }

    /// From behind and from the left side, the nose to the left.
    fn views(&self, sheet: &mut Sheet) {
        let behind = View::from_behind(0.0);
        let side = View { right: [-1.0, 0.0, 0.0], up: [0.0, 0.0, -1.0] };
        let half = 0.5 * (PAGE_WIDTH - 2.0 * MARGIN);
        let forces = self.forces();
        let longest = forces.iter().map(|f| size(f.1)).fold(0.0, f64::max).max(1e-9);
        let ground = sheet.ground();
        let views = [(behind, "from behind"), (side, "from the left")];
        let drawn = |top: f64| {
            views.iter().enumerate().map(move |(i, &(view, _))| {
                let (wide, high) = self.model.reach(LEVEL, view);
                let room = (0.5 * half - 0.55 * ARROW, MOST_HIGH);
                let px_per_m = (room.0 / wide.max(1e-6)).min(room.1 / high.max(1e-6));
                (view, Placing { at: Point::new(MARGIN + half * (i as f64 + 0.5), top), px_per_m })
            })
        };
        let group = |(view, placing): (View, Placing)| self.view(view, placing, &forces, longest, ground);
        // drawn once to see how high it is, then where it belongs
        let bounds = drawn(0.0).filter_map(|d| group(d).bounds()).reduce(Rect::union);
        let (above, below) = bounds.map_or((0.0, 0.0), |b| (-b.top, b.bottom));
        let middle = sheet.down() + above + 6.0;
        for (item, (_, words)) in drawn(middle).zip(views) {
            let x = item.1.at.x;
            sheet.push(group(item));
            let label = Text::new(words, Point::new(x, middle + below + 30.0), ROW_SIZE, ground.quiet_text());
            sheet.push(label.anchored(Anchor::Middle));
        }
        sheet.skip(above + below + 62.0);
    }

    fn view(
        &self,
        view: View,
        placing: Placing,
        forces: &[(Part, Vector, Vector)],
        longest: f64,
        ground: Ground,
    ) -> Group {
        let mut group = Group::new("the model and the forces on it");
        let style = LineStyle { colour: ground.quiet_text(), width: 1.2, dash: &[] };
        group.push(silhouette(&self.model, LEVEL, view, placing, style, ground));
        let page = |v: Vector, scale: f64| {
            let (right, up) = view.flat(v);
            (right * scale, -up * scale)
        };
        let mut labels: Vec<Rect> = Vec::new();
        for &(part, force, at) in forces.iter().filter(|f| size(f.1) > FAINT * longest) {
            let (dx, dy) = page(force, ARROW / longest);
            let (ax, ay) = page(at, placing.px_per_m);
            let from = Point::new(placing.at.x + ax, placing.at.y + ay);
            let to = Point::new(from.x + dx, from.y + dy);
            if libm::hypot(dx, dy) < 6.0 {
                continue;
            }
            let colour = paint(Some(part)).colour();
            group.push(arrow(from, to, colour, ground));
            group.push(label(part.word(), from, to, &mut labels, ground));
        }
        let dot = 4.0;
        let corners = [(0.0, -dot), (dot, 0.0), (0.0, dot), (-dot, 0.0)];
        group.push(Path::area(
            corners.map(|(x, y)| Point::new(placing.at.x + x, placing.at.y + y)),
            ground.text(),
        ));
        group
    }
}

fn size(v: Vector) -> f64 {
    v.iter().map(|x| x * x).sum::<f64>().sqrt()
}

struct Bar {
    from: f64,
    to: f64,
    top: f64,
    paint: Colour,
}

impl Bar {
    fn draw(&self, words: &str, name: &str, percent: f64, ground: Ground) -> Group {
        let mut group = Group::new(words);
        let (left, right) =
            (self.from.min(self.to), self.from.max(self.to).max(self.from.min(self.to) + 1.5));
        let rect = Rect { left, top: self.top, right, bottom: self.top + BAR_HEIGHT };
        let base = self.top + 0.5 * BAR_HEIGHT + 0.35 * ROW_SIZE;
        group.push(Text::new(words, Point::new(MARGIN, base), ROW_SIZE, ground.text()));
        group.push(Path::rect(rect, self.paint));
        let number = format!("{percent:+.1}");
        let inside = text::width(name, ROW_SIZE - 1.0, Weight::Regular) + 12.0 < rect.width();
        if inside && !name.is_empty() {
            let ink = readable_on(self.paint);
            let at = Point::new(0.5 * (left + right), base);
            group.push(Text::new(name, at, ROW_SIZE - 1.0, ink).anchored(Anchor::Middle));
        }
        let beside = if inside || name.is_empty() { number } else { format!("{number} {name}") };
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

fn arrow(from: Point, to: Point, colour: Colour, ground: Ground) -> Group {
    const HEAD: f64 = 9.0;
    let mut group = Group::new("a force");
    let (dx, dy) = (to.x - from.x, to.y - from.y);
    let length = libm::hypot(dx, dy);
    let (ux, uy) = (dx / length, dy / length);
    let head = HEAD.min(0.6 * length);
    let neck = Point::new(to.x - head * ux, to.y - head * uy);
    group.push(Path::line([from, neck], Stroke::solid(ground.paper(), 6.0)));
    group.push(Path::line([from, neck], Stroke::solid(colour, 3.5)));
    let aside = |side: f64| Point::new(neck.x - side * uy, neck.y + side * ux);
    group.push(Path::area([to, aside(0.6 * head), aside(-0.6 * head)], colour));
    group
}

/// The part's name beyond the arrow's head, moved down where another name stands already.
fn label(words: &str, from: Point, to: Point, taken: &mut Vec<Rect>, ground: Ground) -> Text {
    let (dx, dy) = (to.x - from.x, to.y - from.y);
    let length = libm::hypot(dx, dy);
    let anchor = if dx.abs() < 0.4 * length {
        Anchor::Middle
    } else if dx > 0.0 {
        Anchor::Start
    } else {
        Anchor::End
    };
    let down = if dy > 0.0 { 15.0 } else { -6.0 };
    let mut at =
        Point::new(to.x + 5.0 * dx / length, to.y + if anchor == Anchor::Middle { down } else { 5.0 });
    loop {
        let text =
            Text::new(words, at, ROW_SIZE - 1.5, ground.text()).anchored(anchor).with_halo(ground.paper());
        let bounds = text.bounds();
        if taken.iter().all(|other| !other.overlaps(bounds)) {
            taken.push(bounds);
            return text;
        }
        at.y += if dy > 0.0 { 14.0 } else { -14.0 };
    }
}
