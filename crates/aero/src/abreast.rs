use airframe::Part;
use nalgebra::Vector3;

use crate::body_field::FieldSpots;
use crate::coefficients::Coefficients;
use crate::flap::{FlapState, FourFlaps};
use crate::four::{Four, FourVectors};
use crate::jet::JetSpots;
use crate::propulsor::Propulsor;
use crate::section::Loads;
use crate::strip::Strip;
use crate::tally::{Effect, Tally};

/// Four strips abreast, number by number: what stays the same about them, ready for the loops.
/// Where fewer are left, the last stands in for the missing ones, without area.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Abreast {
    /// Index of the first in the model's list; how many there really are.
    pub(crate) first: usize,
    pub(crate) count: usize,
    parts: [Part; 4],
    positions: [Vector3<f64>; 4],
    /// Which flap group each belongs to.
    groups: [usize; 4],
    pub(crate) chord_dir: FourVectors,
    pub(crate) normal: FourVectors,
    /// Speed along chord and normal per rate of turn, half a chord behind the quarter chord \[m\].
    pub(crate) chord_arm: FourVectors,
    pub(crate) normal_arm: FourVectors,
    pub(crate) field: FieldSpots,
    pub(crate) jet: Option<JetSpots>,
    pub(crate) attached_tan: Four,
    area: Four,
    chord: Four,
    pub(crate) drag: Four,
    pub(crate) moment: Four,
    /// 2 over the chord square to the swept span line [1/m] (wings).
    pub(crate) lift_gain: Four,
    /// Lift slope, and induced drag coefficient per square of the lift coefficient (tail surfaces).
    pub(crate) slope: Four,
    pub(crate) induced: Four,
    /// Chord cross normal: the axis of the section's moment.
    twist: FourVectors,
    /// Moment about the centre of mass of a force along normal and chord \[m\].
    normal_lever: FourVectors,
    chord_lever: FourVectors,
    /// From end to end of the bound vortex, times three quarters of the chord [m^2].
    skew_span: FourVectors,
}

impl Abreast {
    /// All `strips`, whose first is number `first` of the model. `groups`: which flap group each
    /// strip of the model belongs to.
    pub(crate) fn all(
        strips: &[Strip],
        first: usize,
        groups: &[usize],
        propulsor: Option<&Propulsor>,
        c: &Coefficients,
    ) -> Vec<Self> {
        let fours = strips.chunks(4).enumerate();
        fours.map(|(i, four)| Self::of(four, first + 4 * i, groups, propulsor, c)).collect()
    }

    fn of(
        strips: &[Strip],
        first: usize,
        groups: &[usize],
        propulsor: Option<&Propulsor>,
        c: &Coefficients,
    ) -> Self {
        let count = strips.len();
        let strip = |k: usize| &strips[k.min(count - 1)];
        let number = |f: &dyn Fn(&Strip) -> f64| Four::of(|k| f(strip(k)));
        let vector = |f: &dyn Fn(&Strip) -> Vector3<f64>| FourVectors::of(|k| f(strip(k)));
        let middle = |s: &Strip| s.position - Vector3::new(0.5 * s.chord, 0.0, 0.0);
        let four = core::array::from_fn::<usize, 4, _>(|k| k);
        Self {
            first,
            count,
            parts: four.map(|k| strip(k).part),
            positions: four.map(|k| strip(k).position),
            groups: four.map(|k| groups[first + k.min(count - 1)]),
            chord_dir: vector(&|s| s.chord_dir),
            normal: vector(&|s| s.normal),
            chord_arm: vector(&|s| middle(s).cross(&s.chord_dir)),
            normal_arm: vector(&|s| middle(s).cross(&s.normal)),
            field: FieldSpots::of(four.map(strip)),
            jet: propulsor.map(|p| JetSpots::of(four.map(strip), p)),
            attached_tan: number(&|s| s.attached_tan),
            area: Four::of(|k| if k < count { strip(k).area } else { 0.0 }),
            chord: number(&|s| s.chord),
            drag: number(&|s| s.drag),
            moment: number(&|s| s.moment),
            lift_gain: number(&|s| 2.0 / (s.chord * s.chord_dir.x)),
            slope: number(&|s| s.slope),
            induced: number(&|s| 1.0 / (c.tail_efficiency * core::f64::consts::PI * s.aspect)),
            twist: vector(&|s| s.chord_dir.cross(&s.normal)),
            normal_lever: vector(&|s| s.position.cross(&s.normal)),
            chord_lever: vector(&|s| s.position.cross(&s.chord_dir)),
            skew_span: vector(&|s| (s.end - s.start) * (0.75 * s.chord)),
        }
    }

    /// The flaps of the strips.
    #[inline]
    pub(crate) fn flaps<'a>(&self, flaps: &'a [FlapState]) -> FourFlaps<'a> {
        FourFlaps(self.groups.map(|group| &flaps[group]))
    }

    /// The strips that really are there: which of the four, and which of the model.
    pub(crate) fn each(&self) -> impl Iterator<Item = (usize, usize)> + use<> {
        let first = self.first;
        (0..self.count).map(move |k| (k, first + k))
    }

    /// Puts section coefficients on the airframe, at dynamic pressures [N/m^2].
    #[inline]
    pub(crate) fn act<T: Tally>(&self, pressure: Four, loads: &Loads<Four>, tally: &mut T) {
        let load = pressure * self.area;
        let (normal, chordwise) = (load * loads.normal, load * loads.chordwise);
        let twisting = load * self.chord * loads.moment;
        if T::TELLS_APART {
            for (k, _) in self.each() {
                let force = self.normal.lane(k) * normal.0[k] + self.chord_dir.lane(k) * chordwise.0[k];
                let couple = self.twist.lane(k) * twisting.0[k];
                tally.add(self.parts[k], Effect::Section, force, self.positions[k], couple);
            }
        } else {
            let force = self.normal.weighed(normal) + self.chord_dir.weighed(chordwise);
            let moment = self.normal_lever.weighed(normal)
                + self.chord_lever.weighed(chordwise)
                + self.twist.weighed(twisting);
            tally.add(self.parts[0], Effect::Section, force, Vector3::zeros(), moment);
        }
    }

    /// Couple of the sideways `flow` over the chordwise vortices on the wing: along the chord, per
    /// density and strength of the bound vortex (times skew).
    #[inline]
    pub(crate) fn act_skewed<T: Tally>(&self, strength: Four, flow: &Vector3<f64>, tally: &mut T) {
        let across = Vector3::new(0.0, flow.y, flow.z);
        let couple = -strength * self.skew_span.dot(&across);
        if T::TELLS_APART {
            for (k, _) in self.each() {
                let couple = self.chord_dir.lane(k) * couple.0[k];
                tally.add(self.parts[k], Effect::Skew, Vector3::zeros(), self.positions[k], couple);
            }
        } else {
            let couple = self.chord_dir.weighed(couple);
            tally.add(self.parts[0], Effect::Skew, Vector3::zeros(), Vector3::zeros(), couple);
        }
    }
}
