//! A picture before it is written: paths and text in groups, in drawing order.

use crate::font::{ASCENT, DESCENT, Weight};
use crate::geometry::{Point, Rect};
use crate::palette::Colour;
use crate::text;

/// A step of a path (px).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Segment {
    /// Start a new piece here.
    Move(Point),
    /// Straight to here.
    Line(Point),
    /// Quadratic curve: control point, end.
    Quad(Point, Point),
    /// Cubic curve: two control points, end.
    Cubic(Point, Point, Point),
    /// Straight back to the start of the piece.
    Close,
}

/// Colour and how much of the ground it covers, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ink {
    /// Colour.
    pub colour: Colour,
    /// 1 hides what lies below.
    pub opacity: f64,
}

impl From<Colour> for Ink {
    fn from(colour: Colour) -> Self {
        Self { colour, opacity: 1.0 }
    }
}

/// How a line is drawn. Ends are flat, corners round.
#[derive(Debug, Clone, PartialEq)]
pub struct Stroke {
    /// Ink.
    pub ink: Ink,
    /// Width (px).
    pub width: f64,
    /// Lengths drawn and left out in turn (px), an even number of them; empty for a solid line.
    pub dash: Vec<f64>,
}

impl Stroke {
    /// A solid line.
    #[must_use]
    pub fn solid(ink: impl Into<Ink>, width: f64) -> Self {
        Self { ink: ink.into(), width, dash: Vec::new() }
    }
}

/// A line or an area, or both. Areas fill by the nonzero rule.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    /// Steps, the first of them a [`Segment::Move`].
    pub segments: Vec<Segment>,
    /// Inside.
    pub fill: Option<Ink>,
    /// Outline, over the inside.
    pub stroke: Option<Stroke>,
}

impl Path {
    /// An open line through `points`.
    #[must_use]
    pub fn line(points: impl IntoIterator<Item = Point>, stroke: Stroke) -> Self {
        Self { segments: polyline(points), fill: None, stroke: Some(stroke) }
    }

    /// A filled polygon.
    #[must_use]
    pub fn area(corners: impl IntoIterator<Item = Point>, ink: impl Into<Ink>) -> Self {
        let mut segments = polyline(corners);
        segments.push(Segment::Close);
        Self { segments, fill: Some(ink.into()), stroke: None }
    }

    /// A filled box.
    #[must_use]
    pub fn rect(rect: Rect, ink: impl Into<Ink>) -> Self {
        let Rect { left, top, right, bottom } = rect;
        let corners = [(left, top), (right, top), (right, bottom), (left, bottom)];
        Self::area(corners.map(|(x, y)| Point::new(x, y)), ink)
    }

    /// Diagonal lines, `spacing` (px) apart along the edges, cut off at the box.
    #[must_use]
    pub fn hatch(rect: Rect, spacing: f64, stroke: Stroke) -> Self {
        let Rect { left, top, right, bottom } = rect;
        let reach = rect.width() + rect.height();
        let mut segments = Vec::new();
        // Each line runs down to the left from `along`, measured along the top edge and on beyond it.
        let mut along = 0.5 * spacing;
        while along < reach {
            let start = (left + along).min(right);
            let end = (left + along - rect.height()).max(left);
            segments.push(Segment::Move(Point::new(start, top + (left + along - start))));
            segments.push(Segment::Line(Point::new(end, (top + left + along - end).min(bottom))));
            along += spacing;
        }
        Self { segments, fill: None, stroke: Some(stroke) }
    }

    fn bounds(&self) -> Option<Rect> {
        let margin = self.stroke.as_ref().map_or(0.0, |stroke| 0.5 * stroke.width);
        Rect::around(self.segments.iter().flat_map(|&s| points(s))).map(|rect| rect.grown(margin))
    }
}

fn polyline(points: impl IntoIterator<Item = Point>) -> Vec<Segment> {
    let step = |(i, p)| if i == 0 { Segment::Move(p) } else { Segment::Line(p) };
    points.into_iter().enumerate().map(step).collect()
}

fn points(segment: Segment) -> Vec<Point> {
    match segment {
        Segment::Move(a) | Segment::Line(a) => vec![a],
        Segment::Quad(a, b) => vec![a, b],
        Segment::Cubic(a, b, c) => vec![a, b, c],
        Segment::Close => Vec::new(),
    }
}

/// Which part of a line of text stands at its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// The beginning.
    Start,
    /// The middle.
    Middle,
    /// The end.
    End,
}

/// One line of text.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// What it says.
    pub content: String,
    /// Where its anchor stands, on the baseline.
    pub at: Point,
    /// Which part of it stands there.
    pub anchor: Anchor,
    /// Size [px per em].
    pub size: f64,
    /// Weight.
    pub weight: Weight,
    /// Turned clockwise on the page about its anchor (degrees).
    pub turned_deg: f64,
    /// Colour.
    pub colour: Colour,
    /// A soft edge in this colour, which keeps the text readable over lines.
    pub halo: Option<Colour>,
}

/// Width of a halo's outline over the size of the text; half of it shows.
pub const HALO_WIDTH: f64 = 0.28;

impl Text {
    /// Level text of regular weight that starts at `at`.
    #[must_use]
    pub fn new(content: impl Into<String>, at: Point, size: f64, colour: Colour) -> Self {
        Self {
            content: content.into(),
            at,
            anchor: Anchor::Start,
            size,
            weight: Weight::Regular,
            turned_deg: 0.0,
            colour,
            halo: None,
        }
    }

    /// The same with another anchor.
    #[must_use]
    pub fn anchored(self, anchor: Anchor) -> Self {
        Self { anchor, ..self }
    }

    /// The same in semi-bold.
    #[must_use]
    pub fn semi_bold(self) -> Self {
        Self { weight: Weight::SemiBold, ..self }
    }

    /// The same turned clockwise.
    #[must_use]
    pub fn turned(self, turned_deg: f64) -> Self {
        Self { turned_deg, ..self }
    }

    /// The same with a soft edge.
    #[must_use]
    pub fn with_halo(self, colour: Colour) -> Self {
        Self { halo: Some(colour), ..self }
    }

    /// Where the line starts, to the right of its anchor before it is turned (px); zero or negative.
    #[must_use]
    pub fn start(&self) -> f64 {
        let width = text::width(&self.content, self.size, self.weight);
        match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => -0.5 * width,
            Anchor::End => -width,
        }
    }

    /// Box from the highest accent to the lowest descender.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        let (left, width) = (self.start(), text::width(&self.content, self.size, self.weight));
        let (top, bottom) = (-ASCENT * self.size, DESCENT * self.size);
        let (sin, cos) = libm::sincos(self.turned_deg.to_radians());
        let corners = [(left, top), (left + width, top), (left, bottom), (left + width, bottom)];
        let turned =
            corners.map(|(x, y)| Point::new(self.at.x + x * cos - y * sin, self.at.y + x * sin + y * cos));
        turned.iter().skip(1).fold(Rect::at(turned[0]), |rect, &p| rect.union(Rect::at(p)))
    }
}

/// Anything drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// Several items under one name.
    Group(Group),
    /// A line or area.
    Path(Path),
    /// A line of text.
    Text(Text),
}

impl From<Group> for Item {
    fn from(group: Group) -> Self {
        Self::Group(group)
    }
}
impl From<Path> for Item {
    fn from(path: Path) -> Self {
        Self::Path(path)
    }
}
impl From<Text> for Item {
    fn from(text: Text) -> Self {
        Self::Text(text)
    }
}

impl Item {
    /// The box around it; `None` for an empty group or path.
    #[must_use]
    pub fn bounds(&self) -> Option<Rect> {
        match self {
            Self::Group(group) => group.bounds(),
            Self::Path(path) => path.bounds(),
            Self::Text(text) => Some(text.bounds()),
        }
    }
}

/// Items that belong together.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// What they show, for people who hear the page.
    pub label: String,
    /// In drawing order.
    pub items: Vec<Item>,
}

impl Group {
    /// An empty group.
    #[must_use]
    pub fn new(label: impl Into<String>) -> Self {
        Self { label: label.into(), items: Vec::new() }
    }

    /// Draws another item on top.
    pub fn push(&mut self, item: impl Into<Item>) {
        self.items.push(item.into());
    }

    /// The box around all items; `None` if there is nothing in it.
    #[must_use]
    pub fn bounds(&self) -> Option<Rect> {
        self.items.iter().filter_map(Item::bounds).reduce(Rect::union)
    }
}

/// A whole page.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Width (px).
    pub width: f64,
    /// Height (px).
    pub height: f64,
    /// What it is drawn on.
    pub ground: Colour,
    /// A short name, read first by a screen reader.
    pub title: String,
    /// What the page says in words.
    pub description: String,
    /// Everything on it.
    pub content: Group,
}

impl Drawing {
    /// The whole page as a box.
    #[must_use]
    pub fn page(&self) -> Rect {
        Rect { left: 0.0, top: 0.0, right: self.width, bottom: self.height }
    }

    /// Every line of text on the page, in drawing order.
    #[must_use]
    pub fn texts(&self) -> Vec<&Text> {
        fn gather<'a>(group: &'a Group, texts: &mut Vec<&'a Text>) {
            for item in &group.items {
                match item {
                    Item::Group(inner) => gather(inner, texts),
                    Item::Text(text) => texts.push(text),
                    Item::Path(_) => {}
                }
            }
        }
        let mut texts = Vec::new();
        gather(&self.content, &mut texts);
        texts
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const BOX: Rect = Rect { left: 10.0, top: 20.0, right: 70.0, bottom: 50.0 };

    #[test]
    fn hatch_stays_inside_its_box_and_runs_at_45_degrees() {
        for spacing in [5.0, 7.3, 40.0] {
            let hatch = Path::hatch(BOX, spacing, Stroke::solid(Colour::hex(0), 1.0));
            assert!(BOX.grown(0.5).contains(hatch.bounds().unwrap()));
            for pair in hatch.segments.chunks(2) {
                let [Segment::Move(a), Segment::Line(b)] = *pair else { panic!("{pair:?}") };
                assert!(((a.x - b.x) - (b.y - a.y)).abs() < 1e-9, "{a:?} {b:?}");
            }
        }
    }

    #[test]
    fn turned_text_turns_its_box() {
        let level = Text::new("drift", Point::new(100.0, 100.0), 20.0, Colour::hex(0));
        let (flat, upright) = (level.bounds(), level.turned(-90.0).bounds());
        assert!((flat.width() - upright.height()).abs() < 1e-9);
        assert!((upright.bottom - 100.0).abs() < 1e-9 && upright.right > 100.0);
    }

    #[test]
    fn anchors_move_the_box() {
        let start = Text::new("12 m", Point::new(100.0, 100.0), 20.0, Colour::hex(0));
        assert_eq!(start.bounds().left, 100.0);
        assert!((start.clone().anchored(Anchor::End).bounds().right - 100.0).abs() < 1e-9);
        let middle = start.anchored(Anchor::Middle).bounds();
        assert!((middle.left + middle.right - 200.0).abs() < 1e-9);
    }
}
