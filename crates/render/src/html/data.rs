//! What the scripts of the page know of the line.

use linewright_chart::Harmony;
use linewright_compose::Line;
use linewright_notation::midi::TICKS_PER_QUARTER;
use serde::Serialize;

use crate::fingers::Fingered;
use crate::playback;
use crate::score::Under;
use crate::wording::sounding::{Told, beat_in_numbers};

/// One or more lines, one after the other. Times are ticks of playback from the beginning.
#[derive(Debug, Serialize)]
pub(super) struct Data {
    /// Ticks of a quarter note.
    pub quarter: u32,
    /// Where everything ends.
    pub end: u32,
    pub bars: Vec<Bar>,
    /// Chord symbols where they change.
    pub chords: Vec<Symbol>,
    pub notes: Vec<Note>,
}

#[derive(Debug, Serialize)]
pub(super) struct Bar {
    /// As it is counted on the staff.
    pub number: usize,
    /// What it is called: `bar 3`.
    pub label: String,
    pub at: u32,
    pub beats: u8,
    /// The beats of a full bar of its metre, to count in.
    pub count: u8,
    /// In quarter notes a minute.
    pub tempo: u16,
}

#[derive(Debug, Serialize)]
pub(super) struct Symbol {
    pub at: u32,
    pub symbol: String,
}

#[derive(Debug, Serialize)]
pub(super) struct Note {
    /// Index of its bar, which is its measure on the staff.
    pub bar: usize,
    /// Its place in its measure on the staff.
    pub tick: u32,
    /// Its beat, from 1, with the part of it where it begins between beats: `2½`.
    pub beat: String,
    pub at: u32,
    /// How long it sounds.
    pub length: u32,
    pub midi: u8,
    pub velocity: u8,
    pub name: String,
    pub degree: String,
    /// What it is to its chord.
    pub harmony: String,
    /// Its functions, in words.
    pub does: Vec<String>,
    /// Where it moves.
    pub moves: String,
    /// Finger, string and position, where fingerings are shown.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hand: Option<String>,
}

impl Data {
    /// The lines, with a bar of rest between them where there is one in the score.
    pub fn of(lines: &[&Line], rests_between: bool, under: &[Under]) -> Self {
        let mut writer = Writer::default();
        for (nth, line) in lines.iter().enumerate() {
            if rests_between && nth > 0 {
                writer.rest();
            }
            let name = (lines.len() > 1).then(|| format!("line {}, ", nth + 1));
            writer.line(line, &name.unwrap_or_default(), under);
        }
        let sounds = playback::part(lines, rests_between).notes;
        for (note, sound) in writer.notes.iter_mut().zip(sounds) {
            (note.at, note.length) = (sound.start, sound.length);
            note.velocity = sound.velocity;
        }
        Self {
            quarter: TICKS_PER_QUARTER,
            end: writer.end,
            bars: writer.bars,
            chords: writer.chords,
            notes: writer.notes,
        }
    }

    pub fn json(&self) -> String {
        // A structure of numbers and texts has no reason to fail.
        serde_json::to_string(self).unwrap_or_default()
    }
}

#[derive(Default)]
struct Writer {
    end: u32,
    number: usize,
    bars: Vec<Bar>,
    chords: Vec<Symbol>,
    notes: Vec<Note>,
}

impl Writer {
    /// A bar of rest like the bar before.
    fn rest(&mut self) {
        let Some(last) = self.bars.last() else { return };
        let (beats, count, tempo) = (last.beats, last.count, last.tempo);
        self.number += 1;
        self.bars.push(Bar {
            number: self.number,
            label: "rest".to_owned(),
            at: self.end,
            beats,
            count,
            tempo,
        });
        self.chord(self.end, String::new());
        self.end += ticks(beats);
    }

    fn line(&mut self, line: &Line, name: &str, under: &[Under]) {
        let from = self.bars.len();
        for bar in &line.timeline.bars {
            self.number += usize::from(!bar.pickup);
            let own = line.timeline.bar_number(self.bars.len() - from);
            let label = if bar.pickup {
                format!("{name}pick-up")
            } else {
                format!("{name}bar {own}")
            };
            self.bars.push(Bar {
                number: self.number,
                label,
                at: self.end,
                beats: bar.beats,
                count: bar.metre.beats,
                tempo: bar.beats_a_minute(),
            });
            for span in &bar.spans {
                let symbol = match span.harmony {
                    Harmony::Chord(chord) => chord.to_string(),
                    Harmony::NoChord => "N.C.".to_owned(),
                };
                self.chord(self.end + ticks(span.start), symbol);
            }
            self.end += ticks(bar.beats);
        }
        let fingered = under.iter().find_map(|under| match under {
            Under::Fingering(fingers) => Some(Fingered::new(line, *fingers)),
            _ => None,
        });
        let sounds = line.sounds();
        for (nth, sound) in sounds.iter().enumerate() {
            let told = Told::of(line, &sounds, nth);
            self.notes.push(Note {
                bar: from + sound.bar,
                tick: sound.at,
                beat: beat_in_numbers(sound.at),
                at: 0,
                length: 0,
                midi: sound.pitch.midi(),
                velocity: 0,
                name: sound.note.to_string(),
                degree: told.degree,
                harmony: told.harmony,
                does: told.does,
                moves: told.moves,
                hand: fingered.as_ref().map(|fingered| fingered.in_words(nth)),
            });
        }
    }

    fn chord(&mut self, at: u32, symbol: String) {
        if self.chords.last().is_none_or(|last| last.symbol != symbol) {
            self.chords.push(Symbol { at, symbol });
        }
    }
}

/// Ticks of so many beats.
fn ticks(beats: u8) -> u32 {
    u32::from(beats) * TICKS_PER_QUARTER
}
