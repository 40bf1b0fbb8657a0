//! The tables of keys in docs/files.md, from the lists that the readers use.

use crate::form::{Absent, Field, Form, reachable};
use crate::kind::Kind;

/// Every key of a kind of file, as tables in Markdown.
#[must_use]
pub fn reference(kind: Kind) -> String {
    reachable(kind.form()).into_iter().map(section).collect::<Vec<_>>().join("\n")
}

fn section(form: &'static Form) -> String {
    let rows: String = form.fields.iter().map(row).collect();
    let choice = match form.alternatives {
        [] => String::new(),
        groups => {
            let groups: Vec<_> = groups.iter().map(|keys| format!("`{}`", keys.join("` with `"))).collect();
            format!(" One of {} stands.", groups.join(", "))
        }
    };
    format!(
        "**{}**: {}.{choice}\n\n| key | may be | not given |\n|---|---|---|\n{rows}",
        form.name, form.about
    )
}

fn row(field: &Field) -> String {
    let usual = match (field.usual, field.accepts) {
        (Some((least, most)), crate::form::Accepts::Quantity(wanted)) => {
            let [least, most] = [least, most].map(|si| crate::reader::shown(wanted.dimension, si));
            format!("; usual are {least} to {most}")
        }
        _ => String::new(),
    };
    let absent = match (field.absent, field.when_absent()) {
        (Absent::Fault, _) | (_, None) => "a fault".to_owned(),
        (_, Some(words)) => words,
    };
    format!("| `{}` | {}: {}{usual} | {absent} |\n", field.key, field.about, field.accepts.allowed_in_full())
}
