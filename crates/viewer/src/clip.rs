//! Pictures and clips as bytes: PNG, and GIF with one palette for the whole clip, so that what stands still is
//! stored once.

use crate::headless::Picture;
use color_quant::NeuQuant;
use files::{Existing, write_file, write_folder};
use gif::{DisposalMethod, Encoder, EncodingError, Frame, Repeat};
use std::borrow::Cow;
use std::path::Path;

/// Index of the palette that means "as before".
const SAME: u8 = 255;
/// One pixel in so many tells the palette.
const SAMPLING: usize = 37;

/// From this difference between its largest and smallest part on a colour is vivid.
const VIVID: u8 = 40;

/// A PNG.
///
/// # Errors
/// In words, if the encoder refuses.
pub(crate) fn png(picture: &Picture) -> Result<Vec<u8>, String> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, picture.width, picture.height);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    let rgb: Vec<u8> = picture.rgba.chunks_exact(4).flat_map(|p| [p[0], p[1], p[2]]).collect();
    let written = encoder.write_header().and_then(|mut writer| writer.write_image_data(&rgb));
    written.map_err(|fault| format!("the picture could not be encoded: {fault}"))?;
    Ok(bytes)
}

/// A clip on its way: a GIF, or PNG frames if its name has no ending.
pub(crate) enum Reel {
    Gif(Box<Gif>),
    Frames(Vec<(String, Vec<u8>)>),
}

impl Reel {
    /// A clip with `rate` pictures per second; its colours are learned from some `moments` of it.
    ///
    /// # Errors
    /// In words, if there is no moment or the encoder refuses.
    pub(crate) fn new(path: &Path, moments: &[Picture], rate: f64) -> Result<Self, String> {
        Ok(match path.extension() {
            Some(_) => Self::Gif(Box::new(Gif::new(moments, rate)?)),
            None => Self::Frames(Vec::new()),
        })
    }

    /// One more picture, to be seen for as long as `times` of them.
    ///
    /// # Errors
    /// In words, if the encoder refuses.
    pub(crate) fn add(&mut self, picture: &Picture, times: u16) -> Result<(), String> {
        match self {
            Self::Gif(gif) => gif.add(picture, times),
            Self::Frames(frames) => {
                let bytes = png(picture)?;
                for _ in 0..times {
                    frames.push((format!("frame-{:04}.png", frames.len()), bytes.clone()));
                }
                Ok(())
            }
        }
    }

    /// Writes it.
    ///
    /// # Errors
    /// In words, if it cannot be written.
    pub(crate) fn write(self, path: &Path, existing: Existing) -> Result<(), String> {
        let written = match self {
            Self::Gif(gif) => write_file(path, &gif.bytes()?, existing),
            Self::Frames(frames) => write_folder(path, &frames, existing),
        };
        written.map_err(|fault| fault.to_string())
    }
}

/// A GIF of pictures of one size that begins again at its end.
pub(crate) struct Gif {
    encoder: Encoder<Vec<u8>>,
    palette: NeuQuant,
    width: usize,
    /// How long a picture is seen, hundredths of a second.
    delay: u16,
    before: Option<Vec<u8>>,
}

impl Gif {
    fn new(moments: &[Picture], rate: f64) -> Result<Self, String> {
        let first = moments.first().ok_or("there is no picture to make a clip of")?;
        let too_large = |_| "a GIF has at most 65535 pixels a side; choose a smaller --size".to_owned();
        let (width, height) =
            (u16::try_from(first.width).map_err(too_large)?, u16::try_from(first.height).map_err(too_large)?);
        let pixels = moments.iter().flat_map(|p| p.rgba.chunks_exact(4).enumerate());
        let telling = pixels.filter(|(i, pixel)| i % SAMPLING == 0 || is_vivid(pixel));
        let samples: Vec<u8> = telling.flat_map(|(_, pixel)| pixel).copied().collect();
        let palette = NeuQuant::new(10, SAME as usize, &samples);
        let mut encoder =
            Encoder::new(Vec::new(), width, height, &palette.color_map_rgb()).map_err(failed)?;
        encoder.set_repeat(Repeat::Infinite).map_err(failed)?;
        let delay = (100.0 / rate).round() as u16;
        Ok(Self { encoder, palette, width: usize::from(width), delay, before: None })
    }

    fn add(&mut self, picture: &Picture, times: u16) -> Result<(), String> {
        let pixels = picture.rgba.chunks_exact(4);
        let now: Vec<u8> = pixels.map(|pixel| self.palette.index_of(pixel) as u8).collect();
        let before = self.before.as_deref();
        let mut frame = changed(before, &now, self.width).frame(&now, before, self.width);
        frame.delay = self.delay.saturating_mul(times);
        self.encoder.write_frame(&frame).map_err(failed)?;
        self.before = Some(now);
        Ok(())
    }

    fn bytes(self) -> Result<Vec<u8>, String> {
        self.encoder.into_inner().map_err(failed)
    }
}

/// The models are small and coloured, the field is large and pale: by its share of the pixels a model would be grey.
fn is_vivid(pixel: &[u8]) -> bool {
    let rgb = || pixel.iter().take(3).copied();
    rgb().max().unwrap_or_default() - rgb().min().unwrap_or_default() > VIVID
}

fn failed(fault: EncodingError) -> String {
    format!("the clip could not be encoded: {fault}")
}

/// A rectangle of pixels: columns and rows, ends excluded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Patch {
    left: usize,
    top: usize,
    right: usize,
    bottom: usize,
}

/// The smallest patch outside which nothing has changed; never empty, as a frame may not be.
fn changed(before: Option<&[u8]>, now: &[u8], width: usize) -> Patch {
    let Some(before) = before else {
        return Patch { left: 0, top: 0, right: width, bottom: now.len() / width };
    };
    let none = Patch { left: usize::MAX, top: usize::MAX, right: 0, bottom: 0 };
    let differing = (0..now.len()).filter(|&i| now[i] != before[i]);
    let patch = differing.fold(none, |p, i| Patch {
        left: p.left.min(i % width),
        top: p.top.min(i / width),
        right: p.right.max(i % width + 1),
        bottom: p.bottom.max(i / width + 1),
    });
    if patch == none { Patch { left: 0, top: 0, right: 1, bottom: 1 } } else { patch }
}

impl Patch {
    fn frame<'a>(&self, now: &[u8], before: Option<&[u8]>, width: usize) -> Frame<'a> {
        let pixels = (self.top..self.bottom)
            .flat_map(|row| (self.left..self.right).map(move |column| row * width + column));
        let buffer: Vec<u8> =
            pixels.map(|i| if before.is_some_and(|b| b[i] == now[i]) { SAME } else { now[i] }).collect();
        Frame {
            left: self.left as u16,
            top: self.top as u16,
            width: (self.right - self.left) as u16,
            height: (self.bottom - self.top) as u16,
            transparent: before.map(|_| SAME),
            dispose: DisposalMethod::Keep,
            buffer: Cow::Owned(buffer),
            ..Frame::default()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A dark dot on paper, further right in every picture.
    fn dot(at: usize) -> Picture {
        let (width, height) = (16_usize, 8_usize);
        let pixel = |i: usize| if i == 3 * width + at { [20, 20, 20, 255] } else { [250, 248, 244, 255] };
        Picture { width: 16, height: 8, rgba: (0..width * height).flat_map(pixel).collect() }
    }

    #[test]
    fn a_clip_decodes_to_its_pictures() {
        let pictures: Vec<Picture> = (2..6).map(dot).collect();
        let mut gif = Gif::new(&[dot(2), dot(5)], 15.0).unwrap();
        for (picture, times) in pictures.iter().zip([1, 1, 30, 1]) {
            gif.add(picture, times).unwrap();
        }
        let bytes = gif.bytes().unwrap();
        let mut options = gif::DecodeOptions::new();
        options.set_color_output(gif::ColorOutput::Indexed);
        let mut decoder = options.read_info(bytes.as_slice()).unwrap();
        let palette = decoder.global_palette().unwrap().to_vec();
        let mut canvas = vec![[0_u8; 3]; 128];
        for (picture, delay) in pictures.iter().zip([7, 7, 210, 7]) {
            let frame = decoder.read_next_frame().unwrap().unwrap();
            assert_eq!(frame.delay, delay);
            for (i, &index) in frame.buffer.iter().enumerate() {
                if Some(index) != frame.transparent {
                    let (column, row) = (i % frame.width as usize, i / frame.width as usize);
                    let colour = &palette[3 * index as usize..3 * index as usize + 3];
                    canvas[(frame.top as usize + row) * 16 + frame.left as usize + column]
                        .copy_from_slice(colour);
                }
            }
            for (drawn, wanted) in canvas.iter().zip(picture.rgba.chunks_exact(4)) {
                assert!(drawn.iter().zip(wanted).all(|(a, b)| a.abs_diff(*b) < 12), "{drawn:?} {wanted:?}");
            }
        }
        assert!(decoder.read_next_frame().unwrap().is_none());
    }

    #[test]
    fn a_small_coloured_thing_keeps_its_colour() {
        let teal = [11, 110, 105, 255];
        // a pale field of many shades
        let pale = |i: usize| [200 + (i % 50) as u8, 205 + (i % 37) as u8, 200 + (i % 41) as u8, 255];
        let pixel = |i: usize| if (5000..5040).contains(&i) { teal } else { pale(i) };
        let picture = Picture { width: 300, height: 100, rgba: (0..30_000).flat_map(pixel).collect() };
        let gif = Gif::new(&[picture], 15.0).unwrap();
        let colours = gif.palette.color_map_rgb();
        let nearest = &colours[3 * gif.palette.index_of(&teal)..][..3];
        assert!(nearest.iter().zip(teal).all(|(a, b)| a.abs_diff(b) < 12), "{nearest:?}");
    }

    #[test]
    fn only_what_changed_is_stored() {
        let (a, b) = ([0, 0, 0, 0, 0, 0], [0, 0, 1, 0, 0, 0]);
        assert_eq!(changed(Some(&a), &b, 3), Patch { left: 2, top: 0, right: 3, bottom: 1 });
        assert_eq!(changed(Some(&a), &a, 3), Patch { left: 0, top: 0, right: 1, bottom: 1 });
        assert_eq!(changed(None, &a, 3), Patch { left: 0, top: 0, right: 3, bottom: 2 });
    }
}
