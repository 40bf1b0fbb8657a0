//! Whole aircraft: derivatives and curves from geometry against what was published.

use aero::{Coefficients, Effect, Pose, Shares, Tunnel};
use airframe::Part;
use measure::DEG;

use crate::bench::Subject;
use crate::check::{Check, Rule, rows};
use crate::sketch::Sketch;

/// Main derivatives of an aircraft whose sizes are known.
const MAIN: Rule = Rule::Within(0.20);
/// Cross derivatives of such an aircraft.
const CROSS: Rule = Rule::Within(0.35);

/// The published aircraft, sizes that were not published as assumed.
pub(crate) struct Fleet {
    pub(crate) navion: Sketch,
    pub(crate) shoulder: Sketch,
    pub(crate) middle: Sketch,
    pub(crate) small: Sketch,
}

impl Fleet {
    pub(crate) fn assumed() -> Self {
        let shoulder = Sketch::published("shoulder-wing");
        Self {
            navion: Sketch::published("navion"),
            small: shoulder.scaled(1.27 / 1.92, 0.2439, 0.25),
            shoulder,
            middle: Sketch::published("mid-wing"),
        }
    }
}

/// Everything, with the empirical numbers `c`.
pub(crate) fn checks(fleet: &Fleet, c: &Coefficients) -> Vec<Check> {
    [
        navion(&fleet.navion, c),
        shoulder_wing(&fleet.shoulder, c),
        mid_wing(&fleet.middle, c),
        small_shoulder_wing(&fleet.small, c),
    ]
    .concat()
}

/// Seckel and Morris, FAA-RD-71-6, January 1971 (secondary text), and R. C. Nelson, *Flight
/// Stability and Automatic Control*, appendix B (from memory); lift coefficient 0.41. Roll by
/// rudder is left out: both sources print 0.107, the value of roll by yaw rate, ten times what the
/// fin's height allows.
fn navion(sketch: &Sketch, c: &Coefficients) -> Vec<Check> {
    let s = Subject::new(sketch, c);
    let mut t = s.bare();
    let at = Pose::at(t.incidence_for(0.41));
    let d = t.derivatives(&at);
    let mut by = |name| t.control(&at, &s.control(name), 0.05);
    let (aileron, elevator, rudder) = (by("aileron"), by("elevator"), by("rudder"));
    let light = Pose::at(t.incidence_for(0.3));
    let other = t.control(&light, &s.control("aileron"), 0.05);
    rows(
        "Navion",
        &[
            ("lift slope", &[4.44, 6.04], d.incidence.lift, MAIN),
            ("pitch by incidence", &[-0.683, -0.715], d.incidence.pitch, MAIN),
            ("neutral point behind CG, chords", &[0.154], d.neutral_point(), Rule::Near(0.05)),
            ("pitch by pitch rate", &[-9.96, -13.39], d.pitch_rate.pitch, MAIN),
            ("pitch by rate of incidence", &[-4.36, -4.91], d.lag, MAIN),
            ("side force by sideslip", &[-0.564, -0.61], d.sideslip.side, MAIN),
            ("roll by sideslip", &[-0.074, -0.067], d.sideslip.roll, MAIN),
            ("yaw by sideslip", &[0.071, 0.086], d.sideslip.yaw, MAIN),
            ("roll by roll rate", &[-0.410, -0.46], d.roll_rate.roll, MAIN),
            ("yaw by yaw rate", &[-0.125, -0.088], d.yaw_rate.yaw, MAIN),
            ("yaw by roll rate", &[-0.0575, -0.038], d.roll_rate.yaw, CROSS),
            ("roll by yaw rate", &[0.107, 0.069], d.yaw_rate.roll, CROSS),
            ("pitch by elevator", &[-0.923, -1.42], elevator.pitch, MAIN),
            ("lift by elevator", &[0.355], elevator.lift, CROSS),
            ("roll by aileron", &[0.134, 0.152], aileron.roll, MAIN),
            ("yaw by aileron", &[-0.0035, -0.0047], aileron.yaw, CROSS),
            ("yaw over roll by aileron, lift 0.3", &[-0.031], other.yaw / other.roll, CROSS),
            ("side force by rudder", &[0.157], rudder.side, MAIN),
            ("yaw by rudder", &[-0.072, -0.075], rudder.yaw, MAIN),
        ],
    )
}

/// Incidence that the shoulder wing's file calls `alpha` \[deg\]: matched by lift at 2 deg.
fn shoulder_incidence(tunnel: &mut Tunnel, alpha: f64) -> f64 {
    tunnel.incidence_for(0.1064) + (alpha - 2.0) * DEG
}

/// Windmilling and powered advance ratio of the shoulder wing's tests.
const WINDMILLING: f64 = 0.7;
const POWERED: f64 = 0.379;

/// Changes with sideslip from `from` to `to` \[deg\], mean of both sides; odd quantities as their
/// slope at `to`.
fn in_sideslip(t: &mut Tunnel, at: &Pose, from: f64, to: f64) -> (Shares, Shares) {
    let mut look = |beta: f64| t.shares(&Pose { sideslip: beta * DEG, ..*at });
    let (right, left, low, low_left) = (look(to), look(-to), look(from), look(-from));
    let even = (right + left - low - low_left) * 0.5;
    let odd = (right - left) * (0.5 / (to * DEG));
    (even, odd)
}

/// Change by power, without the thrust and its moment: what the source's table contains of them is not said, and it
/// cannot be all (the thrust's moment alone is +0.03).
fn with_power(idle: &mut Tunnel, power: &mut Tunnel, at: &Pose) -> Shares {
    let rest = |t: &mut Tunnel| t.shares(at) - t.shares_of_effect(at, Part::Propulsor, Effect::Thrust);
    rest(power) - rest(idle)
}

/// University of Minnesota UAV laboratory, public repository UASLab/OpenFlight, commit 05ca28e: NASA
/// Langley 12-Foot Low-Speed Tunnel, 2006 and 2011; incidence as in the file. Sizes of tail, fin
/// and body are assumed.
fn shoulder_wing(sketch: &Sketch, c: &Coefficients) -> Vec<Check> {
    let s = Subject::new(sketch, c);
    let mut t = s.at_advance(WINDMILLING);
    let mut p = s.at_advance(POWERED);
    let zero = shoulder_incidence(&mut t, 0.0);
    let alpha = |a: f64| Pose::at(zero + a * DEG);
    let at = alpha(2.0);
    let d = t.derivatives(&at);
    let mut slip = |a: f64, beta: f64| in_sideslip(&mut t, &alpha(a), 0.0, beta);
    let (few, ten, many) = (slip(2.0, 5.0).1, slip(2.0, 10.0), slip(2.0, 20.0));
    let (low, high) = (slip(-3.0, 20.0), slip(12.0, 20.0));
    let (roll_low, roll_high) = (slip(-3.0, 10.0).1.roll, slip(12.0, 10.0).1.roll);
    let stalled = slip(22.0, 10.0).1.roll * 10.0 * DEG;
    let stalled_pitch = slip(22.0, 20.0).0.pitch;
    let deep = t.shares(&alpha(27.0)).lift;
    let elevator = t.control(&at, &s.control("elevator"), 10.0 * DEG);
    let rudder = t.control(&at, &s.control("rudder"), 20.0 * DEG);
    let aileron = t.control(&at, &s.control("aileron"), 25.0 * DEG).roll;
    let flap = s.change(&mut t, &at, "flap", 30.0 * DEG);
    let elevator_p = p.control(&at, &s.control("elevator"), 10.0 * DEG).pitch;
    let rudder_p = p.control(&at, &s.control("rudder"), 20.0 * DEG).yaw;
    let flap_p = s.change(&mut p, &at, "flap", 30.0 * DEG);
    rows(
        "Shoulder wing (Ultra Stick 120)",
        &[
            ("lift slope", &[4.42], d.incidence.lift, Rule::Within(0.10)),
            ("lift at 27 deg, separated", &[1.0], deep, MAIN),
            (
                "neutral point behind moment point, chords",
                &[0.071, 0.088],
                d.neutral_point(),
                Rule::Near(0.08),
            ),
            ("side force by sideslip, 5 deg", &[-0.374], few.side, Rule::Shape),
            ("its growth from 5 to 20 deg", &[1.112], many.1.side / few.side, Rule::Near(0.10)),
            ("yaw by sideslip, 5 deg", &[0.053], few.yaw, Rule::Shape),
            ("yaw by sideslip, 20 deg", &[0.073], many.1.yaw, Rule::Shape),
            ("roll by sideslip at -3 deg", &[-0.019], roll_low, Rule::Near(0.02)),
            ("roll by sideslip at 2 deg", &[-0.048], ten.1.roll, Rule::Near(0.02)),
            ("roll by sideslip at 12 deg", &[-0.070], roll_high, Rule::Near(0.02)),
            ("pitch by 10 deg of sideslip", &[0.009], ten.0.pitch, Rule::Shape),
            ("pitch by 20 deg of sideslip", &[0.033], many.0.pitch, Rule::Shape),
            ("the same at -3 deg", &[0.030], low.0.pitch, Rule::Shape),
            ("the same at 12 deg", &[0.026], high.0.pitch, Rule::Shape),
            ("the same at 22 deg, separated", &[0.037], stalled_pitch, Rule::Shape),
            ("roll at 22 deg, 10 deg of sideslip", &[-0.0297], stalled, Rule::Shape),
            ("roll by roll rate", &[-0.382], d.roll_rate.roll, Rule::Within(0.10)),
            ("yaw by roll rate", &[0.003], d.roll_rate.yaw, Rule::Near(0.02)),
            ("roll by yaw rate", &[0.036], d.yaw_rate.roll, Rule::Near(0.02)),
            ("yaw by yaw rate", &[-0.124], d.yaw_rate.yaw, MAIN),
            ("side force by yaw rate", &[0.289], d.yaw_rate.side, Rule::Shape),
            ("pitch by elevator", &[-0.637], elevator.pitch, Rule::Shape),
            ("side force by rudder, 20 deg", &[0.089], rudder.side, Rule::Shape),
            ("roll by ailerons, 25 deg", &[0.145], aileron, MAIN),
            ("lift by flaps, 30 deg", &[0.224], flap.lift, MAIN),
            ("pitch by flaps, 30 deg", &[0.033], flap.pitch, Rule::Near(0.015)),
            ("the same with power", &[0.078], flap_p.pitch, Rule::Shape),
            ("power on the elevator", &[1.055], elevator_p / elevator.pitch, MAIN),
            ("power on the rudder", &[1.95], rudder_p / rudder.yaw, MAIN),
        ],
    )
}

/// R. Clarke, University of Bristol, wind-tunnel data repository rob-clarke/pymxs, commit 844a504 (paper:
/// Algorithms 2023, 16(8), 384); 15 and 20 m/s, propeller off; pitch is counted from 3 deg of sideslip,
/// because the reading at 0 is spoilt by backlash. Fin, body and control chords are assumed.
fn mid_wing(sketch: &Sketch, c: &Coefficients) -> Vec<Check> {
    let s = Subject::new(sketch, c);
    let mut t = s.bare();
    // 0.11 of normal force at rig incidence 0
    let at = Pose::at(t.incidence_for(0.11));
    let d = t.derivatives(&at);
    let mut slip = |beta: f64| in_sideslip(&mut t, &at, 3.0, beta);
    let (few, ten, many) = (slip(3.0).1, slip(10.0), slip(20.0));
    let small = t.control(&at, &s.control("elevator"), 8.75 * DEG);
    let large = t.control(&at, &s.control("elevator"), 35.0 * DEG).pitch * 35.0 * DEG;
    let mut rudder =
        |angle: f64| (s.change(&mut t, &at, "rudder", angle), s.change(&mut t, &at, "rudder", -angle));
    let (left, right) = rudder(30.0 * DEG);
    let odd = (left - right) * 0.5;
    let near = rudder(7.5 * DEG).0 * (1.0 / (7.5 * DEG));
    let aileron = s.change(&mut t, &at, "aileron", 30.0 * DEG);
    let gentle = t.control(&at, &s.control("aileron"), 7.5 * DEG).roll;
    rows(
        "Mid wing (MXS2)",
        &[
            ("lift slope", &[5.04], d.incidence.lift, Rule::Within(0.10)),
            ("neutral point behind reference, chords", &[0.125], d.neutral_point(), Rule::Near(0.08)),
            ("side force by sideslip, 3 deg", &[-0.907, -0.878], few.side, Rule::Within(0.15)),
            ("side force by sideslip, 20 deg", &[-0.986, -0.934], many.1.side, Rule::Within(0.15)),
            (
                "side force by sideslip over lift slope",
                &[-0.180, -0.174],
                few.side / d.incidence.lift,
                Rule::Within(0.15),
            ),
            ("its growth from 3 to 20 deg", &[1.087, 1.064], many.1.side / few.side, Rule::Near(0.10)),
            ("yaw by sideslip, 3 deg", &[0.152, 0.142], few.yaw, Rule::Shape),
            ("yaw by sideslip, 20 deg", &[0.202, 0.182], many.1.yaw, Rule::Shape),
            ("roll by sideslip, 10 deg", &[-0.042], ten.1.roll, Rule::Near(0.02)),
            ("pitch, 3 to 10 deg of sideslip", &[-0.0134, -0.0171], ten.0.pitch, Rule::Shape),
            ("pitch, 3 to 20 deg of sideslip", &[-0.0373, -0.0383], many.0.pitch, Rule::Shape),
            ("pitch by elevator", &[-1.49], small.pitch, Rule::Shape),
            ("force by elevator", &[0.57], small.lift, Rule::Shape),
            (
                "elevator at 35 deg, share of linear",
                &[0.72],
                large / (small.pitch * 35.0 * DEG),
                Rule::Near(0.15),
            ),
            ("side force by rudder", &[0.29], near.side, Rule::Shape),
            ("yaw by rudder", &[-0.15], near.yaw, Rule::Shape),
            ("side force by rudder, 30 deg", &[0.160], odd.side, Rule::Shape),
            ("yaw by rudder, 30 deg", &[-0.081], odd.yaw, Rule::Shape),
            ("roll by rudder, 30 deg", &[0.010], odd.roll, Rule::Near(0.008)),
            ("pitch by rudder, 30 deg", &[0.033, 0.050], 0.5 * (left.pitch + right.pitch), Rule::Shape),
            ("roll by ailerons", &[0.35], gentle, MAIN),
            ("roll by ailerons, 30 deg", &[0.136], aileron.roll, MAIN),
            ("yaw by ailerons, 30 deg", &[0.014, 0.020], aileron.yaw, Rule::Shape),
        ],
    )
}

/// The shoulder wing at 0.66 of its size: same repository, UltraStick25e, values identified from
/// flight (Dorobantu, Murch, Mettler, Balas, J. Aircraft 2013, from memory); shape assumed to be that of the
/// larger one; chord of the wing from area and span, 0.244 m, of the coefficients 0.25 m.
fn small_shoulder_wing(sketch: &Sketch, c: &Coefficients) -> Vec<Check> {
    let s = Subject::new(sketch, c);
    let mut t = s.at_advance(WINDMILLING);
    let at = Pose::at(t.incidence_for(0.23));
    let d = t.derivatives(&at);
    let mut by = |name| t.control(&at, &s.control(name), 5.0 * DEG);
    let (aileron, elevator, rudder) = (by("aileron"), by("elevator"), by("rudder"));
    rows(
        "Small shoulder wing (Ultra Stick 25e)",
        &[
            ("lift slope", &[4.58], d.incidence.lift, Rule::Within(0.10)),
            ("roll by roll rate", &[-0.450], d.roll_rate.roll, MAIN),
            ("pitch by pitch rate", &[-13.57], d.pitch_rate.pitch, Rule::Shape),
            ("yaw by yaw rate", &[-0.183], d.yaw_rate.yaw, Rule::Shape),
            ("side force by sideslip", &[-0.489], d.sideslip.side, Rule::Shape),
            ("roll by sideslip", &[-0.0545], d.sideslip.roll, Rule::Shape),
            ("yaw by sideslip", &[0.0723], d.sideslip.yaw, Rule::Shape),
            ("roll by aileron", &[0.165], aileron.roll, Rule::Shape),
            ("pitch by elevator", &[-0.849], elevator.pitch, Rule::Shape),
            ("side force by rudder", &[0.191], rudder.side, Rule::Shape),
            ("yaw by rudder", &[-0.181], rudder.yaw, Rule::Shape),
        ],
    )
}

/// What was added after the ranges had been opened: drag, lift in sideslip and power, sources as above. So a test of
/// the ranges, too.
pub(crate) fn added(fleet: &Fleet, c: &Coefficients) -> Vec<Check> {
    let mut navion = Subject::new(&fleet.navion, c).bare();
    let at = Pose::at(navion.incidence_for(0.41));
    let clean = navion.shares(&at).drag;
    let turning = navion.derivatives(&at).pitch_rate.lift;
    let s = Subject::new(&fleet.shoulder, c);
    let small = Subject::new(&fleet.small, c);
    let mut flown = small.at_advance(WINDMILLING);
    let slow_flight = Pose::at(flown.incidence_for(0.23));
    let flight = flown.derivatives(&slow_flight);
    let mut by = |name| flown.control(&slow_flight, &small.control(name), 5.0 * DEG);
    let (aileron, elevator, rudder) = (by("aileron"), by("elevator"), by("rudder"));
    let (mut t, at) = shoulder_stand(&fleet.shoulder, c);
    let mut p = Subject::new(&fleet.shoulder, c).at_advance(POWERED);
    let steep = Pose::at(at.incidence + 10.0 * DEG);
    let rolling = t.derivatives(&at).roll_rate.side;
    let rolled = [15.0, 30.0].map(|more| {
        let steep = Pose::at(at.incidence + more * DEG);
        in_sideslip(&mut t, &steep, 0.0, 10.0).1.roll * 10.0 * DEG
    });
    let far_pitch = in_sideslip(&mut t, &at, 0.0, 30.0).0.pitch;
    let raised = t.control(&at, &s.control("elevator"), 10.0 * DEG);
    let yawed = t.control(&at, &s.control("rudder"), 20.0 * DEG);
    let half = Pose::at(at.incidence + 5.0 * DEG);
    let [level, far, middle, high] = [(&at, 20.0), (&at, 30.0), (&half, 20.0), (&steep, 20.0)]
        .map(|(pose, beta)| in_sideslip(&mut t, pose, 0.0, beta).0.lift);
    let (power, steep_power) = (with_power(&mut t, &mut p, &at), with_power(&mut t, &mut p, &steep));
    let mut drag = |lift: f64| {
        let incidence = t.incidence_for(lift);
        t.shares(&Pose::at(incidence)).drag
    };
    let (slow, slower) = (drag(0.49), drag(0.87));
    let (mut m, stand) = middle_stand(&fleet.middle, c);
    let up = in_sideslip(&mut m, &stand, 3.0, 20.0).0.lift;
    rows(
        "Drag, lift in sideslip, power",
        &[
            ("Navion: lift by pitch rate", &[3.8], turning, CROSS),
            ("Navion: drag at lift 0.41", &[0.05], clean, MAIN),
            ("shoulder wing: drag at lift 0.49", &[0.0445], slow, Rule::Shape),
            ("shoulder wing: drag at lift 0.87", &[0.0893], slower, Rule::Shape),
            ("shoulder wing: lift by 20 deg of sideslip", &[-0.023], level, Rule::Shape),
            ("shoulder wing: lift by 30 deg of sideslip", &[-0.028], far, Rule::Shape),
            ("shoulder wing: lift by sideslip at 7 deg of incidence", &[-0.055], middle, Rule::Shape),
            ("shoulder wing: lift by sideslip at 12 deg of incidence", &[-0.075], high, Rule::Shape),
            ("mid wing: lift, 3 to 20 deg of sideslip", &[0.048], up, Rule::Shape),
            ("shoulder wing: roll at 17 deg, 10 deg of sideslip", &[-0.0181], rolled[0], Rule::Shape),
            ("shoulder wing: roll at 32 deg, 10 deg of sideslip", &[-0.0354], rolled[1], Rule::Shape),
            ("shoulder wing: pitch by 30 deg of sideslip", &[0.025], far_pitch, Rule::Shape),
            ("shoulder wing: side force by roll rate", &[-0.081], rolling, Rule::Shape),
            ("shoulder wing: lift by elevator", &[0.288], raised.lift, Rule::Shape),
            ("shoulder wing: yaw by rudder, 20 deg", &[-0.039], yawed.yaw, Rule::Shape),
            ("small shoulder wing: roll by yaw rate", &[0.109], flight.yaw_rate.roll, Rule::Shape),
            ("small shoulder wing: yaw by aileron", &[0.0574], aileron.yaw, Rule::Shape),
            ("small shoulder wing: lift by elevator", &[0.098], elevator.lift, Rule::Shape),
            ("small shoulder wing: roll by rudder", &[0.0115], rudder.roll, Rule::Shape),
            ("shoulder wing: lift by power", &[0.006], power.lift, Rule::Near(0.01)),
            (
                "shoulder wing: pitch by power, less the thrust's moment",
                &[-0.022],
                power.pitch,
                Rule::Near(0.01),
            ),
            (
                "shoulder wing: pitch by power at 12 deg of incidence",
                &[0.007],
                steep_power.pitch,
                Rule::Near(0.01),
            ),
            ("shoulder wing: yaw by power", &[-0.003], power.yaw, Rule::Near(0.003)),
        ],
    )
}

/// Moments of inertia, air carried along included, against the guess from mass, span and length. Swing tests: shoulder
/// wing 2011, both from the repository of its other numbers; mid wing from its own (trifilar). Navion: Nelson, appendix
/// B, and FAA-RD-71-6 as above, slug ft^2. Small agile model: file of its geometry.
pub(crate) fn inertia(fleet: &Fleet) -> Vec<Check> {
    let of = |s: &Sketch, mass: f64| {
        let i = Sketch { mass, ..s.clone() }.geometry().inertia;
        [i[(0, 0)], i[(1, 1)], i[(2, 2)]]
    };
    let (large, middle, small) =
        (of(&fleet.shoulder, 7.411), of(&fleet.middle, 1.221), of(&fleet.small, 1.959));
    let (navion, agile) = (of(&fleet.navion, 1247.0), of(&Sketch::published("agile"), 0.484));
    // a radius of gyration 15 % off
    let rule = Rule::Within(0.30);
    rows(
        "Moments of inertia, kg m^2",
        &[
            ("shoulder wing, roll", &[0.8568, 0.6725], large[0], rule),
            ("shoulder wing, pitch", &[1.0095, 0.8894], large[1], rule),
            ("shoulder wing, yaw", &[1.7005, 1.5782], large[2], rule),
            ("mid wing, roll", &[0.019], middle[0], rule),
            ("mid wing, pitch", &[0.090], middle[1], rule),
            ("mid wing, yaw", &[0.121], middle[2], rule),
            ("small shoulder wing, roll", &[0.071_51], small[0], rule),
            ("small shoulder wing, pitch", &[0.086_36], small[1], rule),
            ("small shoulder wing, yaw", &[0.153_64], small[2], rule),
            ("Navion, roll", &[1420.9, 1740.9], navion[0], rule),
            ("Navion, pitch", &[4067.5, 3759.7], navion[1], rule),
            ("Navion, yaw", &[4786.0, 4386.0], navion[2], rule),
            ("small agile model, roll", &[0.003_922], agile[0], rule),
            ("small agile model, pitch", &[0.015_94], agile[1], rule),
            ("small agile model, yaw", &[0.019_34], agile[2], rule),
        ],
    )
}

/// Pitch coefficient against sideslip, computed and measured, with the angles of the source \[deg\].
pub(crate) struct Curve {
    pub(crate) name: &'static str,
    pub(crate) computed: Vec<(f64, f64)>,
    pub(crate) measured: Vec<(f64, f64)>,
}

/// The shoulder wing in its tunnel, with its pose.
fn shoulder_stand(sketch: &Sketch, c: &Coefficients) -> (Tunnel, Pose) {
    let mut t = Subject::new(sketch, c).at_advance(WINDMILLING);
    let at = Pose::at(shoulder_incidence(&mut t, 2.0));
    (t, at)
}

/// The mid wing in its tunnel, with its pose.
fn middle_stand(sketch: &Sketch, c: &Coefficients) -> (Tunnel, Pose) {
    let mut t = Subject::new(sketch, c).bare();
    // 0.11 of normal force at rig incidence 0
    let at = Pose::at(t.incidence_for(0.11));
    (t, at)
}

/// Change of pitch by 20 deg of sideslip, as in the checks of the shoulder wing.
pub(crate) fn shoulder_pitch(sketch: &Sketch, c: &Coefficients) -> f64 {
    let (mut t, at) = shoulder_stand(sketch, c);
    in_sideslip(&mut t, &at, 0.0, 20.0).0.pitch
}

/// Change of pitch from 3 to 20 deg of sideslip, as in the checks of the mid wing.
pub(crate) fn middle_pitch(sketch: &Sketch, c: &Coefficients) -> f64 {
    let (mut t, at) = middle_stand(sketch, c);
    in_sideslip(&mut t, &at, 3.0, 20.0).0.pitch
}

/// The pair the tool stands on: the mid wing noses down in sideslip, the shoulder wing up. Measured
/// values as in the checks of both aircraft, mean of both sides; mid wing mean of 15 and 20 m/s from 3 deg.
pub(crate) fn pitch_curves(fleet: &Fleet, c: &Coefficients) -> [Curve; 2] {
    let (mut t, at) = shoulder_stand(&fleet.shoulder, c);
    let shoulder = pitch_from(&mut t, &at, 0.0);
    let (mut t, at) = middle_stand(&fleet.middle, c);
    let middle = pitch_from(&mut t, &at, 3.0);
    let measured = |points: &[(f64, f64)]| points.to_vec();
    [
        Curve {
            name: "shoulder wing",
            computed: shoulder,
            measured: measured(&[
                (0.0, 0.0),
                (5.0, 0.002),
                (10.0, 0.009),
                (15.0, 0.024),
                (20.0, 0.033),
                (25.0, 0.035),
            ]),
        },
        Curve {
            name: "mid wing",
            computed: middle,
            measured: measured(&[
                (3.0, 0.0),
                (6.0, -0.0051),
                (10.0, -0.0153),
                (15.0, -0.0299),
                (20.0, -0.0378),
                (25.0, -0.0484),
            ]),
        },
    ]
}

fn pitch_from(t: &mut Tunnel, at: &Pose, from: f64) -> Vec<(f64, f64)> {
    let steps = (0..=25).map(f64::from).filter(|&beta| beta >= from);
    steps.map(|beta| (beta, in_sideslip(t, at, from, beta.max(0.01)).0.pitch)).collect()
}
