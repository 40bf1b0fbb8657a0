//! The same model measured again: every number moved within its tolerance.

use measure::Measured;

use crate::measured::{Airframe, Door, DragItem, Hinge, Panel, PanelEnd, Propulsor};

impl Airframe {
    /// Every measurement moved by `draw` (-1..1, asked once per measurement, in a fixed order) times
    /// its tolerance. Hinge ends stay: they decide where strips are cut, and moving them by a
    /// millimetre changes nothing else. Sizes stay positive.
    #[must_use]
    pub fn varied(&self, mut draw: impl FnMut() -> f64) -> Self {
        let mut varied = self.clone();
        let mut moved = |m: &mut Measured| {
            let value = m.value + m.tolerance * draw();
            // a size may not become none at all
            if m.value <= 0.0 || value > 0.0 {
                m.value = value;
            }
        };
        varied.each(&mut moved);
        varied
    }

    fn each(&mut self, act: &mut impl FnMut(&mut Measured)) {
        let mass = &mut self.mass;
        for m in [&mut mass.all_up, &mut mass.station, &mut mass.waterline] {
            act(m);
        }
        if let Some(inertia) = &mut mass.inertia {
            for m in [&mut inertia.roll, &mut inertia.pitch, &mut inertia.yaw] {
                act(m);
            }
        }
        self.panels.iter_mut().for_each(|panel| each_of_panel(panel, act));
        for s in &mut self.body.stations {
            for m in [&mut s.station, &mut s.height, &mut s.width, &mut s.waterline] {
                act(m);
            }
        }
        act(&mut self.body.squareness);
        act(&mut self.body.drag);
        act(&mut self.motor.full);
        act(&mut self.motor.idle);
        self.motor.half.iter_mut().for_each(&mut *act);
        each_of_propulsor(&mut self.propulsor, act);
        self.drag_items.iter_mut().for_each(|item| each_of_item(item, act));
        self.doors.iter_mut().for_each(|door| each_of_door(door, act));
    }
}

fn each_of_panel(panel: &mut Panel, act: &mut impl FnMut(&mut Measured)) {
    for end in [&mut panel.root, &mut panel.tip] {
        let PanelEnd { station, waterline, buttline, chord, incidence } = end;
        for m in [station, waterline, buttline, chord, incidence] {
            act(m);
        }
    }
    let section = &mut panel.section;
    for m in [&mut section.zero_lift, &mut section.moment, &mut section.drag] {
        act(m);
    }
    if let Some(separation) = &mut section.separation {
        act(separation);
    }
    for Hinge { chord, throw_up, throw_down, .. } in &mut panel.hinges {
        for m in [chord, throw_up, throw_down] {
            act(m);
        }
    }
}

fn each_of_propulsor(p: &mut Propulsor, act: &mut impl FnMut(&mut Measured)) {
    let sizes = [&mut p.diameter, &mut p.pitch];
    let places = [&mut p.station, &mut p.waterline, &mut p.buttline, &mut p.right, &mut p.down];
    sizes.into_iter().chain(places).for_each(&mut *act);
    for m in [&mut p.mass, &mut p.inertia, &mut p.duct_inlet].into_iter().flatten() {
        act(m);
    }
}

fn each_of_item(item: &mut DragItem, act: &mut impl FnMut(&mut Measured)) {
    for m in [&mut item.station, &mut item.waterline, &mut item.buttline, &mut item.drag_area] {
        act(m);
    }
}

fn each_of_door(d: &mut Door, act: &mut impl FnMut(&mut Measured)) {
    for m in [&mut d.station, &mut d.waterline, &mut d.area, &mut d.length, &mut d.opening, &mut d.throw] {
        act(m);
    }
}
