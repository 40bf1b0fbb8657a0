use toml::de::DeTable;

use crate::airframe_file::AIRFRAME;
use crate::form::Form;
use crate::mix_file::MIX;
use crate::scenario_file::SCENARIO;
use crate::source::Source;

/// What a file is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// A model as measured.
    Airframe,
    /// What stands between the pilot's hand and the surfaces.
    Mix,
    /// A manoeuvre and what is asked of it.
    Scenario,
}

/// Keys that only files of one kind have.
const MARKS: [(&str, Kind); 9] = [
    ("panel", Kind::Airframe),
    ("mass", Kind::Airframe),
    ("body", Kind::Airframe),
    ("motor", Kind::Airframe),
    ("blend", Kind::Mix),
    ("rates", Kind::Mix),
    ("leg", Kind::Scenario),
    ("start", Kind::Scenario),
    ("about", Kind::Scenario),
];

impl Kind {
    /// The word in messages.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Airframe => "airframe",
            Self::Mix => "mix",
            Self::Scenario => "scenario",
        }
    }

    /// `"an airframe"`.
    #[must_use]
    pub const fn with_article(self) -> &'static str {
        match self {
            Self::Airframe => "an airframe",
            Self::Mix => "a mix",
            Self::Scenario => "a scenario",
        }
    }

    /// Everything that may stand in such a file.
    pub(crate) fn form(self) -> &'static Form {
        match self {
            Self::Airframe => &AIRFRAME,
            Self::Mix => &MIX,
            Self::Scenario => &SCENARIO,
        }
    }

    /// All kinds.
    pub const ALL: [Self; 3] = [Self::Airframe, Self::Mix, Self::Scenario];

    /// What a text seems to be, by the keys it has most of; `None` if it has none of them. A
    /// scenario may name its rates, a mix has no legs.
    #[must_use]
    pub fn of(source: &Source) -> Option<Self> {
        let (tree, _) = DeTable::parse_recoverable(source.text());
        let count = |kind: Self| {
            MARKS.iter().filter(|(key, of)| *of == kind && tree.get_ref().contains_key(*key)).count()
        };
        [Self::Airframe, Self::Scenario, Self::Mix]
            .into_iter()
            .map(|kind| (count(kind), kind))
            .reduce(|best, next| if next.0 > best.0 { next } else { best })
            .filter(|(found, _)| *found > 0)
            .map(|(_, kind)| kind)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo::demo_names;
    use crate::find::find;

    #[test]
    #[allow(clippy::unwrap_used, reason = "a test")]
    fn demo_files_are_what_they_are() {
        for kind in [Kind::Airframe, Kind::Mix, Kind::Scenario] {
            for name in demo_names(kind) {
                assert_eq!(Kind::of(&find(kind, name).unwrap()), Some(kind), "{name}");
            }
        }
        assert_eq!(Kind::of(&Source::new("x", "colour = \"red\"")), None);
        assert_eq!(Kind::of(&Source::new("x", "rates = \"aloft\"\n[start]\n[[leg]]")), Some(Kind::Scenario));
        assert_eq!(
            Kind::of(&Source::new("x", "[[panel]\nmass = 5")),
            Some(Kind::Airframe),
            "broken lines and all"
        );
    }
}
