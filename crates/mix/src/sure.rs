//! What can be said of a condition when only the set of rates is known.

use crate::Condition;

impl Condition {
    /// Whether it holds under this set of rates, wherever sticks, levers and switches stand.
    #[must_use]
    pub fn is_sure_under(&self, rates: &str) -> bool {
        self.verdict(rates) == Some(true)
    }

    /// `None` where sticks, levers or switches decide.
    fn verdict(&self, rates: &str) -> Option<bool> {
        match self {
            Self::Always => Some(true),
            Self::Rates(name) => Some(name == rates),
            Self::Not(condition) => condition.verdict(rates).map(|holds| !holds),
            Self::All(members) => joined(members, rates, false),
            Self::Any(members) => joined(members, rates, true),
            Self::Switch { .. }
            | Self::LeverAbove { .. }
            | Self::LeverBelow { .. }
            | Self::StickAbove { .. }
            | Self::StickBelow { .. } => None,
        }
    }
}

/// One member with the verdict that `decides` is enough; otherwise all must have the other.
fn joined(members: &[Condition], rates: &str, decides: bool) -> Option<bool> {
    let verdicts: Vec<_> = members.iter().map(|member| member.verdict(rates)).collect();
    if verdicts.contains(&Some(decides)) {
        return Some(decides);
    }
    verdicts.iter().all(|verdict| *verdict == Some(!decides)).then_some(!decides)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn switches_leave_it_open_unless_something_else_decides() {
        let rates = |name: &str| Condition::Rates(name.into());
        let switch = Condition::Switch { name: "spin".into(), is: "on".into() };
        assert!(Condition::Always.is_sure_under("landing"));
        assert!(!rates("aloft").is_sure_under("landing"));
        assert!(Condition::Not(Box::new(rates("aloft"))).is_sure_under("landing"));
        assert!(!switch.is_sure_under("landing"));
        assert!(!Condition::Not(Box::new(switch.clone())).is_sure_under("landing"));
        assert!(Condition::Any(vec![switch.clone(), rates("landing")]).is_sure_under("landing"));
        assert!(!Condition::All(vec![switch.clone(), rates("landing")]).is_sure_under("landing"));
        let never = Condition::All(vec![switch, rates("aloft")]);
        assert!(Condition::Not(Box::new(never)).is_sure_under("landing"));
    }
}
