//! Signs in words, units always.

use measure::{DEG, Stick};
use mix::{Condition, Follower, Lead};
use report::signed::decimal;

/// What plus and minus mean for a follower.
#[must_use]
pub(crate) const fn senses(follower: Follower) -> (&'static str, &'static str) {
    match follower {
        Follower::Elevator => ("up", "down"),
        Follower::Aileron | Follower::Rudder => ("right", "left"),
        Follower::Throttle => ("more", "less"),
        Follower::Flap | Follower::AileronsTogether => ("down", "up"),
        Follower::Door => ("open", "shut"),
    }
}

/// Size and direction of a share: `"5.5 % up"`; tenths below 10.
#[must_use]
pub(crate) fn percent(share: f64, (plus, minus): (&str, &str)) -> String {
    let size = 100.0 * share.abs();
    let number = decimal(size, usize::from(size < 9.95));
    match number.as_str() {
        "0" | "0.0" => "0 %".to_owned(),
        _ => format!("{number} % {}", if share > 0.0 { plus } else { minus }),
    }
}

/// What somebody typed as a percentage with a direction: `"5.5 % up"`, `"3 down"`, `"-3"`. In percent.
#[must_use]
pub(crate) fn read_percent(text: &str, (_, minus): (&str, &str)) -> Option<f64> {
    let number: String = text.chars().filter(|c| c.is_ascii_digit() || ".-−".contains(*c)).collect();
    let value: f64 = number.replace('−', "-").parse().ok()?;
    Some(if text.contains(minus) { -value.abs() } else { value })
}

/// Size and direction of an angle \[rad\]: `"12 deg towards the gear"`.
#[must_use]
pub(crate) fn angle(angle: f64, decimals: usize, (plus, minus): (&str, &str)) -> String {
    let number = decimal(angle.abs() / DEG, decimals);
    if number.chars().all(|c| "0.".contains(c)) {
        return format!("{number} deg");
    }
    format!("{number} deg {}", if angle > 0.0 { plus } else { minus })
}

/// The two ends of a lead, as a pilot calls them: lower, upper.
#[must_use]
pub(crate) fn ends(lead: &Lead) -> (String, String) {
    match lead {
        Lead::Stick(Stick::Elevator) => ("full down elevator".into(), "full up elevator".into()),
        Lead::Stick(Stick::Throttle) => ("idle".into(), "full throttle".into()),
        Lead::Stick(stick) => (format!("full left {}", stick.word()), format!("full right {}", stick.word())),
        Lead::Lever(name) => (format!("{name} at 0"), format!("{name} at 100 %")),
    }
}

/// When a blend acts.
#[must_use]
pub(crate) fn condition(condition: &Condition) -> String {
    let list =
        |items: &[Condition], and: &str| items.iter().map(self::condition).collect::<Vec<_>>().join(and);
    let at = |share: &f64| decimal(100.0 * share, 0);
    match condition {
        Condition::Always => "always".to_owned(),
        Condition::Rates(name) => format!("under rates \"{name}\""),
        Condition::Switch { name, is } => format!("switch \"{name}\" {is}"),
        Condition::LeverAbove { name, threshold } => format!("{name} above {} %", at(threshold)),
        Condition::LeverBelow { name, threshold } => format!("{name} below {} %", at(threshold)),
        Condition::StickAbove { stick, threshold } => format!("{} above {} %", stick.word(), at(threshold)),
        Condition::StickBelow { stick, threshold } => format!("{} below {} %", stick.word(), at(threshold)),
        Condition::All(items) => list(items, ", and "),
        Condition::Any(items) => list(items, ", or "),
        Condition::Not(inner) => format!("not ({})", self::condition(inner)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn percentages_are_read_as_they_are_written() {
        let up_down = senses(Follower::Elevator);
        for share in [0.055, -0.03, 0.19, -1.2, 0.0] {
            let text = percent(share, up_down);
            let back = read_percent(&text, up_down).unwrap() / 100.0;
            assert!((back - share).abs() < 1e-9, "{share}: {text}");
        }
        assert_eq!(percent(-0.03, up_down), "3.0 % down");
        assert_eq!(percent(0.0001, up_down), "0 %", "what rounds to nothing has no direction");
        assert_eq!(read_percent("-3", up_down), Some(-3.0));
        assert_eq!(read_percent("3 down", up_down), Some(-3.0));
        assert_eq!(read_percent("up", up_down), None);
    }

    #[test]
    fn conditions_read_as_a_pilot_would_say_them() {
        let aloft = Condition::Rates("aloft".into());
        let low = Condition::StickBelow { stick: Stick::Throttle, threshold: 0.25 };
        let said = condition(&Condition::All(vec![aloft, Condition::Not(Box::new(low))]));
        assert_eq!(said, "under rates \"aloft\", and not (throttle below 25 %)");
    }
}
