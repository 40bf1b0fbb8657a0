//! The two embedded weights of the one typeface (see `assets/fonts/README.md`).

use std::sync::OnceLock;
use ttf_parser::Face;

/// How heavy the letters are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// For text and numbers.
    Regular,
    /// For headings and names of lines.
    SemiBold,
}

/// Font units per em, in both weights.
pub const UNITS_PER_EM: f64 = 1000.0;
/// Height of a capital over the size of the type.
pub const CAP_HEIGHT: f64 = 0.714;
/// Reach above the baseline over the size, accents on capitals included.
pub const ASCENT: f64 = 1.069;
/// Reach below the baseline over the size.
pub const DESCENT: f64 = 0.293;

static REGULAR: &[u8] = include_bytes!("../../../assets/fonts/NotoSans-Regular-subset.ttf");
static SEMI_BOLD: &[u8] = include_bytes!("../../../assets/fonts/NotoSans-SemiBold-subset.ttf");

impl Weight {
    /// The parsed font.
    #[must_use]
    pub fn face(self) -> &'static Face<'static> {
        static FACES: [OnceLock<Face<'static>>; 2] = [const { OnceLock::new() }; 2];
        let (cell, bytes) = match self {
            Self::Regular => (&FACES[0], REGULAR),
            Self::SemiBold => (&FACES[1], SEMI_BOLD),
        };
        cell.get_or_init(|| Face::parse(bytes, 0).expect("the embedded font is a valid TrueType file"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn constants_are_those_of_the_font_files() {
        for weight in [Weight::Regular, Weight::SemiBold] {
            let face = weight.face();
            assert_eq!(f64::from(face.units_per_em()), UNITS_PER_EM);
            assert_eq!(f64::from(face.ascender()), ASCENT * UNITS_PER_EM);
            assert_eq!(f64::from(face.descender()), -DESCENT * UNITS_PER_EM);
            assert_eq!(face.capital_height().map(f64::from), Some(CAP_HEIGHT * UNITS_PER_EM));
        }
    }

    #[test]
    fn figures_and_signs_share_one_width() {
        for weight in [Weight::Regular, Weight::SemiBold] {
            let face = weight.face();
            let width = |c| face.glyph_hor_advance(face.glyph_index(c).unwrap()).unwrap();
            for c in "0123456789+−±=×".chars() {
                assert_eq!(width(c), width('0'), "{c}");
            }
        }
    }
}
