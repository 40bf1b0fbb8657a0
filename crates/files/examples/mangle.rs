//! Mutates and splices demo files and reads what comes out, without end or for a while:
//! `cargo run -p files --example mangle -- --seconds 600 [--seed 1]`.
//!
//! Fails on a panic of a reader, on an input that takes longer than [`SLOWEST`], on a report that
//! is empty or endless, and where the process grows beyond [`LARGEST_MEMORY`] (Linux). The input
//! that did it is printed with its number; the same seed makes the same inputs.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a program")]
#![allow(clippy::panic, reason = "it reports by failing")]

use files::{Kind, Source, demo_names, find, read_airframe, read_mix, read_scenario};
use std::time::{Duration, Instant};

/// For one input through all three readers.
const SLOWEST: Duration = Duration::from_secs(2);
/// For all inputs together \[kB\].
const LARGEST_MEMORY: u64 = 500_000;
/// Longest report that anybody would read \[bytes\].
const LONGEST_REPORT: usize = 50_000;
/// Inputs grow no longer than this \[bytes\].
const LONGEST_INPUT: usize = 60_000;

/// Pieces that files are made of, right and wrong.
const PIECES: [&str; 44] = [
    "\"",
    "'",
    "\"\"\"",
    "[",
    "]",
    "[[",
    "]]",
    "{",
    "}",
    "=",
    "\n",
    "\r\n",
    "\t",
    "-",
    "±",
    ",",
    ".",
    "#",
    "\\",
    "\\u0000",
    "\u{0}",
    "\u{feff}",
    "ü",
    "\u{202e}",
    "9",
    "1e999",
    "nan",
    "inf",
    "0x7f",
    " mm",
    " %",
    " kg m2",
    "true",
    "1979-05-27",
    "[[panel]]\n",
    "[[panel.hinge]]\n",
    "[blend]\n",
    "[[blend]]\n",
    "[[leg]]\n",
    "{ not = ",
    "engaged = { all = [",
    "rates.x.y.z = 1\n",
    "a.a.a.a.a.a = ",
    "99999999999999999999",
];

/// SplitMix64 (Steele, Lea & Flood 2014; constants from memory).
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, n: usize) -> usize {
        (self.next() % n.max(1) as u64) as usize
    }
}

fn main() {
    let (seconds, seed) = (number_after("--seconds").unwrap_or(10), number_after("--seed").unwrap_or(1));
    let texts = demo_texts();
    let begun = Instant::now();
    let (mut inputs, mut good, mut slowest, mut bytes) = (0_u64, 0_u64, Duration::ZERO, 0_u64);
    while begun.elapsed() < Duration::from_secs(seconds) {
        // its own numbers for each input, so that one alone can be made again
        let mut random = Random(seed ^ inputs.wrapping_mul(0xd134_2543_de82_ef95));
        let text = mangled(&texts, &mut random);
        let before = Instant::now();
        let read = std::panic::catch_unwind(|| reads(&text));
        let took = before.elapsed();
        match read {
            Ok(Ok(read)) => good += u64::from(read),
            Ok(Err(words)) => fail(seed, inputs, &text, &words),
            Err(_) => fail(seed, inputs, &text, "a panic"),
        }
        if took > SLOWEST {
            fail(seed, inputs, &text, &format!("{took:?}"));
        }
        slowest = slowest.max(took);
        bytes += text.len() as u64;
        inputs += 1;
        if inputs.is_multiple_of(10_000) && memory().is_some_and(|kilobytes| kilobytes > LARGEST_MEMORY) {
            fail(seed, inputs, &text, "too much memory");
        }
    }
    println!(
        "{inputs} inputs, {} MB, in {:?}; {good} read without a fault; the slowest took {slowest:?}; peak memory {} MB",
        bytes / 1_000_000,
        begun.elapsed(),
        memory().map_or_else(|| "unknown".to_owned(), |kilobytes| (kilobytes / 1000).to_string()),
    );
}

fn number_after(flag: &str) -> Option<u64> {
    std::env::args().skip_while(|argument| argument != flag).nth(1)?.parse().ok()
}

fn demo_texts() -> Vec<String> {
    let names = Kind::ALL.into_iter().flat_map(|kind| demo_names(kind).map(move |name| (kind, name)));
    names.filter_map(|(kind, name)| Some(find(kind, name).ok()?.text().to_owned())).collect()
}

/// A demo file with a few slips, or spliced with another.
fn mangled(texts: &[String], random: &mut Random) -> String {
    let mut text = texts[random.below(texts.len())].clone();
    for _ in 0..=random.below(8) {
        let (at, to) = (place(&text, random), place(&text, random));
        let (at, to) = (at.min(to), at.max(to));
        match random.below(8) {
            0 => text.insert_str(at, PIECES[random.below(PIECES.len())]),
            1 => drop(text.drain(at..place_near(&text, at, random))),
            2 => text = spliced(&text, &texts[random.below(texts.len())], random),
            3 => text.insert_str(at, &PIECES[random.below(PIECES.len())].repeat(1 + random.below(300))),
            4 => text = format!("{}{}", &text[..to], &text[at..]),
            5 => text.truncate(to),
            6 => text = shuffled_lines(&text, random),
            _ => {
                let piece = text[at..place_near(&text, at, random)].to_owned();
                text.insert_str(to, &piece);
            }
        }
        text.truncate(text.floor_char_boundary(LONGEST_INPUT));
    }
    text
}

fn place(text: &str, random: &mut Random) -> usize {
    text.floor_char_boundary(random.below(text.len() + 1))
}

fn place_near(text: &str, at: usize, random: &mut Random) -> usize {
    text.floor_char_boundary((at + random.below(40)).min(text.len())).max(at)
}

/// The beginning of one and the end of another.
fn spliced(one: &str, other: &str, random: &mut Random) -> String {
    format!("{}{}", &one[..place(one, random)], &other[place(other, random)..])
}

fn shuffled_lines(text: &str, random: &mut Random) -> String {
    let mut lines: Vec<&str> = text.lines().collect();
    for _ in 0..lines.len().min(5) {
        let (a, b) = (random.below(lines.len()), random.below(lines.len()));
        lines.swap(a, b);
    }
    lines.join("\n")
}

/// Whether any reader takes it without a fault; or what is wrong with a reader.
fn reads(text: &str) -> Result<bool, String> {
    let source = || Source::new("mangled", text);
    let _ = Kind::of(&source());
    let reports = [
        read_airframe(source()).map(|read| read.cautions),
        read_mix(source()).map(|read| read.cautions),
        read_scenario(source()).map(|read| read.cautions),
    ];
    let good = reports.iter().any(Result::is_ok);
    for report in reports {
        let (report, stops) = report.map_or_else(|report| (report, true), |cautions| (cautions, false));
        let words = report.to_string();
        if report.stops() != stops || words.len() > LONGEST_REPORT {
            return Err(format!("a report of {} bytes, {} faults", words.len(), report.faults().len()));
        }
    }
    Ok(good)
}

fn fail(seed: u64, input: u64, text: &str, words: &str) -> ! {
    eprintln!("{text}\n---");
    panic!("seed {seed}, input {input}: {words}")
}

/// Largest memory so far \[kB\], where the system says it.
fn memory() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    line.split_whitespace().nth(1)?.parse().ok()
}
