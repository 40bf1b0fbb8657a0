use crate::abreast::Abreast;
use crate::four::Four;
use crate::instant::Instant;
use crate::local_flow::LocalFlow;
use crate::model::{Model, Room};
use crate::section::{Loads, SectionFlow, separated_loads};
use crate::tally::Tally;
use crate::wake::Wake;

/// Loads of tailplane and fins in the wake whose velocities lie in `s.tail_air`.
pub(crate) fn act<T: Tally>(
    model: &Model,
    at: &Instant,
    local: &LocalFlow,
    wake: &Wake,
    s: &Room,
    tally: &mut T,
) {
    for (i, four) in model.tail.iter().enumerate() {
        let mut speeds = local.at(four, &model.parts.strips);
        local.blow(four, &mut speeds);
        let along = speeds.along - Four::read(&s.tail_air, i);
        let across = speeds.across - Four::read(&s.tail_air, model.tail.len() + i);
        let flow = SectionFlow::new(along, across);
        let loads = section_loads(model, four, &flow, s);
        let pressure = 0.5 * at.density * flow.speed2 * Four::read(&wake.pressure, i);
        four.act(pressure, &loads, tally);
    }
}

/// Attached and separated loads, blended by the separated share.
#[inline]
fn section_loads(model: &Model, four: &Abreast, flow: &SectionFlow, s: &Room) -> Loads<Four> {
    let c = &model.parts.coefficients;
    let flaps = four.flaps(&s.flaps);
    let lift = four.slope * flow.lifting(&flaps);
    let induced = lift * lift * four.induced;
    let profile = four.drag + flaps.each(|f| f.drag);
    let mut loads = Loads {
        normal: lift * flow.cos + (induced + profile) * flow.sin,
        chordwise: c.suction * (lift * flow.sin - induced * flow.cos) - profile * flow.cos,
        moment: four.moment + flaps.each(|f| f.moment),
    };
    let separated = flow.separated(four, &model.parts.strips, &flaps, c, Four::default());
    if separated == Four::default() {
        return loads;
    }
    for (k, strip) in four.each().map(|(k, i)| (k, &model.parts.strips[i])) {
        let plate = separated_loads(strip, flow.sin.0[k], flow.cos.0[k], flaps.0[k]);
        let mix = |attached: &mut f64, plate: f64| *attached += separated.0[k] * (plate - *attached);
        mix(&mut loads.normal.0[k], plate.normal);
        mix(&mut loads.chordwise.0[k], plate.chordwise);
        mix(&mut loads.moment.0[k], plate.moment);
    }
    loads
}
