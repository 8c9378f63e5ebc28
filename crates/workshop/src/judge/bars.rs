//! Whole bars: their cells, how they begin, and how they cadence.

use std::collections::BTreeSet;
use std::ops::Range;

use linewright_rulebook::plan::Cadence;
use linewright_theory::Member;

use super::Judge;

impl Judge<'_> {
    /// Signs of the notes of a bar: degrees 1 to 7, and 0 for a chromatic note.
    pub(super) fn cell(&self, slots: Range<usize>) -> Vec<u8> {
        slots
            .map(|at| self.standings[at].sign(self.notes[at].class().get()))
            .collect()
    }

    /// The notes of a bar that are heard together: a bar of five or six is three and the rest,
    /// one of seven four and three.
    pub(super) fn first_part(&self, bar: usize) -> Range<usize> {
        let row = self.row(bar);
        let first = match row.len() {
            5 | 6 => 3,
            long => long.min(4),
        };
        row.start..row.start + first
    }

    /// Whether a bar of four notes (the first four of seven) has two different ones at most.
    pub(super) fn is_thin(&self, bar: usize) -> bool {
        let row = self.first_part(bar);
        if row.len() != 4 {
            return false;
        }
        let cell = self.cell(row.clone());
        // The same degree of another chord is another note.
        let mut chord = 0;
        let mut different = BTreeSet::new();
        for (nth, degree) in cell.into_iter().enumerate() {
            if nth > 0 && self.is_new_chord(row.start + nth) {
                chord += 1;
            }
            different.insert((chord, degree));
        }
        different.len() <= 2
    }

    /// Whether a bar begins like the bar before it, and then whether the root is the same (in a
    /// bar of two: whether both notes are).
    pub(super) fn begins_like_the_bar_before(&self, bar: usize) -> Option<bool> {
        let before = self.row(bar.checked_sub(1)?);
        let now = self.row(bar);
        if before.len() != now.len() || now.len() < 2 {
            return None;
        }
        if now.len() == 2 {
            return (self.notes[before] == self.notes[now]).then_some(true);
        }
        let count = if now.len() == 4 { 3 } else { 2 };
        let alike = (0..count).all(|n| self.offset(before.start + n) == self.offset(now.start + n));
        let root = |at: usize| self.slot(at).ground.chord.root.class();
        alike.then(|| root(before.start) == root(now.start))
    }

    /// Whether a bar has the notes of the bar before: the degrees of all of them, or in a bar of
    /// two the very same.
    pub fn is_like_the_bar_before(&self, bar: usize) -> bool {
        let Some(before) = bar.checked_sub(1).map(|before| self.row(before)) else {
            return false;
        };
        let now = self.row(bar);
        match (before.len(), now.len()) {
            (2, 2) => self.notes[before] == self.notes[now],
            (one, other) if one != other || other < 2 => false,
            _ => before
                .zip(now)
                .all(|(a, b)| self.offset(a) == self.offset(b)),
        }
    }

    /// Semitones of a note above the root of its chord.
    fn offset(&self, at: usize) -> u8 {
        self.notes[at]
            .class()
            .above(self.slot(at).ground.chord.root.class())
    }

    /// Whether a bar cadences in the way that the plan asks for; `None` where it asks for none.
    pub fn keeps_cadence(&self, bar: usize) -> Option<bool> {
        let row = self.row(bar);
        if row.is_empty() {
            return None;
        }
        let (first, last) = (row.start, row.end - 1);
        Some(match self.plan.bars[bar].cadence? {
            Cadence::BeatOne => {
                let approached =
                    first > 0 && (self.steps_into(first) || [-7, 5].contains(&self.into(first)));
                approached && self.member(first) == Member::Root
            }
            Cadence::OwnRoot => self.closes(bar),
            Cadence::NextRoot => self.is_root_of_next(last),
        })
    }

    /// Whether a bar outlines its last chord in other tones, then closes on its root.
    pub(super) fn closes(&self, bar: usize) -> bool {
        let row = self.row(bar);
        let last = row.end - 1;
        let changes = (row.start + 1..row.end)
            .rev()
            .find(|&at| self.is_new_chord(at));
        let before: Vec<Member> = (changes.unwrap_or(row.start)..last)
            .map(|at| self.member(at))
            .collect();
        let outline: BTreeSet<Member> = before
            .iter()
            .copied()
            .filter(|m| matches!(m, Member::Third | Member::Fifth | Member::Seventh))
            .collect();
        self.member(last) == Member::Root
            && !before.contains(&Member::Root)
            && outline.len() >= 2
            && outline.iter().any(|member| *member != Member::Fifth)
    }
}
