//! The model as somebody measured it. Stations run aft, waterlines up, buttlines right, from
//! any one datum; metres, kilograms, radians, shares of one.

use measure::Measured;

/// A whole model.
#[derive(Debug, Clone, PartialEq)]
pub struct Airframe {
    /// What the pilot calls it.
    pub name: String,
    /// Mass and where it sits.
    pub mass: Mass,
    /// Where the pilot trims the model to fly hands off.
    pub trimmed: Trimmed,
    /// Wings, tailplane, fins: at least a wing, a tailplane and a fin, one panel per part.
    pub panels: Vec<Panel>,
    /// The fuselage.
    pub body: Body,
    /// What drives the propeller or fan.
    pub motor: Motor,
    /// Propeller or fan.
    pub propulsor: Propulsor,
    /// Things that only make drag: wheels, struts, exhausts.
    pub drag_items: Vec<DragItem>,
    /// Doors and other plates hinged at their front edge.
    pub doors: Vec<Door>,
    /// The servos, all alike.
    pub servo: Servo,
}

/// Mass and where it sits.
#[derive(Debug, Clone, PartialEq)]
pub struct Mass {
    /// Ready to fly \[kg\].
    pub all_up: Measured,
    /// Centre of mass, station \[m\].
    pub station: Measured,
    /// Centre of mass, waterline \[m\].
    pub waterline: Measured,
    /// Moments of inertia without the air carried along, from a swing test; `None`: the default
    /// guess. They do not change steady percentages.
    pub inertia: Option<Inertia>,
}

/// Moments of inertia about the centre of mass [kg m^2].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inertia {
    /// About the roll axis.
    pub roll: Measured,
    /// About the pitch axis.
    pub pitch: Measured,
    /// About the yaw axis.
    pub yaw: Measured,
}

/// The state in which the pilot trims: where every stick's zero is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trimmed {
    /// Level, hands off, at this airspeed [m/s].
    pub speed: Measured,
}

/// Which part of the airframe a panel is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Part {
    /// The wing, of a biplane the upper one.
    Wing,
    /// The lower wing of a biplane.
    LowerWing,
    /// The tailplane.
    Tailplane,
    /// The fin above the body.
    Fin,
    /// The fin below the body.
    LowerFin,
    /// The fuselage.
    Body,
    /// Propeller or fan with its motor.
    Propulsor,
    /// Wheels, struts, doors.
    Fittings,
}

impl Part {
    /// All parts, in the order of every ledger.
    pub const ALL: [Self; 8] = [
        Self::Wing,
        Self::LowerWing,
        Self::Tailplane,
        Self::Fin,
        Self::LowerFin,
        Self::Body,
        Self::Propulsor,
        Self::Fittings,
    ];

    /// The word in files and tables.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Wing => "wing",
            Self::LowerWing => "lower wing",
            Self::Tailplane => "tailplane",
            Self::Fin => "fin",
            Self::LowerFin => "lower fin",
            Self::Body => "body",
            Self::Propulsor => "motor",
            Self::Fittings => "fittings",
        }
    }

    /// Position in [`Part::ALL`].
    #[must_use]
    pub const fn index(self) -> usize {
        self as usize
    }

    /// Wing or lower wing.
    #[must_use]
    pub const fn is_wing(self) -> bool {
        matches!(self, Self::Wing | Self::LowerWing)
    }

    /// Fin or lower fin: not mirrored.
    #[must_use]
    pub const fn is_fin(self) -> bool {
        matches!(self, Self::Fin | Self::LowerFin)
    }
}

/// A wing, tailplane or fin, straight from root to tip. Wings and tailplanes are given for the
/// right half and mirrored; the root of a wing is its section at the plane of symmetry, the root
/// of a fin is where it leaves the body.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// Which part of the airframe it is.
    pub part: Part,
    /// Innermost section.
    pub root: PanelEnd,
    /// Outermost section.
    pub tip: PanelEnd,
    /// The section.
    pub section: Aerofoil,
    /// Moving parts on it.
    pub hinges: Vec<Hinge>,
    /// Strips per half in the calculation; `None`: the default (10 wing, 6 tailplane and fin,
    /// 3 lower fin).
    pub strips: Option<usize>,
}

/// One end of a panel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PanelEnd {
    /// Station of the leading edge \[m\].
    pub station: Measured,
    /// Waterline of the chord line at the leading edge \[m\].
    pub waterline: Measured,
    /// Buttline \[m\].
    pub buttline: Measured,
    /// Chord \[m\].
    pub chord: Measured,
    /// Incidence to the body's reference line, leading edge up \[rad\].
    pub incidence: Measured,
}

/// What the section does; the builder of files translates words such as "symmetrical".
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aerofoil {
    /// Angle of no lift \[rad\], negative for a cambered section.
    pub zero_lift: Measured,
    /// Pitching moment coefficient about the quarter chord at no lift, negative for camber.
    pub moment: Measured,
    /// Incidence at which the flow begins to separate \[rad\]; `None`: the default for the part.
    pub separation: Option<Measured>,
    /// Drag coefficient at no lift.
    pub drag: Measured,
}

/// A moving part on a panel.
#[derive(Debug, Clone, PartialEq)]
pub struct Hinge {
    /// What it is called: `aileron`, `elevator`, `rudder`, `flap`. The mix binds by this name;
    /// on a mirrored panel there is a left and a right one.
    pub name: String,
    /// Share of the chord behind the hinge line, 0..1.
    pub chord: Measured,
    /// Inner end as a share of the panel's length, 0..1.
    pub from: Measured,
    /// Outer end as a share of the panel's length, 0..1.
    pub to: Measured,
    /// Deflection at 100 %, trailing edge up (a rudder: trailing edge right) \[rad\].
    pub throw_up: Measured,
    /// Deflection at 100 %, trailing edge down (a rudder: trailing edge left) \[rad\].
    pub throw_down: Measured,
    /// Free play, from end to end with the servo held \[rad\].
    pub slop: Measured,
}

/// The fuselage: sections from nose to tail.
#[derive(Debug, Clone, PartialEq)]
pub struct Body {
    /// At least two, stations rising.
    pub stations: Vec<BodyStation>,
    /// How square the sections are: 0 elliptic .. 1 sharp corners.
    pub squareness: Measured,
    /// Axial drag coefficient on the frontal area.
    pub drag: Measured,
}

/// One section of the fuselage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BodyStation {
    /// Station \[m\].
    pub station: Measured,
    /// Height \[m\].
    pub height: Measured,
    /// Width \[m\].
    pub width: Measured,
    /// Waterline of the middle of the section \[m\].
    pub waterline: Measured,
}

/// What drives the propeller or fan, by what a tachometer shows with the model held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motor {
    /// Static revolutions at full throttle [rev/s].
    pub full: Measured,
    /// Static revolutions at half throttle [rev/s]; `None`: the motor's voltage, or what stands for
    /// it, follows the throttle on a straight line.
    pub half: Option<Measured>,
    /// Static revolutions at idle [rev/s].
    pub idle: Measured,
    /// Time from idle to full after the stick was thrown forward \[s\], the propeller's own inertia
    /// aside; `None`: at once, as an electric motor.
    pub spool: Option<Measured>,
    /// Battery under load \[V\]; for an engine or turbine the default.
    pub voltage: Measured,
}

/// Propeller or fan.
#[derive(Debug, Clone, PartialEq)]
pub struct Propulsor {
    /// Diameter \[m\].
    pub diameter: Measured,
    /// Pitch \[m\].
    pub pitch: Measured,
    /// Number of blades.
    pub blades: u32,
    /// Station of the disc \[m\].
    pub station: Measured,
    /// Waterline of the hub \[m\].
    pub waterline: Measured,
    /// Buttline of the hub \[m\].
    pub buttline: Measured,
    /// Right thrust \[rad\].
    pub right: Measured,
    /// Down thrust \[rad\].
    pub down: Measured,
    /// +1 clockwise seen from behind, -1 anticlockwise.
    pub rotation: f64,
    /// Mass of the propeller or rotor \[kg\]; `None`: from the diameter.
    pub mass: Option<Measured>,
    /// Moment of inertia of everything that turns [kg m^2]; `None`: from the mass.
    pub inertia: Option<Measured>,
    /// Inside a duct: inlet area [m^2].
    pub duct_inlet: Option<Measured>,
    /// Coefficients from a propeller test, where known.
    pub measured: PropulsorCoefficients,
}

/// Coefficients of a propeller or fan, each `None` where the default rule shall be used:
/// thrust `rho n^2 D^4 CT0 (1 - J/J0)`, power `rho n^3 D^5 CP0 (1 - (J/J1)^2)`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PropulsorCoefficients {
    /// Static thrust coefficient.
    pub thrust: Option<f64>,
    /// Advance ratio of no thrust.
    pub no_thrust: Option<f64>,
    /// Static power coefficient.
    pub power: Option<f64>,
    /// Advance ratio of no power.
    pub no_power: Option<f64>,
}

/// Something that only makes drag.
#[derive(Debug, Clone, PartialEq)]
pub struct DragItem {
    /// What it is.
    pub name: String,
    /// Station \[m\].
    pub station: Measured,
    /// Waterline \[m\].
    pub waterline: Measured,
    /// Buttline \[m\].
    pub buttline: Measured,
    /// Drag area: drag coefficient times area [m^2].
    pub drag_area: Measured,
}

/// A plate hinged at its front edge that opens downwards.
#[derive(Debug, Clone, PartialEq)]
pub struct Door {
    /// What it is called; the mix binds by this name.
    pub name: String,
    /// Station of the hinge \[m\].
    pub station: Measured,
    /// Waterline of the hinge \[m\].
    pub waterline: Measured,
    /// Area [m^2].
    pub area: Measured,
    /// Length from the hinge to the free edge \[m\].
    pub length: Measured,
    /// Drag area of the opening it leaves [m^2].
    pub opening: Measured,
    /// Angle when fully open \[rad\].
    pub throw: Measured,
}

/// The servos.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Servo {
    /// Angular speed of the surface [rad/s].
    pub rate: Measured,
    /// Time from the command to the first movement \[s\].
    pub delay: Measured,
}
