//! Writes a comparison page with invented numbers into a folder: `sample_page FOLDER [light|dark]`.

use report::chart::Edge;
use report::comparison::{ComparisonPage, FlightTrace, LimitSpan, PathView, Strip};
use report::palette::Ground;
use report::signed::Signed;
use report::silhouette::{BodyToEarth, Facet, ModelShape, Vector, View};
use std::error::Error;

const STEP_S: f64 = 0.02;
const LEAD_IN_S: f64 = 0.6;
const LEG_S: f64 = 4.0;
const SPEED: f64 = 24.0;

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let folder = arguments.next().ok_or("name a folder to write into")?;
    let ground = match arguments.next().as_deref() {
        Some("dark") => Ground::Dark,
        _ => Ground::Light,
    };
    let begun = std::time::Instant::now();
    let files = page().files("sample", ground, 1.5)?;
    let took = begun.elapsed();
    for (name, bytes) in &files {
        std::fs::write(std::path::Path::new(&folder).join(name), bytes)?;
    }
    let sizes: Vec<_> = files.iter().map(|(name, bytes)| format!("{name} {} bytes", bytes.len())).collect();
    writeln(&format!("{} in {:.1} ms", sizes.join(", "), took.as_secs_f64() * 1e3))?;
    Ok(())
}

fn writeln(line: &str) -> std::io::Result<()> {
    use std::io::Write;
    std::io::stdout().write_all(format!("{line}\n").as_bytes())
}

fn page() -> ComparisonPage {
    let (without, with) = (flight(1.0), flight(0.08));
    ComparisonPage {
        title: "Larkspur, knife-edge at 24 m/s, right rudder (left wing down), calm air".into(),
        sentence: format!(
            "Without the blend Larkspur bends {:.0} m towards the gear in {LEG_S} s and rolls out {:.0} deg; \
             with 3 % down elevator on right rudder it bends {:.0} m.",
            bend(&without),
            bank_change_deg(LEG_S, 1.0),
            bend(&with),
        ),
        sentence_at_s: None,
        notes: vec![
            "Percent: of the follower's full 100 % throw when the lead stands at its 100 % throw; lead read \
             after rates and expo; trims excluded. Invented numbers, to show the page."
                .into(),
            "Try it high, with half the percentage first. Make the motor unable to start before you check \
             directions on the bench."
                .into(),
        ],
        path_title: "The path, seen from above".into(),
        view: PathView {
            view: View::from_above(0.0),
            origin_ned_m: [0.0; 3],
            along_words: "distance along the pass".into(),
            across: words("m", 0, "towards the canopy", "towards the gear", 4.0),
        },
        station: None,
        alone: false,
        model: larkspur(),
        without,
        with,
        judged_leg_s: Some((0.0, LEG_S)),
        judged_line_ned_m: vec![[-SPEED * LEAD_IN_S, 0.0, -60.0], [SPEED * LEG_S, 0.0, -60.0]],
        time_words: "time from the start of the judged leg".into(),
        drift: vec![
            strip(
                "Heading change",
                words("deg", 0, "towards the canopy", "towards the gear", 10.0),
                |t, part| -part * heading_deg(t),
            ),
            strip(
                "Bank change",
                words("deg", 0, "rolls out (towards upright)", "rolls under", 10.0),
                |t, part| part * bank_deg(t) + 0.8 * libm::sin(2.1 * t) * ramp(t),
            ),
        ],
        controls: vec![
            strip("Rudder stick", words("%", 0, "right", "left", 20.0), |t, _| 92.0 * ramp(t + 0.5)),
            Strip {
                limits: vec![LimitSpan {
                    from_s: 2.6,
                    to_s: 3.4,
                    edge: Edge::Top,
                    words: "at its limit".into(),
                }],
                ..strip("Elevator, trailing edge", words("deg", 1, "up", "down", 2.0), |t, part| {
                    if part > 0.5 { 0.15 } else { 0.15 - 0.9 * ramp(t + 0.5) }
                })
            },
        ],
    }
}

fn words(unit: &str, decimals: usize, up: &str, down: &str, least_axis: f64) -> Signed {
    Signed { unit: unit.into(), decimals, up: up.into(), down: down.into(), least_axis }
}

fn strip(title: &str, quantity: Signed, value: fn(f64, f64) -> f64) -> Strip {
    let values = |part| times().into_iter().map(|t| value(t, part)).collect();
    Strip { title: title.into(), quantity, without: values(1.0), with: values(0.08), limits: Vec::new() }
}

fn times() -> Vec<f64> {
    let ticks = ((LEAD_IN_S + LEG_S) / STEP_S).round() as usize;
    (0..=ticks).map(|tick| tick as f64 * STEP_S - LEAD_IN_S).collect()
}

/// From 0 to 1 in half a second after zero.
fn ramp(t: f64) -> f64 {
    let x = (t / 0.5).clamp(0.0, 1.0);
    x * x * (3.0 - 2.0 * x)
}

fn heading_deg(t: f64) -> f64 {
    4.6 * t.max(0.0) * (1.0 - libm::exp(-0.9 * t.max(0.0)))
}

fn bank_deg(t: f64) -> f64 {
    5.6 * t.max(0.0) * (1.0 - libm::exp(-0.7 * t.max(0.0)))
}

fn bank_change_deg(t: f64, part: f64) -> f64 {
    part * bank_deg(t) + 0.8 * libm::sin(2.1 * t) * ramp(t)
}

/// Distance towards the gear at the end \[m\].
fn bend(trace: &FlightTrace) -> f64 {
    trace.position_ned_m.last().map_or(0.0, |at| at[1])
}

/// Northwards, the left wing down, so that the canopy points to the west and the gear to the east.
fn flight(part: f64) -> FlightTrace {
    let time_s = times();
    let (mut north, mut east) = (-SPEED * LEAD_IN_S, 0.0);
    let mut position_ned_m = Vec::new();
    let mut attitude = Vec::new();
    for &t in &time_s {
        position_ned_m.push([north, east, -60.0]);
        let course = (part * heading_deg(t)).to_radians();
        north += SPEED * STEP_S * libm::cos(course);
        east += SPEED * STEP_S * libm::sin(course);
        attitude.push(turned(-90.0 + part * bank_deg(t), 9.0, course.to_degrees()));
    }
    FlightTrace { time_s, position_ned_m, attitude }
}

fn turned(roll_deg: f64, pitch_deg: f64, yaw_deg: f64) -> BodyToEarth {
    let [(sr, cr), (sp, cp), (sy, cy)] =
        [roll_deg, pitch_deg, yaw_deg].map(|angle: f64| libm::sincos(angle.to_radians()));
    [
        [cp * cy, sr * sp * cy - cr * sy, cr * sp * cy + sr * sy],
        [cp * sy, sr * sp * sy + cr * cy, cr * sp * sy - sr * cy],
        [-sp, sr * cp, cr * cp],
    ]
}

/// An aerobatic monoplane of 2 m span, in a few flat pieces.
fn larkspur() -> ModelShape {
    let mut facets = fuselage();
    for (part, side) in [(1, 1.0), (2, -1.0)] {
        facets.push(piece(
            part,
            &[(0.22, 0.05 * side), (0.1, side), (-0.13, side), (-0.24, 0.05 * side)],
            0.0,
        ));
    }
    for (part, side) in [(3, 1.0), (4, -1.0)] {
        facets.push(piece(
            part,
            &[(-0.82, 0.0), (-0.88, 0.4 * side), (-1.1, 0.4 * side), (-1.12, 0.0)],
            -0.03,
        ));
    }
    let fin = vec![
        [-0.86, 0.0, -0.06],
        [-1.0, 0.0, -0.4],
        [-1.2, 0.0, -0.38],
        [-1.24, 0.0, 0.1],
        [-1.05, 0.0, 0.08],
    ];
    facets.push(Facet { part: 5, corners: fin });
    ModelShape { facets }
}

fn piece(part: usize, corners: &[(f64, f64)], down: f64) -> Facet {
    Facet { part, corners: corners.iter().map(|&(forward, right)| [forward, right, down]).collect() }
}

/// Quadrilaterals between octagonal sections.
fn fuselage() -> Vec<Facet> {
    // Station forward, half width, top, bottom (down is positive).
    let sections = [
        (0.72, 0.02, -0.02, 0.02),
        (0.66, 0.07, -0.07, 0.08),
        (0.4, 0.1, -0.1, 0.14),
        (0.12, 0.1, -0.22, 0.14),
        (-0.2, 0.1, -0.2, 0.12),
        (-0.45, 0.08, -0.09, 0.1),
        (-1.18, 0.015, -0.03, 0.05),
    ];
    let ring = |&(forward, half, top, bottom): &(f64, f64, f64, f64)| -> Vec<Vector> {
        (0..8)
            .map(|i| {
                let (sin, cos) = libm::sincos((f64::from(i) + 0.5) * std::f64::consts::FRAC_PI_4);
                let (middle, reach) = (0.5 * (top + bottom), 0.5 * (bottom - top));
                [forward, 1.08 * half * cos, middle + 1.08 * reach * sin]
            })
            .collect()
    };
    let rings: Vec<Vec<Vector>> = sections.iter().map(ring).collect();
    let sides = rings.windows(2).flat_map(|pair| {
        (0..8).map(|i| {
            let next = (i + 1) % 8;
            Facet { part: 0, corners: vec![pair[0][i], pair[0][next], pair[1][next], pair[1][i]] }
        })
    });
    sides.collect()
}
