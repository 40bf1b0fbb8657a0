//! The nominal line of a leg: a straight line of any climb, with a bank about it, and how far a
//! model is from it. One rule for level, knife-edge, inverted and vertical flight.

use crate::scenario::Judged;
use flight::{AircraftState, Euler, earth_from_body};
use measure::{DEG, Side};
use nalgebra::{Matrix3, Vector3};

/// A straight line through the air, with the model's bank about it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Compass direction, also where the line is vertical: then it says where the canopy points \[rad\].
    pub track: f64,
    /// Climb angle, -90 to 90 deg \[rad\].
    pub climb: f64,
    /// Bank about the line, + right wing down \[rad\].
    pub bank: f64,
}

/// How a model lies on a line; the words of the trade follow from it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pose {
    /// Wings level, climbing or not.
    Upright,
    /// On its side.
    KnifeEdge,
    /// On its back.
    Inverted,
    /// Vertical upwards.
    UpLine,
    /// Vertical downwards.
    DownLine,
}

/// Where a model is against a line, in the frame of the line: along it, towards the right wing,
/// towards the gear.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Deviation {
    /// Nose turned towards the canopy \[rad\].
    pub pitch: f64,
    /// Nose turned towards the right wing \[rad\].
    pub yaw: f64,
    /// Rolled about the line, + right wing down \[rad\].
    pub roll: f64,
    /// Path turned towards the canopy \[rad\].
    pub bend: f64,
    /// Path turned towards the right wing \[rad\].
    pub slide: f64,
    /// Off the line towards the canopy, in the air \[m\].
    pub canopy: f64,
    /// Off the line towards the right wing, in the air \[m\].
    pub right: f64,
    /// Way along the line, in the air \[m\].
    pub along: f64,
}

impl Line {
    /// Line to earth: along, right wing, gear.
    #[must_use]
    pub fn frame(&self) -> Matrix3<f64> {
        earth_from_body(&Euler { roll: self.bank, pitch: self.climb, yaw: self.track }.attitude())
    }

    /// The same, turned by the smallest rotation that lays it along `path`, a unit vector in earth
    /// axes: what is judged is the bend, not how well a line was entered.
    #[must_use]
    pub(crate) fn frame_along(&self, path: &Vector3<f64>) -> Matrix3<f64> {
        let frame = self.frame();
        let nominal = frame.column(0).into_owned();
        let (axis, cos) = (nominal.cross(path), nominal.dot(path));
        // the other way round has no smallest rotation
        if cos < -0.99 {
            return frame;
        }
        let cross = axis.cross_matrix();
        (Matrix3::identity() + cross + cross * cross / (1.0 + cos)) * frame
    }
}

impl Judged {
    /// How the model lies on the judged line.
    #[must_use]
    pub fn pose(&self) -> Pose {
        const STEEP: f64 = 60.0 * DEG;
        let over = self.bank.abs();
        match self.climb {
            climb if climb > STEEP => Pose::UpLine,
            climb if climb < -STEEP => Pose::DownLine,
            _ if over > 135.0 * DEG => Pose::Inverted,
            _ if over > 45.0 * DEG => Pose::KnifeEdge,
            _ => Pose::Upright,
        }
    }

    /// The judged line of a manoeuvre entered on `track`, flown to `side`.
    #[must_use]
    pub fn line(&self, track: f64, side: Side) -> Line {
        Line { track, climb: self.climb, bank: side.sign() * self.bank }
    }
}

impl Deviation {
    /// Of a state that has come `moved` \[m, earth, in the air\] along a path `path` (unit, earth).
    pub(crate) fn of(
        frame: &Matrix3<f64>,
        state: &AircraftState,
        path: &Vector3<f64>,
        moved: &Vector3<f64>,
    ) -> Self {
        let attitude = frame.tr_mul(&earth_from_body(&state.body.attitude));
        let moved = frame.tr_mul(moved);
        let [pitch, yaw] = turned(&attitude.column(0).into_owned());
        let [bend, slide] = turned(&frame.tr_mul(path));
        Self {
            pitch,
            yaw,
            roll: libm::atan2(attitude[(2, 1)], attitude[(2, 2)]),
            bend,
            slide,
            canopy: -moved.z,
            right: moved.y,
            along: moved.x,
        }
    }

    /// With the angles of nose and roll counted on from `before` instead of folded back.
    pub(crate) fn counted_on_from(self, before: &Self) -> Self {
        let on = |now: f64, then: f64| then + crate::aim::wrapped(now - then);
        Self {
            pitch: on(self.pitch, before.pitch),
            yaw: on(self.yaw, before.yaw),
            roll: on(self.roll, before.roll),
            ..self
        }
    }

    /// Nose and roll as changes since `start`.
    pub(crate) fn since(self, start: &Self) -> Self {
        Self {
            pitch: self.pitch - start.pitch,
            yaw: self.yaw - start.yaw,
            roll: self.roll - start.roll,
            ..self
        }
    }

    /// Every entry the one that is further from 0.
    pub(crate) fn furthest(self, other: Self) -> Self {
        let far = |a: f64, b: f64| if b.abs() > a.abs() { b } else { a };
        Self {
            pitch: far(self.pitch, other.pitch),
            yaw: far(self.yaw, other.yaw),
            roll: far(self.roll, other.roll),
            bend: far(self.bend, other.bend),
            slide: far(self.slide, other.slide),
            canopy: far(self.canopy, other.canopy),
            right: far(self.right, other.right),
            along: far(self.along, other.along),
        }
    }
}

/// How far a direction, line axes, is turned from the line: the angle between them, shared out
/// towards canopy and right wing \[rad\]. A large turn to one side leaves the other readable.
fn turned(direction: &Vector3<f64>) -> [f64; 2] {
    let (canopy, right) = (-direction.z, direction.y);
    let across = libm::hypot(canopy, right);
    let angle = libm::atan2(across, direction.x);
    if across == 0.0 { [angle, 0.0] } else { [angle * (canopy / across), angle * (right / across)] }
}

#[cfg(test)]
mod tests {
    use super::*;
    use core::f64::consts::{FRAC_PI_2, PI};

    fn close(a: Vector3<f64>, b: [f64; 3]) -> bool {
        (a - Vector3::from(b)).norm() < 1e-12
    }

    /// Where canopy and right wing point, by hand.
    #[test]
    fn frames_of_the_trade() {
        let canopy = |line: Line| -line.frame().column(2).into_owned();
        let right = |line: Line| line.frame().column(1).into_owned();
        let north = Line { track: 0.0, climb: 0.0, bank: 0.0 };
        assert!(close(canopy(north), [0.0, 0.0, -1.0]) && close(right(north), [0.0, 1.0, 0.0]));
        let edge = Line { bank: -FRAC_PI_2, ..north };
        assert!(close(canopy(edge), [0.0, -1.0, 0.0]), "left wing down: canopy to the west");
        let inverted = Line { bank: PI, ..north };
        assert!(close(canopy(inverted), [0.0, 0.0, 1.0]) && close(right(inverted), [0.0, -1.0, 0.0]));
        let up = Line { climb: FRAC_PI_2, ..north };
        assert!(close(up.frame().column(0).into_owned(), [0.0, 0.0, -1.0]));
        assert!(
            close(canopy(up), [-1.0, 0.0, 0.0]) && close(right(up), [0.0, 1.0, 0.0]),
            "back to the entry"
        );
        let down = Line { climb: -FRAC_PI_2, ..north };
        assert!(close(canopy(down), [1.0, 0.0, 0.0]) && close(right(down), [0.0, 1.0, 0.0]));
    }

    /// The same small departure reads the same on every line.
    #[test]
    fn deviations_read_alike_on_every_line() {
        for climb in [-FRAC_PI_2, -0.7, 0.0, 0.8, FRAC_PI_2] {
            for bank in [0.0, -FRAC_PI_2, PI, 0.4] {
                let line = Line { track: 2.0, climb, bank };
                let frame = line.frame();
                let turned = Euler { roll: 0.3, pitch: 0.1, yaw: -0.2 };
                let at = Euler { roll: bank, pitch: climb, yaw: 2.0 }.attitude() * turned.attitude();
                let mut state = still();
                state.body.attitude = at;
                let path = frame * Vector3::new(1.0, 0.02, -0.05).normalize();
                let d = Deviation::of(&frame, &state, &path, &(frame * Vector3::new(7.0, 2.0, -3.0)));
                let (canopy, right) = (libm::sin(0.1), -libm::cos(0.1) * libm::sin(0.2));
                let across = libm::hypot(canopy, right);
                let nose = libm::asin(across);
                let path = libm::atan(libm::hypot(0.02, 0.05)) / libm::hypot(0.02, 0.05);
                for (got, wanted) in [
                    (d.roll, 0.3),
                    (d.yaw, nose * right / across),
                    (d.pitch, nose * canopy / across),
                    (d.bend, 0.05 * path),
                    (d.slide, 0.02 * path),
                    (d.canopy, 3.0),
                    (d.right, 2.0),
                    (d.along, 7.0),
                ] {
                    assert!((got - wanted).abs() < 1e-12, "{climb} {bank}: {got} {wanted}");
                }
            }
        }
    }

    #[test]
    fn a_frame_lies_along_the_path() {
        let line = Line { track: 0.3, climb: -FRAC_PI_2, bank: 0.0 };
        let path = Vector3::new(0.1, -0.05, 0.9).normalize();
        let frame = line.frame_along(&path);
        assert!((frame.column(0) - path).norm() < 1e-12);
        assert!((frame * frame.transpose() - Matrix3::identity()).norm() < 1e-12);
        assert!(frame.column(1).dot(&line.frame().column(1)) > 0.99, "turned no more than it takes");
    }

    fn still() -> AircraftState {
        let body = flight::BodyState {
            position: Vector3::zeros(),
            velocity: Vector3::x(),
            attitude: Euler { roll: 0.0, pitch: 0.0, yaw: 0.0 }.attitude(),
            rate: Vector3::zeros(),
        };
        AircraftState { body, rotor: 0.0, wake: [0.0; aero::MAX_WING_STRIPS] }
    }
}
