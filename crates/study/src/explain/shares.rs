//! The moment that disturbs, by cause and part, counted in the follower that cancels it.

use crate::explain::shapley::shapley;
use crate::find::{Coupling, Manoeuvre, Point, Posed, Stand};
use aero::{Cause, Causes, Instant, Ledger};
use airframe::Part;
use flight::Bench;
use nalgebra::Vector3;

/// Parts in the order of [`Part::ALL`].
const PARTS: usize = Part::ALL.len();
/// A need below this share is too small to divide by.
const SMALL: f64 = 0.005;
/// Step for the follower's own effect, share of throw.
const STEP: f64 = 0.02;
/// Step for the damping of roll [rad/s].
const ROLL: f64 = 0.1;

/// Where a share comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// What is left when every cause is off: surfaces and thrust line in undisturbed air.
    Plain,
    /// A cause that can be switched off.
    Cause(Cause),
}

/// Needed follower by cause and part, shares of full throw at full lead, + as the follower counts.
#[derive(Debug, Clone, PartialEq)]
pub struct Shares {
    plain: [f64; PARTS],
    causes: Vec<[f64; PARTS]>,
    /// What each part does more than where the need is counted from.
    pub pushes: Vec<Push>,
}

/// A force that makes the disturbing moment: what a part does here, less what it does in the flight
/// from which the need is counted. Body axes about the centre of mass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Push {
    /// The part.
    pub part: Part,
    /// \[N\]
    pub force: Vector3<f64>,
    /// Where it acts \[m\].
    pub at: Vector3<f64>,
    /// How it turns the model about the centre of mass [N m].
    pub moment: Vector3<f64>,
}

impl Origin {
    /// All, in canonical order.
    pub fn all() -> impl Iterator<Item = Self> {
        std::iter::once(Self::Plain).chain(Cause::ALL.map(Self::Cause))
    }

    /// What a pilot would call it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Plain => "by itself, in plain air",
            Self::Cause(cause) => cause.words(),
        }
    }
}

/// `the wing itself`, `swirl of the jet on the fin`.
#[must_use]
pub fn cell_words(origin: Origin, part: Part) -> String {
    match origin {
        Origin::Plain if part == Part::Fittings => "wheels, struts or doors themselves".to_owned(),
        Origin::Plain => format!("the {} itself", part.word()),
        Origin::Cause(cause) => format!("{} on the {}", cause.words(), part.word()),
    }
}

impl Shares {
    /// One cell.
    #[must_use]
    pub fn of(&self, origin: Origin, part: Part) -> f64 {
        match origin {
            Origin::Plain => self.plain[part.index()],
            Origin::Cause(cause) => self.causes[cause as usize][part.index()],
        }
    }

    /// Everything from one origin.
    #[must_use]
    pub fn origin(&self, origin: Origin) -> f64 {
        Part::ALL.into_iter().map(|part| self.of(origin, part)).sum()
    }

    /// Everything of one part.
    #[must_use]
    pub fn part(&self, part: Part) -> f64 {
        Origin::all().map(|origin| self.of(origin, part)).sum()
    }

    /// The whole.
    #[must_use]
    pub fn total(&self) -> f64 {
        Origin::all().map(|origin| self.origin(origin)).sum()
    }

    /// All cells, the largest first.
    #[must_use]
    pub fn cells(&self) -> Vec<(Origin, Part, f64)> {
        let mut cells: Vec<_> = Origin::all()
            .flat_map(|origin| Part::ALL.map(|part| (origin, part, self.of(origin, part))))
            .filter(|(.., share)| *share != 0.0)
            .collect();
        cells.sort_by(|a, b| b.2.abs().total_cmp(&a.2.abs()));
        cells
    }
}

/// Shares at `point`, counted from `zero`.
pub(super) fn of(stand: &Stand, coupling: Coupling, zero: &Posed, point: &Point) -> Shares {
    let mut look = Look { stand, place: coupling.place(), bench: Bench::new(&stand.aircraft) };
    let (there, here) = (look.instant(zero), look.disturbed(coupling.manoeuvre, zero, point));
    let values: Vec<[f64; PARTS]> = (0..1_u16 << Cause::ALL.len())
        .map(|bits| {
            let causes = Causes::from_bits(bits);
            let [here, there] = [here, there].map(|at| look.moments(&Instant { causes, ..at }));
            core::array::from_fn(|part| here[part] - there[part])
        })
        .collect();
    let per_moment = look.per_moment(&here, zero, point, &values[values.len() - 1]);
    let per_lead = per_moment / point.travel.abs();
    let in_follower = |moments: [f64; PARTS]| moments.map(|m| m * per_lead);
    Shares {
        plain: in_follower(values[0]),
        causes: shapley(Cause::ALL.len(), &values).into_iter().map(in_follower).collect(),
        pushes: look.pushes(&here, &there),
    }
}

struct Look<'a> {
    stand: &'a Stand,
    place: usize,
    bench: Bench,
}

impl Look<'_> {
    fn instant(&self, posed: &Posed) -> Instant {
        Instant {
            deflections: posed.controls.deflections,
            throttle: posed.controls.throttle,
            rotor: posed.state.rotor,
            density: self.stand.around.density(&Vector3::zeros()),
            rate: posed.state.body.rate,
            ..Instant::at(posed.state.body.velocity)
        }
    }

    /// The pose with the follower where it has its zero.
    fn disturbed(&mut self, manoeuvre: Manoeuvre, zero: &Posed, point: &Point) -> Instant {
        let mut at = self.instant(&point.posed);
        at.deflections = self.deflections(&point.posed, zero.sticks[self.place]);
        if manoeuvre == Manoeuvre::RollIn {
            self.roll(&mut at, zero, point.lead);
        }
        at
    }

    fn deflections(&self, posed: &Posed, follower: f64) -> aero::Deflections {
        let mut sticks = posed.sticks;
        sticks[self.place] = follower;
        self.stand.deflections(&posed.commands(sticks))
    }

    /// Aileron out, and the steady roll that belongs to it.
    fn roll(&mut self, at: &mut Instant, zero: &Posed, aileron: f64) {
        let [own, elevator, rudder] = zero.sticks;
        at.deflections = self.stand.deflections(&zero.commands([own + aileron, elevator, rudder]));
        let mut rolling = |rate: f64| {
            at.rate = Vector3::new(rate, 0.0, 0.0);
            self.ledger(at).total().moment.x
        };
        let (still, turning) = (rolling(0.0), rolling(ROLL));
        at.rate.x = ROLL * still / (still - turning);
    }

    fn ledger(&mut self, at: &Instant) -> Ledger {
        let mut ledger = Ledger::default();
        self.stand.aircraft.model.forces_steady(at, &mut self.bench.scratch, &mut ledger);
        ledger
    }

    /// Moment about the follower's axis by part [N m], the precession of a turning rotor with it.
    fn moments(&mut self, at: &Instant) -> [f64; PARTS] {
        let (ledger, place) = (self.ledger(at), self.place);
        let precession = -at.rate.cross(&self.stand.aircraft.spin(at))[place];
        Part::ALL.map(|part| {
            let own = if part == Part::Propulsor { precession } else { 0.0 };
            ledger.part(part).moment[place] + own
        })
    }

    /// Follower for a moment: such that the whole is what the pose needs; where it needs next to
    /// nothing, by the slope of the follower's own moment.
    fn per_moment(&mut self, here: &Instant, zero: &Posed, point: &Point, all: &[f64; PARTS]) -> f64 {
        let needed = point.needed[self.place];
        let whole: f64 = all.iter().sum();
        if needed.abs() >= SMALL && whole != 0.0 {
            return needed / whole;
        }
        let own = zero.sticks[self.place];
        let mut at = |step: f64| {
            let deflections = self.deflections(&point.posed, own + step);
            self.moments(&Instant { deflections, ..*here }).iter().sum::<f64>()
        };
        -2.0 * STEP / (at(STEP) - at(-STEP))
    }

    fn pushes(&mut self, here: &Instant, there: &Instant) -> Vec<Push> {
        let [here, there] = [here, there].map(|at| self.ledger(at));
        let of = |part: Part| {
            let (entry, before) = (here.part(part), there.part(part));
            let (force, moment) = (entry.force - before.force, entry.moment - before.moment);
            entry.point().map(|at| Push { part, force, at, moment })
        };
        Part::ALL.into_iter().filter_map(of).collect()
    }
}
