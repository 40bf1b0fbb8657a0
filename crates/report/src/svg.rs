//! A drawing as SVG text. Letters are outlines, each glyph defined once, so the page needs no font;
//! every line of text also stands in words in an `aria-label`.

use crate::drawing::{Drawing, Group, HALO_WIDTH, Ink, Item, Path, Segment, Stroke, Text};
use crate::font::{UNITS_PER_EM, Weight};
use crate::geometry::Point;
use crate::text;
use std::collections::BTreeSet;
use ttf_parser::GlyphId;

type Glyphs = BTreeSet<(Weight, u16)>;

/// The whole file. The same drawing gives the same bytes.
#[must_use]
pub fn write(drawing: &Drawing) -> String {
    let (width, height) = (number(drawing.width), number(drawing.height));
    let mut body = String::new();
    let mut glyphs = Glyphs::new();
    group(&drawing.content, &mut body, &mut glyphs);
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" \
         viewBox=\"0 0 {width} {height}\" role=\"img\">\n\
         <title>{}</title>\n<desc>{}</desc>\n<defs>\n{}</defs>\n\
         <rect width=\"{width}\" height=\"{height}\" fill=\"{}\"/>\n{body}</svg>\n",
        escape(&drawing.title),
        escape(&drawing.description),
        definitions(&glyphs),
        drawing.ground,
    )
}

fn group(group: &Group, out: &mut String, glyphs: &mut Glyphs) {
    out.push_str(&format!("<g aria-label=\"{}\">\n", escape(&group.label)));
    for item in &group.items {
        match item {
            Item::Group(inner) => self::group(inner, out, glyphs),
            Item::Path(path) => out.push_str(&self::path(path)),
            Item::Text(text) => out.push_str(&self::text(text, glyphs)),
        }
    }
    out.push_str("</g>\n");
}

fn path(path: &Path) -> String {
    let fill = path.fill.map_or_else(|| " fill=\"none\"".to_owned(), |ink| self::ink("fill", ink));
    let stroke = path.stroke.as_ref().map_or_else(String::new, stroke);
    format!("<path d=\"{}\"{fill}{stroke}/>\n", data(&path.segments))
}

fn ink(kind: &str, ink: Ink) -> String {
    let opacity = match number(ink.opacity).as_str() {
        "1" => String::new(),
        share => format!(" {kind}-opacity=\"{share}\""),
    };
    format!(" {kind}=\"{}\"{opacity}", ink.colour)
}

fn stroke(stroke: &Stroke) -> String {
    let dash = match stroke.dash.as_slice() {
        [] => String::new(),
        lengths => format!(
            " stroke-dasharray=\"{}\"",
            lengths.iter().map(|&d| number(d)).collect::<Vec<_>>().join(" ")
        ),
    };
    let ink = ink("stroke", stroke.ink);
    format!("{ink} stroke-width=\"{}\" stroke-linejoin=\"round\"{dash}", number(stroke.width))
}

fn text(text: &Text, glyphs: &mut Glyphs) -> String {
    let scale = text.size / UNITS_PER_EM;
    let turn = match number(text.turned_deg).as_str() {
        "0" => String::new(),
        degrees => format!(" rotate({degrees})"),
    };
    let uses = uses(text, glyphs);
    let halo = text.halo.map_or_else(String::new, |colour| {
        let width = number(HALO_WIDTH * UNITS_PER_EM);
        format!("<g stroke=\"{colour}\" stroke-width=\"{width}\" stroke-linejoin=\"round\">{uses}</g>\n")
    });
    // The start is rounded in font units, so that both outputs agree to a thousandth of the size.
    format!(
        "<g aria-label=\"{}\" fill=\"{}\" transform=\"translate({} {}){turn} scale({scale:.5} -{scale:.5}) \
         translate({})\">\n{halo}{uses}\n</g>\n",
        escape(&text.content),
        text.colour,
        number(text.at.x),
        number(text.at.y),
        number(text.start() / scale),
    )
}

fn uses(text: &Text, glyphs: &mut Glyphs) -> String {
    let (placed, _) = text::layout(&text.content, text.weight);
    let visible = placed.iter().filter(|placed| text::has_ink(placed.glyph, text.weight));
    visible
        .map(|placed| {
            let key = (text.weight, placed.glyph.0);
            glyphs.insert(key);
            format!("<use href=\"#{}\" x=\"{}\"/>", name(key), placed.x)
        })
        .collect()
}

fn definitions(glyphs: &Glyphs) -> String {
    let define = |&key: &(Weight, u16)| {
        format!("<path id=\"{}\" d=\"{}\"/>\n", name(key), data(&text::outline(GlyphId(key.1), key.0)))
    };
    glyphs.iter().map(define).collect()
}

fn name((weight, glyph): (Weight, u16)) -> String {
    let letter = match weight {
        Weight::Regular => 'r',
        Weight::SemiBold => 's',
    };
    format!("{letter}{glyph}")
}

fn data(segments: &[Segment]) -> String {
    let step = |segment: &Segment| match *segment {
        Segment::Move(a) => format!("M{}", pair(a)),
        Segment::Line(a) => format!("L{}", pair(a)),
        Segment::Quad(a, b) => format!("Q{} {}", pair(a), pair(b)),
        Segment::Cubic(a, b, c) => format!("C{} {} {}", pair(a), pair(b), pair(c)),
        Segment::Close => "Z".to_owned(),
    };
    segments.iter().map(step).collect()
}

fn pair(point: Point) -> String {
    format!("{} {}", number(point.x), number(point.y))
}

/// At most two decimals, without trailing zeros or a negative zero.
fn number(value: f64) -> String {
    let text = format!("{value:.2}");
    let short = text.trim_end_matches('0').trim_end_matches('.');
    if short == "-0" { "0".to_owned() } else { short.to_owned() }
}

/// Characters with a meaning in XML as entities; those that XML 1.0 forbids as the replacement character.
fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\n' | '\t' => out.push(c),
            '\u{fffe}' | '\u{ffff}' => out.push('\u{fffd}'),
            c if c.is_control() => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::palette::Colour;

    fn page(words: &str) -> Drawing {
        let mut content = Group::new(words);
        content
            .push(Text::new(words, Point::new(10.0, 30.0), 20.0, Colour::hex(0)).with_halo(Colour::hex(1)));
        content.push(Path::line(
            [Point::new(0.0, 0.0), Point::new(9.0, 9.0)],
            Stroke::solid(Colour::hex(0), 1.0),
        ));
        Drawing {
            width: 100.0,
            height: 50.0,
            ground: Colour::hex(0xFF_FFFF),
            title: words.to_owned(),
            description: words.to_owned(),
            content,
        }
    }

    #[test]
    fn any_words_give_well_formed_xml_that_says_them() {
        for words in ["12 m & <more>", "\"quoted\" 'once'", "±3 ° → gear", "鳥", "two\nlines"] {
            let svg = write(&page(words));
            let document = roxmltree::Document::parse(&svg).unwrap();
            let said = |tag| document.descendants().find(|n| n.has_tag_name(tag)).and_then(|n| n.text());
            assert_eq!(said("title"), Some(words));
            assert_eq!(said("desc"), Some(words));
        }
        let svg = write(&page("bell \u{7} nothing \u{0}"));
        assert!(roxmltree::Document::parse(&svg).is_ok());
    }

    #[test]
    fn every_use_has_its_definition() {
        let svg = write(&page("Knife-edge, 100 % rudder"));
        let document = roxmltree::Document::parse(&svg).unwrap();
        let ids: Vec<_> = document.descendants().filter_map(|n| n.attribute("id")).collect();
        let uses: Vec<_> = document.descendants().filter_map(|n| n.attribute("href")).collect();
        assert!(uses.len() > 20);
        assert!(uses.iter().all(|href| ids.contains(&&href[1..])));
    }

    #[test]
    fn numbers_are_short_and_never_minus_zero() {
        let written = [0.0, -0.001, 1.0, -2.5, 10.0, 0.125].map(number);
        assert_eq!(written, ["0", "0", "1", "-2.5", "10", "0.12"]);
    }
}
