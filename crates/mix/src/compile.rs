//! From what a pilot wrote to what can be evaluated: names become numbers, or faults.

use crate::check::{LARGEST_SHARE, check_numbers, check_rates};
use crate::error::{BlendAt, MixError, Nameless};
use crate::gate::{Gate, Threshold};
use crate::program::{DOOR_LEVER, FLAP_LEVER, LeverId, RatesId, Source, Step, SwitchNames, SwitchPosition};
use crate::tuning::Tuned;
use crate::{Blend, Condition, Lead, Mix, Program, RateSet, Tuning, chain};

impl Program {
    /// No rates and no blends: sticks pass through as they are.
    #[must_use]
    pub fn identity() -> Self {
        Binder::new(&[], &[]).into_program(Vec::new(), Vec::new())
    }
}

impl TryFrom<&Mix> for Program {
    type Error = Vec<MixError>;

    /// Checks a mix and resolves its names; reports everything that is wrong at once.
    fn try_from(mix: &Mix) -> Result<Self, Self::Error> {
        // Everything below sees the blends by name: numbers, sums and messages are the same for
        // any file order.
        let mut blends: Vec<(BlendAt, &Blend)> = mix.blends.iter().enumerate().map(located).collect();
        blends.sort_by(|(a, _), (b, _)| a.name.cmp(&b.name));

        let mut binder = Binder::new(&mix.rates, &blends);
        binder.check_rate_sets();
        binder.check_names();
        let mut steps: Vec<Step> = blends.iter().map(|(at, blend)| binder.step(at, blend)).collect();
        let order = binder.chain(&mut steps);
        if binder.errors.is_empty() { Ok(binder.into_program(steps, order)) } else { Err(binder.errors) }
    }
}

fn located((index, blend): (usize, &Blend)) -> (BlendAt, &Blend) {
    (BlendAt { index, name: blend.name.clone() }, blend)
}

/// Collects names and faults. Where a name cannot be resolved it notes the fault and goes on with
/// a stand-in, to find the next fault too; a program with faults is never handed out.
struct Binder<'a> {
    rates: &'a [RateSet],
    blends: &'a [(BlendAt, &'a Blend)],
    levers: Vec<String>,
    switches: Vec<SwitchNames>,
    latches: usize,
    errors: Vec<MixError>,
}

impl<'a> Binder<'a> {
    fn new(rates: &'a [RateSet], blends: &'a [(BlendAt, &'a Blend)]) -> Self {
        let levers = vec![DOOR_LEVER.into(), FLAP_LEVER.into()];
        Self { rates, blends, levers, switches: Vec::new(), latches: 0, errors: Vec::new() }
    }

    fn into_program(mut self, blends: Vec<Step>, order: Vec<usize>) -> Program {
        let (levers, switches) = (core::mem::take(&mut self.levers), core::mem::take(&mut self.switches));
        let (rates, latches) = (self.rates, self.latches);
        let rest = levers.iter().map(|lever| self.rest_of(lever)).collect();
        Program { rates: rates.to_vec(), levers, rest, switches, blends, order, latches }
    }

    fn check_rate_sets(&mut self) {
        for (index, set) in self.rates.iter().enumerate() {
            self.check_name(&set.name, Nameless::Rates, index);
            if self.rates[..index].iter().any(|earlier| earlier.name == set.name) {
                self.errors.push(MixError::DuplicateRates { name: set.name.clone() });
            }
            check_rates(set, &mut self.errors);
        }
    }

    fn check_names(&mut self) {
        for (at, _) in self.blends {
            self.check_name(&at.name, Nameless::Blend, at.index);
        }
        for pair in self.blends.windows(2) {
            if pair[0].0.name == pair[1].0.name {
                self.errors.push(MixError::DuplicateBlend { blend: pair[1].0.clone() });
            }
        }
    }

    fn check_name(&mut self, name: &str, what: Nameless, index: usize) {
        if name.trim().is_empty() {
            self.errors.push(MixError::NoName { what, index });
        }
    }

    fn step(&mut self, at: &BlendAt, blend: &Blend) -> Step {
        check_numbers(blend, at, &mut self.errors);
        Step {
            name: blend.name.clone(),
            lead: self.source(at, &blend.from),
            follower: blend.to,
            shape: blend.shape.clone(),
            engaged: self.gate(at, &blend.engaged),
            tuned: blend.tuned.as_ref().and_then(|tuning| self.tuned(at, tuning)),
            fade: blend.fade,
            slow: blend.slow,
            after: blend.after.as_deref().and_then(|after| self.after(at, blend, after)),
            off: false,
        }
    }

    fn source(&mut self, at: &BlendAt, lead: &Lead) -> Source {
        match lead {
            Lead::Stick(stick) => Source::Stick(*stick),
            Lead::Lever(name) => {
                self.check_name(name, Nameless::Lever, at.index);
                Source::Lever(LeverId(number_of(name, &mut self.levers)))
            }
        }
    }

    fn tuned(&mut self, at: &BlendAt, tuning: &Tuning) -> Option<Tuned> {
        let Tuning { lever, least, most } = tuning;
        self.check_name(lever, Nameless::TuningLever, at.index);
        let fits = |factor: &f64| (-LARGEST_SHARE..=LARGEST_SHARE).contains(factor);
        if !(fits(least) && fits(most) && least != most) {
            self.errors.push(MixError::Tuning { blend: at.clone(), found: (*least, *most) });
            return None;
        }
        let leads = self.blends.iter().any(|(_, blend)| blend.from == Lead::Lever(lever.clone()));
        if leads || [DOOR_LEVER, FLAP_LEVER].contains(&lever.as_str()) {
            self.errors.push(MixError::BusyLever { blend: at.clone(), lever: lever.clone() });
        }
        let lever = LeverId(number_of(lever, &mut self.levers));
        Some(Tuned { lever, least: *least, most: *most })
    }

    /// By the first blend that is tuned on it.
    fn rest_of(&self, lever: &str) -> f64 {
        let mut tunings = self.blends.iter().filter_map(|(_, blend)| blend.tuned.as_ref());
        tunings.find(|tuning| tuning.lever == lever).map_or(0.0, Tuning::rest)
    }

    fn gate(&mut self, at: &BlendAt, condition: &Condition) -> Gate {
        match condition {
            Condition::Always => Gate::Always,
            Condition::Rates(name) => self.rates_gate(at, name),
            Condition::Switch { name, is } => self.switch_gate(at, name, is),
            Condition::LeverAbove { name, threshold } => {
                self.threshold_gate(at, &Lead::Lever(name.clone()), true, *threshold)
            }
            Condition::LeverBelow { name, threshold } => {
                self.threshold_gate(at, &Lead::Lever(name.clone()), false, *threshold)
            }
            Condition::StickAbove { stick, threshold } => {
                self.threshold_gate(at, &Lead::Stick(*stick), true, *threshold)
            }
            Condition::StickBelow { stick, threshold } => {
                self.threshold_gate(at, &Lead::Stick(*stick), false, *threshold)
            }
            Condition::All(conditions) => Gate::All(self.group(at, conditions, true)),
            Condition::Any(conditions) => Gate::Any(self.group(at, conditions, false)),
            Condition::Not(condition) => Gate::Not(Box::new(self.gate(at, condition))),
        }
    }

    fn rates_gate(&mut self, at: &BlendAt, name: &str) -> Gate {
        if let Some(place) = self.rates.iter().position(|set| set.name == name) {
            return Gate::Rates(RatesId(place));
        }
        let known = self.rates.iter().map(|set| set.name.clone()).collect();
        self.errors.push(MixError::UnknownRates { blend: at.clone(), found: name.into(), known });
        Gate::Always
    }

    fn switch_gate(&mut self, at: &BlendAt, name: &str, is: &str) -> Gate {
        self.check_name(name, Nameless::Switch, at.index);
        self.check_name(is, Nameless::Switch, at.index);
        let switch = self.switches.iter().position(|known| known.name == name).unwrap_or_else(|| {
            self.switches.push(SwitchNames { name: name.into(), positions: Vec::new() });
            self.switches.len() - 1
        });
        let position = Some(number_of(is, &mut self.switches[switch].positions));
        Gate::Switch(SwitchPosition { switch, position })
    }

    fn threshold_gate(&mut self, at: &BlendAt, control: &Lead, above: bool, hold: f64) -> Gate {
        let (low, high) = control.range();
        let passable = if above { low <= hold && hold < high } else { low < hold && hold <= high };
        if !passable {
            let (blend, control) = (at.clone(), control.clone());
            self.errors.push(MixError::Threshold { blend, control, above, found: hold });
        }
        let (source, latch) = (self.source(at, control), self.latches);
        self.latches += 1;
        match above {
            true => Gate::Above(Threshold::above(source, hold, latch)),
            false => Gate::Below(Threshold::below(source, hold, latch)),
        }
    }

    fn group(&mut self, at: &BlendAt, conditions: &[Condition], all: bool) -> Vec<Gate> {
        if conditions.is_empty() {
            self.errors.push(MixError::EmptyGroup { blend: at.clone(), all });
        }
        conditions.iter().map(|condition| self.gate(at, condition)).collect()
    }

    fn after(&mut self, at: &BlendAt, blend: &Blend, after: &str) -> Option<usize> {
        let Some(place) = self.blends.iter().position(|(other, _)| other.name == after) else {
            let others = self.blends.iter().filter(|(other, _)| other != at);
            let known = others.map(|(other, _)| other.name.clone()).collect();
            self.errors.push(MixError::UnknownAfter { blend: at.clone(), found: after.into(), known });
            return None;
        };
        let moves = self.blends[place].1.to;
        if moves.direct_lead().as_ref() != Some(&blend.from) {
            let (blend, lead) = (at.clone(), blend.from.clone());
            self.errors.push(MixError::AfterElsewhere { blend, lead, after: after.into(), moves });
        }
        Some(place)
    }

    fn chain(&mut self, steps: &mut [Step]) -> Vec<usize> {
        let after: Vec<_> = steps.iter().map(|step| step.after).collect();
        chain::order(&after).unwrap_or_else(|loops| {
            let named =
                |places: Vec<usize>| places.iter().map(|&place| self.blends[place].0.clone()).collect();
            self.errors.extend(loops.into_iter().map(|places| MixError::Loop { members: named(places) }));
            Vec::new()
        })
    }
}

/// The number of a name, which is added if it is new.
fn number_of(name: &str, names: &mut Vec<String>) -> usize {
    names.iter().position(|known| known == name).unwrap_or_else(|| {
        names.push(name.into());
        names.len() - 1
    })
}
