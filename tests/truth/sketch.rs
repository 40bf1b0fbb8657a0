//! Aircraft in few numbers: the published ones of `tests/data/aircraft`, and families drawn from
//! ranges. x forward and z down from any datum \[m\], angles in degrees.

use airframe::{
    Aerofoil, Airframe, Body, BodyStation, DragItem, Geometry, Hinge, Mass, Motor, Panel, PanelEnd, Part,
    Propulsor, PropulsorCoefficients, Servo, Trimmed,
};
use measure::{DEG, Measured};
use serde_json::Value;

/// From, to (shares of the half span), chord share.
pub(crate) type HingeSketch = (f64, f64, f64);

/// A wing or tailplane.
#[derive(Debug, Clone, Default)]
pub(crate) struct WingSketch {
    pub(crate) span: f64,
    pub(crate) root: f64,
    pub(crate) tip: f64,
    pub(crate) x: f64,
    pub(crate) z: f64,
    pub(crate) sweep: f64,
    pub(crate) dihedral: f64,
    pub(crate) incidence: f64,
    pub(crate) twist: f64,
    pub(crate) zero_lift: f64,
    pub(crate) moment: f64,
    pub(crate) separation: Option<f64>,
    pub(crate) drag: f64,
    pub(crate) strips: Option<usize>,
    pub(crate) aileron: Option<HingeSketch>,
    pub(crate) flap: Option<HingeSketch>,
    pub(crate) elevator: Option<HingeSketch>,
}

/// A fin, upper or lower.
#[derive(Debug, Clone, Default)]
pub(crate) struct FinSketch {
    pub(crate) height: f64,
    pub(crate) root: f64,
    pub(crate) tip: f64,
    pub(crate) x: f64,
    pub(crate) z: f64,
    pub(crate) sweep: f64,
    pub(crate) rudder: f64,
}

/// Propeller or fan with its motor.
#[derive(Debug, Clone, Default)]
pub(crate) struct PropellerSketch {
    pub(crate) diameter: f64,
    pub(crate) pitch: f64,
    pub(crate) x: f64,
    pub(crate) z: f64,
    pub(crate) right: f64,
    pub(crate) down: f64,
    /// Static speed at full throttle [rev/s]; idle is 0.18 of it.
    pub(crate) full: f64,
    pub(crate) duct_inlet: Option<f64>,
    pub(crate) coefficients: PropulsorCoefficients,
}

/// Throws \[deg\].
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Throws {
    pub(crate) aileron: f64,
    pub(crate) elevator: f64,
    pub(crate) rudder: f64,
    pub(crate) flap: f64,
}

/// A whole aircraft.
#[derive(Debug, Clone, Default)]
pub(crate) struct Sketch {
    pub(crate) name: String,
    pub(crate) mass: f64,
    /// Centre of mass: x, z.
    pub(crate) centre: (f64, f64),
    /// Chord of the coefficients \[m\]; 0: mean chord of the wing.
    pub(crate) chord: f64,
    pub(crate) speed: f64,
    pub(crate) wing: WingSketch,
    pub(crate) lower: Option<WingSketch>,
    pub(crate) tail: WingSketch,
    pub(crate) fin: FinSketch,
    pub(crate) low_fin: Option<FinSketch>,
    /// x, height, width, z of the middle; nose to tail.
    pub(crate) stations: Vec<[f64; 4]>,
    pub(crate) squareness: f64,
    pub(crate) body_drag: f64,
    /// x, y, z, drag area.
    pub(crate) items: Vec<[f64; 4]>,
    pub(crate) propeller: PropellerSketch,
    pub(crate) throws: Throws,
}

fn end(x: f64, y: f64, z: f64, chord: f64, incidence: f64) -> PanelEnd {
    PanelEnd {
        station: (-(x + 0.25 * chord)).into(),
        waterline: (-z).into(),
        buttline: y.into(),
        chord: chord.into(),
        incidence: (incidence * DEG).into(),
    }
}

fn hinge(name: &str, (from, to, chord): HingeSketch, throw: f64) -> Hinge {
    let throw = Measured::exact(throw * DEG);
    Hinge {
        name: name.to_owned(),
        chord: chord.into(),
        from: from.into(),
        to: to.into(),
        throw_up: throw,
        throw_down: throw,
        slop: 0.0.into(),
    }
}

impl WingSketch {
    fn panel(&self, part: Part, throws: &Throws) -> Panel {
        let half = 0.5 * self.span;
        let length = half / libm::cos(self.dihedral * DEG);
        let tip_x = self.x - libm::tan(self.sweep * DEG) * length;
        let tip_z = self.z - libm::sin(self.dihedral * DEG) * length;
        let hinges = [
            self.aileron.map(|h| hinge("aileron", h, throws.aileron)),
            self.flap.map(|h| hinge("flap", h, throws.flap)),
            self.elevator.map(|h| hinge("elevator", h, throws.elevator)),
        ];
        Panel {
            part,
            root: end(self.x, 0.0, self.z, self.root, self.incidence),
            tip: end(tip_x, half, tip_z, self.tip, self.incidence + self.twist),
            section: Aerofoil {
                zero_lift: (self.zero_lift * DEG).into(),
                moment: self.moment.into(),
                separation: self.separation.map(|a| Measured::exact(a * DEG)),
                drag: self.drag.into(),
            },
            hinges: hinges.into_iter().flatten().collect(),
            strips: self.strips,
        }
    }
}

impl WingSketch {
    pub(crate) fn mean_chord(&self) -> f64 {
        0.5 * (self.root + self.tip)
    }
}

impl FinSketch {
    fn panel(&self, part: Part, throw: f64) -> Panel {
        let up = if part == Part::Fin { 1.0 } else { -1.0 };
        let tip_x = self.x - libm::tan(self.sweep * DEG) * self.height;
        Panel {
            part,
            root: end(self.x, 0.0, self.z, self.root, 0.0),
            tip: end(tip_x, 0.0, self.z - up * self.height, self.tip, 0.0),
            section: Aerofoil { drag: 0.012.into(), ..no_section() },
            hinges: vec![hinge("rudder", (0.0, 1.0, self.rudder), throw)],
            strips: None,
        }
    }
}

fn no_section() -> Aerofoil {
    let zero = Measured::exact(0.0);
    Aerofoil { zero_lift: zero, moment: zero, separation: None, drag: zero }
}

impl Sketch {
    pub(crate) fn airframe(&self) -> Airframe {
        let t = &self.throws;
        let mut panels = vec![self.wing.panel(Part::Wing, t), self.tail.panel(Part::Tailplane, t)];
        panels.extend(self.lower.as_ref().map(|w| w.panel(Part::LowerWing, t)));
        panels.push(self.fin.panel(Part::Fin, t.rudder));
        panels.extend(self.low_fin.as_ref().map(|f| f.panel(Part::LowerFin, t.rudder)));
        let p = &self.propeller;
        let station = |s: &[f64; 4]| BodyStation {
            station: (-s[0]).into(),
            height: s[1].into(),
            width: s[2].into(),
            waterline: (-s[3]).into(),
        };
        let item = |i: &[f64; 4]| DragItem {
            name: "undercarriage".to_owned(),
            station: (-i[0]).into(),
            waterline: (-i[2]).into(),
            buttline: i[1].into(),
            drag_area: i[3].into(),
        };
        Airframe {
            name: self.name.clone(),
            mass: Mass {
                all_up: self.mass.into(),
                station: (-self.centre.0).into(),
                waterline: (-self.centre.1).into(),
                inertia: None,
            },
            trimmed: Trimmed { speed: self.speed.into() },
            panels,
            body: Body {
                stations: self.stations.iter().map(station).collect(),
                squareness: self.squareness.into(),
                drag: self.body_drag.into(),
            },
            motor: Motor {
                full: p.full.into(),
                half: None,
                idle: (0.18 * p.full).into(),
                spool: None,
                voltage: 22.2.into(),
            },
            propulsor: Propulsor {
                diameter: p.diameter.into(),
                pitch: p.pitch.into(),
                blades: 2,
                station: (-p.x).into(),
                waterline: (-p.z).into(),
                buttline: 0.0.into(),
                right: (p.right * DEG).into(),
                down: (p.down * DEG).into(),
                rotation: 1.0,
                mass: None,
                inertia: None,
                duct_inlet: p.duct_inlet.map(Measured::exact),
                measured: p.coefficients,
            },
            drag_items: self.items.iter().map(item).collect(),
            doors: Vec::new(),
            servo: Servo { rate: 10.0.into(), delay: 0.0.into() },
        }
    }

    pub(crate) fn geometry(&self) -> Geometry {
        Geometry::of(&self.airframe()).unwrap()
    }

    /// All lengths times `factor`, the wing's chord then replaced by `chord` \[m\].
    pub(crate) fn scaled(&self, factor: f64, wing_chord: f64, chord: f64) -> Self {
        let wing = |w: &WingSketch| WingSketch {
            span: w.span * factor,
            root: w.root * factor,
            tip: w.tip * factor,
            x: w.x * factor,
            z: w.z * factor,
            ..w.clone()
        };
        let fin = |f: &FinSketch| FinSketch {
            height: f.height * factor,
            root: f.root * factor,
            tip: f.tip * factor,
            x: f.x * factor,
            z: f.z * factor,
            ..f.clone()
        };
        let p = &self.propeller;
        Self {
            centre: (self.centre.0 * factor, self.centre.1 * factor),
            chord,
            wing: WingSketch { root: wing_chord, tip: wing_chord, ..wing(&self.wing) },
            lower: self.lower.as_ref().map(wing),
            tail: wing(&self.tail),
            fin: fin(&self.fin),
            low_fin: self.low_fin.as_ref().map(fin),
            stations: self.stations.iter().map(|s| s.map(|x| x * factor)).collect(),
            items: self.items.iter().map(|i| [i[0], i[1], i[2], i[3] * factor].map(|x| x * factor)).collect(),
            propeller: PropellerSketch {
                diameter: p.diameter * factor,
                pitch: p.pitch * factor,
                x: p.x * factor,
                z: p.z * factor,
                ..p.clone()
            },
            ..self.clone()
        }
    }

    /// The sketch of that name in `tests/data/aircraft`.
    pub(crate) fn published(name: &str) -> Self {
        let path = format!("{}/tests/data/aircraft/{name}.json", env!("CARGO_MANIFEST_DIR"));
        let v: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
        let cg = numbers(&v["cg"]);
        let p = &v["propeller"];
        let t = &v["throws"];
        Self {
            name: v["name"].as_str().unwrap().to_owned(),
            mass: number(&v["mass"]),
            centre: (cg[0], cg[1]),
            chord: number(&v["chord"]),
            speed: number(&v["speed"]),
            wing: wing(&v["wing"]),
            lower: None,
            tail: WingSketch { elevator: Some((0.0, 1.0, number(&v["tail"]["chord"]))), ..wing(&v["tail"]) },
            fin: fin(&v["fin"]),
            low_fin: v.get("low_fin").map(fin),
            stations: rows(&v["stations"]),
            squareness: number(&v["squareness"]),
            body_drag: number(&v["body_drag"]),
            items: rows(&v["items"]),
            propeller: PropellerSketch {
                diameter: number(&p["diameter"]),
                pitch: number(&p["pitch"]),
                x: number(&p["x"]),
                z: number(&p["z"]),
                full: number(&p["full"]),
                ..PropellerSketch::default()
            },
            throws: Throws {
                aileron: number(&t["aileron"]),
                elevator: number(&t["elevator"]),
                rudder: number(&t["rudder"]),
                flap: number(&t["flap"]),
            },
        }
    }
}

pub(crate) fn number(v: &Value) -> f64 {
    v.as_f64().unwrap_or_else(|| panic!("not a number: {v}"))
}

fn numbers(v: &Value) -> Vec<f64> {
    v.as_array().unwrap().iter().map(number).collect()
}

fn rows(v: &Value) -> Vec<[f64; 4]> {
    v.as_array().unwrap().iter().map(|r| numbers(r).try_into().unwrap()).collect()
}

fn get(v: &Value, key: &str, default: f64) -> f64 {
    v.get(key).map_or(default, number)
}

fn span_hinge(v: &Value, key: &str) -> Option<HingeSketch> {
    v.get(key).map(|h| {
        let h = numbers(h);
        (h[0], h[1], h[2])
    })
}

fn wing(v: &Value) -> WingSketch {
    WingSketch {
        span: number(&v["span"]),
        root: number(&v["cr"]),
        tip: number(&v["ct"]),
        x: number(&v["x"]),
        z: number(&v["z"]),
        sweep: get(v, "sweep", 0.0),
        dihedral: get(v, "dihedral", 0.0),
        incidence: get(v, "incidence", 0.0),
        twist: get(v, "twist", 0.0),
        zero_lift: get(v, "zero_lift", 0.0),
        moment: get(v, "moment", 0.0),
        separation: v.get("separation").map(number),
        drag: get(v, "drag", 0.012),
        strips: v.get("strips").map(|n| n.as_u64().unwrap() as usize),
        aileron: span_hinge(v, "aileron"),
        flap: span_hinge(v, "flap"),
        elevator: None,
    }
}

fn fin(v: &Value) -> FinSketch {
    FinSketch {
        height: number(&v["h"]),
        root: number(&v["cr"]),
        tip: number(&v["ct"]),
        x: number(&v["x"]),
        z: number(&v["z"]),
        sweep: get(v, "sweep", 0.0),
        rudder: number(&v["chord"]),
    }
}
