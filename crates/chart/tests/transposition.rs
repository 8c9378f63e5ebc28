//! Charts in other keys.

use linewright_chart::Chart;

fn chart(text: &str) -> Chart {
    Chart::parse("test", text.as_bytes()).unwrap_or_else(|faults| panic!("{faults}"))
}

/// The bars of the printed chart, without the header.
fn page(chart: &Chart) -> String {
    let printed = chart.to_string();
    let (_, page) = printed.split_once("\n\n").expect("a blank line");
    page.trim_end().to_owned()
}

#[test]
fn a_chart_goes_through_all_twelve_keys_in_their_usual_spelling() {
    let chart = chart("key: C\nDm7 G7/B | Cmaj7 F#dim7");
    let expected = [
        "| Dm7 G7/B | Cmaj7 F#dim7 |",
        "| Ebm7 Ab7/C | Dbmaj7 Gdim7 |",
        "| Em7 A7/C# | Dmaj7 G#dim7 |",
        "| Fm7 Bb7/D | Ebmaj7 Adim7 |",
        "| F#m7 B7/D# | Emaj7 A#dim7 |",
        "| Gm7 C7/E | Fmaj7 Bdim7 |",
        "| G#m7 C#7/E# | F#maj7 B#dim7 |",
        "| Am7 D7/F# | Gmaj7 C#dim7 |",
        "| Bbm7 Eb7/G | Abmaj7 Ddim7 |",
        "| Bm7 E7/G# | Amaj7 D#dim7 |",
        "| Cm7 F7/A | Bbmaj7 Edim7 |",
        "| C#m7 F#7/A# | Bmaj7 E#dim7 |",
    ];
    for (semitones, expected) in (0..).zip(expected) {
        assert_eq!(
            page(&chart.transposed_by(semitones)),
            expected,
            "{semitones} up"
        );
        let down = chart.transposed_by(semitones - 12);
        assert_eq!(
            down,
            chart.transposed_by(semitones),
            "an octave changes nothing"
        );
    }
}

#[test]
fn the_target_key_sets_the_spelling() {
    let chart = chart("key: C\nDm7 G7 | C");
    let moved = |key: &str| chart.transposed(&key.parse().unwrap());
    assert_eq!(page(&moved("Gb")), "| Abm7 Db7 | Gb |");
    assert_eq!(page(&moved("F#")), "| G#m7 C#7 | F# |");
    assert_eq!(moved("Gb").key().to_string(), "Gb major");
}

#[test]
fn the_mode_of_the_chart_stays() {
    let chart = chart("key: Am\nBm7b5 E7 | Am");
    let moved = chart.transposed(&"D major".parse().unwrap());
    assert_eq!(moved.key().to_string(), "D minor");
    assert_eq!(page(&moved), "| Em7b5 A7 | Dm |");
    // D flat minor has no signature, so that the chart goes to C sharp minor.
    let moved = chart.transposed(&"Db major".parse().unwrap());
    assert_eq!(moved.key().to_string(), "C# minor");
    assert_eq!(page(&moved), "| D#m7b5 G#7 | C#m |");
}

#[test]
fn changes_of_key_move_along_and_everything_else_stays() {
    let text = "\
title: Moves
key: C
time: 4/4
tempo: 90
pickup: 1

| G7 |
|: C | (key: Eb) (tempo: 100) Eb N.C. |1. % :|2. / Ab / / |]
";
    let moved = "\
title: Moves
key: F
time: 4/4
tempo: 90
pickup: 1

| C7 |
|: F | (key: Ab) (tempo: 100) Ab N.C. |1. % :|2. / Db / / |]
";
    assert_eq!(chart(text).transposed_by(5).to_string(), moved);
    assert_eq!(chart(moved).transposed_by(-5).to_string(), text);
}

#[test]
fn an_inferred_key_is_told_after_transposing() {
    let chart = chart("Dm7 | G7 | Cmaj7 | Cmaj7");
    assert!(!chart.tells_key());
    let moved = chart.transposed_by(2);
    assert!(moved.tells_key());
    assert_eq!(moved.key().to_string(), "D major");
    assert_eq!(
        chart.transposed_by(0).unroll().unwrap(),
        chart.unroll().unwrap()
    );
}
