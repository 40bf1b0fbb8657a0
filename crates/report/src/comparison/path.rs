//! The path of both flights, from where it bends, with the model each second, or less often on a long flight.

use super::{CLOSE_S, ComparisonPage, FlightTrace, LABEL_ROOM, PathView, WITH, WITHOUT, after};
use crate::chart::{self, Band, Chart, LEADING, Line, TEXT_SIZE, TICK_HEIGHT, TICK_ROOM, XAxis};
use crate::drawing::{Anchor, Group, Ink, Path, Text};
use crate::font::Weight;
use crate::frame::{Frame, Pads};
use crate::geometry::{Point, Rect};
use crate::palette::{Ground, Role};
use crate::sheet::{MARGIN, PAGE_WIDTH, Sheet};
use crate::silhouette::{Placing, silhouette};
use crate::text;
use crate::ticks::Span;

/// Size of a silhouette (px): models would be specks at the scale of the path, so they are enlarged.
const SILHOUETTE: f64 = 86.0;
/// Least and greatest height of the chart (px).
const HEIGHTS: (f64, f64) = (150.0, 420.0);

pub(super) fn draw(page: &ComparisonPage, sheet: &mut Sheet) {
    let ground = sheet.ground();
    let baseline = sheet.section(&page.path_title);
    draw_key(page, baseline, ground, sheet);
    let lines = lines(page);
    let (frame, enlarged) = frame(page, &lines, Point::new(MARGIN + TICK_ROOM, sheet.down()));
    let chart = Chart {
        title: String::new(),
        frame,
        x: Some(XAxis { label: axis_words(page, enlarged), unit: "m".to_owned() }),
        y: page.view.across.clone(),
        bands: judged_band(page).into_iter().collect(),
        lines,
        label_room: LABEL_ROOM,
    };
    let mut group = chart.draw(ground);
    group.label.clone_from(&page.path_title);
    draw_models(page, frame, enlarged, ground, &mut group);
    draw_rings(page, frame, ground, &mut group);
    sheet.push(group);
    sheet.skip(frame.rect.height() + TICK_HEIGHT + LEADING + 20.0);
}

fn lines(page: &ComparisonPage) -> Vec<Line> {
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
    let judged = page.judged_line_ned_m.iter().map(|&p| page.view.flat(p)).collect();
    vec![
        line(Role::Judged, "", String::new(), judged),
        line(Role::WithBlend, WITH, page.with.end_words(), page.view.path(&page.with)),
        line(Role::WithoutBlend, WITHOUT, page.without.end_words(), page.view.path(&page.without)),
    ]
}

impl PathView {
    /// An earth position as metres along and across the page.
    fn flat(&self, ned_m: [f64; 3]) -> (f64, f64) {
        let from = self.origin_ned_m;
        self.view.flat([ned_m[0] - from[0], ned_m[1] - from[1], ned_m[2] - from[2]])
    }

    fn path(&self, trace: &FlightTrace) -> Vec<(f64, f64)> {
        trace.position_ned_m.iter().map(|&p| self.flat(p)).collect()
    }
}

/// Room for the lines, the silhouettes on them, and the words for both directions above and below; and how
/// much the silhouettes are enlarged.
fn frame(page: &ComparisonPage, lines: &[Line], corner: Point) -> (Frame, f64) {
    const LEAST_ALONG: f64 = 1.0;
    let span = |pick: fn(&(f64, f64)) -> f64, least| {
        let values = lines.iter().flat_map(|line| line.points.iter().map(pick));
        Span::covering(values).unwrap_or(Span { from: 0.0, to: 0.0 }).from_zero(least)
    };
    let (x, y) = (span(|p| p.0, LEAST_ALONG), span(|p| p.1, page.view.across.least_axis));
    let (sideways, upright) = models_reach(page);
    let size = 2.0 * page.model.radius();
    let px_per_m = if size > 0.0 { SILHOUETTE / size } else { 0.0 };
    let pads = pads(sideways * px_per_m, upright * px_per_m);
    let frame = fitted(corner, x, y, pads);
    if size * frame.x_scale() <= SILHOUETTE {
        return (frame, enlargement(size * frame.x_scale()));
    }
    // At life size the models outgrow the room kept for them, so it is added to the lines instead.
    let grown = |span: Span, by| Span { from: span.from - by, to: span.to + by };
    (fitted(corner, grown(x, sideways), grown(y, upright), self::pads(0.0, 0.0)), 1.0)
}

fn pads(sideways: f64, upright: f64) -> Pads {
    const GAP: f64 = 6.0;
    let (side, end) = (sideways + GAP, upright + chart::WORDS_ROOM);
    Pads { left: side, top: end, right: side, bottom: end }
}

fn fitted(corner: Point, x: Span, y: Span, pads: Pads) -> Frame {
    Frame::equal_scale(corner, PAGE_WIDTH - 2.0 * MARGIN - TICK_ROOM - LABEL_ROOM, HEIGHTS, x, y, pads)
}

/// How far the silhouettes reach from their places: sideways, and up or down the page (m).
fn models_reach(page: &ComparisonPage) -> (f64, f64) {
    let interval = interval_s(page);
    let attitudes = [&page.without, &page.with]
        .into_iter()
        .flat_map(|trace| moments(trace, interval).into_iter().map(|sample| trace.attitude[sample]));
    let reaches = attitudes.map(|attitude| page.model.reach(attitude, page.view.view));
    reaches.fold((0.0, 0.0), |most: (f64, f64), reach| (most.0.max(reach.0), most.1.max(reach.1)))
}

/// The largest of these round factors that keeps a model of this size (px) within [`SILHOUETTE`].
fn enlargement(true_size: f64) -> f64 {
    let steps = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 15.0, 20.0, 30.0, 50.0, 100.0];
    steps.into_iter().rfind(|step| step * true_size <= SILHOUETTE).unwrap_or(1.0)
}

fn axis_words(page: &ComparisonPage, enlarged: f64) -> String {
    let along = &page.view.along_words;
    if page.model.facets.is_empty() {
        return along.clone();
    }
    let size = if enlarged > 1.0 { format!(", drawn {enlarged:.0} times its size") } else { String::new() };
    let when = match interval_s(page) {
        1 => "each second".to_owned(),
        interval => format!("every {interval} s"),
    };
    format!("{along}; the model {when}{size}")
}

/// The part of the path over which at least one flight was on the judged leg.
fn judged_band(page: &ComparisonPage) -> Option<Band> {
    let (from_s, to_s) = page.judged_leg_s?;
    let along = |trace: &FlightTrace| {
        let on_leg = |(_, time): &(usize, &f64)| (from_s..=to_s).contains(*time);
        let samples = trace.time_s.iter().enumerate().filter(on_leg).map(|(i, _)| i);
        Span::covering(samples.map(|i| page.view.flat(trace.position_ned_m[i]).0))
    };
    [&page.with, &page.without].into_iter().filter_map(along).reduce(Span::union).map(Band::Judged)
}

fn draw_models(page: &ComparisonPage, frame: Frame, enlarged: f64, ground: Ground, group: &mut Group) {
    for (trace, role) in [(&page.without, Role::WithoutBlend), (&page.with, Role::WithBlend)] {
        for sample in moments(trace, interval_s(page)) {
            let (along, across) = page.view.flat(trace.position_ned_m[sample]);
            let placing = Placing { at: frame.at(along, across), px_per_m: frame.x_scale() * enlarged };
            let attitude = trace.attitude[sample];
            group.push(silhouette(&page.model, attitude, page.view.view, placing, ground.line(role), ground));
        }
    }
}

/// Seconds from one silhouette to the next: one, or more on a long flight.
fn interval_s(page: &ComparisonPage) -> u32 {
    const MOST: f64 = 12.0;
    let times = page.without.time_s.iter().chain(&page.with.time_s).copied();
    let length = Span::covering(times).map_or(0.0, Span::length);
    [1, 2, 5, 10, 20, 30].into_iter().find(|&step| length <= MOST * f64::from(step)).unwrap_or(60)
}

/// The samples at each multiple of the interval; none where no sample is close.
fn moments(trace: &FlightTrace, interval_s: u32) -> Vec<usize> {
    let step = f64::from(interval_s);
    let Some(times) = Span::covering(trace.time_s.iter().copied()) else { return Vec::new() };
    let counts =
        libm::ceil((times.from - CLOSE_S) / step) as i64..=libm::floor((times.to + CLOSE_S) / step) as i64;
    counts.filter_map(|count| trace.sample_at(count as f64 * step)).collect()
}

/// Where both flights were at the moment that the sentence speaks of.
fn draw_rings(page: &ComparisonPage, frame: Frame, ground: Ground, group: &mut Group) {
    for (trace, role) in [(&page.without, Role::WithoutBlend), (&page.with, Role::WithBlend)] {
        let Some(sample) = page.sentence_at_s.and_then(|moment| trace.sample_at(moment)) else { continue };
        let (along, across) = page.view.flat(trace.position_ned_m[sample]);
        group.push(chart::ring(frame.at(along, across), ground.line(role).colour, ground));
    }
}

/// What the dotted line, the shade and the rings mean, at the right of the section's name.
fn draw_key(page: &ComparisonPage, baseline: f64, ground: Ground, sheet: &mut Sheet) {
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
        let sample = write("judged leg", SAMPLE, sheet);
        sheet.push(Path::rect(sample, Ink { colour: ground.text(), opacity: chart::SHADE_OPACITY }));
    }
    if !page.judged_line_ned_m.is_empty() {
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
        assert_eq!(moments(&[0.0, 0.5, 0.98, 1.03, 1.5, 2.2, 3.0], 1), [0, 2, 6]);
        assert_eq!(moments(&[-2.0, -1.0, 0.0, 1.0, 2.0, 3.0], 2), [0, 2, 4]);
        assert_eq!(moments(&[0.4, 0.6], 1), [0usize; 0]);
    }

    #[test]
    fn enlargement_is_round_and_never_below_life_size() {
        assert_eq!([200.0, 60.0, 20.0, 8.0, 0.5].map(enlargement), [1.0, 1.0, 4.0, 10.0, 100.0]);
    }
}
