use nalgebra::Vector3;

use crate::instant::Instant;
use crate::local_flow::LocalFlow;
use crate::model::{Model, Room};
use crate::section::{Loads, SectionFlow, separated_loads};
use crate::strip::Strip;
use crate::tally::Tally;
use crate::wake::Wake;
use crate::wing::act_on;

/// Loads of tailplane and fins in the wake whose velocities lie in `s.tail_air`.
pub(crate) fn act<T: Tally>(
    model: &Model,
    at: &Instant,
    local: &LocalFlow,
    wake: &Wake,
    s: &mut Room,
    tally: &mut T,
) {
    // in two short loops the processor works on several strips at a time
    for (k, i) in (model.wing_strips..model.parts.strips.len()).enumerate() {
        let strip = &model.parts.strips[i];
        let (velocity, _) = local.at(strip, &model.spots[i]);
        let air = Vector3::from_column_slice(&s.tail_air[3 * k..3 * k + 3]);
        let l = velocity - air;
        s.tail_flows[k] = SectionFlow::new(l.dot(&strip.chord_dir), l.dot(&strip.normal));
    }
    for (k, i) in (model.wing_strips..model.parts.strips.len()).enumerate() {
        let (strip, flow) = (&model.parts.strips[i], &s.tail_flows[k]);
        let loads = section_loads(model, strip, flow, i, s);
        let pressure = 0.5 * at.density * flow.speed2 * wake.pressure[k];
        act_on(strip, &model.spots[i], pressure, loads, tally);
    }
}

/// Attached and separated loads, blended by the separated share.
#[inline]
fn section_loads(model: &Model, strip: &Strip, flow: &SectionFlow, i: usize, s: &Room) -> Loads {
    let c = &model.parts.coefficients;
    let flap = &s.flaps[model.groups[i]];
    let lift = strip.slope * flow.lifting(flap);
    let induced = lift * lift * model.spots[i].induced;
    let profile = strip.drag + flap.drag;
    let attached = Loads {
        normal: lift * flow.cos + (induced + profile) * flow.sin,
        chordwise: c.suction * (lift * flow.sin - induced * flow.cos) - profile * flow.cos,
        moment: strip.moment + flap.moment,
    };
    let separated = flow.separated(strip, flap, c);
    if separated == 0.0 {
        return attached;
    }
    let plate = separated_loads(strip, flow, flap);
    let mix = |a: f64, p: f64| a + separated * (p - a);
    Loads {
        normal: mix(attached.normal, plate.normal),
        chordwise: mix(attached.chordwise, plate.chordwise),
        moment: mix(attached.moment, plate.moment),
    }
}
