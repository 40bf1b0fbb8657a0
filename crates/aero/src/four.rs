//! Four numbers at a time. Plain arithmetic in a fixed order, which the compiler turns into two or
//! four operations at once; the bits do not depend on how many.

use core::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

use nalgebra::Vector3;

/// The same number of four strips.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Four(pub(crate) [f64; 4]);

/// A vector of each of four strips, component by component.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct FourVectors {
    pub(crate) x: Four,
    pub(crate) y: Four,
    pub(crate) z: Four,
}

impl Four {
    #[inline]
    pub(crate) fn of(mut number: impl FnMut(usize) -> f64) -> Self {
        Self([number(0), number(1), number(2), number(3)])
    }

    /// The numbers `4 i` to `4 i + 3` of a list.
    #[inline]
    pub(crate) fn read(list: &[f64], i: usize) -> Self {
        let four = &list[4 * i..4 * i + 4];
        Self([four[0], four[1], four[2], four[3]])
    }

    #[inline]
    pub(crate) fn write(self, list: &mut [f64], i: usize) {
        list[4 * i..4 * i + 4].copy_from_slice(&self.0);
    }

    #[inline]
    fn map(self, f: impl Fn(f64) -> f64) -> Self {
        let [a, b, c, d] = self.0;
        Self([f(a), f(b), f(c), f(d)])
    }

    #[inline]
    fn zip(self, other: Self, f: impl Fn(f64, f64) -> f64) -> Self {
        let ([a, b, c, d], [p, q, r, s]) = (self.0, other.0);
        Self([f(a, p), f(b, q), f(c, r), f(d, s)])
    }

    #[inline]
    pub(crate) fn sqrt(self) -> Self {
        self.map(f64::sqrt)
    }

    #[inline]
    pub(crate) fn abs(self) -> Self {
        self.map(f64::abs)
    }

    #[inline]
    pub(crate) fn at_least(self, least: f64) -> Self {
        self.map(|x| if x < least { least } else { x })
    }

    #[inline]
    pub(crate) fn at_most(self, most: f64) -> Self {
        self.map(|x| if x > most { most } else { x })
    }

    /// Between `-most` and `most`.
    #[inline]
    pub(crate) fn within(self, most: f64) -> Self {
        self.at_least(-most).at_most(most)
    }

    #[inline]
    pub(crate) fn sum(self) -> f64 {
        let [a, b, c, d] = self.0;
        (a + b) + (c + d)
    }
}

impl FourVectors {
    pub(crate) fn of(mut vector: impl FnMut(usize) -> Vector3<f64>) -> Self {
        let v = [vector(0), vector(1), vector(2), vector(3)];
        let along = |axis: usize| Four::of(|k| v[k][axis]);
        Self { x: along(0), y: along(1), z: along(2) }
    }

    #[inline]
    pub(crate) fn dot(&self, v: &Vector3<f64>) -> Four {
        self.x * v.x + self.y * v.y + self.z * v.z
    }

    #[inline]
    pub(crate) fn dot_each(&self, other: &Self) -> Four {
        self.x * other.x + self.y * other.y + self.z * other.z
    }

    #[inline]
    pub(crate) fn norm_squared(&self) -> Four {
        self.dot_each(self)
    }

    /// Each less its `share` of `v`.
    #[inline]
    pub(crate) fn less(&self, share: Four, v: &Vector3<f64>) -> Self {
        Self { x: self.x - share * v.x, y: self.y - share * v.y, z: self.z - share * v.z }
    }

    /// The vector of strip `k`.
    pub(crate) fn lane(&self, k: usize) -> Vector3<f64> {
        Vector3::new(self.x.0[k], self.y.0[k], self.z.0[k])
    }

    /// Sum of the vectors, each with its weight.
    #[inline]
    pub(crate) fn weighed(&self, weight: Four) -> Vector3<f64> {
        Vector3::new((self.x * weight).sum(), (self.y * weight).sum(), (self.z * weight).sum())
    }
}

macro_rules! four_by_four {
    ($($operation:ident $name:ident $sign:tt),*) => {$(
        impl $operation for Four {
            type Output = Self;
            #[inline]
            fn $name(self, other: Self) -> Self {
                self.zip(other, |a, b| a $sign b)
            }
        }
        impl $operation<f64> for Four {
            type Output = Self;
            #[inline]
            fn $name(self, other: f64) -> Self {
                self.map(|a| a $sign other)
            }
        }
        impl $operation<Four> for f64 {
            type Output = Four;
            #[inline]
            fn $name(self, other: Four) -> Four {
                other.map(|b| self $sign b)
            }
        }
    )*};
}

four_by_four!(Add add +, Sub sub -, Mul mul *, Div div /);

impl AddAssign for Four {
    #[inline]
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl Neg for Four {
    type Output = Self;
    #[inline]
    fn neg(self) -> Self {
        self.map(|x| -x)
    }
}
