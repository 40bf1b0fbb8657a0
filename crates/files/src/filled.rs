//! A table of a file, read against its [`Form`].

use measure::{Dimension, Measured, Severity};
use toml::de::{DeTable, DeValue};

use crate::form::{Absent, Accepts, Field, Form};
use crate::reader::{
    Item, Read, Reported, Says, Tolerance, Wanted, clean, did_you_mean, listed, path_to, shown,
};

/// A table whose fields are declared. Asking for a key that its form lacks is a fault of this
/// program, not of the file.
#[derive(Clone)]
pub(crate) struct Filled<'d> {
    pub(crate) item: Item<'d>,
    entries: &'d DeTable<'d>,
    form: &'static Form,
}

impl<'d> Item<'d> {
    /// A table of this form; keys that it does not have are reported.
    pub(crate) fn form(&self, form: &'static Form) -> Read<Filled<'d>> {
        match self.value {
            DeValue::Table(entries) => {
                let filled = Filled { item: self.clone(), entries, form };
                filled.report_unknown_keys();
                Ok(filled)
            }
            DeValue::Array(_) => Err(self.fault(Says::new(
                self.described(),
                form.described(),
                "write a heading in single brackets, once, and the keys below it",
            ))),
            _ => Err(self.fault(Says::new(
                self.described(),
                form.described(),
                "write it like { key = \"value\", ... }",
            ))),
        }
    }
}

impl<'d> Filled<'d> {
    fn report_unknown_keys(&self) {
        for (key, _) in self.entries.iter() {
            let word = key.get_ref().as_ref();
            if !self.form.keys().any(|known| known == word) {
                let next = did_you_mean(word, self.form.keys())
                    .unwrap_or_else(|| "remove it, or move it to where it belongs".to_owned());
                let found = format!("the unknown key \"{}\"", clean(word));
                let says = Says::new(found, listed(self.form.keys()), next);
                let path = path_to(&self.item.path, word);
                self.item.faults.add(says.at(key.span().into(), path, Severity::Error));
            }
        }
    }

    /// The declaration of a key.
    pub(crate) fn field(&self, key: &str) -> &'static Field {
        self.form
            .fields
            .iter()
            .find(|field| field.key == key)
            .unwrap_or_else(|| unreachable!("the form {} declares no {key}", self.form.name))
    }

    pub(crate) fn has(&self, key: &str) -> bool {
        self.entries.contains_key(key)
    }

    /// The value of a key, if it is there.
    pub(crate) fn get(&self, key: &str) -> Option<Item<'d>> {
        self.item.child(self.field(key).key)
    }

    /// The value of a key that must be there.
    pub(crate) fn need(&self, key: &str) -> Read<Item<'d>> {
        let field = self.field(key);
        self.get(key).ok_or_else(|| self.missing(key, &field.accepts.allowed(), self.how_to_add(field)))
    }

    fn how_to_add(&self, field: &Field) -> String {
        let key = field.key;
        match field.accepts {
            Accepts::Table(_) if self.item.path.is_empty() => {
                format!("add a line [{key}] and these keys below it")
            }
            Accepts::Tables(_) if self.item.path.is_empty() => {
                format!("add a line [[{key}]] and its keys below it")
            }
            _ => format!("add it, such as {key} = {}", field.example()),
        }
    }

    /// Reports that a key is missing.
    pub(crate) fn missing(&self, key: &str, allowed: &str, next: impl Into<String>) -> Reported {
        let says = Says::new(format!("no \"{key}\""), allowed, next);
        self.item.faults.add(says.at(self.item.span, path_to(&self.item.path, key), Severity::Error))
    }

    pub(crate) fn text(&self, key: &str) -> Read<String> {
        self.need(key)?.text()
    }

    pub(crate) fn maybe_text(&self, key: &str) -> Read<Option<String>> {
        self.get(key).map(|item| item.text()).transpose()
    }

    /// A quantity, or what is taken in its absence; a fault where nothing is.
    pub(crate) fn quantity(&self, key: &str) -> Read<Measured> {
        match (self.maybe_quantity(key)?, self.field(key).absent) {
            (Some(found), _) | (None, Absent::Taken(found)) => Ok(found),
            (None, _) => Err(self.need(key).map_or_else(|reported| reported, |_| Reported)),
        }
    }

    /// A quantity that may be absent, whatever that means.
    pub(crate) fn maybe_quantity(&self, key: &str) -> Read<Option<Measured>> {
        let field = self.field(key);
        self.get(key).map(|item| item.measured(field, self.wanted(field))).transpose()
    }

    /// A quantity whose default tolerance depends on something else that was read.
    pub(crate) fn quantity_within(&self, key: &str, tolerance: Tolerance) -> Read<Measured> {
        let field = self.field(key);
        self.need(key)?.measured(field, self.wanted(field).with_tolerance(tolerance))
    }

    fn wanted(&self, field: &Field) -> Wanted {
        match field.accepts {
            Accepts::Quantity(wanted) => wanted,
            _ => unreachable!("{}.{} is no quantity", self.form.name, field.key),
        }
    }

    pub(crate) fn maybe_count(&self, key: &str) -> Read<Option<u32>> {
        match (self.get(key), self.field(key).accepts) {
            (None, _) => Ok(None),
            (Some(item), Accepts::Count(least, most)) => item.count(least, most).map(Some),
            (Some(_), _) => unreachable!("{}.{key} is no count", self.form.name),
        }
    }

    pub(crate) fn choice<T: Copy>(&self, key: &str, words: &[(&str, T)]) -> Read<T> {
        self.need(key)?.choice(words)
    }

    pub(crate) fn maybe_choice<T: Copy>(&self, key: &str, words: &[(&str, T)]) -> Read<Option<T>> {
        self.get(key).map(|item| item.choice(words)).transpose()
    }

    /// A table that must be there.
    pub(crate) fn form(&self, key: &str) -> Read<Self> {
        self.form_of(key, &self.need(key)?)
    }

    /// A table that may be absent.
    pub(crate) fn maybe_form(&self, key: &str) -> Read<Option<Self>> {
        self.get(key).map(|item| self.form_of(key, &item)).transpose()
    }

    fn form_of(&self, key: &str, item: &Item<'d>) -> Read<Self> {
        match self.field(key).accepts {
            Accepts::Table(form) => item.form(form),
            _ => unreachable!("{}.{key} is no table", self.form.name),
        }
    }

    /// The tables of a list, none where it is absent. A single `[key]` where `[[key]]` belongs is
    /// a fault, and read all the same, for the faults in it.
    pub(crate) fn items(&self, key: &str) -> Read<Vec<Item<'d>>> {
        let Some(item) = self.get(key) else { return Ok(Vec::new()) };
        if item.is_table() {
            item.fault(Says::new(
                format!("one table at {key}"),
                format!("a list of tables, each under a heading [[{key}]]"),
                format!("write [[{}]] in double brackets, also where there is only one", item.heading()),
            ));
            return Ok(vec![item]);
        }
        item.list()
    }
}

impl Item<'_> {
    /// A quantity as declared; one that is possible but unusual is asked about.
    pub(crate) fn measured(&self, field: &Field, wanted: Wanted) -> Read<Measured> {
        let advice = if field.advice.is_empty() { Wanted::ADVICE } else { field.advice };
        let read = self.quantity_or_advice(wanted, advice)?;
        if let Some((least, most)) = field.usual
            && !(least..=most).contains(&read.value)
        {
            self.caution(Says::new(
                format!("{}, which is {}", self.excerpt(), at_two_scales(wanted.dimension, read.value)),
                format!(
                    "{}; usual are {} to {}",
                    wanted.range(),
                    shown(wanted.dimension, least),
                    shown(wanted.dimension, most)
                ),
                "check its unit and its decimal point; leave it if it is meant",
            ));
        }
        Ok(read)
    }
}

/// A value in the commonest unit, a long length in metres too: `"3400 mm (3.4 m)"`.
fn at_two_scales(dimension: Dimension, si: f64) -> String {
    let text = shown(dimension, si);
    if dimension == Dimension::Length && si.abs() >= 1.0 { format!("{text} ({si} m)") } else { text }
}
