//! The flying field: ground, runway, pilot station, poles with distance marks, trees on the horizon, sky.

use crate::ink::{self, linear};
use crate::shape::lines;
use bevy::asset::RenderAssetUsages;
use bevy::math::Vec3;
use bevy::mesh::{Mesh, PrimitiveTopology};
use manoeuvre::Speed;
use panels::{Look, Setup};

/// How far west of the line of flight the pilot stands \[m\].
const OFFSET: f32 = 90.0;
/// Height of the pilot's eyes \[m\].
const EYES: f32 = 1.7;
/// Distance between poles \[m\].
const POLES: f32 = 50.0;
const POLE_HEIGHT: f32 = 12.0;
/// Where the ground meets the sky \[m\].
const EDGE: f32 = 1500.0;

/// Where things stand on the field, scene axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stage {
    /// Below the middle of the manoeuvre.
    pub(crate) middle: Vec3,
}

impl Stage {
    /// The manoeuvre is flown northwards from the origin; its middle is known roughly before it is flown, so
    /// that the field stays where it is while something is dragged.
    pub(crate) fn of(setup: &Setup) -> Self {
        let speed = match setup.scenario.start.speed {
            Speed::Trimmed(times) => times * setup.airframe.trimmed.speed.value,
            Speed::Absolute(speed) => speed,
            // known only once it is flown: near enough to place the field
            Speed::Throttle(_) => setup.airframe.trimmed.speed.value,
        };
        let lasts: f64 = setup.scenario.legs.iter().map(|leg| leg.ends.after).sum();
        let half = ((0.5 * speed * lasts) as f32 / POLES).round() * POLES;
        Self { middle: Vec3::new(0.0, 0.0, -half) }
    }

    /// Where the pilot's eyes are.
    pub(crate) fn pilot(&self) -> Vec3 {
        self.middle + Vec3::new(-OFFSET, EYES, 0.0)
    }

    /// The foot of each pole and what is written on it: metres from where the manoeuvre begins.
    pub(crate) fn poles(&self) -> Vec<(Vec3, String)> {
        let count = (-2.0 * self.middle.z / POLES).round().max(1.0) as i32;
        (0..=count)
            .map(|k| {
                let along = k as f32 * POLES;
                (Vec3::new(0.0, 0.0, -along), format!("{along:.0} m"))
            })
            .collect()
    }

    /// Ground, runway, pilot station and sky.
    pub(crate) fn surfaces(&self, look: &Look) -> Mesh {
        let ink = ink::field(look);
        let mut faces = Faces::default();
        self.sky(&ink, &mut faces);
        self.trees(&ink, &mut faces);
        self.ground(&ink, &mut faces);
        let runway = linear(ink.runway, 1.0);
        let strip = self.middle + Vec3::new(-OFFSET + 22.0, 0.02, 0.0);
        faces.rectangle(strip, 6.0, 90.0, runway);
        let station = Vec3::new(self.pilot().x, 0.03, self.pilot().z);
        faces.rectangle(station, 1.5, 1.5, linear(look.ground.text(), 1.0));
        faces.mesh()
    }

    /// Grid, poles, runway edges.
    pub(crate) fn lines(&self, look: &Look) -> Mesh {
        let text = look.ground.text();
        let mut all = Vec::new();
        self.grid(look, &mut all);
        let pole = linear(look.ground.quiet_text(), 1.0);
        for (foot, _) in self.poles() {
            all.push(([foot, foot + Vec3::Y * POLE_HEIGHT], pole));
        }
        let strip = self.middle + Vec3::new(-OFFSET + 22.0, 0.05, 0.0);
        let corner = |x: f32, z: f32| strip + Vec3::new(x, 0.0, z);
        let around = [corner(-6.0, -90.0), corner(6.0, -90.0), corner(6.0, 90.0), corner(-6.0, 90.0)];
        for k in 0..4 {
            all.push(([around[k], around[(k + 1) % 4]], linear(look.ground.quiet_text(), 0.6)));
        }
        for k in -8..8 {
            let z = 11.0 * k as f32;
            all.push(([corner(0.0, z), corner(0.0, z + 5.0)], linear(look.ground.quiet_text(), 0.5)));
        }
        let pilot = self.pilot();
        all.push(([Vec3::new(pilot.x, 0.0, pilot.z), pilot], linear(text, 1.0)));
        lines(all.into_iter())
    }

    /// Lines every 10 m near the middle and every 50 m beyond, fading with the distance.
    fn grid(&self, look: &Look, all: &mut Vec<([Vec3; 2], [f32; 4])>) {
        const REACH: i32 = 600;
        let ink = look.ground.text();
        for (step, reach, strength) in [(10, 250, 0.12_f32), (50, REACH, 0.3)] {
            for a in (-reach..=reach).step_by(step as usize) {
                for b in (-reach..reach).step_by(50) {
                    let (a, b, c) = (a as f32, b as f32, (b + 50) as f32);
                    for line in [[(a, b), (a, c)], [(b, a), (c, a)]] {
                        let line = line.map(|(x, z)| self.middle + Vec3::new(x, 0.01, z));
                        let far = (0.5 * (line[0] + line[1]) - self.middle).length() / reach as f32;
                        let alpha = strength * (1.0 - far).max(0.0);
                        if alpha > 0.004 {
                            all.push((line, linear(ink, alpha)));
                        }
                    }
                }
            }
        }
    }

    /// Rings that fade towards the horizon.
    fn ground(&self, ink: &ink::Field, faces: &mut Faces) {
        let colour = |share: f32| {
            let (near, far) = (linear(ink.near, 1.0), linear(ink.horizon, 1.0));
            core::array::from_fn(|i| near[i] + (far[i] - near[i]) * share)
        };
        let rings = [(0.0, 0.0), (150.0, 0.12), (400.0, 0.5), (800.0, 0.85), (EDGE, 1.0)];
        for pair in rings.windows(2) {
            let at = |turn: f32, radius: f32| {
                self.middle + Vec3::new(radius * turn.cos(), 0.0, radius * turn.sin())
            };
            faces.band(at, pair[0].0, pair[1].0, colour(pair[0].1), colour(pair[1].1));
        }
    }

    fn sky(&self, ink: &ink::Field, faces: &mut Faces) {
        let steps = [(0.0_f32, 0.0_f32), (0.08, 0.15), (0.3, 0.6), (0.9, 1.0), (1.57, 1.0)];
        let (low, high) = (linear(ink.horizon, 1.0), linear(ink.zenith, 1.0));
        let colour = |share: f32| core::array::from_fn(|i| low[i] + (high[i] - low[i]) * share);
        for pair in steps.windows(2) {
            let at = |turn: f32, raised: f32| {
                self.middle
                    + EDGE * Vec3::new(turn.cos() * raised.cos(), raised.sin(), turn.sin() * raised.cos())
            };
            faces.band(at, pair[0].0, pair[1].0, colour(pair[0].1), colour(pair[1].1));
        }
    }

    /// A low uneven edge all around: the eye finds the horizon by it.
    fn trees(&self, ink: &ink::Field, faces: &mut Faces) {
        const COUNT: usize = 180;
        const RADIUS: f32 = 900.0;
        let foot = linear(ink.trees, 1.0);
        let height = |k: usize| {
            9.0 + 8.0 * (0.5 + 0.5 * (k as f32 * 2.4).sin()) * (0.5 + 0.5 * (k as f32 * 0.37).cos())
        };
        let at = |k: usize, up: f32| {
            let turn = core::f32::consts::TAU * k as f32 / COUNT as f32;
            self.middle + Vec3::new(RADIUS * turn.cos(), up, RADIUS * turn.sin())
        };
        for k in 0..COUNT {
            let n = (k + 1) % COUNT;
            faces.quad([at(k, 0.0), at(n, 0.0), at(n, height(n)), at(k, height(k))], [foot; 4]);
        }
    }
}

/// Triangles with colours.
#[derive(Default)]
struct Faces {
    at: Vec<Vec3>,
    colours: Vec<[f32; 4]>,
}

impl Faces {
    fn quad(&mut self, at: [Vec3; 4], colours: [[f32; 4]; 4]) {
        for i in [0, 1, 2, 0, 2, 3] {
            self.at.push(at[i]);
            self.colours.push(colours[i]);
        }
    }

    fn rectangle(&mut self, middle: Vec3, half_width: f32, half_length: f32, colour: [f32; 4]) {
        let corner = |x: f32, z: f32| middle + Vec3::new(x * half_width, 0.0, z * half_length);
        self.quad([corner(-1.0, -1.0), corner(1.0, -1.0), corner(1.0, 1.0), corner(-1.0, 1.0)], [colour; 4]);
    }

    fn band(&mut self, at: impl Fn(f32, f32) -> Vec3, from: f32, to: f32, inner: [f32; 4], outer: [f32; 4]) {
        const AROUND: usize = 64;
        let turn = |k: usize| core::f32::consts::TAU * k as f32 / AROUND as f32;
        for k in 0..AROUND {
            let (a, b) = (turn(k), turn(k + 1));
            self.quad([at(a, from), at(b, from), at(b, to), at(a, to)], [inner, inner, outer, outer]);
        }
    }

    fn mesh(self) -> Mesh {
        let mut mesh = Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::default());
        mesh.insert_attribute(Mesh::ATTRIBUTE_POSITION, self.at);
        mesh.insert_attribute(Mesh::ATTRIBUTE_COLOR, self.colours);
        mesh
    }
}
