//! How far surfaces move, as a ruler at the trailing edge and a throw gauge show it.

use crate::find::pose::Stand;
use airframe::{Part, Surface};
use measure::DEG;
use mix::{Commands, Follower};

/// One surface moved by a command.
#[derive(Debug, Clone, PartialEq)]
pub struct Movement {
    /// `left aileron`.
    pub label: String,
    /// + trailing edge down, rudder left, door open \[rad\].
    pub deflection: f64,
    /// Of the trailing edge in the middle of the hinge \[m\].
    pub travel: f64,
    /// Free play of its linkage \[rad\].
    pub slop: f64,
    /// `down`, `up`, `left`, `right`, `open`.
    pub way: &'static str,
}

impl Movement {
    /// What `share` of full throw of `follower` moves, as a pilot measures it: one elevator, the
    /// upper rudder, both ailerons (of the upper wing).
    #[must_use]
    pub fn of(stand: &Stand, follower: Follower, share: f64) -> Vec<Self> {
        let mut list: Vec<Self> = Vec::new();
        for (surface, binding) in stand.surfaces.iter().zip(&stand.bindings) {
            let moved = binding.share(&command(follower, share));
            let movement = Self::new(surface, surface.deflection(moved), follower);
            if moved != 0.0 && list.iter().all(|m| m.label != movement.label) {
                list.push(movement);
            }
        }
        list
    }

    fn new(surface: &Surface, deflection: f64, follower: Follower) -> Self {
        let side = surface.side.filter(|_| follower == Follower::Aileron);
        let side = side.map_or(String::new(), |side| format!("{} ", side.word()));
        let label = format!("{side}{}", surface.hinge);
        Self {
            label,
            deflection,
            travel: surface.travel(deflection),
            slop: surface.slop,
            way: way(surface.part, deflection),
        }
    }

    /// `elevator trailing edge 4 mm down (2.1 deg)`.
    #[must_use]
    pub fn words(&self) -> String {
        let (mm, degrees) = (1000.0 * self.travel.abs(), (self.deflection / DEG).abs());
        let edge = if self.way == "open" { "free edge" } else { "trailing edge" };
        let mm = if mm < 9.95 { format!("{mm:.1}") } else { format!("{mm:.0}") };
        format!("{} {edge} {mm} mm {} ({degrees:.1} deg)", self.label, self.way)
    }
}

const fn way(part: Part, deflection: f64) -> &'static str {
    match part {
        Part::Fin | Part::LowerFin if deflection > 0.0 => "left",
        Part::Fin | Part::LowerFin => "right",
        Part::Fittings => "open",
        _ if deflection > 0.0 => "down",
        _ => "up",
    }
}

fn command(follower: Follower, share: f64) -> Commands {
    let mut commands = Commands::default();
    match follower {
        Follower::Aileron => commands.aileron = share,
        Follower::Elevator => commands.elevator = share,
        Follower::Rudder => commands.rudder = share,
        Follower::Throttle => commands.throttle = share,
        Follower::Flap => commands.flap = share,
        Follower::AileronsTogether => commands.ailerons_together = share,
        Follower::Door => commands.door = share,
    }
    commands
}
