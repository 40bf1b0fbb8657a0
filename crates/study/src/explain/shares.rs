//! The moment that disturbs, by cause and part, counted in the follower that cancels it.

use crate::explain::shapley::shapley;
use crate::find::{Coupling, Manoeuvre, Point, Posed, Stand};
use aero::{Cause, Causes, Effect, Instant, Ledger, Tally};
use airframe::Part;
use flight::Bench;
use measure::Side;
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
    /// What each part does more than where the need is counted from, wings by halves.
    pub pushes: Vec<Push>,
}

/// What a part, or one half of it, does to the disturbing moment: what it does here, less what it
/// does in the flight from which the need is counted. Body axes about the centre of mass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Push {
    /// The part.
    pub part: Part,
    /// Which half of a wing or tailplane.
    pub side: Option<Side>,
    /// Of a rolling wing or tailplane, one cause of it; otherwise all of them together.
    pub origin: Option<Origin>,
    /// Where its forces act: their middle, each weighing its size \[m\].
    pub at: Vector3<f64>,
    /// How it turns the model about the follower's axis [N m].
    pub moment: f64,
    /// The follower that it asks for, share of full throw at full lead; all of them add up to the
    /// whole.
    pub share: f64,
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
    let mut shares = Shares {
        plain: in_follower(values[0]),
        causes: shapley(Cause::ALL.len(), &values).into_iter().map(in_follower).collect(),
        pushes: Vec::new(),
    };
    shares.pushes = look.pushes(&shares, &here, &there, per_lead);
    shares
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

    fn pushes(&mut self, shares: &Shares, here: &Instant, there: &Instant, per_lead: f64) -> Vec<Push> {
        let [here, there] = [here, there].map(|at| self.halves(at));
        let pushes = here.pushes(&there, self.place, per_lead);
        if self.place != 0 {
            return pushes;
        }
        let by_cause = |push: Push| match push.side {
            None => vec![push],
            Some(_) => {
                let share = |origin| 0.5 * shares.of(origin, push.part);
                let causes = Origin::all().filter(|origin| share(*origin) != 0.0);
                let one = |origin| Push {
                    origin: Some(origin),
                    moment: share(origin) / per_lead,
                    share: share(origin),
                    ..push
                };
                causes.map(one).collect()
            }
        };
        pushes.into_iter().flat_map(by_cause).collect()
    }

    fn halves(&mut self, at: &Instant) -> Halves {
        let mut halves = Halves::default();
        self.stand.aircraft.model.forces_steady(at, &mut self.bench.scratch, &mut halves);
        let precession = -at.rate.cross(&self.stand.aircraft.spin(at));
        halves.0[Halves::cell(Part::Propulsor, None)].moment += precession;
        halves
    }
}

/// Moments by part, wings and tailplanes by halves; body axes about the centre of mass.
#[derive(Debug, Clone, Default)]
pub struct Halves([Half; 3 * PARTS]);

#[derive(Debug, Clone, Copy, Default)]
struct Half {
    moment: Vector3<f64>,
    weight: f64,
    weighted: Vector3<f64>,
}

impl Halves {
    const SIDES: [Option<Side>; 3] = [None, Some(Side::Left), Some(Side::Right)];

    const fn of(&self, part: Part, side: Option<Side>) -> &Half {
        &self.0[Self::cell(part, side)]
    }

    /// What each part does about the body axis `place` (0 roll, 1 pitch, 2 yaw) more than `before`, and the follower that
    /// it asks for, `per_moment` [1/(N m)].
    #[must_use]
    pub fn pushes(&self, before: &Self, place: usize, per_moment: f64) -> Vec<Push> {
        let mut pushes = Vec::new();
        for part in Part::ALL {
            let all = |of: &Self| Self::SIDES.map(|side| of.of(part, side).moment[place]);
            let (ours, before) = (all(self), all(before));
            let whole = ours.iter().sum::<f64>() - before.iter().sum::<f64>();
            for (i, side) in Self::SIDES.into_iter().enumerate() {
                let Some(at) = self.of(part, side).middle() else { continue };
                // what both halves lift alike rolls and yaws nothing
                let moment = if side.is_some() && place != 1 { 0.5 * whole } else { ours[i] - before[i] };
                pushes.push(Push { part, side, origin: None, at, moment, share: moment * per_moment });
            }
        }
        pushes.retain(|push| push.moment != 0.0);
        pushes
    }

    const fn cell(part: Part, side: Option<Side>) -> usize {
        let half = match side {
            None => 0,
            Some(Side::Left) => 1,
            Some(Side::Right) => 2,
        };
        3 * part.index() + half
    }
}

impl Half {
    fn middle(&self) -> Option<Vector3<f64>> {
        (self.weight > 0.0).then(|| self.weighted / self.weight)
    }
}

impl Tally for Halves {
    fn add(&mut self, part: Part, _: Effect, force: Vector3<f64>, at: Vector3<f64>, couple: Vector3<f64>) {
        let winged = part.is_wing() || part == Part::Tailplane;
        let side = winged.then_some(if at.y < 0.0 { Side::Left } else { Side::Right });
        let half = &mut self.0[Self::cell(part, side)];
        let weight = force.norm();
        half.moment += at.cross(&force) + couple;
        half.weight += weight;
        half.weighted += at * weight;
    }
}
