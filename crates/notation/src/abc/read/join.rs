//! From what stands in a measure to notes and rests: pieces of one note become one again.

use super::item::{Item, Kind};
use crate::written::{self, Medium, Metre};
use crate::{Event, Measure, Ticks};

/// Puts the notes and rests of a measure into it, which has everything else; `first` says that it
/// is the tune's first.
///
/// Neighbours without a blank between them, tied if they are notes, are one note or rest when they
/// are cut as a single one would be written: at the chord symbols, and then into the values that
/// show the metre. So `F4-F` is one note of five eighths, and `F2-F2` or `F4- F` are two.
pub(super) fn fill(measure: &mut Measure, items: &[Item], metre: &Metre, first: bool) {
    let mut chains = Vec::new();
    let mut at = 0;
    while at < items.len() {
        let length = chain(&items[at..]);
        chains.push(&items[at..at + length]);
        at += length;
    }
    chains.retain(|items| items[0].kind != Kind::Gap);
    measure.events = chains.iter().filter_map(|items| event(items)).collect();
    if chains.iter().all(|items| items.len() == 1) {
        return;
    }
    let heads = written::of_measure(measure, metre, first, Medium::Text);
    let events = std::mem::take(&mut measure.events);
    let mut heads = heads.iter().filter(|head| head.of.is_some()).peekable();
    for (place, (items, whole)) in chains.into_iter().zip(events).enumerate() {
        let written = std::iter::from_fn(|| heads.next_if(|head| head.of == Some(place)));
        let written: Vec<Ticks> = written.map(|head| head.ticks).collect();
        if items.iter().map(|item| item.ticks).eq(written) {
            measure.events.push(whole);
        } else {
            let apart = items.iter().map(std::slice::from_ref);
            measure.events.extend(apart.filter_map(event));
        }
    }
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
