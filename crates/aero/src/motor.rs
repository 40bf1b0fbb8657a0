use core::f64::consts::PI;

/// What turns the rotor: torque falls on a straight line with speed, scaled by the throttle.
/// Written as an electric motor; an engine's or turbine's measured speeds fit the same line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motor {
    /// Torque per current, and voltage per angular speed [N m/A = V s].
    pub constant: f64,
    /// Resistance of motor, controller and battery \[ohm\].
    pub resistance: f64,
    /// Voltage at full throttle \[V\].
    pub voltage: f64,
    /// Share of the voltage at idle.
    pub idle: f64,
    /// Current that only overcomes friction \[A\].
    pub friction: f64,
}

/// Square of twice the current at which the controller's freewheeling softens the zero [A^2].
const FREEWHEEL2: f64 = 4.0;

impl Motor {
    /// A motor that holds `full` [rev/s] at full throttle against `torque` [N m], would run
    /// `no_load` times as fast without load, on `voltage` \[V\]; `idle` share of it at idle.
    #[must_use]
    pub fn sized(full: f64, torque: f64, voltage: f64, no_load: f64, idle: f64) -> Self {
        let constant = voltage / (2.0 * PI * full * no_load);
        let friction = 0.02 * torque / constant;
        let resistance = (voltage - constant * 2.0 * PI * full) * constant / (torque * 1.02);
        Self { constant, resistance, voltage, idle, friction }
    }

    /// The idle share that holds `speed` [rev/s] against `torque` [N m] at closed throttle: the
    /// torque line solved for the voltage.
    #[must_use]
    pub fn idle_share(&self, speed: f64, torque: f64) -> f64 {
        let driven = torque / self.constant + self.friction;
        let current = driven - 0.25 * FREEWHEEL2 / driven;
        (current * self.resistance + self.constant * 2.0 * PI * speed) / self.voltage
    }

    /// Torque [N m] at `throttle` 0..1 and `speed` [rev/s]; never brakes by more than friction.
    #[must_use]
    pub fn torque(&self, throttle: f64, speed: f64) -> f64 {
        let share = self.idle + (1.0 - self.idle) * throttle;
        let current = (share * self.voltage - self.constant * 2.0 * PI * speed) / self.resistance;
        let driven = 0.5 * (current + (current * current + FREEWHEEL2).sqrt());
        self.constant * (driven - self.friction)
    }
}
