//! `countermix look`: does this look like my model?

use crate::load::{self, Trouble, say};
use aero::Coefficients;
use airframe::{Geometry, Surface};
use measure::{DEG, Side};
use serde_json::{Value, json};
use study::find::Posed;
use study::{Climb, Look, look, side_words};

#[derive(clap::Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Args {
    /// The airframe: a demo name or a file.
    airframe: String,
    /// Print numbers as JSON.
    #[arg(long)]
    json: bool,
}

const EXAMPLES: &str = "\
Examples:
  countermix look larkspur
  countermix look my-model.toml
  countermix look my-model.toml --json";

const CAUTION: &str = "Computed, not flown, for calm air at sea level. Where a line does not look like your model, measure \
again what stands below it before you believe any blend.";

/// How far off the neutral point may be, in percent of the mean chord.
const NEUTRAL: (f64, f64) = (10.0, 3.0);

pub(crate) fn run(args: &Args) -> Result<(), Trouble> {
    let geometry = load::geometry(&args.airframe)?;
    let coefficients = Coefficients::default();
    let seen = look(&geometry, &coefficients)?;
    if args.json {
        return say(&format!("{:#}", to_json(&seen, &geometry)));
    }
    let mut text = format!("{}: does this look like my model?\n\n", geometry.name);
    for line in lines(&seen, &geometry) {
        text += &format!("{:<16}{}\n{:16}if not: {}\n", line.what, line.says, "", line.measure);
    }
    say(&format!("{text}\n{CAUTION}"))
}

/// What it does, and what would be measured wrongly if the model does not.
struct Line {
    what: &'static str,
    says: String,
    measure: &'static str,
}

fn lines(seen: &Look, geometry: &Geometry) -> [Line; 10] {
    let line = |what, says, measure| Line { what, says, measure };
    [
        line("wing loading", format!("{} g/dm2", tens(seen.wing_loading * 10.0, 1.0)), "mass, span, chords"),
        line(
            "stall",
            format!("at about {}, motor idling, flaps up", speed(seen.stall)),
            "mass, span, chords; the wing's section (camber, separation)",
        ),
        line(
            "top speed",
            seen.top_speed.map_or_else(
                || "full throttle does not settle level at any speed".to_owned(),
                |top| format!("about {}, level, full throttle", speed(top)),
            ),
            "rpm at full throttle, propeller's pitch and diameter; drag of body, wheels and struts",
        ),
        line(
            "cruise",
            cruise(seen, geometry),
            "centre of mass, incidences of wing and tailplane, down thrust, throws",
        ),
        line(
            "roll rate",
            format!(
                "about {} deg/s, full aileron at {}",
                tens(seen.roll_rate / DEG, 20.0),
                cruise_speed(seen)
            ),
            "aileron throw, hinge chord, where the ailerons begin and end; trimmed speed",
        ),
        line("balance", balance(seen), "centre of mass and its datum, tail arm, sizes of wing and tailplane"),
        line(
            "thrust",
            format!("{:.1} times the weight at rest, full throttle", seen.thrust_to_weight),
            "rpm at full throttle (5 % too many are 10 % thrust), propeller's diameter; mass",
        ),
        line("hover", hover(seen), "rpm at full throttle and idle, propeller's diameter; mass"),
        line("climb", climb(seen), "rpm at full throttle, propeller's pitch; mass, drag"),
        line("knife edge", knife_edge(seen), "rudder throw, fin; height and width of the body; rpm"),
    ]
}

fn cruise(seen: &Look, geometry: &Geometry) -> String {
    let c = &seen.cruise;
    let [_, elevator, _] = c.sticks;
    let way = if elevator >= 0.0 { "up" } else { "down" };
    let place = geometry.surfaces.iter().position(|s| s.hinge == "elevator");
    let travel = place.map_or(0.0, |i| edge(&geometry.surfaces[i], c.controls.deflections[i]));
    format!(
        "level at {}: throttle {} %, elevator {:.0} % {way} (trailing edge {} {way}), nose {:.0} deg above the path",
        cruise_speed(seen),
        tens(100.0 * c.throttle, 5.0),
        100.0 * elevator.abs(),
        millimetres(travel),
        c.incidence / DEG,
    )
}

fn millimetres(length: f64) -> String {
    if length < 0.0005 { "less than 1 mm".to_owned() } else { format!("{:.0} mm", 1000.0 * length) }
}

fn edge(surface: &Surface, deflection: f64) -> f64 {
    surface.travel(deflection).abs()
}

fn balance(seen: &Look) -> String {
    let b = &seen.balance;
    let (centre, neutral) = (100.0 * b.centre, 100.0 * b.neutral);
    let margin = neutral - centre;
    format!(
        "centre of mass at {centre:.0} %, neutral point at {neutral:.0} % of the mean chord, static margin {margin:.0} %; \
         the neutral point may lie {:.0} % ahead or {:.0} % behind: never move the balance by this number",
        NEUTRAL.0, NEUTRAL.1
    )
}

fn hover(seen: &Look) -> String {
    seen.hover.map_or_else(
        || "no: full throttle does not carry it".to_owned(),
        |throttle| format!("at about {} % throttle", tens(100.0 * throttle, 5.0)),
    )
}

fn climb(seen: &Look) -> String {
    let at = cruise_speed(seen);
    match seen.climb {
        Climb::Vertical => format!("straight up and still gaining speed at {at}, full throttle"),
        Climb::Path(angle) if angle < 0.0 => format!("none: at {at} and full throttle it sinks"),
        Climb::Path(angle) => {
            let rate = seen.cruise.pose.speed * libm::sin(angle);
            format!("about {} deg at {at} and full throttle, {rate:.0} m/s upwards", tens(angle / DEG, 5.0))
        }
        Climb::Unknown => format!("no settled climb found at {at} and full throttle"),
    }
}

fn knife_edge(seen: &Look) -> String {
    let words = |side: Side, held: &Option<Posed>| {
        let side = side_words(side);
        held.map_or_else(
            || format!("{side}: not held level at any speed up to 25 deg of sideslip; a short pass may only sink a little"),
            |p| {
                format!(
                    "{side}: held from about {}, {} % rudder, {} % throttle",
                    speed(p.pose.speed),
                    tens(100.0 * p.sticks[2].abs(), 5.0),
                    tens(100.0 * p.throttle, 5.0)
                )
            },
        )
    };
    let [left, right] = &seen.knife_edges;
    format!("{};\n{:16}{}", words(Side::Left, left), "", words(Side::Right, right))
}

fn cruise_speed(seen: &Look) -> String {
    speed(seen.cruise.pose.speed)
}

/// Whole metres per second; model speeds are not known better.
fn speed(metres_per_second: f64) -> String {
    format!("{metres_per_second:.0} m/s ({} km/h)", tens(3.6 * metres_per_second, 5.0))
}

/// Rounded to a step that shows how well it is known.
fn tens(value: f64, step: f64) -> String {
    format!("{:.0}", (value / step).round() * step)
}

fn to_json(seen: &Look, geometry: &Geometry) -> Value {
    let (b, cruise) = (&seen.balance, &seen.cruise);
    let climb_angle = match seen.climb {
        Climb::Vertical => Some(90.0),
        Climb::Path(angle) => Some(angle / DEG),
        Climb::Unknown => None,
    };
    let held = |p: &Option<Posed>| {
        p.map(|p| {
            json!({
                "speed_m_s": p.pose.speed,
                "rudder_percent": 100.0 * p.sticks[2],
                "throttle_percent": 100.0 * p.throttle,
            })
        })
    };
    json!({
        "airframe": geometry.name,
        "caution": CAUTION,
        "wing_loading_kg_m2": seen.wing_loading,
        "stall_m_s": seen.stall,
        "top_speed_m_s": seen.top_speed,
        "cruise": {
            "speed_m_s": cruise.pose.speed,
            "throttle_percent": 100.0 * cruise.throttle,
            "elevator_percent": 100.0 * cruise.sticks[1],
            "incidence_deg": cruise.incidence / DEG,
        },
        "roll_rate_deg_s": seen.roll_rate / DEG,
        "balance": {
            "centre_percent_chord": 100.0 * b.centre,
            "neutral_percent_chord": 100.0 * b.neutral,
            "margin_percent_chord": 100.0 * (b.neutral - b.centre),
            "neutral_may_lie_ahead_percent": NEUTRAL.0,
            "neutral_may_lie_behind_percent": NEUTRAL.1,
        },
        "thrust_to_weight": seen.thrust_to_weight,
        "hover_throttle_percent": seen.hover.map(|t| 100.0 * t),
        "climb_deg": climb_angle,
        "knife_edge": { "left": held(&seen.knife_edges[0]), "right": held(&seen.knife_edges[1]) },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Static margin [% of mean chord], rate of roll at full aileron [deg/s], elevator [%] and
    /// throttle [%] at cruise, as the numerical prototype of the same equations has them (its
    /// tables 3 and 4.1). Its rate of roll is free to sideslip; ours is pure roll.
    const PROTOTYPE: [(&str, f64, f64, f64, f64); 6] = [
        ("larkspur", 5.0, 430.0, 1.7, 64.0),
        ("foxglove", 10.1, 212.0, 7.7, 63.0),
        ("bramble", 15.2, 141.0, 6.3, 71.0),
        ("teasel", 8.0, 280.0, 6.9, 41.0),
        ("sorrel", 4.0, 490.0, 2.6, 45.0),
        ("clover", 21.3, 139.0, -3.3, 50.0),
    ];

    fn seen(name: &str, coefficients: &Coefficients) -> (Look, Geometry) {
        let geometry = load::geometry(name).unwrap();
        (look(&geometry, coefficients).unwrap(), geometry)
    }

    #[test]
    fn the_club_looks_as_the_prototype_has_it() {
        for (name, margin, roll, elevator, throttle) in PROTOTYPE {
            let (seen, _) = seen(name, &Coefficients::prototype());
            let found = 100.0 * (seen.balance.neutral - seen.balance.centre);
            assert!((found - margin).abs() < 0.5, "{name}: margin {found}");
            let found = seen.roll_rate / DEG / roll;
            assert!((0.95..1.15).contains(&found), "{name}: rate of roll {found}");
            assert!(
                (100.0 * seen.cruise.sticks[1] - elevator).abs() < 0.2,
                "{name}: {:?}",
                seen.cruise.sticks
            );
            assert!(
                (100.0 * seen.cruise.throttle - throttle).abs() < 1.0,
                "{name}: {}",
                seen.cruise.throttle
            );
        }
    }

    /// What each of them is built for.
    #[test]
    fn speeds_and_thrust_belong_together() {
        for (name, ..) in PROTOTYPE {
            let (seen, _) = seen(name, &Coefficients::default());
            let (cruise, top) = (seen.cruise.pose.speed, seen.top_speed.unwrap());
            assert!(seen.stall < cruise && cruise < top, "{name}: {} {cruise} {top}", seen.stall);
            assert_eq!(seen.hover.is_some(), ["larkspur", "sorrel"].contains(&name), "{name}");
            let held = seen.knife_edges.map(|k| k.is_some());
            match name {
                "larkspur" | "sorrel" => assert_eq!(held, [true; 2], "{name}"),
                // trainer and transport: beyond throw and thrust in the prototype too
                "bramble" | "clover" => assert_eq!(held, [false; 2], "{name}"),
                _ => {}
            }
            for posed in seen.knife_edges.iter().flatten() {
                assert!(posed.converged && posed.sticks[2].abs() <= 1.0 && posed.pose.speed <= top);
            }
        }
    }

    #[test]
    fn every_line_says_what_to_measure() {
        let (seen, geometry) = seen("clover", &Coefficients::default());
        for line in lines(&seen, &geometry) {
            assert!(!line.says.is_empty() && !line.measure.is_empty(), "{}", line.what);
        }
        assert!(balance(&seen).contains("never move the balance by this number"));
        let json = to_json(&seen, &geometry);
        assert_eq!(json["hover_throttle_percent"], Value::Null);
        assert!(json["knife_edge"]["left"].is_null() && json["stall_m_s"].as_f64().unwrap() > 5.0);
    }
}
