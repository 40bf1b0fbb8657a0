//! What ends a leg sooner than its time, as written.

use manoeuvre::{Passed, Passing};
use measure::{DEG, Dimension};

use super::{BANK, CLIMB, HEIGHT, SPEED, wanted};
use crate::filled::Filled;
use crate::form::{Accepts, Field, Form, words_of};
use crate::reader::{Item, Read, Says, Wanted};

pub(super) static UNTIL: Form = Form::new(
    "until",
    "a quantity that ends a leg when it passes a value",
    &[
        Field::words(
            "when",
            &words_of(&PASSED),
            "which; rolled, pitched and turned count from the leg's beginning",
        ),
        Field::new("above", VALUE, "it ends above this").like("\"360 deg\"").absent("below stands"),
        Field::new("below", VALUE, "it ends below this").like("\"8 m/s\"").absent("above stands"),
    ],
    &[&["above"], &["below"]],
);

const VALUE: Accepts = Accepts::Either(&[
    Accepts::Quantity(TURNS),
    Accepts::Quantity(SPEED),
    Accepts::Quantity(SHARE),
    Accepts::Quantity(HEIGHT),
]);

const SHARE: Wanted = wanted(Dimension::Share, 0.01, 3.0);
/// Whole turns count.
const TURNS: Wanted = wanted(Dimension::Angle, -7200.0 * DEG, 7200.0 * DEG);

const PASSED: [(&str, Passed); 8] = [
    ("airspeed", Passed::Airspeed),
    ("share of the entry speed", Passed::AirspeedShare),
    ("bank", Passed::Bank),
    ("climb", Passed::Climb),
    ("height", Passed::Height),
    ("rolled", Passed::Rolled),
    ("pitched", Passed::Pitched),
    ("turned", Passed::Turned),
];

pub(super) fn until(leg: &Filled<'_>) -> Read<Vec<Passing>> {
    leg.items("until")?.iter().map(passing).collect()
}

fn passing(item: &Item<'_>) -> Read<Passing> {
    let table = item.form(&UNTIL)?;
    let of = table.choice("when", &PASSED)?;
    let (key, upwards) = match (table.has("above"), table.has("below")) {
        (true, false) => ("above", true),
        (false, true) => ("below", false),
        _ => {
            return Err(table.item.fault(Says::new(
                "above and below, or neither",
                "one of the two",
                "write { when = \"airspeed\", below = \"8 m/s\" }",
            )));
        }
    };
    let wanted = match of {
        Passed::Airspeed => SPEED,
        Passed::AirspeedShare => SHARE,
        Passed::Bank => BANK,
        Passed::Climb => CLIMB,
        Passed::Height => HEIGHT,
        Passed::Rolled | Passed::Pitched | Passed::Turned => TURNS,
    };
    let value = table.need(key)?.quantity(wanted)?.value;
    Ok(Passing { of, value, upwards })
}
