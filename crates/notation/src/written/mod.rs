//! How a score is written: every note a single note head, every measure full.
//!
//! [`measures`] is the one working-out of note values, ties, rests, tuplets and beams. The page,
//! MusicXML and ABC are all written from it, so that they have the same heads.
//!
//! What it keeps to, in metres of quarters and halves and, with their own groups, in all others:
//!
//! - a note runs over the middle of a measure only if it fills whole groups of beats, or as the
//!   dotted half on beat one of four; else it is written as tied ones;
//! - within a group a note that begins on the half of a beat runs over one beat at most, one that
//!   begins elsewhere off the beat over none;
//! - a rest runs over neither the middle nor, in threes, over a beat, unless it fills the measure;
//! - a pick-up counts from where the full measure would begin;
//! - notes under one beam lie in one beat (one group of eighths in uneven metres).
//!
//! Common practice, no source; E. Gould, *Behind Bars* (2011), "Grouping", from memory, has the
//! same but for a half note on beat two of four, which she allows.

mod beam;
mod metre;
mod rest;
mod span;
mod tuplet;
mod value;

pub use beam::Beam;
pub(crate) use metre::Metre;
pub use tuplet::Tuplet;
pub use value::Value;

use linewright_theory::Note;

use crate::{Event, Measure, QUARTER, Score, Ticks, TimeSignature};
use span::Span;
use tuplet::Window;

/// The longest measure that is written out: no metre makes a longer one. What reaches beyond is
/// one head without a value.
pub(crate) const LONGEST: Ticks = 1024 * QUARTER;

/// The note heads and rests of a measure.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WrittenMeasure {
    /// In order of time, from the beginning of the measure to its end without a gap.
    pub notes: Vec<WrittenNote>,
}

/// One note head or rest.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WrittenNote {
    /// Where it begins in its measure.
    pub at: Ticks,
    /// How long it sounds.
    pub ticks: Ticks,
    /// The note as it sounds; `None` for a rest.
    pub note: Option<Note>,
    /// Whether it is a ghost note.
    pub ghost: bool,
    /// Whether a tie leads to it.
    pub held: bool,
    /// Whether a tie leads from it, to a note of the same pitch.
    pub tied: bool,
    /// How it is drawn; `None` for a length that no head has, and for the rest of a whole measure.
    pub value: Option<Value>,
    /// Whether it is the rest of a whole measure.
    pub whole: bool,
    /// The tuplet that it is part of.
    pub tuplet: Option<Tuplet>,
    /// Its beams, that of the eighth note first; none where it stands alone.
    pub beams: Vec<Beam>,
    /// The event of the measure that it is written for, as a place in the score; `None` for a
    /// rest that fills a gap.
    pub of: Option<usize>,
    /// Whether that event begins with it.
    pub begins: bool,
}

impl WrittenNote {
    /// The rows under it: those of its event, one of these of its measure, where that begins.
    pub fn rows<'a>(&self, events: &'a [Event]) -> &'a [String] {
        match self.of.filter(|_| self.begins) {
            Some(event) => &events[event].under,
            None => &[],
        }
    }

    /// As an event of its own, in the place of the one that it is written for.
    pub fn event(&self, events: &[Event]) -> Event {
        Event {
            at: self.at,
            ticks: self.ticks,
            note: self.note,
            tied: self.tied,
            ghost: self.ghost,
            under: self.rows(events).to_vec(),
        }
    }
}

/// What a score is written on.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(crate) enum Medium {
    /// A staff.
    Staff,
    /// A text, where chord symbols stand before notes: a head begins under each of them. The rest
    /// of a whole measure has a value there like any other.
    Text,
}

/// The measures of a score as they are written, one for each.
///
/// Of events that overlap, the earlier one ends where the later one begins; what lies beyond the
/// end of a measure is left out.
pub fn measures(score: &Score) -> Vec<WrittenMeasure> {
    measures_on(score, Medium::Staff)
}

/// The same for a medium.
pub(crate) fn measures_on(score: &Score, medium: Medium) -> Vec<WrittenMeasure> {
    let mut metre = Metre::of(TimeSignature { beats: 4, unit: 4 });
    let mut measures = Vec::with_capacity(score.measures.len());
    for (place, measure) in score.measures.iter().enumerate() {
        if let Some(time) = measure.time {
            metre = Metre::of(time);
        }
        let notes = of_measure(measure, &metre, place == 0, medium);
        measures.push(WrittenMeasure { notes });
    }
    tie(&mut measures);
    measures
}

/// The note heads and rests of a single measure, with ties as its events have them. The first of
/// a score is a pick-up if it is shorter than its metre.
pub(crate) fn of_measure(
    measure: &Measure,
    metre: &Metre,
    first: bool,
    medium: Medium,
) -> Vec<WrittenNote> {
    let frame = Frame {
        events: &measure.events,
        ticks: measure.ticks,
        metre,
        missing: match first {
            true => metre.ticks().saturating_sub(measure.ticks),
            false => 0,
        },
    };
    let mut spans = span::spans(frame.events, frame.ticks);
    if medium == Medium::Text {
        spans = span::cut_at(spans, measure.symbols.iter().map(|symbol| symbol.at));
    }
    if let Some(rest) = frame.whole(&spans, medium) {
        return vec![rest];
    }
    let mut notes = frame.notes(&spans);
    // Where a tuplet splits a note, another may fit the parts better: until nothing changes.
    loop {
        spans = notes.iter().map(Span::written).collect();
        let again = frame.notes(&spans);
        let settled = again.len() == notes.len();
        notes = again;
        if settled {
            break;
        }
    }
    for place in 0..notes.len() {
        let goes_on = match notes.get(place + 1) {
            Some(next) => next.of == notes[place].of && !next.begins,
            None => false,
        };
        let note = &mut notes[place];
        let event = note.of.map(|event| &measure.events[event]);
        note.tied = note.note.is_some() && (goes_on || event.is_some_and(|event| event.tied));
    }
    beam::join(&mut notes, metre, frame.missing);
    notes
}

/// A measure to be filled.
struct Frame<'a> {
    events: &'a [Event],
    ticks: Ticks,
    metre: &'a Metre,
    /// How much of it is cut off at its beginning.
    missing: Ticks,
}

impl Frame<'_> {
    fn note(&self, span: &Span) -> Option<Note> {
        self.events[span.of?].note
    }

    /// The rest of a measure in which nothing sounds and only one rest is written.
    fn whole(&self, spans: &[Span], medium: Medium) -> Option<WrittenNote> {
        let [only] = spans else { return None };
        let value = Value::of(only.ticks);
        let fits = match medium {
            Medium::Staff => self.missing == 0,
            Medium::Text => value.is_some(),
        };
        (fits && self.note(only).is_none()).then(|| WrittenNote {
            whole: true,
            value: value.filter(|_| medium == Medium::Text),
            begins: only.begins,
            ..self.blank(only)
        })
    }

    fn blank(&self, span: &Span) -> WrittenNote {
        let note = self.note(span);
        let ghost = span.of.is_some_and(|event| self.events[event].ghost);
        WrittenNote {
            at: span.at,
            ticks: span.ticks,
            note,
            ghost: ghost && note.is_some(),
            of: span.of,
            ..WrittenNote::default()
        }
    }

    fn notes(&self, spans: &[Span]) -> Vec<WrittenNote> {
        let ends: Vec<Ticks> = spans.iter().map(Span::end).collect();
        let windows = tuplet::windows(&ends, self.ticks.min(LONGEST), self.missing);
        let mut notes = Vec::new();
        for span in spans {
            let first = notes.len();
            for (part, window) in span.parts(&windows) {
                for (at, ticks) in self.lengths(&part, window) {
                    notes.push(WrittenNote {
                        at,
                        ticks,
                        value: Value::of(window.map_or(ticks, |window| window.drawn(ticks))),
                        ..self.blank(span)
                    });
                }
            }
            if let Some(note) = notes.get_mut(first) {
                note.begins = span.begins;
            }
        }
        for window in &windows {
            window.mark(&mut notes);
        }
        notes
    }

    /// Where the heads of a part of a span begin, and their lengths.
    fn lengths(&self, part: &Span, window: Option<&Window>) -> Vec<(Ticks, Ticks)> {
        let mut list = Vec::new();
        if let Some(window) = window {
            window.split(part.at, part.ticks, &mut list);
            return list;
        }
        if part.end() > LONGEST {
            return vec![(part.at, part.ticks)];
        }
        let at = part.at + self.missing;
        let stays = || {
            let fits = Value::of(part.ticks).is_some();
            part.given && fits && !self.metre.hides_under_rest(at, part.ticks)
        };
        if self.note(part).is_some() {
            split(at, part.ticks, self.metre, &mut list);
        } else if stays() {
            list.push((at, part.ticks));
        } else {
            rest::split(at, part.ticks, self.metre, &mut list);
        }
        for (at, _) in &mut list {
            *at -= self.missing;
        }
        list
    }
}

/// Splits a note where the metre is strongest, into as few note heads as can be.
fn split(at: Ticks, ticks: Ticks, metre: &Metre, list: &mut Vec<(Ticks, Ticks)>) {
    let (mut at, mut ticks) = (at, ticks);
    let longest = Value::at_most(Ticks::MAX).map_or(ticks, Value::ticks);
    while ticks > longest {
        split(at, longest, metre, list);
        at += longest;
        ticks -= longest;
    }
    let is_head =
        |at: Ticks, ticks: Ticks| Value::of(ticks).is_some() && !metre.hides_under_note(at, ticks);
    if is_head(at, ticks) || !ticks.is_multiple_of(value::SHORTEST) {
        list.push((at, ticks));
        return;
    }
    let best = (1..ticks / value::SHORTEST)
        .map(|step| step * value::SHORTEST)
        .max_by_key(|&step| {
            let heads = [is_head(at, step), is_head(at + step, ticks - step)];
            let heads: u32 = heads.map(u32::from).iter().sum();
            (heads, metre.strength(at + step), step)
        });
    match best {
        Some(first) => {
            split(at, first, metre, list);
            split(at + first, ticks - first, metre, list);
        }
        None => list.push((at, ticks)),
    }
}

/// Keeps the ties that lead to a note of the same pitch, and tells those notes.
fn tie(measures: &mut [WrittenMeasure]) {
    let notes = measures.iter_mut().flat_map(|measure| &mut measure.notes);
    let mut before: Option<&mut WrittenNote> = None;
    for note in notes {
        if let Some(before) = before {
            let here = (note.note, note.ghost);
            before.tied &= is_held((before.note, before.ghost), here);
            note.held = before.tied;
        }
        before = Some(note);
    }
    if let Some(last) = before {
        last.tied = false;
    }
}

/// Whether a note can be held on into another: it sounds the same.
pub(crate) fn is_held(from: (Option<Note>, bool), to: (Option<Note>, bool)) -> bool {
    match (from, to) {
        ((Some(from), ghost), (Some(to), other)) => from.semitones_to(to) == 0 && ghost == other,
        _ => false,
    }
}

#[cfg(test)]
mod tests;
