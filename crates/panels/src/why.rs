//! Why a blend is needed: its coupling taken apart by cause and part as a waterfall, or what each part does at the
//! cursor; with what could be changed on the model instead, and the model with what turns it.

use crate::look::{Look, ink};
use crate::moment::{Moment, Taker};
use crate::reason::Reason;
use crate::seek::coupling;
use crate::show::Show;
use crate::state::State;
use crate::words::{percent, senses};
use airframe::Part;
use egui::{
    Align2, Color32, ColorImage, Rangef, Rect, RichText, Sense, Stroke, TextStyle, TextureHandle,
    TextureOptions, Ui, Vec2, Window, pos2, vec2,
};
use mix::Follower;
use report::explain_page::{MomentPage, explain_page, number, paint, rows};
use report::palette::{Ground, Role};
use report::sheet::PAGE_WIDTH;
use std::sync::Arc;
use study::explain::Explained;

/// Height of a bar at text size 1 \[points\].
const BAR: f32 = 12.0;
/// Parts that ask for less than this are summed up, share.
const SMALL: f64 = 0.002;

/// Asks why a blend is there, or stops asking.
pub(crate) fn toggle(state: &mut State, blend: Option<&str>) {
    let open = state.reason.take();
    let setup = &state.setup;
    let first = || {
        let known = || setup.mix.blends.iter().filter(|b| coupling(setup, &b.name).is_some());
        known().find(|b| setup.compared(&b.name)).or_else(|| known().next()).map(|b| b.name.as_str())
    };
    let Some(name) = blend.or_else(first).map(str::to_owned) else { return };
    if open.is_some_and(|open| blend.is_none() || open.blend == name) {
        return;
    }
    if let Some(coupling) = coupling(&state.setup, &name) {
        state.reason = Some(Reason::start(&state.setup, &name, coupling));
    }
}

/// The button that asks.
pub(crate) fn button(ui: &mut Ui, state: &mut State, index: usize) {
    let name = state.setup.mix.blends[index].name.clone();
    if coupling(&state.setup, &name).is_none() {
        return;
    }
    let open = state.reason.as_ref().is_some_and(|reason| reason.blend == name);
    if ui
        .add(egui::Button::new("Why").selected(open))
        .on_hover_text("What on the model makes it necessary")
        .clicked()
    {
        toggle(state, Some(&name));
    }
}

/// Draws the panel.
pub(crate) fn why(ui: &mut Ui, state: &mut State) {
    let Some(mut reason) = state.reason.take() else { return };
    let look = state.look;
    ui.add_space(look.px(4.0));
    ui.horizontal_wrapped(|ui| {
        ui.heading(format!("Why: {}", reason.coupling.name()));
    });
    ui.horizontal_wrapped(|ui| {
        ui.selectable_value(&mut reason.at_cursor, false, "On the whole");
        ui.selectable_value(&mut reason.at_cursor, true, "At the cursor");
    });
    if reason.at_cursor {
        now(ui, state, &mut reason);
    } else {
        whole(ui, &look, &mut reason)
    }
    ui.separator();
    let close = ui.button("Close").clicked();
    state.reason = (!close).then_some(reason);
}

fn whole(ui: &mut Ui, look: &Look, reason: &mut Reason) {
    let explained = match reason.taken.clone() {
        None => {
            ui.label("Taking it apart ...");
            return;
        }
        Some(Err(words)) => {
            ui.label(RichText::new(words.trim_end()).color(look.role(Role::Limit)));
            return;
        }
        Some(Ok(explained)) => explained,
    };
    let follower = explained.coupling.follower;
    ui.label(RichText::new(explained.sentence()).small());
    let unit = format!(
        "Percent of {} that each asks for, per full {}",
        follower.word(),
        explained.coupling.manoeuvre.lead().word()
    );
    ui.label(RichText::new(unit).small().color(look.quiet()));
    waterfall(ui, look, &explained);
    ui.horizontal_wrapped(|ui| {
        if ui.button("Show it on the model").clicked() {
            reason.page = !reason.page;
        }
        if explained.cures.is_empty()
            && !reason.asking_cures()
            && ui.button("What to change instead").clicked()
        {
            reason.ask_cures();
        }
    });
    if reason.asking_cures() {
        ui.label(RichText::new("Trying every change in both directions ...").small());
    } else if !explained.cures.is_empty() {
        for line in explained.cure_words().lines() {
            ui.label(RichText::new(line.trim()).small());
        }
    }
}

/// A bar with its words above it.
struct Bar {
    words: String,
    /// What is written beside it.
    number: String,
    colour: Color32,
    /// Where it begins and ends, percent.
    span: (f64, f64),
    /// Only its outline.
    open: bool,
}

fn waterfall(ui: &mut Ui, look: &Look, explained: &Explained) {
    let follower = explained.coupling.follower;
    let mut end = 0.0;
    let mut bars: Vec<Bar> = rows(explained)
        .into_iter()
        .map(|row| {
            let from = end;
            end += row.percent;
            let part = row.part.map_or("", Part::word);
            let told = row.words.contains(part);
            Bar {
                words: if told { row.words } else { format!("{} on the {part}", row.words) },
                number: number(follower, row.percent),
                colour: ink(paint(row.part).colour()),
                span: (from, end),
                open: false,
            }
        })
        .collect();
    let all = 100.0 * explained.needed;
    bars.push(Bar {
        words: "together: what is needed".to_owned(),
        number: number(follower, all),
        colour: look.text(),
        span: (0.0, all),
        open: false,
    });
    draw(ui, look, &bars);
}

fn draw(ui: &mut Ui, look: &Look, bars: &[Bar]) {
    let ends = || bars.iter().flat_map(|bar| [bar.span.0, bar.span.1]);
    let (low, high) = (ends().fold(0.0, f64::min), ends().fold(0.0, f64::max));
    let small = TextStyle::Small.resolve(ui.style());
    for bar in bars {
        let line = ui.text_style_height(&TextStyle::Small);
        let named = if bar.words.is_empty() { 0.0 } else { line };
        ui.spacing_mut().item_spacing.y = look.px(2.0);
        let (area, response) =
            ui.allocate_exact_size(vec2(ui.available_width(), named + look.px(BAR)), Sense::hover());
        let label = format!("{} {}", bar.words, bar.number);
        response.widget_info(|| egui::WidgetInfo::labeled(egui::WidgetType::Label, true, &label));
        let painter = ui.painter();
        painter.text(area.left_top(), Align2::LEFT_TOP, &bar.words, small.clone(), look.text());
        let room = look.px(64.0);
        let x = |percent: f64| {
            let t = (percent - low) / (high - low).max(1e-9);
            egui::lerp(area.left()..=(area.right() - room).max(area.left() + 1.0), t as f32)
        };
        let y = Rangef::new(area.top() + named, area.bottom());
        painter.vline(x(0.0), area.y_range(), Stroke::new(1.0, look.hairline()));
        let (from, to) = (x(bar.span.0.min(bar.span.1)), x(bar.span.0.max(bar.span.1)));
        let rect = Rect::from_x_y_ranges(Rangef::new(from, to.max(from + 1.5)), y.shrink(1.0));
        if bar.open {
            painter.rect_stroke(rect, 0.0, Stroke::new(1.5, bar.colour), egui::StrokeKind::Inside);
        } else {
            painter.rect(rect, 0.0, bar.colour, Stroke::new(1.0, look.hairline()), egui::StrokeKind::Inside);
        }
        let at = pos2(rect.right() + look.px(4.0), y.center());
        painter.text(at, Align2::LEFT_CENTER, &bar.number, small.clone(), look.text());
    }
}

/// What each part does at the cursor, in both flights.
fn now(ui: &mut Ui, state: &mut State, reason: &mut Reason) {
    let Some(show) = state.show.clone() else { return };
    if state.taker.as_ref().is_none_or(|taker| !Arc::ptr_eq(&taker.show, &show)) {
        state.taker = Taker::new(&show);
    }
    let look = state.look;
    let follower = reason.coupling.follower;
    let time = state.clock.time;
    let moments = state.taker.as_ref().map(|taker| [0, 1].map(|flight| taker.at(flight, time, follower)));
    let Some([Some(without), Some(with)]) = moments else {
        ui.label(format!(
            "At this moment the {} turns nothing, so nothing can be counted in it.",
            follower.word()
        ));
        return;
    };
    let told = format!(
        "At {} s of both flights: how much {} each part asks for, more than at the beginning of the flight. Filled: with the \
         blends; open: without.",
        report::signed::decimal(time, 2),
        follower.word()
    );
    ui.label(RichText::new(told).small().color(look.quiet()));
    draw(ui, &look, &bars(&look, reason, [&without, &with]));
    let note = "A model that turns is braked by its own parts: their share is in their bars. What is asked for and not given \
                turns it on.";
    ui.label(RichText::new(note).small().color(look.quiet()));
    if ui.button("Show it on the model").clicked() {
        reason.page = !reason.page;
    }
}

fn bars(look: &Look, reason: &Reason, moments: [&Moment; 2]) -> Vec<Bar> {
    let mut bars = Vec::new();
    let mut pair = |words: String, colours: [Color32; 2], shares: [f64; 2]| {
        for (i, open) in [(1, false), (0, true)] {
            let percent = 100.0 * shares[i];
            bars.push(Bar {
                words: if open { String::new() } else { words.clone() },
                number: number(reason.coupling.follower, percent),
                colour: colours[i],
                span: (0.0, percent),
                open,
            });
        }
    };
    for part in Part::ALL {
        let shares = moments.map(|moment| moment.asked(part));
        if shares.iter().any(|share| share.abs() >= SMALL) {
            pair(part.word().to_owned(), [ink(paint(Some(part)).colour()); 2], shares);
        }
    }
    let flights = [look.role(Role::WithoutBlend), look.role(Role::WithBlend)];
    pair("asked for in all".to_owned(), flights, moments.map(Moment::all));
    pair("given by stick and blends".to_owned(), flights, moments.map(|moment| moment.given));
    bars
}

/// The model with what turns it, as it was last drawn.
#[derive(Clone)]
struct Page {
    of: Subject,
    ground: Ground,
    pixels: f64,
    texture: TextureHandle,
    size: Vec2,
    title: String,
    words: String,
}

/// What a page shows.
#[derive(Clone)]
enum Subject {
    /// The coupling.
    Whole(Arc<Explained>),
    /// A time of the flights on show \[s\], about the axis of a follower.
    Moment(Arc<Show>, f64, Follower),
}

impl PartialEq for Subject {
    fn eq(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Whole(a), Self::Whole(b)) => Arc::ptr_eq(a, b),
            (Self::Moment(a, at, about), Self::Moment(b, other, axis)) => {
                Arc::ptr_eq(a, b) && at == other && about == axis
            }
            _ => false,
        }
    }
}

/// Shows the model with what turns it over the field, while that is asked for.
pub(crate) fn page(ui: &Ui, state: &mut State, field: Rect) {
    let (Some(reason), Some(show)) = (&mut state.reason, &state.show) else { return };
    if !reason.page {
        return;
    }
    let follower = reason.coupling.follower;
    let subject = match &reason.taken {
        _ if reason.at_cursor => {
            let runs = state.clock.playing || ui.input(|input| input.pointer.any_down());
            Subject::Moment(Arc::clone(show), shown_at(state.clock.time, runs), follower)
        }
        Some(Ok(explained)) => Subject::Whole(Arc::clone(explained)),
        _ => return,
    };
    let room = (field.size() - vec2(30.0, 60.0)).max(vec2(100.0, 100.0));
    let scale = (f64::from(room.x) / PAGE_WIDTH).min(1.4);
    let pixels = scale * f64::from(ui.ctx().pixels_per_point());
    let (id, ground) = (ui.id().with("what turns the model"), state.look.ground);
    let is_it = |page: &Page| page.of == subject && page.ground == ground && page.pixels == pixels;
    let kept = ui.data(|data| data.get_temp::<Page>(id)).filter(is_it);
    let drawn = || {
        let drawing = match &subject {
            Subject::Whole(explained) => explain_page(explained, &show.geometry).draw_model(ground).ok()?,
            Subject::Moment(_, time, follower) => {
                moment_page(state.taker.as_ref()?, *time, *follower)?.draw(&show.geometry, ground).ok()?
            }
        };
        let picture = report::png::pixels(&drawing, pixels).ok()?;
        let image = ColorImage::from_rgb([picture.width as usize, picture.height as usize], &picture.rgb);
        let texture = ui.ctx().load_texture("what turns the model", image, TextureOptions::LINEAR);
        let size = vec2(drawing.width as f32, drawing.height as f32) * scale as f32;
        let (title, words) = (drawing.title, drawing.description);
        Some(Page { of: subject.clone(), ground, pixels, texture, size, title, words })
    };
    let Some(page) = kept.or_else(drawn) else { return };
    let window = Window::new(&page.title)
        .id(id)
        .open(&mut reason.page)
        .collapsible(false)
        .resizable(false)
        .default_pos(field.left_top() + vec2(8.0, 8.0));
    window.show(ui.ctx(), |ui| {
        egui::ScrollArea::vertical().max_height(room.y).min_scrolled_height(room.y).show(ui, |ui| {
            ui.add(egui::Image::new((page.texture.id(), page.size)).alt_text(page.words.as_str()));
        });
    });
    ui.data_mut(|data| data.insert_temp(id, page));
}

/// The moment that is drawn: a page takes a tenth of a second, so while the cursor `runs` it is only every half.
fn shown_at(time: f64, runs: bool) -> f64 {
    const PACE: f64 = 0.5;
    if runs { (time / PACE).floor() * PACE } else { time }
}

/// The moment at `time` \[s\] in both flights; `None` where nothing can be counted in the follower.
fn moment_page(taker: &Taker, time: f64, follower: Follower) -> Option<MomentPage> {
    let axis = match follower {
        Follower::Elevator => "pitches",
        Follower::Rudder => "yaws",
        _ => "rolls",
    };
    let flight = |i: usize, words: &str| {
        let moment = taker.at(i, time, follower)?;
        let asked = percent(moment.all(), senses(follower));
        Some((format!("{words}: {} {asked} is asked for", follower.word()), moment.pushes))
    };
    let flights = vec![flight(0, "Without the blends")?, flight(1, "With the blends")?];
    let time = report::signed::decimal(time, 2);
    let title = format!("{} at {time} s: what {axis} it", taker.show.setup.airframe.name);
    Some(MomentPage { title, flights, follower })
}
