//! The whole fleet over all manoeuvres, in a few words each.

use crate::compare::{Case, CompareError, Contestant, Progress, Run, compare_each};
use aero::Coefficients;
use manoeuvre::{FlyError, Judging, RigError, Scenario};

/// A table: rows are manoeuvres, columns airframes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Overview {
    /// The airframes.
    pub airframes: Vec<String>,
    /// Name of each manoeuvre with a cell for each airframe.
    pub rows: Vec<(String, Vec<Cell>)>,
}

/// What one airframe does in one manoeuvre.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cell {
    /// Short lines: `"gear 8.1→1.2 m"`, `"cannot:"`.
    pub lines: Vec<String>,
    /// Whether it could be flown.
    pub flown: bool,
}

/// Flies every scenario with every contestant. Of two sides the worse is told: the one with fewer
/// marks without the blends. In parallel; the result does not depend on the number of threads.
#[must_use]
pub fn overview(
    contestants: &[Contestant],
    scenarios: &[Scenario],
    coefficients: &Coefficients,
    progress: Progress<'_>,
) -> Overview {
    let seen = compare_each(contestants, scenarios, coefficients, progress, |case, run| Seen::of(case, &run));
    let cell = |scenario: usize, contestant: usize| {
        let here = seen.iter().filter(|s| (s.case.scenario, s.case.contestant) == (scenario, contestant));
        let worst = here.reduce(|a, b| if b.marks < a.marks { b } else { a });
        worst.map_or_else(|| Cell { lines: Vec::new(), flown: false }, |seen| seen.cell.clone())
    };
    Overview {
        airframes: contestants.iter().map(|c| c.geometry.name.clone()).collect(),
        rows: (0..scenarios.len())
            .map(|s| (scenarios[s].name.clone(), (0..contestants.len()).map(|c| cell(s, c)).collect()))
            .collect(),
    }
}

/// What is kept of a run.
struct Seen {
    case: Case,
    marks: f64,
    cell: Cell,
}

impl Seen {
    fn of(case: Case, run: &Result<Run, CompareError>) -> Self {
        match run {
            Ok(run) => Self { case, marks: run.flights[0].verdict.marks_exact(), cell: told(run) },
            Err(error) => Self { case, marks: f64::NEG_INFINITY, cell: cannot(&why_not(error)) },
        }
    }
}

fn told(run: &Run) -> Cell {
    let without = &run.flights[0];
    let lost = without.beyond.map(|beyond| beyond.short());
    if let (Some(why), Judging::Line | Judging::Roll) = (&lost, without.verdict.judged.as_what) {
        return cannot(why);
    }
    if !without.verdict.settled() {
        return cannot("never settles");
    }
    let mut lines = run.short();
    lines.extend(lost);
    Cell { lines, flown: true }
}

fn cannot(why: &str) -> Cell {
    Cell { lines: vec!["cannot:".to_owned(), why.to_owned()], flown: false }
}

/// Why it could not even begin, in few words.
fn why_not(error: &CompareError) -> String {
    match error {
        CompareError::Rig(RigError::BeyondTravel { what, .. })
        | CompareError::Fly(FlyError::Entry(RigError::BeyondTravel { what, .. })) => format!("beyond {what}"),
        CompareError::NothingThere { what, .. } => format!("no {what}"),
        CompareError::NoSuchLever { lever, .. } => format!("no {lever}"),
        CompareError::Fly(FlyError::NoEntry { .. } | FlyError::NotHeld { .. }) => "no such line".to_owned(),
        CompareError::NotJudged { .. } => "ends early".to_owned(),
        CompareError::NoBlend { .. } => "no blend".to_owned(),
        CompareError::Rig(RigError::NoSurface { follower, .. }) => format!("no {follower}"),
        CompareError::Rig(_) => "is not trimmed".to_owned(),
        CompareError::Blend { .. } | CompareError::Fly(_) | CompareError::Wind(_) => {
            "does not fit".to_owned()
        }
    }
}
