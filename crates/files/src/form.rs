//! What a file may say. Every table declares its fields once, as a [`Form`]; the readers
//! ([`crate::filled`]), the search for the nearest key, the JSON schema ([`crate::schema()`]) and
//! the tables of keys in docs/files.md all come from that one list.
//!
//! # How to declare and read a table
//! ```text
//! static START: Form = Form::new("start", "how the flight begins", &[
//!     Field::quantity("height", HEIGHT, "above the field"),              // must be there
//!     Field::quantity("heading", ANGLE, "clockwise from north").or(Measured::exact(0.0)),
//!     Field::new("wind", Accepts::Table(&WIND), "the air").absent("calm"),
//! ]);
//!
//! fn start(item: &Item<'_>) -> Read<Start> {
//!     let table = item.form(&START)?;               // reports unknown keys
//!     let height = table.quantity("height");        // kind, limits and default from the list
//!     let heading = table.quantity("heading");
//!     let wind = table.maybe_form("wind").and_then(...);
//!     Ok(Start { height: height?.value, ... })      // only now: all faults are reported at once
//! }
//! ```
//! The root form of a kind of file stands in [`crate::Kind::form`].

use measure::{Dimension, Measured};

use crate::reader::{Wanted, listed, one_of, shown};

/// A table and everything that may stand in it.
pub(crate) struct Form {
    /// Name in the schema and in documents, unique within its kind of file: `hinge`.
    pub(crate) name: &'static str,
    /// What it is about, in a few words.
    pub(crate) about: &'static str,
    /// The fields, in the order in which a pilot would fill them in.
    pub(crate) fields: &'static [Field],
    /// Groups of keys of which one must stand, and no other beside it; none: no such choice.
    pub(crate) alternatives: &'static [&'static [&'static str]],
}

/// A key and what may stand there.
#[derive(Clone, Copy)]
pub(crate) struct Field {
    /// As it is written.
    pub(crate) key: &'static str,
    /// What may stand there.
    pub(crate) accepts: Accepts,
    /// What its absence means.
    pub(crate) absent: Absent,
    /// How one is written, in TOML; empty: the example of its kind.
    pub(crate) example: &'static str,
    /// Beyond this range, SI, a caution asks whether it is meant.
    pub(crate) usual: Option<(f64, f64)>,
    /// The next thing to try where a value is out of its range; empty: the general advice.
    pub(crate) advice: &'static str,
    /// What it is, in a few words.
    pub(crate) about: &'static str,
}

/// What may stand at a key.
#[derive(Clone, Copy)]
pub(crate) enum Accepts {
    /// A text that is not blank.
    Text,
    /// A number with its unit.
    Quantity(Wanted),
    /// A whole number, both limits allowed.
    Count(u32, u32),
    /// One of these words.
    Words(&'static [&'static str]),
    /// A table.
    Table(&'static Form),
    /// Tables of one form: `[[key]]`.
    Tables(&'static Form),
    /// Tables of one form under names that the author chooses: `[key.name]`.
    Named(&'static Form),
    /// A list, all members alike.
    Each(&'static Accepts),
    /// A list of exactly these.
    Tuple(&'static [Accepts]),
    /// One of these.
    Either(&'static [Accepts]),
}

/// What it means when a key is not there.
#[derive(Clone, Copy)]
pub(crate) enum Absent {
    /// A fault.
    Fault,
    /// This is taken.
    Taken(Measured),
    /// In words.
    Means(&'static str),
}

impl Form {
    pub(crate) const fn new(
        name: &'static str,
        about: &'static str,
        fields: &'static [Field],
        alternatives: &'static [&'static [&'static str]],
    ) -> Self {
        Self { name, about, fields, alternatives }
    }

    /// The keys, in order.
    pub(crate) fn keys(&self) -> impl Iterator<Item = &'static str> + Clone {
        self.fields.iter().map(|field| field.key)
    }

    /// `"a table with station and waterline"`.
    pub(crate) fn described(&self) -> String {
        format!("a table with {}", listed(self.keys()))
    }
}

impl Field {
    pub(crate) const fn new(key: &'static str, accepts: Accepts, about: &'static str) -> Self {
        Self { key, accepts, absent: Absent::Fault, example: "", usual: None, advice: "", about }
    }

    pub(crate) const fn text(key: &'static str, example: &'static str, about: &'static str) -> Self {
        Self::new(key, Accepts::Text, about).like(example)
    }

    pub(crate) const fn quantity(key: &'static str, wanted: Wanted, about: &'static str) -> Self {
        Self::new(key, Accepts::Quantity(wanted), about)
    }

    pub(crate) const fn words(
        key: &'static str,
        words: &'static [&'static str],
        about: &'static str,
    ) -> Self {
        Self::new(key, Accepts::Words(words), about)
    }

    /// This is taken where it is absent.
    pub(crate) const fn or(self, value: Measured) -> Self {
        Self { absent: Absent::Taken(value), ..self }
    }

    /// May be absent; what that means, in words.
    pub(crate) const fn absent(self, means: &'static str) -> Self {
        Self { absent: Absent::Means(means), ..self }
    }

    /// How one is written, in TOML.
    pub(crate) const fn like(self, example: &'static str) -> Self {
        Self { example, ..self }
    }

    /// What is usual, SI; beyond it a caution asks.
    pub(crate) const fn usual(self, least: f64, most: f64) -> Self {
        Self { usual: Some((least, most)), ..self }
    }

    /// The next thing to try where a value is out of its range.
    pub(crate) const fn advice(self, next: &'static str) -> Self {
        Self { advice: next, ..self }
    }

    /// How one is written, in TOML.
    pub(crate) fn example(&self) -> String {
        if self.example.is_empty() { self.accepts.example() } else { self.example.to_owned() }
    }

    /// What its absence means, in words; `None` where it must be there.
    pub(crate) fn when_absent(&self) -> Option<String> {
        match (self.absent, self.accepts) {
            (Absent::Fault, _) => None,
            (Absent::Taken(value), Accepts::Quantity(wanted)) => {
                Some(with_tolerance(wanted.dimension, value))
            }
            (Absent::Taken(value), _) => Some(value.value.to_string()),
            (Absent::Means(words), _) => Some(words.to_owned()),
        }
    }
}

/// `"0.2 ± 0.1"`, `"15 deg ± 2 deg"`.
fn with_tolerance(dimension: Dimension, measured: Measured) -> String {
    let value = shown(dimension, measured.value);
    if measured.tolerance == 0.0 {
        return value;
    }
    format!("{value} ± {}", shown(dimension, measured.tolerance))
}

impl Accepts {
    /// What is allowed, in words.
    pub(crate) fn allowed(&self) -> String {
        match self {
            Self::Text => "a text in quotes".to_owned(),
            Self::Quantity(wanted) => wanted.dimension.accepted(),
            Self::Count(least, most) => format!("a whole number from {least} to {most}, without quotes"),
            Self::Words(words) => one_of(words.iter().copied()),
            Self::Table(form) => form.described(),
            Self::Tables(form) => format!("a list of tables, each with {}", listed(form.keys())),
            Self::Named(form) => {
                format!("tables under names that you choose, each with {}", listed(form.keys()))
            }
            Self::Each(member) => format!("a list, each member {}", member.allowed()),
            Self::Tuple(members) => {
                let words: Vec<_> = members.iter().map(Self::allowed).collect();
                format!("a list of {}: {}", members.len(), words.join("; "))
            }
            Self::Either(ways) => ways.iter().map(Self::allowed).collect::<Vec<_>>().join(", or "),
        }
    }

    /// With its range: for documents and schema.
    pub(crate) fn allowed_in_full(&self) -> String {
        match self {
            Self::Quantity(wanted) => {
                let units: Vec<_> = wanted.dimension.units().map(|unit| unit.word).collect();
                let range = wanted.range();
                if units.concat().is_empty() { range } else { format!("{range} ({})", units.join(", ")) }
            }
            Self::Each(member) => format!("a list, each member {}", member.allowed_in_full()),
            Self::Tuple(members) => {
                let words: Vec<_> = members.iter().map(Self::allowed_in_full).collect();
                format!("a list of {}: {}", members.len(), words.join("; "))
            }
            Self::Either(ways) => ways.iter().map(Self::allowed_in_full).collect::<Vec<_>>().join(", or "),
            Self::Table(form) => format!("a table, {}", form.name),
            Self::Tables(form) => format!("a list of tables, {}", form.name),
            Self::Named(form) => format!("tables under names that you choose, {}", form.name),
            _ => self.allowed(),
        }
    }

    fn example(&self) -> String {
        match self {
            Self::Text => "\"...\"".to_owned(),
            Self::Quantity(wanted) if wanted.dimension == Dimension::Number => {
                wanted.dimension.example().to_owned()
            }
            Self::Quantity(wanted) => format!("\"{}\"", wanted.dimension.example()),
            Self::Count(least, _) => least.to_string(),
            Self::Words(words) => format!("\"{}\"", words.first().unwrap_or(&"")),
            Self::Table(_) | Self::Named(_) => "{ ... }".to_owned(),
            Self::Tables(_) => "[{ ... }]".to_owned(),
            Self::Each(member) => format!("[{}]", member.example()),
            Self::Tuple(members) => {
                format!("[{}]", members.iter().map(Self::example).collect::<Vec<_>>().join(", "))
            }
            Self::Either(ways) => ways.first().map_or_else(String::new, Self::example),
        }
    }

    /// The forms of tables that may stand here.
    pub(crate) fn forms(&self) -> Vec<&'static Form> {
        match self {
            Self::Table(form) | Self::Tables(form) | Self::Named(form) => vec![form],
            Self::Each(member) => member.forms(),
            Self::Tuple(all) | Self::Either(all) => all.iter().flat_map(Self::forms).collect(),
            Self::Text | Self::Quantity(_) | Self::Count(..) | Self::Words(_) => Vec::new(),
        }
    }
}

/// The words of a choice, for its declaration.
pub(crate) const fn words_of<T, const N: usize>(pairs: &[(&'static str, T); N]) -> [&'static str; N] {
    let mut words = [""; N];
    let mut i = 0;
    while i < N {
        words[i] = pairs[i].0;
        i += 1;
    }
    words
}

/// Every form that can be reached from `root`, each once, outer ones first.
pub(crate) fn reachable(root: &'static Form) -> Vec<&'static Form> {
    let mut found = vec![root];
    let mut next = 0;
    while let Some(form) = found.get(next).copied() {
        for inner in form.fields.iter().flat_map(|field| field.accepts.forms()) {
            if !found.iter().any(|known| core::ptr::eq(*known, inner)) {
                found.push(inner);
            }
        }
        next += 1;
    }
    found
}
