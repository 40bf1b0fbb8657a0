//! Forces and moments on an airframe at one instant: strips in a wing lattice, tail surfaces in
//! its wake, a slender body, a propeller with its jet and swirl, drag items and doors. Split by
//! part and effect on demand, with causes that can be switched off one by one.
//!
//! Body axes FRD about the centre of mass, SI, radians. Knows no time: motion is `flight`'s.
//!
//! Order of an evaluation ([`Model::forces`]): propulsor -> flow at the wing strips -> lattice
//! and wing loads -> wake at the tail -> tailplane and fins -> body -> fittings.

mod abreast;
mod body;
mod body_field;
mod body_vortices;
mod causes;
mod chart;
mod coefficients;
mod columns;
mod evaluate;
mod fin;
mod fittings;
mod flap;
mod four;
mod instant;
mod jet;
mod lattice;
mod lift_slope;
mod local_flow;
mod margin;
mod model;
mod motor;
mod prepare;
mod propulsor;
mod response;
mod section;
mod small_angle;
mod strip;
mod swirl_shares;
mod tail;
mod tally;
mod tunnel;
pub mod vortex;
mod wake;
mod wake_loss;
mod wash;
mod wing;

pub use body::{BodyStrip, body_strips};
pub use causes::{Cause, Causes};
pub use coefficients::{Coefficients, Field};
pub use flap::{flap_effectiveness, flap_moment, flap_shift, section_flap_fall};
pub use instant::{Deflections, Instant};
pub use jet::gain as jet_gain;
pub use lattice::Lattice;
pub use lift_slope::{helmbold, schrenk};
pub use margin::{Margin, margin};
pub use model::{MAX_WING_STRIPS, Model, Outcome, Parts, Scratch};
pub use motor::Motor;
pub use propulsor::{Propulsor, Thrust, steady_rotor_speed};
pub use section::{plate_normal_force, separated_fraction};
pub use strip::{Beside, Strip};
pub use swirl_shares::SwirlShares;
pub use tally::{Effect, Entry, Ledger, Tally, Total};
pub use tunnel::{Derivatives, Pose, Shares, Sizes, Tunnel};
pub use wake::Wake;
pub use wake_loss::{BodyWake, WakeRow};
pub use wash::Wash;
