//! Lines over a common axis, in the style of the page: hairlines, words at the ends of the axes, names at
//! the ends of the lines. Draws what it is given; where values land is the [`Frame`]'s business.

use crate::drawing::{Anchor, Group, Ink, Item, Path, Stroke, Text};
use crate::end_label;
use crate::font::{CAP_HEIGHT, Weight};
use crate::frame::{Frame, Pads};
use crate::geometry::{Point, Rect};
use crate::palette::{Colour, Ground, HAIRLINE_OPACITY, LineStyle, Role, SPREAD_OPACITY};
use crate::signed::{Signed, decimal};
use crate::text;
use crate::ticks::{Span, ticks};

/// Size of all text in a chart (px).
pub const TEXT_SIZE: f64 = 18.0;
/// From one baseline to the next (px).
pub const LEADING: f64 = 22.5;
/// Height of the tick labels below a chart (px); an axis label takes [`LEADING`] more.
pub const TICK_HEIGHT: f64 = 32.0;
/// Lines that end further from the right edge than this share of the width get no leader to their name.
const FAR: f64 = 0.3;
/// Length of a sample of a line (px).
const SAMPLE: f64 = 27.0;
/// Room left of a chart for its tick labels (px).
pub const TICK_ROOM: f64 = 78.0;
/// From the end of a chart to the labels of its lines (px).
pub const LABEL_GAP: f64 = 14.0;

/// Free height where a direction is written into the chart (px).
pub const WORDS_ROOM: f64 = 31.0;
/// Free height where none is written (px).
const BARE_ROOM: f64 = 10.0;
/// From the top of a chart up to the baseline of its title (px).
const TITLE_LIFT: f64 = 9.0;
/// Height of the hatched band along the top while a surface is at its limit (px).
const LIMIT_BAND: f64 = 15.0;
/// How far the names of the lines may reach above and below a chart (px).
const LABEL_OVERHANG: f64 = 8.0;
/// Share of the text colour in the zero line and the axis.
const AXIS_OPACITY: f64 = 0.5;
/// Share of the text colour in the shade of a judged leg.
pub const SHADE_OPACITY: f64 = 0.055;

/// One line of a chart.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What it stands for.
    pub role: Role,
    /// Written at its end, with the last value; nothing is written if empty.
    pub name: String,
    /// Written behind the last value: "after 3 s"; may be empty.
    pub when: String,
    /// A place on the line that gets a ring.
    pub mark: Option<(f64, f64)>,
    /// True if it stands for another line too that it hides: its name is then in no flight's colour.
    pub shared: bool,
    /// Values of both axes, along the line.
    pub points: Vec<(f64, f64)>,
    /// Lowest and highest y at each point, as a band; empty if not known.
    pub spread: Vec<(f64, f64)>,
}

/// An end of the vertical axis.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Edge {
    /// Where values are largest.
    Top,
    /// Where they are smallest.
    Bottom,
}

/// A range of x that means something.
#[derive(Debug, Clone, PartialEq)]
pub enum Band {
    /// A judged leg: shaded.
    Judged(Span),
    /// A surface at its limit: hatched along that edge, with words above the chart that say which.
    Limit(Span, Edge, String),
}

/// The horizontal axis.
#[derive(Debug, Clone, PartialEq)]
pub struct XAxis {
    /// What it shows, e.g. "time from the start of the judged leg"; nothing is written if empty.
    pub label: String,
    /// Its unit, written at every tick.
    pub unit: String,
}

/// A whole chart, ready to draw.
#[derive(Debug, Clone, PartialEq)]
pub struct Chart {
    /// Written above it, unless empty.
    pub title: String,
    /// Where values land.
    pub frame: Frame,
    /// The horizontal axis; `None` draws the grid only, for charts above another with the same axis.
    pub x: Option<XAxis>,
    /// The vertical axis.
    pub y: Signed,
    /// In drawing order.
    pub lines: Vec<Line>,
    /// Behind the lines.
    pub bands: Vec<Band>,
    /// Room right of the chart for the names of the lines (px).
    pub label_room: f64,
}

/// The room a chart needs above and below values in `y`, so that no direction and no limit is written over
/// them.
#[must_use]
pub fn pads(y: Span, bands: &[Band]) -> Pads {
    let room = |written| if written { WORDS_ROOM } else { BARE_ROOM };
    Pads {
        left: 0.0,
        top: room(y.to > 0.0) + limit_room(bands, Edge::Top),
        right: 0.0,
        bottom: room(y.from < 0.0) + limit_room(bands, Edge::Bottom),
    }
}

/// The part of that room which the hatched bands along an edge take.
#[must_use]
pub fn limit_room(bands: &[Band], edge: Edge) -> f64 {
    let limits = bands.iter().any(|band| matches!(band, Band::Limit(_, at, _) if *at == edge));
    if limits { LIMIT_BAND } else { 0.0 }
}

/// The least height of a chart beside which the names of all lines find room (px).
#[must_use]
pub fn labels_height(lines: &[Line], y: &Signed, label_room: f64) -> f64 {
    let ends = lines.iter().filter_map(|line| Some((line, line.points.last()?.1)));
    let heights = ends.map(|(line, end)| block_height(&label_lines(line, end, y, label_room)));
    heights.sum::<f64>() - 2.0 * LABEL_OVERHANG
}

impl Chart {
    /// Draws it.
    #[must_use]
    pub fn draw(&self, ground: Ground) -> Group {
        let mut group = Group::new(self.title.clone());
        if !self.title.is_empty() {
            let at = Point::new(self.frame.rect.left, self.frame.rect.top - TITLE_LIFT);
            group.push(Text::new(self.title.clone(), at, TEXT_SIZE, ground.text()).semi_bold());
        }
        self.draw_shades(ground, &mut group);
        self.draw_y_axis(ground, &mut group);
        self.draw_x_axis(ground, &mut group);
        self.draw_spreads(ground, &mut group);
        self.draw_words(ground, &mut group);
        self.draw_limits(ground, &mut group);
        for line in &self.lines {
            group.push(Path::line(self.places(line), stroke(ground.line(line.role))));
        }
        self.draw_marks(ground, &mut group);
        self.draw_end_labels(ground, &mut group);
        group
    }

    fn places(&self, line: &Line) -> Vec<Point> {
        line.points.iter().map(|&(x, y)| self.frame.at(x, y)).collect()
    }

    /// The part of the frame over a range of x.
    fn column(&self, x: Span) -> Rect {
        let rect = self.frame.rect;
        let edge = |x| self.frame.at(x, 0.0).x.clamp(rect.left, rect.right);
        Rect { left: edge(x.from), right: edge(x.to), ..rect }
    }

    fn draw_shades(&self, ground: Ground, group: &mut Group) {
        for band in &self.bands {
            if let Band::Judged(x) = band {
                group.push(Path::rect(self.column(*x), faint(ground, SHADE_OPACITY)));
            }
        }
    }

    fn draw_y_axis(&self, ground: Ground, group: &mut Group) {
        let Frame { rect, y, .. } = self.frame;
        let set = ticks(y, ((rect.height() / 42.0) as usize).clamp(3, 7));
        // A judged line says what zero is, and its dots would drown in a firm line below them.
        let judged = self.lines.iter().any(|line| line.role == Role::Judged && !line.points.is_empty());
        for &value in &set.values {
            let height = self.frame.at(0.0, value).y;
            let opacity = if value == 0.0 && !judged { AXIS_OPACITY } else { HAIRLINE_OPACITY };
            group.push(level_line(rect.left, rect.right, height, faint(ground, opacity)));
            let at = Point::new(rect.left - 10.0, height + 0.5 * CAP_HEIGHT * TEXT_SIZE);
            let words = format!("{} {}", decimal(value.abs(), set.decimals), self.y.unit);
            group.push(Text::new(words, at, TEXT_SIZE, ground.quiet_text()).anchored(Anchor::End));
        }
    }

    fn draw_x_axis(&self, ground: Ground, group: &mut Group) {
        let Frame { rect, x, .. } = self.frame;
        let set = ticks(x, ((rect.width() / 90.0) as usize).clamp(3, 10));
        let baseline = rect.bottom + 24.0;
        for &value in &set.values {
            let place = self.frame.at(value, 0.0).x;
            let ends = [Point::new(place, rect.top), Point::new(place, rect.bottom)];
            group.push(Path::line(ends, Stroke::solid(faint(ground, HAIRLINE_OPACITY), 1.0)));
            if let Some(axis) = &self.x {
                let words = format!("{} {}", decimal(value, set.decimals), axis.unit);
                let text = Text::new(words, Point::new(place, baseline), TEXT_SIZE, ground.quiet_text());
                group.push(text.anchored(Anchor::Middle));
            }
        }
        if let Some(axis) = &self.x {
            group.push(level_line(rect.left, rect.right, rect.bottom, faint(ground, AXIS_OPACITY)));
            if !axis.label.is_empty() {
                let middle = Point::new(0.5 * (rect.left + rect.right), baseline + LEADING);
                let text = Text::new(axis.label.clone(), middle, TEXT_SIZE, ground.quiet_text());
                group.push(text.anchored(Anchor::Middle));
            }
        }
    }

    fn draw_spreads(&self, ground: Ground, group: &mut Group) {
        for line in self.lines.iter().filter(|line| !line.spread.is_empty()) {
            let edge = |pick: fn(&(f64, f64)) -> f64| {
                line.points.iter().zip(&line.spread).map(move |(p, s)| self.frame.at(p.0, pick(s)))
            };
            let mut corners: Vec<Point> = edge(|s| s.0).collect();
            corners.extend(edge(|s| s.1).rev());
            let ink = Ink { colour: ground.line(line.role).colour, opacity: SPREAD_OPACITY };
            group.push(Path::area(corners, ink));
        }
    }

    /// What up and down mean, at the ends of the vertical axis.
    fn draw_words(&self, ground: Ground, group: &mut Group) {
        let rect = self.frame.rect;
        let zero = self.frame.at(0.0, 0.0).y;
        let top = rect.top + limit_room(&self.bands, Edge::Top);
        let bottom = rect.bottom - limit_room(&self.bands, Edge::Bottom);
        let ends =
            [('↑', &self.y.up, top + 20.0, zero - top), ('↓', &self.y.down, bottom - 9.0, bottom - zero)];
        for (arrow, words, baseline, room) in ends {
            if room >= WORDS_ROOM && !words.is_empty() {
                let at = Point::new(rect.left + 8.0, baseline);
                let text = Text::new(format!("{arrow} {words}"), at, TEXT_SIZE, ground.quiet_text());
                group.push(text.with_halo(ground.paper()));
            }
        }
    }

    fn draw_limits(&self, ground: Ground, group: &mut Group) {
        const BAR: f64 = 4.0;
        let style = ground.line(Role::Limit);
        for (x, edge, _) in self.limits() {
            let column = self.column(x);
            let along = |height| match edge {
                Edge::Top => Rect { bottom: column.top + height, ..column },
                Edge::Bottom => Rect { top: column.bottom - height, ..column },
            };
            group.push(Path::hatch(along(LIMIT_BAND), 7.0, Stroke::solid(style.colour, 1.5)));
            group.push(Path::rect(along(BAR), style.colour));
        }
        self.draw_limit_words(ground, group);
    }

    fn limits(&self) -> impl Iterator<Item = (Span, Edge, &String)> {
        self.bands.iter().filter_map(|band| match band {
            Band::Limit(x, edge, words) => Some((*x, *edge, words)),
            Band::Judged(_) => None,
        })
    }

    /// Above the hatched bands, on the line of the title; the same words once for all their bands.
    fn draw_limit_words(&self, ground: Ground, group: &mut Group) {
        const GAP: f64 = 22.0;
        let mut limits: Vec<(Span, &String)> = Vec::new();
        for (x, _, words) in self.limits() {
            match limits.iter_mut().find(|(_, other)| *other == words) {
                Some((whole, _)) => *whole = whole.union(x),
                None => limits.push((x, words)),
            }
        }
        let wanted: Vec<f64> = limits.iter().map(|(x, _)| middle(self.column(*x))).collect();
        let width = |words: &str| text::width(words, TEXT_SIZE, Weight::SemiBold);
        let widths: Vec<f64> = limits.iter().map(|(_, words)| width(words) + GAP).collect();
        let Rect { left, top, right, .. } = self.frame.rect;
        let free = (left + width(&self.title) + 0.5 * GAP, right + 0.5 * GAP);
        let middles = end_label::spread(&wanted, &widths, free.0, free.1);
        for ((_, words), middle) in limits.into_iter().zip(middles) {
            let at = Point::new(middle, top - TITLE_LIFT);
            let text = Text::new(words.clone(), at, TEXT_SIZE, ground.text());
            group.push(text.anchored(Anchor::Middle).semi_bold());
        }
    }

    fn draw_marks(&self, ground: Ground, group: &mut Group) {
        for line in &self.lines {
            let Some((x, y)) = line.mark else { continue };
            group.push(ring(self.frame.at(x, y), ground.line(line.role).colour, ground));
        }
    }

    fn draw_end_labels(&self, ground: Ground, group: &mut Group) {
        let rect = self.frame.rect;
        let named: Vec<(&Line, (f64, f64))> = self
            .lines
            .iter()
            .filter(|line| !line.name.is_empty())
            .filter_map(|line| Some((line, *line.points.last()?)))
            .collect();
        let blocks: Vec<Vec<(String, Weight)>> =
            named.iter().map(|(line, end)| label_lines(line, end.1, &self.y, self.label_room)).collect();
        let wanted: Vec<f64> = named.iter().map(|&(_, (x, y))| self.frame.at(x, y).y).collect();
        let heights: Vec<f64> = blocks.iter().map(|block| block_height(block)).collect();
        let (high, low) = (rect.top - LABEL_OVERHANG, rect.bottom + LABEL_OVERHANG);
        let middles = end_label::spread(&wanted, &heights, high, low);
        for (((line, end), block), middle) in named.into_iter().zip(blocks).zip(middles) {
            let colour = if line.shared { ground.text() } else { ground.line(line.role).colour };
            let end = self.frame.at(end.0, end.1);
            let name = Point::new(rect.right + LABEL_GAP - 4.0, middle);
            if rect.right - end.x < FAR * rect.width() {
                group.push(leader(end, name, colour));
            } else {
                // a leader across the whole chart is one more line in it: a sample of the line instead
                let from = Point::new(name.x - SAMPLE, name.y);
                group.push(Path::line([from, name], stroke(ground.line(line.role))));
            }
            label_block(&block, Point::new(rect.right + LABEL_GAP, middle), colour, group);
        }
    }
}

/// Name and last value of a line, as they are broken beside the chart; nothing for a line without a name.
fn label_lines(line: &Line, value: f64, y: &Signed, label_room: f64) -> Vec<(String, Weight)> {
    if line.name.is_empty() {
        return Vec::new();
    }
    let room = label_room - LABEL_GAP;
    let wrapped = |words: &str, weight| {
        text::wrap_evenly(words, TEXT_SIZE, weight, room).into_iter().map(move |line| (line, weight))
    };
    let said = y.say(value);
    let whole: Vec<_> = wrapped(&format!("{said} {}", line.when), Weight::Regular).collect();
    let apart: Vec<_> = wrapped(&said, Weight::Regular).chain(wrapped(&line.when, Weight::Regular)).collect();
    // A break between what happened and when is better than one within either.
    let value = if apart.len() <= whole.len() { apart } else { whole };
    wrapped(&line.name, Weight::SemiBold).chain(value).collect()
}

fn block_height(block: &[(String, Weight)]) -> f64 {
    if block.is_empty() { 0.0 } else { block.len() as f64 * LEADING + 4.0 }
}

fn middle(rect: Rect) -> f64 {
    0.5 * (rect.left + rect.right)
}

/// Marks a moment on a line.
#[must_use]
pub fn ring(at: Point, colour: Colour, ground: Ground) -> Path {
    const RADIUS: f64 = 4.5;
    const CORNERS: u32 = 24;
    let corner = |i: u32| {
        let (sin, cos) = libm::sincos(f64::from(i) / f64::from(CORNERS) * std::f64::consts::TAU);
        Point::new(at.x + RADIUS * cos, at.y + RADIUS * sin)
    };
    let inside = Path::area((0..CORNERS).map(corner), ground.paper());
    Path { stroke: Some(Stroke::solid(colour, 2.0)), ..inside }
}

fn label_block(block: &[(String, Weight)], middle: Point, colour: Colour, group: &mut Group) {
    let first = middle.y - 0.5 * (block.len() as f64 - 1.0) * LEADING + 0.5 * CAP_HEIGHT * TEXT_SIZE;
    for (row, (words, weight)) in block.iter().enumerate() {
        let at = Point::new(middle.x, first + row as f64 * LEADING);
        group.push(Text { weight: *weight, ..Text::new(words.clone(), at, TEXT_SIZE, colour) });
    }
}

/// A thin line from the end of a line to its name.
fn leader(from: Point, to: Point, colour: Colour) -> Item {
    Path::line([from, to], Stroke::solid(Ink { colour, opacity: 0.6 }, 1.0)).into()
}

fn level_line(left: f64, right: f64, height: f64, ink: Ink) -> Path {
    Path::line([Point::new(left, height), Point::new(right, height)], Stroke::solid(ink, 1.0))
}

fn faint(ground: Ground, opacity: f64) -> Ink {
    Ink { colour: ground.text(), opacity }
}

/// The stroke of a role's line.
#[must_use]
pub fn stroke(style: LineStyle) -> Stroke {
    Stroke { ink: style.colour.into(), width: style.width, dash: style.dash.to_vec() }
}

#[cfg(test)]
mod tests {
    use super::*;

    const RECT: Rect = Rect { left: 100.0, top: 50.0, right: 500.0, bottom: 200.0 };

    fn chart(bands: Vec<Band>) -> Chart {
        let y = Span { from: -2.0, to: 8.0 };
        let line = Line {
            role: Role::WithBlend,
            name: "with the blend".into(),
            when: "after 4 s".into(),
            mark: None,
            shared: false,
            points: vec![(0.0, -2.0), (2.0, 3.0), (4.0, 8.0)],
            spread: vec![(-3.0, -1.0), (2.0, 4.0), (7.0, 9.0)],
        };
        Chart {
            title: "Elevator".into(),
            frame: Frame::fitted(RECT, Span { from: 0.0, to: 4.0 }, y, pads(y, &bands)),
            x: Some(XAxis { label: "time".into(), unit: "s".into() }),
            y: Signed {
                unit: "deg".into(),
                decimals: 1,
                up: "trailing edge up".into(),
                down: "trailing edge down".into(),
                least_axis: 1.0,
            },
            lines: vec![line],
            bands,
            label_room: 170.0,
        }
    }

    fn texts(group: &Group) -> Vec<&Text> {
        fn text(item: &Item) -> Option<&Text> {
            match item {
                Item::Text(text) => Some(text),
                _ => None,
            }
        }
        group.items.iter().filter_map(text).collect()
    }

    #[test]
    fn numbers_have_units_and_no_signs_and_both_directions_are_said() {
        let group = chart(Vec::new()).draw(Ground::Light);
        let words: Vec<&str> = texts(&group).iter().map(|text| text.content.as_str()).collect();
        assert!(words.iter().all(|words| !words.contains(['-', '−'])), "{words:?}");
        for expected in ["↑ trailing edge up", "↓ trailing edge down", "0 deg", "10 deg", "4 s", "Elevator"]
        {
            assert!(words.contains(&expected), "{expected} is not among {words:?}");
        }
        assert!(words.join(" ").contains("with the blend 8.0 deg trailing edge up after 4 s"), "{words:?}");
    }

    #[test]
    fn spread_is_a_band_of_the_lines_colour_between_its_edges() {
        let chart = chart(Vec::new());
        let group = chart.draw(Ground::Light);
        let colour = Ground::Light.line(Role::WithBlend).colour;
        let faint = Ink { colour, opacity: SPREAD_OPACITY };
        let band =
            group.items.iter().find(|item| matches!(item, Item::Path(path) if path.fill == Some(faint)));
        let bounds = band.and_then(Item::bounds).unwrap();
        assert!((bounds.top - chart.frame.at(4.0, 9.0).y).abs() < 1e-9);
        assert!((bounds.bottom - chart.frame.at(0.0, -3.0).y).abs() < 1e-9);
        assert_eq!((bounds.left, bounds.right), (RECT.left, RECT.right));
    }

    #[test]
    fn limit_is_hatched_inside_its_time_with_its_words_above_beside_the_title() {
        for (from, to) in [(0.1, 0.5), (1.0, 2.0), (3.9, 4.0)] {
            let again = Span { from: 2.5, to: 3.0 };
            let words = "at its limit".to_owned();
            let chart = chart(vec![
                Band::Limit(Span { from, to }, Edge::Top, words.clone()),
                Band::Limit(again, Edge::Top, words.clone()),
            ]);
            let group = chart.draw(Ground::Light);
            let texts = texts(&group);
            let said: Vec<Rect> =
                texts.iter().filter(|text| text.content == words).map(|text| text.bounds()).collect();
            assert_eq!(said.len(), 1, "said once for both");
            assert!(RECT.left <= said[0].left && said[0].right <= RECT.right);
            let title = texts.iter().find(|text| text.content == "Elevator").unwrap().bounds();
            assert!(!title.overlaps(said[0]));
            let violet = Ground::Light.line(Role::Limit).colour;
            let hatch = group.items.iter().find(|item| {
                matches!(item, Item::Path(path) if path.stroke.as_ref().is_some_and(|s| s.ink.colour == violet))
            });
            let bounds = hatch.and_then(Item::bounds).unwrap();
            let ends = (chart.frame.at(from, 0.0).x, chart.frame.at(to, 0.0).x);
            assert!(bounds.left >= ends.0 - 1.0 && bounds.right <= ends.1 + 1.0, "{bounds:?} {ends:?}");
            let highest = chart.frame.at(4.0, 8.0).y;
            assert!(bounds.bottom < highest, "{bounds:?} covers the line, which rises to {highest}");
        }
    }

    #[test]
    fn marks_are_rings_around_their_place() {
        let mut chart = chart(Vec::new());
        chart.lines[0].mark = Some((2.0, 3.0));
        let group = chart.draw(Ground::Light);
        let rings: Vec<Rect> = group
            .items
            .iter()
            .filter(|item| {
                matches!(item, Item::Path(path) if path.stroke.is_some()
                    && path.fill == Some(Ground::Light.paper().into()))
            })
            .filter_map(Item::bounds)
            .collect();
        let at = chart.frame.at(2.0, 3.0);
        assert_eq!(rings.len(), 1);
        assert!((middle(rings[0]) - at.x).abs() < 1e-9, "{rings:?} {at:?}");
        assert!((rings[0].top + rings[0].bottom - 2.0 * at.y).abs() < 1e-9, "{rings:?} {at:?}");
    }
}
