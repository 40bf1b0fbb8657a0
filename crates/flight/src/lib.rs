//! State in time: the motion of a rigid body under any source of loads, the moving air, servos,
//! marching in fixed steps, steady states, derivatives and modes. Knows no manoeuvre and no file.
//!
//! Body axes FRD at the centre of mass, earth axes NED, flat and not rotating; SI units, radians.

mod air;
mod aircraft;
mod atmosphere;
mod attitude;
mod gusts;
mod jacobian;
mod march;
mod mass_properties;
mod modes;
mod parabola;
mod rigid_body;
mod servo;
mod splitmix;
mod state;
mod steady;
mod tableau;
mod tick;
mod trim;
mod wrench;

pub use air::{Air, WindFault};
pub use aircraft::{Aircraft, AircraftFault, AircraftState, Bench, Controls, Surroundings};
pub use atmosphere::{Atmosphere, HeightFault};
pub use attitude::{Euler, earth_from_body};
pub use gusts::{GustFault, Gusts, Turbulence};
pub use jacobian::{Jacobian, JacobianFault, central, checked};
pub use march::{Diverged, Stretch, StretchFault, march};
pub use mass_properties::{MassFault, MassProperties};
pub use modes::{LateralModes, LongitudinalModes, Mode, ModesFault, modes};
pub use parabola::Parabola;
pub use rigid_body::{BodyState, motion};
pub use servo::{Motion, Plan, Servo, ServoFault, follow};
pub use splitmix::uniform;
pub use state::State;
pub use steady::{Search, SearchFault, Steady, find_steady};
pub use tableau::{CLASSICAL_4, DORMAND_PRINCE_5, Tableau};
pub use tick::{Interval, TickFault};
pub use trim::{Course, Linkage, TrimFault, Trimmed};
pub use wrench::{Loads, Wrench};
