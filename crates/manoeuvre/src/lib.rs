//! Flying by script: the rig that binds a mix to an airframe, the tick, the scripted pilot, the
//! legs of a manoeuvre, and the referee. Knows no files and no drawing.

mod aim;
mod feel;
mod fly;
mod hold;
mod pilot;
mod referee;
mod rig;
mod scenario;
mod tick;

pub use feel::Feel;
pub use fly::{Flown, FlyError, LegSpan, fly, fly_both};
pub use referee::{Drift, HEADLINE, Verdict, drifts, marks, referee};
pub use rig::{Binding, Rig, RigError, TrimSetting, bind};
pub use scenario::{Ending, Following, Judged, Leg, Order, Quantity, Scenario, Speed, Start, Target};
pub use tick::{Halt, LONGEST_STEP, Memory, Sample, TICK, tick};
