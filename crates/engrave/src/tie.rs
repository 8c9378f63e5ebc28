//! Ties.

use crate::geometry::{Bounds, Kind, Mark, Place, Shape, Step};

/// Thickness of a tie in its middle.
const THICKNESS: i64 = 56;

/// Draws a tie between two points at a height; `down` tells where it bulges.
pub(crate) fn draw(from: i64, to: i64, y: i64, down: bool, place: Option<Place>) -> Mark {
    let length = (to - from).max(0);
    let sign = if down { 1 } else { -1 };
    let depth = (70 + length / 9).clamp(90, 260);
    let (near, far) = (from + length * 3 / 10, to - length * 3 / 10);
    let outer = y + sign * (depth + THICKNESS / 2);
    let inner = y + sign * (depth - THICKNESS / 2);
    let steps = vec![
        Step::Move(from, y),
        Step::Curve(near, outer, far, outer, to, y),
        Step::Curve(far, inner, near, inner, from, y),
        Step::Close,
    ];
    // A curve with both control points at a depth reaches three quarters of it.
    let bulge = y + sign * (depth + THICKNESS / 2) * 3 / 4;
    let bounds = Bounds::new(from, y.min(bulge), to.max(from), y.max(bulge));
    Mark::path(Kind::Tie, bounds, Shape::Fill(steps)).at(place)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn longer_ties_bulge_more_and_only_so_far() {
        let bulge = |length| {
            let bounds = draw(0, length, 0, true, None).bounds();
            bounds.bottom - bounds.top
        };
        assert!(bulge(300) < bulge(1200));
        assert_eq!(bulge(4000), bulge(9000));
        let above = draw(0, 500, 100, false, None).bounds();
        assert!(above.bottom == 100 && above.top < 100);
    }
}
