use measure::Side;
use nalgebra::{Matrix3, Vector3};

use crate::body_line::{BodyLine, BodyOrigin};
use crate::inertia::inertia;
use crate::measured::{Airframe, Motor, Panel, Part, PropulsorCoefficients, Servo};
use crate::planform::Planform;
use crate::strip::{HingeSpan, Strip, slice};
use crate::surface::{MAX_SURFACES, Surface};

/// Density of the air that is carried along, sea level standard day [kg/m^3].
const CARRIED_DENSITY: f64 = 1.225;

/// An airframe in body axes about its centre of mass: everything that follows from the
/// measurements without knowing anything of air.
#[derive(Debug, Clone, PartialEq)]
pub struct Geometry {
    /// What the pilot calls it.
    pub name: String,
    /// Wings first (each left half, right half, root to tip), then tailplane, fin, lower fin.
    pub strips: Vec<Strip>,
    /// The first so many strips are wing.
    pub wing_strips: usize,
    /// Planforms in the order of their strips.
    pub planforms: Vec<Planform>,
    /// The fuselage.
    pub body: BodyLine,
    /// Propeller or fan.
    pub propulsor: PropulsorShape,
    /// The motor as measured.
    pub motor: Motor,
    /// Things that only make drag.
    pub drag_points: Vec<DragPoint>,
    /// Doors.
    pub doors: Vec<DoorShape>,
    /// Everything that moves; strips and doors hold indices into it.
    pub surfaces: Vec<Surface>,
    /// The servos, all alike.
    pub servo: Servo,
    /// Mass \[kg\].
    pub mass: f64,
    /// Inertia about the centre of mass with the air carried along [kg m^2].
    pub inertia: Matrix3<f64>,
    /// Airspeed at which the pilot trims [m/s].
    pub trimmed_speed: f64,
}

/// Propeller or fan, body axes.
#[derive(Debug, Clone, PartialEq)]
pub struct PropulsorShape {
    /// Diameter \[m\].
    pub diameter: f64,
    /// Pitch \[m\].
    pub pitch: f64,
    /// Number of blades.
    pub blades: f64,
    /// Hub \[m\].
    pub hub: Vector3<f64>,
    /// Unit vector of the thrust.
    pub axis: Vector3<f64>,
    /// +1 clockwise seen from behind.
    pub rotation: f64,
    /// Mass of what turns \[kg\], if weighed.
    pub mass: Option<f64>,
    /// Inertia of what turns [kg m^2], if known.
    pub inertia: Option<f64>,
    /// Inlet area [m^2] where it runs in a duct.
    pub duct_inlet: Option<f64>,
    /// Measured coefficients.
    pub coefficients: PropulsorCoefficients,
}

/// Something that only makes drag, body axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DragPoint {
    /// Where \[m\].
    pub position: Vector3<f64>,
    /// Drag area [m^2].
    pub drag_area: f64,
}

/// A plate hinged at its front edge, body axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DoorShape {
    /// Middle of the hinge \[m\].
    pub hinge: Vector3<f64>,
    /// Area [m^2].
    pub area: f64,
    /// Hinge to free edge \[m\].
    pub length: f64,
    /// Drag area of the opening [m^2].
    pub opening: f64,
    /// Index of its surface.
    pub surface: usize,
}

/// Why an airframe cannot be turned into geometry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum GeometryError {
    /// A part that every airframe needs is absent.
    Missing(Part),
    /// Two panels claim to be the same part.
    Twice(Part),
    /// More moving surfaces than [`MAX_SURFACES`].
    TooManySurfaces(usize),
    /// Fewer than two body stations.
    NoBody,
    /// A panel whose tip lies where its root is.
    NoLength(Part),
}

impl core::fmt::Display for GeometryError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Missing(part) => {
                write!(f, "the airframe has no {}; add a panel with part = \"{0}\"", part.word())
            }
            Self::Twice(part) => {
                write!(f, "two panels are called {}; one panel per part is allowed", part.word())
            }
            Self::TooManySurfaces(n) => {
                write!(f, "the airframe has {n} moving surfaces; at most {MAX_SURFACES} are allowed")
            }
            Self::NoBody => write!(f, "the body has fewer than two stations; measure at least nose and tail"),
            Self::NoLength(part) => {
                write!(
                    f,
                    "the tip of the {} lies where its root is; check its buttlines and waterlines",
                    part.word()
                )
            }
        }
    }
}

impl core::error::Error for GeometryError {}

/// Parts in the order of their strips.
const STRIP_ORDER: [Part; 5] = [Part::Wing, Part::LowerWing, Part::Tailplane, Part::Fin, Part::LowerFin];

impl Geometry {
    /// Turns measurements into geometry.
    ///
    /// # Errors
    /// When a wing, tailplane, fin or body is missing or has no size, see [`GeometryError`].
    pub fn of(airframe: &Airframe) -> Result<Self, GeometryError> {
        let origin =
            BodyOrigin { station: airframe.mass.station.value, waterline: airframe.mass.waterline.value };
        let panels = ordered(&airframe.panels)?;
        if airframe.body.stations.len() < 2 {
            return Err(GeometryError::NoBody);
        }
        let body = BodyLine::new(&airframe.body, origin);
        let mut parts = Parts::default();
        for panel in panels {
            parts.add(panel, origin)?;
        }
        let doors = airframe.doors.iter().map(|d| parts.add_door(d, origin)).collect();
        if parts.surfaces.len() > MAX_SURFACES {
            return Err(GeometryError::TooManySurfaces(parts.surfaces.len()));
        }
        let span = parts.planforms[0].span();
        let inertia = inertia(airframe, span, body.length(), &parts.strips, CARRIED_DENSITY);
        Ok(Self {
            name: airframe.name.clone(),
            wing_strips: parts.strips.iter().filter(|s| s.part.is_wing()).count(),
            strips: parts.strips,
            planforms: parts.planforms,
            body,
            propulsor: propulsor(airframe, origin),
            motor: airframe.motor,
            drag_points: drag_points(airframe, origin),
            doors,
            surfaces: parts.surfaces,
            servo: airframe.servo,
            mass: airframe.mass.all_up.value,
            inertia,
            trimmed_speed: airframe.trimmed.speed.value,
        })
    }

    /// The planform of a part.
    #[must_use]
    pub fn planform(&self, part: Part) -> Option<&Planform> {
        self.planforms.iter().find(|p| p.part == part)
    }

    /// The (upper) wing: every airframe has one.
    #[must_use]
    pub fn wing(&self) -> &Planform {
        &self.planforms[0]
    }

    /// Wing and lower wing.
    pub fn wings(&self) -> impl Iterator<Item = &Planform> {
        self.planforms.iter().filter(|p| p.part.is_wing())
    }
}

/// Panels in strip order, each part at most once, the needed ones present.
fn ordered(panels: &[Panel]) -> Result<Vec<&Panel>, GeometryError> {
    let mut sorted = Vec::new();
    for part in STRIP_ORDER {
        let mut of_part = panels.iter().filter(|p| p.part == part);
        match of_part.next() {
            Some(panel) => sorted.push(panel),
            None if matches!(part, Part::LowerWing | Part::LowerFin) => {}
            None => return Err(GeometryError::Missing(part)),
        }
        if of_part.next().is_some() {
            return Err(GeometryError::Twice(part));
        }
    }
    Ok(sorted)
}

#[derive(Default)]
struct Parts {
    strips: Vec<Strip>,
    planforms: Vec<Planform>,
    surfaces: Vec<Surface>,
}

impl Parts {
    fn add(&mut self, panel: &Panel, origin: BodyOrigin) -> Result<(), GeometryError> {
        let mut plan = Planform::new(panel, origin);
        if plan.length <= 0.0 {
            return Err(GeometryError::NoLength(panel.part));
        }
        plan.first_strip = self.strips.len();
        let halves: &[Option<Side>] =
            if panel.part.is_fin() { &[None] } else { &[Some(Side::Left), Some(Side::Right)] };
        for &side in halves {
            let hinges: Vec<HingeSpan> =
                panel.hinges.iter().map(|h| self.add_hinge(h, &plan, side)).collect();
            self.strips.extend(slice(panel, &plan, side, &hinges));
        }
        plan.strip_count = self.strips.len() - plan.first_strip;
        self.planforms.push(plan);
        Ok(())
    }

    fn add_hinge(
        &mut self,
        hinge: &crate::measured::Hinge,
        plan: &Planform,
        side: Option<Side>,
    ) -> HingeSpan {
        let (from, to) = (hinge.from.value, hinge.to.value);
        let middle = plan.root_chord + (plan.tip_chord - plan.root_chord) * 0.5 * (from + to);
        self.surfaces.push(Surface {
            hinge: hinge.name.clone(),
            part: plan.part,
            side,
            throw_up: hinge.throw_up.value,
            throw_down: hinge.throw_down.value,
            chord: hinge.chord.value * middle,
            slop: hinge.slop.value,
        });
        HingeSpan { from, to, chord: hinge.chord.value, surface: self.surfaces.len() - 1 }
    }

    fn add_door(&mut self, door: &crate::measured::Door, origin: BodyOrigin) -> DoorShape {
        self.surfaces.push(Surface {
            hinge: door.name.clone(),
            part: Part::Fittings,
            side: None,
            throw_up: 0.0,
            throw_down: door.throw.value,
            chord: door.length.value,
            slop: 0.0,
        });
        DoorShape {
            hinge: origin.point(door.station.value, door.waterline.value, 0.0),
            area: door.area.value,
            length: door.length.value,
            opening: door.opening.value,
            surface: self.surfaces.len() - 1,
        }
    }
}

fn propulsor(airframe: &Airframe, origin: BodyOrigin) -> PropulsorShape {
    let p = &airframe.propulsor;
    let (sin_r, cos_r) = libm::sincos(p.right.value);
    let (sin_d, cos_d) = libm::sincos(p.down.value);
    PropulsorShape {
        diameter: p.diameter.value,
        pitch: p.pitch.value,
        blades: f64::from(p.blades),
        hub: origin.point(p.station.value, p.waterline.value, p.buttline.value),
        axis: Vector3::new(cos_r * cos_d, sin_r * cos_d, sin_d),
        rotation: p.rotation,
        mass: p.mass.map(|m| m.value),
        inertia: p.inertia.map(|i| i.value),
        duct_inlet: p.duct_inlet.map(|a| a.value),
        coefficients: p.measured,
    }
}

fn drag_points(airframe: &Airframe, origin: BodyOrigin) -> Vec<DragPoint> {
    airframe
        .drag_items
        .iter()
        .map(|i| DragPoint {
            position: origin.point(i.station.value, i.waterline.value, i.buttline.value),
            drag_area: i.drag_area.value,
        })
        .collect()
}
