//! Levers and switches of a scenario, by name: pairs of name and position.

use manoeuvre::Order;
use measure::Dimension;

use super::{order, wanted};
use crate::filled::Filled;
use crate::form::Accepts;
use crate::reader::{Item, Read, Says, Wanted};

const POSITION: Wanted = wanted(Dimension::Share, 0.0, 1.0);
static LEVER: Accepts = Accepts::Tuple(&[Accepts::Text, Accepts::Quantity(POSITION)]);
static SWITCH: Accepts = Accepts::Tuple(&[Accepts::Text, Accepts::Text]);
static LEVER_MOVED: Accepts = Accepts::Tuple(&[
    Accepts::Text,
    Accepts::Either(&[Accepts::Quantity(POSITION), Accepts::Each(&order::POINT)]),
]);
/// Levers that stand, switches, and levers that move.
pub(super) const LEVERS: Accepts = Accepts::Each(&LEVER);
pub(super) const SWITCHES: Accepts = Accepts::Each(&SWITCH);
pub(super) const MOVED: Accepts = Accepts::Each(&LEVER_MOVED);

pub(super) fn levers(table: &Filled<'_>) -> Read<Vec<(String, f64)>> {
    pairs(table, "levers", |value| value.quantity(POSITION).map(|share| share.value))
}

pub(super) fn switches(table: &Filled<'_>) -> Read<Vec<(String, String)>> {
    pairs(table, "switches", Item::text)
}

/// A lever stands at a position, or follows a line.
pub(super) fn moved(table: &Filled<'_>) -> Read<Vec<(String, Order)>> {
    pairs(table, "levers", |value| {
        if value.as_str().is_some() {
            return value.quantity(POSITION).map(|share| Order::Fixed(share.value));
        }
        order::points(value, POSITION).map(Order::Line)
    })
}

/// Pairs of a name and something else; each name once.
fn pairs<'d, T>(
    table: &Filled<'d>,
    key: &str,
    read: impl Fn(&Item<'d>) -> Read<T>,
) -> Read<Vec<(String, T)>> {
    let Some(list) = table.get(key) else { return Ok(Vec::new()) };
    let members = list.list()?;
    let pairs: Vec<_> = members.iter().map(|member| pair(member, &read)).collect();
    let pairs: Vec<(String, T)> = pairs.into_iter().collect::<Read<_>>()?;
    let twin = (1..pairs.len()).find(|&i| pairs[..i].iter().any(|(name, _)| *name == pairs[i].0));
    if let Some(i) = twin {
        return Err(members[i].fault(Says::new(
            format!("\"{}\" a second time", pairs[i].0),
            "each name once",
            "remove one of the two",
        )));
    }
    Ok(pairs)
}

fn pair<'d, T>(item: &Item<'d>, read: impl Fn(&Item<'d>) -> Read<T>) -> Read<(String, T)> {
    let members = item.list()?;
    let [name, value] = members.as_slice() else {
        return Err(item.fault(Says::new(
            format!("a list of {}", members.len()),
            "two: a name and a position",
            "write it like [\"flap\", \"50 %\"] or [\"gear\", \"down\"]",
        )));
    };
    let (name, value) = (name.text(), read(value));
    Ok((name?, value?))
}
