//! The nearest line that passes: the fewest changed notes, exactly.
//!
//! Marks are not quite a sum: no criterion falls below nothing, and a pair of bars asks for one
//! device, not for many. So for every set of criteria that may be used up the marks of the
//! others are searched as a sum, in which every pair counts as having its device: that is never
//! less than the true marks, and for the right set it misses them by devices alone. The fewest
//! changes that reach the pass mark there bound the answer from below. A higher sum makes up for
//! devices that are missing: the fewest changes that reach it bound the answer from above. Where
//! the two differ, lines with fewer changes are looked at, best first, until one truly passes.

use std::cell::Cell;

use linewright_compose::{Passage, Tables};
use linewright_lattice::{Lattice, NearestLimits, NotNear};
use linewright_plan::Plan;
use linewright_rules::{Line, RuleBook, findings, hangs_on};
use linewright_style::{Criterion, Weight};
use linewright_theory::Pitch;

use super::mend::Changes;
use super::{Fault, Fix, Mark, Mend, Scheme, criterion_of, faults};
use crate::study::pitches;

/// Most changed notes that are looked for.
pub(super) const MOST: usize = 24;

/// Most beginnings that are looked at for the fewest changes that reach a sum.
const MOST_STEPS: usize = 40_000;

/// Most beginnings that are looked at for one number of changes between the bounds.
const MOST_STEPS_BETWEEN: usize = 15_000;

/// How often a higher sum is tried.
const MOST_RAISES: usize = 8;

/// The nearest line that passes, for one that does not.
pub(super) fn nearest(line: &Line, scheme: &Scheme, mark: &Mark, single: &mut Changes) -> Fix {
    let best: i64 = scheme
        .criteria()
        .map(|(_, total)| scheme.got(total, 0))
        .sum();
    if best < mark.pass() {
        return Fix::MoreNotes;
    }
    let played = pitches(line);
    let search = Search {
        line,
        scheme,
        pass: mark.pass(),
        played: &played,
        spent: Cell::new(false),
    };
    let faults: Vec<Fault> = mark.faults().copied().collect();
    for mend in single.that_mend(&faults, mark.pass() - mark.got()) {
        let mut notes = played.clone();
        notes[mend.slot] = mend.pitch;
        if search.passes(&notes) {
            return Fix::Changes(vec![mend]);
        }
    }
    // One change is not enough.
    let sets: Vec<(usize, Vec<Criterion>)> = sets(scheme, mark)
        .into_iter()
        .map(|used_up| (at_least(line, scheme, mark, &used_up).max(2), used_up))
        .collect();
    let mut best: Option<Vec<Pitch>> = None;
    let mut most = MOST;
    for (at_least, used_up) in &sets {
        if *at_least > most {
            continue;
        }
        if let Some(found) = search.with(used_up, most) {
            most = changes(&found, &played) - 1;
            best = Some(found);
        }
    }
    // What a search left open does not matter where fewer changes would not do.
    let spent = search.spent.get() && sets.iter().any(|(at_least, _)| *at_least <= most);
    let Some(best) = best else {
        return if spent {
            Fix::NotFound
        } else {
            Fix::MoreThan(MOST)
        };
    };
    let changed = (0..best.len()).filter(|&slot| best[slot] != played[slot]);
    let mend = |slot| Mend {
        slot,
        pitch: best[slot],
    };
    let changes = changed.map(mend).collect();
    if spent {
        Fix::AtMost(changes)
    } else {
        Fix::Changes(changes)
    }
}

/// How many changes a line that passes needs at least, where these criteria are used up in it.
///
/// A change mends no other faults than those that hang on it: as many changes as it
/// takes mend at the most what the notes are to blame for that most faults hang on. And it takes
/// some changes to use up a criterion that is not used up now.
fn at_least(line: &Line, scheme: &Scheme, mark: &Mark, used_up: &[Criterion]) -> usize {
    let mut lacking = mark.pass();
    let mut blame = vec![0; line.plan.slots.len()];
    let mut changes = 0;
    for here in &mark.criteria {
        let cost: i64 = here.faults.iter().map(|fault| fault.cost).sum();
        if used_up.contains(&here.criterion) {
            let left = scheme.got(here.total, cost);
            let most = scheme.most_by_one_note(&line.book, here.criterion);
            let needed = match (left, most) {
                (0, _) => 0,
                (_, 0) => usize::MAX,
                (left, most) => usize::try_from((left - 1) / most + 1).unwrap_or(usize::MAX),
            };
            changes = changes.max(needed);
            continue;
        }
        lacking -= scheme.got(here.total, 0);
        // Every pair may have its device.
        if here.criterion == Criterion::Device {
            continue;
        }
        lacking += cost;
        for fault in &here.faults {
            for (slot, blame) in blame.iter_mut().enumerate() {
                if hangs_on(&line.plan, fault.place, slot) {
                    *blame += fault.cost;
                }
            }
        }
    }
    blame.sort_unstable_by(|one, other| other.cmp(one));
    let mut mending = 0;
    for mended in blame {
        if lacking <= 0 {
            break;
        }
        lacking -= mended;
        mending += 1;
    }
    if lacking > 0 {
        return usize::MAX;
    }
    changes.max(mending)
}

fn changes(one: &[Pitch], other: &[Pitch]) -> usize {
    one.iter()
        .zip(other)
        .filter(|(one, other)| one != other)
        .count()
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

struct Search<'a> {
    line: &'a Line,
    scheme: &'a Scheme,
    pass: i64,
    played: &'a [Pitch],
    /// Whether some search ended before its answer was known.
    spent: Cell<bool>,
}

impl Search<'_> {
    /// The nearest line that passes, of those in which no criterion but these is used up; none
    /// with more than `most` changes.
    fn with(&self, used_up: &[Criterion], most: usize) -> Option<Vec<Pitch>> {
        let (line, scheme) = (self.line, self.scheme);
        let counts = |criterion: Criterion| !used_up.contains(&criterion);
        let book = RuleBook::of_whole_findings(|id, rule| {
            let (fault, expected) = scheme.prices(id);
            let milli = if counts(criterion_of(rule)) {
                expected - fault
            } else {
                0
            };
            Weight::Milli(i32::try_from(milli).unwrap_or(0))
        });
        let mut base: i64 = scheme
            .criteria()
            .filter(|(criterion, _)| counts(*criterion))
            .map(|(_, total)| scheme.got(total, 0))
            .sum();
        for &(rule, _, price) in scheme.expected() {
            if counts(criterion_of(line.book.entry(rule).rule)) {
                base -= price;
            }
        }
        let free = vec![None; self.played.len()];
        let passage = Passage::new(
            &book,
            &line.style,
            &line.plan,
            &free,
            self.played,
            &mut Tables::default(),
        )?;
        let reference: Vec<u8> = self
            .played
            .iter()
            .filter_map(|pitch| passage.candidate(*pitch))
            .collect();
        let target = self.pass - base;
        let nearest = |target| self.reaching(&passage, &reference, target, most);
        let mut notes = nearest(target)?;
        let fewest = changes(&notes, self.played).max(1);
        let mut raised = target;
        let mut sure = self.passes(&notes);
        for _ in 0..MOST_RAISES {
            if sure {
                break;
            }
            raised += (self.pass - self.got(&notes)).max(1);
            let Some(higher) = nearest(raised) else { break };
            sure = self.passes(&higher);
            notes = higher;
        }
        let below = if sure {
            changes(&notes, self.played)
        } else {
            most + 1
        };
        for allowed in fewest..below {
            let between = self.within(passage.lattice(), &passage, &reference, allowed, target);
            if between.is_some() {
                return between;
            }
            // With more changes there is only more to look at.
            if self.spent.get() {
                break;
            }
        }
        sure.then_some(notes)
    }

    /// The line with the fewest changes that reaches a sum, with `most` changes at most; where the
    /// search ended early, the nearest that was found.
    fn reaching(
        &self,
        passage: &Passage,
        reference: &[u8],
        target: i64,
        most: usize,
    ) -> Option<Vec<Pitch>> {
        let limits = NearestLimits {
            most_changes: most,
            most_steps: MOST_STEPS,
        };
        let path = match passage.lattice().nearest(reference, target, limits) {
            Ok(near) => near.path,
            Err(NotNear::StepsSpent { found, .. }) => {
                self.spent.set(true);
                found?.path
            }
            Err(_) => return None,
        };
        Some(path.iter().map(|&k| passage.pitch(k)).collect())
    }

    /// The best line with so many changes at most that truly passes.
    fn within(
        &self,
        lattice: &Lattice,
        passage: &Passage,
        reference: &[u8],
        allowed: usize,
        target: i64,
    ) -> Option<Vec<Pitch>> {
        let near = |path: &[u8]| {
            path.iter()
                .zip(reference)
                .filter(|(one, other)| one != other)
                .count()
                <= allowed
        };
        for scored in lattice.ranked_where(near, MOST_STEPS_BETWEEN) {
            let Ok(scored) = scored else {
                self.spent.set(true);
                return None;
            };
            if scored.score < target {
                return None;
            }
            let notes: Vec<Pitch> = scored.path.iter().map(|&k| passage.pitch(k)).collect();
            if self.passes(&notes) {
                return Some(notes);
            }
        }
        None
    }

    fn passes(&self, notes: &[Pitch]) -> bool {
        self.got(notes) >= self.pass
    }

    /// The marks that a line would get, in thousandths of a mark.
    fn got(&self, notes: &[Pitch]) -> i64 {
        let line = self.line;
        let plan: &Plan = &line.plan;
        let findings = findings(&line.book, &line.style, plan, notes);
        let faults = faults(&line.book, self.scheme, plan, &findings);
        let got = self.scheme.criteria().map(|(criterion, total)| {
            let faults = faults.get(&criterion).into_iter().flatten();
            let cost = faults.map(|fault| fault.cost).sum();
            self.scheme.got(total, cost)
        });
        got.sum()
    }
}
