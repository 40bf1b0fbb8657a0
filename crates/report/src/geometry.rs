//! Points and boxes on the page: pixels at scale 1, x to the right, y down.

/// A place on the page (px).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Down.
    pub y: f64,
}

impl Point {
    /// The point at `x`, `y`.
    #[must_use]
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }
}

/// An upright box on the page (px).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rect {
    /// Left edge.
    pub left: f64,
    /// Top edge.
    pub top: f64,
    /// Right edge.
    pub right: f64,
    /// Bottom edge.
    pub bottom: f64,
}

impl Rect {
    /// Width.
    #[must_use]
    pub fn width(self) -> f64 {
        self.right - self.left
    }

    /// Height.
    #[must_use]
    pub fn height(self) -> f64 {
        self.bottom - self.top
    }

    /// The box without size at a point.
    #[must_use]
    pub const fn at(point: Point) -> Self {
        Self { left: point.x, top: point.y, right: point.x, bottom: point.y }
    }

    /// The smallest box around all points; `None` without points.
    #[must_use]
    pub fn around(points: impl IntoIterator<Item = Point>) -> Option<Self> {
        points.into_iter().map(Self::at).reduce(Self::union)
    }

    /// The smallest box around both.
    #[must_use]
    pub fn union(self, other: Self) -> Self {
        Self {
            left: self.left.min(other.left),
            top: self.top.min(other.top),
            right: self.right.max(other.right),
            bottom: self.bottom.max(other.bottom),
        }
    }

    /// Every edge moved outwards by `margin`, or inwards if negative.
    #[must_use]
    pub fn grown(self, margin: f64) -> Self {
        Self {
            left: self.left - margin,
            top: self.top - margin,
            right: self.right + margin,
            bottom: self.bottom + margin,
        }
    }

    /// True if the two share more than an edge.
    #[must_use]
    pub fn overlaps(self, other: Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    /// True if `other` lies inside or on the edges.
    #[must_use]
    pub fn contains(self, other: Self) -> bool {
        self.left <= other.left
            && other.right <= self.right
            && self.top <= other.top
            && other.bottom <= self.bottom
    }
}
