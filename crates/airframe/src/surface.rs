use measure::Side;

use crate::measured::Part;

/// The most moving surfaces one airframe may have: deflections travel in a fixed-size array.
pub const MAX_SURFACES: usize = 16;

/// One moving thing: left aileron, right elevator half, rudder, door.
#[derive(Debug, Clone, PartialEq)]
pub struct Surface {
    /// The hinge's or door's name in the file: `aileron`.
    pub hinge: String,
    /// Which part it sits on.
    pub part: Part,
    /// Left or right on mirrored parts.
    pub side: Option<Side>,
    /// Deflection at 100 %, trailing edge up or right (a door: 0) \[rad\], positive.
    pub throw_up: f64,
    /// Deflection at 100 %, trailing edge down or left (a door: fully open) \[rad\], positive.
    pub throw_down: f64,
    /// Mean chord behind the hinge line \[m\]: turns degrees into millimetres.
    pub chord: f64,
    /// Free play, from end to end with the servo held \[rad\]: a blend smaller than this is
    /// swallowed by the linkage. A door: 0.
    pub slop: f64,
}

impl Surface {
    /// Deflection \[rad\] at a share of full throw: `share` > 0 is trailing edge down (door open,
    /// rudder trailing edge left).
    #[must_use]
    pub fn deflection(&self, share: f64) -> f64 {
        share * if share > 0.0 { self.throw_down } else { self.throw_up }
    }

    /// Travel of the trailing edge \[m\] at a deflection \[rad\]: chord behind the hinge times
    /// 2 sin(d/2), what a ruler across the gap shows.
    #[must_use]
    pub fn travel(&self, deflection: f64) -> f64 {
        self.chord * 2.0 * libm::sin(0.5 * deflection)
    }

    /// `"left aileron"`, `"lower rudder"`.
    #[must_use]
    pub fn label(&self) -> String {
        let side = self.side.map_or(String::new(), |s| format!("{} ", s.word()));
        let lower = if matches!(self.part, Part::LowerWing | Part::LowerFin) { "lower " } else { "" };
        format!("{side}{lower}{}", self.hinge)
    }
}
