//! Where endings end: a score only says where they begin.

use crate::{BarLine, Measure};

/// The measures of one ending.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ending {
    /// The measure that it begins with, as an index.
    pub first: usize,
    /// Its last measure.
    pub last: usize,
    /// Whether its repeat goes back from there.
    pub closed: bool,
}

/// The endings of a page, in its order.
///
/// One that goes back ends with its repeat sign, whatever sections and double bar lines lie
/// between. The last of a repeat is as long as the first, and shorter where a section, the coda
/// or anything but a plain bar line ends it before (common practice, no source).
pub fn endings(measures: &[Measure]) -> Vec<Ending> {
    let mut found = Vec::new();
    let mut usual = 1;
    for (first, measure) in measures.iter().enumerate() {
        if measure.ending.is_empty() {
            continue;
        }
        let is_new = |next: &Measure| !next.ending.is_empty() || next.opens_repeat;
        let after = measures[first + 1..].iter().position(is_new);
        let end = after.map_or(measures.len(), |after| first + 1 + after);
        // A later repeat sign after a double bar line is that of a repeat of its own, which
        // begins there without a sign, as in folk tunes.
        let is_own = |&at: &usize| {
            let more = measures.get(at + 1).is_some_and(|m| !m.ending.is_empty());
            let plain = || {
                measures[first..at]
                    .iter()
                    .all(|m| m.right == BarLine::Single)
            };
            measure.ending.contains(&1) || more || plain()
        };
        let closing = (first..end)
            .find(|&at| matches!(measures[at].right, BarLine::Repeat(_)))
            .filter(is_own);
        let last = closing.unwrap_or_else(|| {
            let goes_on = |at: usize| {
                let next = &measures[at + 1];
                measures[at].right == BarLine::Single && next.section.is_none() && !next.coda
            };
            let longest = end.min(first + usual) - 1;
            (first..longest).find(|&at| !goes_on(at)).unwrap_or(longest)
        });
        if measure.ending.contains(&1) {
            usual = last + 1 - first;
        }
        found.push(Ending {
            first,
            last,
            closed: closing.is_some(),
        });
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The endings of a page of so many measures, as first and last measure.
    fn spans(count: usize, change: impl FnOnce(&mut [Measure])) -> Vec<(usize, usize, bool)> {
        let mut measures = vec![Measure::new(1); count];
        change(&mut measures);
        let found = endings(&measures).into_iter();
        found.map(|e| (e.first, e.last, e.closed)).collect()
    }

    fn two(measures: &mut [Measure]) {
        measures[2].ending = vec![1];
        measures[4].right = BarLine::Repeat(2);
        measures[5].ending = vec![2];
    }

    #[test]
    fn a_first_ending_reaches_its_repeat_and_a_second_is_as_long() {
        assert_eq!(spans(9, two), [(2, 4, true), (5, 7, false)]);
        assert_eq!(spans(7, two), [(2, 4, true), (5, 6, false)]);
    }

    #[test]
    fn an_ending_that_goes_back_spans_sections_and_double_bar_lines() {
        let found = spans(9, |measures| {
            two(measures);
            measures[2].right = BarLine::Double;
            measures[3].section = Some("B".into());
        });
        assert_eq!(found, [(2, 4, true), (5, 7, false)]);
    }

    #[test]
    fn a_last_ending_stops_before_what_is_new_and_at_a_bar_line_that_is_not_plain() {
        let stopped = |change: fn(&mut [Measure])| {
            spans(9, |measures| {
                two(measures);
                change(measures);
            })[1]
        };
        assert_eq!(stopped(|m| m[6].section = Some("B".into())), (5, 5, false));
        assert_eq!(stopped(|m| m[6].coda = true), (5, 5, false));
        assert_eq!(stopped(|m| m[6].opens_repeat = true), (5, 5, false));
        assert_eq!(stopped(|m| m[6].right = BarLine::Double), (5, 6, false));
        assert_eq!(stopped(|m| m[8].right = BarLine::Final), (5, 7, false));
    }

    #[test]
    fn a_repeat_without_a_beginning_after_a_last_ending_is_no_part_of_it() {
        let later = |line: BarLine| {
            spans(9, |measures| {
                two(measures);
                measures[6].right = line;
                measures[8].right = BarLine::Repeat(2);
            })[1]
        };
        assert_eq!(later(BarLine::Double), (5, 6, false));
        assert_eq!(later(BarLine::Single), (5, 8, true));
    }

    #[test]
    fn every_ending_but_the_last_may_go_back() {
        let found = spans(6, |measures| {
            for (at, passes) in [(1, vec![1, 3]), (2, vec![2]), (4, vec![4])] {
                measures[at].ending = passes;
            }
            measures[1].right = BarLine::Repeat(2);
            measures[3].right = BarLine::Repeat(2);
        });
        assert_eq!(found, [(1, 1, true), (2, 3, true), (4, 4, false)]);
    }
}
