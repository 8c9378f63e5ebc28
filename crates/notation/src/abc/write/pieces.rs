//! A measure cut into what stands on the staff: single note values, none over a chord change.

use linewright_theory::Note;

use crate::abc::length::{is_closed, split, written};
use crate::{Event, Measure, Symbol, Ticks};

/// A note, rest or gap of one written length.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Piece<'a> {
    /// Where it begins in its measure.
    pub at: Ticks,
    pub ticks: Ticks,
    pub kind: Kind,
    pub hold: Hold,
    pub ghost: bool,
    /// The chord symbols over it.
    pub symbols: Vec<&'a Symbol>,
    /// The event that begins with it.
    pub begins: Option<&'a Event>,
    /// The tuplet that begins with it: count, time, pieces.
    pub tuplet: Option<(Ticks, Ticks, usize)>,
}

#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Note(Note),
    Rest,
    Gap,
}

/// How a piece goes on into the next.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(super) enum Hold {
    /// It ends.
    No,
    /// The next is a piece of the same event.
    Joined,
    /// The event is tied to the next.
    Tied,
}

/// The pieces of a measure. Of events that overlap, the later one is cut.
pub(super) fn of(measure: &Measure) -> Vec<Piece<'_>> {
    let mut cutter = Cutter {
        measure,
        now: 0,
        next_symbol: 0,
        pieces: Vec::new(),
    };
    for event in &measure.events {
        cutter.cut(event.at, Kind::Gap, None);
        let kind = event.note.map_or(Kind::Rest, Kind::Note);
        cutter.cut(event.at.saturating_add(event.ticks), kind, Some(event));
    }
    cutter.cut(measure.ticks, Kind::Gap, None);
    let late = measure.symbols.iter().skip(cutter.next_symbol);
    let mut pieces = cutter.pieces;
    if let Some(last) = pieces.last_mut() {
        last.symbols.extend(late.map(|symbol| &symbol.symbol));
    }
    mark_tuplets(&mut pieces);
    pieces
}

struct Cutter<'a> {
    measure: &'a Measure,
    now: Ticks,
    next_symbol: usize,
    pieces: Vec<Piece<'a>>,
}

impl<'a> Cutter<'a> {
    /// Adds pieces of a kind up to a time.
    fn cut(&mut self, end: Ticks, kind: Kind, event: Option<&'a Event>) {
        let first = self.pieces.len();
        while self.now < end {
            let symbols = self.symbols();
            let until = self.measure.symbols.get(self.next_symbol);
            let stop = until.map_or(end, |symbol| symbol.at.min(end));
            let mut symbols = Some(symbols);
            for ticks in split(stop - self.now) {
                self.pieces.push(Piece {
                    at: self.now,
                    ticks,
                    kind,
                    hold: Hold::Joined,
                    ghost: event.is_some_and(|event| event.ghost),
                    symbols: symbols.take().unwrap_or_default(),
                    begins: None,
                    tuplet: None,
                });
                self.now += ticks;
            }
        }
        let tied = event.is_some_and(|event| event.tied && event.note.is_some());
        if let Some(piece) = self.pieces.get_mut(first) {
            piece.begins = event;
        }
        if let Some(piece) = self.pieces[first..].last_mut() {
            piece.hold = if tied { Hold::Tied } else { Hold::No };
        }
    }

    /// The symbols up to now that are not over a piece yet.
    fn symbols(&mut self) -> Vec<&'a Symbol> {
        let rest = &self.measure.symbols[self.next_symbol..];
        let here = rest.iter().take_while(|symbol| symbol.at <= self.now);
        let found: Vec<&Symbol> = here.map(|symbol| &symbol.symbol).collect();
        self.next_symbol += found.len();
        found
    }
}

/// Most notes of a tuplet, so that its number is one digit.
const LONGEST_TUPLET: usize = 9;

/// Groups neighbours of the same kind of tuplet; a group closes when its notes fill plain values.
fn mark_tuplets(pieces: &mut [Piece]) {
    let mut first = 0;
    while first < pieces.len() {
        let kind = written(pieces[first].ticks);
        let mut count = 1;
        if kind.in_tuplet() {
            let alike = pieces[first..]
                .iter()
                .take(LONGEST_TUPLET)
                .take_while(|piece| {
                    let other = written(piece.ticks);
                    (other.count, other.time) == (kind.count, kind.time)
                });
            let mut sum = 0;
            count = 0;
            for piece in alike {
                sum += piece.ticks;
                count += 1;
                if is_closed(sum) {
                    break;
                }
            }
            pieces[first].tuplet = Some((kind.count, kind.time, count));
        }
        first += count;
    }
}
