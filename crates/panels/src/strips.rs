//! The bottom edge: strip charts under the time line, with one cursor through all of them.

use crate::look::Look;
use crate::show::Show;
use crate::state::State;
use crate::words::senses;
use egui::{Align2, Pos2, Rangef, Rect, Sense, Shape, Stroke, TextStyle, Ui, pos2, vec2};
use manoeuvre::Drift;
use measure::{DEG, Side};
use mix::Follower;
use report::palette::Role;
use report::signed::Signed;

/// Height of one strip at text size 1 \[points\]; more than so many share the height of so many.
const HEIGHT: f32 = 26.0;
const FULL: f32 = 4.0;
/// Room for the names on the left and for the values on the right, at text size 1 \[points\].
pub(crate) const GUTTERS: (f32, f32) = (120.0, 210.0);

/// One chart: without, with, over the time of the flight.
struct Strip {
    title: String,
    quantity: Signed,
    lines: [Vec<(f64, f64)>; 2],
}

/// Draws the charts; dragging in them moves the cursor.
pub(crate) fn strips(ui: &mut Ui, state: &mut State) {
    let Some(show) = state.show.clone() else { return };
    let gap = state.look.px(2.0);
    ui.spacing_mut().item_spacing.y = gap;
    let strips = all(&show);
    let height = ((state.look.px(HEIGHT) + gap) * (FULL / strips.len() as f32).min(1.0) - gap).max(gap);
    for strip in strips {
        let size = vec2(ui.available_width(), height);
        let (area, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
        let axis = TimeAxis::new(&state.look, area, state.clock.length);
        if let Some(at) = response.interact_pointer_pos() {
            state.clock.playing = false;
            state.clock.scrub(axis.time(at.x));
        }
        draw(ui, &state.look, &strip, &show, &axis, state.clock.time);
    }
}

/// Where times lie across the bottom edge: the same for the time line and every strip.
pub(crate) struct TimeAxis {
    /// The whole row.
    pub(crate) area: Rect,
    /// Where time runs.
    pub(crate) plot: Rect,
    length: f64,
}

impl TimeAxis {
    pub(crate) fn new(look: &Look, area: Rect, length: f64) -> Self {
        // on a narrow row words are cut off before time is squeezed
        let left = look.px(GUTTERS.0).min(0.25 * area.width());
        let right = look.px(GUTTERS.1).min(0.4 * area.width());
        let plot = Rect::from_x_y_ranges(
            Rangef::new(area.left() + left, (area.right() - right).max(area.left() + left + 1.0)),
            area.y_range(),
        );
        Self { area, plot, length: length.max(1e-9) }
    }

    pub(crate) fn x(&self, time: f64) -> f32 {
        egui::lerp(self.plot.left()..=self.plot.right(), (time / self.length) as f32)
    }

    pub(crate) fn time(&self, x: f32) -> f64 {
        f64::from((x - self.plot.left()) / self.plot.width()) * self.length
    }
}

fn all(show: &Show) -> Vec<Strip> {
    let side = show.setup.side.sign();
    let (canopy, gear) = ("towards the canopy", "towards the gear");
    let drift = |title: &str,
                 unit: &str,
                 decimals,
                 (up, down): (&str, &str),
                 least,
                 value: &dyn Fn(&Drift) -> f64| Strip {
        title: title.to_owned(),
        quantity: signed(unit, decimals, up, down, least),
        lines: show.drifts.each_ref().map(|d| d.iter().map(|d| (d.sample.time, value(d))).collect()),
    };
    // with right rudder the canopy points up on the report's page: the same here
    let (up, down) = if show.setup.side == Side::Right { (canopy, gear) } else { (gear, canopy) };
    let mut strips = vec![
        drift("Off the line", "m", 1, (up, down), 4.0, &|d| side * d.off.canopy),
        drift("Bank", "deg", 0, ("rolls out", "rolls under"), 10.0, &|d| side * d.off.roll / DEG),
    ];
    if show.run.is_none() {
        strips.clear();
    }
    strips.extend(followers(show).into_iter().map(|follower| command(show, follower)));
    strips
}

fn signed(unit: &str, decimals: usize, up: &str, down: &str, least_axis: f64) -> Signed {
    Signed { unit: unit.to_owned(), decimals, up: up.to_owned(), down: down.to_owned(), least_axis }
}

/// What the compared blends moved on the judged leg, in canonical order.
fn followers(show: &Show) -> Vec<Follower> {
    // less than this is not worth a chart, share of full throw
    const LEAST: f64 = 0.002;
    let [without, with] = &show.drifts;
    let judged =
        || without.iter().zip(with).filter(|(d, _)| d.time >= 0.0).map(|(a, b)| (a.sample, b.sample));
    let differs =
        |f: &Follower| judged().any(|(a, b)| (a.commands.get(*f) - b.commands.get(*f)).abs() > LEAST);
    let leads =
        |f: &Follower| show.setup.mix.blends.iter().any(|b| b.to == *f && show.setup.compared(&b.name));
    Follower::ALL.into_iter().filter(|f| leads(f) && (show.run.is_none() || differs(f))).collect()
}

/// A follower's command, from where it stands in trimmed flight.
fn command(show: &Show, follower: Follower) -> Strip {
    let level = match follower {
        Follower::Aileron => show.level.aileron,
        Follower::Elevator => show.level.elevator,
        Follower::Rudder => show.level.rudder,
        _ => 0.0,
    };
    let (up, down) = senses(follower);
    let line = |i: usize| {
        let samples = show.tracks[i].samples().iter();
        samples.map(|s| (s.time, 100.0 * (s.commands.get(follower) - level))).collect()
    };
    let word = follower.word();
    let title = format!("{}{}", word[..1].to_uppercase(), &word[1..]);
    Strip { title, quantity: signed("%", 1, up, down, 5.0), lines: [line(0), line(1)] }
}

fn draw(ui: &Ui, look: &Look, strip: &Strip, show: &Show, axis: &TimeAxis, now: f64) {
    let painter = ui.painter();
    let plot = axis.plot.shrink2(vec2(0.0, look.px(2.0)));
    let values = || strip.lines.iter().flatten().map(|p| p.1);
    let (low, high) = (values().fold(0.0, f64::min), values().fold(0.0, f64::max));
    let spare = (strip.quantity.least_axis - (high - low)).max(0.0) * 0.5;
    let (low, high) = (low - spare, high + spare);
    let y = |v: f64| egui::lerp(plot.bottom()..=plot.top(), ((v - low) / (high - low)) as f32);
    if let Some((begins, ends)) = show.judged {
        let band = Rect::from_x_y_ranges(Rangef::new(axis.x(begins), axis.x(ends)), axis.area.y_range());
        painter.rect_filled(band, 0.0, look.band());
    }
    painter.hline(plot.x_range(), y(0.0), Stroke::new(1.0, look.hairline()));
    for (i, role) in [(0, Role::WithoutBlend), (1, Role::WithBlend)] {
        let points: Vec<Pos2> = strip.lines[i].iter().map(|&(t, v)| pos2(axis.x(t), y(v))).collect();
        line(painter, look, role, points);
    }
    let x = axis.x(now);
    painter.vline(x, axis.area.y_range(), Stroke::new(1.0, look.text()));
    let [without, with] = strip.lines.each_ref().map(|line| value_at(line, now));
    let small = egui::FontId::proportional(look.px(10.5));
    painter.text(
        axis.area.left_center() + vec2(look.px(4.0), 0.0),
        Align2::LEFT_CENTER,
        &strip.title,
        TextStyle::Body.resolve(ui.style()),
        look.text(),
    );
    // all lines of all strips equally far apart: low strips leave no more room than that
    let aside = 0.25 * (axis.area.height() + ui.spacing().item_spacing.y);
    for (value, role, words, aside) in
        [(with, Role::WithBlend, "with", -aside), (without, Role::WithoutBlend, "without", aside)]
    {
        let Some(value) = value else { continue };
        painter.circle_filled(pos2(x, y(value)), look.px(3.5), look.role(role));
        painter.text(
            pos2(axis.plot.right() + look.px(8.0), axis.area.center().y + aside),
            Align2::LEFT_CENTER,
            format!("{words} {}", strip.quantity.say(value)),
            small.clone(),
            look.role(role),
        );
    }
}

/// A line in the style of its role.
fn line(painter: &egui::Painter, look: &Look, role: Role, points: Vec<Pos2>) {
    let style = look.line(role);
    let stroke = Stroke::new(style.width as f32 * 0.8, look.role(role));
    match style.dash {
        &[on, off, ..] => painter.extend(Shape::dashed_line(&points, stroke, on as f32, off as f32)),
        _ => {
            painter.add(Shape::line(points, stroke));
        }
    }
}

fn value_at(line: &[(f64, f64)], time: f64) -> Option<f64> {
    let after = line.partition_point(|p| p.0 <= time + 1e-9);
    (after > 0).then(|| line[after - 1].1)
}
