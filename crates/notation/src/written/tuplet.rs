//! Which notes of a measure are tuplets.

use super::WrittenNote;
use super::value::{SHORTEST, Value};
use crate::{QUARTER, Ticks};

/// What a note head says about its tuplet.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Tuplet {
    /// So many notes: 3, 5 or 7 …
    pub actual: u32,
    /// … in the time of so many …
    pub normal: u32,
    /// … of this value.
    pub unit: Value,
    /// Whether the tuplet begins here.
    pub first: bool,
    /// Whether it ends here.
    pub last: bool,
    /// Whether it needs a bracket, as no beam holds it together.
    pub bracket: bool,
}

/// A stretch of a measure that is divided otherwise than in two.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Window {
    /// Where it begins in its measure.
    pub at: Ticks,
    /// How long it is: a plain note value.
    pub ticks: Ticks,
    /// So many notes fill it: 3, 5 or 7.
    pub actual: u32,
}

/// How long a tuplet can be, best first.
const LENGTHS: [Ticks; 6] = [
    QUARTER,
    QUARTER / 2,
    2 * QUARTER,
    QUARTER / 4,
    4 * QUARTER,
    QUARTER / 8,
];

impl Window {
    /// Where it ends.
    pub(super) fn end(&self) -> Ticks {
        self.at + self.ticks
    }

    /// Notes in whose time the others are: 2 for a triplet.
    pub(super) fn normal(&self) -> u32 {
        if self.actual == 3 { 2 } else { 4 }
    }

    /// The value that the tuplet counts.
    pub(super) fn unit(&self) -> Option<Value> {
        Value::of(self.ticks / self.normal())
    }

    /// The length that a note of this length is drawn with; no length that can be drawn if there
    /// is none.
    pub(super) fn drawn(&self, ticks: Ticks) -> Ticks {
        let drawn = u64::from(ticks) * u64::from(self.actual);
        let normal = u64::from(self.normal());
        if drawn.is_multiple_of(normal) {
            Ticks::try_from(drawn / normal).unwrap_or(0)
        } else {
            0
        }
    }

    /// Tells the notes of the tuplet that they are.
    pub(super) fn mark(&self, notes: &mut [WrittenNote]) {
        let first = notes.partition_point(|note| note.at < self.at);
        let end = notes.partition_point(|note| note.at < self.end());
        let last = end.saturating_sub(1);
        for (place, note) in notes.iter_mut().enumerate().take(end).skip(first) {
            note.tuplet = self.unit().map(|unit| Tuplet {
                actual: self.actual,
                normal: self.normal(),
                unit,
                first: place == first,
                last: place == last,
                bracket: true,
            });
        }
    }

    /// Splits a note inside the tuplet into note heads, the longest first.
    pub(super) fn split(&self, at: Ticks, ticks: Ticks, list: &mut Vec<(Ticks, Ticks)>) {
        let (mut at, mut ticks) = (at, ticks);
        while Value::of(self.drawn(ticks)).is_none() {
            let Some(value) = Value::at_most(self.drawn(ticks)) else {
                break;
            };
            let head = value.ticks() * self.normal() / self.actual;
            let exact = head * self.actual == value.ticks() * self.normal();
            if !exact || head == 0 || head >= ticks {
                break;
            }
            list.push((at, head));
            at += head;
            ticks -= head;
        }
        list.push((at, ticks));
    }

    /// Whether it divides at all these places, which are in order, into lengths that can be
    /// drawn.
    fn divides(&self, points: &[Ticks]) -> bool {
        let mut at = self.at;
        self.inner(points).all(|point| {
            let drawn = self.drawn(point - at);
            at = point;
            drawn > 0 && drawn.is_multiple_of(SHORTEST)
        })
    }

    /// How hard it is to read where notes end at these places: ties that it needs, then dots.
    fn cost(&self, points: &[Ticks]) -> (usize, usize) {
        let cut = [self.at, self.end()]
            .into_iter()
            .filter(|place| *place != 0 && points.binary_search(place).is_err())
            .count();
        let (mut at, mut ties, mut dots) = (self.at, cut, 0);
        for point in self.inner(points) {
            match Value::of(self.drawn(point - at)) {
                None => ties += 1,
                Some(value) => dots += usize::from(value.dotted),
            }
            at = point;
        }
        (ties, dots)
    }

    /// The places within it, and its end.
    fn inner(&self, points: &[Ticks]) -> impl Iterator<Item = Ticks> {
        points
            .iter()
            .copied()
            .filter(|&point| point > self.at && point < self.end())
            .chain([self.end()])
    }
}

/// The tuplets of a measure this long, in order, where notes end at `points`; of the measure's
/// beginning, `missing` is cut off. A place that no tuplet explains is left alone.
pub(super) fn windows(points: &[Ticks], ticks: Ticks, missing: Ticks) -> Vec<Window> {
    let mut windows: Vec<Window> = Vec::new();
    let mut free = 0;
    for &point in points {
        if point >= ticks {
            break;
        }
        if point.is_multiple_of(SHORTEST) || point < free {
            continue;
        }
        let candidates = LENGTHS
            .into_iter()
            .flat_map(|length| starts(point, length, missing).map(move |at| (at, length)))
            .filter(|&(at, length)| at >= free && at + length <= ticks)
            .flat_map(|(at, length)| {
                [3, 5, 7].map(|actual| Window {
                    at,
                    ticks: length,
                    actual,
                })
            });
        let best = candidates
            .filter(|window| window.divides(near(points, window)))
            .min_by_key(|window| window.cost(near(points, window)));
        if let Some(window) = best {
            free = window.end();
            windows.push(window);
        }
    }
    windows
}

/// Where a tuplet of this length around a point may begin: on a multiple of its length, or on a
/// beat.
fn starts(point: Ticks, length: Ticks, missing: Ticks) -> impl Iterator<Item = Ticks> {
    let place = point + missing;
    let aligned = place / length * length;
    let beats = length / QUARTER;
    let others = (0..beats).map(move |beat| (place / QUARTER).saturating_sub(beat) * QUARTER);
    std::iter::once(aligned)
        .chain(others)
        .filter_map(move |start| start.checked_sub(missing))
}

/// The points inside a window and at its ends.
fn near<'a>(points: &'a [Ticks], window: &Window) -> &'a [Ticks] {
    let first = points.partition_point(|&point| point < window.at);
    let end = points.partition_point(|&point| point <= window.end());
    &points[first..end]
}

#[cfg(test)]
mod tests {
    use super::*;

    const THIRD: Ticks = QUARTER / 3;

    fn found(points: &[Ticks], ticks: Ticks) -> Vec<(Ticks, Ticks, u32)> {
        windows(points, ticks, 0)
            .into_iter()
            .map(|w| (w.at, w.ticks, w.actual))
            .collect()
    }

    #[test]
    fn triplets_are_found_in_their_beat_or_over_two() {
        let bar = 4 * QUARTER;
        assert_eq!(found(&[QUARTER, 2 * QUARTER, bar], bar), []);
        assert_eq!(
            found(&[THIRD, 2 * THIRD, QUARTER, bar], bar),
            [(0, QUARTER, 3)]
        );
        assert_eq!(
            found(&[QUARTER, QUARTER + 2 * THIRD, 2 * QUARTER, bar], bar),
            [(QUARTER, QUARTER, 3)]
        );
        assert_eq!(
            found(&[2 * THIRD, 4 * THIRD, 2 * QUARTER, bar], bar),
            [(0, 2 * QUARTER, 3)]
        );
        let sixteenths = [THIRD / 2, THIRD, QUARTER / 2, QUARTER, bar];
        assert_eq!(found(&sixteenths, bar), [(0, QUARTER / 2, 3)]);
    }

    #[test]
    fn fifths_and_sevenths_of_a_beat_are_found_and_nonsense_is_left_alone() {
        let bar = 2 * QUARTER;
        assert_eq!(found(&[QUARTER / 5, QUARTER, bar], bar), [(0, QUARTER, 5)]);
        let seventh = QUARTER / 7;
        assert_eq!(
            found(&[QUARTER, QUARTER + seventh, bar], bar),
            [(QUARTER, QUARTER, 7)]
        );
        assert_eq!(found(&[1, bar], bar), []);
        assert_eq!(found(&[QUARTER + 17, bar], bar), []);
    }

    #[test]
    fn a_note_from_a_triplet_over_the_beat_is_cut_at_the_beat_or_spanned() {
        let bar = 4 * QUARTER;
        // Quarter, then two thirds of beat two, then a note into beat four.
        let points = [QUARTER, QUARTER + 2 * THIRD, 3 * QUARTER + QUARTER / 2, bar];
        assert_eq!(found(&points, bar), [(QUARTER, QUARTER, 3)]);
    }
}
