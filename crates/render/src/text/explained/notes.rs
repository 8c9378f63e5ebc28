//! Every note in words: its part in the harmony, its functions, and where it moves.

use linewright_compose::{Line, Sound};

use super::super::paint::Paint;
use super::super::table::table;
use crate::wording::sounding::{Told, beat_in_numbers};

const HEADS: [&str; 5] = ["place", "note", "harmony", "functions", "moves"];

/// One row for each note in the bars that are shown, those between the beats too.
pub(super) fn notes(line: &Line, shown: &[usize], paint: Paint) -> String {
    let sounds = line.sounds();
    let shown = |nth: &usize| shown.contains(&sounds[*nth].bar);
    let rows = (0..sounds.len())
        .filter(shown)
        .map(|nth| row(line, &sounds, nth));
    table(&HEADS, &rows.collect::<Vec<_>>(), paint)
}

fn row(line: &Line, sounds: &[Sound], nth: usize) -> Vec<String> {
    let sound = &sounds[nth];
    let bar = line.timeline.bar_number(sound.bar);
    let place = format!("{bar}.{}", beat_in_numbers(sound.at));
    let told = Told::of(line, sounds, nth);
    vec![
        place,
        sound.note.to_string(),
        told.harmony,
        told.does.join(", "),
        told.moves,
    ]
}
