//! Any score at all gives pages: no panic, no endless work, nothing off the page.

use linewright_engrave::{Options, Paper, pages};
use linewright_notation::{BarLine, Event, Measure, Score, Symbol, SymbolAt, TimeSignature};
use linewright_theory::{Key, Letter, Mode, Name, Note};
use proptest::prelude::*;

fn ticks() -> impl Strategy<Value = u32> {
    prop_oneof![
        Just(0),
        Just(u32::MAX),
        0..100_000_u32,
        (0..40_u32).prop_map(|n| n * 1680),
        (0..40_u32).prop_map(|n| n * 2240),
        any::<u32>(),
    ]
}

fn event() -> impl Strategy<Value = Event> {
    let note = (0..7_i32, any::<i8>(), any::<i8>()).prop_map(|(letter, alter, octave)| Note {
        name: Name::new(Letter::from_index(letter), alter),
        octave,
    });
    let under = prop::collection::vec(".{0,20}", 0..3);
    (
        ticks(),
        ticks(),
        prop::option::of(note),
        any::<bool>(),
        any::<bool>(),
        under,
    )
        .prop_map(|(at, ticks, note, tied, ghost, under)| Event {
            at,
            ticks,
            note,
            tied,
            ghost,
            under,
        })
}

fn division() -> impl Strategy<Value = BarLine> {
    prop_oneof![
        Just(BarLine::Single),
        Just(BarLine::Double),
        Just(BarLine::Final),
        any::<u8>().prop_map(BarLine::Repeat),
    ]
}

fn measure() -> impl Strategy<Value = Measure> {
    let time = (any::<u8>(), any::<u8>()).prop_map(|(beats, unit)| TimeSignature { beats, unit });
    let key = (-7..=7_i8).prop_map(|fifths| Key::from_fifths(fifths, Mode::Minor).unwrap());
    let symbol = (ticks(), ".{0,12}").prop_map(|(at, text)| SymbolAt {
        at,
        symbol: Symbol::Unread(text),
    });
    (
        ticks(),
        any::<bool>(),
        prop::option::of(time),
        prop::option::of(key),
        prop::option::of(".{0,30}"),
        prop::collection::vec(any::<u8>(), 0..3),
        division(),
        prop::collection::vec(symbol, 0..4),
        prop::collection::vec(event(), 0..8),
    )
        .prop_map(
            |(ticks, flag, time, key, section, ending, right, symbols, events)| Measure {
                pickup: flag,
                time,
                key,
                section,
                ending,
                right,
                symbols,
                events,
                opens_repeat: flag,
                segno: flag,
                coda: flag,
                fine: flag,
                ..Measure::new(ticks)
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn any_score_gives_pages(
        measures in prop::collection::vec(measure(), 0..12),
        title in prop::option::of(".{0,60}"),
        tension in prop::collection::vec(any::<f64>(), 0..12),
        bars_per_system in any::<usize>(),
        staff_height in any::<u32>(),
        endless in any::<bool>(),
    ) {
        let score = Score { title, measures, ..Score::default() };
        let options = Options {
            paper: if endless { Paper::Endless } else { Paper::A4 },
            bars_per_system,
            staff_height,
            tension,
            ..Options::default()
        };
        let pages = pages(&score, &options);
        prop_assert!(!pages.is_empty());
        for page in &pages {
            let paper = page.bounds();
            for mark in page.marks() {
                prop_assert!(paper.contains(&mark.bounds()), "{mark:?} leaves {paper:?}");
            }
            prop_assert!(page.svg().ends_with("</svg>\n"));
        }
        #[cfg(feature = "print")]
        prop_assert!(linewright_engrave::pdf(&pages).is_ok());
    }
}
