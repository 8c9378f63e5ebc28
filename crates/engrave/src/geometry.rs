//! Lengths, boxes and paths.
//!
//! Lengths are whole numbers of units, [`SPACE`] to the distance of two staff lines; x grows to
//! the right, y downwards.

/// The distance of two staff lines.
pub const SPACE: i64 = 250;

/// The height of a staff.
pub const STAFF: i64 = 4 * SPACE;

/// A box with sides along the page's.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Bounds {
    /// The least x.
    pub left: i64,
    /// The least y.
    pub top: i64,
    /// The greatest x.
    pub right: i64,
    /// The greatest y.
    pub bottom: i64,
}

impl Bounds {
    pub(crate) const fn new(left: i64, top: i64, right: i64, bottom: i64) -> Bounds {
        Bounds {
            left,
            top,
            right,
            bottom,
        }
    }

    /// Whether two boxes have more than an edge in common.
    pub fn overlaps(&self, other: &Bounds) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    /// Whether another box lies within this one.
    pub fn contains(&self, other: &Bounds) -> bool {
        self.left <= other.left
            && self.top <= other.top
            && other.right <= self.right
            && other.bottom <= self.bottom
    }

    pub(crate) fn shifted(self, x: i64, y: i64) -> Bounds {
        Bounds::new(self.left + x, self.top + y, self.right + x, self.bottom + y)
    }

    pub(crate) fn with(self, other: Bounds) -> Bounds {
        Bounds::new(
            self.left.min(other.left),
            self.top.min(other.top),
            self.right.max(other.right),
            self.bottom.max(other.bottom),
        )
    }
}

/// A step of a path.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(crate) enum Step {
    Move(i64, i64),
    Line(i64, i64),
    /// Two control points and the end.
    Curve(i64, i64, i64, i64, i64, i64),
    Close,
}

impl Step {
    pub(crate) fn shift(&mut self, dx: i64, dy: i64) {
        match self {
            Step::Move(x, y) | Step::Line(x, y) => {
                *x += dx;
                *y += dy;
            }
            Step::Curve(a, b, c, d, x, y) => {
                for along in [a, c, x] {
                    *along += dx;
                }
                for down in [b, d, y] {
                    *down += dy;
                }
            }
            Step::Close => {}
        }
    }
}
