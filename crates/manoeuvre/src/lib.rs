//! Flying by script: the rig that binds a mix to an airframe, the tick, the scripted pilot, the
//! legs of a manoeuvre, and the referee. Knows no files and no drawing.

mod aim;
mod between;
mod ending;
mod entry;
mod feel;
mod finding;
mod fly;
mod grip;
mod hold;
mod line;
mod mapping;
mod pilot;
mod referee;
mod rig;
mod scenario;
mod shortfall;
mod tick;
mod turn;
mod verdict;

pub use between::at;
pub use entry::enter;
pub use feel::Feel;
pub use fly::{Flown, FlyError, HeldStick, LegSpan, fly, fly_both};
pub use grip::Grip;
pub use line::{Deviation, Line, Pose};
pub use mapping::{Mapping, Travel};
pub use referee::{Drift, drifts, referee};
pub use rig::{Binding, Rig, RigError, TrimSetting, bind};
pub use scenario::{
    Compared, Ending, Following, Judged, Judging, Leg, NamedSpeed, Order, Passed, Passing, Quantity,
    Scenario, Sides, Speed, Start, Target,
};
pub use shortfall::{Shortfall, shortfalls};
pub use tick::{Halt, LONGEST_STEP, Memory, Sample, TICK, tick};
pub use turn::{LeverPlace, Turn, Turned};
pub use verdict::{Finding, HEADLINE, Speeds, Verdict, marks};
