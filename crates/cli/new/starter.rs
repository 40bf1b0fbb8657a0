//! A sheet of measurements written out as an airframe file.

use super::proportions::IDLE;
use super::sheet::{Item, SPEED_GUESS, Sheet, TAIL_END};
use measure::{DEG, Measured};

/// The whole file. Datum: the leading edge of the wing root; reference line: the body's axis.
pub(crate) fn starter(sheet: &Sheet) -> String {
    [head(sheet), wing(sheet), tail(sheet), body(sheet), drive(sheet)].join("\n")
}

const fn plain(value: f64) -> Measured {
    Measured::exact(value)
}

/// A length on the drawing [mm].
fn mm(value: f64) -> String {
    Item::Span.text(plain(value))
}

/// A length or angle that nobody asked for, with how far it may be off.
fn rough(item: Item, value: f64, tolerance: f64) -> String {
    item.text(item.rounded(value, tolerance))
}

fn quoted(sheet: &Sheet, item: Item) -> String {
    item.text(sheet.entry(item).value)
}

/// Says of each of these that it was guessed, and how to do better.
fn remarks(sheet: &Sheet, items: &[Item]) -> String {
    let guessed = items.iter().filter(|item| sheet.entry(**item).guess);
    guessed
        .map(|item| {
            let (what, how) = item.words();
            format!("# GUESS: {what} {}; measure {how}\n", quoted(sheet, *item))
        })
        .collect()
}

fn head(sheet: &Sheet) -> String {
    let speed = sheet.trimmed_speed();
    let name = sheet.name.replace('\\', "\\\\").replace('"', "\\\"");
    format!(
        "# airframe\n# Starter file of a {word}: {about}. Written by countermix new.\n#\n# What is marked GUESS was not \
         measured; it is what such models are often like (common practice, no\n# source). Measure it, replace the number \
         and delete the remark. Then: countermix look FILE\n#\n# Datum: the leading edge of the wing root. Stations run \
         aft, waterlines up from the body's middle line,\n# buttlines to the right.\n\nname = \"{name}\"\n\n[mass]\n{mass}all_up \
         = \"{all_up}\"\n{centre}# GUESS: the height of the centre of mass is that of the body's middle; hang the model by \
         its tail\ncentre = {{ station = \"{station}\", waterline = \"{waterline}\" }}\n\n[trimmed]\n# GUESS: where it flies \
         level hands off; time it over a known distance, both ways\nspeed = \"{speed:.0} ± {off:.0} m/s\"\n",
        word = sheet.class.word,
        about = sheet.class.about,
        mass = remarks(sheet, &[Item::Mass]),
        all_up = quoted(sheet, Item::Mass),
        centre = remarks(sheet, &[Item::Centre]),
        station = quoted(sheet, Item::Centre),
        waterline = rough(Item::Span, 0.25 * sheet.si(Item::WingHeight), 0.02 * sheet.si(Item::Length)),
        off = (SPEED_GUESS * speed).max(1.0),
    )
}

fn wing(sheet: &Sheet) -> String {
    let c = &sheet.class;
    let [span, root, tip, height] =
        [Item::Span, Item::RootChord, Item::TipChord, Item::WingHeight].map(|item| sheet.si(item));
    let rise = 0.5 * span * libm::tan(c.dihedral * DEG);
    format!(
        "[[panel]]\npart = \"wing\"\n{remarks}# GUESS: incidence {incidence} deg, with an incidence meter against the body's \
         middle line\n# GUESS: dihedral {dihedral} deg, the tip's height over the root's; sweep: quarter-chord line straight \
         across\nroot = {{ station = \"0 mm\", waterline = \"{height}\", chord = \"{root_chord}\", incidence = \"{incidence} ± 1 \
         deg\" }}\ntip = {{ station = \"{sweep}\", waterline = \"{tip_height}\", buttline = \"{half}\", chord = \"{tip_chord}\", \
         incidence = \"{incidence} ± 1 deg\" }}\n# GUESS: look at the section's outline: symmetrical, semi-symmetrical or \
         flat-bottomed\nsection = {{ camber = \"{camber}\" }}\n\n{aileron}",
        remarks = remarks(sheet, &[Item::RootChord, Item::TipChord, Item::WingHeight]),
        incidence = c.incidence,
        dihedral = c.dihedral,
        height = quoted(sheet, Item::WingHeight),
        root_chord = quoted(sheet, Item::RootChord),
        sweep = rough(Item::Span, 0.25 * (root - tip), 0.05 * root),
        tip_height = rough(Item::Span, height + rise, 0.01 * span),
        half = half(sheet, Item::Span),
        tip_chord = quoted(sheet, Item::TipChord),
        camber = c.camber,
        aileron = hinge(sheet, "aileron", Item::AileronThrow, c.hinges[0], [c.aileron_from, 97.0]),
    )
}

/// Buttline of a tip: half of what was measured.
fn half(sheet: &Sheet, item: Item) -> String {
    let whole = sheet.entry(item).value;
    Item::Span.text(Measured::with_tolerance(0.5 * whole.value, 0.5 * whole.tolerance))
}

fn hinge(sheet: &Sheet, name: &str, throw: Item, chord: f64, [from, to]: [f64; 2]) -> String {
    format!(
        "[[panel.hinge]]\nname = \"{name}\"\n# GUESS: share of the chord behind the hinge line, and where it begins and ends \
         from root to tip\nchord = \"{chord} ± 5 %\"\nfrom = \"{from} ± 5 %\"\nto = \"{to} ± 3 %\"\n{remark}throw = \"{}\"\n",
        quoted(sheet, throw),
        remark = remarks(sheet, &[throw]),
    )
}

/// Root and tip chord of a tail surface over the one in the middle: they taper a little.
const TAIL_TAPER: [f64; 2] = [1.12, 0.88];
const FIN_TAPER: [f64; 2] = [1.25, 0.75];

fn tail(sheet: &Sheet) -> String {
    let c = &sheet.class;
    let [arm, chord, fin, height, length] =
        [Item::TailArm, Item::TailChord, Item::FinChord, Item::FinHeight, Item::Length]
            .map(|item| sheet.si(item));
    let like = |item: Item, share: f64| {
        let middle = sheet.entry(item).value;
        rough(item, share * middle.value, share * middle.tolerance)
    };
    let fin_root = arm + TAIL_END * chord - FIN_TAPER[0] * fin;
    let fin_foot = 0.025 * length;
    format!(
        "[[panel]]\npart = \"tailplane\"\n{remarks}# GUESS: its height against the body's middle line, to 1 cm: it moves \
         the answers a lot; taper\nroot = {{ station = \"{station}\", waterline = \"{waterline}\", chord = \"{root}\" }}\ntip = \
         {{ station = \"{tip_station}\", waterline = \"{waterline}\", buttline = \"{half}\", chord = \"{tip}\" }}\n\n{elevator}\n\
         [[panel]]\npart = \"fin\"\n{fin_remarks}# GUESS: where it leaves the body, taper and sweep\nroot = {{ station = \
         \"{fin_station}\", waterline = \"{foot}\", chord = \"{fin_chord}\" }}\ntip = {{ station = \"{fin_top}\", waterline = \
         \"{top}\", chord = \"{fin_tip}\" }}\n\n{rudder}",
        remarks = remarks(sheet, &[Item::TailArm, Item::TailSpan, Item::TailChord]),
        station = quoted(sheet, Item::TailArm),
        waterline = rough(Item::Span, 0.01 * length, 0.02 * length),
        root = like(Item::TailChord, TAIL_TAPER[0]),
        tip_station = mm(arm + 0.06 * chord),
        half = half(sheet, Item::TailSpan),
        tip = like(Item::TailChord, TAIL_TAPER[1]),
        elevator = hinge(sheet, "elevator", Item::ElevatorThrow, c.hinges[1], [0.0, 100.0]),
        fin_remarks = remarks(sheet, &[Item::FinHeight, Item::FinChord]),
        fin_station = rough(Item::Span, fin_root, 0.02 * length),
        foot = rough(Item::Span, fin_foot, 0.01 * length),
        fin_chord = like(Item::FinChord, FIN_TAPER[0]),
        fin_top = rough(Item::Span, fin_root + 0.35 * fin, 0.02 * length),
        top = rough(Item::Span, fin_foot + height, 0.01 * length),
        fin_tip = like(Item::FinChord, FIN_TAPER[1]),
        rudder = hinge(sheet, "rudder", Item::RudderThrow, c.hinges[2], [0.0, 100.0]),
    )
}

/// Stations of the body between spinner (0) and tail end (1), height and width there as shares of
/// the largest.
const BODY: [[f64; 3]; 5] =
    [[0.0, 0.45, 0.5], [0.12, 0.75, 0.85], [0.30, 1.0, 1.0], [0.55, 0.8, 0.7], [1.0, 0.3, 0.15]];

/// Station of the spinner's tip: what the tail leaves of the length.
fn nose(sheet: &Sheet) -> f64 {
    sheet.si(Item::TailArm) + TAIL_END * sheet.si(Item::TailChord) - sheet.si(Item::Length)
}

fn body(sheet: &Sheet) -> String {
    let length = sheet.si(Item::Length);
    let [high, wide, square] = sheet.class.body;
    let stations: String = BODY
        .iter()
        .map(|[along, tall, broad]| {
            let [height, width] = [tall * high * length, broad * wide * length];
            format!(
                "  {{ station = \"{}\", height = \"{}\", width = \"{}\", waterline = \"0 mm\" }},\n",
                mm(nose(sheet) + along * length),
                rough(Item::Span, height, 0.15 * height),
                rough(Item::Span, width, 0.15 * width)
            )
        })
        .collect();
    format!(
        "# GUESS: all of the body but its length. Its heights and widths at five places, with a ruler, help most\n[body]\n\
         squareness = \"{square} ± 20 %\"\ndrag = {}\n{}stations = [\n{stations}]\n",
        sheet.class.body_drag,
        remarks(sheet, &[Item::Length]),
    )
}

fn drive(sheet: &Sheet) -> String {
    let length = sheet.si(Item::Length);
    let full = sheet.si(Item::Revolutions);
    format!(
        "[motor]\n{revolutions}full = \"{full_text}\"\n# GUESS: idle, with a tachometer\nidle = \"{idle}\"\n\n[propeller]\n\
         {propeller}diameter = \"{diameter}\"\npitch = \"{pitch}\"\n# GUESS: the disc stands at the front of the body, on its \
         middle line\nstation = \"{station}\"\nwaterline = \"{height}\"\n# GUESS: thrust angles, with an incidence meter on \
         the motor's shaft\nright_thrust = \"2 ± 1 deg\"\ndown_thrust = \"1 ± 1 deg\"\n\n# GUESS: legs and wheels, drag \
         coefficient times area; delete this if the wheels are retracted\n[[drag_item]]\nname = \"undercarriage\"\nstation = \
         \"{wheels}\"\nwaterline = \"{below}\"\ndrag_area = \"{area:.0} cm2\"\n",
        revolutions = remarks(sheet, &[Item::Revolutions]),
        full_text = quoted(sheet, Item::Revolutions),
        idle = rough(Item::Revolutions, IDLE * full, 0.3 * IDLE * full),
        propeller = remarks(sheet, &[Item::Propeller, Item::Pitch]),
        diameter = quoted(sheet, Item::Propeller),
        pitch = quoted(sheet, Item::Pitch),
        station = mm(nose(sheet) - 0.02 * length),
        height = rough(Item::Span, 0.0, 0.01 * length),
        wheels = mm(-0.03 * length),
        below = mm(-0.12 * length),
        // 60 cm2 on a body of 1.2 m
        area = (1e4 * 0.0042 * length * length).max(1.0),
    )
}
