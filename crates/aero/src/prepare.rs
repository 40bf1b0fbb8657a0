//! From geometry and empirical numbers to a model.

use airframe::{Geometry, Part};

use crate::body::{BodyStrip, body_strips, faces};
use crate::body_field::ease;
use crate::coefficients::Coefficients;
use crate::fin::Fin;
use crate::lattice::Lattice;
use crate::model::{Model, Parts};
use crate::propulsor::Propulsor;
use crate::strip::Strip;
use crate::swirl_shares::SwirlShares;
use crate::wake_loss::{BodyWake, WakeRow};
use crate::wash::Wash;

impl Model {
    /// Prepares an airframe.
    #[must_use]
    pub fn prepare(geometry: &Geometry, c: &Coefficients) -> Self {
        let mut model = Self::assemble(parts(geometry, c));
        let shares = SwirlShares::of(&mut model, geometry, c);
        if let Some(p) = model.parts.propulsor.as_mut() {
            p.swirl = shares;
        }
        model
    }
}

/// Everything but the swirl shares, which need forces.
fn parts(geometry: &Geometry, c: &Coefficients) -> Parts {
    let fin = Fin::of(geometry, c);
    let mut strips: Vec<Strip> = geometry
        .planforms
        .iter()
        .flat_map(|plan| {
            let mut strips: Vec<Strip> = geometry.strips
                [plan.first_strip..plan.first_strip + plan.strip_count]
                .iter()
                .map(|s| Strip::prepare(s, plan, &fin, &geometry.body, c))
                .collect();
            if plan.part == Part::Fin {
                strips.extend(fin.carried_over(plan, &strips[0]));
            }
            strips
        })
        .collect();
    let lattice = Lattice::new(&strips[..geometry.wing_strips], c);
    ease(&mut strips[..geometry.wing_strips], &lattice, c);
    let wings = &strips[..geometry.wing_strips];
    let body = body_strips(geometry, c);
    let wing = geometry.wing();
    Parts {
        lattice,
        wash: Wash::new(&faces(&geometry.body), &geometry.body, wings, &geometry.wings().collect::<Vec<_>>()),
        wake_rows: geometry.wings().map(wake_row).collect(),
        body_wake: body_wake(geometry, &body, c),
        drag_points: geometry.drag_points.clone(),
        doors: geometry.doors.clone(),
        propulsor: Some(Propulsor::prepare(&geometry.propulsor, &geometry.motor, c)),
        lee_onset: c.lee_onset * (2.5 - 2.0 * geometry.body.squareness),
        core: c.wake_core * wing.span(),
        skew_strength: c.wing_skew * libm::pow((wing.tip_chord / wing.root_chord).min(1.0), c.skew_taper),
        lag_length: geometry
            .planform(Part::Tailplane)
            .map_or(wing.root_chord, |t| (t.root.x - wing.root.x).abs()),
        coefficients: c.clone(),
        strips,
        body,
    }
}

fn wake_row(wing: &airframe::Planform) -> WakeRow {
    WakeRow {
        edge: wing.root_trailing_edge(),
        z: wing.root.z,
        chord: wing.mean_chord(),
        drag: wing.section.drag.value,
        half_span: wing.half_span(),
    }
}

/// A round wake of 0.6 body heights radius that carries a share of the body's drag: a cos^2
/// deficit over radius R holds pi (1/2 - 2/pi^2) R^2 = 0.934 R^2 of drag area.
fn body_wake(geometry: &Geometry, strips: &[BodyStrip], c: &Coefficients) -> BodyWake {
    let radius = 0.6 * geometry.body.max_height();
    let drag: f64 = strips.iter().map(|s| s.axial_drag).sum();
    let tail = geometry.planform(Part::Tailplane).map_or(0.0, |t| t.root.x);
    BodyWake {
        x: geometry.wing().root.x,
        z: geometry.body.section_at(tail).unwrap_or_default().centre_z,
        radius,
        loss: (c.body_wake * drag / (0.934 * radius * radius)).min(0.45),
    }
}
