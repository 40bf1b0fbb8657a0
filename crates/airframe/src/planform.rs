use nalgebra::Vector3;

use crate::body_line::BodyOrigin;
use crate::measured::{Aerofoil, Panel, Part};

/// Outline of one part, body axes about the centre of mass. Of a mirrored part, the right half.
#[derive(Debug, Clone, PartialEq)]
pub struct Planform {
    /// Which part.
    pub part: Part,
    /// Quarter-chord point of the root \[m\].
    pub root: Vector3<f64>,
    /// Quarter-chord point of the tip less that of the root \[m\].
    pub reach: Vector3<f64>,
    /// Length of the panel seen from the front (a fin's height) \[m\].
    pub length: f64,
    /// Chord at the root \[m\].
    pub root_chord: f64,
    /// Chord at the tip \[m\].
    pub tip_chord: f64,
    /// Incidence at the root \[rad\].
    pub incidence: f64,
    /// Incidence of the tip less that of the root \[rad\].
    pub twist: f64,
    /// What the section does.
    pub section: Aerofoil,
    /// Index of its first strip in [`crate::Geometry::strips`].
    pub first_strip: usize,
    /// Number of its strips, both halves.
    pub strip_count: usize,
}

impl Planform {
    pub(crate) fn new(panel: &Panel, origin: BodyOrigin) -> Self {
        let (r, t) = (&panel.root, &panel.tip);
        let quarter = |e: &crate::measured::PanelEnd| {
            let ahead = origin.point(e.station.value, e.waterline.value, e.buttline.value);
            ahead - Vector3::new(0.25 * e.chord.value, 0.0, 0.0)
        };
        let root = quarter(r);
        let reach = quarter(t) - root;
        Self {
            part: panel.part,
            root,
            reach,
            length: libm::hypot(reach.y, reach.z),
            root_chord: r.chord.value,
            tip_chord: t.chord.value,
            incidence: r.incidence.value,
            twist: t.incidence.value - r.incidence.value,
            section: panel.section,
            first_strip: 0,
            strip_count: 0,
        }
    }

    /// Mean of root and tip chord \[m\].
    #[must_use]
    pub fn mean_chord(&self) -> f64 {
        0.5 * (self.root_chord + self.tip_chord)
    }

    /// Span of a mirrored part, or the height of a fin \[m\].
    #[must_use]
    pub fn span(&self) -> f64 {
        if self.part.is_fin() { self.length } else { 2.0 * self.half_span() }
    }

    /// Largest buttline of a mirrored part \[m\].
    #[must_use]
    pub fn half_span(&self) -> f64 {
        self.root.y + self.reach.y
    }

    /// Area seen along the plane of symmetry's normal axis: span times mean chord [m^2].
    #[must_use]
    pub fn area(&self) -> f64 {
        self.span() * self.mean_chord()
    }

    /// Span squared over area; of a fin, of the fin as it stands, without its mirror image.
    #[must_use]
    pub fn aspect(&self) -> f64 {
        self.span() * self.span() / self.area()
    }

    /// Sweep of the quarter-chord line along the panel, + aft \[rad\].
    #[must_use]
    pub fn sweep(&self) -> f64 {
        libm::atan2(-self.reach.x, self.length)
    }

    /// x of the trailing edge at the root \[m\].
    #[must_use]
    pub fn root_trailing_edge(&self) -> f64 {
        self.root.x - 0.75 * self.root_chord
    }
}
