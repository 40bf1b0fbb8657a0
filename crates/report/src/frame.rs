//! The box of a chart, and where values land in it.

use crate::geometry::{Point, Rect};
use crate::ticks::Span;

/// Room kept free between the values and the edges of the box (px).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pads {
    /// Left.
    pub left: f64,
    /// Top.
    pub top: f64,
    /// Right.
    pub right: f64,
    /// Bottom.
    pub bottom: f64,
}

/// A box on the page and the values at its edges; `y` rises upwards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// The box (px).
    pub rect: Rect,
    /// Values at the left and right edge.
    pub x: Span,
    /// Values at the bottom and top edge.
    pub y: Span,
}

impl Frame {
    /// Fits the values into `rect`, each axis with its own scale. Both spans must have a length.
    #[must_use]
    pub fn fitted(rect: Rect, x: Span, y: Span, pads: Pads) -> Self {
        let x_scale = (rect.width() - pads.left - pads.right) / x.length();
        let y_scale = (rect.height() - pads.top - pads.bottom) / y.length();
        Self {
            rect,
            x: Span { from: x.from - pads.left / x_scale, to: x.to + pads.right / x_scale },
            y: Span { from: y.from - pads.bottom / y_scale, to: y.to + pads.top / y_scale },
        }
    }

    /// One scale for both axes: as wide as `width`, as high as that makes it, but within `heights`
    /// (least, most) (px). Both spans must have a length. What is left over is shared by both ends.
    #[must_use]
    pub fn equal_scale(corner: Point, width: f64, heights: (f64, f64), x: Span, y: Span, pads: Pads) -> Self {
        let inner = (width - pads.left - pads.right, heights.1 - pads.top - pads.bottom);
        let scale = (inner.0 / x.length()).min(inner.1 / y.length());
        let height = (y.length() * scale + pads.top + pads.bottom).max(heights.0);
        let x_rest = 0.5 * (inner.0 - x.length() * scale);
        let y_rest = 0.5 * (height - pads.top - pads.bottom - y.length() * scale);
        Self {
            rect: Rect { left: corner.x, top: corner.y, right: corner.x + width, bottom: corner.y + height },
            x: Span { from: x.from - (pads.left + x_rest) / scale, to: x.to + (pads.right + x_rest) / scale },
            y: Span { from: y.from - (pads.bottom + y_rest) / scale, to: y.to + (pads.top + y_rest) / scale },
        }
    }

    /// Where a pair of values lands on the page.
    #[must_use]
    pub fn at(self, x: f64, y: f64) -> Point {
        let right = (x - self.x.from) / self.x.length();
        let up = (y - self.y.from) / self.y.length();
        Point::new(self.rect.left + right * self.rect.width(), self.rect.bottom - up * self.rect.height())
    }

    /// Pixels for one unit along x.
    #[must_use]
    pub fn x_scale(self) -> f64 {
        self.rect.width() / self.x.length()
    }

    /// Pixels for one unit along y.
    #[must_use]
    pub fn y_scale(self) -> f64 {
        self.rect.height() / self.y.length()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PADS: Pads = Pads { left: 30.0, top: 24.0, right: 10.0, bottom: 12.0 };
    const X: Span = Span { from: 0.0, to: 80.0 };

    #[test]
    fn fitted_values_meet_the_pads() {
        let rect = Rect { left: 100.0, top: 50.0, right: 500.0, bottom: 250.0 };
        let frame = Frame::fitted(rect, X, Span { from: -5.0, to: 15.0 }, PADS);
        let (low, high) = (frame.at(0.0, -5.0), frame.at(80.0, 15.0));
        assert!((low.x - 130.0).abs() < 1e-9 && (low.y - 238.0).abs() < 1e-9, "{low:?}");
        assert!((high.x - 490.0).abs() < 1e-9 && (high.y - 74.0).abs() < 1e-9, "{high:?}");
    }

    #[test]
    fn equal_scale_is_equal_and_keeps_its_heights() {
        for y in [0.01, 5.0, 30.0, 400.0].map(|to| Span { from: 0.0, to }) {
            let frame = Frame::equal_scale(Point::new(10.0, 20.0), 700.0, (120.0, 400.0), X, y, PADS);
            assert!((frame.x_scale() - frame.y_scale()).abs() < 1e-9, "{frame:?}");
            assert!((120.0 - 1e-9..=400.0 + 1e-9).contains(&frame.rect.height()), "{frame:?}");
            let (low, high) = (frame.at(0.0, 0.0), frame.at(80.0, y.to));
            assert!(
                low.x - frame.rect.left >= PADS.left - 1e-9 && frame.rect.right - high.x >= PADS.right - 1e-9
            );
            assert!(
                high.y - frame.rect.top >= PADS.top - 1e-9 && frame.rect.bottom - low.y >= PADS.bottom - 1e-9
            );
        }
    }
}
