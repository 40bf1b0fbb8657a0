//! Changes to a mix file that leave everything else as its author wrote it: comments, order,
//! quotes, line ends. [`change_mix`] replaces the bytes of single values, [`append_blend`] adds a
//! blend, [`save`] brings the result to the disk if nobody else changed the file meanwhile.

mod place;
mod spelling;
mod unchanged;

use measure::{Dimension, Side, Stick};
use mix::{Blend, Shape};
use toml::de::DeTable;

use crate::mix_file::read_mix;
use crate::report::Report;
use crate::source::Source;
use place::{Document, Value};
use spelling::{blend_inline, blend_lines, curve, respelled};

pub use unchanged::{SaveError, save};

/// A new value for something that stands in a mix file. Shares of one, seconds, as in [`mix::Mix`].
#[derive(Debug, Clone, PartialEq)]
pub enum MixChange {
    /// One side of a blend: `left` or `down` for [`Side::Left`], `right`, `up` or `full` for
    /// [`Side::Right`].
    Share {
        /// The blend's name.
        blend: String,
        /// The side of its lead.
        side: Side,
        /// Share of the follower's full throw.
        to: f64,
    },
    /// All values of a blend's shape. Two sides stay two sides and a curve a curve; a curve may
    /// get another number of points, and is then written anew in one line.
    Shape {
        /// The blend's name.
        blend: String,
        /// The new values.
        to: Shape,
    },
    /// The time to come in and go out.
    Fade {
        /// The blend's name.
        blend: String,
        /// \[s\].
        to: f64,
    },
    /// The time the follower takes through 100 %.
    Slow {
        /// The blend's name.
        blend: String,
        /// \[s\].
        to: f64,
    },
    /// The throw of a stick in a set of rates.
    Throw {
        /// The name of the set.
        rates: String,
        /// Aileron, elevator or rudder.
        stick: Stick,
        /// Share of full throw at full stick.
        to: f64,
    },
    /// The expo of a stick in a set of rates.
    Expo {
        /// The name of the set.
        rates: String,
        /// Aileron, elevator or rudder.
        stick: Stick,
        /// As in [`mix::Rate`].
        to: f64,
    },
}

/// The text with new values: of each value that changes only its number is replaced, every other
/// byte is as it was. A value that is there already keeps its spelling. Later changes win.
///
/// A number is written with as few digits as read back to it. The few shares that no percentage
/// reads back to (they have 16 digits) become the nearest that one does.
///
/// # Errors
/// A mix that has faults, before or after the changes; a blend, a set of rates or a value that is
/// not in the file.
pub fn change_mix(source: &Source, changes: &[MixChange]) -> Result<Source, Report> {
    read_mix(source.clone())?;
    let mut edited = source.clone();
    for change in changes {
        edited = changed(&edited, change)?;
    }
    read_mix(edited.clone())?;
    Ok(edited)
}

fn changed(source: &Source, change: &MixChange) -> Result<Source, Report> {
    // Faults of the grammar were found by `read_mix`; what is missing then is told by its place.
    let (tree, _) = DeTable::parse_recoverable(source.text());
    let document = Document::new(source, tree.get_ref());
    let mut splices = Vec::new();
    match change {
        MixChange::Share { blend, side, to } => {
            splices.push(quantity(source, &document.side(blend, *side)?, *to, Dimension::Share));
        }
        MixChange::Shape { blend, to: Shape::TwoSided { left, right } } => {
            // Throttle and levers have one side; nothing is lost while the other is to stay 0.
            if *left != 0.0 || document.has_two_sides(blend)? {
                splices.push(quantity(source, &document.side(blend, Side::Left)?, *left, Dimension::Share));
            }
            splices.push(quantity(source, &document.side(blend, Side::Right)?, *right, Dimension::Share));
        }
        MixChange::Shape { blend, to: Shape::Curve(points) } => {
            splices = curve_splices(source, &document.in_blend(blend, "curve")?, points);
        }
        MixChange::Fade { blend, to } => {
            splices.push(quantity(source, &document.in_blend(blend, "fade")?, *to, Dimension::Time));
        }
        MixChange::Slow { blend, to } => {
            splices.push(quantity(source, &document.in_blend(blend, "slow")?, *to, Dimension::Time));
        }
        MixChange::Throw { rates, stick, to } => {
            splices.push(quantity(source, &document.rate(rates, *stick, "throw")?, *to, Dimension::Share));
        }
        MixChange::Expo { rates, stick, to } => {
            splices.push(quantity(source, &document.rate(rates, *stick, "expo")?, *to, Dimension::Share));
        }
    }
    Ok(spliced(source, splices))
}

/// A piece of text in place of a span.
struct Splice {
    start: usize,
    end: usize,
    text: String,
}

/// Replaces from the back, so that the spans before stay true.
fn spliced(source: &Source, mut splices: Vec<Splice>) -> Source {
    splices.sort_by_key(|splice| splice.start);
    let mut text = source.text().to_owned();
    for splice in splices.iter().rev() {
        text.replace_range(splice.start..splice.end, &splice.text);
    }
    source.with_text(text)
}

fn quantity(source: &Source, value: &Value<'_>, to: f64, dimension: Dimension) -> Splice {
    let raw = source.excerpt(value.span);
    let text = respelled(raw, value.tree.as_str().unwrap_or_default(), to, dimension);
    Splice { start: value.span.start, end: value.span.end, text }
}

/// Number by number where the points keep their number, else the list as a whole.
fn curve_splices(source: &Source, list: &Value<'_>, points: &[(f64, f64)]) -> Vec<Splice> {
    let numbers: Vec<Value<'_>> = list.members().iter().flat_map(Value::members).collect();
    if numbers.len() != 2 * points.len() {
        return vec![Splice { start: list.span.start, end: list.span.end, text: curve(points) }];
    }
    let wanted = points.iter().flat_map(|&(lead, follower)| [lead, follower]);
    numbers.iter().zip(wanted).map(|(value, to)| quantity(source, value, to, Dimension::Share)).collect()
}

/// The text with one more blend at its end; line ends are those of the text.
///
/// # Errors
/// A mix that has faults, before or after: the name may be taken, the rates unknown.
pub fn append_blend(source: &Source, blend: &Blend) -> Result<Source, Report> {
    read_mix(source.clone())?;
    let (tree, _) = DeTable::parse_recoverable(source.text());
    let document = Document::new(source, tree.get_ref());
    let splice = match document.inline_blends() {
        Some(list) => into_list(&list, blend),
        None => at_the_end(source.text(), blend),
    };
    let edited = spliced(source, vec![splice]);
    read_mix(edited.clone())?;
    Ok(edited)
}

fn at_the_end(text: &str, blend: &Blend) -> Splice {
    let line_end = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let open_line = if text.is_empty() || text.ends_with('\n') { "" } else { line_end };
    let gap = if text.is_empty() { "" } else { line_end };
    let lines = blend_lines(blend).replace('\n', line_end);
    Splice { start: text.len(), end: text.len(), text: format!("{open_line}{gap}{lines}") }
}

/// Behind the last member: a comma that follows it then follows the new one.
fn into_list(list: &Value<'_>, blend: &Blend) -> Splice {
    let text = blend_inline(blend);
    let (at, text) = match list.members().last() {
        Some(last) => (last.span.end, format!(", {text}")),
        None => (list.span.start + 1, text),
    };
    Splice { start: at, end: at, text }
}
