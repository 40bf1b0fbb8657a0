//! The whole fleet over all manoeuvres.

use crate::compare::{Case, CompareError, Contestant, Progress, Run, compare_each};
use crate::outcome::Outcome;
use aero::Coefficients;
use manoeuvre::Scenario;
use measure::Side;

/// A table: rows are manoeuvres, columns airframes.
#[derive(Debug, Clone)]
pub struct Overview {
    /// The airframes.
    pub airframes: Vec<String>,
    /// Name of each manoeuvre with a cell for each airframe.
    pub rows: Vec<(String, Vec<Cell>)>,
}

/// What one airframe does in one manoeuvre: of two sides the worse.
#[derive(Debug, Clone)]
pub struct Cell {
    /// Which side that is.
    pub side: Side,
    /// What came of it.
    pub outcome: Outcome,
    /// The run without its samples; `None` where it could not be judged.
    pub run: Option<Run>,
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
    let look = |case: Case, run| (case, Cell::of(case.side, run));
    let seen = compare_each(contestants, scenarios, coefficients, progress, look);
    let mut rows: Vec<(String, Vec<Cell>)> =
        scenarios.iter().map(|scenario| (scenario.name.clone(), Vec::new())).collect();
    let mut before: Option<Case> = None;
    for (case, cell) in seen {
        let cells = &mut rows[case.scenario].1;
        let same = |b: Case| (b.scenario, b.contestant) == (case.scenario, case.contestant);
        match cells.last_mut().filter(|_| before.is_some_and(same)) {
            Some(other) if cell.marks() < other.marks() => *other = cell,
            Some(_) => {}
            None => cells.push(cell),
        }
        before = Some(case);
    }
    Overview { airframes: contestants.iter().map(|c| c.geometry.name.clone()).collect(), rows }
}

impl Cell {
    fn of(side: Side, run: Result<Run, CompareError>) -> Self {
        let outcome = Outcome::of(&run);
        let mut run = run.ok();
        for flight in run.iter_mut().flat_map(|run| &mut run.flights) {
            flight.flown.samples = Vec::new();
        }
        Self { side, outcome, run }
    }

    /// Marks without the blends; below any where there are none.
    fn marks(&self) -> f64 {
        self.run.as_ref().map_or(f64::NEG_INFINITY, |run| run.flights[0].verdict.marks_exact())
    }

    /// Short lines: `"gear 8.1→1.2 m"`; `"cannot:"` and why.
    #[must_use]
    pub fn lines(&self) -> Vec<String> {
        if let Some(why) = self.outcome.why_not() {
            return vec!["cannot:".to_owned(), why];
        }
        let Some(run) = &self.run else { return Vec::new() };
        let mut lines = run.short();
        lines.extend(run.flights[0].beyond.map(|beyond| beyond.short()));
        lines
    }
}
