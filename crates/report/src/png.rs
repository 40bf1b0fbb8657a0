//! A drawing as a PNG picture.

use crate::drawing::{Drawing, Group, HALO_WIDTH, Ink, Item, Path, Segment, Stroke, Text};
use crate::font::UNITS_PER_EM;
use crate::geometry::Point;
use crate::palette::Colour;
use crate::text;
use tiny_skia::{
    Color, FillRule, LineJoin, Paint, PathBuilder, Pixmap, Stroke as SkiaStroke, StrokeDash, Transform,
};

/// Why a picture could not be made.
#[derive(Debug, thiserror::Error)]
pub enum PngError {
    /// The size in pixels is not usable.
    #[error(
        "a picture of {width:.0} by {height:.0} at scale {scale} cannot be made: its sides must be 1 to \
         16384 pixels; choose another scale"
    )]
    Size {
        /// Width of the drawing [px at scale 1].
        width: f64,
        /// Height of the drawing [px at scale 1].
        height: f64,
        /// Pixels per pixel of the drawing.
        scale: f64,
    },
    /// The encoder failed.
    #[error("the picture could not be encoded: {0}")]
    Encoding(#[from] ::png::EncodingError),
}

/// The whole file, `scale` pixels for each pixel of the drawing. The same drawing gives the same bytes on
/// the same kind of processor.
///
/// # Errors
/// If the picture would have no pixels or too many.
pub fn write(drawing: &Drawing, scale: f64) -> Result<Vec<u8>, PngError> {
    encode(&pixels(drawing, scale)?)
}

/// A picture in memory: rows from the top, red, green and blue of each pixel.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pixels {
    /// Columns.
    pub width: u32,
    /// Rows.
    pub height: u32,
    /// Three bytes a pixel.
    pub rgb: Vec<u8>,
}

/// The drawing as pixels, for somebody who shows it instead of writing it.
///
/// # Errors
/// As [`write()`].
pub fn pixels(drawing: &Drawing, scale: f64) -> Result<Pixels, PngError> {
    const LONGEST: f64 = 16384.0;
    let size = [drawing.width, drawing.height].map(|side| (side * scale).ceil());
    let refused = PngError::Size { width: drawing.width, height: drawing.height, scale };
    if !size.iter().all(|side| (1.0..=LONGEST).contains(side)) {
        return Err(refused);
    }
    let mut canvas = Pixmap::new(size[0] as u32, size[1] as u32).ok_or(refused)?;
    canvas.fill(color(drawing.ground.into()));
    group(&drawing.content, &mut canvas, Transform::from_scale(scale as f32, scale as f32));
    let (width, height) = (canvas.width(), canvas.height());
    Ok(Pixels { width, height, rgb: without_alpha(canvas.take()) })
}

fn encode(picture: &Pixels) -> Result<Vec<u8>, PngError> {
    let mut bytes = Vec::new();
    let mut encoder = ::png::Encoder::new(&mut bytes, picture.width, picture.height);
    encoder.set_color(::png::ColorType::Rgb);
    encoder.set_depth(::png::BitDepth::Eight);
    encoder.set_compression(::png::Compression::Fast);
    encoder.write_header()?.write_image_data(&picture.rgb)?;
    Ok(bytes)
}

/// The ground is opaque, so no pixel needs its alpha. In place, because a second picture in memory costs
/// more time than drawing a page.
fn without_alpha(mut pixels: Vec<u8>) -> Vec<u8> {
    let count = pixels.len() / 4;
    for pixel in 0..count {
        pixels.copy_within(4 * pixel..4 * pixel + 3, 3 * pixel);
    }
    pixels.truncate(3 * count);
    pixels
}

fn group(group: &Group, canvas: &mut Pixmap, place: Transform) {
    for item in &group.items {
        match item {
            Item::Group(inner) => self::group(inner, canvas, place),
            Item::Path(path) => self::path(path, canvas, place),
            Item::Text(text) => self::text(text, canvas, place),
        }
    }
}

fn path(path: &Path, canvas: &mut Pixmap, place: Transform) {
    let mut builder = PathBuilder::new();
    trace(&path.segments, Point::new(0.0, 0.0), &mut builder);
    let Some(outline) = builder.finish() else { return };
    if let Some(ink) = path.fill {
        canvas.fill_path(&outline, &paint(ink), FillRule::Winding, place, None);
    }
    if let Some(stroke) = &path.stroke {
        canvas.stroke_path(&outline, &paint(stroke.ink), &self::stroke(stroke), place, None);
    }
}

fn text(text: &Text, canvas: &mut Pixmap, place: Transform) {
    let mut builder = PathBuilder::new();
    for placed in text::layout(&text.content, text.weight).0 {
        let start = Point::new(f64::from(placed.x), 0.0);
        trace(&text::outline(placed.glyph, text.weight), start, &mut builder);
    }
    let Some(outline) = builder.finish() else { return };
    let scale = (text.size / UNITS_PER_EM) as f32;
    let place = place
        .pre_translate(text.at.x as f32, text.at.y as f32)
        .pre_concat(Transform::from_rotate(text.turned_deg as f32))
        .pre_translate(text.start() as f32, 0.0)
        .pre_scale(scale, -scale);
    if let Some(colour) = text.halo {
        let edge = stroke(&Stroke::solid(colour, HALO_WIDTH * UNITS_PER_EM));
        canvas.stroke_path(&outline, &paint(colour.into()), &edge, place, None);
    }
    canvas.fill_path(&outline, &paint(text.colour.into()), FillRule::Winding, place, None);
}

fn trace(segments: &[Segment], from: Point, builder: &mut PathBuilder) {
    let at = |p: Point| ((p.x + from.x) as f32, (p.y + from.y) as f32);
    for segment in segments {
        match *segment {
            Segment::Move(a) => builder.move_to(at(a).0, at(a).1),
            Segment::Line(a) => builder.line_to(at(a).0, at(a).1),
            Segment::Quad(a, b) => builder.quad_to(at(a).0, at(a).1, at(b).0, at(b).1),
            Segment::Cubic(a, b, c) => builder.cubic_to(at(a).0, at(a).1, at(b).0, at(b).1, at(c).0, at(c).1),
            Segment::Close => builder.close(),
        }
    }
}

fn stroke(stroke: &Stroke) -> SkiaStroke {
    SkiaStroke {
        width: stroke.width as f32,
        line_join: LineJoin::Round,
        // A pattern that is not even, or not of positive lengths, draws a solid line, as in SVG.
        dash: StrokeDash::new(stroke.dash.iter().map(|&d| d as f32).collect(), 0.0),
        ..SkiaStroke::default()
    }
}

fn paint(ink: Ink) -> Paint<'static> {
    let mut paint = Paint { anti_alias: true, ..Paint::default() };
    paint.set_color(color(ink));
    paint
}

fn color(ink: Ink) -> Color {
    let Colour { red, green, blue } = ink.colour;
    Color::from_rgba8(red, green, blue, (ink.opacity.clamp(0.0, 1.0) * 255.0).round() as u8)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Rect;

    fn page() -> Drawing {
        let mut content = Group::new("a box");
        let corner = Rect { left: 0.0, top: 0.0, right: 20.0, bottom: 10.0 };
        content.push(Path::rect(corner, Colour::hex(0xC1_440E)));
        content.push(Text::new("8", Point::new(60.0, 40.0), 20.0, Colour::hex(0)));
        Drawing {
            width: 100.0,
            height: 50.0,
            ground: Colour::hex(0xFA_F8F4),
            title: String::new(),
            description: String::new(),
            content,
        }
    }

    fn decoded(bytes: &[u8]) -> (u32, u32, Vec<u8>) {
        let mut reader = ::png::Decoder::new(std::io::Cursor::new(bytes)).read_info().unwrap();
        let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
        let info = reader.next_frame(&mut pixels).unwrap();
        (info.width, info.height, pixels)
    }

    #[test]
    fn picture_has_the_size_and_colours_of_the_drawing() {
        let (width, height, pixels) = decoded(&write(&page(), 1.5).unwrap());
        assert_eq!((width, height), (150, 75));
        let at = |x: usize, y: usize| &pixels[(y * 150 + x) * 3..][..3];
        assert_eq!(at(5, 5), [0xC1, 0x44, 0x0E]);
        assert_eq!(at(140, 5), [0xFA, 0xF8, 0xF4]);
        let ink = pixels.chunks(3).filter(|p| p.iter().all(|&c| c < 60)).count();
        assert!((20..400).contains(&ink), "{ink} dark pixels for one figure");
    }

    #[test]
    fn same_drawing_same_bytes() {
        assert_eq!(write(&page(), 2.0).unwrap(), write(&page(), 2.0).unwrap());
    }

    #[test]
    fn senseless_scales_are_refused() {
        for scale in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e6] {
            assert!(matches!(write(&page(), scale), Err(PngError::Size { .. })), "{scale}");
        }
    }
}
