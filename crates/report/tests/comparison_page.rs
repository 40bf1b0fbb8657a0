//! The comparison page as a whole: what is on it, where, and what it refuses. All numbers are invented.

use report::chart::Edge;
use report::comparison::{ComparisonPage, FlightTrace, LimitSpan, PageError, PathView, StationView, Strip};
use report::drawing::{Drawing, Group, Item, Segment, Text};
use report::font::CAP_HEIGHT;
use report::geometry::{Point, Rect};
use report::palette::{Colour, Ground, Role};
use report::signed::Signed;
use report::silhouette::{Facet, ModelShape, View};
use report::{png, svg, text};

const SPEED: f64 = 25.0;

/// A pass northwards, left wing down: the canopy points to the west, the gear to the east.
fn trace(duration_s: f64, drift_m: f64) -> FlightTrace {
    let time_s: Vec<f64> = (0..=200).map(|i| f64::from(i) * duration_s / 200.0).collect();
    let east = |t: f64| drift_m * (t / duration_s) * (t / duration_s);
    FlightTrace {
        position_ned_m: time_s.iter().map(|&t| [SPEED * t, east(t), -50.0]).collect(),
        attitude: vec![[[1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]]; time_s.len()],
        time_s,
    }
}

fn words(unit: &str, up: &str, down: &str, least_axis: f64) -> Signed {
    Signed { unit: unit.into(), decimals: 0, up: up.into(), down: down.into(), least_axis }
}

fn strip(title: &str, quantity: Signed, with: f64, without: f64) -> Strip {
    let ramp = |end: f64| (0..=200).map(|i| end * f64::from(i) / 200.0).collect();
    Strip { title: title.into(), quantity, with: ramp(with), without: ramp(without), limits: Vec::new() }
}

/// `scale` is the drift of the flight without the blend in tens of metres towards the gear, and tens of degrees.
fn page(duration_s: f64, scale: f64) -> ComparisonPage {
    let limit =
        LimitSpan { from_s: 0.1, to_s: 0.4 * duration_s, edge: Edge::Top, words: "at its limit".into() };
    ComparisonPage {
        title: "Larkspur, knife-edge, right rudder (left wing down)".into(),
        sentence:
            "Without the blend Larkspur bends 12 m towards the gear in 4 s; with it, 1 m: \"done\" & dusted."
                .into(),
        sentence_at_s: (duration_s > 3.0).then_some(2.0),
        notes: vec!["Percent: of the follower's full 100 % throw.".into(), "Check directions first.".into()],
        path_title: "The path, seen from above".into(),
        view: PathView {
            view: View::from_above(0.0),
            origin_ned_m: [0.0, 0.0, -50.0],
            along_words: "distance along the pass".into(),
            across: words("m", "towards the canopy", "towards the gear", 4.0),
        },
        station: None,
        alone: false,
        model: model(),
        without: trace(duration_s, 10.0 * scale),
        with: trace(duration_s, scale),
        judged_leg_s: Some((0.0, duration_s)),
        judged_line_ned_m: vec![[0.0, 0.0, -50.0], [SPEED * duration_s, 0.0, -50.0]],
        time_words: "time from the start of the judged leg".into(),
        drift: vec![
            strip(
                "Heading change",
                words("deg", "towards the canopy", "towards the gear", 10.0),
                -scale,
                -10.0 * scale,
            ),
            strip(
                "Bank change",
                words("deg", "rolls out (towards upright)", "rolls under", 10.0),
                -scale,
                10.0 * scale,
            ),
        ],
        controls: vec![
            strip("Rudder stick", words("%", "right", "left", 20.0), 90.0, 90.0),
            Strip { limits: vec![limit], ..strip("Elevator", words("deg", "up", "down", 2.0), -scale, 0.0) },
        ],
    }
}

/// A wing, a fin and a side of a fuselage.
fn model() -> ModelShape {
    let pieces: [&[[f64; 3]]; 3] = [
        &[[0.2, -1.0, 0.0], [0.2, 1.0, 0.0], [-0.2, 1.0, 0.0], [-0.2, -1.0, 0.0]],
        &[[-0.9, 0.0, 0.0], [-1.0, 0.0, -0.4], [-1.2, 0.0, -0.4], [-1.2, 0.0, 0.0]],
        &[[0.7, 0.0, 0.0], [0.1, 0.0, -0.2], [-1.2, 0.0, 0.0], [0.1, 0.0, 0.2]],
    ];
    let facet = |(part, corners): (usize, &&[[f64; 3]])| Facet { part, corners: corners.to_vec() };
    ModelShape { facets: pieces.iter().enumerate().map(facet).collect() }
}

/// Ordinary and extreme pages: long, short, still, wild, mirrored, without a leg, a line or a model.
fn pages() -> Vec<ComparisonPage> {
    let mut bare = page(4.0, 1.0);
    bare.judged_leg_s = None;
    bare.judged_line_ned_m.clear();
    bare.model = ModelShape::default();
    bare.drift.clear();
    let mut unequal = page(4.0, 1.2);
    unequal.without = trace(2.3, 12.0);
    let mut down_line = page(4.0, 1.2);
    down_line.view.view = View { right: [0.0, 1.0, 0.0], up: [1.0, 0.0, 0.0] };
    let mut from_the_line = page(40.0, 3.0);
    from_the_line.station = Some(StationView {
        title: "As the pilot sees it, 60 m away".into(),
        eye_ned_m: [60.0, 60.0, -2.0],
        facing_rad: -std::f64::consts::FRAC_PI_2,
        height: words("deg", "above the horizon", "below the horizon", 4.0),
        without_ned_m: from_the_line.without.position_ned_m.clone(),
        with_ned_m: from_the_line.with.position_ned_m.clone(),
        judged_ned_m: Vec::new(),
    });
    let sizes = [(4.0, 1.2), (4.0, -1.2), (4.0, 0.0), (4.0, 40.0), (40.0, 3.0), (0.2, 0.01), (8.0, -7.0)];
    let sized = sizes.into_iter().map(|(duration, scale)| page(duration, scale));
    sized.chain([bare, unequal, down_line, from_the_line]).collect()
}

fn drawings() -> Vec<Drawing> {
    pages()
        .iter()
        .flat_map(|page| [Ground::Light, Ground::Dark].map(|g| page.draw(g).expect("a sound page")))
        .collect()
}

fn each_item<'a>(group: &'a Group, visit: &mut dyn FnMut(&'a Item)) {
    for item in &group.items {
        visit(item);
        if let Item::Group(inner) = item {
            each_item(inner, visit);
        }
    }
}

/// From the baseline to the height of capitals.
fn ink(text: &Text) -> Rect {
    Rect { top: text.at.y - CAP_HEIGHT * text.size, bottom: text.at.y, ..text.bounds() }
}

#[test]
fn nothing_leaves_the_page() {
    for drawing in drawings() {
        each_item(&drawing.content, &mut |item| {
            if let Some(bounds) = item.bounds() {
                assert!(drawing.page().grown(-10.0).contains(bounds), "{item:?}");
            }
        });
    }
}

#[test]
fn no_text_covers_another() {
    for drawing in drawings() {
        let texts = drawing.texts();
        for (i, a) in texts.iter().enumerate() {
            for b in &texts[i + 1..] {
                assert!(
                    !ink(a).overlaps(ink(b)),
                    "{:?} at {:?}, {:?} at {:?}",
                    a.content,
                    a.at,
                    b.content,
                    b.at
                );
            }
        }
    }
}

/// Lines of a flight, and silhouettes: everything thicker than a hairline.
fn is_drawn_on(item: &Item, text: Rect) -> bool {
    let Item::Path(path) = item else { return false };
    let Some(stroke) = path.stroke.as_ref().filter(|stroke| stroke.width > 1.9) else { return false };
    if path.fill.is_some() {
        return item.bounds().is_some_and(|bounds| bounds.overlaps(text));
    }
    let places = path.segments.iter().filter_map(|segment| match segment {
        Segment::Move(at) | Segment::Line(at) => Some(*at),
        _ => None,
    });
    places.into_iter().any(|at| text.overlaps(Rect::at(at).grown(0.5 * stroke.width)))
}

#[test]
fn no_text_stands_on_a_line_or_a_model() {
    for drawing in drawings() {
        for text in drawing.texts() {
            each_item(&drawing.content, &mut |item| {
                assert!(!is_drawn_on(item, ink(text)), "{:?} at {:?}: {item:?}", text.content, text.at);
            });
        }
    }
}

#[test]
fn every_character_has_a_glyph() {
    for drawing in drawings() {
        for text in drawing.texts() {
            assert_eq!(text::without_glyph(&text.content), [], "{}", text.content);
        }
    }
}

#[test]
fn svg_is_well_formed_and_says_the_sentence() {
    for (page, drawing) in pages().iter().zip(drawings().iter().step_by(2)) {
        let svg = svg::write(drawing);
        assert!(!svg.contains("NaN") && !svg.contains("inf"));
        let document = roxmltree::Document::parse(&svg).unwrap();
        let said =
            |tag| document.descendants().find(|node| node.has_tag_name(tag)).and_then(|node| node.text());
        assert_eq!(said("title"), Some(page.title.as_str()));
        let description = said("desc").unwrap();
        assert!(description.starts_with(&page.sentence) && description.ends_with(&page.notes[1]));
        let labels: Vec<_> = document.descendants().filter_map(|node| node.attribute("aria-label")).collect();
        assert!(drawing.texts().iter().all(|text| labels.contains(&text.content.as_str())));
    }
}

#[test]
fn files_are_named_and_the_same_every_time() {
    let make = || page(4.0, 1.2).files("knife-edge-right", Ground::Light, 1.0).unwrap();
    let files = make();
    assert_eq!(files, make());
    let names: Vec<_> = files.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names, ["knife-edge-right.svg", "knife-edge-right.png"]);
    assert!(files[0].1.starts_with(b"<svg") && files[1].1.starts_with(b"\x89PNG"));
}

#[test]
fn picture_has_the_size_of_the_page() {
    let drawing = page(4.0, 1.2).draw(Ground::Light).unwrap();
    for scale in [1.0, 1.5, 2.0] {
        let bytes = png::write(&drawing, scale).unwrap();
        // Width and height are the first two fields of the first chunk, behind an 8-byte signature and its 8-byte
        // head. Source: W3C, Portable Network Graphics (PNG) Specification, 3rd ed., section 11.2.1 (IHDR).
        let field = |at: usize| u32::from_be_bytes(bytes[at..at + 4].try_into().unwrap());
        assert_eq!(f64::from(field(16)), drawing.width * scale);
        assert_eq!(f64::from(field(20)), (drawing.height * scale).ceil());
    }
}

#[test]
fn sections_come_in_the_fixed_order() {
    let drawing = page(4.0, 1.2).draw(Ground::Light).unwrap();
    let titles = ["The path, seen from above", "Drift", "Sticks, and the surfaces that the blend moved"];
    let height = |words: &str| drawing.texts().iter().find(|t| t.content == words).map(|t| t.at.y);
    let heights: Vec<f64> = titles.iter().filter_map(|&title| height(title)).collect();
    assert_eq!(heights.len(), 3);
    assert!(heights.is_sorted());
}

/// Ends of the lines of a role, from the top of the page downwards: path, then strips.
fn lines(drawing: &Drawing, colour: Colour, width: f64) -> Vec<(Point, Point)> {
    let mut found = Vec::new();
    each_item(&drawing.content, &mut |item| {
        let Item::Path(path) = item else { return };
        let Some(stroke) = &path.stroke else { return };
        if path.fill.is_none() && stroke.ink.colour == colour && (stroke.width - width).abs() < 1e-9 {
            let ends = [path.segments.first(), path.segments.last()];
            if let [Some(&Segment::Move(from)), Some(&Segment::Line(to))] = ends {
                found.push((from, to));
            }
        }
    });
    found
}

/// A drift to the east is towards the gear, with the left wing down on a pass to the north; seen from above
/// with the pass to the right, east is down the page.
#[test]
fn signs_words_and_places_agree() {
    for (scale, word) in [(1.2, "12 m towards the gear"), (-1.2, "12 m towards the canopy")] {
        let page = page(4.0, scale);
        let drawing = page.draw(Ground::Light).unwrap();
        let style = Ground::Light.line(Role::WithoutBlend);
        let (from, to) = lines(&drawing, style.colour, style.width)[0];
        assert!((to.y - from.y) * scale > 20.0, "{from:?} {to:?}");
        let label: Vec<_> =
            drawing.texts().iter().filter(|t| t.colour == style.colour).map(|t| t.content.as_str()).collect();
        assert!(label.join(" ").contains(&format!("without the blend {word}")), "{label:?}");
        // The end of the arrow that points the same way says the same.
        let down = drawing.texts().iter().find(|t| t.content == "↓ towards the gear").unwrap().at.y;
        let up = drawing.texts().iter().find(|t| t.content == "↑ towards the canopy").unwrap().at.y;
        assert!(down > from.y && up < from.y);
    }
}

#[test]
fn path_has_one_scale_for_both_axes() {
    let page = page(4.0, 1.2);
    let drawing = page.draw(Ground::Light).unwrap();
    let style = Ground::Light.line(Role::WithoutBlend);
    let (from, to) = lines(&drawing, style.colour, style.width)[0];
    let (along, across) = ((to.x - from.x) / (4.0 * SPEED), (to.y - from.y) / 12.0);
    assert!((along - across).abs() < 1e-6, "{along} and {across} pixels for a metre");
}

#[test]
fn two_flights_that_cannot_be_told_apart_get_one_name() {
    let drawing = page(4.0, 1.2).draw(Ground::Light).unwrap();
    let count = |words: &str| drawing.texts().iter().filter(|t| t.content == words).count();
    // Only the rudder stick is the same in both.
    assert_eq!((count("both flights"), count("with the blend"), count("without the blend")), (1, 4, 4));
}

/// A stick fully down is at the lower end of its chart.
#[test]
fn limits_are_hatched_at_their_own_end() {
    let hatched = |edge: Edge| {
        let mut page = page(4.0, 1.0);
        page.controls[1].limits[0].edge = edge;
        let drawing = page.draw(Ground::Light).unwrap();
        let violet = Ground::Light.line(Role::Limit).colour;
        let mut heights = Vec::new();
        each_item(&drawing.content, &mut |item| {
            if let Item::Path(path) = item
                && path.stroke.as_ref().is_some_and(|s| s.ink.colour == violet)
            {
                heights.push(item.bounds().unwrap().top);
            }
        });
        heights[0]
    };
    assert!(hatched(Edge::Bottom) > hatched(Edge::Top) + 50.0);
}

#[test]
fn limits_are_said_in_words() {
    let drawing = page(4.0, 1.2).draw(Ground::Light).unwrap();
    assert!(drawing.texts().iter().any(|t| t.content == "at its limit"));
}

/// Middles of the rings in the colour of a role, from the top of the page downwards.
fn rings(drawing: &Drawing, role: Role) -> Vec<Point> {
    let (colour, paper) = (Ground::Light.line(role).colour, Ground::Light.paper());
    let mut found = Vec::new();
    each_item(&drawing.content, &mut |item| {
        let Item::Path(path) = item else { return };
        let outlined = path.stroke.as_ref().is_some_and(|stroke| stroke.ink.colour == colour);
        if let (true, true, Some(bounds)) = (outlined, path.fill == Some(paper.into()), item.bounds()) {
            let Rect { left, top, right, bottom } = bounds;
            found.push(Point::new(0.5 * (left + right), 0.5 * (top + bottom)));
        }
    });
    found
}

#[test]
fn the_moment_of_the_sentence_is_ringed_and_ends_say_when_they_are() {
    let drawing = page(4.0, 1.2).draw(Ground::Light).unwrap();
    let said: Vec<_> = drawing.texts().iter().map(|t| t.content.as_str()).collect();
    assert!(said.contains(&"after 2 s"), "the key: {said:?}");
    let style = Ground::Light.line(Role::WithoutBlend);
    let rings = rings(&drawing, Role::WithoutBlend);
    assert_eq!(rings.len(), 3, "path, heading, bank");
    let lines = lines(&drawing, style.colour, style.width);
    // Of 4 s, 2 s are half the way along; the path is a parabola, the drift a ramp.
    for (ring, ((from, to), share)) in rings.iter().zip(lines.iter().zip([0.25, 0.5, 0.5])) {
        assert!((ring.x - 0.5 * (from.x + to.x)).abs() < 1e-6, "{ring:?} {from:?} {to:?}");
        assert!((ring.y - from.y - share * (to.y - from.y)).abs() < 1e-6, "{ring:?} {from:?} {to:?}");
    }
    let ends: Vec<_> =
        drawing.texts().iter().filter(|t| t.colour == style.colour).map(|t| t.content.as_str()).collect();
    assert_eq!(ends.join(" ").matches("after 4 s").count(), 3, "{ends:?}");
}

#[test]
fn a_sentence_about_the_end_needs_no_rings() {
    let drawing = page(0.2, 0.01).draw(Ground::Light).unwrap();
    assert_eq!(rings(&drawing, Role::WithBlend), []);
}

/// A stick that cannot go beyond 100 % has no mark there, however small its chart.
#[test]
fn a_stick_at_its_stop_has_no_mark_beyond_it() {
    for end in [100.0, -100.0] {
        let mut page = page(4.0, 1.2);
        page.controls[0] = strip("Rudder stick", words("%", "right", "left", 20.0), end, end);
        page.controls[0].limits =
            vec![LimitSpan { from_s: 0.0, to_s: 4.0, edge: Edge::Top, words: "rudder at its stop".into() }];
        let drawing = page.draw(Ground::Light).unwrap();
        let said: Vec<_> = drawing.texts().iter().map(|t| t.content.as_str()).collect();
        assert!(said.contains(&"100 %") && !said.contains(&"200 %"), "{said:?}");
    }
}

#[test]
fn long_flights_show_fewer_models_and_say_so() {
    let said = |duration| {
        let drawing = page(duration, 1.0).draw(Ground::Light).unwrap();
        let texts: Vec<_> = drawing.texts().iter().map(|t| t.content.clone()).collect();
        texts.join("\n")
    };
    assert!(said(4.0).contains("the model each second"));
    assert!(said(40.0).contains("the model every 5 s"));
}

#[test]
fn bad_traces_are_refused_with_what_is_wrong() {
    let refusal = |spoil: fn(&mut ComparisonPage)| {
        let mut page = page(4.0, 1.0);
        spoil(&mut page);
        page.draw(Ground::Light).unwrap_err().to_string()
    };
    let short = refusal(|p| p.with = FlightTrace { time_s: vec![0.0], ..p.with.clone() });
    assert_eq!(short, "the flight with the blend has 1 sample(s), but a line needs at least 2");
    let length = refusal(|p| p.drift[0].without.truncate(7));
    assert_eq!(length, "Heading change without the blend has 7 values, but the flight has 201 samples");
    let value = refusal(|p| p.without.position_ned_m[5][1] = f64::NAN);
    assert!(value.starts_with("the position without the blend is NaN at number 16"), "{value}");
    assert!(refusal(|p| p.sentence_at_s = Some(f64::NAN)).starts_with("the moment of the sentence is NaN"));
    assert!(refusal(|p| p.judged_leg_s = Some((0.0, f64::INFINITY))).starts_with("the judged leg is inf"));
    let scale = page(4.0, 1.0).files("x", Ground::Light, 0.0).unwrap_err();
    assert!(matches!(scale, PageError::Png(_)), "{scale}");
}
