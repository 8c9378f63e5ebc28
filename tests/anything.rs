//! Lines that nobody would write, over charts that they do not fit: every command that reads a
//! line comes to an end with an answer or with words.

use linewright::study::mark::{Asked as Marking, Marked};
use linewright::study::vary::{Asked, vary};
use linewright::{Chart, Library, Reading, read_lines};
use proptest::prelude::*;

const CHARTS: [&str; 4] = [
    "| F7 | Bb7 | F7 | F7 | Bb7 | Bb7 | F7 | D7 | Gm7 | C7 | F7 | C7 |",
    "| Dm7 | Dm7 | Dm7 | Dm7 |",
    "time: 3/4\n| C | Am7 D7 | N.C. | G7sus4 |",
    "pickup: 1\nG7 | C6/9 | F#m7b5 B7alt | Em(maj7) | C/Bb |",
];

/// A beat of a line: any note of the instrument and beyond, held, rested, divided.
fn a_beat() -> impl Strategy<Value = String> {
    let note = "[A-G](#|b|)[0-4]";
    prop_oneof![
        8 => note,
        1 => Just(".".to_owned()),
        1 => Just("r".to_owned()),
        1 => note.prop_map(|note| format!("x{note}")),
        2 => (note, note).prop_map(|(a, b)| format!("({a} {b})")),
        1 => (note, note).prop_map(|(a, b)| format!("({a} . {b})")),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn any_line_is_explained_marked_and_varied(
        beats in prop::collection::vec(a_beat(), 1..52),
        bars in 2usize..6,
        chart in prop::sample::select(CHARTS.to_vec()),
        grade in 1u8..=8,
        from in any::<prop::sample::Index>(),
        count in 1usize..40,
    ) {
        let chart = Chart::parse("chart", chart.as_bytes()).expect("a chart");
        let rows: Vec<String> = beats.chunks(bars).map(|bar| format!("| {} ", bar.join(" "))).collect();
        let text = rows.concat() + "|\n";
        let Ok((lines, _)) = read_lines("line.txt", text.as_bytes(), None) else {
            return Ok(());
        };
        let style = Library::builtin().style(&format!("grade-{grade}")).expect("a grade");
        let how = Reading { style: Some(style), ..Reading::default() };
        let (tune, study) = lines[0].study(&chart, &how).expect("a style that fits");
        let line = study.line.clone();
        if line.reading.notes.is_empty() {
            return Ok(());
        }
        let marking = Marking { mends: true, fix: Some(12) };
        let marked = Marked::of(tune.composer(), study, marking);
        prop_assert_eq!(marked.study.line.reading.notes.len(), line.reading.notes.len());
        let first = from.index(line.timeline.bars.len());
        let last = (first + 8).min(line.timeline.bars.len());
        let asked = Asked { count, strategies: Vec::new(), distance: None };
        if let Ok(varied) = vary(tune.composer(), &line, first..last, &asked) {
            prop_assert!(varied.variations.len() <= count);
            for answer in &varied.variations {
                prop_assert!(answer.changed.len() >= varied.distance);
            }
        }
    }
}
