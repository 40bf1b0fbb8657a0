//! Closed forms that single effects must meet.

use aero::{Coefficients, Motor, Propulsor, SwirlShares, flap_moment, flap_shift, helmbold};
use core::f64::consts::PI;
use nalgebra::Vector3;

/// Houghton and Carpenter, *Aerodynamics for Engineering Students*, eq. 4.49-4.52 (Glauert's thin
/// aerofoil with a hinged flap): shift of the zero-lift angle and moment per radian of flap.
#[test]
fn val_thin_aerofoil_flap() {
    let published = [
        (0.10, 0.3958, -0.5400),
        (0.20, 0.5498, -0.6400),
        (0.25, 0.6090, -0.6495),
        (0.30, 0.6607, -0.6416),
        (0.50, 0.8183, -0.5000),
    ];
    for (chord, shift, moment) in published {
        assert!((flap_shift(chord) - shift).abs() < 1e-4, "{chord}: {}", flap_shift(chord));
        assert!((flap_moment(chord) - moment).abs() < 1e-4, "{chord}: {}", flap_moment(chord));
        // lift per radian is 2 pi times the shift, the equations' other form
        let phi = libm::acos(2.0 * chord - 1.0);
        let lift = 2.0 * (PI - phi + libm::sin(phi));
        assert!((2.0 * PI * flap_shift(chord) - lift).abs() < 1e-12);
    }
    assert_eq!(flap_shift(0.0), 0.0);
}

/// DATCOM section 4.1.3.2 (from memory), Mach 0, section slope 2 pi, no sweep.
#[test]
fn val_lift_slope_of_finite_wings() {
    for (aspect, slope) in [(1.0, 1.4833), (2.0, 2.6026), (4.0, 3.8832), (6.0, 4.5287), (8.0, 4.9058)] {
        assert!((helmbold(aspect, 0.0, 1.0) - slope).abs() < 1e-4, "{aspect}");
    }
}

fn propeller(diameter: f64) -> Propulsor {
    let c = Coefficients::default();
    Propulsor {
        diameter,
        pitch: 0.6 * diameter,
        thrust_static: 0.1,
        no_thrust: 0.8,
        power_static: 0.05,
        power_rise: 0.0,
        power_fall: 0.06,
        thrust_bulge: 0.0,
        hub: Vector3::zeros(),
        axis: Vector3::x(),
        rotation: 1.0,
        inertia: 1e-3,
        blade_chord: 0.075 * diameter,
        blades: 2.0,
        duct_inlet: None,
        in_plane_relief: c.propeller_side,
        motor: Motor::sized(100.0, 0.1, 22.2, 1.25, 0.15),
        swirl: SwirlShares::FULL,
    }
}

/// Momentum theory of a disc of 0.254 m with 10 N of thrust in air of 1.225 kg/m^3: at rest the
/// induced speed is 8.9751 m/s, at 15 m/s 4.1962 m/s (closed forms).
#[test]
fn val_induced_speed_of_a_disc() {
    let p = propeller(0.254);
    let area = PI * p.diameter * p.diameter / 4.0;
    for (speed, induced) in [(0.0, 8.9751), (15.0, 4.1962)] {
        // rotor speed that gives 10 N at this speed: n^2 - n v/(D J0) = T/(rho D^4 CT0)
        let d = p.diameter;
        let load = 10.0 / (1.225 * d * d * d * d * p.thrust_static);
        let drop = speed / (d * p.no_thrust);
        let n = 0.5 * (drop + (drop * drop + 4.0 * load).sqrt());
        let thrust = p.thrust(n, speed, 1.225);
        assert!((thrust.thrust - 10.0).abs() < 1e-9);
        assert!((thrust.induced - induced).abs() < 1e-4, "{speed} m/s: {}", thrust.induced);
        // momentum: T = rho A (V + vi) 2 vi
        let momentum = 1.225 * area * (speed + thrust.induced) * 2.0 * thrust.induced;
        assert!((momentum - 10.0).abs() < 1e-9);
    }
}

/// The idle share that is computed from a speed holds that speed.
#[test]
fn a_motor_idles_where_it_was_measured() {
    let motor = Motor::sized(100.0, 0.4, 22.2, 1.25, 0.0);
    let torque = |n: f64| 0.4 * (n / 100.0) * (n / 100.0);
    let idle = Motor { idle: motor.idle_share(18.0, torque(18.0)), ..motor };
    assert!((idle.torque(0.0, 18.0) - torque(18.0)).abs() < 1e-12);
    // at full throttle: sized with an ideal freewheel, off by its softening
    assert!((motor.torque(1.0, 100.0) / torque(100.0) - 1.0).abs() < 1e-2);
}
