//! The result of a comparison in the pilot's words, written from the numbers. A file per kind of
//! manoeuvre says what a flight does; here is what all have in common.

mod amount;
mod descent;
mod flaps;
mod hover;
mod line;
mod roll;
mod roll_in;
mod short;
mod tumble;
mod turn;

use crate::compare::{Flight, Needed};
use amount::percent;
use core::f64::consts::TAU;
use manoeuvre::{Finding, Judging, Pose, Scenario, Sides, Verdict};
use measure::{DEG, Side, Stick};
use mix::Follower;

pub use line::{bend, roll};
pub(crate) use short::Short;

/// A line is held within this of path and bank \[rad\] (judgement).
const HELD: f64 = 15.0 * DEG;
/// A loss of height that is worth a word \[m\] (judgement).
const SINKING: f64 = 10.0;

/// `"right rudder (left wing down)"`.
#[must_use]
pub fn side_words(side: Side) -> String {
    format!("{} rudder ({} wing down)", side.word(), side.opposite().word())
}

/// Whether it was judged on the knife edge, where rolls are told as out or under.
#[must_use]
pub fn on_edge(v: &Verdict) -> bool {
    v.judged.pose() == Pose::KnifeEdge
}

/// What a side is called in a manoeuvre; empty if it has none.
#[must_use]
pub fn side_of(scenario: &Scenario, side: Side) -> String {
    let Some((judged, _)) = scenario.judged().filter(|_| scenario.sides != Sides::None) else {
        return String::new();
    };
    match (judged.as_what, judged.pose()) {
        (Judging::Line, Pose::KnifeEdge) => side_words(side),
        (Judging::Line | Judging::Turn, _) => format!("{} rudder", side.word()),
        _ => format!("to the {}", side.word()),
    }
}

/// Where the wind of a manoeuvre comes from, as seen by a pilot flying its entry; empty in calm.
#[must_use]
pub fn wind_words(scenario: &Scenario) -> String {
    let [north, east, _] = scenario.wind;
    let speed = libm::hypot(north, east);
    if speed < 0.05 {
        return String::new();
    }
    // the manoeuvre is entered northwards; the wind comes from where it does not go
    let from = libm::atan2(-east, -north);
    let eighth = ((from / (TAU / 8.0)).round() as i64).rem_euclid(8);
    let words = [
        "ahead",
        "ahead on the right",
        "the right",
        "behind on the right",
        "behind",
        "behind on the left",
        "the left",
        "ahead on the left",
    ];
    format!("wind of {speed:.0} m/s from {}", words[eighth as usize])
}

/// Everything there is to tell of a run.
pub(crate) struct Told<'a> {
    pub(crate) airframe: &'a str,
    pub(crate) scenario: &'a Scenario,
    pub(crate) side: Side,
    pub(crate) blends: &'a [String],
    pub(crate) flights: &'a [Flight; 2],
    pub(crate) needed: &'a Needed,
    /// Whether the blends moved anything.
    pub(crate) acted: bool,
    /// Whether it has no mix, or one without a blend.
    pub(crate) bare: bool,
}

impl Told<'_> {
    /// The whole sentence: what it cannot do; without the blends, with them, and whether they are
    /// worth having.
    pub(crate) fn sentence(&self) -> String {
        let [without, with] = self.flights.each_ref().map(|flight| &flight.verdict);
        if let Some(v) = [without, with].into_iter().find(|v| !v.settled()) {
            return format!(
                "{}: never settled for the pass ({:.0} deg off the bank, {:.0} m/s where it was entered at {:.0}), so \
                 there is nothing to judge; {}.",
                self.who(),
                v.entered.roll.abs() / DEG,
                v.speeds.start,
                v.speeds.entry,
                match self.beyond() {
                    Some(cannot) => format!("it cannot {cannot}"),
                    None => "check speed, centre of mass and throws".to_owned(),
                },
            );
        }
        let cannot =
            self.beyond().map_or_else(String::new, |words| format!("{} cannot {words}. ", self.airframe));
        format!("{cannot}{}{}: {}.", self.who(), self.how(without), self.what(without, with))
    }

    /// Who flies, and to which side.
    fn who(&self) -> String {
        let side = side_of(self.scenario, self.side);
        if side.is_empty() { self.airframe.to_owned() } else { format!("{}, {side}", self.airframe) }
    }

    /// What the hand could not do without the blends.
    fn beyond(&self) -> Option<String> {
        self.flights[0].beyond.map(|beyond| beyond.words(&self.flights[0].verdict.judged))
    }

    /// Rudder, speed, wind, and for how long it was looked at.
    fn how(&self, v: &Verdict) -> String {
        let mut parts = Vec::new();
        let rudder = v.sticks[Stick::Rudder as usize];
        if matches!(v.judged.as_what, Judging::Line | Judging::Turn) && rudder.abs() > 0.02 {
            parts.push(format!("{} rudder stick", percent(rudder)));
        }
        parts.push(format!("{:.0} m/s", v.speeds.start));
        let wind = wind_words(self.scenario);
        if !wind.is_empty() {
            parts.push(format!("{wind}, judged in the air that it carries along"));
        }
        parts.push(match v.judged.as_what {
            Judging::Line => format!("left alone for {:.0} s", v.headline_at),
            _ => format!("in {:.1} s", v.seconds),
        });
        parts.into_iter().map(|part| format!(", {part}")).collect()
    }

    fn what(&self, without: &Verdict, with: &Verdict) -> String {
        if self.blends.is_empty() {
            let why = match (self.bare, self.scenario.compared.is_nothing()) {
                (true, _) => "; it was flown bare, without a mix",
                (_, true) => "",
                _ => "; its mix has no blend for this",
            };
            return format!("it {}{why}", does(without));
        }
        let (blend, them) =
            if self.blends.len() == 1 { ("the blend", "the blend") } else { ("the blends", "them") };
        let mut text = if self.acted {
            format!("without {blend} it {}; with {them} it {}", does(without), does(with))
        } else {
            format!(
                "it {}; {blend} never acted: none is meant for this, or look at when they are engaged",
                does(without)
            )
        };
        if self.acted && self.line_was_held() && self.needed.swallowed {
            text += "; so little would hold it that linkages swallow it";
        }
        text
    }

    /// Whether the held stick of these flights is a blend.
    fn line_was_held(&self) -> bool {
        self.flights[0].verdict.judged.as_what == Judging::Line
    }

    /// What the pilot's hand did on the line, and the blend that would have done it, if the line
    /// was held; empty where there is no line to hold.
    pub(crate) fn held(&self) -> String {
        if !self.line_was_held() {
            return String::new();
        }
        let corrected = &self.flights[0].corrected;
        if self.flights.iter().any(|f| !f.corrected.settled()) {
            return "held on the line by hand: it never was on the line".to_owned();
        }
        let [without, with] = self.flights.each_ref().map(work);
        let mut text = if self.blends.is_empty() || without == with {
            format!("held on the line by hand: {without}")
        } else {
            format!("held on the line by hand: {without} without, {with} with")
        };
        match corrected.judged.pose() {
            Pose::KnifeEdge => {}
            Pose::Inverted if not_held(corrected).is_empty() => return text + &self.halved(),
            _ => return text,
        }
        let needed = self.needed;
        let possible = needed.elevator.abs().max(needed.aileron.abs()) <= 1.0;
        if !not_held(corrected).is_empty() || !possible {
            return text + "; no blend follows from a line that was not held";
        }
        text += &format!(
            "; as a blend by this one pass, at full rudder: elevator {} {}, aileron {} {} (find says how sure that is)",
            percent(needed.elevator),
            up_down(needed.elevator),
            percent(needed.aileron),
            right_left(needed.aileron),
        );
        if corrected.height < -SINKING {
            text += &format!(
                ", for a pass that sinks {:.0} m: too little rudder to hold height",
                -corrected.height
            );
        }
        text
    }

    /// Of level flight on the back; on a steep line there is less weight to carry.
    fn halved(&self) -> String {
        let verdict = &self.flights[0].corrected;
        if verdict.judged.climb != 0.0 {
            return String::new();
        }
        let half = 0.5 * self.flights[0].held_elevator;
        let words = format!("{} {}", percent(half), up_down(half));
        format!("; half of that elevator, {words}, is the old guess for the relief in knife-edge")
    }

    /// What a judge writes down: marks where a line or a roll is judged, whole and unrounded, the range
    /// of speeds, and the height.
    pub(crate) fn judged(&self) -> String {
        let [without, with] = self.flights.each_ref().map(|flight| written_down(&flight.verdict));
        if self.blends.is_empty() || !self.acted {
            format!("judged: {without}")
        } else {
            format!("judged without: {without}; with: {with}")
        }
    }

    /// What else a pilot must know of both flights; empty if there is nothing.
    pub(crate) fn remarks(&self) -> String {
        let said = self.flights.each_ref().map(|flight| remarks_on(&flight.verdict));
        let mut parts: Vec<String> = if self.blends.is_empty() || !self.acted {
            said[..1].to_vec()
        } else {
            let label = |i: usize| self.flights[i].label.word();
            (0..2).filter(|&i| !said[i].is_empty()).map(|i| format!("{}: {}", label(i), said[i])).collect()
        };
        parts.retain(|part| !part.is_empty());
        if self.flights[0].verdict.judged.as_what == Judging::Descent {
            parts.push(descent::WING_ROCK.to_owned());
        }
        parts.join("; ")
    }
}

/// What a flight does, as the end of "it ...".
fn does(v: &Verdict) -> String {
    match v.finding {
        Finding::Line => line::does(v),
        Finding::Roll { rolled, heading, highest, lowest, aside } => {
            roll::Roll { rolled, heading, highest, lowest, aside }.does()
        }
        Finding::Turn { turned, radius, sideslip, .. } => turn::Turn { turned, radius, sideslip }.does(v),
        Finding::RollIn { sideslip, nose_off, rolled } => {
            roll_in::RollIn { sideslip, nose_off, rolled }.does()
        }
        Finding::Tumble { pitched, pitch_rate, radius, heading, tilt } => {
            tumble::Tumble { pitched, pitch_rate, radius, heading, tilt }.does(v)
        }
        Finding::Flaps { balloon, nose, speed, change, flare } => {
            flaps::Flaps { balloon, nose, speed, change, flare }.does()
        }
        Finding::Descent { sink, angle, incidence, unsteady, flare } => {
            descent::Descent { sink, angle, incidence, unsteady, flare }.does()
        }
        Finding::Hover { rolled, aside, nose } => hover::Hover { rolled, aside, nose }.does(v),
    }
}

/// The same for a cell of a table, the weightiest number first.
pub(crate) fn short(v: &Verdict) -> Vec<Short> {
    match v.finding {
        Finding::Line => line::short(v),
        Finding::Roll { rolled, heading, highest, lowest, aside } => {
            roll::Roll { rolled, heading, highest, lowest, aside }.short()
        }
        Finding::Turn { turned, radius, sideslip, .. } => turn::Turn { turned, radius, sideslip }.short(v),
        Finding::RollIn { sideslip, nose_off, rolled } => {
            roll_in::RollIn { sideslip, nose_off, rolled }.short()
        }
        Finding::Tumble { pitched, pitch_rate, radius, heading, tilt } => {
            tumble::Tumble { pitched, pitch_rate, radius, heading, tilt }.short()
        }
        Finding::Flaps { balloon, nose, speed, change, flare } => {
            flaps::Flaps { balloon, nose, speed, change, flare }.short()
        }
        Finding::Descent { sink, angle, incidence, unsteady, flare } => {
            descent::Descent { sink, angle, incidence, unsteady, flare }.short()
        }
        Finding::Hover { rolled, aside, nose } => hover::Hover { rolled, aside, nose }.short(v),
    }
}

fn written_down(v: &Verdict) -> String {
    let marks = match v.judged.as_what {
        Judging::Line | Judging::Roll => {
            format!(
                "{:.0} of 10 marks ({:.1} before each fault costs a whole one), ",
                v.marks(),
                v.marks_exact()
            )
        }
        _ => String::new(),
    };
    let height = amount::metres(v.height);
    let height = if amount::is_nothing(&height) {
        "keeps its height".to_owned()
    } else {
        format!("{} {height} m", amount::way(v.height, "gains", "loses"))
    };
    format!("{marks}{:.0} to {:.0} m/s, {height}", v.speeds.least, v.speeds.most)
}

fn work(flight: &Flight) -> String {
    let elevator = format!("{} {} elevator", percent(flight.held_elevator), up_down(flight.held_elevator));
    let aileron = format!("{} {} aileron", percent(flight.held_aileron), right_left(flight.held_aileron));
    format!("{elevator} and {aileron} stick{}", not_held(&flight.corrected))
}

/// Why the line was not held, if it was not.
fn not_held(corrected: &Verdict) -> String {
    let stuck = |f: Follower| matches!(f, Follower::Aileron | Follower::Elevator);
    let at_stops = corrected.limits.iter().filter(|(f, _)| stuck(*f));
    let mut reasons: Vec<String> = at_stops.map(|(f, _)| format!("{} at its stop", f.word())).collect();
    if corrected.faults[0].max(corrected.faults[1]) > HELD {
        reasons.push("it still drifted".to_owned());
    }
    if !corrected.complete {
        reasons.push("the flight ended early".to_owned());
    }
    if reasons.is_empty() { String::new() } else { format!(" (not held: {})", reasons.join(", ")) }
}

const fn up_down(signed: f64) -> &'static str {
    amount::way(signed, "up", "down")
}

const fn right_left(signed: f64) -> &'static str {
    amount::way(signed, "right", "left")
}

/// Stops that were reached, height that was lost, a pass that ended early.
fn remarks_on(v: &Verdict) -> String {
    let mut remarks: Vec<String> =
        v.full_sticks.iter().map(|(s, _)| format!("{} stick fully over", s.word())).collect();
    // trims decide on which side the surface meets its stop before the stick does
    let told = |l: Follower| v.full_sticks.iter().any(|(s, _)| l.word() == s.word());
    let stops = v.limits.iter().filter(|(l, _)| !told(*l));
    remarks.extend(stops.map(|(l, _)| format!("{} at its stop", l.word())));
    let tells_height = matches!(v.judged.as_what, Judging::Line);
    if tells_height
        && v.height < -SINKING
        && !matches!(v.judged.pose(), Pose::DownLine)
        && v.judged.climb >= 0.0
    {
        let place = if on_edge(v) { "in the pass" } else { "on the line" };
        remarks.push(format!("sinks {:.0} m {place}", -v.height));
    }
    if v.lowest < 0.0 {
        remarks.push("below the field: start higher".to_owned());
    }
    if !v.complete {
        remarks.push("the flight ended early".to_owned());
    }
    remarks.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compare::Label;
    use core::f64::consts::FRAC_PI_2;
    use manoeuvre::{Compared, Deviation, Ending, Flown, Judged, Leg, Order, Speed, Speeds, Start};

    fn verdict(heading: f64, path: f64, bank: f64) -> Verdict {
        let headline = Deviation {
            pitch: heading * DEG,
            canopy: path,
            roll: -bank * DEG, // left rudder, right wing down: out is to the left
            ..Deviation::default()
        };
        let judged = Judged { climb: 0.0, bank: -FRAC_PI_2, as_what: Judging::Line };
        Verdict {
            judged,
            side: Side::Left,
            line: judged.line(0.0, Side::Left),
            entered: Deviation::default(),
            headline,
            headline_at: 2.0,
            end: headline,
            worst: headline,
            faults: [0.0; 3],
            sticks: [0.0, 0.0, 0.5, 0.5],
            held: [0.0; 4],
            work: [0.0; 4],
            commands: [0.0; 7],
            height: 0.0,
            lowest: 50.0,
            speeds: Speeds { entry: 30.0, start: 28.0, least: 27.0, most: 30.0, end: 27.0 },
            full_sticks: Vec::new(),
            limits: Vec::new(),
            seconds: 3.0,
            complete: true,
            finding: Finding::Line,
        }
    }

    fn flight(label: Label, verdict: Verdict, held: [f64; 2]) -> Flight {
        let flown = Flown { samples: Vec::new(), legs: Vec::new(), halt: None };
        let corrected = verdict.clone();
        let [held_elevator, held_aileron] = held;
        Flight { label, flown, verdict, held_elevator, held_aileron, corrected, beyond: None }
    }

    const NEEDED: Needed = Needed { elevator: 0.10, aileron: -0.2, swallowed: false };

    fn pass() -> Scenario {
        let judged = Judged { climb: 0.0, bank: -FRAC_PI_2, as_what: Judging::Line };
        let leg = Leg {
            name: "pass".to_owned(),
            climb: 0.0,
            sticks: [Order::Keep, Order::Keep, Order::Keep, Order::Keep],
            levers: Vec::new(),
            switches: Vec::new(),
            rates: None,
            ends: Ending::after(3.0),
            judged: Some(judged),
            judged_on: false,
        };
        Scenario {
            name: "pass".to_owned(),
            about: String::new(),
            airframes: Vec::new(),
            rates: None,
            start: Start::level(Speed::Trimmed(1.3), 80.0),
            wind: [0.0; 3],
            sides: Sides::Both,
            legs: vec![leg],
            compared: Compared::All,
            speeds: Vec::new(),
        }
    }

    fn told(
        flights: &[Flight; 2],
        needed: &Needed,
        acted: bool,
        tell: impl Fn(&Told<'_>) -> String,
    ) -> String {
        let blends = ["one".to_owned(), "two".to_owned()];
        let (airframe, scenario, side) = ("Bluebell", &pass(), Side::Left);
        tell(&Told { airframe, scenario, side, blends: &blends, flights, needed, acted, bare: false })
    }

    fn said(without: Verdict, with: Verdict, needed: Needed, acted: bool) -> String {
        let flights =
            [flight(Label::Without, without, [0.05, -0.1]), flight(Label::With, with, [-0.004, 0.01])];
        told(&flights, &needed, acted, |t| t.sentence())
    }

    #[test]
    fn bends_and_rolls_are_told_with_their_direction() {
        assert_eq!(bend(&verdict(-12.4, -3.26, 0.0)), "bends 12 deg and 3.3 m towards the gear");
        assert_eq!(bend(&verdict(41.0, 12.3, 0.0)), "bends 41 deg and 12 m towards the canopy");
        assert_eq!(bend(&verdict(0.2, 2.0, 0.0)), "drifts 2.0 m towards the canopy");
        assert_eq!(bend(&verdict(-3.0, 0.01, 0.0)), "turns 3 deg towards the gear");
        assert_eq!(
            bend(&verdict(4.0, -1.0, 0.0)),
            "drifts 1.0 m towards the gear while its nose turns 4 deg towards the canopy"
        );
        assert_eq!(bend(&verdict(0.1, -0.02, 0.0)), "stays on the line");
        assert_eq!(roll(&verdict(0.0, 0.0, 8.0)), "rolls out (towards upright) 8 deg");
        assert_eq!(roll(&verdict(0.0, 0.0, -8.0)), "rolls under (towards inverted) 8 deg");
        assert_eq!(roll(&verdict(0.0, 0.0, 0.3)), "keeps its bank");
    }

    #[test]
    fn the_whole_sentence() {
        let mut without = verdict(-20.0, -5.0, 60.0);
        (without.limits, without.height) = (vec![(Follower::Rudder, 1.0)], -26.0);
        assert_eq!(
            said(without, verdict(0.0, 0.0, -2.0), NEEDED, true),
            "Bluebell, left rudder (right wing down), 50 % rudder stick, 28 m/s, left alone for 2 s: without the blends it \
             bends 20 deg and 5.0 m towards the gear and rolls out (towards upright) 60 deg; with them it stays on the line and rolls under (towards inverted) 2 deg."
        );
    }

    #[test]
    fn remarks_come_when_they_are_due() {
        let plain = || verdict(-5.0, -1.0, 5.0);
        let sentence = |v, needed, acted| said(v, plain(), needed, acted);
        let little = Needed { swallowed: true, ..NEEDED };
        assert!(
            sentence(plain(), little, true).ends_with("; so little would hold it that linkages swallow it.")
        );
        assert!(!sentence(plain(), NEEDED, true).contains("linkages"));
        assert!(
            sentence(plain(), little, false).ends_with(
                "the blends never acted: none is meant for this, or look at when they are engaged."
            )
        );
        let speeds = Speeds { start: 6.0, ..plain().speeds };
        let lost = Verdict { speeds, ..plain() };
        let words = sentence(lost, NEEDED, true);
        assert!(words.contains("never settled") && !words.contains("bends"), "{words}");
    }

    #[test]
    fn what_else_was_seen_stands_beside_the_sentence() {
        let plain = || verdict(-5.0, -1.0, 5.0);
        let of = |without, with| {
            let flights = [flight(Label::Without, without, [0.0; 2]), flight(Label::With, with, [0.0; 2])];
            told(&flights, &NEEDED, true, |t| t.remarks())
        };
        assert_eq!(of(plain(), Verdict { height: 30.0, ..plain() }), "", "climbing is no fault");
        let sinking = Verdict { limits: vec![(Follower::Rudder, 1.0)], height: -26.0, ..plain() };
        assert_eq!(of(sinking.clone(), plain()), "without: rudder at its stop, sinks 26 m in the pass");
        let over = Verdict { full_sticks: vec![(Stick::Rudder, 1.0)], ..plain() };
        assert_eq!(
            of(sinking, over),
            "without: rudder at its stop, sinks 26 m in the pass; with: rudder stick fully over"
        );
        assert!(of(plain(), Verdict { lowest: -1.0, ..plain() }).contains("below the field"));
        assert!(of(Verdict { complete: false, ..plain() }, plain()).contains("the flight ended early"));
    }

    #[test]
    fn what_a_judge_writes_down() {
        let faults = [20.0 * DEG, 5.0 * DEG, 0.0];
        let without = Verdict { faults, height: -26.4, ..verdict(-20.0, -5.0, 60.0) };
        let flights = [
            flight(Label::Without, without, [0.0; 2]),
            flight(Label::With, verdict(0.0, 0.0, 0.0), [0.0; 2]),
        ];
        assert_eq!(
            told(&flights, &NEEDED, true, |t| t.judged()),
            "judged without: 7 of 10 marks (8.3 before each fault costs a whole one), 27 to 30 m/s, \
             loses 26 m; with: 10 of 10 marks (10.0 before each fault costs a whole one), 27 to 30 m/s, keeps its height"
        );
    }

    #[test]
    fn held_sticks_are_told_with_their_direction() {
        let mut flights = [
            flight(Label::Without, verdict(0.0, 0.0, 0.0), [0.05, -0.1]),
            flight(Label::With, verdict(0.0, 0.0, 0.0), [-0.004, 0.01]),
        ];
        assert_eq!(
            told(&flights, &NEEDED, true, |t| t.held()),
            "held on the line by hand: 5.0 % up elevator and 10 % left aileron stick without, 0.4 % down elevator \
             and 1.0 % right aileron stick with; as a blend by this one pass, at full rudder: elevator 10 % up, \
             aileron 20 % left (find says how sure that is)"
        );
        flights[0].corrected.limits = vec![(Follower::Aileron, 1.0), (Follower::Rudder, 1.0)];
        let stuck = told(&flights, &NEEDED, true, |t| t.held());
        assert!(stuck.contains("aileron stick (not held: aileron at its stop) without"), "{stuck}");
        assert!(
            stuck.ends_with("no blend follows from a line that was not held")
                && !stuck.contains("as a blend")
        );
        flights[0].corrected.limits.clear();
        let absurd = Needed { elevator: -3.1, ..NEEDED };
        assert!(!told(&flights, &absurd, true, |t| t.held()).contains("as a blend"), "313 % is no blend");
        flights[0].corrected.height = -14.0;
        assert!(
            told(&flights, &NEEDED, true, |t| t.held())
                .ends_with("for a pass that sinks 14 m: too little rudder to hold height")
        );
        flights[1].corrected.entered.roll = 50.0 * DEG;
        assert_eq!(
            told(&flights, &NEEDED, true, |t| t.held()),
            "held on the line by hand: it never was on the line"
        );
    }
}
