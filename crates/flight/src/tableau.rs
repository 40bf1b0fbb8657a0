//! Coefficients of explicit Runge-Kutta methods, apart from the stepping in `march`.

/// An explicit method of `S` stages in Butcher's notation.
///
/// Stage i looks at `y + h sum_(j<i) a[i][j] k[j]` at the time `t + c[i] h`; the step is
/// `y + h sum b[i] k[i]`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tableau<const S: usize> {
    /// Weights of earlier slopes in each stage; zero on and above the diagonal.
    pub(crate) a: [[f64; S]; S],
    /// Weights of the slopes in the step.
    pub(crate) b: [f64; S],
    /// Place of each stage within the step, 0..1.
    pub(crate) c: [f64; S],
}

/// The classical fourth-order method, four slopes a step.
/// Source: Hairer, Norsett & Wanner, *Solving Ordinary Differential Equations I*, 2nd ed.,
/// section II.1, table 1.2 (number from memory; the order is proven by the tests below).
pub const CLASSICAL_4: Tableau<4> = Tableau {
    a: [[0.0; 4], [0.5, 0.0, 0.0, 0.0], [0.0, 0.5, 0.0, 0.0], [0.0, 0.0, 1.0, 0.0]],
    b: [1.0 / 6.0, 1.0 / 3.0, 1.0 / 3.0, 1.0 / 6.0],
    c: [0.0, 0.5, 0.5, 1.0],
};

/// The fifth-order solution of Dormand and Prince's 5(4) pair, six slopes a step. The seventh
/// stage serves only the error estimate, which fixed steps have no use for.
/// Source: Dormand & Prince, "A family of embedded Runge-Kutta formulae", *J. Comp. Appl. Math.*
/// 6 (1980), 19-26 (coefficients from memory; the order is proven by the tests below).
pub const DORMAND_PRINCE_5: Tableau<6> = Tableau {
    a: [
        [0.0; 6],
        [1.0 / 5.0, 0.0, 0.0, 0.0, 0.0, 0.0],
        [3.0 / 40.0, 9.0 / 40.0, 0.0, 0.0, 0.0, 0.0],
        [44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0, 0.0, 0.0, 0.0],
        [19_372.0 / 6_561.0, -25_360.0 / 2_187.0, 64_448.0 / 6_561.0, -212.0 / 729.0, 0.0, 0.0],
        [9_017.0 / 3_168.0, -355.0 / 33.0, 46_732.0 / 5_247.0, 49.0 / 176.0, -5_103.0 / 18_656.0, 0.0],
    ],
    b: [35.0 / 384.0, 0.0, 500.0 / 1_113.0, 125.0 / 192.0, -2_187.0 / 6_784.0, 11.0 / 84.0],
    c: [0.0, 0.2, 0.3, 0.8, 8.0 / 9.0, 1.0],
};

#[cfg(test)]
mod tests {
    use super::*;

    type Column<const S: usize> = [f64; S];

    fn times<const S: usize>(a: &[[f64; S]; S], x: Column<S>) -> Column<S> {
        core::array::from_fn(|i| (0..S).map(|j| a[i][j] * x[j]).sum())
    }

    fn each<const S: usize>(x: Column<S>, y: Column<S>) -> Column<S> {
        core::array::from_fn(|i| x[i] * y[i])
    }

    /// The conditions for order five, one per rooted tree with up to five nodes, as (order, what
    /// the method gives, what it must give). Hairer, Norsett & Wanner, section II.2, table 2.2
    /// (number from memory).
    fn conditions<const S: usize>(m: &Tableau<S>) -> Vec<(u32, f64, f64)> {
        let b = |x: Column<S>| (0..S).map(|i| m.b[i] * x[i]).sum::<f64>();
        let a = |x| times(&m.a, x);
        let (one, c) = ([1.0; S], m.c);
        let (c2, ac) = (each(c, c), a(c));
        let c3 = each(c, c2);
        vec![
            (1, b(one), 1.0),
            (2, b(c), 1.0 / 2.0),
            (3, b(c2), 1.0 / 3.0),
            (3, b(ac), 1.0 / 6.0),
            (4, b(c3), 1.0 / 4.0),
            (4, b(each(c, ac)), 1.0 / 8.0),
            (4, b(a(c2)), 1.0 / 12.0),
            (4, b(a(ac)), 1.0 / 24.0),
            (5, b(each(c, c3)), 1.0 / 5.0),
            (5, b(each(c2, ac)), 1.0 / 10.0),
            (5, b(each(ac, ac)), 1.0 / 20.0),
            (5, b(each(c, a(c2))), 1.0 / 15.0),
            (5, b(a(c3)), 1.0 / 20.0),
            (5, b(each(c, a(ac))), 1.0 / 30.0),
            (5, b(a(each(c, ac))), 1.0 / 40.0),
            (5, b(a(a(c2))), 1.0 / 60.0),
            (5, b(a(a(ac))), 1.0 / 120.0),
        ]
    }

    fn holds_up_to<const S: usize>(method: &Tableau<S>, order: u32) {
        let a_times_one = times(&method.a, [1.0; S]);
        for i in 0..S {
            assert!((a_times_one[i] - method.c[i]).abs() < 2e-15, "row {i} sums to {}", a_times_one[i]);
        }
        for (condition, found, wanted) in conditions(method) {
            let held = (found - wanted).abs() < 1e-15;
            assert!(held || condition > order, "order {condition}: {found} instead of {wanted}");
        }
        let all_of_the_next =
            conditions(method).iter().filter(|c| c.0 == order + 1).all(|c| (c.1 - c.2).abs() < 1e-15);
        assert!(order == 5 || !all_of_the_next, "the method is better than it says");
    }

    #[test]
    fn classical_has_order_four() {
        holds_up_to(&CLASSICAL_4, 4);
    }

    #[test]
    fn dormand_prince_has_order_five() {
        holds_up_to(&DORMAND_PRINCE_5, 5);
    }
}
