//! From what stands in a measure to notes and rests: pieces of one note become one again.

use super::bars::{Item, Kind};
use crate::abc::length::split;
use crate::{Event, SymbolAt, Ticks};

/// The notes and rests of a measure.
///
/// Neighbours without a blank between them, tied if they are notes, are one note or rest when they
/// are cut as a single one would be written: at the chord symbols, and then into note values. So
/// `F4-F` is one note of five eighths, and `F2-F2` or `F4- F` are two.
pub(super) fn events(items: &[Item], symbols: &[SymbolAt]) -> Vec<Event> {
    let mut events = Vec::new();
    let mut at = 0;
    while at < items.len() {
        let length = chain(&items[at..]);
        let whole = &items[at..at + length];
        if length > 1 && is_one(whole, symbols) {
            events.extend(event(whole));
        } else {
            events.extend(
                whole
                    .iter()
                    .flat_map(|item| event(std::slice::from_ref(item))),
            );
        }
        at += length;
    }
    events
}

/// How many items from the first on may be pieces of one.
fn chain(items: &[Item]) -> usize {
    let pairs = items.iter().zip(&items[1..]);
    let linked = pairs.take_while(|(item, next)| {
        let held = match item.kind {
            Kind::Note(_) => item.tie,
            Kind::Rest => true,
            Kind::Gap => false,
        };
        held && next.joined && next.kind == item.kind && next.ghost == item.ghost
    });
    1 + linked.count()
}

fn is_one(items: &[Item], symbols: &[SymbolAt]) -> bool {
    let mut expected: Vec<Ticks> = Vec::new();
    let mut stretch = 0;
    for (index, item) in items.iter().enumerate() {
        let under_symbol = symbols
            .binary_search_by_key(&item.at, |symbol| symbol.at)
            .is_ok();
        if index > 0 && under_symbol {
            expected.extend(split(stretch));
            stretch = 0;
        }
        stretch += item.ticks;
    }
    expected.extend(split(stretch));
    items.iter().map(|item| item.ticks).eq(expected)
}

/// One event from all these items; none from a gap.
fn event(items: &[Item]) -> Option<Event> {
    let (first, last) = (items.first()?, items.last()?);
    let note = match first.kind {
        Kind::Note(note) => Some(note),
        Kind::Rest => None,
        Kind::Gap => return None,
    };
    Some(Event {
        at: first.at,
        ticks: items.iter().map(|item| item.ticks).sum(),
        note,
        tied: last.tie && note.is_some(),
        ghost: first.ghost,
        under: Vec::new(),
    })
}
