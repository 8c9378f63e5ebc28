//! The marks of many lines in the mean.

use linewright_rulebook::style::Criterion;

use super::Mark;

/// The marks of many lines in the mean, in thousandths of a mark, rounded down.
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
            Some((criterion, got / count, total / count))
        };
        Some(Self {
            lines: marks.len(),
            passed: marks.iter().filter(|mark| mark.passes()).count(),
            criteria: Criterion::ALL.into_iter().filter_map(criterion).collect(),
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
    fn nobody_has_no_mean() {
        assert_eq!(Means::of(&[]), None);
    }
}
