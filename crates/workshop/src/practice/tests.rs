//! Small invented lines, counted by hand.

use linewright_chart::Chart;
use linewright_theory::Note as Name;

use super::*;

/// The runs of a line over a chart, bar by bar: a note on each beat, `-` where none is.
fn runs(chart: &str, line: &str) -> Vec<Run> {
    let text = format!("title: Invented\nkey: C\n\n{chart}\n");
    let chart = Chart::parse("invented", text.as_bytes()).unwrap_or_else(|e| panic!("{e}"));
    let mut notes = Vec::new();
    for (bar, row) in line.split('|').enumerate() {
        for (beat, name) in (0..).zip(row.split_whitespace()) {
            if name != "-" {
                let pitch = name.parse::<Name>().unwrap().pitch().unwrap();
                notes.push((bar, beat, pitch.midi()));
            }
        }
    }
    Run::all(&chart.unroll().unwrap(), &notes)
}

fn six_bars() -> Vec<Run> {
    runs(
        "| Dm7 | G7 | Cmaj7 | Cmaj7 | C6 A7 | A7 |",
        "D2 D3 D2 Ab2 | G2 G2 B2 G2 | C2 D2 G2 E3 | C2 D2 G2 E3 | B2 Bb2 A2 A1 | G2 G2 B2 G2",
    )
}

#[test]
fn every_figure_is_as_counted_by_hand() {
    let of = |part: u32, whole: u32| 100.0 * f64::from(part) / f64::from(whole);
    #[rustfmt::skip]
    let by_hand = [
        // Roots: on 1, on 3, at onsets.
        of(3, 4), of(1, 2), of(1, 1), of(1, 5), of(4, 5),
        // Over the bar line: -1, -7, -16, -5, +10.
        of(1, 5), of(1, 5), of(0, 5), of(1, 5), of(1, 5),
        // Where the root changes: Ab to G, and G to C.
        of(1, 2), of(2, 2), of(1, 2), of(0, 2), of(1, 2),
        // Repeats.
        of(2, 23), of(2, 6), of(0, 6), of(0, 6),
        // Moves, from half steps to beyond the octave; then half steps by beat.
        of(3, 23), of(2, 23), of(4, 23), of(3, 23), of(1, 23), of(1, 23), of(3, 23), of(3, 23), of(1, 23),
        of(1, 6), of(1, 6), of(0, 6),
        // Up, down; of two moves: the same way, back, two half steps, leaps left open (the last
        // of six is followed by a repeated note, the one of 16 down by a step up).
        of(11, 23), of(10, 23), of(8, 22), of(3, 22), of(1, 22), of(5, 22),
        // Notes of bars.
        of(1, 6), of(2, 6), of(1, 6), 66.0 / 6.0,
        // Bars alike.
        of(1, 5), of(1, 5), of(1, 1), of(0, 4), of(1, 2),
        // Means of bars: 42.5, 44, 42.25, 42.25, 42.75, 44.
        1.0, 0.125,
        // Other notes by beat, thirds, ninths, fourths.
        of(1, 6), of(1, 6), of(0, 6), of(1, 6), of(1, 6), of(2, 6), of(0, 6),
        // 33, two 36, four 38, eight 43, 44, 45, 46, three 47, 50, two 52.
        33.69, 36.0, 38.0, 43.0, 46.25, 51.7, 52.0, 4.8775,
    ];
    let figures = figures(&six_bars());
    assert_eq!(figures.len(), by_hand.len());
    for (figure, by_hand) in figures.iter().zip(by_hand) {
        let Figure { name, value, .. } = figure;
        assert!(
            (value - by_hand).abs() < 5e-5,
            "{name}: {value}, not {by_hand}"
        );
    }
}

#[test]
fn figures_of_nothing_are_no_numbers_and_never_inside() {
    for figure in figures(&[]) {
        assert!(figure.value.is_nan() && !figure.is_inside(), "{figure:?}");
    }
}

#[test]
fn a_figure_is_inside_as_exactly_as_the_interval_is_told() {
    let at = |value| Figure {
        value,
        interval: (10.0, 30.0),
        decimals: 1,
        ..figures(&[])[0]
    };
    assert!(at(9.96).is_inside() && at(30.04).is_inside());
    assert!(!at(9.94).is_inside() && !at(30.06).is_inside());
}

#[test]
fn runs_are_bars_on_end_with_a_note_over_a_chord_on_every_beat() {
    let chart = "| C | C F | N.C. | F | F | F | (time: 3/4) F |";
    let line = "C2 C2 C2 C2 | C2 C2 C2 C2 | C2 C2 C2 C2 | F2 F2 F2 F2 | F2 - F2 F2 | F2 F2 F2 F2 | F2 F2 F2";
    let found: Vec<Vec<(usize, bool)>> = runs(chart, line)
        .iter()
        .map(|run| run.notes().iter().map(|n| (n.bar, n.new)).collect())
        .collect();
    let first_is_new = |bar| (0..4).map(move |beat| (bar, beat == 0));
    let mut two_bars: Vec<_> = first_is_new(0).collect();
    two_bars.extend((0..4).map(|beat| (1, beat == 2)));
    let expected = [
        two_bars,
        first_is_new(3).collect(),
        first_is_new(5).collect(),
    ];
    assert_eq!(found, expected);
}

#[test]
fn counts_of_lines_add_up() {
    let (some, more) = (
        six_bars(),
        runs("| F7 | Bb7 |", "F2 A2 C3 B2 | Bb2 G2 E2 F2"),
    );
    let mut joined = Counts::of(&some);
    joined.join(&Counts::of(&more));
    assert_eq!(joined, Counts::of(&[some, more].concat()));
    assert_eq!(joined.notes(), 32);
}
