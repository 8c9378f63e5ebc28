//! What the values of a measure say together.

use proptest::prelude::*;

use super::*;
use crate::musicxml::{as_written, samples};

const Q: Ticks = QUARTER;

/// The heads of measures of this metre: `2.~` is a tied dotted half, `r8` an eighth rest, `(8` the
/// first and `8)` the last of a tuplet. Measures are given as lengths in quarters over `under`;
/// negative ones are rests, and below -100 gaps.
fn written(beats: u8, unit: u8, under: Ticks, bars: &[&[i32]]) -> Vec<String> {
    let time = TimeSignature { beats, unit };
    let bars = bars.iter().map(|lengths| {
        let mut measure = Measure::new(0);
        for &length in *lengths {
            let ticks = length.unsigned_abs() % 100 * Q / under;
            let note = (length > 0).then(|| "F2".parse().unwrap());
            if length > -100 {
                measure.events.push(Event {
                    note,
                    ..Event::rest(measure.ticks, ticks)
                });
            }
            measure.ticks += ticks;
        }
        measure
    });
    let mut score = Score {
        measures: bars.collect(),
        ..Score::default()
    };
    score.measures[0].time = Some(time);
    measures(&score).iter().map(text).collect()
}

fn text(measure: &WrittenMeasure) -> String {
    let words = measure.notes.iter().map(|note| {
        let value = match note.value {
            None => "?".to_owned(),
            Some(value) if value.halvings < 0 => "breve".to_owned(),
            Some(value) => (1 << value.halvings).to_string(),
        };
        let dot = note.value.is_some_and(|value| value.dotted);
        let is_in = |place: fn(&Tuplet) -> bool| note.tuplet.as_ref().is_some_and(place);
        let signs = [
            (is_in(|tuplet| tuplet.first), "("),
            (note.note.is_none(), "r"),
            (true, if note.whole { "bar" } else { &value }),
            (dot, "."),
            (note.tied, "~"),
            (is_in(|tuplet| tuplet.last), ")"),
        ];
        let told = signs.iter().filter(|(is, _)| *is).map(|(_, sign)| *sign);
        told.collect::<String>()
    });
    words.collect::<Vec<_>>().join(" ")
}

/// The heads of one measure.
fn one(beats: u8, unit: u8, under: Ticks, lengths: &[i32]) -> String {
    written(beats, unit, under, &[lengths]).remove(0)
}

#[test]
fn a_note_over_the_middle_of_four_is_tied_there() {
    let halves = |lengths: &[i32]| one(4, 4, 2, lengths);
    assert_eq!(halves(&[8]), "1");
    assert_eq!(halves(&[6, 2]), "2. 4");
    assert_eq!(halves(&[2, 6]), "4 4~ 2");
    assert_eq!(halves(&[2, 4, 2]), "4 4~ 4 4");
    assert_eq!(halves(&[2, 3, 3]), "4 4~ 8 4.");
    assert_eq!(halves(&[3, 5]), "4. 8~ 2");
    assert_eq!(halves(&[3, 2, 3]), "4. 8~ 8 4.");
    assert_eq!(halves(&[1, 7]), "8 4.~ 2");
    // Within a half of the measure a syncopation stands as it is.
    assert_eq!(halves(&[1, 2, 1, 1, 3]), "8 4 8 8 4.");
    assert_eq!(one(2, 2, 2, &[2, 4, 2]), "4 4~ 4 4");
    assert_eq!(one(4, 8, 2, &[1, 2, 1]), "8 8~ 8 8");
}

#[test]
fn a_sixteenth_off_the_beat_is_tied_over_it() {
    assert_eq!(one(4, 4, 4, &[1, 4, 11]), "16 8.~ 16 8.~ 2");
    assert_eq!(one(4, 4, 4, &[1, 2, 1, 12]), "16 8 16 4~ 2");
    assert_eq!(one(3, 4, 2, &[1, 4, 1]), "8 4.~ 8 8");
}

#[test]
fn other_metres_show_their_groups() {
    let quarters = |beats: u8, lengths: &[i32]| one(beats, 4, 1, lengths);
    assert_eq!(quarters(3, &[1, 2]), "4 2");
    assert_eq!(quarters(5, &[5]), "2.~ 2");
    assert_eq!(quarters(5, &[4, 1]), "2.~ 4 4");
    assert_eq!(quarters(6, &[6]), "1.");
    assert_eq!(quarters(6, &[4, 2]), "2.~ 4 2");
    assert_eq!(quarters(6, &[2, 2, 2]), "2 4~ 4 2");
    assert_eq!(quarters(7, &[6, 1]), "1~ 2 4");
    assert_eq!(quarters(7, &[7]), "1~ 2.");
    assert_eq!(quarters(8, &[3, 2, 3]), "2. 4~ 4 2.");
    assert_eq!(quarters(9, &[1, -108]), "4 r4 r4 r4 r4 r4 r4 r4 r4");
    let eighths = |beats: u8, lengths: &[i32]| one(beats, 8, 2, lengths);
    assert_eq!(eighths(6, &[4, 2]), "4.~ 8 4");
    assert_eq!(eighths(6, &[2, 2, 2]), "4 8~ 8 4");
    assert_eq!(eighths(12, &[3, 6, 3]), "4. 4.~ 4. 4.");
    assert_eq!(eighths(12, &[6, 6]), "2. 2.");
    assert_eq!(eighths(7, &[4, 3]), "2 4.");
    assert_eq!(eighths(7, &[1, 2, 4]), "8 8~ 8 8~ 4.");
}

#[test]
fn rests_show_the_middle_and_in_three_each_beat() {
    for rest in [-1, -101] {
        let halves = |lengths: [i32; 3]| {
            let signed = lengths.map(|length| {
                if length < 0 {
                    length + rest + 1
                } else {
                    length
                }
            });
            one(4, 4, 2, &signed)
        };
        assert_eq!(halves([2, -4, 2]), "4 r4 r4 4");
        assert_eq!(halves([-4, 2, 2]), "r2 4 4");
        assert_eq!(halves([2, 2, -4]), "4 4 r2");
        assert_eq!(halves([-6, 1, 1]), "r2 r4 8 8");
    }
    assert_eq!(one(3, 4, 1, &[-2, 1]), "r4 r4 4");
    assert_eq!(one(3, 4, 1, &[1, -102]), "4 r4 r4");
    assert_eq!(one(5, 4, 1, &[1, -103, 1]), "4 r4 r4 r4 4");
    assert_eq!(one(5, 4, 1, &[3, -2]), "2. r2");
    assert_eq!(
        one(6, 4, 1, &[-3, 3]),
        "r2. 2.",
        "given, and half the measure"
    );
    assert_eq!(one(6, 8, 2, &[-103, 3]), "r4. 4.");
    assert_eq!(one(6, 8, 2, &[1, -104, 1]), "8 r8 r8 r4 8");
}

#[test]
fn a_measure_without_a_note_has_one_rest_and_a_pick_up_has_those_of_its_place() {
    assert_eq!(written(5, 4, 1, &[&[-5], &[-105]]), ["rbar", "rbar"]);
    assert_eq!(written(4, 4, 1, &[&[-3], &[4]]), ["r4 r2", "1"]);
    assert_eq!(written(4, 4, 1, &[&[2, 1], &[2, 1]]), ["4~ 4 4", "2 4"]);
    assert_eq!(written(4, 4, 2, &[&[2, 3], &[8]]), ["8~ 8 4.", "1"]);
}

#[test]
fn tuplets_keep_their_notes_together() {
    assert_eq!(one(4, 4, 3, &[1, 1, 1, 2, 1, 6]), "(8 8 8) (4 8) 2");
    assert_eq!(one(4, 4, 3, &[2, 2, 2, 6]), "(4 4 4) 2");
    assert_eq!(one(4, 4, 3, &[1, 1, 4, 6]), "(8 8 2) 2");
    assert_eq!(one(4, 4, 6, &[2, 2, 5, 15]), "(8 8 8~) 8 8~ 2");
}

#[test]
fn a_tuplet_has_a_bracket_where_its_beam_does_not_show_it() {
    let brackets = |under: Ticks, lengths: &[i32]| -> Vec<bool> {
        let time = TimeSignature { beats: 4, unit: 4 };
        let mut measure = Measure::new(time.ticks());
        let mut now = 0;
        for &length in lengths {
            let ticks = length as Ticks * Q / under;
            let note = "F2".parse().unwrap();
            measure.events.push(Event::note(now, ticks, note));
            now += ticks;
        }
        let notes = of_measure(&measure, &Metre::of(time), true, Medium::Staff);
        let firsts = notes.iter().filter_map(|note| note.tuplet);
        let firsts = firsts.filter(|tuplet| tuplet.first);
        firsts.map(|tuplet| tuplet.bracket).collect()
    };
    assert_eq!(brackets(3, &[1, 1, 1, 9]), [false]);
    assert_eq!(brackets(3, &[2, 1, 9]), [true]);
    // Another note under its beam.
    assert_eq!(brackets(6, &[1, 1, 1, 3, 18]), [true]);
    // Five eighths in the time of four, over a beat.
    assert_eq!(brackets(5, &[2, 2, 2, 2, 2, 10]), [false]);
}

#[test]
fn in_a_text_a_head_begins_under_every_symbol() {
    let mut measure = Measure::new(4 * Q);
    measure.events = vec![Event::note(0, 4 * Q, "F2".parse().unwrap())];
    measure.symbols = [0, 3 * Q]
        .map(|at| crate::SymbolAt {
            at,
            symbol: crate::Symbol::NoChord,
        })
        .into();
    let metre = Metre::of(TimeSignature { beats: 4, unit: 4 });
    let heads = |medium| {
        let notes = of_measure(&measure, &metre, true, medium);
        text(&WrittenMeasure { notes })
    };
    assert_eq!(heads(Medium::Staff), "1");
    assert_eq!(heads(Medium::Text), "2.~ 4");
}

#[test]
fn what_no_metre_makes_is_one_head() {
    let mut long = Measure::new(Ticks::MAX);
    long.events = vec![Event::note(3, Ticks::MAX, "F2".parse().unwrap())];
    let score = Score {
        measures: vec![long, Measure::new(0)],
        ..Score::default()
    };
    let written = measures(&score);
    let lengths: Vec<Ticks> = written[0].notes.iter().map(|note| note.ticks).collect();
    assert_eq!(lengths, [3, Ticks::MAX - 3]);
    assert_eq!(written[1].notes, []);
}

/// Where the groups of the usual metres begin, in quarters over two; the first at 0.
fn groups(time: TimeSignature) -> Option<&'static [Ticks]> {
    Some(match (time.beats, time.unit) {
        (2 | 3, 4) => &[0],
        (4, 4) => &[0, 4],
        (5 | 6, 4) => &[0, 6],
        (7, 4) => &[0, 8],
        (3, 8) => &[0],
        (5 | 6, 8) => &[0, 3],
        (7, 8) => &[0, 2, 4],
        (9, 8) => &[0, 3, 6],
        (12, 8) => &[0, 3, 6, 9],
        _ => return None,
    })
}

proptest! {
    #[test]
    fn values_add_up(score in samples::score()) {
        for (measure, written) in score.measures.iter().zip(measures(&score)) {
            let mut now = 0;
            let mut tuplet = 0;
            for note in &written.notes {
                prop_assert_eq!(note.at, now);
                now += note.ticks;
                let Some(part) = note.tuplet else {
                    prop_assert!(note.value.is_none_or(|value| value.ticks() == note.ticks));
                    continue;
                };
                let value = note.value.expect("a tuplet has values").ticks();
                prop_assert_eq!(value * part.normal, note.ticks * part.actual);
                tuplet = note.ticks + if part.first { 0 } else { tuplet };
                if part.last {
                    prop_assert_eq!(tuplet, part.normal * part.unit.ticks());
                }
            }
            prop_assert_eq!(now, measure.ticks);
        }
    }

    #[test]
    fn the_parts_of_an_event_are_the_event(score in samples::score()) {
        for (measure, written) in score.measures.iter().zip(measures(&score)) {
            for (place, event) in measure.events.iter().enumerate() {
                let parts: Vec<&WrittenNote> = written
                    .notes
                    .iter()
                    .filter(|note| note.of == Some(place))
                    .collect();
                // In a sample, events follow each other and may reach beyond their measure.
                let ticks = measure.ticks.saturating_sub(event.at).min(event.ticks);
                prop_assert_eq!(parts.iter().map(|part| part.ticks).sum::<Ticks>(), ticks);
                for (rank, part) in parts.iter().enumerate() {
                    prop_assert_eq!(part.begins, rank == 0);
                    prop_assert_eq!(part.note, event.note);
                    if rank == 0 {
                        prop_assert_eq!(part.at, event.at);
                    }
                    if rank + 1 < parts.len() {
                        prop_assert_eq!(part.tied, event.note.is_some());
                    }
                }
            }
        }
    }

    #[test]
    fn what_is_written_is_written_again_as_it_is(score in samples::score()) {
        let page = as_written(&score);
        for (measure, written) in page.measures.iter().zip(measures(&page)) {
            for (place, note) in written.notes.iter().enumerate() {
                prop_assert_eq!((note.of, note.begins), (Some(place), true));
            }
            let events = written.notes.iter().map(|note| note.event(&measure.events));
            let events: Vec<Event> = events.collect();
            prop_assert_eq!(&events, &measure.events);
        }
    }

    #[test]
    fn no_head_hides_the_border_of_a_group(score in samples::score()) {
        let mut time = TimeSignature { beats: 4, unit: 4 };
        let page = as_written(&score);
        for (place, (measure, written)) in page.measures.iter().zip(measures(&page)).enumerate() {
            time = measure.time.unwrap_or(time);
            let Some(groups) = groups(time) else { continue };
            let missing = match place {
                0 => time.ticks().saturating_sub(measure.ticks),
                _ => 0,
            };
            for note in &written.notes {
                let (from, to) = (note.at + missing, note.at + missing + note.ticks);
                let shown = note.tuplet.is_some() || note.whole || !from.is_multiple_of(Q / 64);
                // A value that cannot be drawn has no part that could.
                if shown || note.value.is_none() || to > time.ticks() {
                    continue;
                }
                let borders = groups.iter().map(|border| border * Q / 2);
                let hidden: Vec<Ticks> = borders.clone().filter(|&b| from < b && b < to).collect();
                let fills = borders.clone().any(|border| border == from)
                    && borders.chain([time.ticks()]).any(|border| border == to);
                let middle = time.beats == 12 && from > 0 && hidden.contains(&(3 * Q));
                let three_of_four = (time.beats, time.unit, from, to) == (4, 4, 0, 3 * Q);
                let may = note.note.is_some() && (fills && !middle || three_of_four);
                prop_assert!(hidden.is_empty() || may, "{time:?} {}", text(&written));
            }
        }
    }

    #[test]
    fn beams_begin_and_end_and_hold_notes_of_one_group(score in samples::score()) {
        for written in measures(&score) {
            for level in 0..8 {
                let mut open = false;
                for note in &written.notes {
                    let beam = note.beams.get(level);
                    prop_assert!(beam.is_none() || note.value.unwrap().beams() > level);
                    prop_assert_eq!(open, matches!(beam, Some(Beam::Continue | Beam::End)));
                    open = matches!(beam, Some(Beam::Begin | Beam::Continue));
                }
                prop_assert!(!open);
            }
        }
    }
}
