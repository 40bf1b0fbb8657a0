//! Changes to a mix file that leave everything else as its author wrote it: comments, order,
//! quotes, line ends. [`change_mix`] replaces the bytes of single values and puts blends in or takes
//! them out, [`save`] brings the result to the disk if nobody else changed the file meanwhile.

mod entry;
mod place;
mod spelling;
mod unchanged;
mod value;
mod whole_blend;

use measure::{Dimension, Side, Span, Stick};
use mix::{Blend, Condition, Shape, Tuning};
use toml::de::DeTable;

use crate::mix_file::read_mix;
use crate::report::Report;
use crate::source::Source;
use place::{Document, Value};
use spelling::{condition, curve, quoted, respelled, shape_lines, tuning, written};

pub use unchanged::{SaveError, save};
pub use value::{NewValue, ValueChange, change_values};

/// A new value for something that stands in a mix file. Shares of one, seconds, as in [`mix::Mix`].
#[derive(Debug, Clone, PartialEq)]
pub enum MixChange {
    /// One more blend.
    Added(Blend),
    /// A blend less; comments stay where they are.
    Removed {
        /// The blend's name.
        blend: String,
    },
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
    /// All values of a blend's shape. Two sides may become a curve, a curve two sides, and a curve
    /// may get another number of points: it is then written anew in one line.
    Shape {
        /// The blend's name.
        blend: String,
        /// The new values.
        to: Shape,
    },
    /// When it acts.
    Engaged {
        /// The blend's name.
        blend: String,
        /// The new condition.
        to: Condition,
    },
    /// The lever that makes more or less of it.
    Tuned {
        /// The blend's name.
        blend: String,
        /// `None`: as written.
        to: Option<Tuning>,
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
/// not in the file, or is written in a way that cannot be changed.
pub fn change_mix(source: &Source, changes: &[MixChange]) -> Result<Source, Report> {
    let before = read_mix(source.clone())?.value;
    let mut edited = source.clone();
    for change in changes {
        edited = changed(&edited, change)?;
    }
    let after = read_mix(edited.clone())?.value;
    whole_blend::only_what_was_meant(source, changes, &before, &after)?;
    Ok(edited)
}

fn changed(source: &Source, change: &MixChange) -> Result<Source, Report> {
    // Faults of the grammar were found by `read_mix`; what is missing then is told by its place.
    let (tree, _) = DeTable::parse_recoverable(source.text());
    let document = Document::new(source, tree.get_ref());
    let mut splices = Vec::new();
    match change {
        MixChange::Added(blend) => splices.push(whole_blend::added(source, &document, blend)),
        MixChange::Removed { blend } => splices.push(whole_blend::removed(source, &document, blend)?),
        MixChange::Share { blend, side, to } => {
            splices.push(quantity(source, &document.side(blend, *side)?, *to, Dimension::Share));
        }
        MixChange::Shape { blend, to } => splices = shape_splices(source, &document, blend, to)?,
        MixChange::Engaged { blend, to } => {
            let (path, table) = document.blend_table(blend)?;
            if *to != Condition::Always || table.has("engaged") {
                let put = table.put("engaged", &condition(to));
                splices.push(put.ok_or_else(|| document.unwritable(&path, source.locate(&path)))?);
            }
        }
        MixChange::Tuned { blend, to } => {
            let (path, table) = document.blend_table(blend)?;
            let written = match (to, table.entry("tuned")) {
                (Some(by), _) => table.put("tuned", &tuning(by)),
                (None, Some(entry)) => Some(table.out(&entry)),
                (None, None) => None,
            };
            if to.is_some() || table.has("tuned") {
                splices.push(written.ok_or_else(|| document.unwritable(&path, source.locate(&path)))?);
            }
        }
        MixChange::Fade { blend, to } => splices.extend(time(source, &document, blend, "fade", *to)?),
        MixChange::Slow { blend, to } => splices.extend(time(source, &document, blend, "slow", *to)?),
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

/// A time of a blend; one that is 0 need not be there.
fn time(
    source: &Source,
    document: &Document<'_>,
    blend: &str,
    key: &str,
    to: f64,
) -> Result<Option<Splice>, Report> {
    let (_, table) = document.blend_table(blend)?;
    Ok(match table.entry(key) {
        Some(entry) => Some(quantity(source, &entry.value, to, Dimension::Time)),
        None if to == 0.0 => None,
        None => table.put(key, &quoted(&written(to, Dimension::Time))),
    })
}

/// Number by number where the kind of shape stays, else its entries anew.
fn shape_splices(
    source: &Source,
    document: &Document<'_>,
    name: &str,
    to: &Shape,
) -> Result<Vec<Splice>, Report> {
    let (table, entries) = document.shape(name)?;
    match (to, document.in_blend(name, "curve")) {
        (Shape::Curve(points), Ok(list)) => Ok(curve_splices(source, &list, points)),
        (Shape::TwoSided { left, right }, Err(_)) => {
            let side =
                |side, share| Ok(quantity(source, &document.side(name, side)?, share, Dimension::Share));
            // Throttle and levers have one side; nothing is lost while the other is to stay 0.
            let left = (*left != 0.0 || document.has_two_sides(name)?).then(|| side(Side::Left, *left));
            left.into_iter().chain([side(Side::Right, *right)]).collect()
        }
        (to, _) => {
            let lead = mix_blend(source, name).map(|blend| blend.from);
            let (Some(lead), Some((first, others))) = (lead, entries.split_first()) else {
                return Err(document.unwritable("blend", Span::default()));
            };
            let mut splices = vec![table.instead(first, &shape_lines(to, &lead))];
            splices.extend(others.iter().map(|entry| table.out(entry)));
            Ok(splices)
        }
    }
}

/// A blend as it is read.
fn mix_blend(source: &Source, name: &str) -> Option<Blend> {
    let mix = read_mix(source.clone()).ok()?.value;
    mix.blends.into_iter().find(|blend| blend.name == name.trim())
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
