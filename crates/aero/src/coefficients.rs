//! Every empirical number of the model, in one place: default, range, source.

/// One empirical number: what it is called, what it is, how far it may reasonably be off.
#[derive(Debug, Clone, Copy)]
pub struct Field {
    /// Its name in [`Coefficients`].
    pub name: &'static str,
    /// What the model uses.
    pub default: f64,
    /// Lower end of the reasonable range.
    pub low: f64,
    /// Upper end of the reasonable range.
    pub high: f64,
    /// Where the number or its range comes from.
    pub source: &'static str,
    /// Reads it.
    pub get: fn(&Coefficients) -> f64,
    /// Writes it.
    pub set: fn(&mut Coefficients, f64),
}

macro_rules! coefficients {
    ($($(#[$doc:meta])* $name:ident = $default:literal $(was $was:literal)? in $low:literal .. $high:literal,
       $source:literal;)*) => {
        /// The empirical numbers. What follows from ruler and scale is not here.
        #[derive(Debug, Clone, PartialEq)]
        pub struct Coefficients { $($(#[$doc])* pub $name: f64,)* }

        impl Default for Coefficients {
            fn default() -> Self {
                Self { $($name: $default,)* }
            }
        }

        impl Coefficients {
            /// The numbers of the numerical prototype that made the reference files: terms that it
            /// did not have stand at the strength that leaves them out.
            #[must_use]
            pub const fn prototype() -> Self {
                Self { $($name: [$($was,)? $default][0],)* }
            }

            /// All of them, in canonical order: for drawing from their ranges and for tables.
            pub const FIELDS: &[Field] = &[$(Field {
                name: stringify!($name), default: $default, low: $low, high: $high, source: $source,
                get: |c| c.$name, set: |c, value| c.$name = value,
            },)*];
        }
    };
}

coefficients! {
    /// Lift slope of a section as a share of 2 pi.
    section_slope = 0.95 in 0.86 .. 1.1, "thickness and Reynolds number; wide enough for three published lift slopes";
    /// Half-width of the step from attached to separated flow \[rad\]; larger is softer.
    separation_width = 0.035 in 0.02 .. 0.07, "set on a tunnel model's lift near separation";
    /// How much a flap's or camber's shift of lift moves the separation angle towards lower
    /// incidence, as a share of the shift.
    separation_shift = 0.15 was 0.4 in 0.0 .. 0.25, "section data of USAF DATCOM less the flap's own induced angle; held against the geometric incidence";
    /// Share of thin-aerofoil flap effect that is left at very large deflection.
    flap_floor = 0.40 in 0.40 .. 0.40, "fit to two elevator and flap series, 0-60 deg; range in flap_scale";
    /// Share that is lost on the way there.
    flap_gain = 0.45 in 0.35 .. 0.55, "fit to two elevator and flap series, 0-60 deg; range in flap_scale";
    /// Deflection at which half of it is lost \[rad\].
    flap_angle = 0.75 in 0.55 .. 0.95, "fit to two elevator and flap series, 0-60 deg; range in flap_scale";
    /// Scale on the flap effectiveness.
    flap_scale = 0.95 was 1.0 in 0.6 .. 1.3, "open gaps: USAF DATCOM against NACA TN 2080 and a tunnel model; wide enough for published control powers";
    /// How much faster than on tails the flaps of wings lose effect with deflection: 0 not, 1 as the
    /// handbook's sections.
    wing_flap_fall = 0.5 was 0.0 in 0.0 .. 1.0, "mean of own curve and USAF DATCOM 6.1.1.1-40; a tunnel model's ailerons";
    /// Share of its effect that a flap keeps beside the body, up to 0.6 body widths from its side.
    flap_beside_body = 0.7 was 1.0 in 0.3 .. 1.0, "inboard flaps of a tunnel model; judgement";
    /// Profile drag of a deflected plain flap: factor on (flap chord share)^1.38 sin^2(deflection).
    flap_drag = 1.7 in 1.2 .. 2.2, "handbook value for plain flaps, from memory";
    /// Normal force coefficient of a plate square to the flow, at no aspect ratio.
    plate_base = 1.11 in 1.11 .. 1.11, "Viterna and Corrigan, 1981, from memory; range in plate_scale";
    /// What each unit of aspect ratio adds to it.
    plate_aspect = 0.018 in 0.018 .. 0.018, "Viterna and Corrigan, 1981, from memory; range in plate_scale";
    /// Scale on the normal force of separated plates.
    plate_scale = 1.0 in 0.85 .. 1.15, "measured plates and aerofoils beyond separation";
    /// Lift that a separated wing keeps besides: factor on 2 sin cos^2 of the incidence.
    separated_lift = 0.25 was 0.0 in 0.0 .. 0.55, "lift of a tunnel model beyond separation";
    /// How much more the windward half of a separated wing carries: per radian of sideslip, at the tip.
    separated_roll = 0.95 was 0.0 in 0.4 .. 2.0, "a tunnel model at 22 and 32 deg; sign as in NACA Report 379 (abstract)";
    /// Share of the leading-edge suction that tailplane and fin keep: 0 sharp plate, 0.9 round nose.
    suction = 0.7 in 0.2 .. 0.95, "judgement";
    /// Lift of tail surfaces against a clean isolated surface: gap, hinge, body junction.
    tail_factor = 0.90 in 0.65 .. 1.15, "handbook; set on a full-size aircraft's pitch damping; wide enough for published tails";
    /// The same of fins.
    fin_factor = 0.95 was 0.90 in 0.55 .. 1.5, "loss of pressure and junction; judgement between handbook and three aircraft, whose spread is the range";
    /// Span efficiency in the induced drag of tail surfaces.
    tail_efficiency = 0.9 in 0.8 .. 1.0, "handbook, from memory";
    /// Aspect ratio of a fin on a body with a tailplane over that of the fin alone.
    fin_aspect = 1.55 in 1.2 .. 1.7, "end-plate effect, handbook method, from memory";
    /// The fin down to the body's axis, by handbook charts: 0 the exposed fin with the ratio above,
    /// 1 the charts.
    fin_on_body = 1.0 was 0.0 in 0.5 .. 1.0, "USAF DATCOM 5.3.1.1, digitised charts";
    /// Gain of flaps on surfaces of low aspect ratio: 0 as on a section, 1 the chart.
    low_aspect_flap = 1.0 was 0.0 in 0.5 .. 1.2, "USAF DATCOM fig. 6.1.4.1-14, digitised";
    /// Share of the body's cross-flow field that is lost in its lee, far from the nose.
    lee_loss = 0.6 in 0.3 .. 1.0, "first guess, kept; the cause is not proven";
    /// How much of that loss acts at the wings: 0 none, 1 as at the tail.
    lee_wing = 0.0 was 1.0 in 0.0 .. 0.4, "lift of two tunnel models in sideslip: a wing carries none of it";
    /// How far a wing's neighbouring strips ease the body's narrow upwash before it separates one: 0 not, 1 as their
    /// vortices do.
    eased_upwash = 1.0 was 0.0 in 0.5 .. 1.0, "the wing's own lattice; lift in sideslip of a tunnel model up to 12 deg of incidence";
    /// Scale on the travel in radii at which half of it is reached.
    lee_onset = 1.0 in 0.55 .. 1.8, "impulsively started cylinders, from memory";
    /// Strength of a pair of body vortices, the alternative to the lee loss: 0 or 1.
    body_vortices = 0.0 in 0.0 .. 0.0, "alternative model; swapped whole, not drawn";
    /// Cross-flow drag of the body, scale.
    cross_flow = 1.0 in 0.3 .. 1.4, "rectangular cylinders, table partly from memory";
    /// The body's cross-flow field at the wing, scale.
    field_wing = 1.2 was 1.0 in 0.9 .. 1.5, "USAF DATCOM 5.2.2.1, round bodies, wing at top or bottom";
    /// The same at the fins, which stand in the body's wake.
    field_fin = 0.4 was 1.0 in 0.0 .. 1.2, "sidewash and loss together near 0.9-1.0 with a mid wing: USAF DATCOM 5.3.1.1";
    /// How much a box's larger apparent mass strengthens that field: 0 as round, 1 as it is.
    box_field = 1.0 was 0.0 in 0.0 .. 1.0, "potential flow: doublet strength = (area + apparent mass)/2 pi";
    /// Side force of the body's forebody, factor.
    body_side = 1.5 was 1.2 in 0.8 .. 2.2, "set on the side force of four published aircraft; cause unknown";
    /// Where that force ends: 0 at the handbook's station, 1 at the highest station.
    body_side_end = 0.5 in 0.0 .. 1.0, "set on the side force of three published aircraft";
    /// Gain of the side force by a low wing at the bottom of the body.
    low_wing_gain = 0.5 in 0.0 .. 0.5, "wing-body interference factor, handbook, from memory";
    /// Gain of the side force by a high wing on top of the body.
    high_wing_gain = 0.85 in 0.0 .. 0.85, "wing-body interference factor, handbook, from memory";
    /// What a wing on top or below adds to the side force: 0 in step with the box's apparent mass, 1 as
    /// on a round body of finite length.
    wing_side_round = 1.0 was 0.0 in 0.0 .. 1.0, "USAF DATCOM 5.2.1.1 was made for round bodies";
    /// Share of the body's drag that reaches the tail as a wake.
    body_wake = 0.6 in 0.3 .. 1.0, "judgement";
    /// Scale on the loss of pressure in the wing's wake.
    wing_wake_loss = 1.0 in 0.5 .. 1.2, "Silverstein and Katzoff, NACA TR 648, from memory";
    /// How far the wing's wake sinks: multiple of the downwash at the wing.
    wake_sink = 1.5 in 0.5 .. 1.5, "between the wing's and the far wake's downwash";
    /// Core of the wake's legs at the tail, share of the span.
    wake_core = 0.03 in 0.015 .. 0.06, "rolled-up wakes; judgement";
    /// Strength of the skewed wake in sideslip, of an untapered wing.
    wing_skew = 0.75 was 0.5 in 0.4 .. 1.0, "0.87 is roll by sideslip and lift of USAF DATCOM 5.1.2.1; a tunnel model less at high lift";
    /// How fast it falls with taper: exponent of tip over root chord.
    skew_taper = 1.4 was 1.0 in 1.0 .. 2.0, "the same chart, aspect ratios 4 to 8";
    /// Relief by the inflow of a propeller's side force and hub moment.
    propeller_side = 0.8 was 0.55 in 0.5 .. 1.0, "Ribner, NACA Reports 819, 820: a propeller as a fin of aspect ratio 8";
    /// The jet as tailplane and fins see it: 0 as at the wing, 1 wider and weaker.
    tail_jet = 1.0 was 0.0 in 1.0 .. 1.0, "USAF DATCOM 4.6.3-16, tunnel models with one engine, thrust coefficient up to 4.6";
    /// Its dynamic pressure, scale.
    tail_jet_pressure = 1.0 in 0.15 .. 2.2, "the same; beyond towards hover a judgement";
    /// Scale on the wing's share of the swirl.
    swirl_wing = 1.0 in 0.7 .. 1.3, "budget of angular momentum; its form is an assumption";
    /// Scale on the tail's share of the swirl.
    swirl_tail = 1.0 in 0.7 .. 1.4, "budget of angular momentum; its form is an assumption";
    /// Static thrust coefficient where none is given: at no pitch.
    thrust_base = 0.075 was 0.10 in 0.060 .. 0.092, "191 two-bladed propellers of the UIUC database, volumes 1-3; 17 % scatter";
    /// Static thrust coefficient: per pitch over diameter.
    thrust_slope = 0.054 was 0.0 in 0.054 .. 0.054, "the same; range in the base";
    /// Largest static thrust coefficient.
    thrust_most = 0.125 in 0.125 .. 0.125, "the same";
    /// How full the curve of thrust over advance ratio is: at no pitch.
    thrust_bulge_base = -0.19 was 0.0 in -0.19 .. -0.19, "the same";
    /// How full it is: per pitch over diameter.
    thrust_bulge_slope = 1.45 was 0.0 in 1.1 .. 1.8, "the same";
    /// Advance ratio of no thrust: per pitch over diameter.
    no_thrust_slope = 0.96 was 1.25 in 0.82 .. 1.10, "the same; 11 % scatter";
    /// Advance ratio of no thrust: constant.
    no_thrust_base = 0.16 was 0.05 in 0.16 .. 0.16, "the same; range in the slope";
    /// Static power coefficient: constant.
    power_base = 0.020 was 0.02 in 0.013 .. 0.027, "the same; 19 % scatter";
    /// Static power coefficient: per pitch over diameter.
    power_slope = 0.0 was 0.055 in 0.0 .. 0.0, "replaced by the square";
    /// Static power coefficient: per square of pitch over diameter.
    power_square = 0.074 was 0.0 in 0.058 .. 0.090, "the same; 19 % scatter";
    /// How much the power coefficient first rises: per share of the advance ratio of no thrust.
    power_rise = 0.5 was 0.0 in 0.3 .. 0.7, "the same";
    /// Advance ratio of no power over that of no thrust.
    no_power_ratio = 1.145 was 1.12 in 1.10 .. 1.35, "the same";
    /// Mean blade chord over diameter.
    blade_chord = 0.075 in 0.06 .. 0.09, "two-bladed sport propellers; judgement";
    /// No-load speed of the motor over its static speed with this propeller.
    no_load = 1.25 in 1.15 .. 1.4, "stiffness of electric drives; judgement";
}
