//! From where the field is seen.

/// A place for the eye.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Eye {
    /// At the pilot station, following the model.
    Pilot,
    /// Behind and above the model, level.
    #[default]
    Chase,
    /// On the tail, rolling with it.
    Tail,
    /// From above.
    Top,
    /// From the side, square to the judged line.
    Side,
    /// Where the mouse puts it.
    Free,
}

impl Eye {
    /// All of them, in the order of their keys, 1 to 6.
    pub const ALL: [Self; 6] = [Self::Pilot, Self::Chase, Self::Tail, Self::Top, Self::Side, Self::Free];

    /// Its name.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Pilot => "Pilot",
            Self::Chase => "Chase",
            Self::Tail => "Tail",
            Self::Top => "Top",
            Self::Side => "Side",
            Self::Free => "Free",
        }
    }
}

/// Smallest and largest magnification.
pub const ZOOMS: (f32, f32) = (0.2, 12.0);

/// The eye with what the mouse has done to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    /// Where.
    pub eye: Eye,
    /// Magnification, within [`ZOOMS`].
    pub zoom: f32,
    /// Turned to the right by the mouse \[rad\].
    pub turned: f32,
    /// Raised by the mouse \[rad\].
    pub raised: f32,
}

impl Default for View {
    fn default() -> Self {
        Self { eye: Eye::default(), zoom: 1.0, turned: 0.0, raised: 0.0 }
    }
}

impl View {
    /// Goes to an eye as it is by itself.
    pub fn look_from(&mut self, eye: Eye) {
        *self = Self { eye, ..Self::default() };
    }

    /// Magnifies by a factor.
    pub fn magnify(&mut self, factor: f32) {
        self.zoom = (self.zoom * factor).clamp(ZOOMS.0, ZOOMS.1);
    }

    /// Turns and raises the eye, never over the top.
    pub fn turn(&mut self, right: f32, up: f32) {
        self.turned += right;
        self.raised = (self.raised + up).clamp(-1.4, 1.4);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_mouse_cannot_lose_the_field() {
        let mut view = View::default();
        view.turn(10.0, 10.0);
        view.magnify(1e9);
        assert!(view.raised < core::f32::consts::FRAC_PI_2);
        assert_eq!(view.zoom, ZOOMS.1);
        view.look_from(Eye::Top);
        assert_eq!((view.eye, view.zoom, view.raised), (Eye::Top, 1.0, 0.0));
    }
}
