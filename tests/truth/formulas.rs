//! Closed forms: what must come out to the digit, whatever the empirical numbers are.

use aero::{Coefficients, Propulsor, flap_moment, flap_shift, helmbold, jet_gain};
use flight::{LateralModes, LongitudinalModes, Mode, Turbulence, modes};
use manoeuvre::marks;
use measure::DEG;
use nalgebra::DMatrix;

use crate::check::{Check, Rule, rows};
use crate::sketch::Sketch;

const FOOT: f64 = 0.3048;
/// [m/s]
const KNOT: f64 = 25.317 / 15.0 * FOOT;

/// Everything.
pub(crate) fn checks() -> Vec<Check> {
    [thin_flap(), lift_slope(), navion_modes(), disc(), turbulence(), points_lost()].concat()
}

/// Houghton and Carpenter, *Aerodynamics for Engineering Students*, eq. 4.49-4.52 (Glauert).
fn thin_flap() -> Vec<Check> {
    let rule = Rule::Within(1e-3);
    rows(
        "Flap on a thin aerofoil",
        &[
            ("shift of the zero-lift angle, chord 0.10", &[0.3958], flap_shift(0.10), rule),
            ("shift of the zero-lift angle, chord 0.20", &[0.5498], flap_shift(0.20), rule),
            ("shift of the zero-lift angle, chord 0.25", &[0.6090], flap_shift(0.25), rule),
            ("shift of the zero-lift angle, chord 0.30", &[0.6607], flap_shift(0.30), rule),
            ("shift of the zero-lift angle, chord 0.50", &[0.8183], flap_shift(0.50), rule),
            ("moment, chord 0.10", &[-0.5400], flap_moment(0.10), rule),
            ("moment, chord 0.25", &[-0.6495], flap_moment(0.25), rule),
            ("moment, chord 0.50", &[-0.5000], flap_moment(0.50), rule),
        ],
    )
}

/// USAF DATCOM 4.1.3.2 (from memory): no sweep, no Mach number, section slope 2 pi. The model uses it for
/// tail surfaces; wings have a lattice.
fn lift_slope() -> Vec<Check> {
    let at = |aspect| helmbold(aspect, 0.0, 1.0);
    let rule = Rule::Within(1e-3);
    rows(
        "Lift slope of a tail surface",
        &[
            ("A 1", &[1.4833], at(1.0), rule),
            ("A 2", &[2.6026], at(2.0), rule),
            ("A 4", &[3.8832], at(4.0), rule),
            ("A 6", &[4.5287], at(6.0), rule),
            ("A 8", &[4.9058], at(8.0), rule),
        ],
    )
}

/// R. C. Nelson, *Flight Stability and Automatic Control*, 2nd ed., worked examples of chapters 4 and 5 (from
/// memory; the results follow from the inputs): roots from published derivatives, feet and slugs.
fn navion_modes() -> Vec<Check> {
    let (mass, gravity, speed, span, chord) = (2750.0 / 32.2, 32.2, 176.0, 33.4, 5.7);
    let (ix, iy, iz) = (1048.0, 3000.0, 3530.0);
    let force = 0.5 * 0.002_378 * speed * speed * 184.0;
    let (push, pitch) = (force / (mass * speed), force * chord / iy);
    let half = chord / (2.0 * speed);
    let (cl, cd, cl_a, cd_a) = (0.41, 0.05, 4.44, 0.33);
    let (xu, xw, zu, zw) = (-2.0 * cd * push, (cl - cd_a) * push, -2.0 * cl * push, -(cl_a + cd) * push);
    let (mw, lag, mq) = (-0.683 * pitch / speed, -4.36 * half * pitch / speed, -9.96 * half * pitch);
    #[rustfmt::skip]
    let along = DMatrix::from_row_slice(4, 4, &[
        xu, xw, 0.0, -gravity,
        zu, zw, speed, 0.0,
        lag * zu, mw + lag * zw, mq + lag * speed, 0.0,
        0.0, 0.0, 1.0, 0.0,
    ]);
    let half = span / (2.0 * speed);
    let (roll, yaw) = (force * span / ix, force * span / iz);
    #[rustfmt::skip]
    let across = DMatrix::from_row_slice(4, 4, &[
        -0.564 * push, 0.0, -1.0, gravity / speed,
        -0.074 * roll, -0.410 * half * roll, 0.107 * half * roll, 0.0,
        0.071 * yaw, -0.0575 * half * yaw, -0.125 * half * yaw, 0.0,
        0.0, 1.0, 0.0, 0.0,
    ]);
    let named = |m: &DMatrix<f64>| modes(m).unwrap();
    let long = LongitudinalModes::named(&named(&along)).unwrap();
    let side = LateralModes::named(&named(&across)).unwrap();
    let (short, slow): (Mode, Mode) = (long.short_period, long.phugoid);
    let rule = Rule::Within(0.01);
    rows(
        "Modes from published derivatives",
        &[
            ("short period, real part, 1/s", &[-2.5], short.real, rule),
            ("short period, rad/s", &[2.59], short.imaginary, rule),
            ("phugoid, real part, 1/s", &[-0.0171], slow.real, rule),
            ("phugoid, rad/s", &[0.213], slow.imaginary, rule),
            ("roll root, 1/s", &[-8.435], side.roll.real, rule),
            ("Dutch roll, real part, 1/s", &[-0.487], side.dutch_roll.real, rule),
            ("Dutch roll, rad/s", &[2.335], side.dutch_roll.imaginary, rule),
            ("spiral root, 1/s", &[-0.008_77], side.spiral.real, Rule::Near(0.0015)),
        ],
    )
}

/// A propeller as a disc. Momentum theory, closed form: what 10 N induce through 0.254 m at rest and at 15 m/s; the same
/// for the hover of an agile model of 0.484 kg (Khan and Nahon, ICUAS 2015, as transcribed elsewhere). Speed gained on
/// the jet's axis over that at the disc: vortex cylinder (McCormick, from memory) against their survey-based jet, J.
/// Aircraft 2015 (equations as transcribed elsewhere), mean over 0.3, 0.6 and 0.9 of the radius weighted by radius.
fn disc() -> Vec<Check> {
    let (exact, survey) = (Rule::Within(1e-4), Rule::Within(0.25));
    rows(
        "Propeller as a disc",
        &[
            ("induced speed, 10 N at rest, m/s", &[8.9751], induced(0.1, 10.0, 0.0), exact),
            ("induced speed, 10 N at 15 m/s, m/s", &[4.1962], induced(0.1, 10.0, 15.0), exact),
            ("induced speed in hover, m/s", &[6.183], induced(0.1533, 4.7464, 0.0), exact),
            ("speed gained one diameter behind", &[1.8360], jet_gain(1.0, 0.5), survey),
            ("speed gained two diameters behind", &[1.7469], jet_gain(2.0, 0.5), survey),
        ],
    )
}

/// Speed that a propeller of 0.254 m with a static thrust coefficient induces, turning as fast as `thrust` \[N\] takes at
/// `speed` [m/s].
fn induced(static_thrust: f64, thrust: f64, speed: f64) -> f64 {
    let mut sketch = Sketch::published("mid-wing");
    sketch.propeller.diameter = 0.254;
    sketch.propeller.coefficients.thrust = Some(static_thrust);
    sketch.propeller.coefficients.no_thrust = Some(0.8);
    let g = sketch.geometry();
    let p = Propulsor::prepare(&g.propulsor, &g.motor, &Coefficients::default());
    let (mut low, mut high) = (0.0, 500.0);
    for _ in 0..60 {
        let n = 0.5 * (low + high);
        if p.thrust(n, speed, 1.225).thrust < thrust { low = n } else { high = n }
    }
    p.thrust(low, speed, 1.225).induced
}

/// MIL-F-8785C (1980), section 3.7: strengths and scales below 1000 ft, worked out from its formulas.
fn turbulence() -> Vec<Check> {
    let air = |feet: f64, knots: f64| Turbulence::low_altitude(feet * FOOT, knots * KNOT).unwrap();
    let (low, middle, high) = (air(20.0, 15.0), air(100.0, 30.0), air(500.0, 45.0));
    let rule = Rule::Within(1e-4);
    rows(
        "Turbulence near the ground",
        &[
            ("20 ft, 15 kn: up and down, m/s", &[0.7717], low.deviation.z, rule),
            ("20 ft, 15 kn: along, m/s", &[1.4887], low.deviation.x, rule),
            ("20 ft, 15 kn: length along, m", &[43.766], low.scale.x, rule),
            ("100 ft, 30 kn: up and down, m/s", &[1.5433], middle.deviation.z, rule),
            ("100 ft, 30 kn: along, m/s", &[2.6481], middle.deviation.x, rule),
            ("100 ft, 30 kn: length along, m", &[153.976], middle.scale.x, rule),
            ("500 ft, 45 kn: up and down, m/s", &[2.3150], high.deviation.z, rule),
            ("500 ft, 45 kn: along, m/s", &[2.8619], high.deviation.x, rule),
            ("500 ft, 45 kn: length along, m", &[287.932], high.scale.x, rule),
        ],
    )
}

/// FAI Sporting Code, Section 4 Volume F3, annex 5B, manoeuvre execution guide (from two texts that quote it): up
/// to 15 deg one point of ten, up to 30 deg two, up to 45 deg three.
fn points_lost() -> Vec<Check> {
    let lost = |degrees: f64| 10.0 - marks(&[degrees * DEG]);
    let rule = Rule::Near(0.0);
    rows(
        "Points lost",
        &[
            ("15 deg off", &[1.0], lost(15.0), rule),
            ("16 deg off", &[2.0], lost(16.0), rule),
            ("30 deg off", &[2.0], lost(30.0), rule),
            ("31 deg off", &[3.0], lost(31.0), rule),
            ("45 deg off", &[3.0], lost(45.0), rule),
        ],
    )
}
