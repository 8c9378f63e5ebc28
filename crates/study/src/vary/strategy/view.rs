//! What a strategy sees of a passage.

use std::ops::Range;

use linewright_compose::Line;
use linewright_rulebook::clarity_of;
use linewright_rulebook::plan::{Ground, Plan, Slot};
use linewright_theory::Pitch;

use crate::study::pitches;

/// A passage, as a strategy sees it.
pub struct View<'a> {
    /// The line.
    pub line: &'a Line,
    /// The bars of the passage, as indices in the timeline.
    pub bars: Range<usize>,
    /// The slots of the passage's notes.
    pub slots: Vec<Slot>,
    /// The notes of each bar of the passage, counted from the passage's first.
    pub rows: Vec<Range<usize>>,
    /// The line's own notes in the passage.
    pub played: Vec<Pitch>,
    /// The note after the passage.
    pub after: Option<Pitch>,
}

impl<'a> View<'a> {
    /// A passage of a line.
    pub(crate) fn new(line: &'a Line, bars: &Range<usize>) -> Self {
        let plan = &line.plan;
        let rows: Vec<Range<usize>> = plan.bars[bars.clone()]
            .iter()
            .map(|bar| bar.slots.clone())
            .collect();
        let start = rows.first().map_or(0, |row| row.start);
        let end = rows.last().map_or(start, |row| row.end);
        let all = pitches(line);
        Self {
            line,
            bars: bars.clone(),
            slots: plan.slots[start..end].to_vec(),
            rows: rows
                .iter()
                .map(|row| row.start - start..row.end - start)
                .collect(),
            played: all[start..end].to_vec(),
            after: all.get(end).copied(),
        }
    }

    /// The passage with the slots of another plan: `inside` are its slots there.
    pub(crate) fn of(
        plan: &Plan,
        inside: &Range<usize>,
        given: &[Option<Pitch>],
        line: &'a Line,
        bars: &Range<usize>,
    ) -> Self {
        Self {
            slots: plan.slots[inside.clone()].to_vec(),
            after: given.get(inside.end).copied().flatten(),
            ..Self::new(line, bars)
        }
    }

    /// The two bars of the passage, where it is two bars of one chord with as many notes each,
    /// two at least.
    pub fn two_bars_of_one_chord(&self) -> Option<[Range<usize>; 2]> {
        let [first, second] = self.rows.as_slice() else {
            return None;
        };
        let chord = |slot: &Slot| slot.ground.chord;
        let one = self
            .slots
            .iter()
            .all(|slot| chord(slot) == chord(&self.slots[0]));
        let even = first.len() == second.len() && first.len() >= 2;
        (one && even).then(|| [first.clone(), second.clone()])
    }

    /// The harmony of the passage's first note.
    pub fn ground(&self) -> &Ground {
        &self.slots[0].ground
    }

    /// How surely the notes of a bar of the passage name their chord, where all are there.
    pub fn clarity(&self, row: &Range<usize>, notes: &[Pitch]) -> Option<i32> {
        let notes = notes.get(row.clone())?;
        Some(clarity_of(&self.slots[row.clone()], notes))
    }

    /// Semitones from one note of the passage to the next.
    pub fn moves<'n>(&self, notes: &'n [Pitch]) -> impl Iterator<Item = i32> + 'n {
        notes
            .windows(2)
            .map(|pair| i32::from(pair[1].midi()) - i32::from(pair[0].midi()))
    }
}
