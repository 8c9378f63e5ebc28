//! Long passages with many answers: they keep their distance, stay as many as asked for and the
//! same each time, and the search says that it did not look at everything.

mod support;

use linewright_compose::Choice;
use linewright_study::vary::{Asked, Varied, vary};
use linewright_theory::Pitch;
use support::{composer, timeline};

fn varied(count: usize) -> (Varied, Vec<Vec<Pitch>>) {
    let composer = composer("plain");
    let chart = "| F7 | Bb7 | F7 | F7 | Bb7 | Bb7 | F7 | D7 | Gm7 | C7 | F7 | C7 |";
    let line = composer.compose(&timeline(chart), 3, 0, Choice::Best);
    let line = line.expect("a line");
    let asked = Asked {
        count,
        strategies: Vec::new(),
        distance: None,
    };
    let varied = vary(&composer, &line, 2..10, &asked).expect("answers");
    let notes = |line: &linewright_compose::Line| -> Vec<Pitch> {
        line.reading.notes.iter().map(|note| note.pitch).collect()
    };
    let mut rows = vec![notes(&line)];
    rows.extend(varied.variations.iter().map(|answer| notes(&answer.line)));
    (varied, rows)
}

#[test]
fn a_hundred_ways_through_thirty_two_notes_keep_their_distance() {
    let (varied, rows) = varied(100);
    assert_eq!(varied.distance, 12);
    assert!(varied.variations.len() >= 90, "{}", varied.variations.len());
    assert!(varied.cut_short);
    for (nth, row) in rows.iter().enumerate() {
        for other in &rows[..nth] {
            assert_eq!(row[..8], other[..8]);
            assert_eq!(row[40..], other[40..]);
            let differ = row.iter().zip(other).filter(|(a, b)| a != b).count();
            assert!(differ >= 12, "{nth}: {differ}");
        }
    }
    for answer in &varied.variations {
        assert!(!answer.line.reading.breaks_limits());
    }
}

#[test]
fn the_first_answers_are_good_and_the_same_each_time() {
    let (first, rows) = varied(10);
    let (_, again) = varied(10);
    assert_eq!(rows, again);
    // The line is the best under its plan; what is different in twelve notes is not much worse.
    let worths: Vec<i64> = first.variations.iter().map(|answer| answer.worth).collect();
    assert!(worths.iter().all(|worth| *worth > -20_000), "{worths:?}");
}
