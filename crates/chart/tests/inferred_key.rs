//! The key of charts that tell none. The progressions are generic forms; the
//! keys are what a player would say (common practice, no source).

use linewright_chart::Chart;

fn key(text: &str) -> String {
    let chart = Chart::parse("test", text.as_bytes()).unwrap_or_else(|faults| panic!("{faults}"));
    assert!(!chart.tells_key());
    chart.key().to_string()
}

const FORMS: [(&str, &str); 16] = [
    ("F7|Bb7|F7|F7|Bb7|Bb7|F7|F7|C7|Bb7|F7|C7", "F major"),
    (
        "F7|Bb7|F7|Cm7 F7|Bb7|Bdim7|F7|Am7b5 D7|Gm7|C7|F7 D7|Gm7 C7",
        "F major",
    ),
    (
        "Cm7|Fm7|Cm7|Cm7|Fm7|Fm7|Cm7|Cm7|Ab7|G7|Cm7|Dm7b5 G7",
        "C minor",
    ),
    ("Dm7|G7|Cmaj7|Cmaj7", "C major"),
    ("Dm7b5|G7b9|Cm6|Cm6", "C minor"),
    (
        "Bb6 G7|Cm7 F7|Dm7 G7|Cm7 F7|Bb7|Eb7|Dm7 G7|Cm7 F7",
        "Bb major",
    ),
    ("Am7|D7|Gmaj7|Cmaj7|F#m7b5|B7|Em|Em", "E minor"),
    ("Cm7|F7|Bbmaj7|Ebmaj7|Am7b5|D7|Gm|Gm", "G minor"),
    ("Dm7|%|%|%|Ebm7|%|Dm7|%", "D minor"),
    ("Dbmaj7|Bbm7|Ebm7|Ab7|Dbmaj7|%", "Db major"),
    ("F#maj7|D#m7|G#m7|C#7|F#maj7|%", "F# major"),
    ("Gbmaj7|Ebm7|Abm7|Db7|Gbmaj7|%", "Gb major"),
    ("G|C|D7|G", "G major"),
    ("Em|Am|B7|Em", "E minor"),
    ("A7sus4|A7|Dmaj7|%", "D major"),
    ("C7", "C major"),
];

#[test]
fn common_forms_get_the_key_a_player_would_say() {
    for (text, expected) in FORMS {
        assert_eq!(key(text), expected, "{text}");
    }
}

#[test]
fn the_inferred_key_follows_a_transposition() {
    for (text, _) in FORMS {
        let chart = Chart::parse("test", text.as_bytes()).unwrap();
        for semitones in 1..12 {
            let moved = chart.transposed_by(semitones);
            let untold: String = moved
                .to_string()
                .lines()
                .filter(|line| !line.starts_with("key:"))
                .flat_map(|line| [line, "\n"])
                .collect();
            let inferred = Chart::parse("test", untold.as_bytes()).unwrap().key();
            assert_eq!(inferred.mode, moved.key().mode, "{untold}");
            assert_eq!(
                inferred.tonic.class(),
                moved.key().tonic.class(),
                "{untold}"
            );
        }
    }
}

#[test]
fn without_chords_the_key_is_c_major() {
    assert_eq!(key("N.C. | %"), "C major");
}

#[test]
fn sections_that_are_repeated_do_not_outweigh_the_page() {
    assert_eq!(
        key("|: Am7 D7 :|x9 G | C | D7 | G"),
        key("|: Am7 D7 :| G | C | D7 | G")
    );
}
