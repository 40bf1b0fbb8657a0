//! Where a model balances, and where it would be neither stable nor unstable.

use measure::{Fault, Severity, Span};
use study::Balance;

/// Beyond this a model is stiff in pitch, and a slip of the ruler likelier (own choice, no source).
const STIFF: f64 = 0.30;

/// What is worth a word about it, at the place where the centre of mass stands.
pub(crate) fn caution(balance: &Balance, span: Span) -> Option<Fault> {
    let margin = balance.neutral - balance.centre;
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
            percent(balance.centre),
            percent(balance.neutral)
        ),
        allowed: "any; usual is 5 % to 20 % of the mean chord ahead of the neutral point, which is \
                  uncertain by -10/+3 % of it"
            .to_owned(),
        next: next.to_owned(),
    })
}
