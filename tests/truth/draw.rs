//! Numbers that look random but are a function of seed and place, and draws made with them.

use aero::Coefficients;

use crate::aircraft::Fleet;
use crate::sketch::{Sketch, WingSketch};

/// Draws one number after the other.
pub(crate) struct Draw {
    state: u64,
}

impl Draw {
    pub(crate) fn new(seed: u64) -> Self {
        Self { state: seed.wrapping_mul(0xD134_2543_DE82_EF95) }
    }

    /// Evenly spread between `low` and `high`. SplitMix64 (Steele, Lea and Flood, OOPSLA 2014;
    /// constants from memory).
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^= z >> 31;
        low + (high - low) * ((z >> 11) as f64 / (1_u64 << 53) as f64)
    }

    /// Empirical numbers from all their ranges.
    pub(crate) fn coefficients(&mut self) -> Coefficients {
        let mut c = Coefficients::default();
        for field in Coefficients::FIELDS {
            (field.set)(&mut c, self.between(field.low, field.high));
        }
        c
    }

    /// The published aircraft with other values for what was not published: control chords 15 % either
    /// way on all; on those whose tail, fin and body are assumed also 15 % of every size of fin and
    /// tailplane, 10 % of the body's height, heights of wing and tailplane by a twentieth of the
    /// chord, dihedral 0 to 2.5 deg (shoulder wings) or 0 to 1 deg, squareness 0.15.
    pub(crate) fn fleet(&mut self) -> Fleet {
        let plain = Fleet::assumed();
        Fleet {
            navion: self.controls(&plain.navion),
            shoulder: self.sizes(&plain.shoulder, 2.5),
            middle: self.sizes(&plain.middle, 1.0),
            small: self.sizes(&plain.small, 2.5),
        }
    }

    fn controls(&mut self, s: &Sketch) -> Sketch {
        let mut other = s.clone();
        let factor = self.between(0.85, 1.15);
        for w in [&mut other.wing, &mut other.tail] {
            for hinge in [&mut w.aileron, &mut w.flap, &mut w.elevator].into_iter().flatten() {
                hinge.2 *= factor;
            }
        }
        other.fin.rudder *= self.between(0.85, 1.15);
        other
    }

    fn sizes(&mut self, s: &Sketch, dihedral: f64) -> Sketch {
        let mut other = self.controls(s);
        let lift = 0.05 * s.wing.root;
        other.wing.dihedral = self.between(0.0, dihedral);
        other.wing.z += self.between(-lift, lift);
        other.tail = WingSketch { z: s.tail.z + self.between(-lift, lift), ..other.tail };
        let (span, chord) = (self.between(0.85, 1.15), self.between(0.85, 1.15));
        other.tail.span *= span;
        other.tail.root *= chord;
        other.tail.tip *= chord;
        let (height, chord) = (self.between(0.85, 1.15), self.between(0.85, 1.15));
        for fin in [Some(&mut other.fin), other.low_fin.as_mut()].into_iter().flatten() {
            fin.height *= height;
            fin.root *= chord;
            fin.tip *= chord;
        }
        let deep = self.between(0.9, 1.1);
        for station in &mut other.stations {
            station[1] *= deep;
        }
        other.squareness = (s.squareness + self.between(-0.15, 0.15)).clamp(0.0, 1.0);
        other
    }
}

/// The value that a share of the list lies below; sorts it.
pub(crate) fn quantile(values: &mut [f64], share: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    let place = share * (values.len() - 1) as f64;
    let (low, part) = (place as usize, place.fract());
    let high = (low + 1).min(values.len() - 1);
    values[low] + (values[high] - values[low]) * part
}
