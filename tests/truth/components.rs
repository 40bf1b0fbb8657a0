//! Plates, wings, propellers: component data against what the model makes of them.

use aero::{Cause, Causes, Coefficients, Effect, Pose, Sizes, Tunnel};
use airframe::Part;
use measure::DEG;

use crate::bench::Subject;
use crate::check::{Check, Rule, rows};
use crate::sketch::{FinSketch, Sketch, WingSketch};

/// Everything, with the empirical numbers `c`.
pub(crate) fn checks(c: &Coefficients) -> Vec<Check> {
    [
        wing_height(c),
        skewed_wing(c),
        inboard_flap(c),
        rudder_alone(c),
        adverse_yaw(c),
        plate(c),
        square_on(c),
        section_all_round(c),
        downwash(c),
        dihedral(c),
        propellers(c),
        propeller_across(c),
    ]
    .concat()
}

/// The mid-wing model with another wing.
fn with_wing(aspect: f64, taper: f64) -> Sketch {
    const SPAN: f64 = 1.8;
    let mean = SPAN / aspect;
    let root = 2.0 * mean / (1.0 + taper);
    let wing = WingSketch { span: SPAN, root, tip: taper * root, drag: 0.012, ..WingSketch::default() };
    Sketch { chord: 0.0, wing, ..Sketch::published("mid-wing") }
}

/// Roll of the wing by sideslip, per radian, at a lift coefficient.
fn wing_roll(s: &Subject, causes: Causes, lift: f64) -> f64 {
    let mut t = s.bare();
    t.causes = causes;
    let pose = Pose { sideslip: 0.05, ..Pose::at(t.incidence_for(lift)) };
    t.shares_of_part(&pose, Part::Wing).roll / 0.05
}

/// Roll by sideslip of a wing on top of and below a round body of a tenth of the span, against the
/// middle: 1.2 sqrt(A) (z/b)(2 d/b), USAF Datcom 5.2.2.1 (from memory).
fn wing_height(c: &Coefficients) -> Vec<Check> {
    let d = 0.18;
    let at = |z: f64| {
        let mut sketch = with_wing(6.0, 1.0);
        sketch.wing.z = z;
        sketch.squareness = 0.0;
        sketch.stations =
            vec![[0.5, d, d, 0.0], [0.2, d, d, 0.0], [-0.4, d, d, 0.0], [-0.7, 0.02, 0.02, 0.0]];
        wing_roll(&Subject::new(&sketch, c), Causes::ALL, 0.0)
    };
    let (high, middle, low) = (at(-0.5 * d), at(0.0), at(0.5 * d));
    let check = |quantity, published: &'static [f64], found| Check {
        subject: "Wing on a round body",
        quantity,
        published,
        found,
        rule: Rule::Within(0.20),
    };
    vec![
        check("roll by sideslip, wing on top", &[-0.0294], high - middle),
        check("roll by sideslip, wing below", &[0.0294], low - middle),
        // C. D. Perkins and R. E. Hage, Airplane Performance, Stability and Control, 1949, rule of thumb, from memory:
        // -0.0006 and +0.0008 per degree
        check("the same by rule of thumb, on top", &[-0.034], high - middle),
        check("the same by rule of thumb, below", &[0.046], low - middle),
    ]
}

/// Growth of roll by sideslip with lift, wing alone: USAF DATCOM 5.1.2.1, digitised charts. The range
/// 0.6 to 1 of the chart is what one tunnel model supports.
fn skewed_wing(c: &Coefficients) -> Vec<Check> {
    let slope = |aspect, taper| {
        let s = Subject::new(&with_wing(aspect, taper), c);
        let causes = Causes::ALL.without(Cause::BodyField);
        (wing_roll(&s, causes, 0.4) - wing_roll(&s, causes, 0.1)) / 0.3
    };
    let check = |quantity, published: &'static [f64], found| Check {
        subject: "Unswept wing",
        quantity,
        published,
        found,
        rule: Rule::Within(0.20),
    };
    vec![
        check("roll by sideslip and lift, A 5, no taper", &[-0.104, -0.062], slope(5.0, 1.0)),
        check("roll by sideslip and lift, A 6, no taper", &[-0.084, -0.050], slope(6.0, 1.0)),
        check("roll by sideslip and lift, A 5, taper 0.5", &[-0.057, -0.034], slope(5.0, 0.5)),
        check("roll by sideslip and lift, A 6, taper 0.5", &[-0.037, -0.022], slope(6.0, 0.5)),
    ]
}

/// A wing alone: everything else far too small to count.
fn alone(wing: WingSketch) -> Sketch {
    let mut sketch = Sketch { chord: 0.0, wing, ..Sketch::published("mid-wing") };
    (sketch.tail.span, sketch.tail.root, sketch.tail.tip) = (0.02, 0.001, 0.001);
    sketch.fin.height = 0.01;
    sketch.fin.root = 0.001;
    sketch.fin.tip = 0.001;
    sketch.low_fin = None;
    sketch.stations = vec![[0.3, 0.001, 0.001, 0.0], [-0.68, 0.001, 0.001, 0.0]];
    sketch
}

fn wing_alone(wing: WingSketch, c: &Coefficients) -> (Tunnel, Subject) {
    let s = Subject::new(&alone(wing), c);
    (Tunnel::bare(&s.model, Sizes::of(&s.geometry), 20.0), s)
}

/// NACA TN 2080 (1950; title from memory): aspect ratio 3.13, 25 % chord plain flap from the middle to 0.484
/// of the half span, incidence 0; digitised from figures.
fn inboard_flap(c: &Coefficients) -> Vec<Check> {
    let span = 1.5;
    let chord = span / 3.13;
    let wing = WingSketch {
        span,
        root: chord,
        tip: chord,
        drag: 0.0075,
        strips: Some(16),
        flap: Some((0.0, 0.484, 0.25)),
        ..WingSketch::default()
    };
    let (mut t, s) = wing_alone(wing, c);
    let at = Pose::at(0.0);
    let mut lift = |angle: f64| s.change(&mut t, &at, "flap", angle * DEG);
    let small = lift(10.0);
    let middle = lift(20.0);
    let large = lift(40.0);
    let largest = lift(60.0);
    let pitch = |shares: &aero::Shares| shares.pitch - shares.lift * 0.015 / chord;
    let check = |quantity, published: &'static [f64], found| Check {
        subject: "Flap on a wing of A 3.1",
        quantity,
        published,
        found,
        rule: Rule::Within(0.25),
    };
    vec![
        check("lift, 10 deg", &[0.160], small.lift),
        check("lift, 20 deg", &[0.307], middle.lift),
        check("lift, 40 deg", &[0.402], large.lift),
        check("lift, 60 deg", &[0.509], largest.lift),
        check("pitch, 10 deg", &[-0.0421], pitch(&small)),
        check("pitch, 20 deg", &[-0.0795], pitch(&middle)),
        check("pitch, 40 deg", &[-0.0938], pitch(&large)),
        check("pitch, 60 deg", &[-0.0991], pitch(&largest)),
    ]
}

/// Flat plate of aspect ratio 2: Pelletier and Mueller, J. Aircraft 37(5), 2000, read off figures. As a
/// wing: of a tail surface the model knows only the lift slope, held among the closed forms.
fn plate(c: &Coefficients) -> Vec<Check> {
    let (span, chord) = (0.6, 0.3);
    let wing = WingSketch {
        span,
        root: chord,
        tip: chord,
        drag: 0.015,
        separation: Some(15.0),
        ..WingSketch::default()
    };
    let (mut t, _) = wing_alone(wing, c);
    let mut lift = |angle: f64| t.shares(&Pose::at(angle * DEG)).lift;
    let (ten, fifteen, twenty) = (lift(10.0), lift(15.0), lift(20.0));
    let check = |quantity, published: &'static [f64], found| Check {
        subject: "Plate of A 2",
        quantity,
        published,
        found,
        rule: Rule::Within(0.15),
    };
    vec![
        check("lift at 10 deg", &[0.50], ten),
        check("lift at 15 deg", &[0.70], fifteen),
        check("lift at 20 deg", &[0.75], twenty),
    ]
}

/// Yaw over roll of ailerons on the outer half of an untapered wing at a lift coefficient of 0.3: 2 K CL with K between
/// -0.1 and -0.3 (R. C. Nelson, *Flight Stability and Automatic Control*, from memory).
fn adverse_yaw(c: &Coefficients) -> Vec<Check> {
    let wing = WingSketch {
        span: 1.8,
        root: 0.3,
        tip: 0.3,
        drag: 0.012,
        strips: Some(10),
        aileron: Some((0.5, 0.97, 0.25)),
        ..WingSketch::default()
    };
    let (mut t, s) = wing_alone(wing, c);
    let at = Pose::at(t.incidence_for(0.3));
    let by = t.control(&at, &s.control("aileron"), 0.05);
    rows("Adverse yaw", &[("yaw over roll", &[-0.06, -0.18], by.yaw / by.roll, Rule::Within(0.35))])
}

/// A section all round: NACA 0015, Sheldahl and Klimas, SAND80-2114 (Sandia, 1981), where the table is the same for
/// every Reynolds number. The model knows wings: one of aspect ratio 48 in place of a section.
fn section_all_round(c: &Coefficients) -> Vec<Check> {
    let chord = 0.3;
    let wing = WingSketch {
        span: 48.0 * chord,
        root: chord,
        tip: chord,
        drag: 0.0147,
        strips: Some(8),
        ..WingSketch::default()
    };
    let (mut t, _) = wing_alone(wing, c);
    let mut at = |angle: f64| t.shares(&Pose::at(angle * DEG));
    let (near, half, steep, square, over, back) =
        (at(30.0), at(50.0), at(60.0), at(90.0), at(120.0), at(140.0));
    let (lift, drag) = (Rule::Near(0.15), Rule::Within(0.10));
    rows(
        "Section all round",
        &[
            ("lift at 30 deg", &[0.855], near.lift, lift),
            ("lift at 50 deg", &[1.02], half.lift, lift),
            ("lift at 90 deg", &[0.09], square.lift, lift),
            ("lift at 120 deg", &[-0.67], over.lift, lift),
            ("lift at 140 deg", &[-0.98], back.lift, lift),
            ("drag at 60 deg", &[1.47], steep.drag, drag),
            ("drag at 90 deg", &[1.80], square.drag, drag),
            ("drag at 120 deg", &[1.465], over.drag, drag),
        ],
    )
}

/// Plates square to the flow: Matthews, *Aeronautical Engineer's Data Book*, fig. 5.13(b), values as in Hoerner,
/// *Fluid-Dynamic Drag*, chapter 3. Long: aspect ratio 48.
fn square_on(c: &Coefficients) -> Vec<Check> {
    let drag = |aspect: f64| {
        let chord = 0.3;
        let span = aspect * chord;
        let wing = WingSketch { span, root: chord, tip: chord, strips: Some(8), ..WingSketch::default() };
        let (mut t, _) = wing_alone(wing, c);
        t.shares(&Pose::at(90.0 * DEG)).drag
    };
    let rule = Rule::Within(0.03);
    rows(
        "Plate square to the flow",
        &[("square, drag", &[1.17], drag(1.0), rule), ("long, drag", &[1.98], drag(48.0), rule)],
    )
}

/// A fin alone: area 0.12 of the wing's, aspect ratio 2, rudder chord 0.45, arm half the span, its middle 0.05 of
/// the span up. Side force eta S_V/S tau a (R. C. Nelson, *Flight Stability and Automatic Control*, chapters 2 and
/// 5, from memory) with eta 1 and a thin aerofoil's tau, so an upper limit: the handbook's gap factor is 0.83 to 0.97.
fn rudder_alone(c: &Coefficients) -> Vec<Check> {
    let span = 1.8;
    let wing = WingSketch { span, root: 0.36, tip: 0.36, ..WingSketch::default() };
    let (area, mut sketch) = (span * 0.36, alone(wing));
    let height = (2.0 * 0.12 * area).sqrt();
    let chord = 0.5 * height;
    sketch.fin = FinSketch {
        height,
        root: chord,
        tip: chord,
        x: -0.5 * span,
        z: 0.5 * height - 0.05 * span,
        sweep: 0.0,
        rudder: 0.45,
    };
    let s = Subject::new(&sketch, c);
    let mut t = s.bare();
    let by = t.control(&Pose::at(0.0), &s.control("rudder"), 0.05);
    let rule = Rule::Within(0.35);
    rows(
        "Rudder of a fin alone",
        &[
            ("side force", &[0.2451], by.side, rule),
            ("roll", &[0.012_26], by.roll, rule),
            ("yaw", &[-0.1226], by.yaw, rule),
        ],
    )
}

/// Downwash slope at a tailplane of a third of the span: USAF DATCOM 4.4.1 (formula seen).
fn downwash(c: &Coefficients) -> Vec<Check> {
    let slope = |aspect: f64, taper: f64, arm: f64, height: f64| {
        let mut sketch = with_wing(aspect, taper);
        let span = sketch.wing.span;
        sketch.tail = WingSketch {
            span: 0.33 * span,
            root: 0.1,
            tip: 0.1,
            x: -arm * span,
            z: -height * span,
            drag: 0.012,
            ..WingSketch::default()
        };
        sketch.stations = vec![[0.3, 0.001, 0.001, 0.0], [-1.1, 0.001, 0.001, 0.0]];
        sketch.body_drag = 0.0;
        let s = Subject::new(&sketch, &Coefficients { wing_wake_loss: 0.0, ..c.clone() });
        let mut t = s.bare();
        let mut lift = |causes: Causes| {
            t.causes = causes;
            let mut at = |a: f64| t.shares_of_part(&Pose::at(a), Part::Tailplane).lift;
            at(0.02) - at(-0.02)
        };
        1.0 - lift(Causes::ALL) / lift(Causes::ALL.without(Cause::WingWake))
    };
    let check = |quantity, published: &'static [f64], found| Check {
        subject: "Downwash at the tail",
        quantity,
        published,
        found,
        rule: Rule::Within(0.10),
    };
    vec![
        check("A 5, taper 0.6, arm 0.50 b", &[0.513], slope(5.0, 0.6, 0.5, 0.0)),
        check("the same, 0.10 b above", &[0.452], slope(5.0, 0.6, 0.5, 0.10)),
        check("A 6, no taper, arm 0.45 b", &[0.376], slope(6.0, 1.0, 0.45, 0.0)),
        check("A 8, taper 0.5, arm 0.45 b", &[0.362], slope(8.0, 0.5, 0.45, 0.0)),
    ]
}

/// Roll by sideslip from 3 deg of dihedral, aspect ratio 5: strip theory -(a G/6)(1 + 2 t)/(1 + t) with the
/// lift slope of USAF DATCOM 4.1.3.2 (form as in Etkin and Reid, from memory) knows no induction; the charts
/// of USAF DATCOM 5.1.2.1 (digitised) do.
fn dihedral(c: &Coefficients) -> Vec<Check> {
    let at = |taper: f64, dihedral: f64| {
        let mut sketch = with_wing(5.0, taper);
        sketch.wing.dihedral = dihedral;
        wing_roll(&Subject::new(&sketch, c), Causes::ALL.without(Cause::BodyField), 0.0)
    };
    let check = |quantity, published: &'static [f64], found| Check {
        subject: "Dihedral of 3 deg",
        quantity,
        published,
        found,
        rule: Rule::Within(0.20),
    };
    vec![
        check("roll by sideslip, A 5, no taper", &[-0.05568, -0.0333], at(1.0, 3.0) - at(1.0, 0.0)),
        check("roll by sideslip, A 5, taper 0.6", &[-0.05104, -0.0325], at(0.6, 3.0) - at(0.6, 0.0)),
    ]
}

/// UIUC Propeller Data Site, volume 1 (Brandt, Deters, Ananda, Dantsker, Selig): sport 10 x 7 at 6000 rpm,
/// thin electric 17 x 12 at 3290 rpm. Tolerances are two standard deviations of the rule over 191 propellers.
fn propellers(c: &Coefficients) -> Vec<Check> {
    let made = |diameter: f64, pitch: f64| {
        let mut sketch = Sketch::published("mid-wing");
        sketch.propeller.diameter = diameter * 0.0254;
        sketch.propeller.pitch = pitch * 0.0254;
        aero::Propulsor::prepare(&sketch.geometry().propulsor, &sketch.geometry().motor, c)
    };
    let (sport, thin) = (made(10.0, 7.0), made(17.0, 12.0));
    // share of the ideal disc's thrust per power that a propeller reaches at rest
    let (lift, turn) = (sport.thrust_static, sport.power_static);
    let merit = (2.0 / core::f64::consts::PI).sqrt() * lift * lift.sqrt() / turn;
    // thrust and power coefficients at an advance ratio of 0.571
    let d = sport.diameter;
    let at = sport.thrust(100.0, 0.571 * 100.0 * d, 1.0);
    let (ct, cp) =
        (at.thrust / (1e4 * d * d * d * d), at.torque * core::f64::consts::TAU / (1e4 * d * d * d * d * d));
    let row = |quantity, published: &'static [f64], found, share| Check {
        subject: "Propellers",
        quantity,
        published,
        found,
        rule: Rule::Within(share),
    };
    vec![
        row("10 x 7, static thrust coefficient", &[0.1151], sport.thrust_static, 0.34),
        row(
            "10 x 7, the same at 2077 rpm (the model has one for all speeds)",
            &[0.0952],
            sport.thrust_static,
            0.34,
        ),
        row("10 x 7, static power coefficient", &[0.0543], sport.power_static, 0.38),
        row("10 x 7, advance ratio of no thrust", &[0.82, 0.85], sport.no_thrust, 0.22),
        row("10 x 7, thrust coefficient at 0.571", &[0.0438], ct, 0.34),
        row("10 x 7, power coefficient at 0.571", &[0.0417], cp, 0.38),
        row("10 x 7, static figure of merit", &[0.574], merit, 0.34),
        row("17 x 12, static thrust coefficient", &[0.0915], thin.thrust_static, 0.34),
        row("17 x 12, static power coefficient", &[0.0530], thin.power_static, 0.38),
    ]
}

/// A propeller across the flow. A 11 x 7 two-blader at 15 m/s, 10 deg, without thrust: 0.121 N, as a fin of the blades'
/// side area, aspect ratio 8 (Ribner, NACA Reports 819 and 820, summaries; area from the UIUC site's blade
/// geometry); 0.7 to 2 times is what such an estimate is worth. And the thrust of a 10 in propeller that keeps its
/// advance ratio of 0.4 but is turned 30 deg out of the flow: 0.0962 against 0.0804 (fit by Khan and Nahon, ICUAS
/// 2015, as transcribed elsewhere: sign and order only).
fn propeller_across(c: &Coefficients) -> Vec<Check> {
    let mut sketch = alone(WingSketch { span: 1.5, root: 0.3, tip: 0.3, ..WingSketch::default() });
    (sketch.propeller.diameter, sketch.propeller.pitch) = (11.0 * 0.0254, 7.0 * 0.0254);
    sketch.speed = 15.0;
    let s = Subject::new(&sketch, c);
    let idle = s.model.parts().propulsor.as_ref().unwrap().no_thrust;
    let mut t = s.at_advance(idle);
    let pressure = 0.5 * 1.225 * 15.0 * 15.0 * s.sizes.area;
    let slipping = Pose { sideslip: 10.0 * DEG, ..Pose::at(0.0) };
    let side = -t.shares_of_part(&slipping, Part::Propulsor).side * pressure;
    let up = t.shares_of_part(&Pose::at(10.0 * DEG), Part::Propulsor).lift * pressure;
    let mut turned = sketch.propeller.clone();
    (turned.diameter, turned.pitch) = (0.254, 0.152);
    turned.coefficients.thrust = Some(0.1533);
    sketch.propeller = turned;
    let s = Subject::new(&sketch, c);
    let mut t = s.at_advance(0.4);
    let mut thrust = |sideslip: f64| {
        let ledger = t.ledger(&Pose { sideslip, ..Pose::at(0.0) });
        ledger.entry(Part::Propulsor, Effect::Thrust).force.x
    };
    let rise = thrust(30.0 * DEG) / thrust(0.0) - 1.0;
    rows(
        "Propeller across the flow",
        &[
            ("force against 10 deg of sideslip, N", &[0.121], side, Rule::Between(0.7, 2.0)),
            ("force up at 10 deg of incidence, N", &[0.121], up, Rule::Between(0.7, 2.0)),
            ("gain of thrust at 30 deg, advance ratio kept", &[0.197], rise, Rule::Shape),
        ],
    )
}
