//! Quantities of both flights against one common time axis, under each other.

use super::{ComparisonPage, FlightTrace, LABEL_ROOM, Strip, WITH, WITHOUT};
use crate::chart::{self, Band, Chart, Edge, LEADING, Line, TICK_HEIGHT, TICK_ROOM, XAxis};
use crate::frame::Frame;
use crate::geometry::Rect;
use crate::palette::Role;
use crate::sheet::{MARGIN, PAGE_WIDTH, Sheet};
use crate::ticks::Span;

/// Least height of a chart of two lines, and of two lines that look like one (px).
const HEIGHT: f64 = 108.0;
const SHARED_HEIGHT: f64 = 92.0;
/// Room for the title of a chart, above it (px).
const TITLE_ROOM: f64 = 26.0;
const GAP: f64 = 18.0;

pub(super) fn draw(page: &ComparisonPage, sheet: &mut Sheet) {
    // What drifts has a value for each moment, what the hand holds has not: only drift says when.
    let sections = [
        ("Drift", &page.drift, true),
        ("Sticks, and the surfaces that the blend moved", &page.controls, false),
    ];
    for (title, strips, timed) in sections {
        let Some((last, others)) = strips.split_last() else { continue };
        sheet.section(title);
        for strip in others {
            draw_strip(page, strip, timed, None, sheet);
            sheet.skip(GAP);
        }
        let axis = XAxis { label: page.time_words.clone(), unit: "s".to_owned() };
        draw_strip(page, last, timed, Some(axis), sheet);
        sheet.skip(TICK_HEIGHT + LEADING + 20.0);
    }
}

fn draw_strip(page: &ComparisonPage, strip: &Strip, timed: bool, x: Option<XAxis>, sheet: &mut Sheet) {
    let lines = lines(page, strip, timed);
    let least = if lines.iter().any(|line| line.shared) { SHARED_HEIGHT } else { HEIGHT };
    let bands = bands(page, strip);
    let least = least + chart::limit_room(&bands, Edge::Top) + chart::limit_room(&bands, Edge::Bottom);
    let height = chart::labels_height(&lines, &strip.quantity, LABEL_ROOM).max(least);
    let top = sheet.down() + TITLE_ROOM;
    let rect =
        Rect { left: MARGIN + TICK_ROOM, top, right: PAGE_WIDTH - MARGIN - LABEL_ROOM, bottom: top + height };
    let y = values(strip).from_zero(strip.quantity.least_axis);
    let chart = Chart {
        title: strip.title.clone(),
        frame: Frame::fitted(rect, times(page), y, chart::pads(y, &bands)),
        x,
        y: strip.quantity.clone(),
        lines,
        bands,
        label_room: LABEL_ROOM,
    };
    sheet.push(chart.draw(sheet.ground()));
    sheet.skip(TITLE_ROOM + height);
}

fn values(strip: &Strip) -> Span {
    let all = strip.with.iter().chain(&strip.without).copied();
    Span::covering(all).unwrap_or(Span { from: 0.0, to: 0.0 })
}

/// The times of both flights together.
fn times(page: &ComparisonPage) -> Span {
    const LEAST: f64 = 1e-3;
    let all = page.with.time_s.iter().chain(&page.without.time_s).copied();
    let span = Span::covering(all).unwrap_or(Span { from: 0.0, to: LEAST });
    Span { to: span.to.max(span.from + LEAST), ..span }
}

fn lines(page: &ComparisonPage, strip: &Strip, timed: bool) -> Vec<Line> {
    let shared = coincide(page, strip);
    let (with, without) = if shared { (page.both_words(), "") } else { (WITH, WITHOUT) };
    let line = |role, name: &str, trace: &FlightTrace, values: &[f64]| {
        let points: Vec<_> = trace.time_s.iter().copied().zip(values.iter().copied()).collect();
        let moment = page.sentence_at_s.filter(|_| timed).and_then(|moment| trace.sample_at(moment));
        Line {
            role,
            name: name.to_owned(),
            when: if timed { trace.end_words() } else { String::new() },
            mark: moment.map(|sample| points[sample]),
            shared,
            points,
            spread: Vec::new(),
        }
    };
    vec![
        line(Role::WithBlend, with, &page.with, &strip.with),
        line(Role::WithoutBlend, without, &page.without, &strip.without),
    ]
}

/// True if the two lines cannot be told apart on the page, so that one name is enough.
fn coincide(page: &ComparisonPage, strip: &Strip) -> bool {
    const VISIBLE: f64 = 0.005;
    let axis = values(strip).from_zero(strip.quantity.least_axis).length();
    page.with.time_s == page.without.time_s
        && strip.with.iter().zip(&strip.without).all(|(a, b)| (a - b).abs() < VISIBLE * axis)
}

fn bands(page: &ComparisonPage, strip: &Strip) -> Vec<Band> {
    let leg = page.judged_leg_s.map(|(from, to)| Band::Judged(Span { from, to }));
    let limits = strip.limits.iter().map(|limit| {
        Band::Limit(Span { from: limit.from_s, to: limit.to_s }, limit.edge, limit.words.clone())
    });
    leg.into_iter().chain(limits).collect()
}
