//! Every note in words: its part in the harmony, its functions, and where it moves.

use linewright_compose::Line;

use super::super::paint::Paint;
use super::super::table::table;
use crate::wording::study::{functions_in_words, move_onward, part_in_harmony};

const HEADS: [&str; 5] = ["place", "note", "harmony", "functions", "moves"];

/// One row for each note in the bars that are shown.
pub(super) fn notes(line: &Line, shown: &[usize], paint: Paint) -> String {
    let slots = shown
        .iter()
        .flat_map(|&bar| line.plan.bars[bar].slots.clone());
    let rows: Vec<Vec<String>> = slots.map(|at| row(line, at)).collect();
    table(&HEADS, &rows, paint)
}

fn row(line: &Line, at: usize) -> Vec<String> {
    let (slot, note) = (&line.plan.slots[at], &line.reading.notes[at]);
    vec![
        format!("{}.{}", line.timeline.bar_number(slot.bar), slot.beat + 1),
        note.note.to_string(),
        part_in_harmony(slot, note),
        functions_in_words(line, note).join(", "),
        move_onward(line, at),
    ]
}
