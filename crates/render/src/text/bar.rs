//! One bar, laid out in columns: one for each beat.

use linewright_chart::Harmony;
use linewright_compose::{Line, Role};
use linewright_notation::{Measure, QUARTER, Ticks, line_text};
use linewright_rulebook::rules::{
    approach::EARLY_ROOT, cadence::NEXT_ROOT_CADENCE, tone::CHORD_TONE,
};
use linewright_rulebook::{Between, Family, Function, NoteReading, Rule};
use linewright_theory::Member;

use super::paint::Part;
use crate::bars::cadence;
use crate::wording;

/// The least width of a beat: a note such as `Bb2` or a word of four signs, and a blank.
const LEAST: usize = 5;

/// Most functions under a note.
const FUNCTIONS: usize = 2;

/// A word in a row, at a beat.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Word {
    pub(super) beat: usize,
    pub(super) text: String,
    pub(super) part: Part,
}

/// A bar as rows of words.
pub(super) struct BarCell {
    /// The head: number, role, cadence.
    pub(super) head: Vec<Word>,
    pub(super) chords: Vec<Word>,
    pub(super) notes: Vec<Word>,
    pub(super) degrees: Vec<Word>,
    /// The functions, strongest row first.
    pub(super) functions: Vec<Vec<Word>>,
    /// Whether this is the pick-up.
    pub(super) pickup: bool,
    /// Columns of a beat.
    pub(super) column: usize,
    /// Columns of the bar, after its bar line and a blank.
    pub(super) width: usize,
}

/// The functions that are printed under a note, strongest first: not that it is a chord
/// tone, and what else it is to its chord only where it does nothing more.
pub(crate) fn shown_functions<'a>(
    line: &'a Line,
    note: &'a NoteReading,
) -> impl Iterator<Item = &'a Function> {
    let is_tone = |function: &Function| line.book.entry(function.rule).rule.family == Family::Tone;
    let does_more = note.functions.iter().any(|function| !is_tone(function));
    // A cadence on the next root is always an early root, too.
    let is = |function: &Function, rule: &'static Rule| *function.rule.rule() == *rule;
    let closes = note
        .functions
        .iter()
        .any(|function| is(function, &NEXT_ROOT_CADENCE));
    note.functions
        .iter()
        .filter(move |function| {
            *function.rule.rule() != CHORD_TONE
                && !(does_more && is_tone(function))
                && !(closes && is(function, &EARLY_ROOT))
        })
        .take(FUNCTIONS)
}

/// What a note between the beats does, or one that is pushed over the bar line.
pub(crate) fn between(role: Role) -> Option<Between> {
    match role {
        Role::Between(between) => Some(between),
        Role::Pushed => Some(Between::Anticipation),
        Role::Walk(_) | Role::Held | Role::NoChord | Role::Rest => None,
    }
}

/// What sounds on each beat of a bar, as the text of a line has it.
pub(super) fn signs(line: &Line, bar: usize) -> Vec<String> {
    let mut measure = Measure::new(Ticks::from(line.timeline.bars[bar].beats) * QUARTER);
    let events = line.written[bar]
        .iter()
        .map(|written| written.event.clone());
    measure.events = events.collect();
    let before = bar.checked_sub(1).and_then(|bar| line.written[bar].last());
    let held = before.map(|last| &last.event).filter(|event| event.tied);
    line_text::beats(&measure, QUARTER, held)
}

impl BarCell {
    pub(super) fn new(line: &Line, bar: usize) -> Self {
        let mut cell = Self {
            head: head(line, bar),
            chords: chords(line, bar),
            notes: Vec::new(),
            degrees: Vec::new(),
            functions: Vec::new(),
            pickup: line.timeline.bars[bar].pickup,
            column: LEAST,
            width: 0,
        };
        cell.fill(line, bar);
        cell.measure(usize::from(line.timeline.bars[bar].beats));
        cell
    }

    fn fill(&mut self, line: &Line, bar: usize) {
        let signs = signs(line, bar).into_iter().enumerate();
        self.notes = signs
            .map(|(beat, text)| Word {
                beat,
                part: if text == wording::REST || text == wording::HELD {
                    Part::Frame
                } else {
                    Part::Note
                },
                text,
            })
            .collect();
        for at in line.plan.bars[bar].slots.clone() {
            let (slot, note) = (&line.plan.slots[at], &line.reading.notes[at]);
            let beat = usize::from(slot.beat);
            let part = if note.member == Member::Outside {
                Part::Outside
            } else {
                Part::Degree
            };
            self.degrees.push(Word {
                beat,
                text: note.degree.to_string(),
                part,
            });
            for function in shown_functions(line, note) {
                let part = match line.book.entry(function.rule).rule.family {
                    Family::Cadence => Part::Cadence,
                    Family::Approach => Part::Approach,
                    _ => Part::Function,
                };
                self.function(beat, wording::short_function(function), part);
            }
        }
        for written in &line.written[bar] {
            if let Some(between) = between(written.role) {
                let beat = (written.event.at / QUARTER) as usize;
                self.function(beat, between.short().to_owned(), Part::Function);
            }
        }
        for row in &mut self.functions {
            row.sort_by_key(|word| word.beat);
        }
    }

    /// Puts a word for what a note does into the first row that has room on its beat.
    fn function(&mut self, beat: usize, text: String, part: Part) {
        let taken = |row: &Vec<Word>| row.iter().any(|word| word.beat == beat);
        let rows = &mut self.functions;
        let free = rows
            .iter()
            .position(|row| !taken(row))
            .unwrap_or(rows.len());
        if free == rows.len() {
            rows.push(Vec::new());
        }
        rows[free].push(Word { beat, text, part });
    }

    /// Columns wide enough for every word and a blank after it.
    fn measure(&mut self, beats: usize) {
        let size = |word: &Word| word.text.chars().count() + 1;
        let words = self
            .notes
            .iter()
            .chain(&self.degrees)
            .chain(self.functions.iter().flatten());
        let mut column = words.map(size).max().unwrap_or(0).max(LEAST);
        for (index, chord) in self.chords.iter().enumerate() {
            let until = self.chords.get(index + 1).map_or(beats, |next| next.beat);
            column = column.max(size(chord).div_ceil((until - chord.beat).max(1)));
        }
        self.column = column;
        let head: usize = self.head.iter().map(size).sum();
        self.width = head.max(column * beats);
    }
}

/// Number, role and cadence.
fn head(line: &Line, bar: usize) -> Vec<Word> {
    let plan = &line.plan.bars[bar];
    let mut head = vec![(line.timeline.bar_number(bar).to_string(), Part::Plain)];
    if !plan.slots.is_empty() && !line.timeline.bars[bar].pickup {
        head.push((plan.role.to_string(), Part::Frame));
    }
    if let Some((cadence, kept)) = cadence(line, bar) {
        let mark = if kept { wording::KEPT } else { wording::MISSED };
        head.push((
            format!("{mark}{}", wording::short_cadence(cadence)),
            Part::Cadence,
        ));
    }
    head.into_iter()
        .map(|(text, part)| Word {
            beat: 0,
            text,
            part,
        })
        .collect()
}

/// Chord symbols where they change: at the start of a bar always, so that every bar can be
/// read by itself.
fn chords(line: &Line, bar: usize) -> Vec<Word> {
    let spans = &line.timeline.bars[bar].spans;
    let word = |span: &linewright_chart::Span| Word {
        beat: usize::from(span.start),
        text: span.harmony.to_string(),
        part: if span.harmony == Harmony::NoChord {
            Part::Frame
        } else {
            Part::Chord
        },
    };
    spans.iter().map(word).collect()
}
