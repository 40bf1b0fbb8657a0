use nalgebra::Vector3;

use crate::measured::Body;

/// How far in front of the first station and behind the last one the body is still taken to be
/// there \[m\]: a fin's or spinner's overhang.
const REACH_AHEAD: f64 = 0.02;
const REACH_BEHIND: f64 = 0.05;

/// The fuselage as a line of sections, body axes about the centre of mass, nose to tail.
#[derive(Debug, Clone, PartialEq)]
pub struct BodyLine {
    /// x of the measured stations \[m\], falling.
    xs: Vec<f64>,
    sections: Vec<BodySection>,
    /// How square the sections are: 0 elliptic .. 1 sharp corners.
    pub squareness: f64,
    /// Axial drag coefficient on the frontal area.
    pub drag: f64,
}

/// One section of the fuselage.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct BodySection {
    /// Height \[m\].
    pub height: f64,
    /// Width \[m\].
    pub width: f64,
    /// z of its middle, body axes \[m\].
    pub centre_z: f64,
}

impl BodyLine {
    pub(crate) fn new(body: &Body, origin: BodyOrigin) -> Self {
        Self {
            xs: body.stations.iter().map(|s| origin.x(s.station.value)).collect(),
            sections: body
                .stations
                .iter()
                .map(|s| BodySection {
                    height: s.height.value,
                    width: s.width.value,
                    centre_z: origin.z(s.waterline.value),
                })
                .collect(),
            squareness: body.squareness.value,
            drag: body.drag.value,
        }
    }

    /// x of the nose \[m\].
    #[must_use]
    pub fn nose(&self) -> f64 {
        self.xs[0]
    }

    /// x of the tail end \[m\].
    #[must_use]
    pub fn tail(&self) -> f64 {
        self.xs[self.xs.len() - 1]
    }

    /// Length nose to tail \[m\].
    #[must_use]
    pub fn length(&self) -> f64 {
        self.nose() - self.tail()
    }

    /// Greatest height of a measured station \[m\].
    #[must_use]
    pub fn max_height(&self) -> f64 {
        self.sections.iter().fold(0.0, |a, s| a.max(s.height))
    }

    /// Greatest width of a measured station \[m\].
    #[must_use]
    pub fn max_width(&self) -> f64 {
        self.sections.iter().fold(0.0, |a, s| a.max(s.width))
    }

    /// x of the first measured station of greatest height \[m\].
    #[must_use]
    pub fn highest_station(&self) -> f64 {
        let h = self.max_height();
        let i = self.sections.iter().position(|s| s.height >= h).unwrap_or(0);
        self.xs[i]
    }

    /// The section at `x` [m, body axes], straight between stations; `None` where there is no
    /// body.
    #[must_use]
    pub fn section_at(&self, x: f64) -> Option<BodySection> {
        (self.tail() - REACH_BEHIND..=self.nose() + REACH_AHEAD).contains(&x).then(|| self.section_held(x))
    }

    /// The section at `x`, held at the ends.
    #[must_use]
    pub fn section_held(&self, x: f64) -> BodySection {
        let last = self.xs.len() - 1;
        if x >= self.xs[0] {
            return self.sections[0];
        }
        if x <= self.xs[last] {
            return self.sections[last];
        }
        let i = self.xs.iter().position(|&xi| xi <= x).unwrap_or(last);
        let (front, rear) = (self.sections[i - 1], self.sections[i]);
        let t = (x - self.xs[i]) / (self.xs[i - 1] - self.xs[i]);
        let mix = |r: f64, f: f64| r + (f - r) * t;
        BodySection {
            height: mix(rear.height, front.height),
            width: mix(rear.width, front.width),
            centre_z: mix(rear.centre_z, front.centre_z),
        }
    }

    /// The measured sections, nose to tail: x and section.
    pub fn stations(&self) -> impl Iterator<Item = (f64, BodySection)> + '_ {
        self.xs.iter().copied().zip(self.sections.iter().copied())
    }
}

/// Turns file coordinates into body axes about the centre of mass.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BodyOrigin {
    pub(crate) station: f64,
    pub(crate) waterline: f64,
}

impl BodyOrigin {
    pub(crate) fn x(self, station: f64) -> f64 {
        self.station - station
    }

    pub(crate) fn z(self, waterline: f64) -> f64 {
        self.waterline - waterline
    }

    pub(crate) fn point(self, station: f64, waterline: f64, buttline: f64) -> Vector3<f64> {
        Vector3::new(self.x(station), buttline, self.z(waterline))
    }
}
