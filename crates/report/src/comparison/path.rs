//! The path of both flights, from where it bends, with the model each second, or less often on a long flight.

use super::{CLOSE_S, ComparisonPage, FlightTrace, LABEL_ROOM, PathView, StationView, WITH, WITHOUT, after};
use crate::chart::{self, Chart, LEADING, Line, TEXT_SIZE, TICK_HEIGHT, TICK_ROOM, XAxis};
use crate::drawing::{Anchor, Group, Path, Stroke, Text};
use crate::font::Weight;
use crate::frame::{Frame, Pads};
use crate::geometry::{Point, Rect};
use crate::palette::{Ground, Role};
use crate::sheet::{MARGIN, PAGE_WIDTH, Sheet};
use crate::signed::Signed;
use crate::silhouette::{Placing, View, silhouette};
use crate::text;
use crate::ticks::Span;
use std::f64::consts::TAU;

/// Size of a silhouette (px): models would be specks at the scale of the path, so they are enlarged.
const SILHOUETTE: f64 = 86.0;
/// Width of the bar where the judging began (px).
const GATE: f64 = 3.0;
/// Places closer together than this are one (px).
const TOGETHER: f64 = 3.0;
/// Least and greatest height of the chart (px).
const HEIGHTS: (f64, f64) = (150.0, 420.0);

pub(super) fn draw(page: &ComparisonPage, sheet: &mut Sheet) {
    let flat = Picture {
        title: &page.path_title,
        unit: "m",
        along_words: &page.view.along_words,
        across: &page.view.across,
        flat: true,
        judged: page.judged_line_ned_m.iter().map(|&p| page.view.flat(p)).collect(),
        flights: [&page.without, &page.with].map(|trace| page.view.places(trace)),
    };
    draw_picture(page, &flat, sheet);
    if let Some(station) = &page.station {
        let seen = Picture {
            title: &station.title,
            unit: "deg",
            along_words: "direction from the pilot",
            across: &station.height,
            flat: false,
            judged: station.judged_ned_m.iter().map(|&p| station.direction(p)).collect(),
            flights: [&station.without_ned_m, &station.with_ned_m]
                .map(|way| way.iter().map(|&p| station.place(p)).collect()),
        };
        draw_picture(page, &seen, sheet);
    }
}

/// Both flights as seen from somewhere, in the unit of its axes.
struct Picture<'a> {
    title: &'a str,
    unit: &'a str,
    along_words: &'a str,
    across: &'a Signed,
    /// A path in metres: its axes begin at zero.
    flat: bool,
    judged: Vec<(f64, f64)>,
    /// A place for each sample: without the blend, with it.
    flights: [Vec<Place>; 2],
}

/// Where a model is in a picture, and how it is looked at.
struct Place {
    at: (f64, f64),
    view: View,
    /// Size of a metre there, in the unit of the axes.
    metre: f64,
}

fn draw_picture(page: &ComparisonPage, picture: &Picture<'_>, sheet: &mut Sheet) {
    let ground = sheet.ground();
    let baseline = sheet.section(picture.title);
    draw_key(page, picture, baseline, ground, sheet);
    let mut lines = lines(page, picture);
    let (frame, enlarged) = frame(page, picture, &lines, Point::new(MARGIN + TICK_ROOM, sheet.down()));
    let shared = coincide(page, picture, frame);
    let models = models(page, picture, frame, enlarged);
    let label = axis_words(page, picture, enlarged, &models);
    if shared {
        name_both(page, &mut lines);
    }
    let chart = Chart {
        title: String::new(),
        frame,
        x: Some(XAxis { label, unit: picture.unit.to_owned() }),
        y: picture.across.clone(),
        bands: Vec::new(),
        lines,
        label_room: LABEL_ROOM,
    };
    let mut group = chart.draw(ground);
    picture.title.clone_into(&mut group.label);
    draw_models(page, picture, &models, ground, &mut group);
    draw_gates(page, picture, frame, ground, &mut group);
    draw_rings(page, picture, frame, ground, &mut group);
    sheet.push(group);
    sheet.skip(frame.rect.height() + TICK_HEIGHT + LEADING + 20.0);
}

fn lines(page: &ComparisonPage, picture: &Picture<'_>) -> Vec<Line> {
    let line = |role, name: &str, when, points| Line {
        role,
        name: name.to_owned(),
        when,
        // The rings lie over the models, which are drawn later.
        mark: None,
        shared: false,
        points,
        spread: Vec::new(),
    };
    let path = |i: usize| picture.flights[i].iter().map(|place| place.at).collect();
    vec![
        line(Role::Judged, "", String::new(), picture.judged.clone()),
        line(Role::WithBlend, WITH, page.with.end_words(), path(1)),
        line(Role::WithoutBlend, WITHOUT, page.without.end_words(), path(0)),
    ]
}

/// True if the two paths cannot be told apart on the page.
fn coincide(page: &ComparisonPage, picture: &Picture<'_>, frame: Frame) -> bool {
    let [a, b] = &picture.flights;
    let apart = a.iter().zip(b).map(|(a, b)| far(frame.at(a.at.0, a.at.1), frame.at(b.at.0, b.at.1)));
    page.with.time_s == page.without.time_s && apart.fold(0.0, f64::max) < TOGETHER
}

fn far(a: Point, b: Point) -> f64 {
    libm::hypot(a.x - b.x, a.y - b.y)
}

fn name_both(page: &ComparisonPage, lines: &mut [Line]) {
    for line in lines {
        match line.role {
            Role::WithBlend => (line.name, line.shared) = (page.both_words().to_owned(), true),
            Role::WithoutBlend => line.name.clear(),
            _ => {}
        }
    }
}

impl PathView {
    /// An earth position as metres along and across the page.
    fn flat(&self, ned_m: [f64; 3]) -> (f64, f64) {
        let from = self.origin_ned_m;
        self.view.flat([ned_m[0] - from[0], ned_m[1] - from[1], ned_m[2] - from[2]])
    }

    fn places(&self, trace: &FlightTrace) -> Vec<Place> {
        let place = |&p| Place { at: self.flat(p), view: self.view, metre: 1.0 };
        trace.position_ned_m.iter().map(place).collect()
    }
}

impl StationView {
    /// Direction of an earth position: right of straight ahead, above the horizon (deg).
    fn direction(&self, ned_m: [f64; 3]) -> (f64, f64) {
        let [north, east, down] = self.seen_from_the_eye(ned_m);
        let across = libm::hypot(north, east);
        let right = libm::atan2(east, north) - self.facing_rad;
        let right = right - TAU * (right / TAU).round();
        (right.to_degrees(), libm::atan2(-down, across).to_degrees())
    }

    fn seen_from_the_eye(&self, ned_m: [f64; 3]) -> [f64; 3] {
        [0, 1, 2].map(|i| ned_m[i] - self.eye_ned_m[i])
    }

    /// Seen along the line of sight, the horizon level.
    fn place(&self, ned_m: [f64; 3]) -> Place {
        let [north, east, down] = self.seen_from_the_eye(ned_m);
        let (sin, cos) = libm::sincos(libm::atan2(east, north));
        let (rise, flat) = libm::sincos(libm::atan2(-down, libm::hypot(north, east)));
        let view = View { right: [-sin, cos, 0.0], up: [-rise * cos, -rise * sin, -flat] };
        let away = libm::hypot(libm::hypot(north, east), down).max(1.0);
        Place { at: self.direction(ned_m), view, metre: (1.0 / away).to_degrees() }
    }
}

/// Room for the lines, the silhouettes on them, and the words for both directions above and below; and how
/// much the silhouettes are enlarged.
fn frame(page: &ComparisonPage, picture: &Picture<'_>, lines: &[Line], corner: Point) -> (Frame, f64) {
    const LEAST_ALONG: f64 = 1.0;
    let span = |pick: fn(&(f64, f64)) -> f64, least| {
        let values = lines.iter().flat_map(|line| line.points.iter().map(pick));
        let span = Span::covering(values).unwrap_or(Span { from: 0.0, to: 0.0 });
        if picture.flat { span.from_zero(least) } else { widened(span, least) }
    };
    let (x, y) = (span(|p| p.0, LEAST_ALONG), span(|p| p.1, picture.across.least_axis));
    let metre = picture.flights.iter().flatten().map(|place| place.metre).fold(0.0, f64::max);
    let (sideways, upright) = models_reach(page, picture);
    let size = 2.0 * page.model.radius() * metre;
    let px = if size > 0.0 { SILHOUETTE / size } else { 0.0 };
    let pads = pads(sideways * px, upright * px);
    let frame = fitted(corner, x, y, pads);
    if size * frame.x_scale() <= SILHOUETTE {
        return (frame, enlargement(size * frame.x_scale()));
    }
    // At life size the models outgrow the room kept for them, so it is added to the lines instead.
    let grown = |span: Span, by| Span { from: span.from - by, to: span.to + by };
    (fitted(corner, grown(x, sideways), grown(y, upright), self::pads(0.0, 0.0)), 1.0)
}

/// At least so long, about its middle.
fn widened(span: Span, least: f64) -> Span {
    let more = (0.5 * (least - span.length())).max(0.0);
    Span { from: span.from - more, to: span.to + more }
}

fn pads(sideways: f64, upright: f64) -> Pads {
    const GAP: f64 = 6.0;
    let (side, end) = (sideways + GAP, upright + chart::WORDS_ROOM);
    Pads { left: side, top: end, right: side, bottom: end }
}

fn fitted(corner: Point, x: Span, y: Span, pads: Pads) -> Frame {
    Frame::equal_scale(corner, PAGE_WIDTH - 2.0 * MARGIN - TICK_ROOM - LABEL_ROOM, HEIGHTS, x, y, pads)
}

/// How far the silhouettes reach from their places: sideways, and up or down the page, in the unit of the
/// axes.
fn models_reach(page: &ComparisonPage, picture: &Picture<'_>) -> (f64, f64) {
    let interval = interval_s(page);
    let reaches =
        [&page.without, &page.with].into_iter().zip(&picture.flights).flat_map(|(trace, places)| {
            moments(trace, interval).into_iter().map(|sample| {
                let place = &places[sample];
                let (right, up) = page.model.reach(trace.attitude[sample], place.view);
                (right * place.metre, up * place.metre)
            })
        });
    reaches.fold((0.0, 0.0), |most: (f64, f64), reach| (most.0.max(reach.0), most.1.max(reach.1)))
}

/// The largest of these round factors that keeps a model of this size (px) within [`SILHOUETTE`].
fn enlargement(true_size: f64) -> f64 {
    let steps = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 15.0, 20.0, 30.0, 50.0, 100.0];
    steps.into_iter().rfind(|step| step * true_size <= SILHOUETTE).unwrap_or(1.0)
}

fn axis_words(page: &ComparisonPage, picture: &Picture<'_>, enlarged: f64, models: &[Model]) -> String {
    let along = picture.along_words;
    if page.model.facets.is_empty() {
        return along.to_owned();
    }
    let crowded = if models.iter().any(|model| model.crowded) { " at most" } else { "" };
    let size = if enlarged > 1.0 { format!(", drawn {enlarged:.0} times its size") } else { String::new() };
    let when = match interval_s(page) {
        1.0 => "each second".to_owned(),
        interval => format!("every {interval} s"),
    };
    format!("{along}; the model {when}{crowded}{size}")
}

/// A silhouette: of which flight, at which of its samples, and how it is placed.
struct Model {
    flight: usize,
    sample: usize,
    placing: Placing,
    /// Left out: another of the same flight stands there.
    crowded: bool,
    /// Left out: that of the other flight at the same moment says the same.
    twin: bool,
}

/// The silhouettes of both flights, from their ends backwards, so that the last is always there. The
/// second flight stands over the first.
fn models(page: &ComparisonPage, picture: &Picture<'_>, frame: Frame, enlarged: f64) -> Vec<Model> {
    const ROOM: f64 = 0.45;
    let mut models: Vec<Model> = Vec::new();
    for (flight, (trace, _)) in both(page).into_iter().enumerate().rev() {
        for sample in moments(trace, interval_s(page)).into_iter().rev() {
            let Place { at, metre, .. } = picture.flights[flight][sample];
            let placing = Placing { at: frame.at(at.0, at.1), px_per_m: frame.x_scale() * enlarged * metre };
            let size = 2.0 * page.model.radius() * placing.px_per_m;
            let away = |other: &Model| far(other.placing.at, placing.at);
            let crowds =
                |other: &Model| other.flight == flight && !other.crowded && away(other) < ROOM * size;
            let is_twin =
                |other: &Model| other.flight != flight && other.sample == sample && away(other) < TOGETHER;
            let (crowded, twin) = (models.iter().any(crowds), models.iter().any(is_twin));
            models.push(Model { flight, sample, placing, crowded, twin });
        }
    }
    models.reverse();
    models
}

/// A bar across each path where the judging began.
fn draw_gates(page: &ComparisonPage, picture: &Picture<'_>, frame: Frame, ground: Ground, group: &mut Group) {
    const HALF: f64 = 11.0;
    let Some((from_s, _)) = page.judged_leg_s else { return };
    for (i, (trace, role)) in both(page).into_iter().enumerate() {
        let Some(sample) = trace.sample_at(from_s) else { continue };
        let places = &picture.flights[i];
        let at = |sample: usize| frame.at(places[sample].at.0, places[sample].at.1);
        let (before, here) = (at(sample.saturating_sub(1)), at(sample));
        let after = at((sample + 1).min(places.len() - 1));
        let along = far(before, after);
        let across = if along > 0.0 {
            Point::new((before.y - after.y) / along, (after.x - before.x) / along)
        } else {
            Point::new(0.0, 1.0)
        };
        let end = |way: f64| Point::new(here.x + way * across.x, here.y + way * across.y);
        group.push(Path::line([end(-HALF), end(HALF)], Stroke::solid(ground.line(role).colour, GATE)));
    }
}

fn draw_models(
    page: &ComparisonPage,
    picture: &Picture<'_>,
    models: &[Model],
    ground: Ground,
    group: &mut Group,
) {
    let flights = both(page);
    for model in models.iter().filter(|model| !model.crowded && !model.twin) {
        let (trace, role) = flights[model.flight];
        let view = picture.flights[model.flight][model.sample].view;
        let attitude = trace.attitude[model.sample];
        group.push(silhouette(&page.model, attitude, view, model.placing, ground.line(role), ground));
    }
}

fn both(page: &ComparisonPage) -> [(&FlightTrace, Role); 2] {
    [(&page.without, Role::WithoutBlend), (&page.with, Role::WithBlend)]
}

/// Seconds from one silhouette to the next: one, less on a short flight, more on a long one.
fn interval_s(page: &ComparisonPage) -> f64 {
    const MOST: f64 = 12.0;
    const SHORT: f64 = 3.2;
    let times = page.without.time_s.iter().chain(&page.with.time_s).copied();
    let length = Span::covering(times).map_or(0.0, Span::length);
    if length < SHORT {
        return 0.5;
    }
    [1.0, 2.0, 5.0, 10.0, 20.0, 30.0].into_iter().find(|&step| length <= MOST * step).unwrap_or(60.0)
}

/// The samples at each multiple of the interval; none where no sample is close.
fn moments(trace: &FlightTrace, interval_s: f64) -> Vec<usize> {
    let Some(times) = Span::covering(trace.time_s.iter().copied()) else { return Vec::new() };
    let counts = libm::ceil((times.from - CLOSE_S) / interval_s) as i64
        ..=libm::floor((times.to + CLOSE_S) / interval_s) as i64;
    counts.filter_map(|count| trace.sample_at(count as f64 * interval_s)).collect()
}

/// Where both flights were at the moment that the sentence speaks of.
fn draw_rings(page: &ComparisonPage, picture: &Picture<'_>, frame: Frame, ground: Ground, group: &mut Group) {
    for (i, (trace, role)) in both(page).into_iter().enumerate() {
        let Some(sample) = page.sentence_at_s.and_then(|moment| trace.sample_at(moment)) else { continue };
        let (x, y) = picture.flights[i][sample].at;
        group.push(chart::ring(frame.at(x, y), ground.line(role).colour, ground));
    }
}

/// What the dotted line, the bars and the rings mean, at the right of the section's name.
fn draw_key(page: &ComparisonPage, picture: &Picture<'_>, baseline: f64, ground: Ground, sheet: &mut Sheet) {
    const SAMPLE: f64 = 34.0;
    const RING: f64 = 11.0;
    let mut right = PAGE_WIDTH - MARGIN;
    let mut write = |words: &str, width: f64, sheet: &mut Sheet| {
        let at = Point::new(right, baseline);
        sheet.push(Text::new(words, at, TEXT_SIZE, ground.quiet_text()).anchored(Anchor::End));
        let end = right - text::width(words, TEXT_SIZE, Weight::Regular) - 8.0;
        right = end - width - 26.0;
        Rect { left: end - width, top: baseline - 14.0, right: end, bottom: baseline + 3.0 }
    };
    if let Some(moment) = page.sentence_at_s {
        let sample = write(&after(moment), RING, sheet);
        let at = Point::new(0.5 * (sample.left + sample.right), 0.5 * (sample.top + sample.bottom));
        sheet.push(chart::ring(at, ground.quiet_text(), ground));
    }
    if page.judged_leg_s.is_some() {
        let sample = write("judging begins", RING, sheet);
        let middle = 0.5 * (sample.left + sample.right);
        let ends = [sample.top, sample.bottom].map(|y| Point::new(middle, y));
        sheet.push(Path::line(ends, Stroke::solid(ground.quiet_text(), GATE)));
    }
    if !picture.judged.is_empty() {
        let sample = write("judged line", SAMPLE, sheet);
        let height = 0.5 * (sample.top + sample.bottom);
        let ends = [sample.left, sample.right].map(|x| Point::new(x, height));
        sheet.push(Path::line(ends, chart::stroke(ground.line(Role::Judged))));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn seconds_are_found_between_uneven_samples() {
        let moments = |time_s: &[f64], interval| {
            let trace =
                FlightTrace { time_s: time_s.to_vec(), position_ned_m: Vec::new(), attitude: Vec::new() };
            super::moments(&trace, interval)
        };
        assert_eq!(moments(&[0.0, 0.5, 0.98, 1.03, 1.5, 2.2, 3.0], 1.0), [0, 2, 6]);
        assert_eq!(moments(&[-2.0, -1.0, 0.0, 1.0, 2.0, 3.0], 2.0), [0, 2, 4]);
        assert_eq!(moments(&[0.4, 0.6], 1.0), [0usize; 0]);
    }

    #[test]
    fn enlargement_is_round_and_never_below_life_size() {
        assert_eq!([200.0, 60.0, 20.0, 8.0, 0.5].map(enlargement), [1.0, 1.0, 4.0, 10.0, 100.0]);
    }
}
