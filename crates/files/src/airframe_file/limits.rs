//! What each kind of measurement may be, and how far it may be off when its author did not say.
//!
//! Default tolerances of mass, centre of mass, incidence, thrust angles, throws and dihedral are
//! the project's conventions; all others, and all limits, are our judgement. The limits are wide:
//! they catch a wrong unit or sign, not an unusual model.

use measure::{DEG, Dimension, Measured};

use crate::reader::{Tolerance, Wanted, shown};

const fn wanted(dimension: Dimension, least: f64, most: f64, tolerance: Tolerance) -> Wanted {
    Wanted { dimension, least, most, tolerance }
}

const fn plus_minus(tolerance: f64) -> Tolerance {
    Tolerance::Plain(tolerance)
}

const fn percent(percent: f64) -> Tolerance {
    Tolerance::Relative(percent / 100.0)
}

/// Along the body or span, by ruler.
pub(super) const LENGTH: Wanted = wanted(Dimension::Length, -10.0, 10.0, plus_minus(0.002));
/// Up or down, against a reference line that has to be found first.
pub(super) const HEIGHT: Wanted = LENGTH.with_tolerance(plus_minus(0.005));
/// Chords, diameters, widths.
pub(super) const SIZE: Wanted = LENGTH.between(0.001, 5.0);
/// Of the centre of mass, along.
pub(super) const CENTRE_STATION: Wanted = LENGTH.with_tolerance(plus_minus(0.003));
/// Of the centre of mass, vertical.
pub(super) const CENTRE_WATERLINE: Wanted = LENGTH.with_tolerance(plus_minus(0.008));
/// Dihedral, where it is given by the height of the tip.
pub(super) const DIHEDRAL_TOLERANCE: f64 = 0.5 * DEG;

/// All up, or of a propeller.
pub(super) const MASS: Wanted = wanted(Dimension::Mass, 0.001, 150.0, percent(0.5));
pub(super) const INERTIA: Wanted = wanted(Dimension::Inertia, 1e-7, 500.0, percent(10.0));
pub(super) const SPEED: Wanted = wanted(Dimension::Speed, 2.0, 150.0, percent(5.0));

pub(super) const INCIDENCE: Wanted = wanted(Dimension::Angle, -20.0 * DEG, 20.0 * DEG, plus_minus(0.5 * DEG));
pub(super) const THRUST_ANGLE: Wanted = INCIDENCE;
/// Largest throw: beyond it neither linkage nor the section model is believable.
pub(super) const THROW: Wanted = wanted(Dimension::Angle, 0.5 * DEG, 60.0 * DEG, plus_minus(DEG));
/// Of a hinge that moves one way only.
pub(super) const ONE_WAY_THROW: Wanted = THROW.between(0.0, 60.0 * DEG);
/// Free play of a linkage.
pub(super) const SLOP: Wanted = wanted(Dimension::Angle, 0.0, 10.0 * DEG, plus_minus(0.25 * DEG));
pub(super) const DOOR_THROW: Wanted = THROW.between(DEG, 90.0 * DEG);
pub(super) const ZERO_LIFT: Wanted = wanted(Dimension::Angle, -15.0 * DEG, 15.0 * DEG, plus_minus(0.5 * DEG));
pub(super) const SEPARATION: Wanted = wanted(Dimension::Angle, 4.0 * DEG, 60.0 * DEG, plus_minus(2.0 * DEG));

pub(super) const HINGE_CHORD: Wanted = wanted(Dimension::Share, 0.01, 1.0, plus_minus(0.02));
pub(super) const ALONG_PANEL: Wanted = wanted(Dimension::Share, 0.0, 1.0, plus_minus(0.01));
pub(super) const SQUARENESS: Wanted = wanted(Dimension::Share, 0.0, 1.0, plus_minus(0.1));

pub(super) const MOMENT: Wanted = wanted(Dimension::Number, -0.5, 0.5, plus_minus(0.01));
pub(super) const DRAG: Wanted = wanted(Dimension::Number, 0.0, 2.0, percent(25.0));
pub(super) const COEFFICIENT: Wanted = wanted(Dimension::Number, 0.001, 20.0, percent(10.0));

pub(super) const AREA: Wanted = wanted(Dimension::Area, 1e-6, 5.0, percent(5.0));
/// Drag coefficient times area: estimated rather than measured.
pub(super) const DRAG_AREA: Wanted = wanted(Dimension::Area, 0.0, 5.0, percent(25.0));

pub(super) const FULL_REVOLUTIONS: Wanted = wanted(Dimension::Revolutions, 5.0, 4000.0, percent(2.0));
pub(super) const IDLE_REVOLUTIONS: Wanted = FULL_REVOLUTIONS.between(0.0, 4000.0);
/// Shorter than a tick is at once.
pub(super) const SPOOL: Wanted = wanted(Dimension::Time, 0.02, 30.0, percent(25.0));
pub(super) const VOLTAGE: Wanted = wanted(Dimension::Voltage, 1.0, 1000.0, percent(2.0));

pub(super) const SERVO_RATE: Wanted = wanted(Dimension::AngularRate, 10.0 * DEG, 5000.0 * DEG, percent(20.0));
pub(super) const SERVO_DELAY: Wanted = wanted(Dimension::Time, 0.0, 0.5, plus_minus(0.005));

/// 60 deg in 0.10 s and half a control interval: common practice, no source.
pub(super) const DEFAULT_SERVO_RATE: Measured = Measured::with_tolerance(600.0 * DEG, 120.0 * DEG);
pub(super) const DEFAULT_SERVO_DELAY: Measured = Measured::with_tolerance(0.010, 0.005);
/// A linkage in good order (common practice, no source).
pub(super) const DEFAULT_SLOP: Measured = Measured::with_tolerance(0.5 * DEG, 0.3 * DEG);
/// A section of ordinary finish (judgement).
pub(super) const DEFAULT_SECTION_DRAG: Measured = Measured::with_tolerance(0.012, 0.004);
/// Between a clean and a blunt fuselage (judgement).
pub(super) const DEFAULT_BODY_DRAG: Measured = Measured::with_tolerance(0.2, 0.1);
/// Half way between an ellipse and a box.
pub(super) const DEFAULT_SQUARENESS: Measured = Measured::with_tolerance(0.5, 0.25);
/// Six lithium cells under load; it sets only how stiffly the motor holds its revolutions.
pub(super) const DEFAULT_VOLTAGE: Measured = Measured::with_tolerance(22.2, 2.0);
/// A whole number of blades where none is given: by far the commonest propeller.
pub(super) const DEFAULT_BLADES: u32 = 2;

/// A length for a message: `"420 mm"`.
pub(super) fn length(measured: Measured) -> String {
    shown(Dimension::Length, measured.value)
}
