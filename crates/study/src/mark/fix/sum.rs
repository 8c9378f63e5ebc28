//! The marks of lines as a sum over a lattice, and the nearest line that has enough of them.

use linewright_compose::{Books, Passage, Tables};
use linewright_lattice::{Near, NearestLimits, NotNear};
use linewright_rules::{Hearing, Line, Place, RuleBook};
use linewright_style::{Criterion, Weight};
use linewright_theory::Pitch;

use crate::mark::{Fault, Mark, Scheme, Wrong, criterion_of, faults, is_before};

/// Most beginnings that are looked at between the bounds.
const MOST_STEPS: usize = 4_000;

/// Most lines that are marked between the bounds.
const MOST_TESTS: usize = 64;

/// How often a higher sum is tried.
const MOST_RAISES: usize = 8;

/// The marks under some criteria, as a sum over a lattice.
pub(super) struct Sum {
    passage: Passage,
    pub near: Near,
    /// The score that passes.
    target: i64,
    /// So many changes are needed at least.
    pub at_least: usize,
    /// Whether its lines were not searched to the end: one with fewer changes may be there.
    pub open: bool,
}

impl Sum {
    /// How many changes are needed at least, as far as it is known under a price of a change, too.
    pub fn needed_under(&mut self, price: i64) -> usize {
        let needed = self.near.at_least_under(self.target, price);
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
    hearing: Hearing,
    /// The marks of each criterion that counts here.
    marks: Vec<(Criterion, RuleBook)>,
    /// The marks of devices: of those that are named at the note itself, and at the note before.
    devices: [RuleBook; 2],
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
        let devices = [false, true].map(|before| {
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
            hearing: scheme.hearing(&line.book),
            marks: marks.collect(),
            devices,
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
        let [here, before] = &self.devices;
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
        let near = passage.lattice().near(&reference?).ok()?;
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
    pub fn with(&self, sum: &mut Sum, most: &mut usize) -> Option<Vec<Pitch>> {
        let pitches = |passage: &Passage, path: &[u8]| -> Vec<Pitch> {
            path.iter().map(|&k| passage.pitch(k)).collect()
        };
        // The bounds alone: what they leave open is looked at below.
        let limits = NearestLimits {
            most_changes: *most,
            most_steps: 0,
        };
        let mut found = match sum.near.reaching(sum.target, limits) {
            Ok(near) => {
                sum.at_least = near.changed.len();
                Some(near)
            }
            Err(NotNear::StepsSpent { at_least, found }) => {
                sum.at_least = sum.at_least.max(at_least);
                found
            }
            Err(_) => return None,
        };
        let mut best: Option<Vec<Pitch>> = None;
        let mut raised = sum.target;
        // A higher sum makes up for devices that are missing.
        for _ in 0..MOST_RAISES {
            let Some(near) = found else { break };
            let notes = pitches(&sum.passage, &near.path);
            let lacking = self.mark.pass() - self.got(&notes);
            if lacking <= 0 {
                *most = near.changed.len() - 1;
                best = Some(notes);
                break;
            }
            raised += lacking;
            found = match sum.near.reaching(raised, limits) {
                Ok(near) => Some(near),
                Err(NotNear::StepsSpent { found, .. }) => found,
                Err(_) => None,
            };
        }
        if sum.at_least > *most {
            return best;
        }
        // What is left between the bounds is looked at, as far as that goes.
        let limits = NearestLimits {
            most_changes: *most,
            most_steps: MOST_STEPS,
        };
        let mut tests = 0;
        let passage = &sum.passage;
        let between = sum.near.reaching_where(sum.target, limits, |path| {
            tests += 1;
            (tests <= MOST_TESTS).then(|| self.passes(&pitches(passage, path)))
        });
        let between = match between {
            Ok(found) => Some(found),
            Err(NotNear::StepsSpent { found, .. }) => {
                sum.open = true;
                found
            }
            Err(_) => None,
        };
        if let Some(between) = between {
            *most = between.changed.len() - 1;
            best = Some(pitches(passage, &between.path));
        }
        if !sum.open || sum.at_least > *most {
            return best;
        }
        // Perhaps no line reaches the sum at all with so few changes: that is sooner known.
        let limits = NearestLimits {
            most_changes: *most,
            most_steps: 4 * MOST_STEPS,
        };
        match sum.near.reaching(sum.target, limits) {
            Ok(near) => sum.at_least = near.changed.len(),
            Err(NotNear::StepsSpent { at_least, .. }) => sum.at_least = sum.at_least.max(at_least),
            Err(_) => sum.open = false,
        }
        best
    }

    pub fn passes(&self, notes: &[Pitch]) -> bool {
        self.got(notes) >= self.mark.pass()
    }

    /// The marks that a line would get, in thousandths of a mark.
    fn got(&self, notes: &[Pitch]) -> i64 {
        let line = self.line;
        let findings = self.hearing.findings(&line.style, &line.plan, notes);
        let faults = faults(&line.book, self.scheme, &line.plan, &findings);
        let got = self.scheme.criteria().map(|(criterion, total)| {
            let faults = faults.get(&criterion).into_iter().flatten();
            let cost = faults.map(|fault| fault.cost).sum();
            self.scheme.got(total, cost)
        });
        got.sum()
    }
}

/// The first bars of the pairs that lack a device.
fn bare_pairs(mark: &Mark) -> impl Iterator<Item = usize> {
    mark.faults().filter_map(|fault| match fault {
        Fault {
            what: Wrong::NoDevice,
            place: Place::Bar(bar),
            ..
        } => Some(*bar),
        _ => None,
    })
}
