//! The path of a flight as a ribbon: its canopy side is light, its gear side dark, so that
//! it shows the roll attitude all along.

use crate::axes;
use crate::shape::Tint;
use bevy::asset::RenderAssetUsages;
use bevy::math::Vec3;
use bevy::mesh::{Mesh, PrimitiveTopology};
use panels::Track;

/// Half width over half span.
const WIDTH: f64 = 0.3;
/// What is still to be flown is fainter by this.
const AHEAD: f32 = 0.35;
/// Between the two sides \[m\].
const APART: f32 = 0.01;

/// How a ribbon is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Ribbon {
    /// Half span of the model \[m\].
    pub(crate) half_span: f64,
    /// Colours.
    pub(crate) tint: Tint,
    /// Samples drawn and left out in turn; `None`: no gaps.
    pub(crate) dash: Option<(usize, usize)>,
}

impl Ribbon {
    /// The ribbon of `track` with the cursor at `time` \[s\], as far as `near` \[s\] before and after it.
    pub(crate) fn mesh(&self, track: &Track, time: f64, near: f64) -> Mesh {
        let (mut at, mut colours) = (Vec::new(), Vec::new());
        for (i, pair) in track.samples().windows(2).enumerate() {
            if (pair[0].time - time).abs() > near {
                continue;
            }
            if self.dash.is_some_and(|(on, off)| i % (on + off) >= on) {
                continue;
            }
            let faint = if pair[0].time < time { 1.0 } else { AHEAD };
            let edges = [0, 1].map(|k| self.edges(&pair[k].state.body));
            let up = axes::attitude(&pair[0].state.body.attitude) * Vec3::Y * APART;
            for (shift, colour) in [(up, self.tint.upper), (-up, self.tint.under)] {
                let [[a, b], [c, d]] = edges.map(|e| e.map(|p| p + shift));
                let turned = [a, b, d, a, d, c];
                let order = if shift == up { turned } else { [a, d, b, a, c, d] };
                at.extend(order);
                let mut colour = colour;
                colour[3] = 0.6 * faint;
                colours.extend([colour; 6]);
            }
        }
        if at.is_empty() {
            // the library draws no mesh without a corner
            (at, colours) = (vec![Vec3::ZERO; 3], vec![[0.0; 4]; 3]);
        }
        let mut mesh = Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::default());
        mesh.insert_attribute(Mesh::ATTRIBUTE_POSITION, at);
        mesh.insert_attribute(Mesh::ATTRIBUTE_COLOR, colours);
        mesh
    }

    /// Left and right edge.
    fn edges(&self, body: &flight::BodyState) -> [Vec3; 2] {
        let middle = axes::vector(&body.position);
        let right = axes::attitude(&body.attitude) * Vec3::X * (WIDTH * self.half_span) as f32;
        [middle - right, middle + right]
    }
}
