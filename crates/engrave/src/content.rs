//! What stands in a measure, before it has a place on a page: written notes and rests,
//! accidentals, and the texts above and below.

use linewright_notation::written::{self, Beam, Value, WrittenMeasure};
use linewright_notation::{Accidentals, Measure, Score, Sign, Ticks};
use linewright_theory::Note;

use crate::chord_symbol;
use crate::clean::one_line;
use crate::font::Font;
use crate::mark::Place;
use crate::staff;
use crate::typeset::Run;

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
    /// Its beams, that of the eighth note first.
    pub beams: Vec<Beam>,
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
    pub tuplets: Vec<Tuplet>,
    /// The measure has one rest, which stands in its middle.
    pub silent: bool,
    /// Chord symbols by place.
    pub chords: Vec<(Ticks, Run)>,
}

/// A tuplet that is shown.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(crate) struct Tuplet {
    /// Its first and last item.
    pub first: usize,
    pub last: usize,
    /// 3, 5 or 7.
    pub number: u32,
    pub bracket: bool,
}

/// The content of every measure.
pub(crate) fn of_score(font: &Font, score: &Score) -> Vec<Content> {
    let mut reader = Reader {
        font,
        signs: Accidentals::default(),
        before: None,
    };
    let measures = score.measures.iter().zip(written::measures(score));
    let numbered = measures.enumerate();
    numbered
        .map(|(number, (measure, written))| reader.measure(number, measure, written))
        .collect()
}

/// What is known from one measure to the next.
struct Reader<'a> {
    font: &'a Font,
    signs: Accidentals,
    /// The note before; none after a rest.
    before: Option<Note>,
}

impl Reader<'_> {
    fn measure(&mut self, number: usize, measure: &Measure, written: WrittenMeasure) -> Content {
        if let Some(key) = measure.key {
            self.signs.key(key);
        }
        self.signs.bar_line();
        let symbols = measure.symbols.iter();
        let mut content = Content {
            ticks: measure.ticks,
            items: Vec::new(),
            beams: Vec::new(),
            tuplets: Vec::new(),
            silent: !measure.pickup && written.notes.iter().all(|note| note.note.is_none()),
            chords: symbols
                .map(|at| (at.at, chord_symbol::set(self.font, &at.symbol)))
                .collect(),
        };
        let place = |tick: Ticks, event: Option<usize>| Place {
            measure: number,
            tick,
            event,
        };
        if content.silent {
            self.before = None;
            content.items.push(Item {
                at: 0,
                value: Value::WHOLE,
                place: place(0, (!measure.events.is_empty()).then_some(0)),
                note: None,
                beams: Vec::new(),
                under: Vec::new(),
            });
            return content;
        }
        content.group(&written);
        for note in written.notes {
            let event = note.of.map(|event| &measure.events[event]);
            let held = note.held && self.before == note.note;
            self.before = note.note;
            content.items.push(Item {
                at: note.at,
                // A length that no head has is drawn as the next shorter one.
                value: note.value.or(Value::at_most(note.ticks)).unwrap_or(Value {
                    halvings: 6,
                    dotted: false,
                }),
                place: place(event.map_or(note.at, |event| event.at), note.of),
                note: note.note.map(|sounding| Head {
                    place: staff::place(sounding),
                    accidental: match note.begins {
                        true => self.signs.sign(sounding, held),
                        false => None,
                    },
                    ghost: note.ghost,
                    tied: note.tied,
                }),
                under: rows(self.font, note.rows(&measure.events)),
                beams: note.beams,
            });
        }
        content
    }
}

impl Content {
    /// Finds what is under one beam and what is one tuplet.
    fn group(&mut self, written: &WrittenMeasure) {
        let (mut beam, mut tuplet) = (0, 0);
        for (at, note) in written.notes.iter().enumerate() {
            match note.beams.first() {
                Some(Beam::Begin) => beam = at,
                Some(Beam::End) => self.beams.push((beam, at)),
                _ => {}
            }
            let Some(part) = note.tuplet else { continue };
            if part.first {
                tuplet = at;
            }
            if part.last {
                self.tuplets.push(Tuplet {
                    first: tuplet,
                    last: at,
                    number: part.actual,
                    bracket: part.bracket,
                });
            }
        }
    }
}

fn rows(font: &Font, texts: &[String]) -> Vec<Run> {
    texts
        .iter()
        .map(|text| Run::signed(font, &one_line(text), UNDER))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use linewright_notation::{Event, QUARTER};

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
        let tuplet = |first, last, bracket| Tuplet {
            first,
            last,
            number: 3,
            bracket,
        };
        assert_eq!(filled.tuplets, [tuplet(0, 2, false), tuplet(3, 5, false)]);
        assert_eq!(filled.beams, [(0, 2), (3, 5)]);
        let mixed = content(vec![note(0, 2 * t, "A1"), note(2 * t, t, "B1")]);
        assert_eq!(mixed.tuplets, [tuplet(0, 1, true)]);
    }

    #[test]
    fn a_long_note_is_written_as_tied_ones_and_its_text_stands_once() {
        let mut event = note(Q, 2 * Q, "G1");
        event.under = vec!["1".to_owned()];
        let filled = content(vec![event]);
        assert_eq!(
            filled.items.len(),
            4,
            "a note over the middle between rests"
        );
        let ties: Vec<bool> = filled
            .items
            .iter()
            .filter_map(|item| item.note.as_ref())
            .map(|head| head.tied)
            .collect();
        assert_eq!(ties, [true, false]);
        assert_eq!(filled.items[1].under.len(), 1);
        assert!(filled.items[2].under.is_empty());
    }

    #[test]
    fn events_out_of_order_are_put_in_order() {
        let filled = content(vec![note(2 * Q, 2 * Q, "A1"), note(0, 2 * Q, "B1")]);
        assert_eq!(filled.items[0].place.event, Some(1));
    }
}
