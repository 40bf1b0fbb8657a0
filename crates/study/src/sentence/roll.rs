//! A roll along a line: what it costs in height and heading.

use super::amount::{degrees, is_nothing, metres, way};
use super::short::Short;

/// Numbers of [`manoeuvre::Finding::Roll`].
#[derive(Debug, Clone, Copy)]
pub(super) struct Roll {
    pub(super) rolled: f64,
    pub(super) heading: f64,
    pub(super) highest: f64,
    pub(super) lowest: f64,
    pub(super) aside: f64,
}

impl Roll {
    pub(super) fn does(&self) -> String {
        let turn = degrees(self.heading);
        let heading = if is_nothing(&turn) {
            "keeps its heading".to_owned()
        } else {
            format!("ends {turn} deg {} of its heading", way(self.heading, "right", "left"))
        };
        let [gained, lost] = [self.highest, self.lowest].map(metres);
        let height = match (is_nothing(&gained), is_nothing(&lost)) {
            (true, true) => "keeps its height".to_owned(),
            (true, false) => format!("loses up to {lost} m of height"),
            (false, true) => format!("gains up to {gained} m of height"),
            (false, false) => format!("gains up to {gained} m and loses up to {lost} m of height"),
        };
        format!(
            "rolls {} deg, {height}, {heading} and strays up to {} m to the {}",
            degrees(self.rolled),
            metres(self.aside),
            way(self.aside, "right", "left"),
        )
    }

    pub(super) fn short(&self) -> Vec<Short> {
        let height = if self.highest > -self.lowest { self.highest } else { self.lowest };
        vec![Short::metres(height, "up", "down"), Short::degrees(self.heading, "right", "left")]
    }
}
