//! What the sum says too much of the devices in pairs of bars.

use linewright_compose::Line;
use linewright_rulebook::{Evaluator, Look, Place};
use linewright_theory::Pitch;

use crate::mark::{Fault, Mark, Scheme, Wrong, bar_of_device};

/// The pairs of bars that ask for a device.
pub(super) struct Devices<'a> {
    line: &'a Line,
    price: i64,
    /// The rules that find devices.
    evaluator: Evaluator,
    pairs: Vec<Pair>,
}

struct Pair {
    bars: [usize; 2],
    /// Whether it lacks a device now: then the sum counts all that are found in it, each as if it
    /// were the only one; else it counts as if one were there.
    is_bare: bool,
    /// The first slot that devices in it hang on, and the last.
    first: usize,
    last: usize,
}

impl<'a> Devices<'a> {
    pub fn new(line: &'a Line, scheme: &Scheme, mark: &Mark) -> Self {
        let bare: Vec<usize> = bare_pairs(mark).collect();
        let (bars, slots) = (&line.plan.bars, line.plan.slots.len());
        let entries = line.book.entries().iter();
        let mut devices = entries.filter(|entry| scheme.is_device(entry.id));
        let echoes = devices.any(|entry| matches!(entry.rule.look, Look::Echo(_)));
        let pair = |pair: &[usize; 2]| {
            let before = bars[pair[0].saturating_sub(1)].slots.start;
            let two_before = bars[pair[0]].slots.start.saturating_sub(2);
            Pair {
                bars: *pair,
                is_bare: bare.contains(&pair[0]),
                first: if echoes {
                    before.min(two_before)
                } else {
                    two_before
                },
                // An approach leads on to the next note.
                last: bars[pair[1]].slots.end.min(slots - 1),
            }
        };
        let pairs = scheme.pairs().iter().map(pair);
        Devices {
            line,
            price: scheme.pair_price(),
            evaluator: Evaluator::of_some(&line.book, |rule| scheme.is_device(rule)),
            pairs: pairs.collect(),
        }
    }

    /// Whether the note of a slot is the last that devices of some pair hang on.
    pub fn end_at(&self, slot: usize) -> bool {
        self.pairs.iter().any(|pair| pair.last == slot)
    }

    /// The first slot on which devices of the pairs can hang that do not end within so many notes.
    pub fn hang_on(&self, length: usize) -> usize {
        let ahead = self.pairs.iter().filter(|pair| pair.last >= length);
        ahead.map(|pair| pair.first).min().unwrap_or(length)
    }

    /// What the sum gives, in thousandths of a mark, for devices of the pairs that end at a slot
    /// beyond what they are worth: of a line, of which only the notes up to there matter.
    pub fn overstated(&self, notes: &[Pitch], slot: usize) -> i64 {
        let pairs = self.pairs.iter().filter(|pair| pair.last == slot);
        let counts = pairs.map(|pair| match (pair.is_bare, self.count(notes, pair.bars)) {
            (true, count) => count.saturating_sub(1) as i64,
            (false, count) => i64::from(count == 0),
        });
        counts.sum::<i64>() * self.price
    }

    /// How many devices are in a pair of bars.
    fn count(&self, notes: &[Pitch], bars: [usize; 2]) -> usize {
        let Line {
            book, style, plan, ..
        } = self.line;
        let found = self.evaluator.findings_in(style, plan, notes, bars);
        let bar = found
            .iter()
            .map(|finding| bar_of_device(book.entry(finding.rule).rule, plan, finding.place));
        bar.filter(|bar| bars.contains(bar)).count()
    }
}

/// The first bars of the pairs that lack a device.
pub(super) fn bare_pairs(mark: &Mark) -> impl Iterator<Item = usize> {
    mark.faults().filter_map(|fault| match fault {
        Fault {
            what: Wrong::NoDevice,
            place: Place::Bar(bar),
            ..
        } => Some(*bar),
        _ => None,
    })
}
