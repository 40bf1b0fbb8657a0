use airframe::Part;
use nalgebra::Vector3;

/// What kind of force a contribution is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Effect {
    /// Lift, drag and section moment of a strip.
    Section,
    /// Couple of the sideways flow over a wing's chordwise vortices.
    Skew,
    /// Potential force on the body.
    BodyPotential,
    /// Cross-flow drag of the body.
    BodyCrossFlow,
    /// Axial drag of the body.
    BodyAxial,
    /// Thrust along the axis.
    Thrust,
    /// Side force and hub moment of a propeller at an angle.
    InPlane,
    /// Reaction of the motor.
    Torque,
    /// Drag items and doors.
    Plate,
}

impl Effect {
    /// All, in the order of every ledger.
    pub const ALL: [Self; 9] = [
        Self::Section,
        Self::Skew,
        Self::BodyPotential,
        Self::BodyCrossFlow,
        Self::BodyAxial,
        Self::Thrust,
        Self::InPlane,
        Self::Torque,
        Self::Plate,
    ];
}

/// Collects contributions. Body axes about the centre of mass.
pub trait Tally {
    /// Whether it cares which strip, and which place, a contribution comes from; otherwise the strips
    /// of a part are added up first and told as a force at the centre of mass and a couple.
    const TELLS_APART: bool = true;

    /// `force` \[N\] acting `at` a point \[m\], and a free `couple` [N m].
    fn add(
        &mut self,
        part: Part,
        effect: Effect,
        force: Vector3<f64>,
        at: Vector3<f64>,
        couple: Vector3<f64>,
    );
}

/// Only the sum.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Total {
    /// Force \[N\].
    pub force: Vector3<f64>,
    /// Moment about the centre of mass [N m].
    pub moment: Vector3<f64>,
}

impl Tally for Total {
    const TELLS_APART: bool = false;

    #[inline]
    fn add(&mut self, _: Part, _: Effect, force: Vector3<f64>, at: Vector3<f64>, couple: Vector3<f64>) {
        self.force += force;
        self.moment += at.cross(&force) + couple;
    }
}

/// One cell of a ledger.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Entry {
    /// Force \[N\].
    pub force: Vector3<f64>,
    /// Moment about the centre of mass [N m].
    pub moment: Vector3<f64>,
    weight: f64,
    weighted: Vector3<f64>,
}

impl Entry {
    /// Where the force acts: middle of its contributions, each weighing its size \[m\].
    #[must_use]
    pub fn point(&self) -> Option<Vector3<f64>> {
        (self.weight > 0.0).then(|| self.weighted / self.weight)
    }

    fn merge(&mut self, other: &Self) {
        self.force += other.force;
        self.moment += other.moment;
        self.weight += other.weight;
        self.weighted += other.weighted;
    }
}

/// Contributions by part and effect.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ledger {
    cells: [[Entry; Effect::ALL.len()]; Part::ALL.len()],
}

impl Ledger {
    /// One cell.
    #[must_use]
    pub fn entry(&self, part: Part, effect: Effect) -> &Entry {
        &self.cells[part.index()][effect as usize]
    }

    /// Everything of one part.
    #[must_use]
    pub fn part(&self, part: Part) -> Entry {
        let mut sum = Entry::default();
        for entry in &self.cells[part.index()] {
            sum.merge(entry);
        }
        sum
    }

    /// Everything.
    #[must_use]
    pub fn total(&self) -> Total {
        let mut sum = Entry::default();
        for part in Part::ALL {
            sum.merge(&self.part(part));
        }
        Total { force: sum.force, moment: sum.moment }
    }
}

impl Tally for Ledger {
    fn add(
        &mut self,
        part: Part,
        effect: Effect,
        force: Vector3<f64>,
        at: Vector3<f64>,
        couple: Vector3<f64>,
    ) {
        let weight = force.norm();
        self.cells[part.index()][effect as usize].merge(&Entry {
            force,
            moment: at.cross(&force) + couple,
            weight,
            weighted: at * weight,
        });
    }
}
