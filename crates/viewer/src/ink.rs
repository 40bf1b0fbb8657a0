//! Colours for the scene: those of every other picture, in the linear light that the renderer wants.

use bevy::color::{Color, ColorToComponents};
use panels::Look;
use report::palette::{Colour, Ground, Role};

use crate::shape::Tint;

/// Linear RGBA of a colour of the palette.
pub(crate) fn linear(colour: Colour, alpha: f32) -> [f32; 4] {
    Color::srgb_u8(colour.red, colour.green, colour.blue).to_linear().with_alpha(alpha).to_f32_array()
}

/// A colour of the palette for a material.
pub(crate) fn flat(colour: Colour) -> Color {
    Color::srgb_u8(colour.red, colour.green, colour.blue)
}

use bevy::color::Alpha;

/// The role of a flight: without its blends, with them.
pub(crate) const ROLES: [Role; 2] = [Role::WithoutBlend, Role::WithBlend];

/// The colours of a model: solid with its blends, a ghost without.
pub(crate) fn tint(look: &Look, role: Role) -> Tint {
    let (colour, paper, text) = (look.line(role).colour, look.ground.paper(), look.ground.text());
    let alpha = if role == Role::WithBlend { 1.0 } else { 0.45 };
    Tint {
        upper: linear(colour.over(paper, 0.34), alpha),
        under: linear(colour.over(text, 0.92), alpha),
        edge: linear(colour.over(text, 0.6), alpha),
    }
}

/// What the field is painted with.
pub(crate) struct Field {
    pub(crate) near: Colour,
    pub(crate) runway: Colour,
    pub(crate) horizon: Colour,
    pub(crate) zenith: Colour,
    pub(crate) trees: Colour,
}

/// The field on paper or on slate.
pub(crate) fn field(look: &Look) -> Field {
    let hex = Colour::hex;
    match look.ground {
        Ground::Light => Field {
            near: hex(0xE3_E2D5),
            runway: hex(0xD3_D1C6),
            horizon: hex(0xF3_F0E9),
            zenith: hex(0xD3_DEE4),
            trees: hex(0xCF_D0C4),
        },
        Ground::Dark => Field {
            near: hex(0x2A_2E2C),
            runway: hex(0x38_3B3D),
            horizon: hex(0x23_272A),
            zenith: hex(0x15_181B),
            trees: hex(0x30_3634),
        },
    }
}
