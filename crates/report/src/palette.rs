//! The colours and line styles that mean the same thing in every picture.
//!
//! Never colour alone: each role also has its own line style. The role and part colours were computed to
//! stay apart under full deuteranomaly, protanomaly and tritanomaly (Machado model, distances in CAM02-UCS);
//! change one only with the same check.

/// An opaque sRGB colour, 8 bits each.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Colour {
    /// Red.
    pub red: u8,
    /// Green.
    pub green: u8,
    /// Blue.
    pub blue: u8,
}

impl Colour {
    /// From `0xRRGGBB`; anything above that is dropped.
    #[must_use]
    pub const fn hex(value: u32) -> Self {
        let [_, red, green, blue] = value.to_be_bytes();
        Self { red, green, blue }
    }

    /// What this colour looks like when it covers `share` (0 to 1) of `under`.
    #[must_use]
    pub fn over(self, under: Self, share: f64) -> Self {
        let mix = |a: u8, b: u8| (f64::from(a) * share + f64::from(b) * (1.0 - share)).round() as u8;
        Self {
            red: mix(self.red, under.red),
            green: mix(self.green, under.green),
            blue: mix(self.blue, under.blue),
        }
    }

    /// Contrast ratio, 1 to 21, as defined in W3C, *Web Content Accessibility Guidelines 2.2*,
    /// "contrast ratio" and "relative luminance".
    #[must_use]
    pub fn contrast(self, other: Self) -> f64 {
        let (a, b) = (self.luminance(), other.luminance());
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    fn luminance(self) -> f64 {
        let linear = |channel: u8| {
            let c = f64::from(channel) / 255.0;
            if c <= 0.04045 { c / 12.92 } else { libm::pow((c + 0.055) / 1.055, 2.4) }
        };
        0.2126 * linear(self.red) + 0.7152 * linear(self.green) + 0.0722 * linear(self.blue)
    }
}

impl std::fmt::Display for Colour {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "#{:02X}{:02X}{:02X}", self.red, self.green, self.blue)
    }
}

/// What a line or band stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// The flight with the blend.
    WithBlend,
    /// The same flight without the blend.
    WithoutBlend,
    /// What the flight is judged against, or another reference.
    Judged,
    /// A surface at its limit, or a hazard: always with a hatch and a word.
    Limit,
}

/// How a role is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LineStyle {
    /// Colour.
    pub colour: Colour,
    /// Line width (px).
    pub width: f64,
    /// Lengths drawn and left out in turn (px); empty for a solid line.
    pub dash: &'static [f64],
}

/// A part of the model in charts that split an effect by part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// Wing.
    Wing,
    /// Tailplane.
    Tail,
    /// Fin.
    Fin,
    /// Fuselage.
    Body,
    /// Propeller or fan.
    Propeller,
    /// Anything else.
    Other,
}

impl Part {
    /// The colour of its bar; the part's name is written on the bar.
    #[must_use]
    pub const fn colour(self) -> Colour {
        Colour::hex(match self {
            Self::Wing => 0x2F_3E8F,
            Self::Tail => 0x4D_8CCB,
            Self::Fin => 0xB2_5334,
            Self::Body => 0xD7_BE75,
            Self::Propeller => 0x67_4C59,
            Self::Other => 0xBF_E3E3,
        })
    }
}

/// What the ink lies on: paper or slate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Ground {
    /// Paper.
    #[default]
    Light,
    /// Slate.
    Dark,
}

/// Share of its own colour at which a tolerance or spread band covers the ground.
pub const SPREAD_OPACITY: f64 = 0.18;
/// Share of the text colour at which grid hairlines cover the ground.
pub const HAIRLINE_OPACITY: f64 = 0.12;

impl Ground {
    const fn pick(self, light: u32, dark: u32) -> Colour {
        Colour::hex(match self {
            Self::Light => light,
            Self::Dark => dark,
        })
    }

    /// The ground itself.
    #[must_use]
    pub const fn paper(self) -> Colour {
        self.pick(0xFA_F8F4, 0x1E_2124)
    }

    /// Text.
    #[must_use]
    pub const fn text(self) -> Colour {
        self.pick(0x1C_1C1C, 0xE8_E6E1)
    }

    /// Secondary text: ticks, units, notes.
    #[must_use]
    pub fn quiet_text(self) -> Colour {
        self.text().over(self.paper(), 0.72)
    }

    /// How a role is drawn on this ground.
    #[must_use]
    pub const fn line(self, role: Role) -> LineStyle {
        let (light, dark, width, dash): (_, _, _, &[f64]) = match role {
            Role::WithBlend => (0x0B_6E69, 0x4F_C1B8, 2.5, &[]),
            Role::WithoutBlend => (0xC1_440E, 0xF0_8A5D, 2.0, &[6.0, 3.0]),
            Role::Judged => (0x3A_3A3A, 0xFF_FFFF, 1.5, &[1.5, 3.0]),
            Role::Limit => (0x9B_6BFF, 0x9B_6BFF, 4.0, &[]),
        };
        LineStyle { colour: self.pick(light, dark), width, dash }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROLES: [Role; 4] = [Role::WithBlend, Role::WithoutBlend, Role::Judged, Role::Limit];

    fn names(ground: Ground) -> Vec<String> {
        ROLES.iter().map(|&role| ground.line(role).colour.to_string()).collect()
    }

    #[test]
    fn colours_are_the_ones_agreed() {
        assert_eq!(names(Ground::Light), ["#0B6E69", "#C1440E", "#3A3A3A", "#9B6BFF"]);
        assert_eq!(names(Ground::Dark), ["#4FC1B8", "#F08A5D", "#FFFFFF", "#9B6BFF"]);
        let grounds = [Ground::Light, Ground::Dark].map(|g| (g.paper().to_string(), g.text().to_string()));
        assert_eq!(grounds[0], ("#FAF8F4".to_owned(), "#1C1C1C".to_owned()));
        assert_eq!(grounds[1], ("#1E2124".to_owned(), "#E8E6E1".to_owned()));
        let parts = [Part::Wing, Part::Tail, Part::Fin, Part::Body, Part::Propeller, Part::Other];
        let parts: Vec<_> = parts.iter().map(|p| p.colour().to_string()).collect();
        assert_eq!(parts, ["#2F3E8F", "#4D8CCB", "#B25334", "#D7BE75", "#674C59", "#BFE3E3"]);
    }

    #[test]
    fn roles_differ_without_their_colour() {
        for ground in [Ground::Light, Ground::Dark] {
            for (i, &a) in ROLES.iter().enumerate() {
                for &b in &ROLES[i + 1..] {
                    let (a, b) = (ground.line(a), ground.line(b));
                    assert!(a.dash != b.dash || (a.width - b.width).abs() >= 1.5, "{a:?} {b:?}");
                    assert_ne!(a.colour, b.colour);
                }
            }
        }
    }

    /// Published: W3C, WCAG 2.2, success criteria 1.4.3 (text 4.5 : 1) and 1.4.11 (graphics 3 : 1).
    #[test]
    fn val_ink_stands_out_from_the_ground() {
        for ground in [Ground::Light, Ground::Dark] {
            assert!(ground.text().contrast(ground.paper()) > 12.0);
            assert!(ground.quiet_text().contrast(ground.paper()) > 4.5);
            for role in [Role::WithBlend, Role::WithoutBlend, Role::Judged] {
                assert!(ground.line(role).colour.contrast(ground.paper()) > 4.5, "{ground:?} {role:?}");
            }
            assert!(ground.line(Role::Limit).colour.contrast(ground.paper()) > 3.0);
        }
    }

    /// Published: W3C, WCAG 2.2, definition of contrast ratio: black on white is 21 : 1.
    #[test]
    fn val_contrast_of_black_and_white_is_21() {
        assert!((Colour::hex(0).contrast(Colour::hex(0xFF_FFFF)) - 21.0).abs() < 1e-9);
    }
}
