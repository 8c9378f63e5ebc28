//! How many changes a line needs at least, before any line is searched.

use linewright_compose::Line;
use linewright_rulebook::RuleBook;
use linewright_rulebook::style::Criterion;

use crate::mark::mend::can_mend;
use crate::mark::{Mark, Scheme};

/// A fault that hangs on a note.
pub(super) struct Hanging {
    criterion: Criterion,
    /// The first slot that it hangs on; it hangs on all from there on.
    first: usize,
    cost: i64,
}

/// By slot, the faults that hang on its note.
pub(super) fn hanging(line: &Line, mark: &Mark) -> Vec<Vec<Hanging>> {
    let mut hanging: Vec<Vec<Hanging>> = Vec::new();
    hanging.resize_with(line.plan.slots.len(), Vec::new);
    for here in &mark.criteria {
        for fault in &here.faults {
            let slots = 0..line.plan.slots.len();
            let slots = || slots.clone().filter(|&slot| can_mend(line, fault, slot));
            let Some(first) = slots().next() else {
                continue;
            };
            for slot in slots() {
                hanging[slot].push(Hanging {
                    criterion: here.criterion,
                    first,
                    cost: fault.cost,
                });
            }
        }
    }
    hanging
}

/// How many changes a line that passes needs at least, where these criteria are used up in it;
/// one more than `most` where it is not known how many.
///
/// Changes mend no other faults than those that hang on them: so many notes as it takes, chosen
/// so that the faults that hang on any of them cost most, mend them all at best. And it takes
/// some changes to use up a criterion that is not used up now.
pub(super) fn at_least(
    book: &RuleBook,
    scheme: &Scheme,
    mark: &Mark,
    hanging: &[Vec<Hanging>],
    used_up: &[Criterion],
    most: usize,
) -> usize {
    let mut lacking = mark.pass();
    let mut changes = 0;
    for here in &mark.criteria {
        let cost: i64 = here.faults.iter().map(|fault| fault.cost).sum();
        if used_up.contains(&here.criterion) {
            let left = scheme.got(here.total, cost);
            let at_once = scheme.most_by_one_note(book, here.criterion);
            let needed = match (left, at_once) {
                (0, _) => 0,
                (_, 0) => usize::MAX,
                (left, once) => usize::try_from((left - 1) / once + 1).unwrap_or(usize::MAX),
            };
            changes = changes.max(needed);
        } else {
            lacking -= scheme.got(here.total, 0) - cost;
        }
    }
    changes.max(fewest_that_mend(hanging, used_up, lacking, most))
}

/// How many of the slots must change at least, so that the faults that hang on them, but those of
/// criteria that are used up, cost so much together; one more than `most` where that is not known.
/// `hanging` has the faults by slot.
fn fewest_that_mend(
    hanging: &[Vec<Hanging>],
    used_up: &[Criterion],
    sum: i64,
    most: usize,
) -> usize {
    if sum <= 0 {
        return 0;
    }
    // Of each slot, what the faults cost that hang on it but not on an earlier one, for each of
    // those that any of them hangs on; the first entry is for all before them.
    let added = |(slot, faults): (usize, &Vec<Hanging>)| -> Vec<i64> {
        let counted = |fault: &&Hanging| !used_up.contains(&fault.criterion);
        let here = || faults.iter().filter(counted);
        let first = here().map(|fault| fault.first).min().unwrap_or(slot);
        let mut added = vec![0; slot + 1 - first];
        for fault in here() {
            for added in &mut added[..=fault.first - first] {
                *added += fault.cost;
            }
        }
        added
    };
    let added: Vec<Vec<i64>> = hanging.iter().enumerate().map(added).collect();
    let slots = added.len();
    // By slot, what so many cost at most of which it is the last.
    let mut mended: Vec<i64> = added.iter().map(|added| added[0]).collect();
    for count in 1..=most {
        if mended.iter().any(|mended| *mended >= sum) {
            return count;
        }
        let mut before = 0;
        let mut far = 0;
        mended = (0..slots)
            .map(|slot| {
                let near = added[slot].len() - 1;
                while far + near < slot {
                    before = before.max(mended[far]);
                    far += 1;
                }
                let mut best = before + added[slot][0];
                for earlier in slot - near..slot {
                    best = best.max(mended[earlier] + added[slot][earlier + 1 + near - slot]);
                }
                best
            })
            .collect();
    }
    most + 1
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Numbers that are the same every time, below a bound.
    struct Draws(u64);

    impl Draws {
        fn below(&mut self, bound: u64) -> u64 {
            self.0 = self
                .0
                .wrapping_mul(6364136223846793005)
                .wrapping_add(1442695040888963407);
            (self.0 >> 33) % bound
        }
    }

    #[test]
    fn the_fewest_slots_are_those_of_every_choice_tried() {
        let mut draws = Draws(5);
        let mut several = 0;
        for _ in 0..400 {
            let slots = 1 + draws.below(9) as usize;
            let mut hanging: Vec<Vec<Hanging>> = Vec::new();
            hanging.resize_with(slots, Vec::new);
            let mut faults = Vec::new();
            for _ in 0..draws.below(16) {
                let first = draws.below(slots as u64) as usize;
                let last = (first + draws.below(4) as usize).min(slots - 1);
                let cost = 1 + draws.below(5) as i64;
                let criterion = match draws.below(5) {
                    0 => Criterion::Motion,
                    _ => Criterion::Arrivals,
                };
                for hanging in &mut hanging[first..=last] {
                    let fault = Hanging {
                        criterion,
                        first,
                        cost,
                    };
                    hanging.push(fault);
                }
                if criterion == Criterion::Arrivals {
                    faults.push((first..=last, cost));
                }
            }
            let sum = draws.below(30) as i64;
            let enough = |chosen: &u32| {
                let changed = |slot: &usize| chosen >> slot & 1 == 1;
                let mended = faults
                    .iter()
                    .filter(|(slots, _)| slots.clone().any(|slot| changed(&slot)));
                mended.map(|(_, cost)| cost).sum::<i64>() >= sum
            };
            let fewest = (0..1_u32 << slots)
                .filter(enough)
                .map(u32::count_ones)
                .min();
            let found = fewest_that_mend(&hanging, &[Criterion::Motion], sum, 5);
            match fewest {
                Some(fewest) => assert_eq!(found, (fewest as usize).min(6)),
                None => assert_eq!(found, 6),
            }
            several += usize::from((2..6).contains(&found));
        }
        assert!(several > 30, "{several}");
    }
}
