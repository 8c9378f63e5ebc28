//! What is written comes back.

use linewright_diagnostic::Diagnostics;
use proptest::prelude::*;

use crate::musicxml::{Options, as_written, read, samples, write, write_mxl};
use crate::{Event, Measure, QUARTER, Score, Symbol, Ticks, TimeSignature};

const UNDER: Options = Options { under: true };

/// The page without what stands under the notes.
fn plain(score: &Score) -> Score {
    let mut score = as_written(score);
    for event in score.measures.iter_mut().flat_map(|m| &mut m.events) {
        event.under.clear();
    }
    score
}

/// What sounds: place, length, semitones above the first note; tied notes are one.
fn sounds(score: &Score) -> Vec<(Ticks, Ticks, Event)> {
    let mut list: Vec<(Ticks, Ticks, Event)> = Vec::new();
    let mut start = 0;
    let mut tied = false;
    for measure in &score.measures {
        for event in measure.events.iter().filter(|event| event.note.is_some()) {
            let at = start + event.at;
            match list.last_mut() {
                Some((from, ticks, last))
                    if tied && last.note == event.note && *from + *ticks == at =>
                {
                    *ticks += event.ticks;
                }
                _ => list.push((at, event.ticks, event.clone())),
            }
            tied = event.tied;
        }
        start += measure.ticks;
    }
    for (_, _, event) in &mut list {
        (event.at, event.ticks, event.tied) = (0, 0, false);
    }
    list
}

proptest! {
    #[test]
    fn any_score_comes_back_as_the_page_shows_it(score in samples::score()) {
        let (back, problems) = read(write(&score, &UNDER).as_bytes(), None).unwrap();
        let page = as_written(&score);
        prop_assert_eq!(&back, &page);
        prop_assert_eq!(problems, Diagnostics::default());
    }

    #[test]
    fn a_compressed_score_comes_back_without_its_rows(score in samples::score()) {
        let packed = write_mxl(&score, &Options::default());
        let (back, problems) = read(&packed, None).unwrap();
        prop_assert_eq!(back, plain(&score));
        prop_assert_eq!(problems, Diagnostics::default());
    }

    #[test]
    fn a_page_is_full_and_shows_itself_as_it_is(score in samples::score()) {
        let page = as_written(&score);
        for measure in &page.measures {
            let mut now = 0;
            for event in &measure.events {
                prop_assert_eq!(event.at, now);
                now += event.ticks;
            }
            prop_assert_eq!(now, measure.ticks);
        }
        let again = as_written(&page);
        prop_assert_eq!(sounds(&again), sounds(&page));
        prop_assert_eq!(again, page);
    }

    #[test]
    fn splitting_changes_nothing_that_sounds(score in samples::score()) {
        // Notes within their measures, without overlap, that a file can write.
        let mut score = score;
        for measure in &mut score.measures {
            let end = measure.ticks;
            measure.events.retain(|event| {
                event.ticks > 0 && event.at + event.ticks <= end
                    && event.note.is_none_or(|note| {
                        (-2..=2).contains(&note.name.alter) && (-1..=8).contains(&note.octave)
                    })
            });
            for event in &mut measure.events {
                (event.tied, event.under) = (false, Vec::new());
                event.ghost &= event.note.is_some();
            }
        }
        score.measures.retain(|measure| measure.ticks > 0);
        prop_assert_eq!(sounds(&as_written(&score)), sounds(&score));
    }

    #[test]
    fn the_same_score_gives_the_same_bytes(score in samples::score()) {
        prop_assert_eq!(write(&score, &UNDER), write(&score.clone(), &UNDER));
        prop_assert_eq!(write_mxl(&score, &UNDER), write_mxl(&score.clone(), &UNDER));
    }
}

#[test]
fn unread_symbols_are_kept_as_text_without_being_news() {
    let mut score = as_written(&Score::default());
    assert_eq!(score.measures.len(), 1);
    score.measures[0].symbols.push(crate::SymbolAt {
        at: 0,
        symbol: Symbol::Unread("C|H7".to_owned()),
    });
    let (back, problems) = read(write(&score, &UNDER).as_bytes(), None).unwrap();
    assert_eq!(
        back.measures[0].symbols[0].symbol,
        Symbol::Unread("C|H7".to_owned())
    );
    assert!(problems.is_empty(), "{problems}");
}

#[test]
fn of_a_very_long_unread_symbol_the_beginning_comes_back() {
    let mut score = as_written(&Score::default());
    score.measures[0].symbols.push(crate::SymbolAt {
        at: 0,
        symbol: Symbol::Unread("é".repeat(201)),
    });
    let page = as_written(&score);
    let kept = Symbol::Unread("é".repeat(40) + "…");
    assert_eq!(page.measures[0].symbols[0].symbol, kept);
    let (back, _) = read(write(&score, &UNDER).as_bytes(), None).unwrap();
    assert_eq!(back, page);
}

#[test]
fn the_longest_metre_comes_back_and_what_is_longer_is_cut() {
    let time = TimeSignature {
        beats: 255,
        unit: 1,
    };
    let mut long = Measure::new(time.ticks());
    long.time = Some(time);
    let score = Score {
        measures: vec![long, Measure::new(Ticks::MAX)],
        ..Score::default()
    };
    let page = as_written(&score);
    assert_eq!(page.measures[0].ticks, 4 * 255 * QUARTER);
    assert_eq!(page.measures[1].ticks, 1024 * QUARTER);
    let (back, problems) = read(write(&score, &UNDER).as_bytes(), None).unwrap();
    assert_eq!(back, page);
    assert!(problems.is_empty(), "{problems}");
}
