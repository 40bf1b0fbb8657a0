//! Trade facts on families of aircraft drawn from ordinary ranges. Common practice, no source.

use std::fmt::Write;
use std::sync::OnceLock;

use aero::{Coefficients, Model, Pose as Held, margin};
use flight::Bench;
use measure::{DEG, G0, Side};
use mix::Commands;
use rayon::prelude::*;
use study::find::{Pose, Stand};

use crate::bench::Subject;
use crate::draw::{Draw, quantile};
use crate::sketch::{FinSketch, PropellerSketch, Sketch, Throws, WingSketch};

const DRAWS: u64 = 200;
/// Cures are tried on every so manieth aircraft: they take ten poses each.
const CURED: u64 = 4;

#[derive(Debug, Clone, Copy, PartialEq)]
enum Class {
    Aerobat,
    Warbird,
    Trainer,
    Biplane,
    Jet,
    ThreeD,
    Sorted,
}

/// What tells the classes apart; each pair is a range.
struct Ranges {
    class: Class,
    name: &'static str,
    span: (f64, f64),
    aspect: (f64, f64),
    taper: (f64, f64),
    sweep: (f64, f64),
    dihedral: (f64, f64),
    /// Wing below the body's axis, in half heights.
    low: (f64, f64),
    incidence: (f64, f64),
    zero_lift: (f64, f64),
    /// Tailplane above the body's axis, in heights of the body.
    tail_up: (f64, f64),
    /// Centre of mass below the axis, in heights of the body.
    weight_low: (f64, f64),
    /// Body height over span.
    height: (f64, f64),
    squareness: (f64, f64),
    /// Static margin in mean chords.
    margin: (f64, f64),
    /// Mass over wing area [kg/m^2].
    loading: (f64, f64),
    /// Lift coefficient at the trimmed speed.
    lift: (f64, f64),
    /// Static thrust over weight.
    thrust: (f64, f64),
    /// Chord share of elevator and rudder, throw of both \[deg\].
    chord: (f64, f64),
    throw: (f64, f64),
    flaps: bool,
}

const FAMILIES: [Ranges; 7] = [
    Ranges {
        class: Class::Aerobat,
        name: "mid-wing aerobat",
        span: (1.4, 2.2),
        aspect: (4.8, 6.2),
        taper: (0.45, 0.65),
        sweep: (0.0, 4.0),
        dihedral: (0.0, 0.5),
        low: (-0.1, 0.1),
        incidence: (0.0, 0.3),
        zero_lift: (0.0, 0.0),
        tail_up: (0.0, 0.2),
        weight_low: (-0.1, 0.1),
        height: (0.13, 0.16),
        squareness: (0.5, 0.8),
        margin: (0.04, 0.10),
        loading: (6.5, 9.0),
        lift: (0.18, 0.25),
        thrust: (1.4, 2.0),
        chord: (0.42, 0.55),
        throw: (25.0, 40.0),
        flaps: false,
    },
    // as designers of pattern aircraft mean it: wing, tailplane, thrust line and centre of mass on one
    // line to 2 % of the body's height (5 mm), no dihedral, no incidence, little static margin
    Ranges {
        class: Class::Sorted,
        name: "sorted mid-wing aerobat",
        span: (1.4, 2.2),
        aspect: (4.8, 6.2),
        taper: (0.45, 0.65),
        sweep: (0.0, 4.0),
        dihedral: (0.0, 0.0),
        low: (-0.04, 0.04),
        incidence: (0.0, 0.0),
        zero_lift: (0.0, 0.0),
        tail_up: (-0.02, 0.02),
        weight_low: (-0.02, 0.02),
        height: (0.13, 0.16),
        squareness: (0.5, 0.8),
        margin: (0.03, 0.07),
        loading: (6.5, 9.0),
        lift: (0.18, 0.25),
        thrust: (1.4, 2.0),
        chord: (0.42, 0.55),
        throw: (25.0, 40.0),
        flaps: false,
    },
    Ranges {
        class: Class::Warbird,
        name: "low-wing warbird type",
        span: (1.3, 2.2),
        aspect: (5.3, 6.5),
        taper: (0.5, 0.7),
        sweep: (0.0, 3.0),
        dihedral: (4.0, 6.0),
        low: (0.55, 0.85),
        incidence: (1.0, 2.0),
        zero_lift: (-2.5, -1.0),
        tail_up: (0.0, 0.2),
        weight_low: (-0.1, 0.1),
        height: (0.13, 0.17),
        squareness: (0.1, 0.4),
        margin: (0.06, 0.14),
        loading: (7.5, 11.0),
        lift: (0.22, 0.35),
        thrust: (0.8, 1.2),
        chord: (0.33, 0.42),
        throw: (18.0, 25.0),
        flaps: true,
    },
    Ranges {
        class: Class::Trainer,
        name: "high-wing trainer",
        span: (1.3, 1.9),
        aspect: (5.5, 6.8),
        taper: (0.9, 1.0),
        sweep: (0.0, 1.0),
        dihedral: (1.5, 4.0),
        low: (-1.0, -0.85),
        incidence: (1.5, 3.0),
        zero_lift: (-4.5, -2.5),
        tail_up: (0.0, 0.2),
        weight_low: (-0.3, -0.1),
        height: (0.09, 0.12),
        squareness: (0.7, 1.0),
        margin: (0.10, 0.22),
        loading: (4.5, 7.0),
        lift: (0.40, 0.60),
        thrust: (0.6, 0.9),
        chord: (0.28, 0.38),
        throw: (15.0, 22.0),
        flaps: false,
    },
    Ranges {
        class: Class::Biplane,
        name: "biplane",
        span: (1.2, 1.7),
        aspect: (5.0, 5.8),
        taper: (0.9, 1.0),
        sweep: (0.0, 4.0),
        dihedral: (0.0, 1.5),
        low: (-1.35, -1.1),
        incidence: (0.0, 0.5),
        zero_lift: (-1.0, 0.0),
        tail_up: (0.0, 0.2),
        weight_low: (-0.1, 0.1),
        height: (0.20, 0.25),
        squareness: (0.4, 0.7),
        margin: (0.05, 0.12),
        loading: (6.0, 8.5),
        lift: (0.18, 0.28),
        thrust: (1.2, 1.7),
        chord: (0.42, 0.55),
        throw: (25.0, 35.0),
        flaps: false,
    },
    Ranges {
        class: Class::Jet,
        name: "jet",
        span: (1.1, 1.6),
        aspect: (4.0, 5.0),
        taper: (0.4, 0.6),
        sweep: (15.0, 25.0),
        dihedral: (0.0, 2.0),
        low: (-0.1, 0.4),
        incidence: (0.5, 1.0),
        zero_lift: (-1.5, 0.0),
        tail_up: (0.0, 0.2),
        weight_low: (-0.1, 0.1),
        height: (0.12, 0.15),
        squareness: (0.1, 0.3),
        margin: (0.05, 0.12),
        loading: (9.0, 13.0),
        lift: (0.16, 0.25),
        thrust: (0.7, 1.0),
        chord: (0.32, 0.42),
        throw: (14.0, 22.0),
        flaps: true,
    },
    Ranges {
        class: Class::ThreeD,
        name: "3D",
        span: (0.9, 1.5),
        aspect: (3.8, 4.6),
        taper: (0.6, 0.8),
        sweep: (-3.0, 2.0),
        dihedral: (0.0, 0.0),
        low: (-0.1, 0.1),
        incidence: (0.0, 0.3),
        zero_lift: (0.0, 0.0),
        tail_up: (0.0, 0.2),
        weight_low: (-0.1, 0.1),
        height: (0.15, 0.18),
        squareness: (0.7, 0.95),
        margin: (0.02, 0.08),
        loading: (2.8, 5.0),
        lift: (0.25, 0.40),
        thrust: (1.6, 2.4),
        chord: (0.48, 0.60),
        throw: (38.0, 50.0),
        flaps: false,
    },
];

impl Ranges {
    /// Root chord of the fin over the wing's mean chord, as on the models of the demo club.
    const fn fin_root(&self) -> f64 {
        match self.class {
            Class::Aerobat | Class::Sorted => 0.94,
            Class::Warbird | Class::Jet => 0.89,
            Class::Trainer => 0.77,
            Class::Biplane => 1.05,
            Class::ThreeD => 0.80,
        }
    }

    /// Whether cures are tried on it: where knife edge is flown and wants one.
    const fn cured(&self) -> bool {
        matches!(self.class, Class::Aerobat | Class::Warbird | Class::Trainer | Class::Biplane)
    }

    /// One aircraft, its centre of mass not yet placed.
    fn draw(&self, d: &mut Draw) -> Sketch {
        let mut one = |(low, high): (f64, f64)| d.between(low, high);
        let span = one(self.span);
        let (mean, taper) = (span / one(self.aspect), one(self.taper));
        let root = 2.0 * mean / (1.0 + taper);
        let height = span * one(self.height);
        let wing = WingSketch {
            span,
            root,
            tip: taper * root,
            z: 0.5 * height * one(self.low),
            sweep: one(self.sweep),
            dihedral: one(self.dihedral),
            incidence: one(self.incidence),
            zero_lift: one(self.zero_lift),
            drag: 0.012,
            strips: Some(5),
            aileron: Some(if self.flaps { (0.55, 0.97, 0.25) } else { (0.15, 0.97, 0.25) }),
            flap: self.flaps.then_some((0.10, 0.55, 0.23)),
            ..WingSketch::default()
        };
        let wing = WingSketch { moment: 0.014 * wing.zero_lift, ..wing };
        let lower = (self.class == Class::Biplane).then(|| {
            let (z, x) = (0.5 * height * one((0.75, 1.0)), -one((0.1, 0.5)) * mean);
            WingSketch { z, x, sweep: 0.5 * wing.sweep, dihedral: one((0.5, 2.5)), ..wing.clone() }
        });
        let arm = -span * one((0.44, 0.54));
        let chord = one(self.chord);
        let tail_chord = mean * one((0.52, 0.62)) * if self.class == Class::Biplane { 1.25 } else { 1.0 };
        let tail = WingSketch {
            span: span * one((0.32, 0.38)),
            root: 1.15 * tail_chord,
            tip: 0.85 * tail_chord,
            x: arm,
            z: -height * one(self.tail_up),
            sweep: 0.8 * wing.sweep,
            incidence: 0.5 * one(self.incidence),
            drag: 0.012,
            strips: Some(4),
            elevator: Some((0.0, 1.0, chord)),
            ..WingSketch::default()
        };
        let fin = FinSketch {
            height: span * one((0.14, 0.18)),
            root: self.fin_root() * mean,
            tip: 0.65 * self.fin_root() * mean,
            x: arm - 0.05 * span,
            z: -0.2 * height,
            sweep: 10.0 + wing.sweep.max(0.0),
            rudder: chord,
        };
        let low_fin = matches!(self.class, Class::Aerobat | Class::Sorted | Class::Biplane | Class::ThreeD)
            .then(|| FinSketch {
                height: 0.07 * span,
                root: 0.6 * mean,
                tip: 0.5 * mean,
                x: fin.x - 0.01 * span,
                z: fin.z,
                sweep: 0.0,
                rudder: 0.6,
            });
        let width = height * one((0.6, 0.95));
        let along = |x: f64, h: f64, w: f64| [x * span, h * height, w * width, 0.0];
        let nose = one((0.25, 0.32));
        let mass = span * mean * one(self.loading) * if lower.is_some() { 2.0 } else { 1.0 };
        let area = span * mean * if lower.is_some() { 2.0 } else { 1.0 };
        let speed = (2.0 * mass * G0 / (1.225 * area * one(self.lift))).sqrt();
        let diameter = span * one((0.20, 0.26));
        let n2 = one(self.thrust) * mass * G0 / (1.225 * diameter * diameter * diameter * diameter * 0.105);
        let mut propeller = PropellerSketch {
            diameter,
            pitch: diameter * one((0.5, 0.62)),
            x: (nose + 0.04) * span,
            full: n2.sqrt(),
            ..PropellerSketch::default()
        };
        if self.class == Class::Jet {
            // a fan in the body behind the wing
            let d = 0.07 * span;
            propeller.diameter = d;
            propeller.pitch = 1.7 * d;
            propeller.x = -0.2 * span;
            propeller.duct_inlet = Some(0.93 * d * d);
            propeller.full = (one(self.thrust) * mass * G0 / (1.225 * d * d * d * d * 0.9)).sqrt();
            propeller.coefficients = airframe::PropulsorCoefficients {
                thrust: Some(0.9),
                no_thrust: Some(2.8),
                power: Some(1.1),
                no_power: Some(3.0),
            };
        }
        let throw = one(self.throw);
        Sketch {
            name: self.name.to_owned(),
            mass,
            centre: (0.0, height * one(self.weight_low)),
            speed,
            wing,
            lower,
            tail,
            fin,
            low_fin,
            stations: vec![
                along(nose, 0.5, 0.6),
                along(0.7 * nose, 0.8, 1.0),
                along(0.0, 1.0, 1.0),
                along(-0.2, 0.9, 0.85),
                [arm, 0.45 * height, 0.4 * width, 0.0],
                [arm - 0.08 * span, 0.3 * height, 0.15 * width, 0.0],
            ],
            squareness: one(self.squareness),
            body_drag: 0.25,
            propeller,
            throws: Throws {
                aileron: throw.min(28.0),
                elevator: throw,
                rudder: (throw + 5.0).min(45.0),
                flap: 45.0,
            },
            ..Sketch::default()
        }
    }

    /// Aircraft number `i`, balanced at a drawn static margin.
    fn aircraft(&self, i: u64) -> Sketch {
        let mut d = Draw::new(1000 * (self.class as u64 + 1) + i);
        let wanted = d.between(self.margin.0, self.margin.1);
        // the fin hardly moves the centre of mass, the centre of mass the fin's arm by a tenth at most
        balanced(steadied(balanced(self.draw(&mut d), wanted)), wanted)
    }
}

/// Yaw by sideslip that every drawn aircraft has at least: the least of the published ones (the shoulder wing's at
/// 5 deg, area of all wings). Nobody flies less for long; the fin grows until it is there.
const LEAST_YAW: f64 = 0.053;

fn steadied(mut sketch: Sketch) -> Sketch {
    for _ in 0..20 {
        let mut t = Subject::new(&sketch, &Coefficients::default()).bare();
        let mut yaw = |sideslip: f64| t.shares(&Held { sideslip, ..Held::at(0.05) }).yaw;
        if (yaw(5.0 * DEG) - yaw(-5.0 * DEG)) / (10.0 * DEG) >= LEAST_YAW {
            break;
        }
        sketch.fin.height *= 1.05;
    }
    sketch
}

fn balanced(mut sketch: Sketch, wanted: f64) -> Sketch {
    for _ in 0..3 {
        let model = Model::prepare(&sketch.geometry(), &Coefficients::default());
        let behind = margin(&model, sketch.speed).behind;
        sketch.centre.0 += -behind + wanted * sketch.wing.mean_chord();
    }
    sketch
}

/// What the facts are about, % of throw; `None` where no such pose was found.
#[derive(Debug, Clone, Copy)]
struct Sizes {
    /// Elevator per rudder at 60 % rudder in knife edge, from level trim, mean of both sides.
    knife: Option<f64>,
    /// The same less that with no rudder.
    slip: Option<f64>,
    /// Knife edge that keeps its height at the trimmed speed.
    held: Option<Sustained>,
    /// Elevator of the straight idle down-line.
    down_line: f64,
    /// Elevator of full throttle, level.
    power: f64,
    /// Rudder of full throttle at 0.8 of the speed, thrust straight.
    left: Option<f64>,
    /// Yaw over roll by ailerons at 0.75 of the speed; below 0: adverse.
    adverse: f64,
    /// Elevator of 70 % flap.
    flap: Option<f64>,
    /// Centre of mass behind the leading edge of the mean aerodynamic chord, % of it.
    centre: f64,
    cures: Option<Cures>,
}

/// A knife edge level and steady, both sides' mean.
#[derive(Debug, Clone, Copy)]
struct Sustained {
    /// Rudder, % of throw.
    rudder: f64,
    /// Elevator from level trim per rudder \[%\].
    elevator: f64,
    /// Rudder at 1.15 of the speed, % of throw; `None` where there is none.
    faster: Option<f64>,
}

/// Change of the knife edge's elevator per rudder \[%\] by a change on the model.
#[derive(Debug, Clone, Copy)]
struct Cures {
    /// Wing a tenth of the body's height higher.
    raised: f64,
    /// Tailplane a fifth of the body's height lower.
    lowered: f64,
    /// Centre of mass 4 % of the mean chord further aft.
    aft: f64,
    /// What is left with the tailplane moved in proportion.
    left: f64,
    /// How far that moves it down, % of the body's height.
    moved: f64,
}

fn pose(stand: &Stand, pose: &Pose) -> Option<[f64; 3]> {
    let mut bench = Bench::new(&stand.aircraft);
    stand.pose(pose, None, &mut bench).ok().filter(|p| p.converged).map(|p| p.sticks)
}

/// Knife edge at a rudder, elevator from level trim \[%\].
fn knife(stand: &Stand, rudder: f64) -> Option<f64> {
    let speed = stand.level.pose.speed;
    let at = |side| pose(stand, &Pose::knife_edge(speed, 0.75, side, rudder)).map(|s| s[1]);
    Some(100.0 * (0.5 * (at(Side::Left)? + at(Side::Right)?) - stand.level.sticks[1]))
}

/// Rudder and elevator of a knife edge that keeps its height, mean of both sides.
fn keeps_height(stand: &Stand, speed: f64) -> Option<[f64; 2]> {
    let at = |side| pose(stand, &Pose::level_knife_edge(speed, side));
    let (left, right) = (at(Side::Left)?, at(Side::Right)?);
    Some([0.5 * (left[2].abs() + right[2].abs()), 0.5 * (left[1] + right[1])])
}

fn sustained(stand: &Stand) -> Option<Sustained> {
    let speed = stand.level.pose.speed;
    let [rudder, elevator] = keeps_height(stand, speed)?;
    Some(Sustained {
        rudder: 100.0 * rudder,
        elevator: 100.0 * (elevator - stand.level.sticks[1]) / rudder,
        faster: keeps_height(stand, 1.15 * speed).map(|x| 100.0 * x[0]),
    })
}

fn stand(sketch: &Sketch) -> Option<Stand> {
    Stand::new(&sketch.geometry(), &Coefficients::default()).ok()
}

fn look(ranges: &Ranges, i: u64) -> Option<Sizes> {
    let sketch = ranges.aircraft(i);
    let s = stand(&sketch)?;
    let (speed, level) = (sketch.speed, s.level.sticks);
    let elevator = |p: &Pose| pose(&s, p).map(|x| 100.0 * (x[1] - level[1]));
    let part = knife(&s, 0.6);
    let none = knife(&s, 1e-4);
    let propeller = ranges.class != Class::Jet;
    let swing = |throttle| pose(&s, &Pose::level_at(0.8 * speed, throttle)).map(|x| 100.0 * x[2]);
    let subject = Subject::new(&sketch, &Coefficients::default());
    let mut t = subject.bare();
    t.speed *= 0.75;
    let incidence =
        t.incidence_for(sketch.mass * G0 / (0.5 * 1.225 * t.speed * t.speed * subject.sizes.area));
    let aileron = t.control(&Held::at(incidence), &subject.control("aileron"), 0.2);
    let flap = if ranges.flaps {
        let set = Commands { flap: 0.7, ..Commands::default() };
        let slow = 0.8 * speed;
        let at = |set| pose(&s, &Pose::settled(slow, 0.2, set)).map(|x| x[1]);
        Some(100.0 * (at(set)? - at(Commands::default())?))
    } else {
        None
    };
    let cured = i.is_multiple_of(CURED) && ranges.cured();
    Some(Sizes {
        knife: part.map(|part| part / 0.6),
        slip: part.zip(none).map(|(part, none)| (part - none) / 0.6),
        held: sustained(&s),
        down_line: elevator(&Pose::vertical(speed, 0.0, false))?,
        power: elevator(&Pose::level_at(speed, 1.0))?,
        left: if propeller { Some(swing(1.0)? - swing(0.0)?) } else { None },
        adverse: aileron.yaw / aileron.roll,
        flap,
        centre: centre(&sketch),
        cures: part.filter(|_| cured).and_then(|part| cures(&sketch, part / 0.6)),
    })
}

/// Place of the centre of mass \[% of the mean aerodynamic chord\], wing as a trapezium.
fn centre(s: &Sketch) -> f64 {
    let (w, taper) = (&s.wing, s.wing.tip / s.wing.root);
    let chord = 2.0 / 3.0 * w.root * (1.0 + taper + taper * taper) / (1.0 + taper);
    let out = w.span / 6.0 * (1.0 + 2.0 * taper) / (1.0 + taper);
    let quarter = w.x - libm::tan(w.sweep * DEG) * out;
    100.0 * (0.25 + (quarter - s.centre.0) / chord)
}

fn cures(sketch: &Sketch, knife_now: f64) -> Option<Cures> {
    let height = sketch.stations[2][1];
    let bent = |change: &dyn Fn(&mut Sketch)| {
        let mut other = sketch.clone();
        change(&mut other);
        Some(knife(&stand(&other)?, 0.6)? / 0.6 - knife_now)
    };
    let lowered = bent(&|o| o.tail.z += 0.2 * height)?;
    let down = -0.2 * knife_now / lowered;
    Some(Cures {
        raised: bent(&|o| o.wing.z -= 0.1 * height)?,
        lowered,
        aft: bent(&|o| o.centre.0 -= 0.04 * o.wing.mean_chord())?,
        left: knife_now + bent(&|o| o.tail.z += down * height)?,
        moved: 100.0 * down,
    })
}

/// A fact about a class, how often it comes out, and the sizes.
#[derive(Debug, Clone)]
pub(crate) struct Fact {
    pub(crate) name: String,
    share: f64,
    count: usize,
    /// On how many it was tried; the others have no such pose.
    tried: usize,
    /// 10, 50, 90 %.
    sizes: [f64; 3],
}

impl Fact {
    pub(crate) fn holds(&self) -> bool {
        self.share >= 0.8
    }
}

/// All facts, worked out once.
pub(crate) fn facts() -> &'static [Fact] {
    static FACTS: OnceLock<Vec<Fact>> = OnceLock::new();
    FACTS.get_or_init(work_out)
}

fn work_out() -> Vec<Fact> {
    let looked = |ranges: &Ranges| -> Vec<Sizes> {
        let found: Vec<Option<Sizes>> = (0..DRAWS).into_par_iter().map(|i| look(ranges, i)).collect();
        found.into_iter().flatten().collect()
    };
    let families: Vec<Vec<Sizes>> = FAMILIES.iter().map(looked).collect();
    let mut sizes: Vec<f64> = families.iter().flatten().filter_map(|s| s.knife.map(f64::abs)).collect();
    let ordinary = quantile(&mut sizes, 0.5);
    let more = "knife edge wants more than half of all drawn aircraft do";
    let mut all = Vec::new();
    for (ranges, found) in FAMILIES.iter().zip(&families) {
        let mut fact =
            |tried: u64, name: &str, size: &dyn Fn(&Sizes) -> Option<f64>, holds: &dyn Fn(f64) -> bool| {
                let mut sizes: Vec<f64> = found.iter().filter_map(size).collect();
                if sizes.is_empty() {
                    return;
                }
                // one that has no such pose does not show it
                let share = sizes.iter().filter(|&&x| holds(x)).count() as f64 / tried as f64;
                let spread = [0.1, 0.5, 0.9].map(|q| quantile(&mut sizes, q));
                all.push(Fact {
                    name: format!("Family, {}: {name}", ranges.name),
                    share,
                    count: sizes.len(),
                    tried: tried as usize,
                    sizes: spread,
                });
            };
        let class = ranges.class;
        let hardly = |x: f64| x.abs() <= 5.0;
        let some = |x: f64| (3.0..=20.0).contains(&x.abs());
        match class {
            Class::Aerobat | Class::Sorted => {
                fact(
                    DRAWS,
                    "knife edge wants hardly any elevator (at most 5 % per rudder)",
                    &|s| s.knife,
                    &hardly,
                );
                fact(DRAWS, "the same where it keeps its height", &|s| s.held.map(|h| h.elevator), &hardly);
                fact(DRAWS, "centre of mass at 28 to 40 % of the mean chord", &|s| Some(s.centre), &|x| {
                    (28.0..=40.0).contains(&x)
                });
                fact(DRAWS, "the sideslip part alone", &|s| s.slip, &hardly);
                let half = |x: f64| (40.0..=60.0).contains(&x);
                let held = "knife edge keeps its height with 40 to 60 % rudder";
                fact(DRAWS, held, &|s| s.held.map(|h| h.rudder), &half);
                fact(DRAWS, "the same at 1.15 of the speed", &|s| s.held.and_then(|h| h.faster), &half);
            }
            Class::Warbird => {
                fact(DRAWS, "low wing tucks to the gear: sideslip part up", &|s| s.slip, &|x| x > 0.0);
                fact(DRAWS, "the same with the relief", &|s| s.knife, &|x| x > 0.0);
                fact(DRAWS, "knife edge wants elevator (3 to 20 % per rudder)", &|s| s.knife, &some);
                fact(DRAWS, "the same where it keeps its height", &|s| s.held.map(|h| h.elevator), &some);
            }
            Class::Trainer => {
                fact(DRAWS, "high wing pulls to the canopy: down elevator", &|s| s.knife, &|x| x < 0.0);
                fact(DRAWS, more, &|s| s.knife.map(f64::abs), &|x| x > ordinary);
                fact(DRAWS, "its sideslip part alone pulls too", &|s| s.slip, &|x| x < 0.0);
                fact(
                    DRAWS,
                    "rises with power: full throttle wants down elevator",
                    &|s| Some(s.power),
                    &|x| x < 0.0,
                );
            }
            Class::Biplane => {
                fact(DRAWS, "knife edge wants elevator (3 to 20 % per rudder)", &|s| s.knife, &some);
                fact(DRAWS, "the same where it keeps its height", &|s| s.held.map(|h| h.elevator), &some);
                fact(DRAWS, "its sideslip part alone", &|s| s.slip, &some);
                fact(DRAWS, more, &|s| s.knife.map(f64::abs), &|x| x > ordinary);
                fact(
                    DRAWS,
                    "knife edge keeps its height with less than 60 % rudder",
                    &|s| s.held.map(|h| h.rudder),
                    &|x| x < 60.0,
                );
            }
            Class::Jet | Class::ThreeD => {
                fact(DRAWS, "knife edge wants elevator (3 to 20 % per rudder)", &|s| s.knife, &some);
                fact(DRAWS, "the same where it keeps its height", &|s| s.held.map(|h| h.elevator), &some);
            }
        }
        fact(DRAWS, "idle down-line pulls to the canopy: down elevator", &|s| Some(s.down_line), &|x| {
            x < 0.0
        });
        fact(DRAWS, "power swings left: right rudder", &|s| s.left, &|x| x > 0.0);
        fact(DRAWS, "ailerons yaw adversely when slow (yaw over roll)", &|s| Some(s.adverse), &|x| x < 0.0);
        fact(DRAWS, "flaps want down elevator", &|s| s.flap, &|x| x < 0.0);
        let cure = |of: fn(&Cures) -> f64| move |s: &Sizes| s.cures.as_ref().map(of);
        fact(
            DRAWS / CURED,
            "cure: raising the wing turns it towards the canopy",
            &cure(|c| c.raised),
            &|x| x < 0.0,
        );
        fact(
            DRAWS / CURED,
            "cure: lowering the tailplane turns it towards the canopy",
            &cure(|c| c.lowered),
            &|x| x < 0.0,
        );
        fact(DRAWS / CURED, "cure: centre of mass aft turns it towards the gear", &cure(|c| c.aft), &|x| {
            x > 0.0
        });
        if matches!(class, Class::Aerobat | Class::Warbird) {
            fact(
                DRAWS / CURED,
                "cure: tailplane moved in proportion leaves at most 3 % per rudder",
                &cure(|c| c.left),
                &|x| x.abs() <= 3.0,
            );
            fact(
                DRAWS / CURED,
                "the way it moves, % of the body's height, at most a fifth",
                &cure(|c| c.moved),
                &|x| x.abs() <= 20.0,
            );
        }
    }
    all
}

/// The facts as a table.
pub(crate) fn table(out: &mut String) {
    out.push_str("| fact | aircraft | share | sizes: 10, 50, 90 % | verdict |\n|---|---|---|---|---|\n");
    for f in facts() {
        let [low, middle, high] = f.sizes;
        let verdict = if f.holds() { "holds" } else { "missed" };
        let name = f.name.trim_start_matches("Family, ");
        writeln!(
            out,
            "| {name} | {} of {} | {:.0} % | {low:.2}, {middle:.2}, {high:.2} | {verdict} |",
            f.count,
            f.tried,
            100.0 * f.share
        )
        .unwrap();
    }
}
