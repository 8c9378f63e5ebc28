//! How near to the staff something can stand over or under what is there already.

use crate::geometry::Bounds;

/// The boxes that are there.
#[derive(Default)]
pub(crate) struct Skyline {
    boxes: Vec<Bounds>,
}

impl Skyline {
    pub(crate) fn new(boxes: impl Iterator<Item = Bounds>) -> Skyline {
        Skyline {
            boxes: boxes.collect(),
        }
    }

    pub(crate) fn add(&mut self, bounds: Bounds) {
        self.boxes.push(bounds);
    }

    /// The least y between two x, or `floor` where that is less.
    pub(crate) fn top(&self, left: i64, right: i64, floor: i64) -> i64 {
        self.over(left, right)
            .map(|bounds| bounds.top)
            .fold(floor, i64::min)
    }

    /// The greatest y between two x, or `ceiling` where that is more.
    pub(crate) fn bottom(&self, left: i64, right: i64, ceiling: i64) -> i64 {
        self.over(left, right)
            .map(|bounds| bounds.bottom)
            .fold(ceiling, i64::max)
    }

    fn over(&self, left: i64, right: i64) -> impl Iterator<Item = &Bounds> {
        self.boxes
            .iter()
            .filter(move |bounds| bounds.left < right && left < bounds.right)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_lies_between_counts() {
        let boxes = [Bounds::new(0, -10, 10, 5), Bounds::new(20, -50, 30, 90)];
        let skyline = Skyline::new(boxes.into_iter());
        assert_eq!(skyline.top(0, 20, 0), -10);
        assert_eq!(skyline.top(5, 25, 0), -50);
        assert_eq!(skyline.top(12, 18, 0), 0);
        assert_eq!(skyline.bottom(0, 40, 7), 90);
    }
}
