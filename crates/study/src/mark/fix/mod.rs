//! The nearest line that passes: the fewest changed notes, exactly.
//!
//! Marks are not quite a sum: no criterion falls below nothing, and a pair of bars asks for one
//! device, not for many. So for every set of criteria that may be used up the marks of the
//! others are searched as a sum, in which every device counts in the pairs that lack one, and
//! none is lost elsewhere: that is never less than the true marks, and for the right set it
//! misses them by devices alone. The fewest changes that reach the pass mark there bound the
//! answer from below. A higher sum makes up for devices that are missing: the fewest changes
//! that reach it bound the answer from above. Where the two differ, lines with fewer changes are
//! looked at, best first, until one truly passes.

mod bound;
mod devices;
mod sum;
#[cfg(test)]
mod tests;

use linewright_compose::Line;
use linewright_compose::Tables;
use linewright_rulebook::style::Criterion;
use linewright_theory::Pitch;

use self::bound::{at_least, hanging};
use self::sum::{Effort, Search, Sum};
use super::mend::Changes;
use super::{Fault, Fix, Mark, Mend, Scheme};
use crate::study::pitches;

/// How many changes it takes at least where some criteria are used up, and which.
type Set = (usize, Vec<Criterion>);

/// The nearest line that passes, for one that does not, with `most` changes at most.
pub(super) fn nearest(
    line: &Line,
    scheme: &Scheme,
    mark: &Mark,
    single: &mut Changes,
    most: usize,
) -> Fix {
    let best: i64 = scheme
        .criteria()
        .map(|(_, total)| scheme.got(total, 0))
        .sum();
    if best < mark.pass() {
        return Fix::MoreNotes;
    }
    let played = pitches(line);
    let search = Search::new(line, scheme, mark, &played);
    let hanging = hanging(line, mark);
    let sets = sets(scheme, mark).into_iter().map(|used_up| {
        let needed = at_least(&line.book, scheme, mark, &hanging, &used_up, most);
        (needed, used_up)
    });
    let mut sets: Vec<Set> = sets.collect();
    // Those first that may need the fewest changes.
    sets.sort_by_key(|(needed, _)| *needed);
    let one_may_do = sets.first().is_some_and(|(needed, _)| *needed < 2);
    let one = one_may_do.then(|| one_change(&search, single));
    if let Some(mend) = one.flatten() {
        return Fix::Changes(vec![mend]);
    }
    let sets: Vec<Set> = sets
        .into_iter()
        .map(|(needed, used_up)| (needed.max(2), used_up))
        .filter(|(needed, _)| *needed <= most)
        .collect();
    let (best, open) = several_changes(&search, &sets, most);
    let Some(best) = best else {
        return if open {
            Fix::NotFound
        } else {
            Fix::MoreThan(most)
        };
    };
    let changed = (0..best.len()).filter(|&slot| best[slot] != played[slot]);
    let mend = |slot| Mend {
        slot,
        pitch: best[slot],
    };
    let changes = changed.map(mend).collect();
    if open {
        Fix::AtMost(changes)
    } else {
        Fix::Changes(changes)
    }
}

/// The one change that makes the line pass, if there is one.
fn one_change(search: &Search, single: &mut Changes) -> Option<Mend> {
    let mark = search.mark;
    let faults: Vec<Fault> = mark.faults().copied().collect();
    let mends = single.that_mend(&faults, mark.pass() - mark.got());
    mends.into_iter().find(|mend| {
        let mut notes = search.played.to_vec();
        notes[mend.slot] = mend.pitch;
        search.passes(&notes)
    })
}

/// The notes of the nearest line that passes, with two to `most` changes; and whether one with
/// fewer may have been overlooked.
fn several_changes(search: &Search, sets: &[Set], mut most: usize) -> (Option<Vec<Pitch>>, bool) {
    let Some((first, others)) = sets.split_first() else {
        return (None, false);
    };
    // What the last of several changes brings is a little less than their mean.
    let price = (search.mark.pass() - search.mark.got()) * 3 / (4 * first.0 as i64);
    let mut tables = Tables::default();
    let mut sum = |set: &Set| search.sum(&set.1, set.0, price, &mut tables);
    let mut first = sum(first);
    let mut best = first
        .as_mut()
        .and_then(|first| search.with(first, &mut most, Effort::Usual));
    let near = others.iter().filter(|set| set.0 <= most);
    let mut sums: Vec<Sum> = near.filter_map(sum).collect();
    sums.sort_by_key(|sum| sum.at_least);
    let price = first
        .as_ref()
        .map_or(price, |first| first.near.multiplier());
    for sum in &mut sums {
        if sum.at_least <= most && sum.needed_under(price) <= most {
            best = search.with(sum, &mut most, Effort::Usual).or(best);
        }
    }
    sums.extend(first);
    for sum in &mut sums {
        if sum.open && sum.at_least <= most {
            best = search.with(sum, &mut most, Effort::Most).or(best);
        }
    }
    // What a search left open does not matter where fewer changes would not do.
    let open = sums.iter().any(|sum| sum.open && sum.at_least <= most);
    (best, open)
}

/// The sets of criteria that may be used up in a line that passes: first the one that is used up
/// now, then small ones.
fn sets(scheme: &Scheme, mark: &Mark) -> Vec<Vec<Criterion>> {
    let spare = mark.total() - mark.pass();
    let searched = |criterion: &Criterion| *criterion != Criterion::Device;
    let criteria: Vec<(Criterion, i64)> = scheme
        .criteria()
        .filter(|(criterion, _)| searched(criterion))
        .collect();
    let mut sets: Vec<(i64, Vec<Criterion>)> = vec![(0, Vec::new())];
    for (criterion, total) in criteria {
        let more: Vec<(i64, Vec<Criterion>)> = sets
            .iter()
            .filter(|(sum, _)| sum + total <= spare)
            .map(|(sum, set)| (sum + total, [set.as_slice(), &[criterion]].concat()))
            .collect();
        sets.extend(more);
    }
    let used_up = |criterion: Criterion| {
        let mut criteria = mark.criteria.iter();
        criteria.any(|here| here.criterion == criterion && here.got == 0)
    };
    sets.sort_by_key(|(sum, set)| {
        let now = set.iter().filter(|criterion| used_up(**criterion)).count();
        (
            std::cmp::Reverse(2 * now as isize - set.len() as isize),
            *sum,
        )
    });
    sets.into_iter().map(|(_, set)| set).collect()
}
