//! The default scale of a chord in a key, and what a note is to a chord.

use linewright_theory::{Chord, Degree, Key, Member, ScaleKind};

fn scale_name(symbol: &str, key: &str) -> &'static str {
    let chord: Chord = symbol.parse().unwrap();
    let key: Key = key.parse().unwrap();
    chord.scale(key).kind().name()
}

#[test]
fn chords_take_the_scale_of_their_function() {
    // Chord-scale table: common practice, no source.
    for (key, symbol, scale) in [
        ("C", "Cmaj7", "major"),
        ("C", "C", "major"),
        ("C", "Dm7", "dorian"),
        ("C", "Em7", "phrygian"),
        ("C", "Fmaj7", "lydian"),
        ("C", "G7", "mixolydian"),
        ("C", "G", "mixolydian"),
        ("C", "Am7", "aeolian"),
        ("C", "Bm7b5", "locrian"),
        ("C", "Bdim", "locrian"),
        ("C", "Bdim7", "whole-half diminished"),
        ("C", "C#dim7", "whole-half diminished"),
        ("C", "D7", "mixolydian"),
        ("C", "E7", "phrygian dominant"),
        ("C", "E", "phrygian dominant"),
        ("C", "A7", "mixolydian b6"),
        ("C", "B7", "phrygian dominant"),
        ("C", "C7", "mixolydian"),
        ("C", "Db7", "lydian dominant"),
        ("C", "Ab7", "lydian dominant"),
        ("C", "Bb7", "lydian dominant"),
        ("C", "F7", "lydian dominant"),
        ("C", "Bbmaj7", "lydian"),
        ("C", "Abmaj7", "lydian"),
        ("C", "Gmaj7", "major"),
        ("C", "Fm7", "dorian"),
        ("C", "Fm6", "dorian"),
        ("C", "Gm7", "dorian"),
        ("C", "G7sus4", "mixolydian"),
        ("C", "Dsus4", "dorian"),
        ("C", "Esus4", "phrygian"),
        ("C", "Caug", "whole tone"),
        ("C", "Cmaj7#5", "lydian augmented"),
        ("C", "G7alt", "altered"),
        ("C", "G7b9", "half-whole diminished"),
        ("C", "G13b9", "half-whole diminished"),
        ("C", "G7b9b13", "phrygian dominant"),
        ("C", "G7#11", "lydian dominant"),
        ("C", "G13#11", "lydian dominant"),
        ("C", "G7b13", "mixolydian b6"),
        ("C", "G9b13", "mixolydian b6"),
        ("C", "G7#5", "whole tone"),
        ("C", "G7b5", "whole tone"),
        ("C", "G7#5#9", "altered"),
        ("C", "G7b5b9", "altered"),
        ("C", "G7susb9", "dorian b2"),
        ("C", "Bm9b5", "locrian natural 2"),
        ("C", "D5", "dorian"),
        ("C", "F5", "lydian"),
        ("Cm", "Cm7", "aeolian"),
        ("Cm", "Cm", "aeolian"),
        ("Cm", "Cm6", "melodic minor"),
        ("Cm", "CmMaj7", "melodic minor"),
        ("Cm", "CmMaj7(b6)", "harmonic minor"),
        ("Cm", "Cm13", "dorian"),
        ("Cm", "Dm7b5", "locrian"),
        ("Cm", "Ebmaj7", "major"),
        ("Cm", "Fm7", "dorian"),
        ("Cm", "G7", "phrygian dominant"),
        ("Cm", "G", "phrygian dominant"),
        ("Cm", "G7b9", "phrygian dominant"),
        ("Cm", "G7#9", "altered"),
        ("Cm", "G7#5", "altered"),
        ("Cm", "G7alt", "altered"),
        ("Cm", "G9", "mixolydian"),
        ("Cm", "Gm7", "phrygian"),
        ("Cm", "Abmaj7", "lydian"),
        ("Cm", "Ab7", "lydian dominant"),
        ("Cm", "Bb7", "mixolydian"),
        ("Cm", "C7", "phrygian dominant"),
        ("Cm", "Bdim7", "whole-half diminished"),
        ("Cm", "G7susb9", "phrygian"),
    ] {
        assert_eq!(scale_name(symbol, key), scale, "{symbol} in {key}");
    }
}

#[test]
fn the_function_counts_and_not_the_letter() {
    for (key, symbols) in [
        ("Gb", ["Abm7", "Db7", "Gbmaj7", "Cbmaj7"]),
        ("F#", ["G#m7", "C#7", "F#maj7", "Bmaj7"]),
        ("Eb", ["Fm7", "Bb7", "Ebmaj7", "Abmaj7"]),
    ] {
        let found = symbols.map(|symbol| scale_name(symbol, key));
        assert_eq!(found, ["dorian", "mixolydian", "major", "lydian"]);
    }
}

const SUFFIXES: [&str; 48] = [
    "",
    "m",
    "dim",
    "aug",
    "5",
    "sus2",
    "sus4",
    "6",
    "m6",
    "6/9",
    "m6/9",
    "7",
    "maj7",
    "m7",
    "mMaj7",
    "m7b5",
    "dim7",
    "dimMaj7",
    "9",
    "maj9",
    "m9",
    "11",
    "m11",
    "13",
    "maj13",
    "m13",
    "7b9",
    "7#9",
    "7b5",
    "7#5",
    "7#11",
    "7b13",
    "7(b9,b13)",
    "13#11",
    "13b9",
    "7(#9,b13)",
    "7(b5,#9)",
    "7alt",
    "7sus4",
    "9sus4",
    "13sus4",
    "7sus4(b9)",
    "maj7#11",
    "maj7#5",
    "add9",
    "m7#5",
    "maj7b5",
    "6b5",
];

fn every_key() -> Vec<Key> {
    "Cb Gb Db Ab Eb Bb F C G D A E B F# C# Abm Ebm Bbm Fm Cm Gm Dm Am Em Bm F#m C#m G#m D#m A#m"
        .split(' ')
        .map(|text| text.parse().unwrap())
        .collect()
}

fn every_chord() -> Vec<Chord> {
    let mut all = Vec::new();
    for root in "C C# Db D D# Eb E E# Fb F F# Gb G G# Ab A A# Bb B B# Cb".split(' ') {
        for suffix in SUFFIXES {
            all.push(format!("{root}{suffix}").parse().unwrap());
        }
    }
    all
}

#[test]
fn every_scale_contains_the_written_tones() {
    for chord in every_chord() {
        for key in every_key() {
            let scale = chord.scale(key);
            for tone in chord.tones() {
                assert!(
                    scale.contains(tone.semitones()),
                    "{tone} of {chord} in {key}"
                );
            }
            assert!(
                (6..=9).contains(&scale.semitones().count()),
                "{chord} in {key}"
            );
        }
    }
}

#[test]
fn an_altered_fifth_drives_the_perfect_one_out() {
    for symbol in [
        "G7b5", "G7#5", "G7alt", "Gm7b5", "Gdim7", "Gaug", "Gmaj7#5", "G7b5b9",
    ] {
        let chord: Chord = symbol.parse().unwrap();
        for key in every_key() {
            assert!(!chord.scale(key).contains(7), "{symbol} in {key}");
        }
    }
}

fn degrees(symbol: &str) -> String {
    let chord: Chord = symbol.parse().unwrap();
    let list: Vec<String> = (0..12).map(|s| chord.degree(s).to_string()).collect();
    list.join(" ")
}

#[test]
fn all_twelve_notes_are_named_by_the_quality() {
    for (symbol, expected) in [
        ("C7", "1 b9 9 #9 3 11 #11 5 b13 13 b7 7"),
        ("Cmaj7", "1 b9 9 b3 3 11 #11 5 b6 13 b7 7"),
        ("C", "1 b9 9 b3 3 11 #11 5 b6 6 b7 7"),
        ("C6", "1 b9 9 b3 3 11 #11 5 b6 6 b7 7"),
        ("Cm7", "1 b9 9 b3 3 11 #11 5 b6 13 b7 7"),
        ("Cm6", "1 b9 9 b3 3 11 #11 5 b6 6 b7 7"),
        ("Cm7b5", "1 b9 9 b3 3 11 b5 5 b13 13 b7 7"),
        ("Cdim7", "1 b9 9 b3 3 11 b5 5 b6 bb7 b7 7"),
        ("Caug", "1 b9 9 b3 3 11 #11 5 #5 6 b7 7"),
        ("C7alt", "1 b9 9 #9 3 11 b5 5 #5 13 b7 7"),
        ("C7sus4", "1 b9 9 b3 3 4 #11 5 b13 13 b7 7"),
        ("Csus2", "1 b9 2 b3 3 11 #11 5 b6 6 b7 7"),
    ] {
        assert_eq!(degrees(symbol), expected, "{symbol}");
    }
}

#[test]
fn a_degree_lies_where_it_was_asked_for() {
    for chord in every_chord() {
        let names: Vec<Degree> = (0..24).map(|s| chord.degree(s)).collect();
        for (semitones, degree) in names.iter().enumerate() {
            assert_eq!(usize::from(degree.semitones()), semitones % 12, "{chord}");
        }
    }
}

fn members(symbol: &str, key: &str) -> String {
    let chord: Chord = symbol.parse().unwrap();
    let scale = chord.scale(key.parse().unwrap());
    (0..12)
        .map(|s| match chord.member(s, &scale) {
            Member::Root => 'R',
            Member::Third => '3',
            Member::Fifth => '5',
            Member::Seventh => '7',
            Member::Colour => 'c',
            Member::Scale => 's',
            Member::Outside => '.',
        })
        .collect()
}

#[test]
fn notes_stand_to_their_chord_as_players_hear_them() {
    // One sign a semitone above the root. Availability: common practice, no source.
    for (symbol, key, expected) in [
        ("G7", "C", "R.c.3s.5.c7."),
        ("Dm7", "C", "R.c3.c.5.c7."),
        ("Em7", "C", "Rs.3.c.5s.7."),
        ("Am7", "C", "R.c3.c.5s.7."),
        ("Cmaj7", "C", "R.c.3s.5.c.7"),
        ("Fmaj7", "C", "R.c.3.c5.c.7"),
        ("C", "C", "R.c.3s.5.c.s"),
        ("C6", "C", "R.c.3s.5.7.s"),
        ("Bm7b5", "C", "Rs.3.c5.c.7."),
        ("G7alt", "C", "Rc.c3.5.5.7."),
        ("G7", "Cm", "Rc..3s.5c.7."),
        ("G7sus4", "C", "R.c.s3.5.c7."),
        ("Bdim7", "Cm", "R.c3.c5.c7.s"),
        ("C5", "C", "R.c.sc.5.c.s"),
        ("C13", "F", "R.c.3s.5.c7."),
        ("C/Bb", "C", "R.c.3s.5.ccs"),
        ("C/D", "C", "R.c.3s.5.c.s"),
        ("Csus24", "C", "R.3.s3.5.c.s"),
    ] {
        assert_eq!(members(symbol, key), expected, "{symbol} in {key}");
    }
}

#[test]
fn stronger_members_come_first() {
    use Member::*;
    assert!([Root, Third, Fifth, Seventh, Colour, Scale, Outside].is_sorted());
}

#[test]
fn written_tones_are_never_mere_scale_notes() {
    for chord in every_chord() {
        for key in every_key() {
            let scale = chord.scale(key);
            for tone in chord.tones() {
                assert!(chord.member(tone.semitones(), &scale) <= Member::Colour);
            }
            let outside = (0..12).filter(|&s| chord.member(s, &scale) == Member::Outside);
            assert!(outside.count() >= 3, "{chord} in {key}");
        }
    }
}

#[test]
fn every_scale_kind_is_somebodys_default() {
    let mut found: Vec<ScaleKind> = Vec::new();
    for chord in every_chord() {
        for key in every_key() {
            found.push(chord.scale(key).kind());
        }
    }
    found.push(
        "CmMaj7(b6)"
            .parse::<Chord>()
            .unwrap()
            .scale("Cm".parse().unwrap())
            .kind(),
    );
    found.push(
        "Cm9b5"
            .parse::<Chord>()
            .unwrap()
            .scale("Cm".parse().unwrap())
            .kind(),
    );
    found.sort_unstable();
    found.dedup();
    assert_eq!(found, ScaleKind::ALL);
}
