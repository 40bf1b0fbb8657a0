//! The model from behind, from the side and, for yaw, from above, with what turns it.

use super::{number, paint};
use crate::drawing::{Anchor, Group, Ink, Path, Stroke, Text};
use crate::geometry::{Point, Rect};
use crate::palette::{Colour, Ground, LineStyle};
use crate::sheet::{MARGIN, PAGE_WIDTH, Sheet};
use crate::silhouette::{ModelShape, Placing, View, silhouette};
use airframe::Part;
use core::f64::consts::PI;
use measure::Side;
use mix::Follower;
use nalgebra::Vector3;
use study::explain::{Origin, Push, cell_words};

/// Longest arrow (px), and radius of a ring.
const ARROW: f64 = 92.0;
const RING: f64 = 13.0;
/// Every further ring is so much larger (px).
const RING_STEP: f64 = 8.0;
/// Causes at one half of a wing stand so far apart, share of their distance from the middle.
const APART: f64 = 0.22;
/// Arrows shorter than this are not seen (px).
const SHORT: f64 = 5.0;
/// What asks for less than this share of the largest is not drawn.
const FAINT: f64 = 0.08;
/// What acts nearer to the axis than this share of the model's reach turns it without a lever.
const NEAR: f64 = 0.16;
/// Most a model may reach above and below its centre of mass (px).
const MOST_HIGH: f64 = 132.0;
/// A ring of the largest goes round so far \[rad\].
const ROUND: f64 = 1.6 * PI;
const LABEL: f64 = 14.5;
/// A label looks for room in steps of so much (px), this often; where it only repeats a name, it is left away
/// rather than put far off.
const STEP: f64 = 4.0;
const FAR: usize = 40;
const NEARBY: usize = 4;
/// Nearest to the edge of the page (px).
const EDGE: f64 = 16.0;
const LEVEL: [[f64; 3]; 3] = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];

/// What stands under the picture.
pub(super) const CAPTION: &str = "Arrows: how much of each force turns the model about this axis, more than in the flight \
     from which the need is counted, where it acts; rings: what turns it without a lever. Beside each the percent of the \
     follower that it asks for, beside a pair on both halves of a wing that of the pair; all of them, small ones too, add \
     up to the whole. A force through the centre of mass (the dot) turns \
     nothing and is not drawn.";

/// What stands under the picture of a moment.
pub(super) const MOMENT_CAPTION: &str = "Arrows: how much of each force turns the model about this axis, more than at the \
     beginning of the flight, where it acts; rings: what turns it without a lever. Beside each the percent of the follower \
     that it asks for; all of them, small ones too, add up to what is asked for in all. A force through the centre of mass \
     (the dot) turns nothing and is not drawn.";

/// Everything that turns the model about one axis.
#[derive(Debug, Clone)]
pub(super) struct Turning {
    pub(super) model: ModelShape,
    /// Body axes.
    pub(super) axis: Vector3<f64>,
    pub(super) pushes: Vec<Push>,
    /// What answers.
    pub(super) follower: Follower,
}

/// A view and what it is called.
#[derive(Clone, Copy)]
struct Seen {
    view: View,
    words: &'static str,
    /// Whether left and right lie behind one another.
    sideways: bool,
}

/// How a push turns the model.
enum Turn {
    /// By this force at its place \[N\].
    Lever(Vector3<f64>),
    /// By a moment alone [N m].
    Ring(f64),
}

impl Turning {
    /// The views beside each other, the one along the axis first.
    pub(super) fn draw(&self, sheet: &mut Sheet) {
        let seen = |view, words| Seen { view, words, sideways: false };
        let behind = seen(View::from_behind(0.0), "from behind");
        let above = seen(View { right: [0.0, 1.0, 0.0], up: [1.0, 0.0, 0.0] }, "from above");
        let left = View { right: [-1.0, 0.0, 0.0], up: [0.0, 0.0, -1.0] };
        let left = Seen { sideways: true, ..seen(left, "from the left") };
        match () {
            () if self.axis.z != 0.0 => self.row(sheet, &[above, left, behind]),
            () if self.axis.y != 0.0 => self.row(sheet, &[left, behind]),
            () => self.row(sheet, &[behind, left]),
        }
    }

    fn row(&self, sheet: &mut Sheet, views: &[Seen]) {
        let room = (PAGE_WIDTH - 2.0 * MARGIN) / views.len() as f64;
        let ground = sheet.ground();
        let place = |i: usize, seen: &Seen, down: f64| {
            let (wide, high) = self.model.reach(LEVEL, seen.view);
            let beside = if views.len() > 2 { 0.1 * ARROW } else { 0.6 * ARROW };
            let px_per_m = ((0.5 * room - beside) / wide.max(1e-6)).min(MOST_HIGH / high.max(1e-6));
            Placing { at: Point::new(MARGIN + room * (i as f64 + 0.5), down), px_per_m }
        };
        let group = |i: usize, seen: &Seen, down: f64| self.seen(seen, place(i, seen, down), ground);
        // drawn once to see how high it is, then where it belongs
        let bounds = views.iter().enumerate().filter_map(|(i, seen)| group(i, seen, 0.0).bounds());
        let bounds = bounds.reduce(Rect::union);
        let (above, below) = bounds.map_or((0.0, 0.0), |b| (-b.top, b.bottom));
        let middle = sheet.down() + above + 6.0;
        for (i, seen) in views.iter().enumerate() {
            sheet.push(group(i, seen, middle));
            let at = Point::new(place(i, seen, middle).at.x, middle + below + 30.0);
            sheet.push(Text::new(seen.words, at, LABEL + 1.0, ground.quiet_text()).anchored(Anchor::Middle));
        }
        sheet.skip(above + below + 56.0);
    }

    /// What is worth drawing, with how it turns. Seen from the side both halves pitch as one.
    fn turns(&self, seen: &Seen) -> Vec<(Push, Turn)> {
        let mut pushes = self.pushes.clone();
        if seen.sideways && self.axis.y != 0.0 {
            pushes = pushes.chunk_by(|a, b| a.part == b.part).map(together).collect();
        }
        let most = self.pushes.iter().map(|p| p.share.abs()).fold(0.0, f64::max);
        let near = NEAR * self.model.radius();
        pushes.retain(|push| push.share.abs() >= FAINT * most);
        beside_each_other(&mut pushes);
        let of = |push: Push| {
            let mut across = push.at - self.axis * self.axis.dot(&push.at);
            if push.origin.is_some() {
                // a wing rolls by what it lifts
                across.z = 0.0;
            }
            let turn = if across.norm() > near {
                Turn::Lever(self.axis.cross(&across) * (push.moment / across.norm_squared()))
            } else {
                Turn::Ring(push.moment)
            };
            (push, turn)
        };
        pushes.into_iter().map(of).collect()
    }

    fn seen(&self, seen: &Seen, placing: Placing, ground: Ground) -> Group {
        let view = seen.view;
        let mut group = Group::new("the model and what turns it");
        let style = LineStyle { colour: ground.quiet_text(), width: 1.2, dash: &[] };
        group.push(silhouette(&self.model, LEVEL, view, placing, style, ground));
        let turns = self.turns(seen);
        let longest =
            |of: &dyn Fn(&Turn) -> f64| turns.iter().map(|(_, turn)| of(turn)).fold(0.0, f64::max).max(1e-12);
        let longest_lever = longest(&|turn| if let Turn::Lever(f) = turn { f.norm() } else { 0.0 });
        let longest_ring = longest(&|turn| if let Turn::Ring(m) = turn { m.abs() } else { 0.0 });
        let page = |v: &Vector3<f64>, scale: f64| {
            let (right, up) = view.flat((*v).into());
            (right * scale, -up * scale)
        };
        let towards = self.axis.dot(&Vector3::from(view.to_viewer()));
        let along = towards.abs() > 0.5;
        let mut radius = RING;
        let (mut marks, mut ends) = (Vec::new(), Vec::new());
        for (push, turn) in &turns {
            let (x, y) = page(&push.at, placing.px_per_m);
            let from = Point::new(placing.at.x + x, placing.at.y + y);
            let colour = paint(Some(push.part)).colour();
            match turn {
                Turn::Lever(force) => {
                    let (dx, dy) = page(force, ARROW / longest_lever);
                    if libm::hypot(dx, dy) >= SHORT {
                        let to = Point::new(from.x + dx, from.y + dy);
                        marks.push(arrow(from, to, colour, ground));
                        ends.push((push, from, to));
                    }
                }
                // seen along the axis only; one around the other
                Turn::Ring(moment) if along => {
                    let round = (moment / longest_ring) * ROUND * towards.signum();
                    marks.push(ring(placing.at, radius, round, colour, ground));
                    let beside = Point::new(placing.at.x + RING, placing.at.y + RING);
                    ends.push((push, placing.at, beside));
                    radius += RING_STEP;
                }
                Turn::Ring(_) => {}
            }
        }
        let mut taken: Vec<Rect> = marks.iter().filter_map(Group::bounds).collect();
        marks.into_iter().for_each(|mark| group.push(mark));
        for (push, from, to) in ends {
            // of a pair the one that points up is named, for both
            let paired = push.origin.is_some();
            if paired && (to.y > from.y || !along) {
                continue;
            }
            let mut words = name(push);
            if along {
                let share = if paired { 2.0 * push.share } else { push.share };
                words += &format!(" {}", number(self.follower, 100.0 * share));
            }
            let far = if along { FAR } else { NEARBY };
            if let Some(label) = label(&words, (from, to), far, &mut taken, ground) {
                group.push(label);
            }
        }
        group.push(dot(placing.at, ground));
        group
    }
}

/// Both halves of a part as one.
fn together(halves: &[Push]) -> Push {
    let count = halves.len() as f64;
    Push {
        side: None,
        at: halves.iter().map(|p| p.at).sum::<Vector3<f64>>() / count,
        moment: halves.iter().map(|p| p.moment).sum(),
        share: halves.iter().map(|p| p.share).sum(),
        ..halves[0]
    }
}

/// Several causes at the same half are moved apart, towards the tip, the largest innermost; each keeps its moment.
fn beside_each_other(pushes: &mut [Push]) {
    pushes.sort_by(|a, b| {
        let key = |p: &Push| (p.part.index(), p.side.map(|s| s == Side::Right));
        key(a).cmp(&key(b)).then(b.share.abs().total_cmp(&a.share.abs()))
    });
    for half in pushes.chunk_by_mut(|a, b| a.part == b.part && a.side == b.side) {
        for (i, push) in half.iter_mut().enumerate() {
            push.at.y *= 1.0 + APART * i as f64;
        }
    }
}

/// What a push is called: its part, or its cause.
fn name(push: &Push) -> String {
    match (push.origin, push.side) {
        (Some(Origin::Plain), _) => cell_words(Origin::Plain, push.part),
        (Some(origin), _) if push.part == Part::Wing => origin.words().to_owned(),
        (Some(origin), _) => format!("{}, {}", origin.words(), push.part.word()),
        (None, Some(side)) => format!("{} {}", side.word(), push.part.word()),
        (None, None) => push.part.word().to_owned(),
    }
}

fn dot(at: Point, ground: Ground) -> Group {
    let mut group = Group::new("centre of mass");
    for (size, colour) in [(6.0, ground.paper()), (4.0, ground.text())] {
        let corners = [(0.0, -size), (size, 0.0), (0.0, size), (-size, 0.0)];
        group.push(Path::area(corners.map(|(x, y)| Point::new(at.x + x, at.y + y)), colour));
    }
    group
}

fn arrow(from: Point, to: Point, colour: Colour, ground: Ground) -> Group {
    const HEAD: f64 = 10.0;
    let mut group = Group::new("a force");
    let (dx, dy) = (to.x - from.x, to.y - from.y);
    let length = libm::hypot(dx, dy);
    let (ux, uy) = (dx / length, dy / length);
    let head = HEAD.min(0.7 * length);
    let neck = Point::new(to.x - head * ux, to.y - head * uy);
    group.push(Path::line([from, neck], Stroke::solid(ground.paper(), 7.0)));
    group.push(Path::line([from, neck], Stroke::solid(colour, 4.0)));
    group.push(tip(to, (ux, uy), head, colour));
    group
}

fn tip(to: Point, (ux, uy): (f64, f64), head: f64, colour: Colour) -> Path {
    let neck = Point::new(to.x - head * ux, to.y - head * uy);
    let aside = |side: f64| Point::new(neck.x - side * uy, neck.y + side * ux);
    Path::area([to, aside(0.6 * head), aside(-0.6 * head)], colour)
}

/// An arc around `middle`, from the top, `round` \[rad\] against the clock as seen.
fn ring(middle: Point, radius: f64, round: f64, colour: Colour, ground: Ground) -> Group {
    const STEPS: usize = 24;
    const HEAD: f64 = 9.0;
    let mut group = Group::new("a moment");
    let at = |angle: f64| {
        let (sin, cos) = libm::sincos(angle);
        Point::new(middle.x - radius * sin, middle.y - radius * cos)
    };
    let points: Vec<Point> = (0..=STEPS).map(|i| at(round * i as f64 / STEPS as f64)).collect();
    group.push(Path::line(points.iter().copied(), Stroke::solid(ground.paper(), 6.5)));
    group.push(Path::line(points, Stroke::solid(colour, 3.5)));
    let (sin, cos) = libm::sincos(round);
    let along = (-cos * round.signum(), sin * round.signum());
    let end = at(round);
    let to = Point::new(end.x + 0.7 * HEAD * along.0, end.y + 0.7 * HEAD * along.1);
    group.push(tip(to, along, HEAD, colour));
    group
}

/// Words beyond the arrow's head, moved on by up to `far` steps where something stands already.
fn label(
    words: &str,
    (from, to): (Point, Point),
    far: usize,
    taken: &mut Vec<Rect>,
    ground: Ground,
) -> Option<Group> {
    let (dx, dy) = (to.x - from.x, to.y - from.y);
    let length = libm::hypot(dx, dy);
    let anchor = match () {
        () if dx.abs() < 0.5 * length => Anchor::Middle,
        () if dx > 0.0 => Anchor::Start,
        () => Anchor::End,
    };
    let down = if dy > 0.0 { 1.0 } else { -1.0 };
    let (x, y) = match anchor {
        Anchor::Middle => (to.x, to.y + if dy > 0.0 { LABEL + 1.0 } else { -6.0 }),
        _ => (to.x + 7.0 * dx / length, to.y + 5.0),
    };
    let at = |y: f64| {
        let mut text = Text::new(words, Point::new(x, y), LABEL, ground.text())
            .anchored(anchor)
            .with_halo(ground.paper());
        // back onto the page
        let bounds = text.bounds();
        text.at.x += (EDGE - bounds.left).max(0.0) - (bounds.right - PAGE_WIDTH + EDGE).max(0.0);
        text
    };
    // nearer places first, those beyond the arrow before those on its side
    let places = (0..far).flat_map(|step| [down, -down].map(|way| y + way * step as f64 * STEP));
    let text = places.map(at).find(|text| taken.iter().all(|other| !other.overlaps(text.bounds())))?;
    let bounds = text.bounds();
    taken.push(bounds);
    let mut group = Group::new(words);
    group.push(Path::rect(bounds, Ink { colour: ground.paper(), opacity: 0.8 }));
    group.push(text);
    Some(group)
}
