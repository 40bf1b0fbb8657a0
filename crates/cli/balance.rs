//! Where a model balances, and where it would be neither stable nor unstable.

use aero::{Coefficients, Model, margin};
use airframe::Geometry;
use measure::{Fault, Severity, Span};

/// In shares of the mean chord of the (upper) wing, behind its leading edge, propeller removed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Balance {
    pub(crate) centre: f64,
    pub(crate) neutral: f64,
}

/// Beyond this a model is stiff in pitch, and a slip of the ruler likelier (own choice, no source).
const STIFF: f64 = 0.30;

impl Balance {
    /// At the trimmed speed. The mean chord lies half way along the wing.
    pub(crate) fn of(geometry: &Geometry) -> Self {
        let wing = geometry.wing();
        let chord = wing.mean_chord();
        let leading_edge = wing.root.x + 0.5 * wing.reach.x + 0.25 * chord;
        let model = Model::prepare(geometry, &Coefficients::default());
        let centre = leading_edge / chord;
        Self { centre, neutral: centre + margin(&model, geometry.trimmed_speed).behind / chord }
    }

    /// What is worth a word about it, at the place where the centre of mass stands.
    pub(crate) fn caution(&self, span: Span) -> Option<Fault> {
        let margin = self.neutral - self.centre;
        let (what, next) = if margin < 0.0 {
            ("behind the neutral point", "measure it again; if it is right, move mass forward before you fly")
        } else if margin > STIFF {
            ("far ahead of the neutral point", "measure it and the tailplane again; leave it if it is meant")
        } else {
            return None;
        };
        let percent = |share: f64| format!("{:.0} %", 100.0 * share);
        Some(Fault {
            span,
            severity: Severity::Caution,
            field: "mass.centre.station".to_owned(),
            found: format!(
                "a centre of mass at {} of the mean chord, {what} at {}",
                percent(self.centre),
                percent(self.neutral)
            ),
            allowed: "any; usual is 5 % to 20 % of the mean chord ahead of the neutral point, which is \
                      uncertain by -10/+3 % of it"
                .to_owned(),
            next: next.to_owned(),
        })
    }
}
