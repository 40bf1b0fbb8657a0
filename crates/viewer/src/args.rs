//! What can be asked for on the command line.

use clap::Parser;
use panels::Eye;
use std::path::PathBuf;

const EXAMPLES: &str = "\
Examples:
  countermix-viewer
  countermix-viewer knife-edge-pass larkspur
  countermix-viewer --tour
  countermix-viewer --replay foxglove-flight.toml
  countermix-viewer my-pass.toml my-model.toml --mix my-mix.toml
  countermix-viewer knife-edge-pass foxglove --shot pass.png --at 5 --eye top
  countermix-viewer knife-edge-pass foxglove --clip pass.gif --size 640x360
  countermix-viewer --tour --clip tour.gif --low
  countermix-viewer slow-roll --tour --shot page.png";

/// The window: two models fly the same manoeuvre side by side, with and without the blends.
#[derive(Debug, Clone, Parser)]
#[command(name = "countermix-viewer", version, after_help = EXAMPLES)]
pub(crate) struct Args {
    /// The manoeuvre: a demo name or a scenario file.
    #[arg(default_value = "knife-edge-pass")]
    pub(crate) scenario: String,
    /// The airframe: a demo name or a file.
    #[arg(default_value = "foxglove")]
    pub(crate) airframe: String,
    /// The mix; without it, the demo mix of the airframe's name.
    #[arg(long, value_name = "FILE")]
    pub(crate) mix: Option<String>,
    /// Write one picture (PNG) and end; needs no display.
    #[arg(long, value_name = "FILE", conflicts_with = "clip")]
    pub(crate) shot: Option<PathBuf>,
    /// Write the flight, or the tour, as a GIF, or as PNG frames into a folder, and end; needs no display.
    #[arg(long, value_name = "FILE")]
    pub(crate) clip: Option<PathBuf>,
    /// The moment of the picture, seconds since the flight began.
    #[arg(long, value_name = "SECONDS")]
    pub(crate) at: Option<f64>,
    /// From where: pilot, chase, tail, top, side or free.
    #[arg(long, value_name = "EYE", value_parser = eye, default_value = "chase")]
    pub(crate) eye: Eye,
    /// Size of the window or the picture, in pixels.
    #[arg(long, value_name = "WxH", value_parser = size, default_value = "1280x720")]
    pub(crate) size: (u32, u32),
    /// The tour: every manoeuvre of the demo club, unattended, beginning with the one that is named. With --clip the
    /// whole of it is written, with --shot a page.
    #[arg(long, conflicts_with = "bare")]
    pub(crate) tour: bool,
    /// Show a flight by hand that was saved as a recording.
    #[arg(long, value_name = "FILE", conflicts_with = "tour")]
    pub(crate) replay: Option<PathBuf>,
    /// Only the field and the verdict, no panels.
    #[arg(long)]
    pub(crate) bare: bool,
    /// Light drawing for computers without a graphics card: edges are not smoothed.
    #[arg(long)]
    pub(crate) low: bool,
    /// Slate instead of paper.
    #[arg(long)]
    pub(crate) dark: bool,
    /// Text size, 0.8 to 2.
    #[arg(long, value_name = "TIMES", default_value_t = 1.0, value_parser = text_size)]
    pub(crate) text: f32,
    /// Replace files that are there already.
    #[arg(long)]
    pub(crate) force: bool,
    /// Draw so many pictures without showing them, and print how many that were per second.
    #[arg(long, value_name = "N")]
    pub(crate) bench_frames: Option<u32>,
}

fn eye(text: &str) -> Result<Eye, String> {
    let known = Eye::ALL.iter().find(|eye| eye.word().eq_ignore_ascii_case(text));
    known.copied().ok_or_else(|| "choose one of pilot, chase, tail, top, side, free".to_owned())
}

fn size(text: &str) -> Result<(u32, u32), String> {
    let parsed = text.split_once('x').and_then(|(w, h)| Some((w.parse().ok()?, h.parse().ok()?)));
    match parsed {
        Some((w, h)) if (320..=7680).contains(&w) && (200..=4320).contains(&h) => Ok((w, h)),
        _ => Err("write it like 1280x720, from 320x200 to 7680x4320".to_owned()),
    }
}

fn text_size(text: &str) -> Result<f32, String> {
    let (least, most) = panels::TEXT_SIZES;
    match text.parse::<f32>() {
        Ok(times) if (least..=most).contains(&times) => Ok(times),
        _ => Err(format!("a number from {least} to {most}")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_cannot_be_is_refused_in_words() {
        let parse = |args: &[&str]| Args::try_parse_from([&["countermix-viewer"], args].concat());
        let plain = parse(&[]).unwrap();
        assert_eq!(
            (plain.scenario.as_str(), plain.size, plain.eye),
            ("knife-edge-pass", (1280, 720), Eye::Chase)
        );
        assert_eq!(parse(&["--eye", "Top", "--size", "1920x1080"]).unwrap().size, (1920, 1080));
        for bad in [["--size", "12"], ["--eye", "cockpit"], ["--text", "5"]] {
            assert!(parse(&bad).is_err(), "{bad:?}");
        }
    }
}
