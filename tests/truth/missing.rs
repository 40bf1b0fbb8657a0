//! Sizes of the published aircraft that were not published: ordinary ranges about what was assumed, and what each of
//! them alone does to the pitch in sideslip.

use std::fmt::Write;
use std::sync::OnceLock;

use aero::Coefficients;

use crate::aircraft::{self, Fleet};
use crate::check::{Check, Rule, rows};
use crate::draw::{Draw, quantile};
use crate::sketch::{FinSketch, Sketch};

/// A size that was not published.
pub(crate) struct Missing {
    name: &'static str,
    pub(crate) low: f64,
    pub(crate) high: f64,
    /// Gives an aircraft as assumed this value.
    pub(crate) set: fn(&mut Sketch, f64),
}

const fn size(name: &'static str, low: f64, high: f64, set: fn(&mut Sketch, f64)) -> Missing {
    Missing { name, low, high, set }
}

const HINGES: [Missing; 2] = [
    size("chords of aileron, flap and elevator, times", 0.85, 1.15, |s, x| {
        for w in [&mut s.wing, &mut s.tail] {
            for hinge in [&mut w.aileron, &mut w.flap, &mut w.elevator].into_iter().flatten() {
                hinge.2 *= x;
            }
        }
    }),
    size("chord of the rudder, times", 0.85, 1.15, |s, x| s.fin.rudder *= x),
];

const SHOULDER_DIHEDRAL: Missing = size("dihedral, deg", 0.0, 2.5, |s, x| s.wing.dihedral = x);
const MIDDLE_DIHEDRAL: Missing = size("dihedral, deg", 0.0, 1.0, |s, x| s.wing.dihedral = x);

const SHAPE: [Missing; 8] = [
    size("wing lower, wing chords", -0.05, 0.05, |s, x| s.wing.z += x * s.wing.root),
    size("tailplane lower, wing chords", -0.05, 0.05, |s, x| s.tail.z += x * s.wing.root),
    size("tailplane's span, times", 0.85, 1.15, |s, x| s.tail.span *= x),
    size("tailplane's chord, times", 0.85, 1.15, |s, x| {
        s.tail.root *= x;
        s.tail.tip *= x;
    }),
    size("fins' height, times", 0.85, 1.15, |s, x| fins(s, |f| f.height *= x)),
    size("fins' chord, times", 0.85, 1.15, |s, x| {
        fins(s, |f| {
            f.root *= x;
            f.tip *= x;
        });
    }),
    size("body's height, times", 0.9, 1.1, |s, x| {
        for station in &mut s.stations {
            station[1] *= x;
        }
    }),
    size("body's squareness, plus", -0.15, 0.15, |s, x| s.squareness = (s.squareness + x).clamp(0.0, 1.0)),
];

const WIDTH: Missing = size("body's width, times", 0.8, 1.2, |s, x| {
    for station in &mut s.stations {
        station[2] *= x;
    }
});
const ARM: Missing = size("arm of tailplane and fin, times", 0.9, 1.1, |s, x| {
    s.tail.x *= x;
    fins(s, |f| f.x *= x);
});

/// Surface, gaps and a small Reynolds number on sections; canopy, cooling air and undercarriage on bodies.
const DRAG: [Missing; 2] = [
    size("drag of wing and tailplane, times", 0.8, 1.6, |s, x| {
        s.wing.drag *= x;
        s.tail.drag *= x;
    }),
    size("drag of the body, times", 0.7, 2.0, |s, x| s.body_drag *= x),
];

fn fins(s: &mut Sketch, mut change: impl FnMut(&mut FinSketch)) {
    for fin in [Some(&mut s.fin), s.low_fin.as_mut()].into_iter().flatten() {
        change(fin);
    }
}

/// Of an aircraft with everything else published.
pub(crate) const CONTROLS: &[&[Missing]] = &[&HINGES, &DRAG];
/// Of the shoulder wings.
pub(crate) const SHOULDER: &[&[Missing]] = &[&HINGES, &[SHOULDER_DIHEDRAL], &SHAPE, &[WIDTH, ARM], &DRAG];
/// Of the mid wing, whose tailplane's place is published.
pub(crate) const MIDDLE: &[&[Missing]] = &[&HINGES, &[MIDDLE_DIHEDRAL], &SHAPE, &[WIDTH], &DRAG];

const DRAWS: u64 = 100;

/// Pitch at 20 deg of sideslip of shoulder wing and mid wing with all missing sizes drawn at once, the empirical
/// numbers as they are. Worked out once.
fn drawn() -> &'static [Vec<f64>; 2] {
    static DRAWN: OnceLock<[Vec<f64>; 2]> = OnceLock::new();
    DRAWN.get_or_init(draw_all)
}

fn draw_all() -> [Vec<f64>; 2] {
    let (plain, c) = (Fleet::assumed(), Coefficients::default());
    let mut both = [Vec::new(), Vec::new()];
    for seed in 0..DRAWS {
        let mut draw = Draw::new(5000 + seed);
        both[0].push(aircraft::shoulder_pitch(&draw.sizes(&plain.shoulder, SHOULDER), &c));
        both[1].push(aircraft::middle_pitch(&draw.sizes(&plain.middle, MIDDLE), &c));
    }
    both
}

/// How often the pair comes out with the measured signs, whatever the missing sizes are.
pub(crate) fn checks() -> Vec<Check> {
    let [shoulder, middle] = drawn();
    let share = |list: &[f64], up: f64| list.iter().filter(|&&x| x * up > 0.0).count() as f64 / DRAWS as f64;
    rows(
        "The pair over its missing sizes",
        &[
            ("shoulder wing: share with the nose up", &[1.0], share(shoulder, 1.0), Rule::Within(0.20)),
            ("mid wing: share with the nose down", &[1.0], share(middle, -1.0), Rule::Within(0.20)),
        ],
    )
}

/// What each missing size does alone, and all at once.
pub(crate) fn table(out: &mut String) {
    let (plain, c) = (Fleet::assumed(), Coefficients::default());
    let mut list =
        |name: &str, s: &Sketch, lists: &[&[Missing]], pitch: &dyn Fn(&Sketch) -> f64, all: &[f64]| {
            writeln!(
                out,
                "\n| {name}: {:+.4} as assumed | low | high | at low | at high |\n|---|---|---|---|---|",
                pitch(s)
            )
            .unwrap();
            for size in lists.iter().copied().flatten() {
                let at = |x: f64| {
                    let mut other = s.clone();
                    (size.set)(&mut other, x);
                    pitch(&other)
                };
                writeln!(
                    out,
                    "| {} | {} | {} | {:+.4} | {:+.4} |",
                    size.name,
                    size.low,
                    size.high,
                    at(size.low),
                    at(size.high)
                )
                .unwrap();
            }
            let mut all = all.to_vec();
            let [low, middle, high] = [0.1, 0.5, 0.9].map(|q| quantile(&mut all, q));
            writeln!(
                out,
                "| all of them drawn at once: 10, 50, 90 % | | | {low:+.4} .. | {middle:+.4} .. {high:+.4} |"
            )
            .unwrap();
        };
    let [shoulder, middle] = drawn();
    list(
        "Shoulder wing (measured +0.033)",
        &plain.shoulder,
        SHOULDER,
        &|s| aircraft::shoulder_pitch(s, &c),
        shoulder,
    );
    list(
        "Mid wing (measured -0.037, -0.038)",
        &plain.middle,
        MIDDLE,
        &|s| aircraft::middle_pitch(s, &c),
        middle,
    );
}
