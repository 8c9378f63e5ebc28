//! A score as a file shows it: what cannot stand in one is left out, and every note is a single
//! note head.

mod clean;

pub(crate) use clean::{clean_some, clean_symbol};

use linewright_diagnostic::clean::one_line;
use linewright_theory::{Chord, Key};

use crate::written::{self, LONGEST, WrittenMeasure};
use crate::{Event, Measure, Score, Symbol, SymbolAt, TimeSignature, writable};

/// The most passes that an ending can name.
pub(crate) const MOST_PASSES: usize = 32;

/// The most rows under a note.
pub(crate) const MOST_ROWS: usize = 8;

/// A score that can stand in a file, and how it is written.
pub(crate) struct Page {
    /// The score with everything as the file has it, but for the values of its events.
    pub score: Score,
    /// For each measure its notes and rests.
    pub measures: Vec<WrittenMeasure>,
}

/// The score as a page shows it, which is what reading the file gives back:
///
/// - gaps are filled with rests, and a measure without notes has one rest;
/// - a length that no note head has, or that would hide the middle of a measure, is split into
///   tied ones, as [`written::measures`] says;
/// - ties that lead to no note of the same pitch, ghosts that are rests, and empty rows under
///   notes are gone;
/// - a score without measures has a silent one;
/// - texts are single lines without blanks around them, and empty ones are gone;
/// - the first measure has a time signature, and is a pick-up if it is shorter than that; no
///   other is;
/// - events and symbols are in order and within their measures;
/// - what lies beyond 1024 quarter notes of a measure is gone;
/// - notes outside the octaves of a file (-1 to 8 as they sound) are moved into them;
/// - of rows under a note eight are kept, of passes of an ending 32, and of an unread symbol of
///   more than 200 characters the first 40.
///
/// A score that keeps to all this is given back as it is.
pub fn as_written(score: &Score) -> Score {
    let page = Page::of(score);
    let mut written = page.score;
    for (measure, page) in written.measures.iter_mut().zip(&page.measures) {
        let events = page.notes.iter().map(|note| note.event(&measure.events));
        measure.events = events.collect();
    }
    written
}

impl Page {
    /// Lays a score out.
    pub(crate) fn of(score: &Score) -> Self {
        let mut page = Score {
            title: clean_some(score.title.as_deref()),
            composer: clean_some(score.composer.as_deref()),
            student: clean_some(score.student.as_deref()),
            feel: clean_some(score.feel.as_deref()),
            about: score.about.iter().filter_map(fact).collect(),
            measures: Vec::new(),
            ..Score::default()
        };
        let mut time = TimeSignature { beats: 4, unit: 4 };
        let silence = [Measure::new(0)];
        let measures = match &score.measures[..] {
            [] => &silence,
            measures => measures,
        };
        for (place, measure) in measures.iter().enumerate() {
            let mut written = Measure {
                events: measure.events.iter().map(clean_event).collect(),
                symbols: Vec::new(),
                ..measure.clone()
            };
            written.time = measure.time.filter(|time| is_sane(*time));
            if place == 0 {
                written.time = written.time.or(Some(time));
            }
            time = written.time.unwrap_or(time);
            if written.ticks == 0 {
                written.ticks = time.ticks();
            }
            written.ticks = written.ticks.min(LONGEST);
            let missing = time.ticks().saturating_sub(written.ticks);
            written.pickup = place == 0 && (written.pickup || missing > 0);
            written.key = measure
                .key
                .filter(|key| Key::new(key.tonic, key.mode).is_some());
            written.tempo = measure.tempo.filter(|&tempo| tempo > 0);
            written.section = clean_some(measure.section.as_deref());
            written.ending.retain(|&pass| pass > 0);
            written.ending.truncate(MOST_PASSES);
            written.symbols = symbols(measure, written.ticks);
            page.measures.push(written);
        }
        Self {
            measures: written::measures(&page),
            score: page,
        }
    }
}

fn is_sane(time: TimeSignature) -> bool {
    time.beats > 0 && time.unit.is_power_of_two() && time.unit <= 64
}

fn fact((name, value): &(String, String)) -> Option<(String, String)> {
    let name = one_line(name);
    (!name.is_empty()).then(|| (name, one_line(value)))
}

/// The symbols in order and within the measure.
fn symbols(measure: &Measure, ticks: u32) -> Vec<SymbolAt> {
    let mut symbols: Vec<SymbolAt> = measure
        .symbols
        .iter()
        .filter_map(|symbol| {
            Some(SymbolAt {
                at: symbol.at.min(ticks - 1),
                symbol: match &symbol.symbol {
                    Symbol::Unread(text) => Symbol::Unread(clean_symbol(text)?),
                    Symbol::Chord(chord) => Symbol::Chord(named(chord)),
                    Symbol::NoChord => Symbol::NoChord,
                },
            })
        })
        .collect();
    symbols.sort_by_key(|symbol| symbol.at);
    symbols
}

/// The chord with names that can be written.
fn named(chord: &Chord) -> Chord {
    let mut chord = *chord;
    chord.root = writable::name(chord.root);
    chord.bass = chord.bass.map(writable::name);
    chord
}

/// The event with a note that a file can write, and with the rows that say something.
fn clean_event(event: &Event) -> Event {
    let rows = event.under.iter().take(MOST_ROWS);
    let mut under: Vec<String> = rows.map(|row| one_line(row)).collect();
    while under.last().is_some_and(String::is_empty) {
        under.pop();
    }
    Event {
        note: event.note.map(|note| writable::note(note, -1..=8)),
        under,
        ..*event
    }
}
