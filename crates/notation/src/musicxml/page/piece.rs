//! The notes and rests of one measure as note heads.

use linewright_theory::Note;

use super::metre::Metre;
use super::rest;
use super::tuplet::{self, Window};
use super::value::{SHORTEST, Value};
use super::{rows, writable};
use crate::{Event, Ticks};

/// One note head or rest.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Piece {
    /// Where it begins in its measure.
    pub at: Ticks,
    /// How long it sounds.
    pub ticks: Ticks,
    /// The note as it sounds; `None` for a rest.
    pub note: Option<Note>,
    /// Whether it is a ghost note.
    pub ghost: bool,
    /// What stands under it.
    pub under: Vec<String>,
    /// Whether a tie leads to it.
    pub held: bool,
    /// Whether a tie leads from it.
    pub tied: bool,
    /// How it is drawn; `None` for a length that cannot be, and for the rest of a whole measure.
    pub value: Option<Value>,
    /// Whether it is the rest of a whole measure.
    pub whole: bool,
    /// The tuplet it is part of.
    pub tuplet: Option<Tuplet>,
}

/// What a note head says about its tuplet.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(crate) struct Tuplet {
    /// So many notes …
    pub actual: u32,
    /// … in the time of so many …
    pub normal: u32,
    /// … of this value.
    pub unit: Value,
    /// Whether the tuplet begins here.
    pub first: bool,
    /// Whether it ends here.
    pub last: bool,
    /// Whether it needs a bracket, as no beam holds it together.
    pub bracket: bool,
}

impl Piece {
    /// The piece as an event of a score.
    pub(crate) fn event(&self) -> Event {
        Event {
            at: self.at,
            ticks: self.ticks,
            note: self.note,
            tied: self.tied,
            ghost: self.ghost,
            under: self.under.clone(),
        }
    }
}

/// A stretch of a measure with one event or none.
struct Span<'a> {
    at: Ticks,
    ticks: Ticks,
    event: Option<&'a Event>,
}

impl Span<'_> {
    fn end(&self) -> Ticks {
        self.at + self.ticks
    }
}

/// The note heads and rests of a measure this long, of which `missing` is cut off at its
/// beginning.
pub(crate) fn pieces(events: &[Event], ticks: Ticks, metre: &Metre, missing: Ticks) -> Vec<Piece> {
    let mut pieces = once(events, ticks, metre, missing);
    // Where a tuplet splits a note, another may fit the parts better: until nothing changes.
    loop {
        let events: Vec<Event> = pieces.iter().map(Piece::event).collect();
        let again = once(&events, ticks, metre, missing);
        if again.len() == pieces.len() {
            return again;
        }
        pieces = again;
    }
}

fn once(events: &[Event], ticks: Ticks, metre: &Metre, missing: Ticks) -> Vec<Piece> {
    let spans = spans(events, ticks);
    if let [only] = &spans[..]
        && only.event.is_none_or(|event| event.note.is_none())
    {
        let mut piece = blank(0, ticks);
        piece.whole = true;
        piece.under = only.event.map(rows).unwrap_or_default();
        return vec![piece];
    }
    let points: Vec<Ticks> = spans.iter().map(Span::end).collect();
    let windows = tuplet::windows(&points, ticks, missing);
    let mut pieces = Vec::new();
    for span in &spans {
        let first = pieces.len();
        for (at, end, window) in cut(span.at, span.end(), &windows) {
            let is_rest = span.event.is_none_or(|event| event.note.is_none());
            for (at, ticks) in values(at, end - at, window, metre, missing, span.event, is_rest) {
                let mut piece = blank(at, ticks);
                piece.value = Value::of(window.map_or(ticks, |window| window.drawn(ticks)));
                pieces.push(piece);
            }
        }
        if let Some(event) = span.event {
            dress(&mut pieces[first..], event);
        }
    }
    for window in &windows {
        mark(&mut pieces, window);
    }
    pieces
}

fn blank(at: Ticks, ticks: Ticks) -> Piece {
    Piece {
        at,
        ticks,
        note: None,
        ghost: false,
        under: Vec::new(),
        held: false,
        tied: false,
        value: None,
        whole: false,
        tuplet: None,
    }
}

/// Gives pieces the note of their event: tied together, with the rows under the first.
fn dress(pieces: &mut [Piece], event: &Event) {
    let last = pieces.len().saturating_sub(1);
    for (place, piece) in pieces.iter_mut().enumerate() {
        piece.note = event.note.map(writable);
        piece.ghost = event.ghost && event.note.is_some();
        piece.tied = event.note.is_some() && (place < last || event.tied);
        if place == 0 {
            piece.under = rows(event);
        }
    }
}

/// The events in order, cut where they overlap, with the gaps between them.
fn spans(events: &[Event], ticks: Ticks) -> Vec<Span<'_>> {
    let mut order: Vec<&Event> = events.iter().filter(|event| event.ticks > 0).collect();
    order.sort_by_key(|event| event.at);
    let mut spans: Vec<Span> = Vec::new();
    let mut now = 0;
    for (place, &event) in order.iter().enumerate() {
        let next = order.get(place + 1).map_or(ticks, |next| next.at);
        let end = event.at.saturating_add(event.ticks).min(next).min(ticks);
        if end <= event.at {
            continue;
        }
        if event.at > now {
            spans.push(Span {
                at: now,
                ticks: event.at - now,
                event: None,
            });
        }
        spans.push(Span {
            at: event.at,
            ticks: end - event.at,
            event: Some(event),
        });
        now = end;
    }
    if now < ticks {
        spans.push(Span {
            at: now,
            ticks: ticks - now,
            event: None,
        });
    }
    spans
}

/// The parts of a stretch inside and outside tuplets.
fn cut(from: Ticks, to: Ticks, windows: &[Window]) -> Vec<(Ticks, Ticks, Option<&Window>)> {
    let mut parts = Vec::new();
    let mut now = from;
    let first = windows.partition_point(|window| window.end() <= from);
    for window in windows[first..].iter().take_while(|w| w.at < to) {
        if now < window.at {
            parts.push((now, window.at, None));
            now = window.at;
        }
        let end = window.end().min(to);
        parts.push((now, end, Some(window)));
        now = end;
    }
    if now < to {
        parts.push((now, to, None));
    }
    parts
}

/// The lengths of the note heads that a stretch needs.
fn values(
    at: Ticks,
    ticks: Ticks,
    window: Option<&Window>,
    metre: &Metre,
    missing: Ticks,
    event: Option<&Event>,
    is_rest: bool,
) -> Vec<(Ticks, Ticks)> {
    let mut list = Vec::new();
    match window {
        Some(window) => window.split(at, ticks, &mut list),
        None if is_rest && (event.is_none() || Value::of(ticks).is_none()) => {
            rest::split(at + missing, ticks, metre, &mut list);
        }
        None => split(at + missing, ticks, metre, &mut list),
    }
    if window.is_none() {
        for (at, _) in &mut list {
            *at -= missing;
        }
    }
    list
}

/// Splits a note where the metre is strongest, into as few note heads as can be.
fn split(at: Ticks, ticks: Ticks, metre: &Metre, list: &mut Vec<(Ticks, Ticks)>) {
    let (mut at, mut ticks) = (at, ticks);
    let longest = Value::at_most(Ticks::MAX).map_or(ticks, Value::ticks);
    while ticks > longest {
        list.push((at, longest));
        at += longest;
        ticks -= longest;
    }
    if Value::of(ticks).is_some() || !ticks.is_multiple_of(SHORTEST) {
        list.push((at, ticks));
        return;
    }
    let best = (1..ticks / SHORTEST)
        .map(|step| step * SHORTEST)
        .max_by_key(|&step| {
            let heads = [step, ticks - step].map(|part| u32::from(Value::of(part).is_some()));
            (heads[0] + heads[1], metre.strength(at + step), step)
        });
    if let Some(first) = best {
        split(at, first, metre, list);
        split(at + first, ticks - first, metre, list);
    }
}

/// Tells the pieces of a tuplet that they are.
fn mark(pieces: &mut [Piece], window: &Window) {
    let first = pieces.partition_point(|piece| piece.at < window.at);
    let end = pieces.partition_point(|piece| piece.at < window.end());
    let within = &mut pieces[first..end];
    let bracket = within
        .iter()
        .any(|piece| piece.note.is_none() || piece.value.is_none_or(|value| value.flags() == 0));
    let last = within.len().saturating_sub(1);
    for (place, piece) in within.iter_mut().enumerate() {
        piece.tuplet = window.unit().map(|unit| Tuplet {
            actual: window.actual,
            normal: window.normal(),
            unit,
            first: place == 0,
            last: place == last,
            bracket,
        });
    }
}
