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
/// Room left of a chart for its tick labels (px).
pub const TICK_ROOM: f64 = 74.0;
/// From the end of a chart to the labels of its lines (px).
pub const LABEL_GAP: f64 = 14.0;

/// Free height where a direction is written into the chart (px).
pub const WORDS_ROOM: f64 = 31.0;
/// Free height where none is written (px).
const BARE_ROOM: f64 = 10.0;
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
    /// True if it stands for another line too that it hides: its name is then in no flight's colour.
    pub shared: bool,
    /// Values of both axes, along the line.
    pub points: Vec<(f64, f64)>,
    /// Lowest and highest y at each point, as a band; empty if not known.
    pub spread: Vec<(f64, f64)>,
}

/// A range of x that means something.
#[derive(Debug, Clone, PartialEq)]
pub enum Band {
    /// A judged leg: shaded.
    Judged(Span),
    /// A surface at its limit: hatched, with words that say which.
    Limit(Span, String),
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
    let limits = bands.iter().any(|band| matches!(band, Band::Limit(..)));
    let room = |written| if written || limits { WORDS_ROOM } else { BARE_ROOM };
    Pads { left: 0.0, top: room(y.to > 0.0), right: 0.0, bottom: room(y.from < 0.0) }
}

impl Chart {
    /// Draws it.
    #[must_use]
    pub fn draw(&self, ground: Ground) -> Group {
        let mut group = Group::new(self.title.clone());
        if !self.title.is_empty() {
            let at = Point::new(self.frame.rect.left, self.frame.rect.top - 9.0);
            group.push(Text::new(self.title.clone(), at, TEXT_SIZE, ground.text()).semi_bold());
        }
        self.draw_shades(ground, &mut group);
        self.draw_y_axis(ground, &mut group);
        self.draw_x_axis(ground, &mut group);
        self.draw_spreads(ground, &mut group);
        let words = self.draw_words(ground, &mut group);
        self.draw_limits(ground, &words, &mut group);
        for line in &self.lines {
            group.push(Path::line(self.places(line), stroke(ground.line(line.role))));
        }
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
        for &value in &set.values {
            let height = self.frame.at(0.0, value).y;
            let opacity = if value == 0.0 { AXIS_OPACITY } else { HAIRLINE_OPACITY };
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

    /// What up and down mean, at the ends of the vertical axis. Returns the boxes taken.
    fn draw_words(&self, ground: Ground, group: &mut Group) -> Vec<Rect> {
        let rect = self.frame.rect;
        let zero = self.frame.at(0.0, 0.0).y;
        let ends = [
            ('↑', &self.y.up, rect.top + 20.0, zero - rect.top),
            ('↓', &self.y.down, rect.bottom - 9.0, rect.bottom - zero),
        ];
        let written = ends.into_iter().filter(|&(_, words, _, room)| room >= WORDS_ROOM && !words.is_empty());
        written
            .map(|(arrow, words, baseline, _)| {
                let at = Point::new(rect.left + 8.0, baseline);
                let text = Text::new(format!("{arrow} {words}"), at, TEXT_SIZE, ground.quiet_text())
                    .with_halo(ground.paper());
                let taken = text.bounds();
                group.push(text);
                taken
            })
            .collect()
    }

    fn draw_limits(&self, ground: Ground, taken: &[Rect], group: &mut Group) {
        const BAR: f64 = 5.0;
        let style = ground.line(Role::Limit);
        for band in &self.bands {
            let Band::Limit(x, words) = band else { continue };
            let column = self.column(*x);
            let ink = Ink { colour: style.colour, opacity: 0.55 };
            group.push(Path::hatch(column, 9.0, Stroke::solid(ink, 1.5)));
            group.push(Path::rect(Rect { bottom: column.top + BAR, ..column }, style.colour));
            group.push(self.limit_words(words, column, ground, taken));
        }
    }

    /// Words over a hatched band: high if that is free, else low, else high beside the direction there.
    fn limit_words(&self, words: &str, column: Rect, ground: Ground, taken: &[Rect]) -> Text {
        const GAP: f64 = 6.0;
        let rect = self.frame.rect;
        let half = 0.5 * text::width(words, TEXT_SIZE, Weight::SemiBold);
        let over = 0.5 * (column.left + column.right);
        let write = |middle: f64, baseline| {
            let middle = middle.min(rect.right - half - GAP).max(rect.left + half + GAP);
            Text::new(words, Point::new(middle, baseline), TEXT_SIZE, ground.text())
                .anchored(Anchor::Middle)
                .semi_bold()
                .with_halo(ground.paper())
        };
        let (high, low) = (rect.top + 26.0, rect.bottom - 9.0);
        let beside = taken.iter().map(|taken| taken.right).fold(rect.left, f64::max) + 2.0 * GAP + half;
        let free = |text: &Text| !taken.iter().any(|taken| taken.overlaps(text.bounds()));
        let places = [(over, high), (over, low)].map(|(middle, baseline)| write(middle, baseline));
        places.into_iter().find(free).unwrap_or_else(|| write(beside, high))
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
            named.iter().map(|(line, end)| self.label_lines(&line.name, end.1)).collect();
        let wanted: Vec<f64> = named.iter().map(|&(_, (x, y))| self.frame.at(x, y).y).collect();
        let heights: Vec<f64> = blocks.iter().map(|block| block.len() as f64 * LEADING + 4.0).collect();
        let middles = end_label::spread(&wanted, &heights, rect.top - 8.0, rect.bottom + 8.0);
        for (((line, end), block), middle) in named.into_iter().zip(blocks).zip(middles) {
            let colour = if line.shared { ground.text() } else { ground.line(line.role).colour };
            let end = self.frame.at(end.0, end.1);
            group.push(leader(end, Point::new(rect.right + LABEL_GAP - 4.0, middle), colour));
            label_block(&block, Point::new(rect.right + LABEL_GAP, middle), colour, group);
        }
    }

    fn label_lines(&self, name: &str, value: f64) -> Vec<(String, Weight)> {
        let room = self.label_room - LABEL_GAP;
        let wrapped = |words: &str, weight| {
            text::wrap_evenly(words, TEXT_SIZE, weight, room).into_iter().map(move |line| (line, weight))
        };
        let said = self.y.say(value);
        wrapped(name, Weight::SemiBold).chain(wrapped(&said, Weight::Regular)).collect()
    }
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
        assert!(words.join(" ").contains("with the blend 8.0 deg trailing edge up"), "{words:?}");
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
    fn limit_is_hatched_inside_its_time_and_its_words_avoid_the_directions() {
        for (from, to) in [(0.1, 0.5), (1.0, 2.0), (3.9, 4.0)] {
            let chart = chart(vec![Band::Limit(Span { from, to }, "at its limit".into())]);
            let group = chart.draw(Ground::Light);
            let texts = texts(&group);
            let words = texts.iter().find(|text| text.content == "at its limit").unwrap().bounds();
            assert!(RECT.left <= words.left && words.right <= RECT.right);
            let directions =
                texts.iter().filter(|text| text.content.contains("trailing edge") && text.halo.is_some());
            assert!(directions.map(|text| text.bounds()).all(|bounds| !bounds.overlaps(words)));
            let violet = Ground::Light.line(Role::Limit).colour;
            let hatch = group.items.iter().find(|item| {
                matches!(item, Item::Path(path) if path.stroke.as_ref().is_some_and(|s| s.ink.colour == violet))
            });
            let bounds = hatch.and_then(Item::bounds).unwrap();
            let ends = (chart.frame.at(from, 0.0).x, chart.frame.at(to, 0.0).x);
            assert!(bounds.left >= ends.0 - 1.0 && bounds.right <= ends.1 + 1.0, "{bounds:?} {ends:?}");
        }
    }
}
