//! The MusicXML harmony of a chord: kind and degrees give back exactly its tones.

use linewright_theory::{Chord, DegreeKind, HarmonyDegree};

/// Kind values with the degrees that the MusicXML 4.0 reference lists for them (from memory:
/// "dominant-11th: dominant-ninth, perfect eleventh" and so on), in semitones above the root.
const REFERENCE: [(&str, &[(u8, i32)]); 25] = [
    ("major", &[(3, 4), (5, 7)]),
    ("minor", &[(3, 3), (5, 7)]),
    ("augmented", &[(3, 4), (5, 8)]),
    ("diminished", &[(3, 3), (5, 6)]),
    ("dominant", &[(3, 4), (5, 7), (7, 10)]),
    ("major-seventh", &[(3, 4), (5, 7), (7, 11)]),
    ("minor-seventh", &[(3, 3), (5, 7), (7, 10)]),
    ("diminished-seventh", &[(3, 3), (5, 6), (7, 9)]),
    ("augmented-seventh", &[(3, 4), (5, 8), (7, 10)]),
    ("half-diminished", &[(3, 3), (5, 6), (7, 10)]),
    ("major-minor", &[(3, 3), (5, 7), (7, 11)]),
    ("major-sixth", &[(3, 4), (5, 7), (6, 9)]),
    ("minor-sixth", &[(3, 3), (5, 7), (6, 9)]),
    ("dominant-ninth", &[(3, 4), (5, 7), (7, 10), (9, 14)]),
    ("major-ninth", &[(3, 4), (5, 7), (7, 11), (9, 14)]),
    ("minor-ninth", &[(3, 3), (5, 7), (7, 10), (9, 14)]),
    (
        "dominant-11th",
        &[(3, 4), (5, 7), (7, 10), (9, 14), (11, 17)],
    ),
    ("major-11th", &[(3, 4), (5, 7), (7, 11), (9, 14), (11, 17)]),
    ("minor-11th", &[(3, 3), (5, 7), (7, 10), (9, 14), (11, 17)]),
    (
        "dominant-13th",
        &[(3, 4), (5, 7), (7, 10), (9, 14), (11, 17), (13, 21)],
    ),
    (
        "major-13th",
        &[(3, 4), (5, 7), (7, 11), (9, 14), (11, 17), (13, 21)],
    ),
    (
        "minor-13th",
        &[(3, 3), (5, 7), (7, 10), (9, 14), (11, 17), (13, 21)],
    ),
    ("suspended-second", &[(2, 2), (5, 7)]),
    ("suspended-fourth", &[(4, 5), (5, 7)]),
    ("power", &[(5, 7)]),
];

/// Degrees of the dominant chord that added degrees count from.
const ADDED: [i32; 14] = [0, 0, 2, 4, 5, 7, 9, 10, 12, 14, 16, 17, 19, 21];

/// The pitch classes above the root that a reader of the file would find.
fn heard(kind: &str, degrees: &[HarmonyDegree]) -> Vec<u8> {
    let (_, tones) = REFERENCE.iter().find(|(k, _)| *k == kind).unwrap();
    let mut notes: Vec<(u8, i32)> = vec![(1, 0)];
    notes.extend_from_slice(tones);
    for degree in degrees {
        let alter = i32::from(degree.alter);
        match degree.kind {
            DegreeKind::Add => {
                notes.push((degree.value, ADDED[usize::from(degree.value)] + alter));
            }
            DegreeKind::Alter => {
                let note = notes.iter_mut().find(|n| n.0 == degree.value).unwrap();
                note.1 += alter;
            }
            DegreeKind::Subtract => {
                let before = notes.len();
                notes.retain(|n| n.0 != degree.value);
                assert_eq!(notes.len(), before - 1, "nothing to subtract");
            }
        }
    }
    let mut classes: Vec<u8> = notes.iter().map(|n| n.1.rem_euclid(12) as u8).collect();
    classes.sort_unstable();
    classes
}

const BEGINNINGS: [&str; 40] = [
    "", "m", "dim", "aug", "5", "6", "m6", "6/9", "m6/9", "7", "maj7", "m7", "mMaj7", "dim7", "ø",
    "9", "maj9", "m9", "mMaj9", "dim9", "ø9", "11", "m11", "13", "maj13", "m13", "mMaj13",
    "dimMaj7", "augMaj7", "aug7", "sus4", "sus2", "sus24", "7sus4", "9sus4", "13sus4", "7sus2",
    "maj7sus4", "6sus4", "7alt",
];
const MODIFIERS: [&str; 20] = [
    "b5", "#5", "b9", "#9", "#11", "b13", "b6", "add9", "add11", "add13", "add6", "addb9",
    "add#11", "add3", "add5", "no3", "no5", "no7", "no9", "maj7",
];

fn grid() -> Vec<Chord> {
    let mut all = Vec::new();
    for beginning in BEGINNINGS {
        all.push(format!("C{beginning}").parse().unwrap());
        if beginning == "7alt" {
            continue;
        }
        for one in MODIFIERS {
            for two in MODIFIERS {
                all.push(format!("C{beginning}({one},{two})").parse().unwrap());
            }
        }
    }
    all
}

#[test]
fn kind_and_degrees_sound_exactly_the_chords_tones() {
    for chord in grid() {
        let harmony = chord.musicxml_kind();
        let mut tones: Vec<u8> = chord.tones().iter().map(|d| d.semitones()).collect();
        tones.sort_unstable();
        assert_eq!(heard(harmony.kind, &harmony.degrees), tones, "{chord}");
        assert_eq!(format!("C{}", harmony.text), chord.to_string());
    }
}

#[test]
fn common_chords_have_their_own_kind_without_degrees() {
    for (symbol, kind) in [
        ("C", "major"),
        ("Cm", "minor"),
        ("C7", "dominant"),
        ("Cmaj7", "major-seventh"),
        ("Cm7", "minor-seventh"),
        ("Cm7b5", "half-diminished"),
        ("Cdim7", "diminished-seventh"),
        ("C7#5", "augmented-seventh"),
        ("CmMaj7", "major-minor"),
        ("C6", "major-sixth"),
        ("Cm11", "minor-11th"),
        ("Cm13", "minor-13th"),
        ("Csus4", "suspended-fourth"),
        ("C5", "power"),
    ] {
        let chord: Chord = symbol.parse().unwrap();
        let harmony = chord.musicxml_kind();
        assert_eq!((harmony.kind, harmony.degrees.len()), (kind, 0), "{symbol}");
    }
}

#[test]
fn degrees_say_add_alter_or_subtract() {
    let degrees = |symbol: &str| {
        let harmony = symbol.parse::<Chord>().unwrap().musicxml_kind();
        let list: Vec<String> = harmony
            .degrees
            .iter()
            .map(|d| format!("{} {} {}", d.kind.name(), d.value, d.alter))
            .collect();
        format!("{}: {}", harmony.kind, list.join(", "))
    };
    assert_eq!(degrees("C7b9"), "dominant: add 9 -1");
    assert_eq!(degrees("C7b5"), "dominant: alter 5 -1");
    assert_eq!(degrees("C13"), "dominant-13th: subtract 11 0");
    assert_eq!(degrees("C13#11"), "dominant-13th: alter 11 1");
    assert_eq!(degrees("C7sus4"), "dominant: subtract 3 0, add 4 0");
    assert_eq!(degrees("C7no3"), "dominant: subtract 3 0");
    assert_eq!(degrees("C9sus4"), "dominant-ninth: subtract 3 0, add 4 0");
    assert_eq!(degrees("C6/9"), "major-sixth: add 9 0");
    assert_eq!(degrees("Cmaj7sus4"), "major-seventh: subtract 3 0, add 4 0");
}

#[test]
fn every_chord_is_read_back_from_its_harmony() {
    for chord in grid() {
        let harmony = chord.musicxml_kind();
        let bass = "E".parse().ok();
        let back = Chord::from_musicxml(chord.root, bass, harmony.kind, &harmony.degrees);
        let mut expected = chord;
        expected.bass = bass;
        assert_eq!(back, Ok(expected), "{chord}: {harmony:?}");
    }
}

#[test]
fn bare_kinds_are_understood_as_their_symbols() {
    let read = |kind: &str, degrees: &[HarmonyDegree]| {
        let root = "C".parse().unwrap();
        Chord::from_musicxml(root, None, kind, degrees).map(|c| c.to_string())
    };
    let degree = |value, alter, kind| HarmonyDegree { value, alter, kind };
    assert_eq!(read("dominant-13th", &[]).unwrap(), "C13");
    assert_eq!(read("dominant-11th", &[]).unwrap(), "C9sus4");
    assert_eq!(read("major-13th", &[]).unwrap(), "Cmaj13");
    assert_eq!(read("minor-13th", &[]).unwrap(), "Cm13");
    let raised = degree(11, 1, DegreeKind::Alter);
    assert_eq!(read("dominant-11th", &[raised]).unwrap(), "C9#11");
    assert_eq!(read("dominant", &[raised]).unwrap(), "C7#11");
    let flat_nine = degree(9, -1, DegreeKind::Alter);
    assert_eq!(read("dominant", &[flat_nine]).unwrap(), "C7b9");
}

#[test]
fn harmonies_without_chord_tones_are_refused() {
    let root = "C".parse().unwrap();
    for kind in ["none", "other", "pedal", "Neapolitan", "", "Dominant"] {
        let error = Chord::from_musicxml(root, None, kind, &[]).unwrap_err();
        assert!(error.hint().contains("dominant"), "{error}");
    }
    for (value, alter, kind) in [
        (1, 0, DegreeKind::Subtract),
        (1, 1, DegreeKind::Alter),
        (9, 127, DegreeKind::Add),
        (7, -128, DegreeKind::Add),
        (0, 0, DegreeKind::Add),
        (200, 0, DegreeKind::Add),
        (7, 1, DegreeKind::Add),
    ] {
        let degrees = [HarmonyDegree { value, alter, kind }];
        assert!(Chord::from_musicxml(root, None, "dominant", &degrees).is_err());
    }
}
