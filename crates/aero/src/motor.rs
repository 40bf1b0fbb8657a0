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
    /// Slope of power over throttle at full throttle, 1 for a straight line: above 1 half throttle
    /// is less than half the way from idle, below 1 more.
    pub bend: f64,
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
        Self { constant, resistance, voltage, idle, friction, bend: 1.0 }
    }

    /// The bend that holds `speed` [rev/s] against `torque` [N m] at half throttle.
    #[must_use]
    pub fn bend_for(&self, speed: f64, torque: f64) -> f64 {
        let way = (self.idle_share(speed, torque) - self.idle) / (1.0 - self.idle);
        let way = way.clamp(0.01, 0.99);
        (1.0 - way) / way
    }

    /// The way from idle to full at a throttle: `t / (t + bend (1 - t))`, a hyperbola through both
    /// ends, rising everywhere; beyond full, where a search may look, its tangent.
    fn way(&self, throttle: f64) -> f64 {
        if self.bend == 1.0 {
            throttle // the same straight line without its rounding
        } else if throttle > 1.0 {
            1.0 + self.bend * (throttle - 1.0)
        } else {
            throttle / (throttle + self.bend * (1.0 - throttle))
        }
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
        let share = self.idle + (1.0 - self.idle) * self.way(throttle);
        let current = (share * self.voltage - self.constant * 2.0 * PI * speed) / self.resistance;
        let driven = 0.5 * (current + (current * current + FREEWHEEL2).sqrt());
        self.constant * (driven - self.friction)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_throttle_gives_the_measured_speed() {
        // torque of a fixed propeller, 2 N m at 100 rev/s
        let torque = |n: f64| 2e-4 * n * n;
        let mut motor = Motor::sized(100.0, torque(100.0), 22.2, 1.2, 0.0);
        motor.idle = motor.idle_share(18.0, torque(18.0));
        for half in [45.0, 60.0, 80.0] {
            let bent = Motor { bend: motor.bend_for(half, torque(half)), ..motor };
            assert!((bent.torque(0.5, half) - torque(half)).abs() < 1e-12, "{half}");
            for throttle in [0.0, 1.0] {
                assert_eq!(bent.torque(throttle, 50.0), motor.torque(throttle, 50.0));
            }
        }
    }

    #[test]
    fn more_throttle_is_more_power_everywhere() {
        for bend in [0.02, 0.5, 1.0, 2.0, 50.0] {
            let motor = Motor { bend, ..Motor::sized(100.0, 2.0, 22.2, 1.2, 0.1) };
            let ways: Vec<f64> = (0..=150).map(|i| motor.way(f64::from(i) / 100.0)).collect();
            assert!(ways.windows(2).all(|pair| pair[0] < pair[1]), "{bend}");
            assert_eq!((ways[0], ways[100]), (0.0, 1.0));
        }
    }
}
