//! Why a coupling is there: exact shares of every cause and part, and what on the model would make
//! it smaller.

mod cures;
mod elsewhere;
mod shapley;
mod shares;
mod words;

pub use cures::{Cure, Effort, SideEffect};
pub(crate) use elsewhere::by_throttle;
pub use shares::{Halves, Origin, Push, Shares, cell_words};

use crate::find::{Coupling, FindError, Manoeuvre, Point, Posed, Stand, Sweeper, wanted};
use aero::Coefficients;
use airframe::{Airframe, Geometry};
use flight::SearchFault;
use measure::Side;
use mix::Follower;

/// A coupling taken apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Explained {
    /// What the pilot calls the airframe.
    pub airframe: String,
    /// Which coupling.
    pub coupling: Coupling,
    /// Side of the lead; of a one-sided lead the right.
    pub side: Side,
    /// Airspeed [m/s].
    pub speed: f64,
    /// Where the lead stands in what is taken apart, share of its travel.
    pub lead: f64,
    /// Needed follower, share of full throw at full lead. The shares add up to it.
    pub needed: f64,
    /// By cause and part, in the same unit.
    pub shares: Shares,
    /// What would make it smaller, an evening's work first, the most helpful of each first; empty
    /// until [`Explained::with_cures`].
    pub cures: Vec<Cure>,
    /// The need at each speed that was looked at: speed [m/s], share at full lead of this side.
    pub by_speed: Vec<(f64, f64)>,
    /// The need along the lead at the first speed: lead and follower, shares.
    pub along: Vec<(f64, f64)>,
    /// The need at that speed at idle, half and full throttle: throttle, share at full lead of this
    /// side; empty where the throttle is the lead, or keeps the speed.
    pub by_throttle: Vec<(f64, f64)>,
    /// The need at that speed without flaps, with half and with full: likewise; empty where there are
    /// none or nobody flies so with them.
    pub by_flap: Vec<(f64, f64)>,
}

/// Why nothing can be explained.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ExplainError {
    /// The airframe cannot fly, or cannot show it.
    #[error(transparent)]
    Find(#[from] FindError),
    /// Not about an axis.
    #[error("\"{0}\" is answered by the throttle; only roll, pitch and yaw are taken apart")]
    NoAxis(String),
    /// There is no such pose.
    #[error(
        "{airframe} has no such pose within reach of its controls ({manoeuvre}), so there is nothing to take apart"
    )]
    NoPose {
        /// The airframe.
        airframe: String,
        /// What would be flown.
        manoeuvre: &'static str,
    },
}

/// Takes `coupling` apart where the manoeuvre is usually flown, with the lead to `side`.
///
/// # Errors
/// [`ExplainError`] where the airframe cannot fly or cannot show it.
pub fn explain(
    airframe: &Airframe,
    coupling: Coupling,
    side: Side,
    coefficients: &Coefficients,
) -> Result<Explained, ExplainError> {
    let geometry = Geometry::of(airframe).map_err(FindError::from)?;
    wanted(&geometry, &[coupling])?;
    if coupling.follower == Follower::Throttle {
        return Err(ExplainError::NoAxis(coupling.name()));
    }
    let stand = Stand::new(&geometry, coefficients).map_err(FindError::from)?;
    let side = if coupling.manoeuvre.two_sided() { side } else { Side::Right };
    let sweep = Sweeper::new(&stand, &[]).sweep(coupling.manoeuvre).map_err(FindError::from)?;
    let lines = || sweep.lines.iter().filter(|l| l.side == side && !l.points.is_empty());
    let place = coupling.place();
    let need = |p: &Point| p.needed[place] / p.travel.abs();
    let Some((speed, point)) = lines().next().and_then(|l| Some((l.speed, *l.points.last()?))) else {
        let manoeuvre = coupling.manoeuvre.words();
        return Err(ExplainError::NoPose { airframe: geometry.name, manoeuvre });
    };
    let shares = taken_apart(&stand, coupling, &point).map_err(FindError::from)?;
    let mut by_speed: Vec<(f64, f64)> =
        lines().filter_map(|l| Some((l.speed, need(l.points.last()?)))).collect();
    by_speed.sort_by(|a, b| a.0.total_cmp(&b.0));
    Ok(Explained {
        cures: Vec::new(),
        airframe: geometry.name,
        coupling,
        side,
        speed,
        lead: point.lead,
        needed: shares.total(),
        shares,
        by_speed,
        along: sweep.along.iter().map(|p| (p.lead, p.needed[place])).collect(),
        by_throttle: elsewhere::by_throttle(&stand, coupling, &point).map_err(FindError::from)?,
        by_flap: elsewhere::by_flap(&stand, coupling, &point).map_err(FindError::from)?,
    })
}

impl Explained {
    /// With what could be changed on `airframe` instead. Looks at every change in both directions
    /// and at every coupling: about a second.
    #[must_use]
    pub fn with_cures(self, airframe: &Airframe, coefficients: &Coefficients) -> Self {
        Self { cures: cures::cures(airframe, self.coupling, self.side, coefficients), ..self }
    }
}

/// What makes the most of a coupling, in words; `None` where it cannot be taken apart.
pub(crate) fn likeliest(stand: &Stand, coupling: Coupling) -> Option<String> {
    if coupling.follower == Follower::Throttle {
        return None;
    }
    let sweep = Sweeper::lines(stand, &[]).sweep(coupling.manoeuvre).ok()?;
    let place = coupling.place();
    let points = sweep.lines.iter().filter_map(|l| l.points.last());
    let need = |p: &Point| (p.needed[place] / p.travel).abs();
    let point = points.max_by(|a, b| need(a).total_cmp(&need(b)))?;
    let shares = taken_apart(stand, coupling, point).ok()?;
    let whole = shares.total();
    let (origin, part, _) = shares.cells().into_iter().find(|c| c.2 * whole > 0.0)?;
    Some(cell_words(origin, part))
}

/// Shares at a point of a sweep, per full lead.
fn taken_apart(stand: &Stand, coupling: Coupling, point: &Point) -> Result<Shares, SearchFault> {
    let zero = zero(stand, coupling.manoeuvre, point)?;
    Ok(shares::of(stand, coupling, &zero, point))
}

/// Where the need is counted from: steady flight at the same speed, or at that of the trims.
fn zero(stand: &Stand, manoeuvre: Manoeuvre, point: &Point) -> Result<Posed, SearchFault> {
    match manoeuvre {
        Manoeuvre::KnifeEdge | Manoeuvre::UpLine | Manoeuvre::DownLine | Manoeuvre::Flaps => Ok(stand.level),
        Manoeuvre::RollIn => Ok(point.posed),
        Manoeuvre::Skid | Manoeuvre::Power | Manoeuvre::Door => {
            let mut bench = flight::Bench::new(&stand.aircraft);
            stand.pose(&crate::find::Pose::level(point.posed.pose.speed), None, &mut bench)
        }
    }
}
