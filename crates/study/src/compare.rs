use crate::beyond::{Beyond, beyond};
use crate::find::swallowed;
use crate::sentence::{Told, short};
use aero::Coefficients;
use airframe::Geometry;
use core::sync::atomic::{AtomicUsize, Ordering};
use flight::{Air, Bench, Surroundings, WindFault};
use manoeuvre::{
    Compared, Flown, FlyError, Following, Halt, Rig, RigError, Scenario, TrimSetting, Verdict, fly, fly_both,
    referee,
};
use measure::{Side, Stick};
use mix::{Condition, Follower, Mix, MixError};
use nalgebra::Vector3;
use rayon::prelude::*;
use std::sync::Arc;

/// An airframe with its mix, about to be flown.
#[derive(Debug, Clone)]
pub struct Contestant {
    /// The airframe.
    pub geometry: Geometry,
    /// Its mix.
    pub mix: Mix,
}

/// Everything that was flown.
#[derive(Debug, Clone)]
pub struct Comparison {
    /// One per airframe and side, in the order given, left rudder before right.
    pub runs: Vec<Run>,
}

/// One airframe to one side, without and with the blends.
#[derive(Debug, Clone)]
pub struct Run {
    /// Index of the contestant.
    pub contestant: usize,
    /// Index of the scenario.
    pub scenario: usize,
    /// What the pilot calls the airframe.
    pub airframe: String,
    /// Which rudder.
    pub side: Side,
    /// The blends that were taken out and put in.
    pub blends: Vec<String>,
    /// What the controls stand at in trimmed flight: where every follower's zero is.
    pub level: TrimSetting,
    /// The result in one sentence.
    pub sentence: String,
    /// Stops, lost height and the like in both flights, in words; empty if there is nothing.
    pub remarks: String,
    /// The blend that would have held the line.
    pub needed: Needed,
    /// What the pilot's hand did on the line, without and with, in words.
    pub held: String,
    /// Marks, range of speeds and height of both flights, in words.
    pub judged: String,
    /// Without the blends, with them.
    pub flights: [Flight; 2],
    /// The airframe with all its blends: what a sketch begins from.
    rig: Arc<Rig>,
}

/// What the followers did on the line when it was held, from trimmed flight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Needed {
    /// Elevator, share of full throw at full lead on this side, + up.
    pub elevator: f64,
    /// Aileron, share of full throw at full lead on this side, + right.
    pub aileron: f64,
    /// Whether the slop of both linkages swallows that, by the rule of [`crate::find`].
    pub swallowed: bool,
}

/// With or without the blends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Label {
    /// The blends are out.
    Without,
    /// The blends are in.
    With,
}

/// One flight, left alone, and what the pilot's hand needed when it was corrected instead.
#[derive(Debug, Clone)]
pub struct Flight {
    /// With or without.
    pub label: Label,
    /// The flight with the followers left alone.
    pub flown: Flown,
    /// What the referee says of it.
    pub verdict: Verdict,
    /// Mean elevator stick over the second half of the judged leg when the pilot held the line,
    /// share of full stick, + up.
    pub held_elevator: f64,
    /// The same of the aileron stick, + right.
    pub held_aileron: f64,
    /// What the referee says of the flight in which the line was held.
    pub corrected: Verdict,
    /// What that hand could not hold, because the stick came to its end.
    pub beyond: Option<Beyond>,
}

/// Why nothing could be compared.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CompareError {
    /// Mix and airframe do not fit, or the airframe cannot fly level.
    #[error(transparent)]
    Rig(#[from] RigError),
    /// A blend that shall be compared is not in the mix.
    #[error("{airframe}: {fault}")]
    Blend {
        /// The airframe.
        airframe: String,
        /// What is wrong.
        fault: MixError,
    },
    /// The scenario moves something that the airframe lacks.
    #[error("{airframe} has no {what}, and the manoeuvre is about it; take another manoeuvre")]
    NothingThere {
        /// The airframe.
        airframe: String,
        /// What it lacks.
        what: String,
    },
    /// The scenario moves a lever that nothing reads.
    #[error(
        "the manoeuvre moves a lever called \"{lever}\", but neither {airframe} nor its mix reads one; known here: {known}; \
         write it as the mix does"
    )]
    NoSuchLever {
        /// The airframe.
        airframe: String,
        /// The lever.
        lever: String,
        /// The levers that move something.
        known: String,
    },
    /// The manoeuvre could not begin.
    #[error(transparent)]
    Fly(#[from] FlyError),
    /// The wind is no wind.
    #[error(transparent)]
    Wind(#[from] WindFault),
    /// The flight ended before the judged leg.
    #[error(
        "{airframe}, {} rudder: the flight did not get through two seconds of the judged leg: {reason}; fly a gentler \
         scenario, or make the leg longer",
        side.word()
    )]
    NotJudged {
        /// The airframe.
        airframe: String,
        /// Which rudder.
        side: Side,
        /// Why it ended.
        reason: String,
    },
}

/// Which flight pair of a comparison.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Case {
    /// Index of the contestant.
    pub contestant: usize,
    /// Index of the scenario.
    pub scenario: usize,
    /// To which side.
    pub side: Side,
}

/// Told how many cases of how many are done; from any thread, in any order.
pub type Progress<'a> = &'a (dyn Fn(usize, usize) + Sync);

/// Flies `scenario` with every contestant, to its sides, without and with the blends compared.
/// In parallel; the result does not depend on the number of threads.
///
/// # Errors
/// [`CompareError`] of the first contestant, in order, that could not be flown.
pub fn compare(
    contestants: &[Contestant],
    scenario: &Scenario,
    coefficients: &Coefficients,
) -> Result<Comparison, CompareError> {
    let flown =
        compare_each(contestants, core::slice::from_ref(scenario), coefficients, &|_, _| (), |_, run| run);
    Ok(Comparison { runs: flown.into_iter().collect::<Result<_, _>>()? })
}

/// Flies every scenario with every contestant and keeps what `look` makes of each run: scenarios
/// one after the other, in each the contestants in their order, left before right. What cannot be
/// flown is handed to `look` as well. In parallel; the result does not depend on the number of
/// threads.
pub fn compare_each<T: Send>(
    contestants: &[Contestant],
    scenarios: &[Scenario],
    coefficients: &Coefficients,
    progress: Progress<'_>,
    look: impl Fn(Case, Result<Run, CompareError>) -> T + Sync,
) -> Vec<T> {
    let pairs = (0..scenarios.len()).flat_map(|s| (0..contestants.len()).map(move |c| (s, c)));
    let cases: Vec<Case> = pairs
        .flat_map(|(scenario, contestant)| {
            let sides = scenarios[scenario].flown_sides();
            sides.iter().map(move |&side| Case { contestant, scenario, side })
        })
        .collect();
    let done = AtomicUsize::new(0);
    cases
        .par_iter()
        .map(|&case| {
            let run = run(&contestants[case.contestant], &scenarios[case.scenario], case, coefficients, None);
            let looked = look(case, run);
            progress(done.fetch_add(1, Ordering::Relaxed) + 1, cases.len());
            looked
        })
        .collect()
}

/// Flies `scenario` with one contestant to one `side`, as [`compare`] does.
///
/// # Errors
/// As [`compare`].
pub fn compare_one(
    contestant: &Contestant,
    scenario: &Scenario,
    side: Side,
    coefficients: &Coefficients,
) -> Result<Run, CompareError> {
    run(contestant, scenario, Case { contestant: 0, scenario: 0, side }, coefficients, None)
}

/// What a sketch begins from.
#[derive(Debug, Clone, Copy)]
pub struct Earlier<'a> {
    /// The same model in the same manoeuvre to the same side.
    pub run: &'a Run,
    /// Nothing has changed that its flight without the blends depends on.
    pub same_without: bool,
}

/// As [`compare_one`], in a quarter of the time or less: every tick in one step (within millimetres to a centimetre
/// of the true flight), only what is not known from `earlier`, and what a hand on the line would have done is that
/// of `earlier`.
///
/// # Errors
/// As [`compare`].
pub fn sketch(
    contestant: &Contestant,
    scenario: &Scenario,
    coefficients: &Coefficients,
    earlier: Earlier<'_>,
) -> Result<Run, CompareError> {
    let case = Case { contestant: 0, scenario: 0, side: earlier.run.side };
    run(contestant, scenario, case, coefficients, Some(earlier))
}

fn run(
    contestant: &Contestant,
    scenario: &Scenario,
    case: Case,
    coefficients: &Coefficients,
    earlier: Option<Earlier<'_>>,
) -> Result<Run, CompareError> {
    // of one that differs in its compared blends only, the airframe and its flight without them are known
    let same = earlier.filter(|earlier| earlier.same_without).map(|earlier| earlier.run);
    let mut pair = match same {
        Some(same) => pair_with(same.rig.with_mix(&contestant.mix)?, contestant, scenario)?,
        None => pair(contestant, scenario, coefficients)?,
    };
    pair.rigs.iter_mut().for_each(|rig| rig.sketched = earlier.is_some());
    let known = same.map(|same| &same.flights[0]);
    let scenario = &switched_on(scenario, contestant);
    let hand = |label| earlier.map(|earlier| &earlier.run.flights[label as usize]);
    let fly = |label| fly_one(&pair, scenario, case.side, label, hand(label));
    let without = || known.map_or_else(|| fly(Label::Without), |flight| Ok(flight.clone()));
    let (without, with) = if pair.blends.is_empty() {
        let bare = without()?;
        (bare.clone(), Flight { label: Label::With, ..bare })
    } else {
        let (without, with) = rayon::join(without, || fly(Label::With));
        (without?, with?)
    };
    Ok(Run::new(case, pair, scenario, [without, with]))
}

/// A flight that ended, in a pilot's words.
fn ran_away(halt: &Halt) -> String {
    match halt {
        Halt::Diverged(d) => {
            format!("it ran away {:.1} s after it began; check mass, centre of mass, sizes and units", d.time)
        }
        other => other.to_string(),
    }
}

/// An airframe rigged without and with the blends.
pub(crate) struct Pair {
    pub(crate) rigs: [Rig; 2],
    pub(crate) blends: Vec<String>,
    /// No mix, or one without a blend.
    bare: bool,
}

pub(crate) fn pair(
    c: &Contestant,
    scenario: &Scenario,
    coefficients: &Coefficients,
) -> Result<Pair, CompareError> {
    let air = Air::steady(Vector3::from(scenario.wind))?;
    let around = Surroundings { air, ..Surroundings::CALM };
    has_what_moves(c, scenario)?;
    pair_with(Rig::new(&c.geometry, &c.mix, coefficients, around)?, c, scenario)
}

/// `with` all blends of its mix, and without those that `scenario` compares.
fn pair_with(with: Rig, c: &Contestant, scenario: &Scenario) -> Result<Pair, CompareError> {
    is_read(scenario, &with)?;
    let airframe = || with.name.clone();
    // a scenario serves many mixes: what this one lacks is no fault
    let names = c.mix.blends.iter().map(|blend| &blend.name);
    let blends: Vec<String> = names.filter(|name| scenario.compared.has(name)).cloned().collect();
    let names: Vec<&str> = blends.iter().map(String::as_str).collect();
    let program =
        with.program.without(&names).map_err(|fault| CompareError::Blend { airframe: airframe(), fault })?;
    Ok(Pair { rigs: [with.with_program(program), with], blends, bare: c.mix.blends.is_empty() })
}

/// The scenario with every switch on that the blends it names ask for, unless it sets that switch
/// itself: what is compared shall act. In both flights.
pub(crate) fn switched_on(scenario: &Scenario, c: &Contestant) -> Scenario {
    let Compared::These(named) = &scenario.compared else { return scenario.clone() };
    let named = c.mix.blends.iter().filter(|blend| named.contains(&blend.name));
    let mut scenario = scenario.clone();
    for blend in named {
        for (name, is) in asked(&blend.engaged) {
            if !scenario.start.switches.iter().any(|(set, _)| set == name) {
                scenario.start.switches.push((name.to_owned(), is.to_owned()));
            }
        }
    }
    scenario
}

/// Switches and positions without which a condition does not hold.
fn asked(condition: &Condition) -> Vec<(&str, &str)> {
    match condition {
        Condition::Switch { name, is } => vec![(name, is)],
        Condition::All(members) => members.iter().flat_map(asked).collect(),
        _ => Vec::new(),
    }
}

/// A lever that the scenario moves must move something.
fn has_what_moves(c: &Contestant, scenario: &Scenario) -> Result<(), CompareError> {
    let moved = scenario.legs.iter().flat_map(|leg| &leg.levers).map(|(lever, _)| lever.as_str());
    let idle = moved.into_iter().find(|lever| {
        [mix::FLAP_LEVER, mix::DOOR_LEVER].contains(lever)
            && !c.geometry.surfaces.iter().any(|surface| surface.hinge == *lever)
    });
    match idle {
        Some(lever) => {
            Err(CompareError::NothingThere { airframe: c.geometry.name.clone(), what: lever.to_owned() })
        }
        None => Ok(()),
    }
}

/// A lever of another name must be read by a blend: a misspelt one would move nothing, unnoticed.
fn is_read(scenario: &Scenario, rig: &Rig) -> Result<(), CompareError> {
    let mut moved = scenario.legs.iter().flat_map(|leg| &leg.levers).map(|(lever, _)| lever);
    let own = [mix::FLAP_LEVER, mix::DOOR_LEVER];
    let read = |lever: &String| own.contains(&lever.as_str()) || rig.program.levers().contains(lever);
    match moved.find(|lever| !read(lever)) {
        None => Ok(()),
        Some(lever) => {
            let others = rig.program.levers().iter().map(String::as_str).filter(|name| !own.contains(name));
            Err(CompareError::NoSuchLever {
                airframe: rig.name.clone(),
                lever: lever.clone(),
                known: own.into_iter().chain(others).collect::<Vec<_>>().join(", "),
            })
        }
    }
}

fn fly_one(
    pair: &Pair,
    scenario: &Scenario,
    side: Side,
    label: Label,
    hand: Option<&Flight>,
) -> Result<Flight, CompareError> {
    let rig = &pair.rigs[label as usize];
    let mut bench = Bench::new(&rig.aircraft);
    let wind = Vector3::from(scenario.wind);
    let judge = |flown: &Flown| {
        referee(flown, scenario, side, &wind).ok_or_else(|| CompareError::NotJudged {
            airframe: rig.name.clone(),
            side,
            reason: flown.halt.as_ref().map_or_else(|| "the leg is too short".to_owned(), ran_away),
        })
    };
    if let Some(hand) = hand {
        let flown = fly(rig, scenario, side, Following::LEFT_ALONE, &mut bench)?;
        return Ok(Flight { label, verdict: judge(&flown)?, flown, ..hand.clone() });
    }
    let [alone, corrected] = fly_both(rig, scenario, side, &mut bench)?;
    let held = judge(&corrected)?;
    Ok(Flight {
        label,
        verdict: judge(&alone)?,
        flown: alone,
        held_elevator: held.held[Stick::Elevator as usize],
        held_aileron: held.held[Stick::Aileron as usize],
        beyond: beyond(&corrected, scenario),
        corrected: held,
    })
}

impl Run {
    fn new(case: Case, pair: Pair, scenario: &Scenario, flights: [Flight; 2]) -> Self {
        let Pair { rigs: [without, with], blends, bare } = pair;
        let airframe = without.name.clone();
        let needed = Needed::of(&without, &flights[0].corrected);
        let acted = flights[0]
            .flown
            .samples
            .iter()
            .zip(&flights[1].flown.samples)
            .any(|(a, b)| a.commands != b.commands);
        let told = Told {
            airframe: &airframe,
            scenario,
            side: case.side,
            blends: &blends,
            flights: &flights,
            needed: &needed,
            acted,
            bare,
        };
        let (sentence, held, remarks, judged) = (told.sentence(), told.held(), told.remarks(), told.judged());
        Self {
            contestant: case.contestant,
            scenario: case.scenario,
            airframe,
            side: case.side,
            level: without.level,
            sentence,
            blends,
            remarks,
            needed,
            held,
            judged,
            flights,
            rig: Arc::new(with),
        }
    }
}

impl Run {
    /// The weightiest numbers of both flights, as in a cell of the fleet's table.
    #[must_use]
    pub fn short(&self) -> Vec<String> {
        let pairs = short(&self.flights[0].verdict).into_iter().zip(short(&self.flights[1].verdict));
        if self.blends.is_empty() {
            pairs.map(|(bare, _)| bare.alone()).collect()
        } else {
            pairs.map(|(a, b)| a.pair(&b)).collect()
        }
    }
}

impl Needed {
    /// From the flight in which the line was held without the blends.
    fn of(rig: &Rig, corrected: &Verdict) -> Self {
        let [aileron, elevator, rudder] =
            [Follower::Aileron, Follower::Elevator, Follower::Rudder].map(|f| corrected.command(f));
        let (aileron, elevator) = (aileron - rig.level.aileron, elevator - rig.level.elevator);
        let lead = (rudder - rig.trim.rudder).abs().max(1e-3);
        let (aileron, elevator) = (aileron / lead, elevator / lead);
        let small = |hinge: &str, share: f64| {
            let surfaces = rig.surfaces.iter().filter(|s| s.hinge == hinge);
            surfaces.map(|s| (s.deflection(share), s.slop)).all(|(moves, slop)| swallowed(share, moves, slop))
        };
        let swallowed = small("aileron", aileron) && small("elevator", elevator);
        Self { elevator, aileron, swallowed }
    }
}

impl Label {
    /// `"without"` or `"with"`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Without => "without",
            Self::With => "with",
        }
    }
}
