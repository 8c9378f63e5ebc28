//! A page, a MusicXML file and an ABC tune of one score have the same note heads.

use linewright_engrave::{Options, pages};
use linewright_notation::written;
use linewright_notation::{
    Event, Measure, QUARTER, Score, Symbol, SymbolAt, Ticks, TimeSignature, abc, musicxml,
};
use proptest::prelude::*;

/// Lengths, some of which no single head has.
fn length() -> impl Strategy<Value = Ticks> {
    prop_oneof![
        6 => (1..=8_u32).prop_map(|eighths| eighths * QUARTER / 2),
        3 => (1..=5_u32).prop_map(|thirds| thirds * QUARTER / 3),
        2 => (1..=7_u32).prop_map(|sixteenths| sixteenths * QUARTER / 4),
        1 => (1..=5_u32).prop_map(|fifths| fifths * QUARTER / 5),
        1 => Just(8 * QUARTER),
    ]
}

const NOTES: [&str; 9] = ["E1", "F#1", "A1", "Bb1", "C2", "C#2", "Eb2", "G2", "B2"];

/// The length of a note by its place in the list, of a rest behind the list or of a gap (`None`),
/// and whether it is tied to the note after it.
type Step = (Ticks, Option<u8>, bool);

fn step() -> impl Strategy<Value = Step> {
    (
        length(),
        prop_oneof![1 => Just(None), 8 => (0..10_u8).prop_map(Some)],
        prop::bool::weighted(0.2),
    )
}

/// The steps laid out in measures of a metre, the first `short` ticks short: what reaches over a
/// bar line is tied there.
fn score(time: TimeSignature, short: Ticks, steps: &[Step]) -> Score {
    let mut measures = vec![Measure::new(time.ticks() - short)];
    measures[0].time = Some(time);
    measures[0].pickup = short > 0;
    let mut now = 0;
    for &(length, what, tied) in steps {
        let name = what.and_then(|place| NOTES.get(usize::from(place)));
        let note = name.map(|name| name.parse().unwrap());
        let mut left = length;
        while left > 0 {
            let measure = measures.last_mut().unwrap();
            let ticks = left.min(measure.ticks - now);
            left -= ticks;
            if what.is_some() && ticks > 0 {
                if measure.events.len() % 3 == 0 {
                    let symbol = Symbol::NoChord;
                    measure.symbols.push(SymbolAt { at: now, symbol });
                }
                measure.events.push(Event {
                    note,
                    tied: note.is_some() && (left > 0 || tied),
                    ..Event::rest(now, ticks)
                });
            }
            now += ticks;
            if now == measure.ticks {
                measures.push(Measure::new(time.ticks()));
                now = 0;
            }
        }
    }
    Score {
        measures,
        ..Score::default()
    }
}

/// The letters of notes in the music of a tune.
fn letters(tune: &str) -> usize {
    let (_, music) = tune.split_once("clef=bass-8\n").expect("a header");
    let mut within = None;
    let mut count = 0;
    for c in music.chars() {
        match (within, c) {
            (None, '"' | '!') => within = Some(c),
            (Some(end), c) if c == end => within = None,
            (None, 'A'..='G' | 'a'..='g') => count += 1,
            _ => {}
        }
    }
    count
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn every_format_has_the_heads_of_the_written_measures(
        (beats, unit) in prop::sample::select(vec![
            (4, 4), (4, 4), (3, 4), (5, 4), (6, 4), (7, 4), (2, 2), (6, 8), (7, 8), (12, 8), (4, 2),
        ]),
        short in 0..4_u32,
        steps in prop::collection::vec(step(), 0..24),
    ) {
        let time = TimeSignature { beats, unit };
        let score = score(time, short * QUARTER / 2, &steps);
        let measures = written::measures(&score);
        let notes = measures.iter().flat_map(|measure| &measure.notes);
        let heads = notes.filter(|note| note.note.is_some()).count();

        let pages = pages(&score, &Options::default());
        let svg: usize = pages.iter().map(|page| page.svg().matches("href=\"#Head").count()).sum();
        prop_assert_eq!(svg, heads, "on pages");

        let xml = musicxml::write(&score, &musicxml::Options::default());
        let rests = xml.matches("<rest").count();
        prop_assert_eq!(xml.matches("<note>").count() - rests, heads, "in MusicXML");

        let tune = abc::write(std::slice::from_ref(&score));
        prop_assert_eq!(letters(&tune), heads, "{}", tune);
    }
}
