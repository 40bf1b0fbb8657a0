//! Wings, tailplanes, fins and their hinges.

use airframe::{Aerofoil, Hinge, Panel, PanelEnd, Part};
use measure::{DEG, Dimension, Measured};

use super::limits as lim;
use crate::filled::Filled;
use crate::form::{Accepts, Field, Form, words_of};
use crate::reader::{Item, Read, Says, Tolerance, report_twins, shown};

pub(super) static PANEL: Form = Form::new(
    "panel",
    "a wing, tailplane or fin, straight from root to tip; the right half, its mirror image is the left",
    &[
        Field::words("part", &words_of(&PARTS), "which part of the model it is"),
        Field::new("root", Accepts::Table(&END), "innermost section; a fin's where it leaves the body"),
        Field::new("tip", Accepts::Table(&END), "outermost section"),
        Field::new("section", Accepts::Table(&SECTION), "the aerofoil; a wing needs it")
            .like("{ camber = \"symmetrical\" }")
            .absent("symmetrical (tailplane, fins)"),
        Field::new("strips", Accepts::Count(1, 60), "strips per half in the calculation")
            .absent("10 wing, 6 tailplane and fin, 3 lower fin"),
        Field::new("hinge", Accepts::Tables(&HINGE), "moving parts on it").absent("none"),
    ],
    &[],
);

static END: Form = Form::new(
    "end",
    "a section, by its leading edge",
    &[
        Field::quantity("station", lim::LENGTH, "of the leading edge"),
        Field::quantity("waterline", lim::HEIGHT, "of the leading edge"),
        Field::quantity("buttline", lim::LENGTH, "from the plane of symmetry; only a tip's")
            .like("\"1000 mm\"")
            .absent("0 mm: roots and fins"),
        Field::quantity("chord", lim::SIZE, "leading to trailing edge").usual(0.02, 1.2),
        Field::quantity("incidence", lim::INCIDENCE, "leading edge up")
            .or(Measured::with_tolerance(0.0, 0.5 * DEG))
            .usual(-6.0 * DEG, 8.0 * DEG),
    ],
    &[],
);

static SECTION: Form = Form::new(
    "section",
    "the aerofoil",
    &[
        Field::words("camber", &words_of(&Camber::WORDS), "how it looks").absent("by zero_lift and moment"),
        Field::quantity("zero_lift", lim::ZERO_LIFT, "angle of no lift, negative for camber")
            .like("\"-2 deg\"")
            .absent("by camber"),
        Field::quantity("moment", lim::MOMENT, "about the quarter chord at no lift, negative for camber")
            .like("-0.035")
            .absent("by camber"),
        Field::quantity("separation", lim::SEPARATION, "incidence at which the flow begins to separate")
            .absent("15 deg wing, 16 deg tailplane, fins by their aspect ratio"),
        Field::quantity("drag", lim::DRAG, "drag coefficient at no lift")
            .or(lim::DEFAULT_SECTION_DRAG)
            .usual(0.004, 0.1),
    ],
    &[&["camber"], &["zero_lift", "moment"]],
);

static HINGE: Form = Form::new(
    "hinge",
    "a moving part",
    &[
        Field::words("name", &["aileron", "flap", "elevator", "rudder"], "what it is"),
        Field::quantity("chord", lim::HINGE_CHORD, "behind the hinge line, of the local chord")
            .like("\"25 %\""),
        Field::quantity("from", lim::ALONG_PANEL, "inner end, of the panel's length from its root")
            .like("\"10 %\"")
            .advice(ON_ITS_PANEL),
        Field::quantity("to", lim::ALONG_PANEL, "outer end").like("\"95 %\"").advice(ON_ITS_PANEL),
        Field::quantity("throw", lim::THROW, "at 100 %, both ways")
            .like("\"25 deg\"")
            .absent("by throw_up and throw_down")
            .advice(A_THROW),
        Field::quantity("throw_up", lim::ONE_WAY_THROW, "at 100 %, trailing edge up (rudder: right)")
            .absent("by throw")
            .advice(A_THROW),
        Field::quantity("throw_down", lim::ONE_WAY_THROW, "at 100 %, trailing edge down (rudder: left)")
            .absent("by throw")
            .advice(A_THROW),
        Field::quantity("slop", lim::SLOP, "free play from end to end, servo held").or(lim::DEFAULT_SLOP),
    ],
    &[&["throw"], &["throw_up", "throw_down"]],
);

const ON_ITS_PANEL: &str = "a hinge lies within its panel: 0 % is the panel's root, 100 % its tip";
const A_THROW: &str = "give the angle from the middle to one end, not from end to end; a linkage seldom \
                       turns a surface further than 60 deg, and the model is not made for more";

const PARTS: [(&str, Part); 5] = [
    (Part::Wing.word(), Part::Wing),
    (Part::LowerWing.word(), Part::LowerWing),
    (Part::Tailplane.word(), Part::Tailplane),
    (Part::Fin.word(), Part::Fin),
    (Part::LowerFin.word(), Part::LowerFin),
];

/// Shorter than this from root to tip is a slip, not a panel \[m\].
const SHORTEST: f64 = 0.01;

/// A panel with its table, for messages about it.
pub(super) type Placed<'d> = (Filled<'d>, Panel);

/// All panels, in the order of the file.
pub(super) fn panels<'d>(root: &Filled<'d>) -> Read<Vec<Placed<'d>>> {
    let read: Vec<Read<Placed<'d>>> = root.items("panel")?.iter().map(placed).collect();
    read.into_iter().collect()
}

fn placed<'d>(item: &Item<'d>) -> Read<Placed<'d>> {
    let table = item.form(&PANEL)?;
    let panel = panel(&table)?;
    Ok((table, panel))
}

fn panel(table: &Filled<'_>) -> Read<Panel> {
    // Without the part, neither ends nor hinges can be judged.
    let part = table.choice("part", &PARTS)?;
    let root = table.form("root").and_then(|end| read_end(&end, part, Place::Root));
    let tip = table.form("tip").and_then(|end| read_end(&end, part, Place::Tip));
    let section = section(table, part);
    let strips = table.maybe_count("strips");
    let hinges = hinges(table, part);
    let (root, tip) = (root?, tip?);
    apart(table, part, &root, &tip)?;
    let strips = strips?.map(|n| n as usize);
    Ok(Panel { part, root, tip, section: section?, hinges: hinges?, strips })
}

#[derive(Clone, Copy, PartialEq)]
enum Place {
    Root,
    Tip,
}

fn read_end(end: &Filled<'_>, part: Part, place: Place) -> Read<PanelEnd> {
    let station = end.quantity("station");
    let buttline = buttline(end, part, place);
    let reach = buttline.map_or(0.0, |b| b.value.abs());
    // The height of a tip is the dihedral; a fin's is a length by ruler.
    let height = match (place, part.is_fin()) {
        (Place::Tip, false) => Tolerance::Plain((lim::DIHEDRAL_TOLERANCE * reach).max(0.001)),
        (Place::Tip, true) => lim::LENGTH.tolerance,
        (Place::Root, _) => lim::HEIGHT.tolerance,
    };
    let waterline = end.quantity_within("waterline", height);
    let chord = end.quantity("chord");
    let incidence = end.quantity("incidence");
    Ok(PanelEnd {
        station: station?,
        waterline: waterline?,
        buttline: buttline?,
        chord: chord?,
        incidence: incidence?,
    })
}

/// Roots and fins lie in the plane of symmetry.
fn buttline(end: &Filled<'_>, part: Part, place: Place) -> Read<Measured> {
    const SAME: f64 = 1e-4;
    if place == Place::Tip && !part.is_fin() {
        return end.quantity("buttline");
    }
    let Some(item) = end.get("buttline") else { return Ok(Measured::exact(0.0)) };
    let buttline = end.quantity("buttline")?;
    if buttline.value.abs() <= SAME {
        return Ok(buttline);
    }
    let next = if part.is_fin() {
        "twin fins are not modelled yet; enter one fin in the middle with the area of both"
    } else {
        "extend leading and trailing edge to the middle of the body and measure the root there"
    };
    Err(item.fault(Says::new(
        format!("{}, beside the plane of symmetry", lim::length(buttline)),
        "0 mm: roots and fins lie in the plane of symmetry",
        next,
    )))
}

/// A panel must reach from its root to its tip, and the right way.
fn apart(table: &Filled<'_>, part: Part, root: &PanelEnd, tip: &PanelEnd) -> Read<()> {
    let (key, way, reach) = match part {
        Part::Fin => ("waterline", "above", tip.waterline.value - root.waterline.value),
        Part::LowerFin => ("waterline", "below", root.waterline.value - tip.waterline.value),
        _ => ("buttline", "to the right of", tip.buttline.value - root.buttline.value),
    };
    if reach >= SHORTEST {
        return Ok(());
    }
    let of = |end: &PanelEnd| if part.is_fin() { end.waterline } else { end.buttline };
    let end_of = |name: &str| table.get(name).and_then(|end| end.child(key));
    let root_place = end_of("root").map_or_else(|| "its default".to_owned(), |item| item.name_and_line());
    let item = end_of("tip").unwrap_or_else(|| table.item.clone());
    Err(item.fault(Says::new(
        format!(
            "the tip's {key} is {}, the root's {} ({root_place})",
            lim::length(of(tip)),
            lim::length(of(root))
        ),
        format!("a tip at least {} {way} the root", shown(Dimension::Length, SHORTEST)),
        match part {
            Part::Fin | Part::LowerFin => "check the signs: waterlines run up",
            _ => "give the right half; the left is its mirror image",
        },
    )))
}

fn section(table: &Filled<'_>, part: Part) -> Read<Aerofoil> {
    let Some(item) = table.get("section") else {
        if part.is_wing() {
            let allowed = "a table with camber, or with zero_lift and moment";
            let next = "add it, such as section = { camber = \"symmetrical\" }";
            return Err(table.missing("section", allowed, next));
        }
        return Ok(Camber::Symmetrical.aerofoil());
    };
    let section = item.form(&SECTION)?;
    let camber = camber(&section);
    let separation = section.maybe_quantity("separation");
    let drag = section.quantity("drag");
    Ok(Aerofoil { separation: separation?, drag: drag?, ..camber? })
}

fn camber(section: &Filled<'_>) -> Read<Aerofoil> {
    let Some(word) = section.get("camber") else {
        if !section.has("zero_lift") && !section.has("moment") {
            let allowed = "camber in words, or zero_lift and moment in numbers";
            return Err(section.missing("camber", allowed, "add it, such as camber = \"symmetrical\""));
        }
        let zero_lift = section.quantity("zero_lift");
        let moment = section.quantity("moment");
        return Ok(Aerofoil { zero_lift: zero_lift?, moment: moment?, ..Camber::Symmetrical.aerofoil() });
    };
    for key in ["zero_lift", "moment"] {
        if let Some(number) = section.get(key) {
            return Err(number.fault(Says::new(
                format!("{key} beside {}", word.name_and_line()),
                "camber in words, or zero_lift and moment in numbers",
                "keep the one that you trust more",
            )));
        }
    }
    word.choice(&Camber::WORDS).map(Camber::aerofoil)
}

/// What a pilot sees of a section. The numbers are our judgement from memory: thin-aerofoil
/// theory gives about -1 deg of zero-lift angle and -0.025 of moment per percent of camber,
/// and a flat-bottomed section has 3 to 4 % of it.
#[derive(Clone, Copy)]
enum Camber {
    Symmetrical,
    SemiSymmetrical,
    FlatBottomed,
}

impl Camber {
    const WORDS: [(&'static str, Self); 3] = [
        ("symmetrical", Self::Symmetrical),
        ("semi-symmetrical", Self::SemiSymmetrical),
        ("flat-bottomed", Self::FlatBottomed),
    ];

    fn aerofoil(self) -> Aerofoil {
        let (zero_lift, moment) = match self {
            Self::Symmetrical => (Measured::exact(0.0), Measured::exact(0.0)),
            Self::SemiSymmetrical => {
                (Measured::with_tolerance(-2.0 * DEG, DEG), Measured::with_tolerance(-0.035, 0.02))
            }
            Self::FlatBottomed => {
                (Measured::with_tolerance(-3.5 * DEG, DEG), Measured::with_tolerance(-0.07, 0.02))
            }
        };
        Aerofoil { zero_lift, moment, separation: None, drag: lim::DEFAULT_SECTION_DRAG }
    }
}

/// Which moving parts a part of the airframe can have.
fn hinge_names(part: Part) -> &'static [(&'static str, ())] {
    match part {
        Part::Tailplane => &[("elevator", ())],
        Part::Fin | Part::LowerFin => &[("rudder", ())],
        _ => &[("aileron", ()), ("flap", ())],
    }
}

fn hinges(table: &Filled<'_>, part: Part) -> Read<Vec<Hinge>> {
    let items = table.items("hinge")?;
    let read: Vec<_> = items.iter().map(|item| hinge(item, part)).collect();
    let hinges = read.into_iter().collect::<Read<Vec<_>>>()?;
    let named: Vec<_> = hinges.iter().map(|h| h.name.clone()).zip(items.iter().cloned()).collect();
    report_twins(&named);
    for (i, second) in hinges.iter().enumerate() {
        if let Some(j) = hinges[..i].iter().position(|first| overlap(first, second)) {
            let first = &hinges[j];
            return Err(items[i].fault(Says::new(
                format!(
                    "the {} from {} to {} overlaps the {} from {} to {} ({})",
                    second.name,
                    share(second.from),
                    share(second.to),
                    first.name,
                    share(first.from),
                    share(first.to),
                    items[j].name_and_line()
                ),
                "hinges beside each other on their panel",
                "measure where each begins and ends, as a share of the panel's length",
            )));
        }
    }
    Ok(hinges)
}

fn overlap(a: &Hinge, b: &Hinge) -> bool {
    const SLACK: f64 = 1e-9;
    a.name != b.name && a.from.value + SLACK < b.to.value && b.from.value + SLACK < a.to.value
}

fn share(measured: Measured) -> String {
    shown(Dimension::Share, measured.value)
}

fn hinge(item: &Item<'_>, part: Part) -> Read<Hinge> {
    let table = item.form(&HINGE)?;
    let known = table.choice("name", hinge_names(part));
    let name = table.text("name");
    let chord = table.quantity("chord");
    let from = table.quantity("from");
    let to = table.quantity("to");
    let throws = throws(&table);
    let slop = table.quantity("slop");
    let (from, to) = (from?, to?);
    if to.value <= from.value {
        let begin = table.get("from").map_or_else(|| "from".to_owned(), |item| item.name_and_line());
        let end = table.get("to").unwrap_or_else(|| item.clone());
        return Err(end.fault(Says::new(
            format!("to = {}, but from = {} ({begin})", share(to), share(from)),
            "to beyond from, both as a share of the panel's length from its root",
            "swap them, or measure again from the root",
        )));
    }
    known?;
    let (throw_up, throw_down) = throws?;
    Ok(Hinge { name: name?, chord: chord?, from, to, throw_up, throw_down, slop: slop? })
}

/// `throw` for both ways, or one for each.
fn throws(table: &Filled<'_>) -> Read<(Measured, Measured)> {
    let Some(both) = table.get("throw") else {
        if !table.has("throw_up") && !table.has("throw_down") {
            let allowed = "throw for both ways, or throw_up and throw_down";
            return Err(table.missing("throw", allowed, "add it, such as throw = \"25 deg\""));
        }
        let up = table.quantity("throw_up");
        let down = table.quantity("throw_down");
        let (up, down) = (up?, down?);
        if up.value.max(down.value) >= lim::THROW.least {
            return Ok((up, down));
        }
        return Err(table.item.fault(Says::new(
            "hardly any throw_up or throw_down",
            format!("at least one of them from {}", shown(Dimension::Angle, lim::THROW.least)),
            "measure both with the stick at its ends",
        )));
    };
    for key in ["throw_up", "throw_down"] {
        if let Some(one) = table.get(key) {
            return Err(one.fault(Says::new(
                format!("{key} beside {}", both.name_and_line()),
                "throw for both ways, or throw_up and throw_down",
                "keep throw if both ways are alike, otherwise remove it",
            )));
        }
    }
    table.quantity("throw").map(|throw| (throw, throw))
}
