//! Where the bars lie.

use linewright_diagnostic::{Diagnostics, Place};

use super::MAX_BARS;
use super::file::Time;
use crate::score::{QUARTER, TimeSignature};

/// A bar: where it begins, and how long it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Bar {
    pub(super) from: Time,
    pub(super) ticks: u32,
    pub(super) time: TimeSignature,
    pub(super) pickup: bool,
}

impl Bar {
    pub(super) fn to(&self) -> Time {
        self.from + Time::from(self.ticks)
    }
}

/// All bars, one after the other from the start; never empty.
pub(super) struct Bars(pub(super) Vec<Bar>);

impl Bars {
    /// The bars up to an end under these metres, which are in order of time. A metre that is
    /// new in the middle of a bar cuts it short.
    pub(super) fn new(
        metres: &[(Time, TimeSignature)],
        end: Time,
        problems: &mut Diagnostics,
    ) -> Self {
        let mut bars: Vec<Bar> = Vec::new();
        let mut metres = metres.iter().peekable();
        let mut time = TimeSignature { beats: 4, unit: 4 };
        let (mut from, mut cut) = (0, Vec::new());
        while (from < end || bars.is_empty()) && bars.len() < MAX_BARS {
            while let Some((_, new)) = metres.next_if(|(at, _)| *at <= from) {
                time = *new;
            }
            let mut ticks = time.ticks().max(1);
            if let Some((at, _)) = metres.peek()
                && *at < from + Time::from(ticks)
            {
                ticks = (*at - from) as u32;
                cut.push(bars.len());
            }
            bars.push(Bar {
                from,
                ticks,
                time,
                pickup: false,
            });
            from += Time::from(ticks);
        }
        let mut bars = Self(bars);
        bars.find_pickup();
        cut.retain(|&bar| !bars.0[bar].pickup);
        if let Some(first) = cut.first() {
            problems.remark(
                Place::Measure(first + 1),
                format!(
                    "a new metre begins in the middle of a bar: {}",
                    times(cut.len())
                ),
                "the bar was read as a short one",
            );
        }
        bars
    }

    /// A first bar that is shorter than the second, which has another metre, is a pick-up in
    /// that metre.
    fn find_pickup(&mut self) {
        if let [first, second, ..] = &mut self.0[..]
            && first.ticks < second.ticks
            && (first.time != second.time || first.ticks < first.time.ticks())
        {
            first.pickup = true;
            first.time = second.time;
        }
    }

    /// The end of the last bar.
    pub(super) fn end(&self) -> Time {
        self.0.last().map_or(0, Bar::to)
    }

    /// The index of the bar that a time lies in; the last for later times.
    pub(super) fn at(&self, time: Time) -> usize {
        self.0
            .partition_point(|bar| bar.from <= time)
            .saturating_sub(1)
    }

    /// Where the beat begins that a time lies in, and how long it is: a quarter note, counted
    /// from the bar line, or what is left of the bar.
    pub(super) fn beat(&self, time: Time) -> (Time, u32) {
        let bar = &self.0[self.at(time)];
        let nth = (time - bar.from) / Time::from(QUARTER);
        let from = bar.from + nth * Time::from(QUARTER);
        let left = bar.to().saturating_sub(from).max(1);
        (from, QUARTER.min(u32::try_from(left).unwrap_or(QUARTER)))
    }
}

/// `once`, `3 times`.
pub(super) fn times(count: usize) -> String {
    match count {
        1 => "once".into(),
        many => format!("{many} times"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const Q: Time = QUARTER as Time;

    fn bars(metres: &[(Time, u8, u8)], end: Time) -> (Vec<(Time, u32, bool)>, usize) {
        let metres: Vec<_> = metres
            .iter()
            .map(|&(at, beats, unit)| (at, TimeSignature { beats, unit }))
            .collect();
        let mut problems = Diagnostics::default();
        let bars = Bars::new(&metres, end, &mut problems);
        let told = bars.0.iter().map(|b| (b.from, b.ticks / QUARTER, b.pickup));
        (told.collect(), problems.list().len())
    }

    #[test]
    fn bars_follow_the_metres_and_the_first_short_one_is_a_pickup() {
        let four = |from| (from * Q, 4, false);
        assert_eq!(bars(&[], 5 * Q), (vec![four(0), four(4)], 0));
        assert_eq!(
            bars(&[(0, 1, 4), (Q, 4, 4)], 9 * Q),
            (vec![(0, 1, true), four(1), four(5)], 0)
        );
        assert_eq!(
            bars(&[(0, 4, 4), (Q, 4, 4)], 5 * Q),
            (vec![(0, 1, true), four(1)], 0)
        );
        assert_eq!(
            bars(&[(0, 4, 4), (4 * Q, 3, 4)], 7 * Q),
            (vec![four(0), (4 * Q, 3, false)], 0)
        );
    }

    #[test]
    fn a_metre_in_the_middle_cuts_its_bar_and_is_told() {
        let (found, told) = bars(&[(0, 4, 4), (6 * Q, 3, 4)], 9 * Q);
        assert_eq!(found, [(0, 4, false), (4 * Q, 2, false), (6 * Q, 3, false)]);
        assert_eq!(told, 1);
    }

    #[test]
    fn there_are_never_more_bars_than_allowed() {
        assert_eq!(bars(&[], u64::MAX / 2).0.len(), MAX_BARS);
        assert_eq!(bars(&[], 0).0.len(), 1);
    }
}
