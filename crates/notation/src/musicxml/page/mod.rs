//! A score as a page shows it: every note a single note head, every measure full.

mod beam;
mod clean;
mod metre;
mod piece;
mod rest;
mod tuplet;
mod value;

pub(crate) use beam::{Beam, beams};
pub(crate) use clean::{clean_some, clean_symbol};
pub(crate) use metre::Metre;
pub(crate) use piece::{Piece, pieces};
pub(crate) use value::Value;

use linewright_diagnostic::clean::one_line;
use linewright_theory::{Chord, Key, Note};

use crate::{Event, Measure, QUARTER, Score, Symbol, SymbolAt, Ticks, TimeSignature, writable};

/// The longest measure of a file: no metre makes a longer one.
pub(crate) const LONGEST: Ticks = 1024 * QUARTER;

/// The most passes that an ending can name.
pub(crate) const MOST_PASSES: usize = 32;

/// The most rows under a note.
pub(crate) const MOST_ROWS: usize = 8;

/// The measures of a page with what stands in them, in order.
pub(crate) struct Page {
    /// The score with everything but its events as the page has it.
    pub score: Score,
    /// For each measure its notes and rests.
    pub pieces: Vec<Vec<Piece>>,
    /// For each measure its metre and how much of it is missing at its beginning.
    pub metres: Vec<(Metre, u32)>,
}

/// The score as a page shows it, which is what reading the file gives back:
///
/// - gaps are filled with rests, and a measure without notes has one rest;
/// - a length that no note head has is split into tied ones;
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
    for (measure, pieces) in written.measures.iter_mut().zip(&page.pieces) {
        measure.events = pieces.iter().map(Piece::event).collect();
    }
    written
}

impl Page {
    /// Lays a score out.
    pub(crate) fn of(score: &Score) -> Self {
        let mut page = Self {
            score: Score {
                title: clean_some(score.title.as_deref()),
                feel: clean_some(score.feel.as_deref()),
                about: score.about.iter().filter_map(fact).collect(),
                measures: Vec::new(),
            },
            pieces: Vec::new(),
            metres: Vec::new(),
        };
        let mut time = TimeSignature { beats: 4, unit: 4 };
        let silence = [Measure::new(0)];
        let measures = match &score.measures[..] {
            [] => &silence,
            measures => measures,
        };
        for (place, measure) in measures.iter().enumerate() {
            let mut written = Measure {
                events: Vec::new(),
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
            let metre = Metre::of(time);
            let missing = if written.pickup { missing } else { 0 };
            page.pieces
                .push(pieces(&measure.events, written.ticks, &metre, missing));
            page.metres.push((metre, missing));
            page.score.measures.push(written);
        }
        tie(&mut page.pieces);
        page
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

/// Keeps the ties that lead to a note of the same pitch, and tells those notes.
fn tie(measures: &mut [Vec<Piece>]) {
    let mut all: Vec<&mut Piece> = measures.iter_mut().flatten().collect();
    for place in 0..all.len() {
        let here = (all[place].note, all[place].ghost);
        let holds = all[place].tied
            && all
                .get(place + 1)
                .is_some_and(|next| is_held(here, (next.note, next.ghost)));
        all[place].tied = holds;
        if holds {
            all[place + 1].held = true;
        }
    }
}

/// Whether a note can be held on into another: it sounds the same.
pub(crate) fn is_held(from: (Option<Note>, bool), to: (Option<Note>, bool)) -> bool {
    match (from, to) {
        ((Some(from), ghost), (Some(to), other)) => from.semitones_to(to) == 0 && ghost == other,
        _ => false,
    }
}

/// The note as a file can write it.
fn writable(note: Note) -> Note {
    writable::note(note, -1..=8)
}

/// The rows under an event that say something.
pub(crate) fn rows(event: &Event) -> Vec<String> {
    let rows = event.under.iter().take(MOST_ROWS);
    let mut rows: Vec<String> = rows.map(|row| one_line(row)).collect();
    while rows.last().is_some_and(String::is_empty) {
        rows.pop();
    }
    rows
}
