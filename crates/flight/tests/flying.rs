//! scratch
#![allow(clippy::unwrap_used, clippy::panic, reason = "a broken demo file shall stop the test")]

use aero::{Causes, Coefficients, Deflections, MAX_WING_STRIPS};
use airframe::{Geometry, MAX_SURFACES};
use files::{Kind, find, read_airframe};
use flight::{
    Aircraft, AircraftState, Bench, BodyState, Controls, Course, Interval, Motion, Servo, Surroundings, Trimmed,
};
use measure::Side;
use nalgebra::{Quaternion, Vector3};

const TICK: f64 = 0.02;
const DEMOS: [&str; 3] = ["larkspur", "foxglove", "bramble"];

struct Demo { geometry: Geometry, aircraft: Aircraft }

fn demo(name: &str) -> Demo {
    let airframe = read_airframe(find(Kind::Airframe, name).unwrap()).unwrap_or_else(|r| panic!("{r}")).value;
    let geometry = Geometry::of(&airframe).unwrap();
    let aircraft = Aircraft::new(&geometry, &Coefficients::default()).unwrap();
    Demo { geometry, aircraft }
}

impl Demo {
    fn glider(mut self) -> Self { self.aircraft.model = self.aircraft.model.without_propulsor(); self }
    fn deflections(&self, [aileron, elevator, rudder]: [f64; 3]) -> Deflections {
        let mut angles = [0.0; MAX_SURFACES];
        for (angle, s) in angles.iter_mut().zip(&self.geometry.surfaces) {
            let share = match (s.hinge.as_str(), s.side) {
                ("aileron", Some(Side::Right)) => -aileron,
                ("aileron", _) => aileron,
                ("elevator", _) => -elevator,
                ("rudder", _) => -rudder,
                _ => 0.0,
            };
            *angle = s.deflection(share);
        }
        angles
    }
    fn level(&self, throttle: Option<f64>, speed: f64, bench: &mut Bench) -> Trimmed {
        let course = Course { speed, climb: 0.0, bank: 0.0, throttle };
        self.aircraft.trim(&course, &Surroundings::CALM, &|s| self.deflections(s), None, bench).unwrap()
    }
    fn servos(&self, sticks: [f64; 3]) -> Vec<Servo> {
        let s = self.geometry.servo;
        self.deflections(sticks)[..self.geometry.surfaces.len()].iter().map(|&a| Servo::at_rest(s.rate.value, s.delay.value, a).unwrap()).collect()
    }
    fn path(&self, level: &Trimmed, script: &dyn Fn(usize) -> [f64; 3], ticks: usize, step: f64, bench: &mut Bench) -> Vec<AircraftState> {
        let mut state = level.state;
        let mut servos = self.servos(level.sticks);
        let mut out = vec![];
        for k in 0..ticks {
            let kick = script(k);
            let sticks: [f64; 3] = core::array::from_fn(|i| (level.sticks[i] + kick[i]).clamp(-1.0, 1.0));
            let mut motions: Vec<Motion> = vec![];
            for (servo, angle) in servos.iter_mut().zip(self.deflections(sticks)) {
                let plan = servo.plan(angle, TICK).unwrap();
                motions.push(plan.motion);
                *servo = plan.after;
            }
            let interval = Interval { start: k as f64 * TICK, length: TICK, longest_step: step, motions: &motions, throttle: level.throttle, around: &Surroundings::CALM, causes: Causes::ALL };
            state = self.aircraft.fly(state, &interval, bench).unwrap();
            out.push(state);
        }
        out
    }
}

fn apart(a: &AircraftState, b: &AircraftState) -> f64 {
    (a.body.position - b.body.position).norm().max((a.body.velocity - b.body.velocity).norm()).max((a.body.rate - b.body.rate).norm())
}

#[test]
fn orders() {
    for name in DEMOS {
        for glider in [false, true] {
            let d = demo(name);
            let d = if glider { d.glider() } else { d };
            let mut bench = Bench::new(&d.aircraft);
            let level = d.level(if glider { Some(0.0) } else { None }, d.geometry.trimmed_speed, &mut bench);
            for (what, size) in [("ail+ele", 1.0), ("ail+ele", 0.5), ("ail+ele", 0.25), ("ail+ele", 0.1), ("ail", 1.0), ("ele", 1.0), ("ele",-1.0), ("ail",0.25), ("ele",0.25)] {
                let script = |k: usize| { let s = if k < 12 { size } else { -size };
                    match what { "ail" => [s,0.,0.], "ele" => [0.,s,0.], _ => [s, s, 0.0] } };
                let fine = d.path(&level, &script, 25, 0.0003125, &mut bench)[24];
                let e: Vec<f64> = [0.02, 0.01, 0.005, 0.0025, 0.00125].map(|h| apart(&d.path(&level, &script, 25, h, &mut bench)[24], &fine)).to_vec();
                let o: Vec<String> = e.windows(2).map(|p| format!("{:.1}", libm::log2(p[0] / p[1]))).collect();
                println!("{name} glider {glider} {what} {size}: conv {} e {:?} orders {o:?}  rates {:.2?}", level.converged, e.iter().map(|x| format!("{x:.1e}")).collect::<Vec<_>>(), fine.body.rate.as_slice());
            }
        }
    }
}

#[test]
fn steps() {
    for name in DEMOS {
        let d = demo(name);
        let mut bench = Bench::new(&d.aircraft);
        let level = d.level(None, d.geometry.trimmed_speed, &mut bench);
        for size in [0.15, 0.4, 0.8] {
            let script = |k: usize| {
                let t = [[0.0; 3], [1.0, 0.0, 0.0], [-1.0, 0.3, 0.0], [0.0, -0.2, 1.0], [0.0, 0.2, -1.0]][(k / 65) % 5];
                t.map(|x: f64| x * size)
            };
            let fine = d.path(&level, &script, 500, TICK / 64.0, &mut bench);
            let e = [0.02, 0.01, 0.005, 0.0025].map(|h| d.path(&level, &script, 500, h, &mut bench).iter().zip(&fine).map(|(a, b)| (a.body.position - b.body.position).norm()).fold(0.0, f64::max) * 1e3);
            let v = fine.iter().map(|s| s.body.velocity.norm()).fold(0.0, f64::max);
            println!("{name} kick {size}: mm at 20,10,5,2.5: {e:.4?}  vmax {v:.1} end {:.1?}", fine[499].body.position.as_slice());
        }
    }
}

#[test]
fn kinks_of_the_model() {
    use aero::{Effect, Ledger};
    use airframe::Part;
    for (name, glider, script) in [("larkspur", true, [0.0, 1.0, 0.0]), ("larkspur", true, [0.0, 0.25, 0.0]), ("larkspur", true, [1.0, 0.0, 0.0]), ("larkspur", true, [0.25, 0.25, 0.0]), ("larkspur", false, [0.25, 0.25, 0.0]), ("foxglove", true, [1.0, 1.0, 0.0]), ("bramble", true, [0.0, 0.25, 0.0])] {
        let d = demo(name);
        let d = if glider { d.glider() } else { d };
        let mut bench = Bench::new(&d.aircraft);
        let level = d.level(if glider { Some(0.0) } else { None }, d.geometry.trimmed_speed, &mut bench);
        let s = |k: usize| if k < 12 { script } else { script.map(|x: f64| -x) };
        let path = d.path(&level, &s, 25, 0.00125, &mut bench);
        println!("== {name} glider {glider} {script:?}");
        for k in 0..24 {
            const N: usize = 4000;
            let (a, b) = (path[k], path[k + 1]);
            let mut hist: Vec<Vec<nalgebra::SVector<f64, 6>>> = vec![];
            for i in 0..=N {
                let t = i as f64 / N as f64;
                let mix = |x: Vector3<f64>, y: Vector3<f64>| x * (1.0 - t) + y * t;
                let mut at = aero::Instant::at(mix(a.body.velocity, b.body.velocity));
                at.rate = mix(a.body.rate, b.body.rate);
                at.rotor = a.rotor * (1.0 - t) + b.rotor * t;
                at.throttle = level.throttle;
                at.deflections = d.deflections(core::array::from_fn(|j| level.sticks[j] + s(k)[j] * 0.7));
                let mut ledger = Ledger::default();
                d.aircraft.model.forces_steady(&at, &mut bench.scratch, &mut ledger);
                let mut row = vec![];
                for p in Part::ALL { for e in Effect::ALL {
                    let x = ledger.entry(p, e);
                    row.push(nalgebra::SVector::<f64, 6>::from_iterator(x.force.iter().chain(x.moment.iter()).copied()));
                } }
                hist.push(row);
            }
            for (c, (p, e)) in Part::ALL.iter().flat_map(|p| Effect::ALL.iter().map(move |e| (p, e))).enumerate() {
                let total = (hist[N][c] - hist[0][c]).norm();
                let mut d2: Vec<(f64, usize)> = (1..N).map(|i| ((hist[i + 1][c] - hist[i][c] * 2.0 + hist[i - 1][c]).norm() * N as f64, i)).collect();
                d2.sort_by(|x, y| y.0.total_cmp(&x.0));
                let median = d2[N / 2].0;
                if d2[0].0 > 30.0 * median && d2[0].0 > 1e-3 {
                    println!("  tick {k} {p:?} {e:?}: jump of slope {:.2e} (N per tick) at {:.3}, median {median:.1e}, change over tick {total:.2e}; next {:.2e} at {:.3}", d2[0].0, d2[0].1 as f64 / N as f64, d2[4].0, d2[4].1 as f64 / N as f64);
                }
            }
        }
    }
}
