//! What a mix may say but seldom means.

use measure::Stick;
use mix::{Blend, Condition, Follower, Lead, Mix, RateSet, Shape};

use crate::reader::{Item, Says, clean, shown};

/// Looks at every blend with the place where it stands.
pub(super) fn report(mix: &Mix, blends: &[&Item<'_>]) {
    for (blend, item) in mix.blends.iter().zip(blends) {
        moves_itself(blend, item);
        more_than_all(blend, item);
        same_way(blend, item);
        on_for_landing(blend, &mix.rates, item);
    }
}

/// The place of a key, or of the blend where it is not given.
fn at<'d>(item: &Item<'d>, key: &str) -> Item<'d> {
    item.child(key).unwrap_or_else(|| item.clone())
}

fn moves_itself(blend: &Blend, item: &Item<'_>) {
    if blend.to.direct_lead().as_ref() == Some(&blend.from) {
        at(item, "to").caution(Says::new(
            format!("the {0} moving the {0}", blend.from.word()),
            "any follower; a blend is there to move another control",
            "for more or less throw set rates or the linkage; check from and to",
        ));
    }
}

fn more_than_all(blend: &Blend, item: &Item<'_>) {
    let (key, largest) = largest(blend);
    if largest.abs() > 1.0 {
        let stop = shown(measure::Dimension::Share, (100.0 / largest.abs()).round() / 100.0);
        let words = match blend.shape {
            Shape::TwoSided { .. } => format!(", at its stop from {stop} of the lead on"),
            Shape::Curve(_) => String::new(),
        };
        at(item, key).caution(Says::new(
            format!(
                "{} of the {}'s throw{words}",
                shown(measure::Dimension::Share, largest),
                blend.to.word()
            ),
            "-1000 % to 1000 %; beyond 100 % the follower is at its stop",
            "check its decimal point: most blends are a few percent",
        ));
    }
}

/// What a rudder or an aileron does to roll or yaw turns over with its side, and what a rudder does to
/// pitch does not. Small ones may be the propeller's doing.
fn same_way(blend: &Blend, item: &Item<'_>) {
    const SMALL: f64 = 0.03;
    let (Lead::Stick(lead @ (Stick::Aileron | Stick::Rudder)), Shape::TwoSided { left, right }) =
        (&blend.from, &blend.shape)
    else {
        return;
    };
    if left.abs().min(right.abs()) < SMALL {
        return;
    }
    let together = left * right > 0.0;
    let (one, usual) = match (lead, blend.to, together) {
        (Stick::Rudder, Follower::Aileron, true) | (Stick::Aileron, Follower::Rudder, true) => (
            "the same way",
            "one sign for left, the other for right: what is disturbed turns over with the side",
        ),
        (Stick::Rudder, Follower::Elevator, false) => {
            ("up on one side and down on the other", "the same sign on both sides")
        }
        _ => return,
    };
    at(item, "right").caution(Says::new(
        format!("left and right {} moving the {} {one}", lead.word(), blend.to.word()),
        format!("any; usual is {usual}"),
        "check the signs: + is right aileron, up elevator, right rudder; leave it if it was found so",
    ));
}

/// The largest follower value, and the key at which it stands.
fn largest(blend: &Blend) -> (&'static str, f64) {
    let (negative, positive) = super::sides(&blend.from);
    match &blend.shape {
        Shape::TwoSided { left, right } if left.abs() > right.abs() => (negative.unwrap_or(positive), *left),
        Shape::TwoSided { right, .. } => (positive, *right),
        Shape::Curve(points) => {
            let larger =
                |most: f64, &(_, share): &(f64, f64)| if share.abs() > most.abs() { share } else { most };
            ("curve", points.iter().fold(0.0, larger))
        }
    }
}

/// A blend that helps aloft may hurt near the ground, and nobody wants to find that out there.
fn on_for_landing(blend: &Blend, rates: &[RateSet], item: &Item<'_>) {
    let Lead::Stick(stick) = &blend.from else { return }; // flap and crow levers are made for it
    let (landing, aloft): (Vec<_>, Vec<_>) = rates.iter().partition(|set| is_for_landing(&set.name));
    let on = |sets: &[&RateSet]| sets.iter().any(|set| blend.engaged.is_sure_under(&set.name));
    let Some(set) = landing.iter().find(|set| blend.engaged.is_sure_under(&set.name)) else { return };
    if on(&aloft) {
        at(item, "engaged").caution(Says::new(
            format!("a blend that also acts under the rates \"{}\"", clean(&set.name)),
            "any; most blends from a stick are switched off for the landing",
            format!("{}; leave it if it is meant", without_landing(*stick, &blend.engaged, &aloft)),
        ));
    }
}

fn is_for_landing(name: &str) -> bool {
    let name = name.to_lowercase();
    ["land", "approach"].iter().any(|word| name.contains(word))
}

fn without_landing(stick: Stick, engaged: &Condition, aloft: &[&RateSet]) -> String {
    match (engaged, aloft) {
        (Condition::Always, [only]) => {
            format!("write engaged = {{ rates = \"{}\" }}", clean(&only.name))
        }
        _ => format!("keep the {}'s blend out of that set of rates, or put it on a switch", stick.word()),
    }
}
