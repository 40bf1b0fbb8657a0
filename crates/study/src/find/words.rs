//! What was found, in a pilot's words. The pair of measured movements first, then the percentage,
//! then where it holds.

use crate::find::answer::SECONDS;
use crate::find::coupling::{Coupling, Manoeuvre};
use crate::find::fit::Form;
use crate::find::found::{FLOOR, Findings, Found, SideFound, Verdict};
use crate::find::movement::Movement;
use crate::find::proof::{CORRECTED, Proof};
use crate::find::sure::CERTAIN;
use measure::{DEG, Side};
use mix::{Follower, Lead};

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
            if let Some(level) = self.opposed(found) {
                text += &format!(
                    "  With the wings level the same rudder wants the opposite (\"{level}\"): with this blend on it goes the wrong \
                     way there, so have it on a switch that is off outside the knife edge.\n"
                );
            }
            if let Some(roll) = self.masking(found) {
                text += &format!(
                    "  Settle \"{roll}\" first: left alone it rolls too far for this to be judged.\n"
                );
            }
        }
        for shared in self.shared() {
            text += &format!("\n{}\n", shared.words());
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

    /// Blends that are advised and share lead and follower: on together they add up.
    #[must_use]
    pub fn shared(&self) -> Vec<SharedLead> {
        let mut shared: Vec<SharedLead> = Vec::new();
        for found in self.found.iter().filter(|f| f.is_advised()) {
            let (lead, follower) = (found.coupling.manoeuvre.lead(), found.coupling.follower);
            match shared.iter_mut().find(|s| s.lead == lead && s.follower == follower) {
                Some(known) => known.couplings.push(found.coupling),
                None => shared.push(SharedLead { lead, follower, couplings: vec![found.coupling] }),
            }
        }
        shared.retain(|s| s.couplings.len() > 1);
        shared
    }

    /// The coupling of the level skid that wants the opposite of this knife edge for the same rudder.
    fn opposed(&self, found: &Found) -> Option<String> {
        let level = self.found.iter().find(|f| {
            found.coupling.manoeuvre == Manoeuvre::KnifeEdge
                && f.coupling.manoeuvre == Manoeuvre::Skid
                && f.coupling.follower == found.coupling.follower
        })?;
        let told = |f: &Found, side: usize| f.sides[side].filter(|s| s.is_sure() && !s.is_small());
        let against = |side: usize| Some(told(found, side)?.percent * told(level, side)?.percent < 0.0);
        (0..2).any(|side| against(side) == Some(true)).then(|| level.coupling.name())
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

/// Several advised blends of one lead and one follower.
#[derive(Debug, Clone, PartialEq)]
pub struct SharedLead {
    /// What moves them.
    pub lead: Lead,
    /// What they move.
    pub follower: Follower,
    /// Which couplings.
    pub couplings: Vec<Coupling>,
}

impl SharedLead {
    /// What to do about it.
    #[must_use]
    pub fn words(&self) -> String {
        let names: Vec<String> = self.couplings.iter().map(|c| format!("\"{}\"", c.name())).collect();
        format!(
            "{} {} lead from {} to {}: on together they add up, and each is meant alone. Put each on a switch of its own.",
            names.join(", "),
            if names.len() == 2 { "both" } else { "all" },
            self.lead.word(),
            self.follower.word()
        )
    }
}

impl Found {
    /// Whether a percentage is advised.
    #[must_use]
    pub const fn is_advised(&self) -> bool {
        matches!(self.verdict, Verdict::Blend | Verdict::CauseFirst)
    }

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
        let told = self.is_advised();
        if told {
            for side in [Side::Left, Side::Right] {
                text += &self.pair(side);
            }
        }
        text += &format!("  {}\n", self.advice());
        if told {
            text += &self.where_it_holds();
        }
        if self.coupling.follower == Follower::Elevator && !self.level_leads.is_empty() {
            text += &format!("  {}\n", self.level_words());
        }
        text
    }

    /// The rudder that keeps the height, where there is such a knife edge.
    fn level_words(&self) -> String {
        let mut rows: Vec<String> = Vec::new();
        let mut leads = self.level_leads.clone();
        leads.sort_by(|a, b| a.0.total_cmp(&b.0));
        for speed in leads.chunk_by(|a, b| a.0 == b.0) {
            let sides: Vec<String> =
                speed.iter().map(|(_, side, rudder)| level_rudder(*side, *rudder)).collect();
            rows.push(format!("{} at {:.0} m/s", sides.join(" / "), speed[0].0));
        }
        format!("Rudder that keeps the height: {}.", rows.join("; "))
    }

    fn advice(&self) -> String {
        let mut text = self.verdict.words().to_owned();
        if let (Verdict::CauseFirst, Some(cause)) = (self.verdict, &self.cause) {
            text += &format!(
                ": the likeliest is {cause} (countermix explain with this coupling says what to change)"
            );
        }
        if matches!(self.verdict, Verdict::Unsure | Verdict::LeaveIt) {
            let sides = self.sides.iter().flatten().filter(|s| s.sure.is_some());
            let least = sides.min_by(|a, b| direction(a).total_cmp(&direction(b)));
            if let (Verdict::Unsure, Some(least)) = (self.verdict, least) {
                text += &agree(least);
            }
        }
        text
    }

    /// `rudder trailing edge 70 mm right (25.0 deg) -> elevator trailing edge 4 mm down (2.1 deg)`, and
    /// under it the percentage and how sure it is.
    fn pair(&self, side: Side) -> String {
        let i = usize::from(side == Side::Right);
        let Some(found) = self.sides[i] else { return String::new() };
        let full = self.full_lead(side);
        let follower = self.coupling.follower;
        let moved = movements(&self.lead_moves[i]);
        let lead = if moved.is_empty() { full.clone() } else { moved };
        if !found.is_sure() {
            return format!("  {lead} -> {}: {NOT_CERTAIN}{}\n", follower.word(), agree(&found));
        }
        if found.is_small() {
            return format!("  {lead} -> {}: leave it, slop swallows it\n", follower.word());
        }
        let moves = movements(&self.follower_moves[i]);
        let moves = if moves.is_empty() { follower.word().to_owned() } else { moves };
        let mut text = format!(
            "  {lead} -> {moves}\n    {full}: {} {}. First try {}.",
            follower.word(),
            share_words(follower, found.percent),
            share_words(follower, found.first_try)
        );
        if let Some(sure) = found.sure {
            let whole = |share: f64| share_words(follower, (100.0 * share).round() / 100.0);
            text += &format!(
                " {:.0} % of {} draws go that way, four of five between {} and {}.",
                100.0 * sure.direction,
                sure.draws,
                whole(sure.range.0),
                whole(sure.range.1)
            );
        }
        text + "\n"
    }

    fn full_lead(&self, side: Side) -> String {
        let manoeuvre = self.coupling.manoeuvre;
        match manoeuvre {
            Manoeuvre::DownLine => "throttle at idle".to_owned(),
            _ if manoeuvre.two_sided() => format!("full {} {}", side.word(), manoeuvre.lead().word()),
            _ => format!("full {}", manoeuvre.lead().word()),
        }
    }

    fn where_it_holds(&self) -> String {
        let follower = self.coupling.follower;
        let sure = self.sides.map(|side| side.is_none_or(|s| s.is_sure()));
        let mut text = format!("  Form: {}", self.form.words());
        if self.form == Form::Curve {
            let point = |&(lead, share): &(f64, f64)| {
                format!("{:.0} % {}", 100.0 * lead, share_words(follower, (200.0 * share).round() / 200.0))
            };
            // of a side that is not certain nothing is told
            let told = |p: &&(f64, f64)| {
                p.0 == 0.0 || !self.coupling.manoeuvre.two_sided() || sure[usize::from(p.0 > 0.0)]
            };
            let points: Vec<String> = self.fit.curve.iter().filter(told).map(point).collect();
            let why = if self.coupling.manoeuvre.one_end() {
                "flat elsewhere, so that other flight is left alone"
            } else {
                "a straight line is a compromise"
            };
            text += &format!(" through {}; {why}", points.join(", "));
        }
        text += ".\n";
        if self.coupling.manoeuvre == Manoeuvre::Power && self.form != Form::Curve {
            text += &format!(
                "  Counted from cruise throttle, where the blend moves the {} too: trim again there once it is on.\n",
                follower.word()
            );
        }
        if let Some(apart) = self.apart.filter(|apart| apart.abs() >= 0.5 * FLOOR) {
            text += &format!("  {}\n", self.apart_words(apart));
        }
        let sides = if self.coupling.manoeuvre.two_sided() { " (left / right)" } else { "" };
        let row = |at: String, needs: &[Option<f64>; 2]| {
            let of = |(s, sure): (&Option<f64>, bool)| {
                let told = |s: f64| share_words(follower, (200.0 * s).round() / 200.0);
                s.map(|s| if sure { told(s) } else { "not certain".to_owned() })
            };
            let needs: Vec<String> = needs.iter().zip(sure).filter_map(of).collect();
            format!("{at} {}", needs.join(" / "))
        };
        if self.fit.by_speed.len() > 1 {
            let rows = self.fit.by_speed.iter().map(|(speed, needs)| row(format!("{speed:.0} m/s"), needs));
            text += &format!("  By speed{sides}: {}.\n", rows.collect::<Vec<_>>().join("; "));
        }
        if self.by_throttle.len() > 1 {
            let rows = self.by_throttle.iter().map(|(at, needs)| row(format!("{:.0} %", 100.0 * at), needs));
            text += &format!("  By throttle{sides}: {}.\n", rows.collect::<Vec<_>>().join("; "));
        }
        if let Some(left) = self.left_over {
            let what = self.coupling.turn();
            let deg = |turn: f64| format!("{:.0}", turn / DEG);
            let per_side = if self.coupling.manoeuvre.two_sided() {
                format!(" {} with one per side,", deg(left.per_side))
            } else {
                String::new()
            };
            text += &format!(
                "  Remaining after {SECONDS:.0} s, hands still: {} deg of {what} without a blend, {} with one percentage,{per_side} \
                 {} with the curve.\n",
                deg(left.nothing),
                deg(left.one),
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
            _ => format!("On the knife edge without any rudder: {share}."),
        }
    }
}

/// `100 % left`, or what it would take.
fn level_rudder(side: Side, rudder: f64) -> String {
    let beyond = if rudder > 1.0 { " (beyond throw)" } else { "" };
    format!("{:.0} % {}{beyond}", 100.0 * rudder, side.word())
}

/// How many draws agree on the direction, and how many would have to.
fn agree(side: &SideFound) -> String {
    if side.sure.is_none() {
        return String::new();
    }
    format!(
        " ({:.0} % of the draws agree on it, {:.0} % would have to)",
        100.0 * direction(side),
        100.0 * CERTAIN
    )
}

fn direction(side: &SideFound) -> f64 {
    side.sure.map_or(1.0, |sure| sure.direction)
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
