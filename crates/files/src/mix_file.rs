//! Mix files: TOML to [`mix::Mix`]. The keys: [`MIX`] and the forms it names.
//!
//! What the numbers and names may be is the business of the crate `mix`; here they only get a
//! place in the text.

mod cautions;
mod condition;

use measure::{Dimension, Fault, Measured, Stick};
use mix::{Blend, Follower, Lead, Mix, MixError, Program, Rate, RateSet, Shape, Tuning};

use crate::filled::Filled;
use crate::form::{Accepts, Field, Form, words_of};
use crate::reader::{Item, Read, Reported, Says, Tolerance, Wanted, did_you_mean, read_source};
use crate::report::{Checked, Report};
use crate::source::Source;

pub(crate) static MIX: Form = Form::new(
    "mix",
    "what stands between the pilot's hand and the surfaces",
    &[
        Field::text("name", "\"Larkspur, club set-up\"", "what you call it"),
        Field::new(
            "rates",
            Accepts::Named(&RATE_SET),
            "sets of rates, one active at a time; the first at first",
        )
        .absent("100 %, no expo"),
        Field::new("blend", Accepts::Tables(&BLEND), "the blends; their order means nothing").absent("none"),
    ],
    &[],
);

static RATE_SET: Form = Form::new(
    "rates",
    "a set of rates",
    &[
        Field::new("aileron", Accepts::Table(&RATE), "of the aileron stick").absent("100 %, no expo"),
        Field::new("elevator", Accepts::Table(&RATE), "of the elevator stick").absent("100 %, no expo"),
        Field::new("rudder", Accepts::Table(&RATE), "of the rudder stick").absent("100 %, no expo"),
    ],
    &[],
);

static RATE: Form = Form::new(
    "rate",
    "throw and expo of one stick",
    &[
        Field::quantity("throw", THROW, "at full stick, of the surface's full throw")
            .or(Measured::exact(1.0))
            .advice("for more throw at full stick, set the linkage, not the rate"),
        Field::quantity("expo", EXPO, "+ softens the middle")
            .or(Measured::exact(0.0))
            .advice("below -50 % more stick would ask for less; + softens the middle"),
    ],
    &[],
);

static BLEND: Form = Form::new(
    "blend",
    "one control moves another a little; what most pilots call a mix",
    &[
        Field::text("name", "\"knife-edge pitch\"", "what you call it; each has its own"),
        Field::new("from", LEAD, "the lead, read after rates and expo"),
        Field::words("to", &FOLLOWER_WORDS, "the follower"),
        Field::quantity("left", SHARE, "at full left lead (aileron, rudder)").like(A_SHARE).absent(BY_LEAD),
        Field::quantity("right", SHARE, "at full right lead (aileron, rudder)").like(A_SHARE).absent(BY_LEAD),
        Field::quantity("down", SHARE, "at full down lead (elevator)").like(A_SHARE).absent(BY_LEAD),
        Field::quantity("up", SHARE, "at full up lead (elevator)").like(A_SHARE).absent(BY_LEAD),
        Field::quantity("full", SHARE, "at full lead (throttle, levers)").like(A_SHARE).absent(BY_LEAD),
        Field::new("curve", Accepts::Each(&POINT), "points of lead and follower, leads rising")
            .like("[[\"0 %\", \"-3 %\"], [\"100 %\", \"0 %\"]]")
            .absent(BY_LEAD),
        Field::new("engaged", condition::ENGAGED, "when it acts").absent("always"),
        Field::quantity("fade", TIME, "to come in and go out").or(Measured::exact(0.0)),
        Field::quantity("slow", TIME, "the follower takes through its whole travel").or(Measured::exact(0.0)),
        Field::new("tuned", Accepts::Table(&TUNED), "a spare lever that makes more or less of it in flight")
            .absent("as written"),
        Field::text(
            "after",
            "\"flap pitch\"",
            "a blend that moves this one's lead, and is then included in it",
        )
        .absent("blends do not read each other"),
    ],
    &[&["left", "right"], &["down", "up"], &["full"], &["curve"]],
);

static TUNED: Form = Form::new(
    "tuned",
    "the whole blend is multiplied by a factor; while no hand has moved the lever, the blend is as written",
    &[
        Field::text("lever", "\"spare 1\"", "a lever that nothing else follows"),
        Field::quantity("from", SHARE, "factor at one end of the lever").or(Measured::exact(0.0)),
        Field::quantity("to", SHARE, "factor at its other end").or(Measured::exact(2.0)),
    ],
    &[],
);

static LEVER: Form =
    Form::new("lever", "a lever by its name", &[Field::text("lever", "\"spare 1\"", "its name")], &[]);

const LEAD: Accepts = Accepts::Either(&[Accepts::Words(&STICK_WORDS), Accepts::Table(&LEVER)]);
static POINT: Accepts = Accepts::Tuple(&[Accepts::Quantity(LEAD_SHARE), Accepts::Quantity(SHARE)]);
const SHARES: [&str; 5] = ["left", "right", "down", "up", "full"];
const A_SHARE: &str = "\"-3 %\"";
const BY_LEAD: &str = "another of left and right, down and up, full, curve stands";

const fn share(least: f64, most: f64) -> Wanted {
    Wanted { dimension: Dimension::Share, least, most, tolerance: Tolerance::Plain(0.0) }
}

/// The limits are those of `mix`, which checks them.
const SHARE: Wanted = share(-mix::LARGEST_SHARE, mix::LARGEST_SHARE);
const LEAD_SHARE: Wanted = share(-1.0, 1.0);
const THROW: Wanted = share(0.0, 1.0);
const EXPO: Wanted = share(mix::EXPO_RANGE.0, mix::EXPO_RANGE.1);
const TIME: Wanted =
    Wanted { dimension: Dimension::Time, least: 0.0, most: 60.0, tolerance: Tolerance::Plain(0.0) };

const STICKS: [(&str, Stick); 4] = [
    (Stick::Aileron.word(), Stick::Aileron),
    (Stick::Elevator.word(), Stick::Elevator),
    (Stick::Rudder.word(), Stick::Rudder),
    (Stick::Throttle.word(), Stick::Throttle),
];
const STICK_WORDS: [&str; 4] = words_of(&STICKS);
const FOLLOWERS: [(&str, Follower); 7] = followers();
const FOLLOWER_WORDS: [&str; 7] = words_of(&FOLLOWERS);

const fn followers() -> [(&'static str, Follower); 7] {
    let mut pairs = [("", Follower::Aileron); 7];
    let mut i = 0;
    while i < pairs.len() {
        pairs[i] = (Follower::ALL[i].word(), Follower::ALL[i]);
        i += 1;
    }
    pairs
}

/// Reads a mix file and has it checked by [`mix::Program`].
///
/// # Errors
/// All faults of the file at once.
pub fn read_mix(source: Source) -> Result<Checked<Mix>, Report> {
    read_source(source, |file| read_root(&file.form(&MIX)?))
}

fn read_root(root: &Filled<'_>) -> Read<Mix> {
    let name = root.text("name");
    let rates = root.get("rates").map_or(Ok(Vec::new()), |item| rate_sets(&item));
    let items = root.items("blend");
    let blends: Vec<_> = items.iter().flatten().map(|item| (item.clone(), blend(item))).collect();

    let read: Vec<_> = blends.iter().filter_map(|(item, blend)| Some((item, blend.as_ref().ok()?))).collect();
    let all_read = items.is_ok() && rates.is_ok() && read.len() == blends.len();
    let mix = Mix {
        name: name.clone().unwrap_or_default(),
        rates: rates.unwrap_or_default(),
        blends: read.iter().map(|(_, blend)| (*blend).clone()).collect(),
    };
    let places: Vec<&Item<'_>> = read.into_iter().map(|(item, _)| item).collect();
    if check(root, &mix, &places, all_read) && all_read {
        cautions::report(&mix, &places);
    }
    name?;
    if all_read { Ok(mix) } else { Err(Reported) }
}

/// Lets `mix` check what could be read, and gives its faults their places. Where a part could not
/// be read, names that seem unknown may be in it: no word about them then. Returns whether it is
/// without fault.
fn check(root: &Filled<'_>, mix: &Mix, blends: &[&Item<'_>], all_read: bool) -> bool {
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
    errors.is_empty()
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

fn place_in_rates<'d>(root: &Filled<'d>, error: &MixError) -> Item<'d> {
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
    let table = item.form(&RATE_SET)?;
    let [aileron, elevator, rudder] = ["aileron", "elevator", "rudder"].map(|stick| rate(&table, stick));
    Ok(RateSet { name: name.to_owned(), sticks: [aileron?, elevator?, rudder?] })
}

fn rate(set: &Filled<'_>, stick: &str) -> Read<Rate> {
    let Some(table) = set.maybe_form(stick)? else { return Ok(Rate::FULL) };
    let throw = table.quantity("throw");
    let expo = table.quantity("expo");
    Ok(Rate { throw: throw?.value, expo: expo?.value })
}

fn blend(item: &Item<'_>) -> Read<Blend> {
    let table = item.form(&BLEND)?;
    let name = table.text("name");
    let from = table.need("from").and_then(|item| lead(&item));
    let to = table.choice("to", &FOLLOWERS);
    // Which keys a blend has depends on its lead.
    let shape = from.as_ref().map_err(|e| *e).and_then(|lead| shape(&table, lead));
    let engaged = condition::engaged(&table);
    let fade = table.quantity("fade");
    let slow = table.quantity("slow");
    let tuned = table.maybe_form("tuned").and_then(|given| given.map(|given| tuning(&given)).transpose());
    let after = table.maybe_text("after");
    Ok(Blend {
        name: name?,
        from: from?,
        to: to?,
        shape: shape?,
        engaged: engaged?,
        fade: fade?.value,
        slow: slow?.value,
        tuned: tuned?,
        after: after?,
    })
}

fn tuning(table: &Filled<'_>) -> Read<Tuning> {
    let lever = table.text("lever");
    let least = table.quantity("from");
    let most = table.quantity("to");
    Ok(Tuning { lever: lever?, least: least?.value, most: most?.value })
}

fn lead(item: &Item<'_>) -> Read<Lead> {
    if item.is_table() {
        return item.form(&LEVER)?.text("lever").map(Lead::Lever);
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

fn shape(table: &Filled<'_>, lead: &Lead) -> Read<Shape> {
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
    let share = |key: &str| match table.maybe_quantity(key)? {
        Some(share) => Ok(share.value),
        None => Err(table.missing(key, &allowed, format!("add it, such as {key} = {A_SHARE}"))),
    };
    let left = negative.map_or(Ok(0.0), share);
    let right = share(positive);
    Ok(Shape::TwoSided { left: left?, right: right? })
}

fn lone_curve(
    table: &Filled<'_>,
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
    let (lead, follower) = (lead.quantity(LEAD_SHARE), follower.quantity(SHARE));
    Ok((lead?.value, follower?.value))
}
