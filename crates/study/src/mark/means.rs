//! The marks of many lines in the mean.

use linewright_rulebook::style::Criterion;

use super::{Mark, in_units};

/// The marks of many lines in the mean, in thousandths of a mark, rounded down. Where every
/// criterion counts in every line, those got add up to what was got in all.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Means {
    /// How many lines were marked.
    pub lines: usize,
    /// How many of them pass.
    pub passed: usize,
    /// What was got and what could be had for each criterion, over the lines in which it counts.
    pub criteria: Vec<(Criterion, i64, i64)>,
    /// What was got in all.
    pub got: i64,
    /// What could be had in all.
    pub total: i64,
}

impl Means {
    /// The means of some marks; `None` of none.
    pub fn of<'a>(marks: impl IntoIterator<Item = &'a Mark>) -> Option<Self> {
        let marks: Vec<&Mark> = marks.into_iter().collect();
        let count = i64::try_from(marks.len()).ok().filter(|count| *count > 0)?;
        let criterion = |criterion: Criterion| {
            let here = || {
                let all = marks.iter().flat_map(|mark| &mark.criteria);
                all.filter(move |mark| mark.criterion == criterion)
            };
            let count = i64::try_from(here().count())
                .ok()
                .filter(|count| *count > 0)?;
            let got: i64 = here().map(|mark| mark.got).sum();
            let total: i64 = here().map(|mark| mark.total).sum();
            Some((criterion, got, total, count))
        };
        let sums: Vec<_> = Criterion::ALL.into_iter().filter_map(criterion).collect();
        let got = if sums.iter().all(|(.., times)| *times == count) {
            let parts: Vec<i64> = sums.iter().map(|(_, got, ..)| *got).collect();
            in_units(&parts, count)
        } else {
            sums.iter().map(|(_, got, _, times)| got / times).collect()
        };
        let criteria = sums.iter().zip(got);
        let criteria =
            criteria.map(|((criterion, _, total, times), got)| (*criterion, got, total / times));
        Some(Self {
            lines: marks.len(),
            passed: marks.iter().filter(|mark| mark.passes()).count(),
            criteria: criteria.collect(),
            got: marks.iter().map(|mark| mark.got()).sum::<i64>() / count,
            total: marks.iter().map(|mark| mark.total()).sum::<i64>() / count,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mark::CriterionMark;

    fn mark(criteria: &[(Criterion, i64, i64)]) -> Mark {
        let row = |&(criterion, got, total): &(Criterion, i64, i64)| CriterionMark {
            criterion,
            total,
            got,
            credit: Vec::new(),
            faults: Vec::new(),
        };
        Mark {
            criteria: criteria.iter().map(row).collect(),
            pass: 60,
        }
    }

    #[test]
    fn a_criterion_is_meant_over_the_lines_in_which_it_counts() {
        let marks = [
            mark(&[
                (Criterion::Harmony, 20_000, 30_000),
                (Criterion::Device, 1_001, 10_000),
            ]),
            mark(&[(Criterion::Harmony, 5_000, 30_000)]),
        ];
        let means = Means::of(&marks).unwrap();
        assert_eq!((means.lines, means.passed), (2, 0));
        assert_eq!(
            means.criteria,
            [
                (Criterion::Harmony, 12_500, 30_000),
                (Criterion::Device, 1_001, 10_000)
            ]
        );
        assert_eq!((means.got, means.total), (13_000, 35_000));
    }

    #[test]
    fn the_criteria_add_up_where_all_count_in_every_line() {
        let line = |harmony, device| {
            mark(&[
                (Criterion::Harmony, harmony, 30_000),
                (Criterion::Device, device, 10_000),
            ])
        };
        let means = Means::of(&[line(10_001, 5_001), line(10_002, 5_002)]).unwrap();
        let got: Vec<i64> = means.criteria.iter().map(|(_, got, _)| *got).collect();
        assert_eq!(
            (got.as_slice(), means.got),
            ([10_002, 5_001].as_slice(), 15_003)
        );
    }

    #[test]
    fn parts_in_whole_units_add_up_to_their_sum() {
        assert_eq!(
            in_units(&[20_860, 13_360, 3_740, 0], 100),
            [209, 133, 37, 0]
        );
        assert_eq!(in_units(&[50, 50, 99], 100), [0, 0, 1]);
        assert_eq!(in_units(&[25_000, 9_999], 100), [250, 99]);
        assert_eq!(in_units(&[], 100), [0_i64; 0]);
    }

    #[test]
    fn nobody_has_no_mean() {
        assert_eq!(Means::of(&[]), None);
    }
}
