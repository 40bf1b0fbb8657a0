//! An explanation in a pilot's words.

use crate::explain::{Cure, Effort, Explained, Origin};
use crate::find::{FLOOR, share_words};
use airframe::Part;
use mix::Follower;

/// Cures told of each kind.
const TOLD: usize = 4;
/// A part is worth a word from this share of the whole on.
const TELLING: f64 = 0.15;
/// Rows below this share of the largest are summed up.
const SMALL: f64 = 0.02;

impl Explained {
    /// `Foxglove, knife-edge roll, right rudder, 25 m/s: at full lead the aileron must go 19 % left.`
    #[must_use]
    pub fn sentence(&self) -> String {
        let manoeuvre = self.coupling.manoeuvre;
        let lead = manoeuvre.lead();
        let side = if manoeuvre.two_sided() {
            format!(", {} {}", self.side.word(), lead.word())
        } else {
            String::new()
        };
        let needs = share_words(self.coupling.follower, half(self.needed));
        let cause = self.most().map_or(String::new(), |most| format!("; {most}"));
        format!(
            "{}, {}{side}, {:.0} m/s: per full {} the {} needs {needs}{cause}.",
            self.airframe,
            self.coupling.name(),
            self.speed,
            lead.word(),
            self.coupling.follower.word()
        )
    }

    /// The parts that make it, two at most, and the one that takes back a good part of it.
    fn most(&self) -> Option<String> {
        let mut parts: Vec<(Part, f64)> = Part::ALL.map(|p| (p, self.shares.part(p))).into();
        parts.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
        let told = |&(part, share): &(Part, f64)| format!("the {} ({})", part.word(), self.share(share));
        let makes: Vec<String> = parts
            .iter()
            .filter(|p| p.1 * self.needed > 0.0 && p.1.abs() > TELLING * self.needed.abs())
            .take(2)
            .map(told)
            .collect();
        let against =
            parts.iter().find(|p| p.1 * self.needed < 0.0 && p.1.abs() > TELLING * self.needed.abs());
        let against = against.map_or(String::new(), |p| format!("; against it works {}", told(p)));
        (!makes.is_empty()).then(|| format!("what asks for it is {}{against}", makes.join(" and ")))
    }

    /// Everything as text for a terminal.
    #[must_use]
    pub fn words(&self) -> String {
        let mut text = format!("{}\n\n{}\n{}\n", self.sentence(), self.by_cause(), self.by_part());
        text += &self.cure_words();
        text + &self.where_one_percentage_fails()
    }

    fn share(&self, share: f64) -> String {
        share_words(self.coupling.follower, half(share))
    }

    fn by_cause(&self) -> String {
        let mut rows: Vec<(Origin, f64)> = Origin::all().map(|o| (o, self.shares.origin(o))).collect();
        rows.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
        let least = SMALL * rows.first().map_or(0.0, |r| r.1.abs());
        let mut text = format!("By cause, % of {} {}\n", self.coupling.follower.word(), self.plus());
        for &(origin, share) in rows.iter().filter(|r| r.1.abs() > least) {
            let mut parts: Vec<(Part, f64)> = Part::ALL.map(|p| (p, self.shares.of(origin, p))).into();
            parts.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
            let named = parts.iter().take(3).filter(|p| p.1.abs() > least.max(0.0005));
            let named: Vec<String> = named.map(|(p, s)| format!("{} {}", p.word(), number(*s))).collect();
            text += &format!("  {:<34}{:>7}   {}\n", origin.words(), number(share), named.join(", "));
        }
        let rest: f64 = rows.iter().filter(|r| r.1.abs() <= least).map(|r| r.1).sum();
        if rest != 0.0 {
            text += &format!("  {:<34}{:>7}\n", "the rest", number(rest));
        }
        text + &format!("  {:<34}{:>7}\n", "together", number(self.needed))
    }

    fn by_part(&self) -> String {
        let mut rows: Vec<(Part, f64)> = Part::ALL.map(|p| (p, self.shares.part(p))).into();
        rows.retain(|r| r.1 != 0.0);
        rows.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
        let told: Vec<String> = rows.iter().map(|(p, s)| format!("{} {}", p.word(), number(*s))).collect();
        format!("By part: {}.\n", told.join(", "))
    }

    /// `(+ right)`.
    fn plus(&self) -> &'static str {
        match self.coupling.follower {
            Follower::Elevator => "(+ up)",
            _ => "(+ right)",
        }
    }

    /// What to change on the model instead, a line each.
    #[must_use]
    pub fn cure_words(&self) -> String {
        let mut text = "What to change on the model instead\n".to_owned();
        for (effort, title) in
            [(Effort::Evening, "an evening at the bench"), (Effort::NextModel, "for the next model")]
        {
            text += &format!("  {title}:\n");
            let mut any = false;
            for cure in self.cures.iter().filter(|c| c.effort == effort).take(TOLD) {
                any = true;
                text += &format!("    {}\n", self.cure(cure));
            }
            if !any {
                text += "    nothing that helps by more than a third of a percent\n";
            }
        }
        text
    }

    fn cure(&self, cure: &Cure) -> String {
        let mut text = format!(
            "{} takes {} of the {} %",
            cure.words,
            number(cure.takes).trim_start_matches('+'),
            number(self.needed.abs()).trim_start_matches('+')
        );
        if let Some((before, after)) = cure.margin {
            text += &format!(
                "; static margin from {:.0} to {:.0} % of the mean chord",
                100.0 * before,
                100.0 * after
            );
            if after <= 0.0 {
                text += ", which is tail-heavy: do not";
            }
        }
        let told: Vec<String> = cure
            .disturbs
            .iter()
            .take(3)
            .map(|e| format!("{} from {} to {} %", e.coupling.name(), number(e.before), number(e.after)))
            .collect();
        if told.is_empty() { text } else { format!("{text}; also {}", told.join(", ")) }
    }

    /// How the need moves with speed, throttle, flap and lead: where one percentage cannot serve.
    fn where_one_percentage_fails(&self) -> String {
        let whole = |value: f64| format!("{:.0} %", 100.0 * value);
        let lists = [
            ("speed", &self.by_speed, &(|v: f64| format!("{v:.0} m/s")) as &dyn Fn(f64) -> String),
            ("throttle", &self.by_throttle, &whole),
            ("flap", &self.by_flap, &whole),
        ];
        let mut text = String::new();
        for (what, list, at) in lists {
            if list.len() > 1 {
                let rows: Vec<String> =
                    list.iter().map(|(v, s)| format!("{} {}", at(*v), self.share(*s))).collect();
                let (least, most) = ends(list.iter().map(|r| r.1));
                let serves = match () {
                    () if least * most < 0.0 && most - least > FLOOR => {
                        "one percentage is right here and wrong there"
                    }
                    () if most - least > FLOOR => "one percentage is a compromise",
                    () => "one percentage serves",
                };
                text += &format!("By {what}: {}: {serves}.\n", rows.join(", "));
            }
        }
        if self.along.len() > 1 {
            let rows: Vec<String> =
                self.along.iter().map(|(lead, s)| format!("{} {}", whole(*lead), self.share(*s))).collect();
            text += &format!(
                "Along the lead ({}; what is needed there, not per full lead): {}.\n",
                self.coupling.manoeuvre.lead().word(),
                rows.join(", ")
            );
        }
        if text.is_empty() { text } else { format!("Where one percentage cannot serve\n{}", indented(&text)) }
    }
}

fn indented(text: &str) -> String {
    text.lines().map(|line| format!("  {line}\n")).collect()
}

fn ends(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)))
}

/// In steps of half a percent.
fn half(share: f64) -> f64 {
    (200.0 * share).round() / 200.0
}

/// Percent with its sign; 0 has none.
fn number(share: f64) -> String {
    let percent = (1000.0 * share).round() / 10.0;
    if percent == 0.0 { "0".to_owned() } else { format!("{percent:+.1}") }
}
