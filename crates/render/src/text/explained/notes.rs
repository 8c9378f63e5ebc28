//! Every note in words: its part in the harmony, its functions, and where it moves.

use linewright_rules::{Family, Function, Line};

use super::super::paint::Paint;
use super::super::table::table;
use crate::wording;
use crate::wording::study::{move_by, part_in_harmony};

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
    // What a note is to its chord stands in the column before.
    let is_tone = |function: &&Function| line.book.entry(function.rule).rule.family == Family::Tone;
    let named = note.functions.iter().filter(|function| !is_tone(function));
    let functions: Vec<String> = named.map(wording::long_function).collect();
    let moves = line
        .reading
        .notes
        .get(at + 1)
        .map_or("ends the line".to_owned(), |next| {
            let semitones = i32::from(next.pitch.midi()) - i32::from(note.pitch.midi());
            format!("{} to {}", move_by(semitones), next.note)
        });
    vec![
        format!("{}.{}", line.timeline.bar_number(slot.bar), slot.beat + 1),
        note.note.to_string(),
        part_in_harmony(slot, note),
        functions.join(", "),
        moves,
    ]
}
