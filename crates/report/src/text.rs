//! Widths, line breaks and outlines of text in the embedded fonts. Advance widths are added up without
//! kerning, so a width is the same integer sum of font units in every output.

use crate::drawing::Segment;
use crate::font::{UNITS_PER_EM, Weight};
use crate::geometry::Point;
use ttf_parser::{GlyphId, OutlineBuilder};

/// A glyph of a line and where it starts, to the right of the line's start [font units].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PlacedGlyph {
    /// Index in the font; 0 is the visible box that stands for a character the font lacks.
    pub glyph: GlyphId,
    /// Start [font units].
    pub x: u32,
}

/// The glyphs of one line, and the width of the whole line [font units].
#[must_use]
pub fn layout(line: &str, weight: Weight) -> (Vec<PlacedGlyph>, u32) {
    let face = weight.face();
    let mut x = 0;
    let glyphs = line
        .chars()
        .map(|c| {
            let glyph = face.glyph_index(c).unwrap_or(GlyphId(0));
            let placed = PlacedGlyph { glyph, x };
            x += u32::from(face.glyph_hor_advance(glyph).unwrap_or(0));
            placed
        })
        .collect();
    (glyphs, x)
}

/// Width of one line (px) at `size` [px per em].
#[must_use]
pub fn width(line: &str, size: f64, weight: Weight) -> f64 {
    f64::from(layout(line, weight).1) * size / UNITS_PER_EM
}

/// The characters for which the embedded fonts would draw an empty box.
#[must_use]
pub fn without_glyph(text: &str) -> Vec<char> {
    let faces = [Weight::Regular, Weight::SemiBold].map(Weight::face);
    text.chars().filter(|&c| faces.iter().any(|face| face.glyph_index(c).is_none())).collect()
}

/// Breaks `text` at spaces into lines no wider than `widest` (px), never between a number and its unit.
/// A word wider than that stands alone on its line.
#[must_use]
pub fn wrap(text: &str, size: f64, weight: Weight, widest: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in unbreakable(text) {
        match lines.last_mut() {
            Some(line) if width(&format!("{line} {word}"), size, weight) <= widest => {
                line.push(' ');
                line.push_str(&word);
            }
            _ => lines.push(word),
        }
    }
    lines
}

/// Like [`wrap`], with the same number of lines but of even length: for headings.
#[must_use]
pub fn wrap_evenly(text: &str, size: f64, weight: Weight, widest: f64) -> Vec<String> {
    let count = wrap(text, size, weight, widest).len();
    let (mut low, mut high) = (0.0, widest);
    while high - low > 1.0 {
        let middle = 0.5 * (low + high);
        if wrap(text, size, weight, middle).len() > count {
            low = middle;
        } else {
            high = middle;
        }
    }
    wrap(text, size, weight, high)
}

/// Words, with a number and the short unit behind it kept as one.
fn unbreakable(text: &str) -> Vec<String> {
    const LONGEST_UNIT: usize = 4;
    let mut words: Vec<String> = Vec::new();
    for word in text.split_ascii_whitespace() {
        match words.last_mut() {
            Some(number)
                if number.ends_with(|c: char| c.is_ascii_digit()) && word.chars().count() <= LONGEST_UNIT =>
            {
                number.push(' ');
                number.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// False for a space.
#[must_use]
pub fn has_ink(glyph: GlyphId, weight: Weight) -> bool {
    weight.face().glyph_bounding_box(glyph).is_some()
}

/// The outline of a glyph [font units, y up]; empty for a space.
#[must_use]
pub fn outline(glyph: GlyphId, weight: Weight) -> Vec<Segment> {
    let mut pen = Pen(Vec::new());
    weight.face().outline_glyph(glyph, &mut pen);
    pen.0
}

struct Pen(Vec<Segment>);

fn point(x: f32, y: f32) -> Point {
    Point::new(f64::from(x), f64::from(y))
}

impl OutlineBuilder for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.0.push(Segment::Move(point(x, y)));
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.0.push(Segment::Line(point(x, y)));
    }
    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.0.push(Segment::Quad(point(x1, y1), point(x, y)));
    }
    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.0.push(Segment::Cubic(point(x1, y1), point(x2, y2), point(x, y)));
    }
    fn close(&mut self) {
        self.0.push(Segment::Close);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Everything our own sentences, and names in most European languages, are written with.
    #[test]
    fn no_character_we_use_is_missing() {
        let printable: String = (' '..='~').chain('\u{a0}'..='\u{17f}').collect();
        let greek: String = ('Α'..='ω').filter(|&c| c != '\u{3a2}').collect();
        let signs = "±°×−–—“”‘’‚„†•→←↑↓≤≥≈≠√∞µ…½¼¾²³·′″‰☐☑✓";
        for text in [printable.as_str(), &greek, signs] {
            assert_eq!(without_glyph(text), [], "{text}");
        }
        assert_eq!(without_glyph("a鳥b"), ['鳥']);
    }

    #[test]
    fn width_is_the_sum_of_advances() {
        let face = Weight::SemiBold.face();
        let sum: u32 = "12 m ±3 °"
            .chars()
            .map(|c| u32::from(face.glyph_hor_advance(face.glyph_index(c).unwrap()).unwrap()))
            .sum();
        assert_eq!(width("12 m ±3 °", 20.0, Weight::SemiBold), f64::from(sum) * 0.02);
    }

    #[test]
    fn wrapped_lines_fit_and_keep_every_word() {
        let text = "Without the blend it drifts 12 m towards the gear in 4 s, at 24 m/s and 100 % rudder";
        for widest in [120.0, 200.0, 333.0, 5000.0] {
            for lines in
                [wrap(text, 16.0, Weight::Regular, widest), wrap_evenly(text, 16.0, Weight::Regular, widest)]
            {
                assert_eq!(lines.join(" "), text);
                for line in &lines {
                    assert!(width(line, 16.0, Weight::Regular) <= widest, "{line}");
                    assert!(!line.ends_with(|c: char| c.is_ascii_digit()), "{line}");
                }
            }
        }
    }

    #[test]
    fn even_lines_are_no_more_lines() {
        let text = "one two three four five six seven eight nine ten eleven";
        let plain = wrap(text, 16.0, Weight::Regular, 300.0);
        let even = wrap_evenly(text, 16.0, Weight::Regular, 300.0);
        assert_eq!(plain.len(), even.len());
        let longest =
            |lines: &[String]| lines.iter().map(|l| width(l, 16.0, Weight::Regular)).fold(0.0, f64::max);
        assert!(longest(&even) < longest(&plain));
    }
}
