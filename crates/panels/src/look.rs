//! The look of the window: the colours and the typeface of every other picture of the project.

use egui::{
    Color32, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, Shadow, Stroke, Style, TextStyle,
};
use report::palette::{Colour, Ground, HAIRLINE_OPACITY, LineStyle, Role, SPREAD_OPACITY};
use std::sync::Arc;

/// Smallest and largest text, times the normal size.
pub const TEXT_SIZES: (f32, f32) = (0.8, 2.0);
/// Size of body text at scale 1 \[points\].
const BODY: f32 = 15.0;

/// What the window is drawn on, and how large its text is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Look {
    /// Paper or slate.
    pub ground: Ground,
    /// Times the normal size, within [`TEXT_SIZES`].
    pub text_size: f32,
}

impl Default for Look {
    fn default() -> Self {
        Self { ground: Ground::Light, text_size: 1.0 }
    }
}

/// The style for numbers that are dragged.
#[must_use]
pub(crate) fn large() -> TextStyle {
    TextStyle::Name("large".into())
}

/// The style for headings and names.
#[must_use]
pub(crate) fn strong() -> FontFamily {
    FontFamily::Name("strong".into())
}

/// An egui colour.
#[must_use]
pub const fn ink(colour: Colour) -> Color32 {
    Color32::from_rgb(colour.red, colour.green, colour.blue)
}

/// Gives egui the fonts of the project and the style of `look`; false in the first frame or two,
/// when they are not there yet and nothing can be drawn.
#[must_use]
pub fn dress(ui: &mut egui::Ui, look: &Look) -> bool {
    let ctx = ui.ctx().clone();
    if !ctx.fonts(|fonts| fonts.definitions().families.contains_key(&strong())) {
        ctx.set_fonts(fonts());
        return false;
    }
    let style = Arc::new(look.style());
    for theme in [egui::Theme::Light, egui::Theme::Dark] {
        ctx.set_style_of(theme, Arc::clone(&style));
    }
    ui.set_style(style);
    true
}

/// The fonts of the project; egui's own stay behind them for signs that ours lack.
fn fonts() -> FontDefinitions {
    let mut fonts = FontDefinitions::default();
    let files: [(&str, &'static [u8]); 2] = [
        ("regular", include_bytes!("../../../assets/fonts/NotoSans-Regular-subset.ttf")),
        ("semi-bold", include_bytes!("../../../assets/fonts/NotoSans-SemiBold-subset.ttf")),
    ];
    for (name, bytes) in files {
        fonts.font_data.insert(name.to_owned(), Arc::new(FontData::from_static(bytes)));
    }
    let behind = fonts.families.get(&FontFamily::Proportional).cloned().unwrap_or_default();
    let before = |first: &str| core::iter::once(first.to_owned()).chain(behind.iter().cloned()).collect();
    fonts.families.insert(FontFamily::Proportional, before("regular"));
    fonts.families.insert(FontFamily::Monospace, before("regular"));
    fonts.families.insert(strong(), before("semi-bold"));
    fonts
}

impl Look {
    /// Scales a length of the layout with the text.
    #[must_use]
    pub fn px(&self, at_scale_one: f32) -> f32 {
        at_scale_one * self.text_size
    }

    /// Paper or slate.
    #[must_use]
    pub const fn paper(&self) -> Color32 {
        ink(self.ground.paper())
    }

    /// Text.
    #[must_use]
    pub const fn text(&self) -> Color32 {
        ink(self.ground.text())
    }

    /// Secondary text.
    #[must_use]
    pub fn quiet(&self) -> Color32 {
        ink(self.ground.quiet_text())
    }

    /// Hairlines.
    #[must_use]
    pub fn hairline(&self) -> Color32 {
        ink(self.ground.text().over(self.ground.paper(), HAIRLINE_OPACITY))
    }

    /// The faint band behind the judged leg.
    #[must_use]
    pub fn band(&self) -> Color32 {
        ink(self.ground.text().over(self.ground.paper(), 0.05))
    }

    /// How a role is drawn.
    #[must_use]
    pub const fn line(&self, role: Role) -> LineStyle {
        self.ground.line(role)
    }

    /// The colour of a role.
    #[must_use]
    pub const fn role(&self, role: Role) -> Color32 {
        ink(self.line(role).colour)
    }

    /// Everything egui needs to know.
    #[must_use]
    pub fn style(&self) -> Style {
        let mut style = Style { visuals: self.visuals(), ..Style::default() };
        let font = |size: f32, family| FontId::new(self.px(size), family);
        style.text_styles = [
            (TextStyle::Small, font(12.0, FontFamily::Proportional)),
            (TextStyle::Body, font(BODY, FontFamily::Proportional)),
            (TextStyle::Button, font(BODY, FontFamily::Proportional)),
            (TextStyle::Monospace, font(BODY, FontFamily::Monospace)),
            (TextStyle::Heading, font(17.0, strong())),
            (large(), font(21.0, strong())),
        ]
        .into();
        let spacing = &mut style.spacing;
        spacing.item_spacing = egui::vec2(self.px(8.0), self.px(5.0));
        spacing.button_padding = egui::vec2(self.px(7.0), self.px(2.0));
        spacing.interact_size = egui::vec2(self.px(36.0), self.px(22.0));
        spacing.slider_width = self.px(130.0);
        spacing.combo_width = self.px(150.0);
        spacing.icon_width = self.px(15.0);
        style
    }

    fn visuals(&self) -> egui::Visuals {
        let (paper, text, with) =
            (self.ground.paper(), self.ground.text(), self.line(Role::WithBlend).colour);
        let shade = |share: f64| ink(text.over(paper, share));
        let mut v = if self.ground == Ground::Light { egui::Visuals::light() } else { egui::Visuals::dark() };
        v.override_text_color = None;
        v.weak_text_color = Some(self.quiet());
        v.panel_fill = self.paper();
        v.window_fill = self.paper();
        v.extreme_bg_color = shade(0.04);
        v.faint_bg_color = shade(0.04);
        v.window_stroke = Stroke::new(1.0, shade(0.25));
        (v.window_shadow, v.popup_shadow) = (Shadow::NONE, Shadow::NONE);
        v.window_corner_radius = CornerRadius::same(2);
        v.menu_corner_radius = CornerRadius::same(2);
        v.selection.bg_fill = ink(with.over(paper, SPREAD_OPACITY));
        v.selection.stroke = Stroke::new(1.0, ink(with));
        v.slider_trailing_fill = true;
        let states = [
            (&mut v.widgets.noninteractive, 0.0, HAIRLINE_OPACITY, 1.0),
            (&mut v.widgets.inactive, 0.05, 0.22, 1.0),
            (&mut v.widgets.hovered, 0.10, 0.45, 1.0),
            (&mut v.widgets.active, 0.16, 0.70, 1.5),
            (&mut v.widgets.open, 0.08, 0.45, 1.0),
        ];
        for (w, fill, edge, width) in states {
            w.bg_fill = shade(fill + 0.06);
            w.weak_bg_fill = shade(fill);
            w.bg_stroke = Stroke::new(width, shade(edge));
            w.fg_stroke = Stroke::new(width, self.text());
            w.corner_radius = CornerRadius::same(2);
            w.expansion = 0.0;
        }
        v
    }
}
