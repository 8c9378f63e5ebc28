//! Spelling: what a bass player expects to read.

use linewright_theory::{Chord, Degree, Going, Key, Note, Pitch, spell};

fn written(midi: u8, symbol: &str, key: &str, going: Option<Going>) -> String {
    let chord: Chord = symbol.parse().unwrap();
    let note = spell(
        Pitch::new(midi).unwrap(),
        &chord,
        key.parse().unwrap(),
        going,
    );
    note.to_string()
}

fn name(class: u8, symbol: &str, key: &str, going: Option<Going>) -> String {
    written(36 + class, symbol, key, going)
        .trim_end_matches(|c: char| c.is_ascii_digit())
        .to_owned()
}

/// The twelve names from C up, without a direction.
fn twelve(symbol: &str, key: &str, going: Option<Going>) -> String {
    let list: Vec<String> = (0..12).map(|c| name(c, symbol, key, going)).collect();
    list.join(" ")
}

#[test]
fn chord_tones_take_the_letters_of_their_degrees() {
    for (symbol, key, midi, expected) in [
        ("F7", "Bb", [29, 33, 36, 39], "F1 A1 C2 Eb2"),
        ("D7", "G", [38, 42, 45, 48], "D2 F#2 A2 C3"),
        ("Abm7", "Gb", [32, 35, 39, 42], "Ab1 Cb2 Eb2 Gb2"),
        ("C#7", "F#m", [37, 41, 44, 47], "C#2 E#2 G#2 B2"),
        ("G7#9", "Cm", [31, 35, 41, 46], "G1 B1 F2 A#2"),
        ("Db7", "C", [37, 41, 44, 47], "Db2 F2 Ab2 Cb3"),
        ("Em7b5", "Dm", [28, 31, 34, 38], "E1 G1 Bb1 D2"),
        ("F#dim7", "G", [30, 33, 36, 39], "F#1 A1 C2 Eb2"),
        ("Cdim7", "C", [36, 39, 42, 45], "C2 Eb2 Gb2 A2"),
        ("Gdim7", "F", [31, 34, 37, 40], "G1 Bb1 Db2 E2"),
        ("Bdim7", "Cm", [35, 38, 41, 44], "B1 D2 F2 Ab2"),
        ("Ebdim7", "Db", [39, 42, 45, 48], "Eb2 Gb2 A2 C3"),
        ("Caug", "F", [36, 40, 44, 48], "C2 E2 G#2 C3"),
        ("C7b13", "F", [36, 40, 44, 46], "C2 E2 Ab2 Bb2"),
    ] {
        let notes = midi.map(|m| written(m, symbol, key, None)).join(" ");
        assert_eq!(notes, expected, "{symbol} in {key}");
    }
}

#[test]
fn approach_notes_are_raised_from_below_and_lowered_from_above() {
    // To G, over chords that have neither note.
    assert_eq!(written(30, "C", "C", Some(Going::Up)), "F#1");
    assert_eq!(written(32, "C", "C", Some(Going::Down)), "Ab1");
    assert_eq!(written(30, "F7", "Bb", Some(Going::Up)), "F#1");
    assert_eq!(written(32, "F", "F", Some(Going::Down)), "Ab1");
    // To B flat from above is a natural, to B flat from below a natural too.
    assert_eq!(written(35, "F7", "Bb", Some(Going::Down)), "B1");
    assert_eq!(written(33, "Eb7", "Bb", Some(Going::Up)), "A1");
    // To D and to A.
    assert_eq!(written(37, "G7", "C", Some(Going::Up)), "C#2");
    assert_eq!(written(39, "G7", "C", Some(Going::Down)), "Eb2");
    assert_eq!(written(32, "Dm7", "C", Some(Going::Up)), "G#1");
    assert_eq!(written(34, "Em7", "C", Some(Going::Down)), "Bb1");
}

#[test]
fn b_flat_is_not_a_sharp() {
    assert_eq!(name(10, "F7", "Bb", Some(Going::Up)), "Bb");
    assert_eq!(name(10, "C7", "F", Some(Going::Up)), "Bb");
    assert_eq!(name(10, "C", "C", None), "Bb");
    assert_eq!(name(10, "B7", "Em", None), "A#");
    assert_eq!(name(10, "B7", "E", Some(Going::Up)), "A#");
}

#[test]
fn all_twelve_names_suit_the_key() {
    assert_eq!(twelve("Cmaj7", "C", None), "C Db D Eb E F F# G Ab A Bb B");
    assert_eq!(
        twelve("Cmaj7", "C", Some(Going::Up)),
        "C C# D D# E F F# G G# A A# B"
    );
    assert_eq!(
        twelve("Cmaj7", "C", Some(Going::Down)),
        "C Db D Eb E F Gb G Ab A Bb B"
    );
    assert_eq!(twelve("Am", "Am", None), "C C# D D# E F F# G G# A Bb B");
    assert_eq!(twelve("Ebmaj7", "Eb", None), "C Db D Eb E F Gb G Ab A Bb B");
    assert_eq!(twelve("E7", "A", None), "C C# D D# E F F# G G# A Bb B");
    assert_eq!(
        twelve("Gbmaj7", "Gb", None),
        "C Db D Eb E F Gb G Ab A Bb Cb"
    );
    assert_eq!(
        twelve("F#maj7", "F#", None),
        "C C# D D# E E# F# G G# A A# B"
    );
}

#[test]
fn scale_notes_follow_the_chords_scale() {
    assert_eq!(name(8, "G7", "Cm", None), "Ab");
    assert_eq!(name(3, "G7", "Cm", None), "Eb");
    assert_eq!(name(11, "F7", "C", None), "B");
    assert_eq!(name(5, "E7", "C", None), "F");
    assert_eq!(name(6, "Cmaj7#11", "G", None), "F#");
    assert_eq!(name(2, "Ab7", "C", None), "D");
    assert_eq!(name(0, "C#dim7", "C", None), "C");
    assert_eq!(name(5, "F#dim7", "G", None), "F");
}

#[test]
fn a_scales_sharp_ninth_goes_by_direction() {
    assert_eq!(name(10, "G7b9", "C", Some(Going::Up)), "A#");
    assert_eq!(name(10, "G7b9", "C", Some(Going::Down)), "Bb");
    assert_eq!(name(10, "G7b9", "C", None), "Bb");
}

#[test]
fn flats_go_up_to_a_c_flat_and_sharps_down_to_a_b_sharp() {
    assert_eq!(name(10, "Cbm7", "Gb", Some(Going::Up)), "Bb");
    assert_eq!(name(10, "Cbm7", "Db", Some(Going::Up)), "A#");
    assert_eq!(name(1, "D7", "C#", Some(Going::Down)), "C#");
    assert_eq!(name(1, "D7", "C", Some(Going::Down)), "Db");
}

#[test]
fn the_bass_note_is_spelled_as_the_symbol_spells_it() {
    assert_eq!(name(1, "G7/C#", "F", None), "C#");
    assert_eq!(name(1, "G7/Db", "F", None), "Db");
    assert_eq!(name(4, "C/E", "C", None), "E");
    assert_eq!(name(4, "C/Fb", "C", None), "E");
}

const SUFFIXES: [&str; 32] = [
    "",
    "m",
    "dim",
    "aug",
    "sus2",
    "sus4",
    "6",
    "m6",
    "6/9",
    "7",
    "maj7",
    "m7",
    "mMaj7",
    "m7b5",
    "dim7",
    "9",
    "maj9",
    "m9",
    "11",
    "m11",
    "13",
    "maj13",
    "7b9",
    "7#9",
    "7b5",
    "7#5",
    "13#11",
    "13b9",
    "7(b9,b13)",
    "7alt",
    "7sus4(b9)",
    "maj7#5",
];
const ROOTS: &str = "Cb C C# Db D D# Eb E E# Fb F F# Gb G G# Ab A A# Bb B B#";
const KEYS: &str = "Cb Gb Db Ab Eb Bb F C G D A E B F# C# Abm Ebm Bbm Fm Cm Gm Dm Am Em Bm F#m C#m \
    G#m D#m A#m";

#[test]
fn every_chord_tone_agrees_with_letter_arithmetic() {
    let mut plain = 0;
    for root in ROOTS.split(' ') {
        for suffix in SUFFIXES {
            let chord: Chord = format!("{root}{suffix}").parse().unwrap();
            for tone in chord.tones() {
                let pitch =
                    Pitch::new(24 + chord.root.class().up(i32::from(tone.semitones())).get());
                for key in ["C", "Gb", "F#m"] {
                    let key: Key = key.parse().unwrap();
                    for going in [None, Some(Going::Up), Some(Going::Down)] {
                        let note = spell(pitch.unwrap(), &chord, key, going);
                        assert_eq!(note.pitch(), pitch);
                        // Letters counted up from the root, a third being two of them.
                        let letters = (i32::from(tone.number) - 1) % 7;
                        let letter = chord.root.letter.up(letters);
                        let by_letter = Note::spelled(pitch.unwrap(), letter);
                        let diminished = tone == Degree::new(7, -2);
                        if by_letter.name.alter.abs() <= 1 && !diminished {
                            assert_eq!(note, by_letter, "{tone} of {chord} in {key}");
                            plain += 1;
                        } else {
                            assert!(note.name.alter.abs() <= 1, "{tone} of {chord} in {key}");
                        }
                    }
                }
            }
        }
    }
    assert!(plain > 10_000);
}

#[test]
fn every_note_over_every_chord_keeps_its_sound_with_at_most_one_accidental() {
    for root in ROOTS.split(' ') {
        for suffix in SUFFIXES {
            let chord: Chord = format!("{root}{suffix}").parse().unwrap();
            for key in KEYS.split(' ') {
                let key: Key = key.parse().unwrap();
                for midi in 23..35 {
                    let pitch = Pitch::new(midi).unwrap();
                    for going in [None, Some(Going::Up), Some(Going::Down)] {
                        let note = spell(pitch, &chord, key, going);
                        assert_eq!(note.pitch(), Some(pitch));
                        assert!(note.name.alter.abs() <= 1, "{note} over {chord} in {key}");
                    }
                }
            }
        }
    }
}

#[test]
fn the_ends_of_the_midi_range_are_spelled() {
    for midi in [0, 1, 126, 127] {
        let pitch = Pitch::new(midi).unwrap();
        for symbol in ["Cb7", "B#7", "Abm7", "G#7"] {
            let chord: Chord = symbol.parse().unwrap();
            let note = spell(pitch, &chord, "C".parse().unwrap(), None);
            assert_eq!(note.pitch(), Some(pitch), "{note} over {symbol}");
        }
    }
}
