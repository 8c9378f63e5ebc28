//! From a part with all its staves and voices to a score.

use std::collections::BTreeMap;

use super::part::{Bar, Head, PartReader};
use super::tally::Kind;
use crate::written::is_held;
use crate::{Event, Measure, Ticks, TimeSignature, Until};

/// Makes the measures of a part; what is left of the part is what was read otherwise.
pub(super) fn measures(part: &mut PartReader) -> Vec<Measure> {
    form(part);
    let mut bars = std::mem::take(&mut part.bars);
    lengths(part, &mut bars);
    let staff = lowest_staff(&bars);
    let mut measures: Vec<Measure> = Vec::new();
    for (place, bar) in bars.into_iter().enumerate() {
        let mut measure = bar.measure;
        measure.events = events(part, bar.heads, staff, measure.ticks, place);
        for symbol in &mut measure.symbols {
            symbol.at = symbol.at.min(measure.ticks.saturating_sub(1));
        }
        measures.push(measure);
    }
    ties(part, &mut measures);
    measures
}

/// Settles what signs of the form mean that do not say so themselves.
fn form(part: &mut PartReader) {
    let signs = std::mem::take(&mut part.coda_signs);
    let jumps = std::mem::take(&mut part.open_jumps);
    let known = |bars: &[Bar]| bars.iter().any(|bar| bar.measure.to_coda);
    let leads = !known(&part.bars) && signs.len() > 1;
    let last = signs.len().saturating_sub(1);
    for (place, (at, late)) in signs.into_iter().enumerate() {
        if leads && place < last {
            let from = if late { at } else { at.saturating_sub(1) };
            if !late && at > 0 {
                part.tally.add(Kind::LateToCoda, at);
            }
            part.bars[from].measure.to_coda = true;
        } else {
            part.bars[at].measure.coda = true;
        }
    }
    let until = if known(&part.bars) {
        Until::Coda
    } else if part.bars.iter().any(|bar| bar.measure.fine) {
        Until::Fine
    } else {
        Until::End
    };
    for at in jumps {
        if let Some(jump) = &mut part.bars[at].measure.jump {
            jump.until = until;
        }
    }
}

/// Settles how long the measures are.
fn lengths(part: &mut PartReader, bars: &mut [Bar]) {
    let usual = TimeSignature { beats: 4, unit: 4 };
    if let Some(first) = bars.first_mut()
        && first.measure.time.is_none()
    {
        part.tally.add(Kind::NoTime, 0);
        first.measure.time = Some(usual);
    }
    let nominal = |bar: &Bar| bar.nominal.unwrap_or_else(|| usual.ticks());
    let short_first = bars
        .first()
        .map_or(0, |bar| nominal(bar).saturating_sub(bar.extent));
    let last = bars.len().saturating_sub(1);
    let mut joined = false;
    for place in 0..bars.len() {
        let (full, extent) = (nominal(&bars[place]), bars[place].extent);
        let free = bars[place].nominal.is_none() && bars[place].measure.time.is_none();
        let pair = bars
            .get(place + 1)
            .is_some_and(|next| next.extent > 0 && extent + next.extent == full && !next.implicit);
        let bar = &mut bars[place];
        let first = place == 0;
        bar.measure.pickup = first && (bar.zero || (extent > 0 && extent < full));
        let was_joined = std::mem::take(&mut joined);
        bar.measure.ticks = if extent == 0 {
            full
        } else if extent == full || bar.implicit || bar.measure.pickup || free || was_joined {
            extent
        } else if extent > full {
            part.tally.add(Kind::Overfull, place);
            extent
        } else if place == last && extent == short_first {
            // The last measure lacks what the pick-up has.
            extent
        } else if pair {
            part.tally.add(Kind::Halves, place);
            joined = true;
            extent
        } else {
            part.tally.add(Kind::Underfull, place);
            full
        };
    }
}

/// The lowest staff that has notes.
fn lowest_staff(bars: &[Bar]) -> u8 {
    let heads = || bars.iter().flat_map(|bar| &bar.heads);
    let with_notes = heads().filter(|head| head.note.is_some());
    let lowest = with_notes.map(|head| head.staff).max();
    lowest
        .or_else(|| heads().map(|head| head.staff).max())
        .unwrap_or(1)
}

/// The events of a measure: those of the lowest voice with notes on this staff.
fn events(
    part: &mut PartReader,
    heads: Vec<Head>,
    staff: u8,
    ticks: Ticks,
    place: usize,
) -> Vec<Event> {
    let mut lowest: BTreeMap<u8, Option<i32>> = BTreeMap::new();
    for head in heads.iter().filter(|head| head.staff == staff) {
        let pitch = head.note.and_then(|note| note.pitch());
        let low = lowest.entry(head.voice).or_default();
        *low = match (*low, pitch.map(|pitch| i32::from(pitch.midi()))) {
            (Some(known), Some(new)) => Some(known.min(new)),
            (known, new) => known.or(new),
        };
    }
    let voice = lowest
        .iter()
        .min_by_key(|(voice, low)| (low.unwrap_or(i32::MAX), **voice))
        .map(|(voice, _)| *voice);
    let mut kept: Vec<Head> = Vec::new();
    for head in heads {
        if head.staff == staff && Some(head.voice) == voice {
            kept.push(head);
        } else if head.note.is_some() {
            let other = if head.staff == staff {
                Kind::OtherVoice
            } else {
                Kind::OtherStaff
            };
            part.tally.add(other, place);
        }
    }
    kept.sort_by_key(|head| head.at);
    let mut events: Vec<Event> = Vec::new();
    for head in kept {
        let end = head.at.saturating_add(head.ticks).min(ticks);
        if end <= head.at {
            continue;
        }
        if let Some(last) = events.last_mut()
            && last.at + last.ticks > head.at
        {
            part.tally.add(Kind::Overlap, place);
            last.ticks = head.at - last.at;
        }
        events.push(Event {
            at: head.at,
            ticks: end - head.at,
            note: head.note,
            tied: head.tied,
            ghost: head.ghost,
            under: head.under,
        });
    }
    events.retain(|event| event.ticks > 0);
    events
}

/// Keeps the ties that lead to a note of the same pitch which follows at once.
fn ties(part: &mut PartReader, measures: &mut [Measure]) {
    for place in 0..measures.len() {
        for at in 0..measures[place].events.len() {
            let event = &measures[place].events[at];
            if !event.tied {
                continue;
            }
            let end = event.at + event.ticks;
            let next = match measures[place].events.get(at + 1) {
                Some(next) => Some(next).filter(|next| next.at == end),
                None if end == measures[place].ticks => measures
                    .get(place + 1)
                    .and_then(|measure| measure.events.first())
                    .filter(|next| next.at == 0),
                None => None,
            };
            let here = (event.note, event.ghost);
            if !next.is_some_and(|next| is_held(here, (next.note, next.ghost))) {
                part.tally.add(Kind::TieNowhere, place);
                measures[place].events[at].tied = false;
            }
        }
    }
}
