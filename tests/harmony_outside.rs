//! Chords and keys as music21 hears them, from what is written into a MusicXML harmony:
//! never from the text of a symbol, which readers understand in different ways.

use linewright::theory::{Chord, Key, Mode, MusicXmlHarmony, Name};
use linewright_checkers::python;
use serde_json::{Value, json};

/// What follows the root: triads, sixths, sevenths, extensions, alterations, suspensions,
/// added and left-out tones.
const SUFFIXES: &str = "- m dim aug 5 6 m6 6/9 m6/9 7 maj7 m7 mMaj7 dim7 ø m7b5 augMaj7 dimMaj7 \
    7#5 7b5 maj7#11 maj7#5 maj7b5 m7#5 9 maj9 m9 mMaj9 ø9 dim9 11 maj11 m11 13 maj13 m13 mMaj13 \
    7b9 7#9 7#11 7b13 7(b9,#11) 7(b9,b13) 7(#9,#5) 7(#9,b13) 7(b9,#9) 7alt 9b5 9#5 9#11 13b9 13#9 \
    13#11 13(b9,#11) maj9#11 maj13#11 m9b5 m11b5 6#11 m6b5 sus4 sus2 sus24 7sus4 9sus4 13sus4 \
    7(sus4,b9) 7sus2 maj7sus4 maj7sus2 6sus4 add9 add11 addb9 add#11 m(add9) m(add11) m7(add11) \
    m7(add13) 7(add11) 7(add13) dim7(add9) (b5) (#5) m(#5) m(b6) no3 no5 7no3 7no5 9no3 9no5 \
    maj7no3 maj7no5 m7no5 13no5 13no9 7(no3,no5)";

/// Roots on naturals, flats and sharps, each with a bass note.
const ROOTS: [(&str, &str); 7] = [
    ("C", "E"),
    ("F#", "C#"),
    ("Bb", "Ab"),
    ("Db", "F"),
    ("E", "D"),
    ("G", "Eb"),
    ("Ab", "Gb"),
];

fn grid() -> Vec<Chord> {
    let mut chords = Vec::new();
    for suffix in SUFFIXES.split_whitespace() {
        let suffix = if suffix == "-" { "" } else { suffix };
        for (root, bass) in ROOTS {
            for symbol in [format!("{root}{suffix}"), format!("{root}{suffix}/{bass}")] {
                chords.push(Chord::parse(&symbol).unwrap_or_else(|e| panic!("{symbol}: {e}")));
            }
        }
    }
    chords
}

/// One answer of a script for each question.
fn told(script: &str, asked: &[Value]) -> Vec<Value> {
    let asked_text: String = asked.iter().map(|row| format!("{row}\n")).collect();
    let answers: Vec<Value> = python()
        .and_then(|python| python.run(script, asked_text.as_bytes()))
        .unwrap_or_else(|e| panic!("{e}"))
        .lines()
        .map(|line| serde_json::from_str(line).expect("one JSON object a line"))
        .collect();
    assert_eq!(answers.len(), asked.len());
    answers
}

fn ours(chord: &Chord) -> Vec<u8> {
    let root = chord.root.class();
    let tones = chord.tones().into_iter();
    let mut classes: Vec<u8> = tones
        .map(|degree| root.up(i32::from(degree.semitones())).get())
        .chain([chord.line_root().class().get()])
        .collect();
    classes.sort_unstable();
    classes.dedup();
    classes
}

/// music21: `harmony.ChordSymbol` of kind and degrees.
#[test]
fn every_chord_sounds_in_music21_as_its_harmony_says() {
    let chords = grid();
    let asked: Vec<Value> = chords
        .iter()
        .map(|chord| {
            let MusicXmlHarmony { kind, degrees, .. } = chord.musicxml_kind();
            let degrees: Vec<Value> = degrees
                .iter()
                .map(|d| json!({ "value": d.value, "alter": d.alter, "type": d.kind.name() }))
                .collect();
            let bass = chord.bass.map(|bass| bass.to_string());
            json!({ "symbol": chord.to_string(), "root": chord.root.to_string(), "kind": kind,
                    "degrees": degrees, "bass": bass })
        })
        .collect();
    let mut wrong = Vec::new();
    for ((chord, asked), told) in chords.iter().zip(&asked).zip(told("harmony.py", &asked)) {
        if told["classes"] != json!(ours(chord)) {
            wrong.push(format!("{chord} {:?}: {told} of {asked}", ours(chord)));
        }
    }
    let all = chords.len();
    assert!(
        wrong.is_empty(),
        "{} of {all}:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
    assert!(all >= 400, "only {all} chords");
}

/// music21: `key.Key` with its `sharps`, `alteredPitches` and `pitches`.
#[test]
fn every_key_has_in_music21_the_same_signature_and_notes() {
    let modes = [false, true];
    let keys: Vec<Key> = modes
        .into_iter()
        .flat_map(|minor| (-7..=7).map(move |fifths| (fifths, minor)))
        .map(|(fifths, minor)| {
            let mode = if minor { Mode::Minor } else { Mode::Major };
            Key::from_fifths(fifths, mode).expect("a key of seven accidentals or fewer")
        })
        .collect();
    assert_eq!(keys.len(), 30);
    let asked: Vec<Value> = keys
        .iter()
        .map(|key| {
            let minor = key.mode == Mode::Minor;
            json!({ "tonic": key.tonic.to_string(), "minor": minor })
        })
        .collect();
    for (key, told) in keys.iter().zip(told("keys.py", &asked)) {
        let names =
            |names: Vec<Name>| -> Vec<String> { names.iter().map(ToString::to_string).collect() };
        let ours = json!({
            "fifths": key.fifths(),
            "signature": names(key.signature()),
            "names": names(key.names()),
        });
        assert_eq!(told, ours, "{key}");
    }
}
