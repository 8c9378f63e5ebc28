//! What stands in a measure, before it has a place on a page: notes and rests with written
//! values, accidentals, groups under a beam, tuplets, and the texts above and below.

use linewright_notation::{
    Accidentals, Event, Measure, QUARTER, Score, Sign, Ticks, TimeSignature,
};

use crate::chord_symbol;
use crate::clean::one_line;
use crate::font::Font;
use crate::mark::Place;
use crate::staff;
use crate::typeset::Run;
use crate::value::{self, Value};

/// Text size of the rows under the notes.
pub(crate) const UNDER: i64 = 330;

/// A note or rest of one written value.
#[derive(Clone, Debug)]
pub(crate) struct Item {
    pub at: Ticks,
    pub value: Value,
    pub place: Place,
    /// `None` for a rest.
    pub note: Option<Head>,
    /// The texts under it, by row; only under the first item of an event.
    pub under: Vec<Run>,
}

/// What a note has and a rest has not.
#[derive(Clone, Debug)]
pub(crate) struct Head {
    /// Steps above the middle line.
    pub place: i64,
    pub accidental: Option<Sign>,
    pub ghost: bool,
    /// Whether a tie leads to the next item.
    pub tied: bool,
}

/// A measure's content.
#[derive(Clone, Debug)]
pub(crate) struct Content {
    pub ticks: Ticks,
    pub items: Vec<Item>,
    /// Items under one beam: first and last, at least two.
    pub beams: Vec<(usize, usize)>,
    /// Items of one tuplet: first and last, and its number.
    pub tuplets: Vec<(usize, usize, u8)>,
    /// The measure has one rest, which stands in its middle.
    pub silent: bool,
    /// Chord symbols by place.
    pub chords: Vec<(Ticks, Run)>,
}

/// The content of every measure.
pub(crate) fn of_score(font: &Font, score: &Score) -> Vec<Content> {
    let mut signs = Accidentals::default();
    let mut time = TimeSignature { beats: 4, unit: 4 };
    let mut before: Option<&Event> = None;
    let mut all = Vec::with_capacity(score.measures.len());
    for (number, measure) in score.measures.iter().enumerate() {
        if let Some(key) = measure.key {
            signs.key(key);
        }
        signs.bar_line();
        time = measure.time.unwrap_or(time);
        let next = score.measures.get(number + 1);
        let after = next.and_then(|next| next.events.first());
        all.push(of_measure(
            font, number, measure, &mut signs, time, before, after,
        ));
        before = measure.events.last();
    }
    all
}

fn of_measure(
    font: &Font,
    number: usize,
    measure: &Measure,
    signs: &mut Accidentals,
    time: TimeSignature,
    before: Option<&Event>,
    after: Option<&Event>,
) -> Content {
    let chords = measure
        .symbols
        .iter()
        .map(|at| (at.at, chord_symbol::set(font, &at.symbol)))
        .collect();
    let mut content = Content {
        ticks: measure.ticks,
        items: Vec::new(),
        beams: Vec::new(),
        tuplets: Vec::new(),
        silent: staff::is_silent(measure) && !measure.pickup,
        chords,
    };
    let place = |tick: Ticks, event: Option<usize>| Place {
        measure: number,
        tick,
        event,
    };
    if content.silent {
        let event = (!measure.events.is_empty()).then_some(0);
        content.items.push(Item {
            at: 0,
            value: Value::WHOLE,
            place: place(0, event),
            note: None,
            under: Vec::new(),
        });
        return content;
    }
    let mut order: Vec<usize> = (0..measure.events.len()).collect();
    order.sort_by_key(|&event| measure.events[event].at);
    let mut end = 0;
    let mut last = before;
    for (rank, &index) in order.iter().enumerate() {
        let event = &measure.events[index];
        fill(&mut content.items, end, event.at, &place);
        let following = match order.get(rank + 1) {
            Some(&next) => Some(&measure.events[next]),
            None => after,
        };
        let ties = following.is_some_and(|next| staff::tied_in(Some(event), next));
        let sign = event
            .note
            .and_then(|note| signs.sign(note, staff::tied_in(last, event)));
        // One voice: a note that reaches into the next ends there, so that items follow in time.
        let until = match order.get(rank + 1) {
            Some(&next) => measure.events[next].at,
            None => Ticks::MAX,
        };
        let stop = event.at.saturating_add(event.ticks).min(until);
        let values = match event.note {
            Some(_) => value::of_note(stop - event.at),
            None => value::of_silence(event.at, stop),
        };
        let count = values.len();
        let mut at = event.at;
        for (part, (ticks, value)) in values.into_iter().enumerate() {
            let note = event.note.map(|note| Head {
                place: staff::place(note),
                accidental: sign.filter(|_| part == 0),
                ghost: event.ghost,
                tied: part + 1 < count || ties,
            });
            let under = match part {
                0 => rows(font, event),
                _ => Vec::new(),
            };
            content.items.push(Item {
                at,
                value,
                place: place(event.at, Some(index)),
                note,
                under,
            });
            at = at.saturating_add(ticks);
        }
        end = end.max(stop);
        last = Some(event);
    }
    fill(&mut content.items, end, measure.ticks, &place);
    content.beams = beams(&content.items, time);
    content.tuplets = tuplets(&content.items);
    content
}

/// Fills a silence with rests.
fn fill(
    items: &mut Vec<Item>,
    from: Ticks,
    to: Ticks,
    place: &impl Fn(Ticks, Option<usize>) -> Place,
) {
    if from >= to {
        return;
    }
    let mut at = from;
    for (ticks, value) in value::of_silence(from, to) {
        items.push(Item {
            at,
            value,
            place: place(at, None),
            note: None,
            under: Vec::new(),
        });
        at = at.saturating_add(ticks);
    }
}

fn rows(font: &Font, event: &Event) -> Vec<Run> {
    event
        .under
        .iter()
        .map(|text| Run::signed(font, &one_line(text), UNDER))
        .collect()
}

/// Notes shorter than a quarter that follow each other within a beat, or within three eighths
/// of a compound metre, share a beam.
fn beams(items: &[Item], time: TimeSignature) -> Vec<(usize, usize)> {
    let beat = match time {
        TimeSignature { beats, unit: 8 } if beats % 3 == 0 => 3 * QUARTER / 2,
        _ => QUARTER,
    };
    let mut groups: Vec<(usize, usize)> = Vec::new();
    let mut open: Option<usize> = None;
    for (at, item) in items.iter().enumerate() {
        let fits = item.note.is_some() && item.value.beams() > 0;
        let joins = open.is_some_and(|first| items[first].at / beat == item.at / beat);
        if fits && joins {
            if let Some(group) = groups.last_mut() {
                group.1 = at;
            }
        } else if fits {
            groups.push((at, at));
            open = Some(at);
        } else {
            open = None;
        }
    }
    groups.retain(|(first, last)| first < last);
    groups
}

/// A tuplet ends where its values together make a plain one.
fn tuplets(items: &[Item]) -> Vec<(usize, usize, u8)> {
    let mut found = Vec::new();
    let mut at = 0;
    while at < items.len() {
        let Some(number) = items[at].value.tuplet else {
            at += 1;
            continue;
        };
        let first = at;
        let mut sum = 0;
        while at < items.len() && items[at].value.tuplet == Some(number) {
            sum += items[at].value.ticks();
            at += 1;
            if Value::of(sum).is_some_and(|whole| whole.tuplet.is_none() && !whole.dotted) {
                break;
            }
        }
        found.push((first, at - 1, number));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    const Q: Ticks = QUARTER;

    fn content(events: Vec<Event>) -> Content {
        let mut measure = Measure::new(4 * Q);
        measure.events = events;
        let score = Score {
            measures: vec![measure],
            ..Score::default()
        };
        of_score(&Font::new(), &score).remove(0)
    }

    fn note(at: Ticks, ticks: Ticks, name: &str) -> Event {
        Event::note(at, ticks, name.parse().unwrap())
    }

    #[test]
    fn a_silence_is_filled_with_rests_and_an_empty_measure_has_one() {
        let filled = content(vec![note(0, Q, "A1")]);
        let rests = filled.items.iter().filter(|i| i.note.is_none()).count();
        assert_eq!(rests, 2, "a quarter and a half rest");
        let empty = content(Vec::new());
        assert!(empty.silent && empty.items.len() == 1);
    }

    #[test]
    fn a_note_that_reaches_into_the_next_ends_there() {
        // A length that is written in two parts, the second of which would come too late.
        let over = content(vec![
            note(0, 2 * Q + Q / 4, "A1"),
            note(2 * Q - Q / 2, Q / 2, "C2"),
        ]);
        let places: Vec<Ticks> = over.items.iter().map(|item| item.at).collect();
        assert!(places.is_sorted(), "{places:?}");
        let notes = over.items.iter().filter(|item| item.note.is_some());
        assert_eq!(
            notes
                .map(|item| (item.at, item.value.ticks()))
                .collect::<Vec<_>>(),
            [(0, Q + Q / 2), (2 * Q - Q / 2, Q / 2)]
        );
    }

    #[test]
    fn eighths_of_a_beat_share_a_beam() {
        let e = Q / 2;
        let filled = content(vec![
            note(0, e, "A1"),
            note(e, e, "B1"),
            note(Q, e, "C2"),
            note(Q + e, e, "D2"),
            note(2 * Q, Q, "E2"),
            note(3 * Q + e, e, "E2"),
        ]);
        assert_eq!(filled.beams, [(0, 1), (2, 3)]);
    }

    #[test]
    fn a_triplet_of_eighths_is_one_group() {
        let t = Q / 3;
        let filled = content((0..6).map(|n| note(n * t, t, "A1")).collect());
        assert_eq!(filled.tuplets, [(0, 2, 3), (3, 5, 3)]);
        assert_eq!(filled.beams, [(0, 2), (3, 5)]);
        let mixed = content(vec![note(0, 2 * t, "A1"), note(2 * t, t, "B1")]);
        assert_eq!(mixed.tuplets, [(0, 1, 3)]);
    }

    #[test]
    fn a_long_note_is_written_as_tied_ones_and_its_text_stands_once() {
        let mut event = note(0, 5 * Q, "G1");
        event.under = vec!["1".to_owned()];
        let filled = content(vec![event]);
        assert_eq!(filled.items.len(), 2);
        let ties: Vec<bool> = filled
            .items
            .iter()
            .filter_map(|item| item.note.as_ref())
            .map(|head| head.tied)
            .collect();
        assert_eq!(ties, [true, false]);
        assert_eq!(filled.items[0].under.len(), 1);
        assert!(filled.items[1].under.is_empty());
    }

    #[test]
    fn events_out_of_order_are_put_in_order() {
        let filled = content(vec![note(2 * Q, 2 * Q, "A1"), note(0, 2 * Q, "B1")]);
        assert_eq!(filled.items[0].place.event, Some(1));
    }
}
