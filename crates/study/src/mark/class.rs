//! The marks of many lines, a row for each.

use linewright_compose::Line;
use linewright_theory::{Key, Note, Pitch};

use super::{Fix, Mark, Marked, Means, Mend, bar_and_beat};

/// The marks of many lines.
#[derive(Clone, Debug, Default)]
pub struct Class {
    /// The lines, in the order of the table.
    pub entries: Vec<Entry>,
}

/// One line of a class.
#[derive(Clone, Debug)]
pub struct Entry {
    /// The name of its file.
    pub file: String,
    /// Its number in the file, from 1, where the file holds several.
    pub line: Option<usize>,
    /// Who wrote it, where the file says so.
    pub student: Option<String>,
    /// Its title, where the file has one.
    pub title: Option<String>,
    /// Its marks, or in a few words why it has none.
    pub outcome: Result<Assessed, String>,
}

/// A line with its marks, without the line: what a table of many can hold.
#[derive(Clone, Debug)]
pub struct Assessed {
    /// The marks.
    pub mark: Mark,
    /// The title of the tune that it was marked over.
    pub title: String,
    /// The style that it was marked in.
    pub style: String,
    /// The bars that should have notes and have none, by their numbers.
    pub silent: Vec<usize>,
    /// For each fault, in the order of the mark's, where it is and what mends it.
    pub faults: Vec<Located>,
    /// The fewest changes that pass, where some were looked for and found.
    pub fix: Option<Vec<Change>>,
    /// What was read otherwise than written, in sentences.
    pub remarks: Vec<String>,
}

/// Where a fault is as people count, and what mends it.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Located {
    /// The number of its bar.
    pub bar: usize,
    /// Its beat, from 1; `None` where it is the bar as a whole.
    pub beat: Option<u8>,
    /// The one change that mends it, where there is one and it was looked for.
    pub mend: Option<Change>,
}

/// One changed note, as people count.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// The number of its bar.
    pub bar: usize,
    /// Its beat, from 1.
    pub beat: u8,
    /// The note that stands there.
    pub from: Note,
    /// What to play instead.
    pub to: Pitch,
    /// The key in force, by which that is named.
    pub key: Key,
}

impl Change {
    /// A change of a line.
    pub fn of(line: &Line, mend: &Mend) -> Self {
        let slot = &line.plan.slots[mend.slot];
        Self {
            bar: line.timeline.bar_number(slot.bar),
            beat: slot.beat + 1,
            from: line.reading.notes[mend.slot].note,
            to: mend.pitch,
            key: line.timeline.bars[slot.bar].key,
        }
    }
}

impl Assessed {
    /// What a table needs of a marked line.
    pub fn of(marked: &Marked) -> Self {
        let line = &marked.study.line;
        let change = |mend: &Mend| Change::of(line, mend);
        let faults = marked.mark.faults().map(|fault| {
            let (bar, beat) = bar_and_beat(line, fault.place);
            let mend = marked.mend_of(fault).as_ref().map(change);
            Located { bar, beat, mend }
        });
        let silent = marked.study.silent.iter();
        let remarks = marked.study.remarks.iter();
        Self {
            mark: marked.mark.clone(),
            title: line.timeline.title.clone(),
            style: line.style.name.clone(),
            silent: silent.map(|&bar| line.timeline.bar_number(bar)).collect(),
            faults: faults.collect(),
            fix: match &marked.fix {
                Some(Fix::Changes(changes) | Fix::AtMost(changes)) => {
                    Some(changes.iter().map(change).collect())
                }
                _ => None,
            },
            remarks: remarks.map(ToString::to_string).collect(),
        }
    }
}

impl Class {
    /// The marks in the mean; `None` where there are none.
    pub fn means(&self) -> Option<Means> {
        Means::of(self.marked().map(|assessed| &assessed.mark))
    }

    /// The lines that have marks.
    pub fn marked(&self) -> impl Iterator<Item = &Assessed> {
        self.entries
            .iter()
            .filter_map(|entry| entry.outcome.as_ref().ok())
    }
}
