//! Mix files: TOML to [`mix::Mix`].
//!
//! ```toml
//! name = "..."
//! [rates.aloft]     # aileron, elevator, rudder = { throw, expo }; what is not given: 100 %, no expo
//! [[blend]]
//! name = "..."
//! from = "rudder"   # or { lever = "spare 1" }
//! to = "elevator"
//! left = "-2 %"     # aileron and rudder: left, right; elevator: down, up;
//! right = "-3 %"    # throttle and levers: full; or curve = [["0 %", "-3 %"], ["25 %", "0 %"]]
//! engaged = { rates = "aloft" }
//! fade = "0.3 s"
//! slow = "1.5 s"
//! after = "..."
//! ```
//!
//! What the numbers and names may be is the business of the crate `mix`; here they only get a
//! place in the text.

mod condition;

use measure::{Dimension, Fault, Stick};
use mix::{Blend, Follower, Lead, Mix, MixError, Program, Rate, RateSet, Shape};

use crate::reader::{Item, Read, Reported, Says, Table, Tolerance, Wanted, did_you_mean, read_source};
use crate::report::{Checked, Report};
use crate::source::Source;

const KEYS: &[&str] = &["name", "rates", "blend"];
const RATE_SET: &[&str] = &["aileron", "elevator", "rudder"];
const RATE: &[&str] = &["throw", "expo"];
const BLEND: &[&str] = &[
    "name", "from", "to", "left", "right", "down", "up", "full", "curve", "engaged", "fade", "slow", "after",
];
const LEVER: &[&str] = &["lever"];
const SHARES: [&str; 5] = ["left", "right", "down", "up", "full"];

/// Percent of any size: `mix` knows the limits.
const SHARE: Wanted = Wanted {
    dimension: Dimension::Share,
    least: f64::NEG_INFINITY,
    most: f64::INFINITY,
    tolerance: Tolerance::Plain(0.0),
};
const TIME: Wanted =
    Wanted { dimension: Dimension::Time, least: 0.0, most: 60.0, tolerance: Tolerance::Plain(0.0) };

const STICKS: [(&str, Stick); 4] = [
    (Stick::Aileron.word(), Stick::Aileron),
    (Stick::Elevator.word(), Stick::Elevator),
    (Stick::Rudder.word(), Stick::Rudder),
    (Stick::Throttle.word(), Stick::Throttle),
];

/// Reads a mix file and has it checked by [`mix::Program`].
///
/// # Errors
/// All faults of the file at once.
pub fn read_mix(source: Source) -> Result<Checked<Mix>, Report> {
    read_source(source, |file| read_root(&file.table(KEYS)?))
}

fn read_root(root: &Table<'_>) -> Read<Mix> {
    let name = root.text("name", "Larkspur, club set-up");
    let rates = root.get("rates").map_or(Ok(Vec::new()), |item| rate_sets(&item));
    let items = root.get("blend").map_or(Ok(Vec::new()), |list| list.list());
    let blends: Vec<_> = items.iter().flatten().map(|item| (item.clone(), blend(item))).collect();

    let read: Vec<_> = blends.iter().filter_map(|(item, blend)| Some((item, blend.as_ref().ok()?))).collect();
    let all_read = items.is_ok() && rates.is_ok() && read.len() == blends.len();
    let mix = Mix {
        name: name.clone().unwrap_or_default(),
        rates: rates.unwrap_or_default(),
        blends: read.iter().map(|(_, blend)| (*blend).clone()).collect(),
    };
    let places: Vec<&Item<'_>> = read.into_iter().map(|(item, _)| item).collect();
    check(root, &mix, &places, all_read);
    name?;
    if all_read { Ok(mix) } else { Err(Reported) }
}

/// Lets `mix` check what could be read, and gives its faults their places. Where a part could not
/// be read, names that seem unknown may be in it: no word about them then.
fn check(root: &Table<'_>, mix: &Mix, blends: &[&Item<'_>], all_read: bool) {
    let errors = Program::try_from(mix).err().unwrap_or_default();
    for error in errors.iter().filter(|error| all_read || !about_names(error)) {
        let item = match error.blend().and_then(|index| blends.get(index)) {
            Some(blend) => place_in_blend(blend, error),
            None => place_in_rates(root, error),
        };
        let Fault { found, allowed, next, .. } = error.fault(item.span);
        let next = near_name(error).unwrap_or(next);
        item.fault(Says { found, allowed, next });
    }
}

fn near_name(error: &MixError) -> Option<String> {
    match error {
        MixError::UnknownRates { found, known, .. } | MixError::UnknownAfter { found, known, .. } => {
            did_you_mean(found, known.iter().map(String::as_str))
        }
        _ => None,
    }
}

const fn about_names(error: &MixError) -> bool {
    matches!(
        error,
        MixError::UnknownRates { .. }
            | MixError::UnknownAfter { .. }
            | MixError::AfterElsewhere { .. }
            | MixError::Loop { .. }
    )
}

fn place_in_blend<'d>(blend: &Item<'d>, error: &MixError) -> Item<'d> {
    let place = match error {
        MixError::Share { found, .. } => share_place(blend, *found),
        _ => blend.child(error.key()),
    };
    place.unwrap_or_else(|| blend.clone())
}

/// The key with this share, or the curve.
fn share_place<'d>(blend: &Item<'d>, found: f64) -> Option<Item<'d>> {
    let holds = |item: &Item<'_>| {
        item.as_str()
            .and_then(|text| measure::quantity::parse(text, Dimension::Share).ok())
            .is_some_and(|share| share.value.to_bits() == found.to_bits())
    };
    SHARES.iter().filter_map(|key| blend.child(key)).find(holds).or_else(|| blend.child("curve"))
}

fn place_in_rates<'d>(root: &Table<'d>, error: &MixError) -> Item<'d> {
    let mut place = root.item.clone();
    let path = match error {
        MixError::Rate { rates, stick, .. } => vec!["rates", rates, stick.word(), error.key()],
        MixError::DuplicateRates { name } => vec!["rates", name],
        _ => vec!["rates"],
    };
    for key in path {
        place = place.child(key).unwrap_or(place);
    }
    place
}

fn rate_sets(item: &Item<'_>) -> Read<Vec<RateSet>> {
    let sets = item.names("sets of rates, each under a heading such as [rates.aloft]")?;
    let read: Vec<_> = sets.iter().map(|(name, set)| rate_set(name, set)).collect();
    read.into_iter().collect()
}

fn rate_set(name: &str, item: &Item<'_>) -> Read<RateSet> {
    let table = item.table(RATE_SET)?;
    let [aileron, elevator, rudder] = ["aileron", "elevator", "rudder"].map(|stick| rate(&table, stick));
    Ok(RateSet { name: name.to_owned(), sticks: [aileron?, elevator?, rudder?] })
}

fn rate(set: &Table<'_>, stick: &str) -> Read<Rate> {
    let Some(item) = set.get(stick) else { return Ok(Rate { throw: 1.0, expo: 0.0 }) };
    let table = item.table(RATE)?;
    let throw = share_or(&table, "throw", 1.0);
    let expo = share_or(&table, "expo", 0.0);
    Ok(Rate { throw: throw?, expo: expo? })
}

fn share_or(table: &Table<'_>, key: &str, default: f64) -> Read<f64> {
    table.quantity_or(key, SHARE, default.into()).map(|share| share.value)
}

fn blend(item: &Item<'_>) -> Read<Blend> {
    let table = item.table(BLEND)?;
    let name = table.text("name", "knife-edge pitch");
    let from =
        table.need("from", "a stick, or { lever = \"...\" }", "\"rudder\"").and_then(|item| lead(&item));
    let to = table.choice("to", &Follower::ALL.map(|follower| (follower.word(), follower)));
    // Which keys a blend has depends on its lead.
    let shape = from.as_ref().map_err(|e| *e).and_then(|lead| shape(&table, lead));
    let engaged = condition::engaged(&table);
    let fade = table.quantity_or("fade", TIME, 0.0.into());
    let slow = table.quantity_or("slow", TIME, 0.0.into());
    let after = table.get("after").map(|item| item.text()).transpose();
    Ok(Blend {
        name: name?,
        from: from?,
        to: to?,
        shape: shape?,
        engaged: engaged?,
        fade: fade?.value,
        slow: slow?.value,
        after: after?,
    })
}

fn lead(item: &Item<'_>) -> Read<Lead> {
    if item.is_table() {
        return item.table(LEVER)?.text("lever", "spare 1").map(Lead::Lever);
    }
    if let Some(word) = item.as_str().filter(|word| matches!(*word, "flap" | "crow" | "brake" | "door")) {
        return Err(item.fault(Says::new(
            format!("\"{word}\", a lever"),
            "a stick in quotes, or a lever in a table",
            format!("write it like {{ lever = \"{word}\" }}"),
        )));
    }
    item.choice(&STICKS).map(Lead::Stick)
}

/// The keys for the two sides of a lead; one-sided leads have only the second.
const fn sides(lead: &Lead) -> (Option<&'static str>, &'static str) {
    match lead {
        Lead::Stick(Stick::Aileron | Stick::Rudder) => (Some("left"), "right"),
        Lead::Stick(Stick::Elevator) => (Some("down"), "up"),
        Lead::Stick(Stick::Throttle) | Lead::Lever(_) => (None, "full"),
    }
}

fn shape(table: &Table<'_>, lead: &Lead) -> Read<Shape> {
    let (negative, positive) = sides(lead);
    let allowed = match negative {
        Some(negative) => format!("{negative} and {positive}, or a curve, for the lead \"{}\"", lead.word()),
        None => format!("{positive}, or a curve, for the lead \"{}\"", lead.word()),
    };
    let fits = |key: &str| Some(key) == negative || key == positive;
    let strangers = SHARES.iter().filter(|key| !fits(key)).filter_map(|key| table.get(key));
    let refused: Vec<_> = strangers
        .map(|item| {
            let key = item.path.rsplit('.').next().unwrap_or_default();
            let next = "use the keys that belong to this lead, or check the lead";
            item.fault(Says::new(format!("the key \"{key}\""), allowed.as_str(), next))
        })
        .collect();
    if !refused.is_empty() {
        return Err(Reported);
    }
    if let Some(curve) = table.get("curve") {
        return lone_curve(table, &curve, negative, positive, &allowed);
    }
    let example = "\"-3 %\"";
    let share = |key: &str| table.need(key, &allowed, example)?.quantity(SHARE).map(|share| share.value);
    let left = negative.map_or(Ok(0.0), share);
    let right = share(positive);
    Ok(Shape::TwoSided { left: left?, right: right? })
}

fn lone_curve(
    table: &Table<'_>,
    item: &Item<'_>,
    negative: Option<&str>,
    positive: &str,
    allowed: &str,
) -> Read<Shape> {
    let beside = negative.and_then(|key| table.get(key)).or_else(|| table.get(positive));
    match beside {
        None => curve(item),
        Some(share) => Err(share.fault(Says::new(
            format!("a share beside {}", item.name_and_line()),
            allowed,
            "keep the curve or the shares, not both",
        ))),
    }
}

fn curve(item: &Item<'_>) -> Read<Shape> {
    let read: Vec<_> = item.list()?.iter().map(point).collect();
    read.into_iter().collect::<Read<_>>().map(Shape::Curve)
}

fn point(item: &Item<'_>) -> Read<(f64, f64)> {
    let numbers = item.list()?;
    let [lead, follower] = numbers.as_slice() else {
        return Err(item.fault(Says::new(
            match numbers.len() {
                1 => "a point of a curve with one value".to_owned(),
                n => format!("a point of a curve with {n} values"),
            },
            "two: lead and follower",
            "write it like [\"25 %\", \"-3 %\"]",
        )));
    };
    let (lead, follower) = (lead.quantity(SHARE), follower.quantity(SHARE));
    Ok((lead?.value, follower?.value))
}
