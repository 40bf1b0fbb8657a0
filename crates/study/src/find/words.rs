//! What was found, in a pilot's words. The pair of measured movements first, then the percentage,
//! then where it holds.

use crate::find::coupling::Manoeuvre;
use crate::find::fit::Form;
use crate::find::found::{FLOOR, Findings, Found, SideFound, Verdict};
use crate::find::movement::Movement;
use crate::find::proof::{CORRECTED, Proof};
use measure::{DEG, Side};
use mix::Follower;

/// Said where the direction is not certain.
pub const NOT_CERTAIN: &str = "direction not certain: fly without it and note which way it bends";

/// Rolled this far in two seconds, a model shows no bend that could be judged \[rad\] (judgement).
const MASKS: f64 = 20.0 * DEG;

impl Verdict {
    /// What to do.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::NoPose => "no such pose within reach of the controls: nothing is advised",
            Self::LeaveIt => "leave it: slop swallows it",
            Self::Unsure => NOT_CERTAIN,
            Self::Blend => "a blend serves",
            Self::CauseFirst => "look for a mechanical cause first",
        }
    }
}

impl Form {
    /// `one percentage`.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::One => "one percentage",
            Self::PerSide => "one percentage per side",
            Self::Curve => "curve",
        }
    }
}

/// `4.5 % up`: the size of a share, and which way.
#[must_use]
pub fn share_words(follower: Follower, share: f64) -> String {
    let percent = 100.0 * share.abs();
    let whole = (percent - percent.round()).abs() < 0.05 || percent >= 20.0;
    let number = if whole { format!("{percent:.0}") } else { format!("{percent:.1}") };
    if share == 0.0 { "0 %".to_owned() } else { format!("{number} % {}", way(follower, share)) }
}

/// Which way a follower moves: `up`.
#[must_use]
pub const fn way(follower: Follower, share: f64) -> &'static str {
    match (follower, share > 0.0) {
        (Follower::Elevator, true) => "up",
        (Follower::Elevator, false) | (Follower::Flap | Follower::AileronsTogether, true) => "down",
        (Follower::Flap | Follower::AileronsTogether, false) => "up",
        (Follower::Aileron | Follower::Rudder, true) => "right",
        (Follower::Aileron | Follower::Rudder, false) => "left",
        (_, true) => "more",
        (_, false) => "less",
    }
}

impl Findings {
    /// Everything, a paragraph per coupling.
    #[must_use]
    pub fn words(&self) -> String {
        let mut text = format!(
            "{}: every zero is where it flies hands off at {:.0} m/s.\n",
            self.airframe, self.trimmed_speed
        );
        for found in &self.found {
            text += &format!("\n{}", found.words());
            if let Some(roll) = self.masking(found) {
                text += &format!(
                    "  Settle \"{roll}\" first: left alone it rolls too far for this to be judged.\n"
                );
            }
        }
        if let Some(share) = self.inverted {
            text += &format!(
                "\nUpside down and level the elevator stands {} from trimmed flight; no lead says that it is upside down, so that \
                 is the pilot's hand, not a blend.\n",
                share_words(Follower::Elevator, share)
            );
        }
        text
    }

    /// The roll coupling of the same manoeuvre that hides this one.
    fn masking(&self, found: &Found) -> Option<String> {
        let pitch = matches!(found.coupling.follower, Follower::Elevator | Follower::Rudder);
        let same = self.found.iter().find(|f| {
            pitch
                && f.coupling.manoeuvre == found.coupling.manoeuvre
                && f.coupling.follower == Follower::Aileron
        })?;
        (same.left_over?.nothing > MASKS).then(|| same.coupling.name())
    }
}

impl Found {
    /// One paragraph.
    #[must_use]
    pub fn words(&self) -> String {
        let (lead, follower) = (self.coupling.manoeuvre.lead(), self.coupling.follower);
        let mut text = format!(
            "{} ({} -> {}), {}\n",
            self.coupling.name(),
            lead.word(),
            follower.word(),
            self.coupling.manoeuvre.words()
        );
        let told = matches!(self.verdict, Verdict::Blend | Verdict::CauseFirst);
        if told {
            for side in [Side::Left, Side::Right] {
                text += &self.pair(side);
            }
        }
        text += &format!("  {}\n", self.advice());
        if told {
            text += &self.where_it_holds();
        }
        text
    }

    fn advice(&self) -> String {
        let mut text = self.verdict.words().to_owned();
        if let (Verdict::CauseFirst, Some(cause)) = (self.verdict, &self.cause) {
            text += &format!(": the likeliest is {cause}");
        }
        if matches!(self.verdict, Verdict::Unsure | Verdict::LeaveIt) {
            let sides = self.sides.iter().flatten().filter_map(|s| s.sure);
            let least = sides.map(|s| s.direction).fold(f64::INFINITY, f64::min);
            if self.verdict == Verdict::Unsure && least.is_finite() {
                text += &format!(" ({:.0} % of the draws agree on it)", 100.0 * least);
            }
        }
        text
    }

    /// `rudder trailing edge 70 mm right (25.0 deg) -> elevator ...: 4 % down`, and how sure.
    fn pair(&self, side: Side) -> String {
        let i = usize::from(side == Side::Right);
        let Some(found) = self.sides[i] else { return String::new() };
        let lead = self.lead(side);
        let follower = self.coupling.follower;
        if !found.is_sure() {
            return format!("  {lead} -> {}: {NOT_CERTAIN}\n", follower.word());
        }
        if found.is_small() {
            return format!("  {lead} -> {}: leave it, slop swallows it\n", follower.word());
        }
        let moves = movements(&self.follower_moves[i]);
        let moves = if moves.is_empty() { follower.word().to_owned() } else { moves };
        let mut text = format!("  {lead} -> {moves}: {}", share_words(follower, found.percent));
        if let Some(sure) = found.sure {
            let (low, high) = sure.range;
            text += &format!(
                "; {:.0} % of {} draws go that way, four of five from {} to {}",
                100.0 * sure.direction,
                sure.draws,
                share_words(follower, low),
                share_words(follower, high)
            );
        }
        text + &format!(". First try: {}.\n", share_words(follower, found.first_try))
    }

    fn lead(&self, side: Side) -> String {
        let i = usize::from(side == Side::Right);
        let moves = movements(&self.lead_moves[i]);
        match self.coupling.manoeuvre {
            Manoeuvre::DownLine => "throttle at idle".to_owned(),
            Manoeuvre::Power | Manoeuvre::UpLine => "full throttle".to_owned(),
            Manoeuvre::RollIn => format!("full {} aileron ({moves})", side.word()),
            Manoeuvre::KnifeEdge | Manoeuvre::Skid => format!("full {} rudder ({moves})", side.word()),
            _ => format!("full {} ({moves})", self.coupling.manoeuvre.lead().word()),
        }
    }

    fn where_it_holds(&self) -> String {
        let follower = self.coupling.follower;
        let mut text = format!("  Form: {}", self.form.words());
        if self.form == Form::Curve {
            let point = |&(lead, share): &(f64, f64)| {
                format!("{:.0} % {}", 100.0 * lead, share_words(follower, (200.0 * share).round() / 200.0))
            };
            let points: Vec<String> = self.fit.curve.iter().map(point).collect();
            text += &format!(" through {}; a straight line is a compromise", points.join(", "));
        }
        text += ".\n";
        if let Some(apart) = self.apart.filter(|apart| apart.abs() >= 0.5 * FLOOR) {
            text += &format!("  {}\n", self.apart_words(apart));
        }
        if self.fit.by_speed.len() > 1 {
            let rows = self.fit.by_speed.iter().map(|(speed, sides)| {
                let of = |s: Option<f64>| s.map(|s| share_words(follower, (200.0 * s).round() / 200.0));
                let sides: Vec<String> = sides.iter().filter_map(|s| of(*s)).collect();
                format!("{speed:.0} m/s {}", sides.join(" / "))
            });
            let sides = if self.coupling.manoeuvre.two_sided() { " (left / right)" } else { "" };
            text += &format!("  By speed{sides}: {}.\n", rows.collect::<Vec<_>>().join("; "));
        }
        if let Some(left) = self.left_over {
            let what = self.coupling.turn();
            let deg = |turn: f64| format!("{:.0}", turn / DEG);
            text += &format!(
                "  Left after 2 s: {} deg of {what} without, {} with one percentage, {} with one per side, {} with the curve.\n",
                deg(left.nothing),
                deg(left.one),
                deg(left.per_side),
                deg(left.curve)
            );
        }
        text
    }

    fn apart_words(&self, apart: f64) -> String {
        let share = share_words(self.coupling.follower, (200.0 * apart).round() / 200.0);
        match self.coupling.manoeuvre {
            Manoeuvre::KnifeEdge if self.coupling.follower == Follower::Elevator => {
                let part = |side: f64| {
                    let of = self.along.iter().find(|(lead, _)| *lead == side)?;
                    Some(share_words(Follower::Elevator, (200.0 * (of.1 - apart)).round() / 200.0))
                };
                let parts = [part(-0.5), part(0.5)].map(|p| p.unwrap_or_else(|| "not known".to_owned()));
                format!(
                    "Relief {share} on any knife edge, whatever the rudder (it is trimmed to carry its weight); sideslip part at \
                     half left rudder {}, at half right rudder {}.",
                    parts[0], parts[1]
                )
            }
            Manoeuvre::Flaps => format!(
                "Of this, slowing down to {:.0} m/s alone takes {share}; the flaps make up the rest.",
                self.fit.by_speed.first().map_or(0.0, |row| row.0)
            ),
            _ => format!("Before the lead moves: {share}."),
        }
    }
}

fn movements(moves: &[Movement]) -> String {
    moves.iter().map(Movement::words).collect::<Vec<_>>().join(", ")
}

impl SideFound {
    /// The percentage, or `None` where its direction is not certain: then none may be shown.
    #[must_use]
    pub fn told(&self) -> Option<f64> {
        self.is_sure().then_some(self.percent)
    }
}

impl Proof {
    /// Three lines: balance against flight, hands still, a pilot correcting.
    #[must_use]
    pub fn words(&self) -> String {
        let follower = self.coupling.follower;
        let share = |s: f64| share_words(follower, (200.0 * s).round() / 200.0);
        let deg = |t: f64| format!("{:.0} deg", (t / DEG).abs());
        let [without, with, best] = self.turns.map(deg);
        let turn = self.coupling.turn();
        let [held, held_with, held_best] = self.held.map(share);
        let [strayed, strayed_with, strayed_best] = self.strayed.map(deg);
        format!(
            "{}, {}, {:.0} m/s: balanced at {}, flown best at {}: {}\n    \
             hands still for {:.1} s: {turn} {without} without, {with} with {} as found, {best} with the best\n    \
             corrected by hand for {CORRECTED:.0} s: {} held {held} without, {held_with} with what was found, {held_best} with \
             the best; {turn} up to {strayed}, {strayed_with}, {strayed_best}",
            self.coupling.name(),
            self.lead_words(),
            self.speed,
            share(self.balance),
            share(self.flown),
            self.verdict_words(),
            self.seconds,
            share(self.found),
            follower.word(),
        )
    }

    fn lead_words(&self) -> String {
        let lead = self.coupling.manoeuvre.lead();
        let side = if self.coupling.manoeuvre.two_sided() {
            format!("{} ", self.side.word())
        } else {
            String::new()
        };
        format!("{side}{} at {:.0} %", lead.word(), 100.0 * self.lead.abs())
    }

    fn verdict_words(&self) -> String {
        if self.agrees() {
            return "they agree".to_owned();
        }
        let at_speed = share_words(self.coupling.follower, (200.0 * self.flown_at_speed).round() / 200.0);
        if self.agrees_at_speed() {
            format!(
                "they DISAGREE, because its speed goes from {:.0} to {:.0} m/s; flown with the speed held the best is {at_speed}",
                self.speed, self.speed_after
            )
        } else {
            format!(
                "they DISAGREE, and with the speed held the best is {at_speed}: not explained by the speed"
            )
        }
    }
}
