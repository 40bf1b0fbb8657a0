//! What a leg is judged by, as written.

use manoeuvre::{Judged, Judging};
use measure::Measured;

use super::{BANK, CLIMB};
use crate::filled::Filled;
use crate::form::{Accepts, Field, Form, words_of};
use crate::reader::{Item, Read, Says};

static JUDGED: Form = Form::new(
    "judged",
    "what is judged from this leg on, against which line",
    &[
        Field::words("as", &words_of(&KINDS), "what is looked at").absent("line"),
        Field::quantity("climb", CLIMB, "climb angle of the line").or(Measured::exact(0.0)),
        Field::quantity("bank", BANK, "the bank to be kept, left wing down")
            .like("\"-90 deg\"")
            .or(Measured::exact(0.0)),
    ],
    &[],
);

pub(super) const ACCEPTS: Accepts = Accepts::Either(&[Accepts::Words(&[GOES_ON]), Accepts::Table(&JUDGED)]);
const GOES_ON: &str = "goes on";

const KINDS: [(&str, Judging); 8] = [
    kind(Judging::Line),
    kind(Judging::Roll),
    kind(Judging::Turn),
    kind(Judging::RollIn),
    kind(Judging::Tumble),
    kind(Judging::Flaps),
    kind(Judging::Descent),
    kind(Judging::Hover),
];

const fn kind(judging: Judging) -> (&'static str, Judging) {
    (judging.word(), judging)
}

/// Whether and how a leg is judged.
pub(super) enum Written {
    Not,
    From(Judged),
    GoesOn,
}

impl Written {
    pub(super) const fn begun(&self) -> Option<Judged> {
        match self {
            Self::From(judged) => Some(*judged),
            Self::Not | Self::GoesOn => None,
        }
    }

    pub(super) const fn goes_on(&self) -> bool {
        matches!(self, Self::GoesOn)
    }
}

pub(super) fn judged(leg: &Filled<'_>) -> Read<Written> {
    let Some(item) = leg.get("judged") else { return Ok(Written::Not) };
    if item.is_table() {
        return from_table(&item.form(&JUDGED)?).map(Written::From);
    }
    item.choice(&[(GOES_ON, ())]).map(|()| Written::GoesOn)
}

fn from_table(table: &Filled<'_>) -> Read<Judged> {
    let as_what = table.maybe_choice("as", &KINDS);
    let climb = table.quantity("climb");
    let bank = bank(table);
    Ok(Judged { climb: climb?.value, bank: bank?, as_what: as_what?.unwrap_or(Judging::Line) })
}

/// Everything in the file is for the right side; a run would be named after the wrong one.
fn bank(table: &Filled<'_>) -> Read<f64> {
    let angle = table.quantity("bank")?.value;
    let item: Option<Item<'_>> = table.get("bank").filter(|_| angle > 0.0 && angle < BANK.most);
    match item {
        None => Ok(angle),
        Some(item) => Err(item.fault(Says::new(
            item.described(),
            "a bank with the left wing down, as it goes with right rudder",
            "turn the sign of every bank, aileron and rudder of the file: the other side is flown as its mirror image",
        ))),
    }
}
