//! How far lines lie from what professional players play.
//!
//! A line is cut into [`Run`]s: bars of four with a note on every beat. [`figures`] counts in them
//! what was counted in players' lines, and holds it against those; [`Counts::divergences`]
//! say how differently they go on the whole. Nothing here knows the rules or their weights. The
//! source of the figures stands beside them.

mod aspects;
mod counts;
mod excerpts;
mod figures;
#[cfg(test)]
mod tests;

pub use aspects::{ASPECTS, Aspect};
pub use counts::{Counts, Figure};
pub use excerpts::{Excerpt, FOLDER, excerpts};

use linewright_chart::{Metre, Timeline};
use linewright_compose::Line;
use linewright_theory::{Chord, PitchClass};

/// A note of a run, with its chord.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Note {
    /// Index of its bar in the timeline.
    pub bar: usize,
    /// Beat in the bar, from 0.
    pub beat: u8,
    /// The chord that sounds.
    pub chord: Chord,
    /// Whether the chord is another one than under the note before; the first of a run is new.
    pub new: bool,
    /// MIDI number.
    pub midi: u8,
}

/// The notes of a bar, one on each beat.
pub type Bar = [Note; 4];

/// Bars on end.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Run {
    /// The bars, in order; each follows the one before.
    pub bars: Vec<Bar>,
}

impl Note {
    /// Semitones above the root of its chord, 0 to 11.
    pub fn degree(&self) -> u8 {
        self.over(&self.chord)
    }

    /// Semitones above the root of a chord (a slash chord's is that before the slash), 0 to 11.
    pub fn over(&self, chord: &Chord) -> u8 {
        PitchClass::new(self.midi % 12).above(chord.root.class())
    }
}

impl Run {
    /// All notes, in order.
    pub fn notes(&self) -> &[Note] {
        self.bars.as_flattened()
    }

    /// The runs of a line over its chart. What is not four notes on four beats of common time,
    /// each over a chord, ends a run. `notes` are (bar of the timeline, beat from 0, MIDI number).
    pub fn all(timeline: &Timeline, notes: &[(usize, u8, u8)]) -> Vec<Run> {
        let mut runs: Vec<Run> = Vec::new();
        for row in notes.chunk_by(|a, b| a.0 == b.0) {
            let Some(mut bar) = bar(timeline, row) else {
                continue;
            };
            let before = runs.last().and_then(|run| run.notes().last()).copied();
            let goes_on = before.filter(|before| before.bar + 1 == bar[0].bar);
            bar[0].new = goes_on.is_none_or(|before| before.chord != bar[0].chord);
            match runs.last_mut() {
                Some(run) if goes_on.is_some() => run.bars.push(bar),
                _ => runs.push(Run { bars: vec![bar] }),
            }
        }
        runs
    }

    /// The runs of a composed line: of its walk.
    pub fn of_line(line: &Line) -> Vec<Run> {
        let notes = line.plan.slots.iter().zip(&line.reading.notes);
        let notes = notes.map(|(slot, note)| (slot.bar, slot.beat, note.pitch.midi()));
        Run::all(&line.timeline, &notes.collect::<Vec<_>>())
    }
}

/// A bar of four with a note on every beat, if it is one. Whether its first chord is new is not
/// known here.
fn bar(timeline: &Timeline, row: &[(usize, u8, u8)]) -> Option<Bar> {
    let played = timeline.bars.get(row.first()?.0)?;
    let in_four = played.metre == Metre::FOUR_FOUR && !played.pickup;
    if !in_four || !row.iter().map(|note| note.1).eq(0..4) {
        return None;
    }
    let chord = |beat: u8| played.harmony_at(beat)?.chord().copied();
    let note = |&(bar, beat, midi)| {
        Some(Note {
            bar,
            beat,
            chord: chord(beat)?,
            new: beat > 0 && chord(beat) != chord(beat - 1),
            midi,
        })
    };
    let notes: Option<Vec<Note>> = row.iter().map(note).collect();
    notes?.try_into().ok()
}

/// What is counted in the runs, each figure beside that of players.
pub fn figures(runs: &[Run]) -> Vec<Figure> {
    Counts::of(runs).figures()
}
