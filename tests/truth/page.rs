//! docs/truth.md and its pictures, written from the checks.

use std::fmt::Write;

use aero::Coefficients;

use crate::aircraft::{self, Curve, Fleet};
use crate::bands;
use crate::check::{Check, Rule};
use crate::components;
use crate::families;
use crate::formulas;
use crate::misses;
use crate::missing;

/// Set to anything, it writes the page instead of holding it against the files.
const RENEW: &str = "COUNTERMIX_RENEW";

/// Path from the root of the repository, and text.
fn files() -> Vec<(String, String)> {
    let curves = aircraft::pitch_curves(&Fleet::assumed(), &Coefficients::default());
    let mut all = vec![("docs/truth.md".to_owned(), page())];
    all.extend(curves.iter().map(|c| (format!("docs/pictures/{}", picture_name(c)), picture(c))));
    all
}

/// Holds the page against the files, or renews it.
pub(crate) fn hold() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    for (path, text) in files() {
        let whole = root.join(&path);
        if std::env::var_os(RENEW).is_some() {
            std::fs::write(&whole, &text).unwrap();
        }
        let there = std::fs::read_to_string(&whole).unwrap_or_default().replace("\r\n", "\n");
        assert!(there == text, "{path} is stale; renew it with {RENEW}=1 cargo test --test truth");
    }
}

pub(crate) fn page() -> String {
    let default = Coefficients::default();
    let prototype = Coefficients::prototype();
    let fleet = Fleet::assumed();
    let parts = (components::checks(&default), components::checks(&prototype));
    let whole = (aircraft::checks(&fleet, &default), aircraft::checks(&fleet, &prototype));
    let added = (aircraft::added(&fleet, &default), aircraft::added(&fleet, &prototype));
    let (formulas, inertia) = (formulas::checks(), aircraft::inertia(&fleet));
    let bands = bands::bands();
    let held = |list: &[Check]| list.iter().filter(|c| c.holds()).count();
    let covered = whole.0.iter().zip(bands).filter(|(c, b)| bands::covers(**b, c.published)).count();
    let mut out = String::from(HEAD);
    let all_covered = whole.0.iter().zip(bands).filter(|(c, b)| bands::covers_all(**b, c.published)).count();
    let new_bands = &bands[whole.0.len()..];
    let new_covered = added.0.iter().zip(new_bands).filter(|(c, b)| bands::covers(**b, c.published)).count();
    writeln!(
        out,
        "## In short\n\n- {} of {} closed forms hold, {} of {} component checks, {} of {} of whole aircraft; of the prototype the model began as, {} of the component checks and {} of whole aircraft.\n- In {} of {} rows of whole aircraft a published value lies between the 10 and the 90 % of the draws, in {all_covered} every one. Of {} rows added after the ranges had been opened {new_covered} do, and {} hold.\n- {} of {} guessed moments of inertia hold; a swing test replaces the guess.",
        held(&formulas), formulas.len(), held(&parts.0), parts.0.len(), held(&whole.0), whole.0.len(), held(&parts.1), held(&whole.1),
        covered, whole.0.len(), added.0.len(), held(&added.0), held(&inertia), inertia.len(),
    )
    .unwrap();
    pair(&mut out, &whole.0, bands);
    let facts = families::facts();
    writeln!(
        out,
        "- Of {} trade facts on drawn families {} come out in at least 80 % of the aircraft.\n",
        facts.len(),
        facts.iter().filter(|f| f.holds()).count(),
    )
    .unwrap();
    out.push_str("## Closed forms\n\n");
    out.push_str(FORMULAS);
    table(&mut out, &formulas, None, None);
    out.push_str("\n## Component data\n");
    table(&mut out, &parts.0, Some(&parts.1), None);
    out.push_str("\n## Whole aircraft\n\n");
    out.push_str(SIZES);
    table(&mut out, &whole.0, Some(&whole.1), Some(bands));
    out.push_str(ADDED);
    table(&mut out, &added.0, Some(&added.1), Some(&bands[whole.0.len()..]));
    table(&mut out, &inertia, None, None);
    out.push_str(PICTURES);
    out.push_str(MISSING);
    missing::table(&mut out);
    table(&mut out, &missing::checks(), None, None);
    out.push('\n');
    out.push_str("## Trade facts on families\n\n");
    out.push_str(FAMILIES);
    families::table(&mut out);
    out.push_str("\n## What is missed, and why\n\n");
    for (name, cause) in misses::listed() {
        writeln!(out, "- **{name}.** {cause}").unwrap();
    }
    out.push_str(REST);
    out
}

/// The pair the tool stands on, in a line each.
fn pair(out: &mut String, checks: &[Check], bands: &[(f64, f64)]) {
    let pitch = ["pitch by 20 deg of sideslip", "pitch, 3 to 20 deg of sideslip"];
    for (c, (low, high)) in checks.iter().zip(bands).filter(|(c, _)| pitch.contains(&c.quantity)) {
        let sign = if c.found * c.middle() > 0.0 { "as" } else { "**against**" };
        writeln!(
            out,
            "- {}: {} {}, published {}, sign {sign} measured; 10 to 90 % of the draws {} .. {}.",
            c.subject,
            c.quantity,
            number(c.found),
            number(c.middle()),
            number(*low),
            number(*high)
        )
        .unwrap();
    }
}

fn number(x: f64) -> String {
    let size = x.abs();
    if size >= 10.0 {
        format!("{x:.1}")
    } else if size >= 1.0 {
        format!("{x:.2}")
    } else if size >= 0.1 {
        format!("{x:.3}")
    } else {
        format!("{x:.4}")
    }
}

fn rule(rule: Rule) -> String {
    match rule {
        Rule::Within(share) => format!("{} %", (1e4 * share).round() / 100.0),
        Rule::Near(distance) => format!("±{distance}"),
        Rule::Shape => "half to twice".to_owned(),
        Rule::Between(least, most) => format!("{least} to {most} times"),
    }
}

/// `before`: what the prototype says; `bands`: what the draws say.
fn table(out: &mut String, now: &[Check], before: Option<&[Check]>, bands: Option<&[(f64, f64)]>) {
    let mut subject = "";
    for (i, c) in now.iter().enumerate() {
        if c.subject != subject {
            subject = c.subject;
            let (head, line) = if bands.is_some() { (" 10 .. 90 % |", "---|") } else { ("", "") };
            let (old, old_line) = if before.is_some() { (" prototype |", "---|") } else { ("", "") };
            writeln!(out, "\n| {subject} | published | model |{old} off | allowed |{head} verdict |\n|---|---|---|{old_line}---|---|{line}---|").unwrap();
        }
        let old = before.map_or(String::new(), |list| format!(" {} |", number(list[i].found)));
        let published: Vec<String> = c.published.iter().map(|&p| number(p)).collect();
        let verdict = if c.holds() { "holds" } else { "missed" };
        let band = bands.map_or(String::new(), |b| {
            let mark = if bands::covers(b[i], c.published) { "" } else { " (outside)" };
            format!(" {} .. {}{mark} |", number(b[i].0), number(b[i].1))
        });
        writeln!(
            out,
            "| {} | {} | {} |{old} {} | {} |{band} {verdict} |",
            c.quantity,
            published.join(" / "),
            number(c.found),
            number(c.difference()),
            rule(c.rule),
        )
        .unwrap();
    }
}

fn picture_name(curve: &Curve) -> String {
    format!("pitch-in-sideslip-{}.svg", curve.name.replace(' ', "-"))
}

/// Computed line, measured dots.
fn picture(curve: &Curve) -> String {
    let (left, top, wide, high) = (70.0, 40.0, 520.0, 300.0);
    let most = 0.06;
    let x = |beta: f64| left + wide * beta / 25.0;
    let y = |pitch: f64| top + high * (0.5 - pitch / (2.0 * most));
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 640 400\" font-family=\"sans-serif\" font-size=\"15\">\n<rect width=\"640\" height=\"400\" fill=\"#ffffff\"/>\n<text x=\"{left}\" y=\"24\" fill=\"#222222\">{}: pitching moment coefficient against sideslip</text>\n<text x=\"590\" y=\"58\" text-anchor=\"end\" fill=\"#222222\">line computed, dots measured</text>\n",
        curve.name
    );
    for k in -2_i32..=2 {
        let pitch = 0.03 * f64::from(k);
        let at = y(pitch);
        writeln!(out, "<line x1=\"{left}\" x2=\"{:.1}\" y1=\"{at:.1}\" y2=\"{at:.1}\" stroke=\"#cccccc\"/>\n<text x=\"62\" y=\"{:.1}\" text-anchor=\"end\" fill=\"#222222\">{pitch:+.2}</text>", left + wide, at + 5.0).unwrap();
    }
    for k in 0_i32..=5 {
        let beta = 5.0 * f64::from(k);
        writeln!(
            out,
            "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"middle\" fill=\"#222222\">{beta} deg</text>",
            x(beta),
            top + high + 22.0
        )
        .unwrap();
    }
    out.push_str("<text x=\"78\" y=\"58\" fill=\"#222222\">nose up</text>\n<text x=\"78\" y=\"334\" fill=\"#222222\">nose down</text>\n");
    let points: Vec<String> =
        curve.computed.iter().map(|&(b, p)| format!("{:.1},{:.1}", x(b), y(p))).collect();
    writeln!(
        out,
        "<polyline fill=\"none\" stroke=\"#1f5fa8\" stroke-width=\"2\" points=\"{}\"/>",
        points.join(" ")
    )
    .unwrap();
    for &(b, p) in &curve.measured {
        writeln!(out, "<circle cx=\"{:.1}\" cy=\"{:.1}\" r=\"4.5\" fill=\"#b3401f\"/>", x(b), y(p)).unwrap();
    }
    out.push_str("</svg>\n");
    out
}

const HEAD: &str = "# What the model predicts against what was measured

Written by the tests (`COUNTERMIX_RENEW=1 cargo test --test truth` renews it; a test fails when it is stale). Sources stand
beside the numbers in `tests/truth` and `tests/data/aircraft`. Nothing here is a flight of a model aircraft with
measured percentages: none was found in print.

\"Prototype\" are the empirical numbers the model began with, before component data replaced them
([decision 0006](decisions/0006-terms-beyond-the-prototype.md)). \"Off\" is the difference to the nearest published value.

";

const FORMULAS: &str = "What no empirical number moves. Motion against the NASA check cases, the standard atmosphere and bodies that turn
without torque are held in `crates/flight` (`val_nesc`, `val_torque_free`, `atmosphere`), a hundredth of a degree and finer.
";

const SIZES: &str = "All sizes of the Navion are published but its control chords. Of the other three only the wing (and of the mid wing
the tailplane) is: fin, body and heights are assumed, once, before anything was compared. Of what hangs on those only signs, growth and
\"half to twice\" are asked, of what the wing alone makes more. The last but one column is what 200 draws of all empirical numbers from their ranges, and of
the assumed sizes from ordinary ranges, give.
";

const ADDED: &str = "
Rows that were added after the ranges had been opened. Nothing was set on them but lift in sideslip (decision 0009). Power is
the change from windmilling without the thrust and its moment, which the source cannot contain in full.
";

const PICTURES: &str = "
![Shoulder wing](pictures/pitch-in-sideslip-shoulder-wing.svg)
![Mid wing](pictures/pitch-in-sideslip-mid-wing.svg)

";

const MISSING: &str = "## How the missing sizes move it

Pitch coefficient at 20 deg of sideslip (of the mid wing less that at 3 deg) with one size that was not published at
either end of an ordinary range, everything else as assumed. Half heights of the bodies are 0.09 m: 0.05 wing chords
are 12 and 20 mm.
";

const FAMILIES: &str = "200 seeded aircraft per class from ordinary ranges (`tests/truth/families.rs`), balanced at a drawn static margin, fins
grown until yaw by sideslip is that of the weakest published aircraft. Facts are common practice, no source. Propellers
removed, mean of both sides, except where power is the question. Knife edge is flown at the trimmed speed, with 60 %
rudder unless it is said to keep its height; sizes are % of the control's throw, of elevator in knife edge per rudder.
\"Sorted\" is a design intent, not an outcome: wing, tailplane, thrust line and centre of mass on one line to 2 % of the
body's height, no dihedral, no incidence, a static margin of 3 to 7 %.

";

const REST: &str = "
## Tried

Not kept, with what it would have done.

- **Lift of leading-edge and side-edge vortices on tail surfaces** (suction analogy of Polhamus, NASA TN D-3767, number from
  memory): the suction that a sharp edge loses turned into normal force. By hand its leading edge gives the plate of aspect
  ratio 2 half of what it lacks at 10 deg. (Numbers of the model as it was then.) On fins it mends the mid wing's yaw at 20 deg (0.143 to 0.185, published 0.182
  to 0.202), but side force then grows too fast with sideslip on both tunnel models (1.28 against 1.11, 1.24 against 1.06 to 1.09) and the shoulder wing's yaw at
  20 deg gets worse (0.107 against 0.073): fins of models are not sharp plates. With the 30 % of suction that the model
  takes for lost the effects are a third of that, of the same signs. Rejected.
- **More loss in the body's wake at the tail** (0.8 in place of 0.6) for the neutral point: nearer on all (by 0.1 to 0.6 % of
  the chord), but elevator, rudder and tail forces of the mid wing, already a fifth too small, fall by 3 %. Rejected.
- **A lighter tail for the neutral point**: it comes out too far aft on three aircraft, but the mid wing's elevator and
  tail force are already a fifth too small, and pitch by pitch rate a third too small on the small shoulder wing. Rejected.
- **A narrower jet at the tail**, by hand: a jet contracted to 0.74 of the propeller's radius with all its momentum would double the
  rudder and still give the elevator half as much again, because it covers a third of the tailplane. Not tried further.

## Predicted, set, unknown

- **Predicted** (nothing was set on it, but fin and flap factors were set after some control powers had been seen): the
  Navion but for its side force and pitch damping; roll and yaw damping and control powers of the tunnel models; downwash;
  rudder pitching the mid wing nose up; the flap series on a wing of aspect ratio 3.1; the section all round, the rudder of a
  fin alone, adverse yaw.
- **Set after seeing whole aircraft**: tail factor, shape of flap effectiveness, width of
  the separation step, field at the fin, wing-flap fall, lift and roll beyond separation; widths of all ranges, which
  were opened until four in five of the values above lay inside. Ranges are therefore no prediction.
- **Set after seeing this page** (decision 0009): the body's lee no longer acts at wings, its narrow upwash is eased before it
  separates them (lift in sideslip of the tunnel models at every incidence; pitch was in sight and not set on);
  base of the side force 1.5 (side force of all four aircraft, part of whose gap on the mid wing may be the tunnel's); relief of the propeller 0.8 (published estimate); radii of
  gyration (all fifteen moments of inertia). Rows about these are no prediction.
- **Set on component data**: see decision 0006.
- **Ranges of families**: stated before the facts were looked at, but for two. That no drawn aircraft is weaker in yaw than
  the weakest published one was added after biplanes had been seen to fly knife edge with a sixth of their rudder; \"sorted\"
  is one line within what a builder can hold, and was not changed after the first look.
- **Unknown**: why side force needs 1.5; the jet at the tail (rudder and elevator of one tunnel model contradict each
  other and the handbook); pitch with power; the wake of a separated wing; the mid wing's lift in sideslip; biplane struts and
  a biplane beyond 40 deg of sideslip; anything in hover.
- **Wrong, and known to be**: the neutral point comes out 1 to 4 % of the chord too far aft on the aircraft above; never set a balance
  by it; a cure by the centre of mass begins where the model flies well, and goes in millimetres. Moments of inertia guessed from mass, span and length are off by a third or two.
- A percentage printed by this tool can be off by a factor of 1.5 to 2 even where every check of its class holds; pitch in
  sideslip by more where tail and wing heights are not known to a centimetre (tables above).

## Not compared

- The nonlinear fighter of Stevens, Lewis and Johnson (*Aircraft Control and Simulation*, 3rd ed., 2015): its trims need the
  book's tables of forces, which are not carried here.
- What was published of small aerobatic aircraft as a class (spans, throws, thrust over weight: AIAA 2013-2807; J. Aircraft
  51(6), 2014) and a fit of one propeller at an angle: no number of theirs is a force that could be held against the model.
- Pitching moment against yaw with the wing high, in the middle and low on one body (NACA TN 730, 804, 825, Report 705): the
  best further source for the central pair, not at hand.

## Credibility, factor by factor (NASA-STD-7009B, levels 0 to 4; the standard's text from memory)

| factor | level | why |
|---|---|---|
| data pedigree | 2 | published tunnel and flight values, but three of four aircraft with assumed sizes; charts second hand |
| verification | 3 | motion against NASA check cases and closed forms; forces against an independent prototype to rounding |
| validation | 1 | derivatives and curves of four aircraft; no flight of a model, no measured percentage |
| input pedigree | 1 | ruler numbers of the pilot with default tolerances; inertia guessed, off by a third or two, unless swung; demo models are invented |
| uncertainty characterisation | 1 | draws over all empirical numbers, but ranges opened on the same data they are shown on, ranges of drag and of the lee at wings with the rows added later in sight; inertia not drawn |
| results robustness | 2 | what moves the central pair is tabled size by size; signs tested on families; a centimetre at the tail outweighs the model |
| use history | 0 | none |
| management of model and simulation | 2 | version control, decisions, tests that fail on any change; one reviewer |
";
