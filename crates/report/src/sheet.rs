//! A page that fills from top to bottom: heading, sections, small print.

use crate::drawing::{Drawing, Group, Ink, Item, Path, Stroke, Text};
use crate::font::Weight;
use crate::geometry::Point;
use crate::palette::{Colour, Ground, HAIRLINE_OPACITY};
use crate::text;

/// Width of every page (px).
pub const PAGE_WIDTH: f64 = 1000.0;
/// Free on all sides (px).
pub const MARGIN: f64 = 48.0;

const TITLE_SIZE: f64 = 19.0;
/// Sizes of the sentence, the first of them that needs no more than [`SENTENCE_LINES`].
const SENTENCE_SIZES: [f64; 3] = [31.0, 27.0, 24.0];
const SENTENCE_LINES: usize = 3;
const SECTION_SIZE: f64 = 21.0;
const NOTE_SIZE: f64 = 15.5;
const INNER_WIDTH: f64 = PAGE_WIDTH - 2.0 * MARGIN;

/// A page being filled.
#[derive(Debug, Clone)]
pub struct Sheet {
    ground: Ground,
    down: f64,
    content: Group,
}

impl Sheet {
    /// An empty page.
    #[must_use]
    pub fn new(label: &str, ground: Ground) -> Self {
        Self { ground, down: MARGIN, content: Group::new(label) }
    }

    /// What the page is drawn on.
    #[must_use]
    pub const fn ground(&self) -> Ground {
        self.ground
    }

    /// Where the next thing begins, from the top (px).
    #[must_use]
    pub const fn down(&self) -> f64 {
        self.down
    }

    /// Leaves `height` (px) free, or fills it with what the caller draws there.
    pub const fn skip(&mut self, height: f64) {
        self.down += height;
    }

    /// Draws something.
    pub fn push(&mut self, item: impl Into<Item>) {
        self.content.push(item);
    }

    /// What the page is about, small, and what it says, large.
    pub fn heading(&mut self, title: &str, sentence: &str) {
        let quiet = self.ground.quiet_text();
        self.paragraph(title, TITLE_SIZE, Weight::Regular, quiet);
        self.skip(8.0);
        let size = sentence_size(sentence);
        let lines = text::wrap_evenly(sentence, size, Weight::SemiBold, INNER_WIDTH);
        self.lines(lines, size, Weight::SemiBold, self.ground.text());
        self.skip(26.0);
    }

    /// The name of a section under a hairline. Returns its baseline (px).
    pub fn section(&mut self, title: &str) -> f64 {
        let ends = [MARGIN, PAGE_WIDTH - MARGIN].map(|x| Point::new(x, self.down));
        let ink = Ink { colour: self.ground.text(), opacity: 2.0 * HAIRLINE_OPACITY };
        self.push(Path::line(ends, Stroke::solid(ink, 1.0)));
        let baseline = self.down + 31.0;
        let text = Text::new(title, Point::new(MARGIN, baseline), SECTION_SIZE, self.ground.text());
        self.push(text.semi_bold());
        self.skip(46.0);
        baseline
    }

    /// The small print, a paragraph each.
    pub fn notes(&mut self, notes: &[String]) {
        for note in notes {
            self.paragraph(note, NOTE_SIZE, Weight::Regular, self.ground.quiet_text());
            self.skip(6.0);
        }
    }

    /// The finished page, as high as it has become.
    #[must_use]
    pub fn finish(self, title: &str, description: &str) -> Drawing {
        Drawing {
            width: PAGE_WIDTH,
            height: (self.down + MARGIN - 12.0).ceil(),
            ground: self.ground.paper(),
            title: title.to_owned(),
            description: description.to_owned(),
            content: self.content,
        }
    }

    fn paragraph(&mut self, words: &str, size: f64, weight: Weight, colour: Colour) {
        let lines = text::wrap(words, size, weight, INNER_WIDTH);
        self.lines(lines, size, weight, colour);
    }

    fn lines(&mut self, lines: Vec<String>, size: f64, weight: Weight, colour: Colour) {
        const LEADING: f64 = 1.32;
        for line in lines {
            self.skip(LEADING * size);
            let at = Point::new(MARGIN, self.down - 0.3 * size);
            self.push(Text { weight, ..Text::new(line, at, size, colour) });
        }
    }
}

fn sentence_size(sentence: &str) -> f64 {
    let [.., least] = SENTENCE_SIZES;
    let fits = |size: f64| text::wrap(sentence, size, Weight::SemiBold, INNER_WIDTH).len() <= SENTENCE_LINES;
    SENTENCE_SIZES.into_iter().find(|&size| fits(size)).unwrap_or(least)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_sentences_are_set_smaller() {
        let words = |count: usize| vec!["knife-edge"; count].join(" ");
        let sizes = [5, 15, 17, 60].map(|count| sentence_size(&words(count)));
        assert_eq!(sizes[0], SENTENCE_SIZES[0]);
        assert!(sizes.is_sorted_by(|a, b| a >= b) && sizes[3] == SENTENCE_SIZES[2], "{sizes:?}");
    }
}
