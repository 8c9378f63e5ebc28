//! The marks of lines as a sum over a lattice, and the nearest line that has enough of them.

use linewright_compose::Line;
use linewright_compose::{Books, Passage, Tables};
use linewright_lattice::{Nearest, NearestError, NearestLimits, PenaltyOracle, Relaxation};
use linewright_rulebook::style::{Criterion, Weight};
use linewright_rulebook::{Evaluator, RuleBook};
use linewright_theory::Pitch;

use super::devices::{Devices, bare_pairs};
use crate::mark::{Mark, Scheme, criterion_of, faults, is_before};

/// How long is searched.
#[derive(Copy, Clone)]
pub(super) enum Effort {
    /// As long as mostly will do.
    Usual,
    /// As long as there is hope.
    Most,
}

impl Effort {
    /// How far apart bounds may be, and the most prefixes that are then looked at between them.
    fn tries(self) -> &'static [(usize, usize)] {
        match self {
            Self::Usual => &[(1, 400), (0, 1_000)],
            Self::Most => &[(0, 4_000)],
        }
    }
}

/// More than any line can get, in thousandths of a mark.
const TOO_FAR: i64 = 1 << 40;

/// How often a higher sum is tried.
const MOST_RAISES: usize = 8;

/// The marks under some criteria, as a sum over a lattice.
pub(super) struct Sum {
    passage: Passage,
    pub near: Relaxation,
    /// The score that passes.
    target: i64,
    /// So many changes are needed at least.
    pub at_least: usize,
    /// Whether its lines were not searched to the end: one with fewer changes may be there.
    pub open: bool,
}

impl Sum {
    /// The notes of a path.
    fn pitches(&self, path: &[u8]) -> Vec<Pitch> {
        path.iter().map(|&k| self.passage.pitch(k)).collect()
    }

    /// The marks of a line by the sum alone, where this was marked; `None` of a line that is not in it.
    #[cfg(test)]
    pub fn says(&self, marked: &Mark, notes: &[Pitch]) -> Option<i64> {
        let path = notes.iter().map(|note| self.passage.candidate(*note));
        let path: Vec<u8> = path.collect::<Option<_>>()?;
        let score = self.passage.lattice().score(&path)?;
        Some(score + marked.pass() - self.target)
    }

    /// How many changes are needed at least, as far as it is known under a price of a change, too.
    pub fn needed_under(&mut self, price: i64) -> usize {
        let needed = self.near.lower_bound_at(self.target, price);
        self.at_least = self.at_least.max(needed.unwrap_or(0));
        self.at_least
    }
}

pub(super) struct Search<'a> {
    pub mark: &'a Mark,
    pub played: &'a [Pitch],
    line: &'a Line,
    scheme: &'a Scheme,
    /// The rules that marks hang on.
    evaluator: Evaluator,
    pub devices: Devices<'a>,
    /// The marks of each criterion that counts here.
    marks: Vec<(Criterion, RuleBook)>,
    /// The marks of devices: of those that are named at the note itself, and at the note before.
    device_marks: [RuleBook; 2],
    /// By slot, whether a pair of bars that lacks a device holds the bar of the note, and that of
    /// the note before.
    bare: Vec<[bool; 2]>,
}

impl<'a> Search<'a> {
    pub fn new(line: &'a Line, scheme: &'a Scheme, mark: &'a Mark, played: &'a [Pitch]) -> Self {
        let milli = |milli: i64| Weight::Milli(i32::try_from(milli).unwrap_or(0));
        let marks = scheme.criteria().map(|(criterion, _)| {
            let book = RuleBook::of_whole_findings(|id, rule| {
                if criterion_of(rule) != criterion {
                    return Weight::ZERO;
                }
                let (fault, expected) = scheme.prices(id);
                milli(expected - fault)
            });
            (criterion, book)
        });
        let device_marks = [false, true].map(|before| {
            RuleBook::of_any_findings(|id, rule| {
                match scheme.is_device(id) && is_before(rule) == before {
                    true => milli(scheme.pair_price()),
                    false => Weight::ZERO,
                }
            })
        });
        let bars: Vec<usize> = bare_pairs(mark).flat_map(|bar| [bar, bar + 1]).collect();
        let slots = &line.plan.slots;
        let is_bare = |slot: usize| bars.contains(&slots[slot].bar);
        let bare = (0..slots.len()).map(|at| [is_bare(at), at.checked_sub(1).is_some_and(is_bare)]);
        Search {
            mark,
            played,
            line,
            scheme,
            evaluator: scheme.evaluator(&line.book),
            marks: marks.collect(),
            device_marks,
            devices: Devices::new(line, scheme, mark),
            bare: bare.collect(),
        }
    }

    /// The marks that lines get under all criteria but those that are used up, as a score, in
    /// which every device counts that stands in a pair of bars that lacks one now. `None` where
    /// no line is possible.
    pub fn sum(
        &self,
        used_up: &[Criterion],
        at_least: usize,
        price: i64,
        tables: &mut Tables,
    ) -> Option<Sum> {
        let (line, scheme) = (self.line, self.scheme);
        let counts = |criterion: Criterion| !used_up.contains(&criterion);
        let marks = self
            .marks
            .iter()
            .filter(|(criterion, _)| counts(*criterion));
        let marks: Vec<&RuleBook> = marks.map(|(_, book)| book).collect();
        let [here, before] = &self.device_marks;
        let added: [&[&RuleBook]; 4] = [&[], &[here], &[before], &[here, before]];
        let books = added.map(|added| [&marks, added].concat());
        let by_slot = self.bare.iter();
        let by_slot = by_slot.map(|&[here, before]| usize::from(here) + 2 * usize::from(before));
        let books = Books::by_slot(books.into(), by_slot.collect());
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
        base -= bare_pairs(self.mark).count() as i64 * scheme.pair_price();
        let free = vec![None; self.played.len()];
        let passage = Passage::new(&books, &line.style, &line.plan, &free, self.played, tables)?;
        let notes = self.played.iter();
        let reference: Option<Vec<u8>> = notes.map(|pitch| passage.candidate(*pitch)).collect();
        let near = passage.lattice().relaxation(&reference?).ok()?;
        let mut sum = Sum {
            passage,
            near,
            target: self.mark.pass() - base,
            at_least,
            open: false,
        };
        sum.needed_under(price);
        Some(sum)
    }

    /// The nearest line that passes, of those in which no criterion is used up but those that the
    /// sum leaves out: none with more than `most` changes, which becomes one less than it has.
    /// Where the sum is still `open` then, one may have been overlooked.
    pub fn with(&self, sum: &mut Sum, most: &mut usize, effort: Effort) -> Option<Vec<Pitch>> {
        let mut best = None;
        for &(apart, max_expansions) in effort.tries() {
            sum.open = false;
            let Ok(bounds) = sum.near.bounds(sum.target, *most, apart) else {
                return best;
            };
            sum.at_least = sum.at_least.max(bounds.at_least);
            let known = bounds.found;
            if let Some((changes, notes)) = known.and_then(|near| self.raised(sum, near, *most)) {
                *most = changes - 1;
                best = Some(notes);
            }
            if sum.at_least > *most {
                return best;
            }
            // What is left between the bounds is looked at, as far as that goes: at first only
            // what is nearest.
            let far = match best.is_none() && apart > 0 {
                true => sum.at_least,
                false => *most,
            };
            let limits = NearestLimits {
                most_changes: far,
                max_expansions,
            };
            let (found, is_all) = self.between(sum, limits);
            if let Some((changes, notes)) = found {
                *most = changes - 1;
                best = Some(notes);
            } else if is_all {
                sum.at_least = far + 1;
            }
            sum.open = !is_all;
            if is_all && (best.is_some() || sum.at_least > *most) {
                return best;
            }
        }
        best
    }

    /// A line near enough that passes, and how many changes it has: the given one, or one with a
    /// higher sum, which makes up for devices that are missing.
    fn raised(&self, sum: &mut Sum, mut near: Nearest, most: usize) -> Option<(usize, Vec<Pitch>)> {
        let mut target = sum.target;
        for _ in 0..=MOST_RAISES {
            let notes = sum.pitches(&near.path);
            let lacking = self.mark.pass() - self.got(&notes);
            if lacking <= 0 {
                return Some((near.changed.len(), notes));
            }
            target += lacking;
            near = sum.near.bounds(target, most, 0).ok()?.found?;
        }
        None
    }

    /// The nearest line that passes, and how many changes it has, as far as that is known within
    /// the limits; and whether all is known.
    fn between(&self, sum: &mut Sum, limits: NearestLimits) -> (Option<(usize, Vec<Pitch>)>, bool) {
        let mut penalty = Overstatement {
            search: self,
            passage: &sum.passage,
            notes: self.played.to_vec(),
        };
        let found = sum.near.nearest_penalized(sum.target, limits, &mut penalty);
        let (found, is_all) = match found {
            Ok(found) => (Some(found), true),
            Err(NearestError::ExpansionLimit { found, .. }) => (found, false),
            Err(_) => (None, true),
        };
        let found = found.map(|near| (near.changed.len(), sum.pitches(&near.path)));
        (found, is_all)
    }

    pub fn passes(&self, notes: &[Pitch]) -> bool {
        self.got(notes) >= self.mark.pass()
    }

    /// The marks that a line would get, in thousandths of a mark.
    fn got(&self, notes: &[Pitch]) -> i64 {
        let line = self.line;
        let findings = self.evaluator.findings(&line.style, &line.plan, notes);
        let faults = faults(&line.book, self.scheme, &line.plan, &findings);
        let got = self.scheme.criteria().map(|(criterion, total)| {
            let faults = faults.get(&criterion).into_iter().flatten();
            let cost = faults.map(|fault| fault.cost).sum();
            self.scheme.got(total, cost)
        });
        got.sum()
    }
}

/// By how much a sum overstates the marks of a line.
struct Overstatement<'a> {
    search: &'a Search<'a>,
    passage: &'a Passage,
    /// The notes of a prefix, and any behind it.
    notes: Vec<Pitch>,
}

impl PenaltyOracle for Overstatement<'_> {
    fn penalty(&mut self, prefix: &[u8]) -> i64 {
        let (slot, devices) = (prefix.len() - 1, &self.search.devices);
        let is_whole = prefix.len() == self.notes.len();
        if !devices.end_at(slot) && !is_whole {
            return 0;
        }
        for (note, &candidate) in self.notes.iter_mut().zip(prefix) {
            *note = self.passage.pitch(candidate);
        }
        if is_whole && !self.search.passes(&self.notes) {
            return TOO_FAR;
        }
        devices.overstated(&self.notes, slot)
    }

    fn scope_start(&self, length: usize) -> usize {
        self.search.devices.hang_on(length)
    }
}
