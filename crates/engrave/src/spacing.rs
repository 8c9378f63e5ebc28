//! Horizontal spacing of one system, as springs and rods: every gap has a least width that its
//! marks need and a weight by its duration; the rest of the width goes where the weights are.

use linewright_notation::{QUARTER, Ticks};

/// The weights' scale: what a quarter note takes at ease.
pub(crate) const QUARTER_WIDTH: i64 = 1050;

/// Widths of 64ths, 32nds … breves, in thousandths of a quarter's.
const WIDTHS: [i64; 8] = [360, 440, 550, 720, 1000, 1450, 2100, 3000];

/// What a duration takes at ease: less than in proportion, so that short notes stay apart.
pub(crate) fn at_ease(ticks: Ticks) -> i64 {
    let ticks = i64::from(ticks);
    let mut length = i64::from(QUARTER / 16);
    let mut thousandths = WIDTHS[WIDTHS.len() - 1];
    if ticks <= length {
        thousandths = WIDTHS[0] * ticks / length;
    } else {
        for pair in WIDTHS.windows(2) {
            if ticks <= 2 * length {
                thousandths = pair[0] + (pair[1] - pair[0]) * (ticks - length) / length;
                break;
            }
            length *= 2;
        }
    }
    thousandths * QUARTER_WIDTH / 1000
}

/// One gap between two neighbours.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(crate) struct Gap {
    /// The least width.
    pub least: i64,
    /// What it takes at ease; 0 for a gap that does not stretch.
    pub weight: i64,
}

/// A line of points and the gaps between them.
#[derive(Clone, Debug, Default)]
pub(crate) struct Springs {
    gaps: Vec<Gap>,
}

impl Springs {
    pub(crate) fn new(gaps: Vec<Gap>) -> Springs {
        Springs { gaps }
    }

    /// Keeps two points, `from < to`, apart by a width, by widening the gaps between them where
    /// stretching would.
    pub(crate) fn keep_apart(&mut self, from: usize, to: usize, width: i64) {
        let gaps = &mut self.gaps[from..to];
        if let [gap] = gaps {
            gap.least = gap.least.max(width);
            return;
        }
        let widths = stretch(gaps, width);
        for (gap, width) in gaps.iter_mut().zip(widths) {
            gap.least = width;
        }
    }

    /// The least width of the whole line.
    pub(crate) fn least(&self) -> i64 {
        self.gaps.iter().map(|gap| gap.least).sum()
    }

    /// Its width when stretched so many thousandths.
    pub(crate) fn width(&self, force: i64) -> i64 {
        total(&self.gaps, force)
    }

    /// The force, in thousandths, that stretches the line to a width.
    pub(crate) fn force(&self, width: i64) -> i64 {
        force(&self.gaps, width)
    }

    /// The points of the line stretched to a width, or at its least width if that is more.
    pub(crate) fn points(&self, width: i64) -> Vec<i64> {
        let mut x = 0;
        let mut points = vec![0];
        for width in stretch(&self.gaps, width) {
            x += width;
            points.push(x);
        }
        points
    }
}

fn total(gaps: &[Gap], force: i64) -> i64 {
    gaps.iter().map(|gap| span(*gap, force)).sum()
}

fn span(gap: Gap, force: i64) -> i64 {
    gap.least.max(gap.weight * force / 1000)
}

/// The greatest force under which the gaps are not wider than a width.
fn force(gaps: &[Gap], width: i64) -> i64 {
    let (mut low, mut high) = (0, 1);
    while high < 1 << 24 && total(gaps, high) <= width {
        low = high;
        high *= 2;
    }
    while high - low > 1 {
        let middle = low + (high - low) / 2;
        if total(gaps, middle) <= width {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

/// The widths of gaps that together take a width. What rounding leaves over goes to the first
/// gaps that stretch, a unit each, or all to the last gap.
fn stretch(gaps: &[Gap], width: i64) -> Vec<i64> {
    let force = force(gaps, width);
    let mut widths: Vec<i64> = gaps.iter().map(|gap| span(*gap, force)).collect();
    let mut left = width - widths.iter().sum::<i64>();
    for (gap, own) in gaps.iter().zip(&mut widths) {
        if left > 0 && gap.weight > 0 && *own > gap.least {
            *own += 1;
            left -= 1;
        }
    }
    if let Some(last) = widths.last_mut() {
        *last += left.max(0);
    }
    widths
}

#[cfg(test)]
mod tests {
    use super::*;

    fn gap(least: i64, weight: i64) -> Gap {
        Gap { least, weight }
    }

    #[test]
    fn longer_notes_take_more_but_less_than_in_proportion() {
        let mut ticks = QUARTER / 16;
        while ticks < 8 * QUARTER {
            let (one, two) = (at_ease(ticks), at_ease(2 * ticks));
            assert!(one < two && two < 2 * one, "{ticks}");
            ticks *= 2;
        }
        assert_eq!(at_ease(QUARTER), QUARTER_WIDTH);
        assert!(at_ease(QUARTER / 3) > at_ease(QUARTER / 4));
        assert_eq!(at_ease(0), 0);
        assert_eq!(at_ease(u32::MAX), 3 * QUARTER_WIDTH);
    }

    #[test]
    fn a_line_is_stretched_to_its_width_by_weight() {
        let springs = Springs::new(vec![gap(10, 100), gap(50, 100), gap(10, 200), gap(30, 0)]);
        let points = springs.points(431);
        assert_eq!(*points.last().unwrap(), 431);
        let widths: Vec<i64> = points.windows(2).map(|pair| pair[1] - pair[0]).collect();
        assert!((widths[0] - widths[1]).abs() <= 1);
        assert!((widths[2] - 2 * widths[0]).abs() <= 2);
        assert!(widths[3] <= 31);
    }

    #[test]
    fn no_gap_is_narrower_than_its_least_width() {
        let springs = Springs::new(vec![gap(10, 100), gap(50, 100), gap(10, 200)]);
        assert_eq!(springs.points(5), [0, 10, 60, 70]);
        assert_eq!(springs.least(), 70);
    }

    #[test]
    fn points_are_kept_apart_by_widening_what_stretches() {
        let mut springs = Springs::new(vec![gap(10, 100), gap(10, 300), gap(10, 100)]);
        springs.keep_apart(0, 2, 80);
        let points = springs.points(springs.least());
        assert_eq!(points[2], 80);
        assert_eq!(points[3], 90);
        assert!(points[1] <= 21);
    }
}
