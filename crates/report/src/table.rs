//! Plain-text tables for a terminal or a file: columns padded with spaces to the width their characters
//! take on the screen.

use unicode_width::UnicodeWidthStr;

/// Where the cells of a column stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// At the left.
    Left,
    /// At the right.
    Right,
    /// Numbers with their points below each other; what follows the number (a unit, words) runs on.
    Point,
}

/// A column: its heading and where its cells stand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// Heading, with the unit where the cells carry none.
    pub heading: String,
    /// Where the cells stand.
    pub align: Align,
}

impl Column {
    /// A column.
    #[must_use]
    pub fn new(heading: impl Into<String>, align: Align) -> Self {
        Self { heading: heading.into(), align }
    }
}

/// Rows under headings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    columns: Vec<Column>,
    rows: Vec<Vec<String>>,
}

const GAP: &str = "  ";

impl Table {
    /// A table without rows.
    #[must_use]
    pub fn new(columns: Vec<Column>) -> Self {
        Self { columns, rows: Vec::new() }
    }

    /// Adds a row; missing cells are empty, and cells beyond the last column are an error of the caller.
    pub fn push(&mut self, cells: impl IntoIterator<Item = String>) {
        let mut row: Vec<String> = cells.into_iter().collect();
        debug_assert!(row.len() <= self.columns.len(), "{row:?} has more cells than the table has columns");
        row.resize(self.columns.len(), String::new());
        self.rows.push(row);
    }

    /// Headings, a rule, rows; each line ends with a line feed and without spaces before it.
    #[must_use]
    pub fn text(&self) -> String {
        let columns: Vec<Vec<String>> = (0..self.columns.len()).map(|i| self.column(i)).collect();
        let rule = columns.iter().map(|cells| "─".repeat(width(&cells[0]))).collect::<Vec<_>>().join(GAP);
        let line = |row: usize| columns.iter().map(|cells| cells[row].as_str()).collect::<Vec<_>>().join(GAP);
        let mut lines = vec![line(0), rule];
        lines.extend((1..=self.rows.len()).map(line));
        lines.iter().map(|line| format!("{}\n", line.trim_end())).collect()
    }

    /// The heading and cells of a column, all padded to one width.
    fn column(&self, i: usize) -> Vec<String> {
        let Column { heading, align } = &self.columns[i];
        let cells: Vec<&str> = self.rows.iter().map(|row| row[i].as_str()).collect();
        let cells = match align {
            Align::Point => by_the_point(&cells),
            Align::Left | Align::Right => cells.iter().map(|&cell| cell.to_owned()).collect(),
        };
        let widest = cells.iter().map(|cell| width(cell)).fold(width(heading), usize::max);
        std::iter::once(heading).chain(&cells).map(|cell| pad(cell, widest, *align)).collect()
    }
}

/// Puts spaces before numbers so that their points stand below each other, and behind so that all are of
/// one width.
fn by_the_point(cells: &[&str]) -> Vec<String> {
    let whole = |cell: &str| width(&cell[..end_of_whole_part(cell)]);
    let before = cells.iter().map(|cell| whole(cell)).max().unwrap_or(0);
    let moved: Vec<String> =
        cells.iter().map(|cell| format!("{}{cell}", " ".repeat(before - whole(cell)))).collect();
    let widest = moved.iter().map(|cell| width(cell)).max().unwrap_or(0);
    moved.iter().map(|cell| pad(cell, widest, Align::Left)).collect()
}

/// Where the digits before the point of the first number end; the end of a cell without digits.
fn end_of_whole_part(cell: &str) -> usize {
    let Some(first) = cell.find(|c: char| c.is_ascii_digit()) else { return cell.len() };
    cell[first..].find(|c: char| !c.is_ascii_digit()).map_or(cell.len(), |length| first + length)
}

fn pad(cell: &str, to: usize, align: Align) -> String {
    let spaces = " ".repeat(to.saturating_sub(width(cell)));
    match align {
        Align::Left => format!("{cell}{spaces}"),
        Align::Right | Align::Point => format!("{spaces}{cell}"),
    }
}

fn width(cell: &str) -> usize {
    UnicodeWidthStr::width(cell)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drift() -> Table {
        let mut table = Table::new(vec![
            Column::new("flight", Align::Left),
            Column::new("drift", Align::Point),
            Column::new("marks", Align::Right),
        ]);
        table.push(["without the blend", "12.5 m towards the gear", "7.5"].map(str::to_owned));
        table.push(["with the blend", "0.75 m", "10"].map(str::to_owned));
        table.push(["größer ±3 °", "7 m", "—"].map(str::to_owned));
        table
    }

    #[test]
    fn columns_line_up() {
        let expected = "\
flight                               drift  marks
─────────────────  ───────────────────────  ─────
without the blend  12.5 m towards the gear    7.5
with the blend      0.75 m                     10
größer ±3 °         7 m                         —
";
        assert_eq!(drift().text(), expected);
    }

    #[test]
    fn lines_without_their_last_spaces_are_no_wider_than_the_rule() {
        let text = drift().text();
        let rule = text.lines().nth(1).map(width).unwrap();
        assert!(text.lines().all(|line| width(line) <= rule && !line.ends_with(' ')));
    }

    #[test]
    fn a_table_without_rows_has_headings_only() {
        let table = Table::new(vec![Column::new("x", Align::Point), Column::new("why", Align::Left)]);
        assert_eq!(table.text(), "x  why\n─  ───\n");
    }

    #[test]
    fn wide_and_combining_characters_count_as_the_screen_shows_them() {
        assert_eq!((width("鳥"), width("e\u{301}"), width("±°−≤")), (2, 1, 4));
    }
}
