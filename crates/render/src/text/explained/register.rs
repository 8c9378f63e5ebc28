//! Where the line lies, bar by bar, as a picture: one sign for each half step from the lowest
//! to the highest note of the line.

use linewright_compose::Line;
use linewright_theory::Pitch;

use super::super::paint::{Paint, Part};
use linewright_theory::pitch_name;

/// Most half steps that a picture shows.
const WIDEST: usize = 60;

/// One row for each bar with notes that is shown: `▪` a note, `·` what lies between.
pub(super) fn register(line: &Line, shown: &[usize], paint: Paint) -> String {
    let pitches = |bar: usize| -> Vec<Pitch> {
        let slots = line.plan.bars[bar].slots.clone();
        slots.map(|at| line.reading.notes[at].pitch).collect()
    };
    let all: Vec<Pitch> = shown.iter().flat_map(|&bar| pitches(bar)).collect();
    let Some((low, high)) = all.iter().min().zip(all.iter().max()) else {
        return String::new();
    };
    let width = (usize::from(high.midi() - low.midi()) + 1).min(WIDEST);
    let mut text = String::new();
    for &bar in shown {
        let notes = pitches(bar);
        let Some((least, most)) = notes.iter().min().zip(notes.iter().max()) else {
            continue;
        };
        let column = |pitch: &Pitch| usize::from(pitch.midi() - low.midi()).min(width - 1);
        let mut row = vec![' '; width];
        row[column(least)..=column(most)].fill('·');
        for note in &notes {
            row[column(note)] = '▪';
        }
        let key = line.timeline.bars[bar].key;
        let range = format!("{}–{}", pitch_name(*least, key), pitch_name(*most, key));
        let moves = if line.plan.bars[bar].shift {
            "  moves here"
        } else {
            ""
        };
        let row: String = row.into_iter().collect();
        let number = line.timeline.bar_number(bar);
        let row = format!("{number:>4}  {range:<9}  {row}{moves}");
        text.push_str(&paint.paint(Part::Plain, row.trim_end()));
        text.push('\n');
    }
    text
}
