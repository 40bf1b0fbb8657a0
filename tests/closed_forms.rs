//! Airframes built so that the answer is known: each shows one cause alone, and what its blend must be
//! follows from ruler and scale with pencil and paper. Aileron and flap reach the whole of thin-aerofoil
//! theory here (the model's losses are switched off), so that no empirical number enters.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop")]

use aero::{Coefficients, Instant, Ledger};
use airframe::{Airframe, BodyStation, Geometry, Hinge, Panel, Part};
use core::f64::consts::PI;
use files::Kind;
use flight::Bench;
use measure::{DEG, Measured, Side};
use mix::Commands;
use nalgebra::{Matrix2, Vector2, Vector3};
use study::find::{Pose, Posed, Stand};

const SPEED: f64 = 25.0;
/// Of the wing: chord and half span \[m\]; its quarter chord lies at station 0.
const CHORD: f64 = 0.3;
const HALF_SPAN: f64 = 0.9;
/// Of the fin \[m\].
const HEIGHT: f64 = 0.3;
const FIN_CHORD: f64 = 0.2;
/// Chord and half span of the canard \[m\].
const CANARD: [f64; 2] = [0.2, 0.35];

fn demo(name: &str) -> Airframe {
    files::read_airframe(files::find(Kind::Airframe, name).unwrap()).unwrap_or_else(|r| panic!("{r}")).value
}

/// Sets a number and leaves it no tolerance.
fn set(m: &mut Measured, value: f64) {
    m.value = value;
}

/// A straight panel with its quarter chord at `station`, from `[buttline, waterline]` to the same of its
/// tip, all of it of one chord.
fn lay(panel: &mut Panel, station: f64, chord: f64, root: [f64; 2], tip: [f64; 2]) {
    for (end, [buttline, waterline]) in [(&mut panel.root, root), (&mut panel.tip, tip)] {
        set(&mut end.station, station - 0.25 * chord);
        set(&mut end.chord, chord);
        set(&mut end.buttline, buttline);
        set(&mut end.waterline, waterline);
        set(&mut end.incidence, 0.0);
    }
}

fn panel(airframe: &mut Airframe, part: Part) -> &mut Panel {
    airframe.panels.iter_mut().find(|p| p.part == part).unwrap()
}

/// The centre of a fin's load from its root, share of its height: half of it rectangular, half elliptic
/// (Schrenk's rule), so (1/2 + 4/(3 pi))/2.
const LOAD: f64 = 0.5 * (0.5 + 4.0 / (3.0 * PI));

/// Plank: everything straight, flat and symmetrical, on one line with the centre of mass, at a body like
/// a rod; the propeller pushes from far behind and blows on nothing.
fn plank() -> Airframe {
    let mut a = demo("larkspur");
    a.name = "Plank".to_owned();
    set(&mut a.mass.station, 0.0);
    set(&mut a.mass.waterline, 0.0);
    set(&mut a.trimmed.speed, SPEED);
    a.panels.retain(|p| p.part != Part::LowerFin);
    a.drag_items.clear();
    lay(panel(&mut a, Part::Wing), 0.0, CHORD, [0.0, 0.0], [HALF_SPAN, 0.0]);
    lay(panel(&mut a, Part::Tailplane), 1.0, 0.2, [0.0, 0.0], [0.35, 0.0]);
    let root = -LOAD * HEIGHT;
    lay(panel(&mut a, Part::Fin), 1.0, FIN_CHORD, [0.0, root], [0.0, root + HEIGHT]);
    set(&mut panel(&mut a, Part::Wing).hinges[0].from, 0.0);
    let station = |at: f64| {
        let mut s: BodyStation = a.body.stations[0];
        for (m, value) in
            [(&mut s.station, at), (&mut s.height, 0.02), (&mut s.width, 0.02), (&mut s.waterline, 0.0)]
        {
            set(m, value);
        }
        s
    };
    a.body.stations = vec![station(-1.2), station(0.0), station(1.2)];
    let p = &mut a.propulsor;
    for (m, value) in
        [(&mut p.station, 1.6), (&mut p.waterline, 0.0), (&mut p.right, 0.0), (&mut p.down, 0.0)]
    {
        set(m, value);
    }
    a
}

/// Flaps as thin-aerofoil theory has them.
fn thin() -> Coefficients {
    Coefficients {
        flap_scale: 1.0,
        flap_floor: 1.0,
        flap_gain: 0.0,
        wing_flap_fall: 0.0,
        flap_beside_body: 1.0,
        low_aspect_flap: 0.0,
        ..Coefficients::default()
    }
}

/// Glauert's flap: change of the zero-lift angle and of the moment about the quarter chord per angle of
/// flap, for the share `e` of the chord behind the hinge.
fn glauert(e: f64) -> (f64, f64) {
    let theta = libm::acos(2.0 * e - 1.0);
    let shift = 1.0 - (theta - libm::sin(theta)) / PI;
    (shift, -0.5 * libm::sin(theta) * (1.0 - libm::cos(theta)))
}

struct Bare {
    stand: Stand,
    bench: Bench,
}

impl Bare {
    fn of(airframe: &Airframe) -> Self {
        let stand = Stand::new(&Geometry::of(airframe).unwrap(), &thin()).unwrap();
        let bench = Bench::new(&stand.aircraft);
        Self { stand, bench }
    }

    /// Trimmed with its propeller, then without it: nothing turns.
    fn gliding(airframe: &Airframe) -> Self {
        let mut bare = Self::of(airframe);
        bare.stand.aircraft.model = bare.stand.aircraft.model.without_propulsor();
        bare.bench = Bench::new(&bare.stand.aircraft);
        bare
    }

    fn pose(&mut self, pose: &Pose) -> Posed {
        let posed = self.stand.pose(pose, None, &mut self.bench).unwrap();
        assert!(posed.converged, "{}", posed.worst);
        posed
    }

    /// Forces in a pose, with something added to its commands.
    fn forces(&mut self, posed: &Posed, more: &Commands, incidence: f64) -> Ledger {
        let own = posed.commands(posed.sticks);
        let commands = Commands {
            aileron: own.aileron + more.aileron,
            elevator: own.elevator + more.elevator,
            rudder: own.rudder + more.rudder,
            flap: own.flap + more.flap,
            ..own
        };
        let (sin, cos) = libm::sincos(incidence);
        let v = posed.state.body.velocity;
        let velocity = Vector3::new(v.x * cos - v.z * sin, v.y, v.z * cos + v.x * sin);
        let at = Instant {
            deflections: self.stand.deflections(&commands),
            throttle: posed.controls.throttle,
            rotor: posed.state.rotor,
            rate: posed.state.body.rate,
            density: self.stand.around.density(&Vector3::zeros()),
            ..Instant::at(velocity)
        };
        let mut ledger = Ledger::default();
        self.stand.aircraft.model.forces_steady(&at, &mut self.bench.scratch, &mut ledger);
        ledger
    }

    /// Moment about an axis per share of a follower [N m].
    fn slope(&mut self, posed: &Posed, axis: usize, step: fn(f64) -> Commands) -> f64 {
        let [plus, minus] =
            [STEP, -STEP].map(|share| self.forces(posed, &step(share), 0.0).total().moment[axis]);
        (plus - minus) / (2.0 * STEP)
    }
}

const STEP: f64 = 1e-3;
fn aileron(share: f64) -> Commands {
    Commands { aileron: share, ..Commands::default() }
}

fn elevator(share: f64) -> Commands {
    Commands { elevator: share, ..Commands::default() }
}

/// Pure dihedral in sideslip. On the knife edge the wing carries nothing, so a wing bent up by G meets
/// the air, which comes from the side by b, at an incidence of atan(tan b sin G), up on the side that
/// the air comes from and down on the other. Ailerons along the whole span take that back strip for
/// strip when Glauert's shift makes their angle as large, whatever the wing's lift slope is.
#[test]
fn dihedral_alone_takes_the_aileron_of_its_own_angle() {
    for dihedral in [2.0 * DEG, 5.0 * DEG] {
        let mut a = plank();
        // the middle of each half stays level with the centre of mass
        let rise = 0.5 * HALF_SPAN * libm::tan(dihedral);
        lay(panel(&mut a, Part::Wing), 0.0, CHORD, [0.0, -rise], [HALF_SPAN, rise]);
        let hinge: Hinge = panel(&mut a, Part::Wing).hinges[0].clone();
        let mut bare = Bare::gliding(&a);
        for side in [Side::Left, Side::Right] {
            let posed = bare.pose(&Pose::knife_edge(SPEED, 0.0, side, 0.4));
            assert!(posed.sideslip.abs() > 4.0 * DEG, "{}", posed.sideslip);
            let incidence = libm::atan(libm::tan(posed.sideslip) * libm::sin(dihedral));
            let deflection = incidence / glauert(hinge.chord.value).0;
            let expected = deflection / hinge.throw_up.value;
            assert!(
                (posed.sticks[0] / expected - 1.0).abs() < 0.02,
                "{dihedral} {side:?}: {} {expected}",
                posed.sticks[0]
            );
        }
    }
}

/// A fin above the centre of mass. A second fin ahead, level with the centre of mass, turns the model off
/// the air; the fin at the tail must hold that, so its side force is known: moment ahead over its own
/// lever. Lifted by h, that force rolls the model by h times as much, and the ailerons must take it.
#[test]
fn a_raised_fin_rolls_by_the_force_that_holds_the_yaw() {
    let (ahead, behind, raised) = (0.4, 1.0, 0.12);
    let mut low = plank();
    let mut keel = demo("larkspur").panels.into_iter().find(|p| p.part == Part::LowerFin).unwrap();
    keel.hinges.clear();
    let depth = 0.2;
    lay(&mut keel, -ahead, 0.2, [0.0, LOAD * depth], [0.0, LOAD * depth - depth]);
    low.panels.push(keel);
    let mut high = low.clone();
    let fin = panel(&mut high, Part::Fin);
    let hinge = fin.hinges[0].clone();
    let throw = hinge.throw_up.value;
    fin.root.waterline.value += raised;
    fin.tip.waterline.value += raised;
    for side in [Side::Left, Side::Right] {
        let pose = Pose::knife_edge(SPEED, 0.0, side, 0.15);
        let (mut low, mut high) = (Bare::gliding(&low), Bare::gliding(&high));
        let (low_posed, high_posed) = (low.pose(&pose), high.pose(&pose));
        let ledger = high.forces(&high_posed, &Commands::default(), 0.0);
        let yaw = ledger.total().moment.z - ledger.part(Part::Fin).moment.z;
        // the rudder's section moment turns as well, the same way as the rudder
        let pressure = 0.5 * high.stand.around.density(&Vector3::zeros()) * SPEED * SPEED;
        let rudder = 0.15 * throw * side.sign();
        let couple = -pressure * HEIGHT * FIN_CHORD * FIN_CHORD * glauert(hinge.chord.value).1 * rudder;
        let fin = (yaw + couple) / behind;
        // above the centre of mass a force to the right rolls to the right
        let roll = fin * raised;
        let per_aileron = high.slope(&high_posed, 0, aileron);
        let (found, expected) = (high_posed.sticks[0] - low_posed.sticks[0], -roll / per_aileron);
        assert!(expected.abs() > 0.002, "{expected}");
        assert!((found / expected - 1.0).abs() < 0.06, "{side:?}: {found} {expected}");
    }
}

/// The section moment of flaps alone: flaperons along the whole span. A canard meets no wake of the wing, and a wing that carries at
/// the centre of mass turns nothing by its lift; so the canard has to hold the flaps' section moment and
/// nothing else: Glauert's coefficient times chord squared along the span, over the canard's lever. The
/// elevator brings that load, and back what the canard loses because the model flies lower by the angle
/// that flaps along the whole span are worth.
#[test]
fn flaps_of_a_canard_take_the_elevator_of_their_section_moment() {
    let (lever, throw) = (0.9, 12.0 * DEG);
    let mut a = plank();
    lay(panel(&mut a, Part::Tailplane), -lever, CANARD[0], [0.0, 0.0], [CANARD[1], 0.0]);
    let flaperon = &mut panel(&mut a, Part::Wing).hinges[0];
    set(&mut flaperon.throw_down, throw);
    let (flap_chord, elevator_chord) =
        (flaperon.chord.value, panel(&mut a, Part::Tailplane).hinges[0].chord.value);
    let elevator_throw = panel(&mut a, Part::Tailplane).hinges[0].throw_up.value;
    let mut bare = Bare::gliding(&a);
    let level = Pose::level_at(SPEED, 0.0);
    let clean = bare.pose(&level);
    let out = bare.pose(&level.with(Commands { ailerons_together: 1.0, ..Commands::default() }));
    let none = Commands::default();
    let parts = |bare: &mut Bare, posed: &Posed, more: f64| bare.forces(posed, &none, more);
    let pressure = 0.5 * bare.stand.around.density(&Vector3::zeros()) * SPEED * SPEED;
    let (shift, moment) = glauert(flap_chord);
    let section = pressure * 2.0 * HALF_SPAN * CHORD * CHORD * moment * throw;
    let load = |ledger: &Ledger| -ledger.part(Part::Tailplane).force.z;
    // a canard that carries more lifts the nose; its elevator has a section moment, too
    let found = out.sticks[1] - clean.sticks[1];
    let (elevator_shift, elevator_moment) = glauert(elevator_chord);
    let couple = pressure * 2.0 * CANARD[1] * CANARD[0] * CANARD[0] * elevator_moment;
    let held = -(section - couple * found * elevator_throw) / lever;
    let turns = |ledger: &Ledger| ledger.part(Part::Wing).moment.y;
    let wing = turns(&parts(&mut bare, &out, 0.0)) - turns(&parts(&mut bare, &clean, 0.0));
    assert!((wing / section - 1.0).abs() < 0.01, "{wing} {section}");
    let carried = load(&parts(&mut bare, &out, 0.0)) - load(&parts(&mut bare, &clean, 0.0));
    assert!((carried / held - 1.0).abs() < 0.03, "{carried} {held}");
    let slope = |bare: &mut Bare, of: &dyn Fn(&Ledger) -> f64| {
        (of(&parts(bare, &out, STEP)) - of(&parts(bare, &out, -STEP))) / (2.0 * STEP)
    };
    let by_canard = slope(&mut bare, &load);
    let by_wing = slope(&mut bare, &|l: &Ledger| -l.part(Part::Wing).force.z);
    let angle_per_load = 1.0 / by_canard + 1.0 / by_wing;
    let down = (shift * throw - section / lever * angle_per_load)
        / (elevator_shift + couple / lever * angle_per_load);
    let expected = -down / elevator_throw;
    assert!((found / expected - 1.0).abs() < 0.05, "{found} {expected}");
}

/// The precession of the propeller in a flat turn: turning at r, a rotor of angular momentum h asks for a
/// pitching moment r h, nose down in a turn to the left for a propeller that turns clockwise. What elevator that
/// takes follows from the slopes of lift and pitching moment. Two models, one with a rotor that weighs nothing.
#[test]
fn a_skid_takes_the_elevator_of_the_precession() {
    let heavy = demo("larkspur");
    let mut light = heavy.clone();
    let none = Measured { value: 1e-9, ..light.propulsor.diameter };
    light.propulsor.inertia = Some(none);
    let (mut heavy, mut light) = (Bare::of(&heavy), Bare::of(&light));
    for side in [Side::Left, Side::Right] {
        let throttle = heavy.stand.level.throttle;
        let pose = Pose::skid(SPEED, throttle, 0.4 * side.sign());
        let (with, without) = (heavy.pose(&pose), light.pose(&pose));
        let turn = with.state.body.rate;
        assert!(turn.z * side.sign() > 0.2, "{turn}");
        let at = Instant { rotor: with.state.rotor, ..Instant::at(with.state.body.velocity) };
        let spin = heavy.stand.aircraft.spin(&at);
        let wanted = Vector2::new(0.0, turn.cross(&spin).y);
        let mut of = |more: &Commands, incidence: f64| {
            let total = heavy.forces(&with, more, incidence).total();
            Vector2::new(-total.force.z, total.moment.y)
        };
        let by_incidence = (of(&Commands::default(), STEP) - of(&Commands::default(), -STEP)) / (2.0 * STEP);
        let by_elevator = (of(&elevator(STEP), 0.0) - of(&elevator(-STEP), 0.0)) / (2.0 * STEP);
        let expected =
            (Matrix2::from_columns(&[by_incidence, by_elevator]).try_inverse().unwrap() * wanted).y;
        let found = with.sticks[1] - without.sticks[1];
        assert!(found * side.sign() > 0.005, "{side:?}: {found}");
        assert!((found / expected - 1.0).abs() < 0.1, "{side:?}: {found} {expected}");
    }
}
