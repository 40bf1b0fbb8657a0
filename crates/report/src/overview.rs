//! The fleet over all manoeuvres as a table of text.

use crate::table::{Align, Column, Table};
use study::{Cell, Overview};

/// What the signs mean, above the table.
const KEY: &str = "Without the blends → with them; one number: its mix has no blend for it. Lines after 2 s, the rest at the end; \
     of two sides the one\nthat is worse. Path: canopy, gear, up, down. Roll: out (towards upright), under (towards \
     inverted), R right, L left.\n";

/// The table, a line for each number, a free line after each manoeuvre.
#[must_use]
pub fn overview_text(overview: &Overview) -> String {
    let headings = std::iter::once("").chain(overview.airframes.iter().map(String::as_str));
    let mut table = Table::new(headings.map(|heading| Column::new(heading, Align::Left)).collect());
    for (i, (manoeuvre, cells)) in overview.rows.iter().enumerate() {
        if i > 0 {
            table.push([]);
        }
        let cells: Vec<Vec<String>> = cells.iter().map(Cell::lines).collect();
        let lines = cells.iter().map(Vec::len).max().unwrap_or(0).max(1);
        for line in 0..lines {
            let name = if line == 0 { manoeuvre.clone() } else { String::new() };
            let told = cells.iter().map(|cell| cell.get(line).cloned().unwrap_or_default());
            table.push(std::iter::once(name).chain(told));
        }
    }
    format!("{KEY}\n{}", table.text())
}
