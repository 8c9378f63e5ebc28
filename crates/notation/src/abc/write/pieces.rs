//! The notes of a measure with what stands before them in a tune.

use crate::written::{WrittenMeasure, WrittenNote};
use crate::{Measure, Symbol, Ticks};

/// A note, rest or gap of one written length.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Piece<'a> {
    pub written: &'a WrittenNote,
    /// The chord symbols over it.
    pub symbols: Vec<&'a Symbol>,
    /// The rows under it.
    pub under: &'a [String],
    /// The tuplet that begins with it: count, time, pieces.
    pub tuplet: Option<(u32, u32, usize)>,
}

impl Piece<'_> {
    /// The length that stands after its letter, which a tuplet changes.
    pub fn length(&self) -> Ticks {
        let value = self.written.value;
        value.map_or(self.written.ticks, |value| value.ticks())
    }

    pub fn is_rest(&self) -> bool {
        self.written.note.is_none()
    }

    /// Whether it is of the same event, or gap, as the piece before it.
    pub fn goes_on(&self, before: &Piece) -> bool {
        !self.written.begins && self.written.of == before.written.of
    }
}

/// The pieces of a measure. A symbol behind all of them stands over the last.
pub(super) fn of<'a>(measure: &'a Measure, written: &'a WrittenMeasure) -> Vec<Piece<'a>> {
    let mut symbols = measure.symbols.iter().peekable();
    let mut pieces: Vec<Piece> = written
        .notes
        .iter()
        .map(|note| Piece {
            written: note,
            symbols: std::iter::from_fn(|| symbols.next_if(|symbol| symbol.at <= note.at))
                .map(|symbol| &symbol.symbol)
                .collect(),
            under: note.rows(&measure.events),
            tuplet: None,
        })
        .collect();
    if let Some(last) = pieces.last_mut() {
        last.symbols.extend(symbols.map(|symbol| &symbol.symbol));
    }
    mark_tuplets(&mut pieces);
    pieces
}

/// Most notes that a tuplet is told to have, so that its number is one digit; a longer one is told
/// again.
const LONGEST_TUPLET: usize = 9;

fn mark_tuplets(pieces: &mut [Piece]) {
    let is_inner = |piece: &Piece| piece.written.tuplet.is_some_and(|tuplet| !tuplet.first);
    let tuplets = pieces.chunk_by_mut(|_, next| is_inner(next));
    for group in tuplets.flat_map(|tuplet| tuplet.chunks_mut(LONGEST_TUPLET)) {
        let tuplet = group[0].written.tuplet;
        group[0].tuplet = tuplet.map(|tuplet| (tuplet.actual, tuplet.normal, group.len()));
    }
}
