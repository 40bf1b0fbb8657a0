//! The path of both flights, from where it bends, with the model each second.

use super::{ComparisonPage, FlightTrace, LABEL_ROOM, PathView, WITH, WITHOUT};
use crate::chart::{self, AXIS_HEIGHT, Band, Chart, Line, TEXT_SIZE, TICK_ROOM, XAxis};
use crate::drawing::{Anchor, Group, Ink, Path, Text};
use crate::font::Weight;
use crate::frame::{Frame, Pads};
use crate::geometry::{Point, Rect};
use crate::palette::{Ground, Role};
use crate::sheet::{MARGIN, PAGE_WIDTH, Sheet};
use crate::silhouette::{Placing, silhouette};
use crate::text;
use crate::ticks::Span;

/// Size of a silhouette [px]: models would be specks at the scale of the path, so they are enlarged.
const SILHOUETTE: f64 = 86.0;
/// Least and greatest height of the chart [px].
const HEIGHTS: (f64, f64) = (150.0, 420.0);

pub(super) fn draw(page: &ComparisonPage, sheet: &mut Sheet) {
    let ground = sheet.ground();
    let baseline = sheet.section(&page.path_title);
    draw_key(page, baseline, ground, sheet);
    let corner = Point::new(MARGIN + TICK_ROOM, sheet.down());
    let lines = lines(page);
    let frame = frame(&lines, page.view.across.least_axis, corner);
    let enlarged = enlargement(2.0 * page.model.radius() * frame.x_scale());
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
    sheet.push(group);
    sheet.skip(frame.rect.height() + AXIS_HEIGHT + 22.0);
}

fn lines(page: &ComparisonPage) -> Vec<Line> {
    let line = |role, name: &str, points| Line { role, name: name.to_owned(), points, spread: Vec::new() };
    let judged = page.judged_line_ned_m.iter().map(|&p| page.view.flat(p)).collect();
    vec![
        line(Role::Judged, "", judged),
        line(Role::WithBlend, WITH, page.view.path(&page.with)),
        line(Role::WithoutBlend, WITHOUT, page.view.path(&page.without)),
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

fn frame(lines: &[Line], least_across: f64, corner: Point) -> Frame {
    const LEAST_ALONG: f64 = 1.0;
    let points = || lines.iter().flat_map(|line| &line.points);
    let zero = Span { from: 0.0, to: 0.0 };
    let x = Span::covering(points().map(|p| p.0)).unwrap_or(zero).from_zero(LEAST_ALONG);
    let y = Span::covering(points().map(|p| p.1)).unwrap_or(zero).from_zero(least_across);
    let words = chart::pads(y);
    let half = 0.5 * SILHOUETTE;
    let pads =
        Pads { left: half, top: words.top + 0.5 * half, right: half, bottom: words.bottom + 0.5 * half };
    let width = PAGE_WIDTH - 2.0 * MARGIN - TICK_ROOM - LABEL_ROOM;
    Frame::equal_scale(corner, width, HEIGHTS, x, y, pads)
}

/// The largest of 1, 2, 5, 10, 20, 50, 100 that keeps a model of this size within [`SILHOUETTE`].
fn enlargement(true_size: f64) -> f64 {
    let steps = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0];
    steps.into_iter().rfind(|step| step * true_size <= SILHOUETTE).unwrap_or(1.0)
}

fn axis_words(page: &ComparisonPage, enlarged: f64) -> String {
    let along = &page.view.along_words;
    if page.model.facets.is_empty() {
        return along.clone();
    }
    let size = if enlarged > 1.0 { format!(", drawn {enlarged:.0} times its size") } else { String::new() };
    format!("{along}; the model each second{size}")
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
        for sample in full_seconds(&trace.time_s) {
            let (along, across) = page.view.flat(trace.position_ned_m[sample]);
            let placing = Placing { at: frame.at(along, across), px_per_m: frame.x_scale() * enlarged };
            let attitude = trace.attitude[sample];
            group.push(silhouette(&page.model, attitude, page.view.view, placing, ground.line(role), ground));
        }
    }
}

/// The samples nearest to each full second; none for a second that no sample is close to.
fn full_seconds(time_s: &[f64]) -> Vec<usize> {
    const CLOSE: f64 = 0.1;
    let (Some(&first), Some(&last)) = (time_s.first(), time_s.last()) else { return Vec::new() };
    let seconds = libm::ceil(first - CLOSE) as i64..=libm::floor(last + CLOSE) as i64;
    let off = |i: usize, second: i64| (time_s[i] - second as f64).abs();
    seconds
        .filter_map(|second| {
            let nearest = (0..time_s.len()).min_by(|&a, &b| off(a, second).total_cmp(&off(b, second)))?;
            (off(nearest, second) <= CLOSE).then_some(nearest)
        })
        .collect()
}

/// What the dotted line and the shade mean, at the right of the section's name.
fn draw_key(page: &ComparisonPage, baseline: f64, ground: Ground, sheet: &mut Sheet) {
    const SAMPLE: f64 = 34.0;
    let mut right = PAGE_WIDTH - MARGIN;
    let mut write = |words: &str, sheet: &mut Sheet| {
        let at = Point::new(right, baseline);
        sheet.push(Text::new(words, at, TEXT_SIZE, ground.quiet_text()).anchored(Anchor::End));
        let end = right - text::width(words, TEXT_SIZE, Weight::Regular) - 8.0;
        right = end - SAMPLE - 26.0;
        Rect { left: end - SAMPLE, top: baseline - 14.0, right: end, bottom: baseline + 3.0 }
    };
    if page.judged_leg_s.is_some() {
        let sample = write("judged leg", sheet);
        sheet.push(Path::rect(sample, Ink { colour: ground.text(), opacity: chart::SHADE_OPACITY }));
    }
    if !page.judged_line_ned_m.is_empty() {
        let sample = write("judged line", sheet);
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
        assert_eq!(full_seconds(&[0.0, 0.5, 0.98, 1.03, 1.5, 2.2, 3.0]), [0, 2, 6]);
        assert_eq!(full_seconds(&[0.4, 0.6]), [0usize; 0]);
    }

    #[test]
    fn enlargement_is_round_and_never_below_life_size() {
        assert_eq!([200.0, 60.0, 20.0, 8.0, 0.5].map(enlargement), [1.0, 1.0, 2.0, 10.0, 100.0]);
    }
}
