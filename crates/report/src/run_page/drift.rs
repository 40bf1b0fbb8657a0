//! What drifts in each kind of manoeuvre, against time.

use super::quantity::{angle, metres, quantity, strip};
use super::views::page_words;
use crate::comparison::Strip;
use flight::earth_from_body;
use manoeuvre::{Drift, Judging, Pose, Verdict};
use measure::DEG;
use nalgebra::Vector3;

pub(super) fn strips(v: &Verdict, wind: &Vector3<f64>, without: &[Drift], with: &[Drift]) -> Vec<Strip> {
    let strip = |title, quantity, value: &dyn Fn(&Drift) -> f64| strip(title, quantity, without, with, value);
    let roll = || strip("Roll", angle("right", "left"), &|d| d.off.roll / DEG);
    let nose_up = |sign: f64| strip("Nose", angle("up", "down"), &move |d| sign * d.off.pitch / DEG);
    let nose_turned = || strip("Nose", angle("right", "left"), &|d| d.off.yaw / DEG);
    let height = || strip("Height", metres("higher", "lower"), &|d| -d.position.z);
    let speed = || strip("Airspeed", quantity("m/s", 0, "", "", 4.0), &|d| flow(d, wind).norm());
    match (v.judged.as_what, v.judged.pose()) {
        (Judging::Line, Pose::KnifeEdge) => {
            let (up, down) = page_words(v.side);
            let (side, out) = (v.side.sign(), -v.line.bank.signum());
            vec![
                strip("Nose", angle(up, down), &move |d| side * d.off.pitch / DEG),
                strip("Bank", angle("rolls out", "rolls under"), &move |d| out * d.off.roll / DEG),
            ]
        }
        (Judging::Line, Pose::Upright) => vec![nose_up(1.0), roll()],
        (Judging::Line, Pose::Inverted) => vec![nose_up(-1.0), roll()],
        (Judging::Line, Pose::UpLine | Pose::DownLine) => vec![
            strip("Nose", angle("towards the canopy", "towards the gear"), &|d| d.off.pitch / DEG),
            strip("Nose, sideways", angle("to the right wing", "to the left wing"), &|d| d.off.yaw / DEG),
            roll(),
        ],
        (Judging::Roll, _) => vec![
            height(),
            strip("Off the line", metres("left of the entry", "right of the entry"), &|d| -d.position.y),
            roll(),
        ],
        (Judging::Turn, _) => {
            let turned = Strip {
                without: turned_aside(without, wind),
                with: turned_aside(with, wind),
                ..strip("Turned", angle("right", "left"), &|_| 0.0)
            };
            vec![turned, roll(), height()]
        }
        (Judging::RollIn, _) => vec![
            strip(
                "Sideslip",
                quantity("deg", 1, "nose left of the path", "nose right of the path", 2.0),
                &|d| slip(&flow(d, wind)),
            ),
            nose_turned(),
            roll(),
        ],
        (Judging::Tumble, _) => {
            let turned = Strip {
                without: turned_over(without),
                with: turned_over(with),
                ..strip("Turned over", angle("nose up", "nose down"), &|_| 0.0)
            };
            vec![turned, height(), speed()]
        }
        (Judging::Flaps, _) => vec![height(), nose_up(1.0), speed()],
        (Judging::Descent, _) => vec![height(), nose_up(1.0), roll()],
        (Judging::Hover, _) => {
            vec![strip("Nose, from the vertical", angle("", ""), &from_the_vertical), roll(), height()]
        }
    }
}

/// Pitched since the judging began, whole turns counted \[deg\].
fn turned_over(drifts: &[Drift]) -> Vec<f64> {
    let mut turned = 0.0;
    let mut before: Option<&Drift> = None;
    let counted = drifts.iter().map(|d| {
        if let Some(last) = before.filter(|last| last.time >= 0.0) {
            let rates = last.sample.state.body.rate.y + d.sample.state.body.rate.y;
            turned += 0.5 * rates * (d.time - last.time) / DEG;
        }
        before = Some(d);
        turned
    });
    counted.collect()
}

/// Change of the path's compass direction since the judging began, whole turns counted, + right
/// \[deg\].
fn turned_aside(drifts: &[Drift], wind: &Vector3<f64>) -> Vec<f64> {
    let track = |d: &Drift| {
        let path = earth_from_body(&d.sample.state.body.attitude) * flow(d, wind);
        libm::atan2(path.y, path.x) / DEG
    };
    let mut turned = vec![0.0; drifts.len()];
    for (i, pair) in drifts.windows(2).enumerate() {
        let by = track(&pair[1]) - track(&pair[0]);
        turned[i + 1] = turned[i] + by - 360.0 * (by / 360.0).round();
    }
    let began = drifts.iter().position(|d| d.time >= 0.0).map_or(0.0, |i| turned[i]);
    turned.iter().map(|t| t - began).collect()
}

/// Angle between the nose and straight up \[deg\].
fn from_the_vertical(d: &Drift) -> f64 {
    let up = -earth_from_body(&d.sample.state.body.attitude)[(2, 0)];
    libm::acos(up.clamp(-1.0, 1.0)) / DEG
}

/// Velocity through the air, body axes \[m/s\].
fn flow(d: &Drift, wind: &Vector3<f64>) -> Vector3<f64> {
    let body = &d.sample.state.body;
    body.velocity - earth_from_body(&body.attitude).tr_mul(wind)
}

/// Angle between nose and path, sideways \[deg\].
fn slip(flow: &Vector3<f64>) -> f64 {
    libm::asin((flow.y / flow.norm().max(1e-6)).clamp(-1.0, 1.0)) / DEG
}
