//! Key signatures, transposed keys, and the tables of scales.

use linewright_theory::{Interval, Key, Mode, Name, PitchClass, Scale, ScaleKind};

fn key(text: &str) -> Key {
    text.parse().unwrap()
}

/// The thirty keys with their sharps (positive) or flats (circle of fifths, common practice).
const CIRCLE: [(&str, &str, i8); 15] = [
    ("Cb", "Ab", -7),
    ("Gb", "Eb", -6),
    ("Db", "Bb", -5),
    ("Ab", "F", -4),
    ("Eb", "C", -3),
    ("Bb", "G", -2),
    ("F", "D", -1),
    ("C", "A", 0),
    ("G", "E", 1),
    ("D", "B", 2),
    ("A", "F#", 3),
    ("E", "C#", 4),
    ("B", "G#", 5),
    ("F#", "D#", 6),
    ("C#", "A#", 7),
];

#[test]
fn the_circle_of_fifths_gives_all_thirty_signatures() {
    for (major, minor, fifths) in CIRCLE {
        let major = key(major);
        let minor = key(&format!("{minor}m"));
        assert_eq!((major.fifths(), minor.fifths()), (fifths, fifths));
        assert_eq!(Key::from_fifths(fifths, Mode::Major), Some(major));
        assert_eq!(Key::from_fifths(fifths, Mode::Minor), Some(minor));
        assert_eq!(major.signature(), minor.signature());
        assert_eq!(major.signature().len(), fifths.unsigned_abs() as usize);
    }
    assert_eq!(Key::from_fifths(8, Mode::Major), None);
    assert_eq!(Key::from_fifths(-8, Mode::Minor), None);
}

#[test]
fn signatures_are_written_in_their_order() {
    let text = |k: &str| {
        let names: Vec<String> = key(k).signature().iter().map(Name::to_string).collect();
        names.join(" ")
    };
    assert_eq!(text("C#"), "F# C# G# D# A# E# B#");
    assert_eq!(text("Cb"), "Bb Eb Ab Db Gb Cb Fb");
    assert_eq!(text("Eb"), "Bb Eb Ab");
    assert_eq!(text("F#m"), "F# C# G#");
    assert_eq!(text("Am"), "");
}

#[test]
fn a_keys_names_are_its_scale() {
    let text = |k: &str| {
        let names: Vec<String> = key(k).names().iter().map(Name::to_string).collect();
        names.join(" ")
    };
    assert_eq!(text("Gb"), "Gb Ab Bb Cb Db Eb F");
    assert_eq!(text("F#"), "F# G# A# B C# D# E#");
    assert_eq!(text("C minor"), "C D Eb F G Ab Bb");
    assert_eq!(text("Cb"), "Cb Db Eb Fb Gb Ab Bb");
    for (major, minor, _) in CIRCLE {
        for k in [key(major), key(&format!("{minor} minor"))] {
            let names = k.names();
            assert_eq!(names[0], k.tonic);
            for (name, step) in names.iter().zip(k.scale().semitones()) {
                assert_eq!(name.class().above(k.tonic.class()), step, "{k}");
            }
            let inside = (0..12).filter(|&c| k.contains(PitchClass::new(c))).count();
            assert_eq!(inside, 7);
        }
    }
}

#[test]
fn keys_are_read_in_the_usual_ways() {
    for (text, printed) in [
        ("Bb", "Bb major"),
        ("Bbm", "Bb minor"),
        ("Bb minor", "Bb minor"),
        ("F# major", "F# major"),
        ("Cm", "C minor"),
        ("C min", "C minor"),
        ("C-", "C minor"),
        ("E♭ maj", "Eb major"),
        (" G ", "G major"),
    ] {
        assert_eq!(key(text).to_string(), printed);
        assert_eq!(key(printed), key(text));
    }
}

#[test]
fn a_key_without_a_signature_names_its_neighbour() {
    let error = "G# major".parse::<Key>().unwrap_err();
    assert!(error.hint().contains("Ab major"), "{error}");
    let error = "Fbm".parse::<Key>().unwrap_err();
    assert!(error.hint().contains("E minor"), "{error}");
    let error = "C dorian".parse::<Key>().unwrap_err();
    assert_eq!(error.place().byte(), 1);
    assert!("".parse::<Key>().is_err());
    assert_eq!(Key::new("D#".parse().unwrap(), Mode::Major), None);
}

#[test]
fn transposed_keys_take_the_fewer_accidentals() {
    let up = |k: &str, i: &str| key(k).transposed(i.parse().unwrap()).to_string();
    assert_eq!(up("C", "M2"), "D major");
    assert_eq!(up("C", "A1"), "Db major");
    assert_eq!(up("F", "m2"), "Gb major");
    assert_eq!(up("E", "M2"), "F# major");
    assert_eq!(up("F#", "M2"), "Ab major");
    assert_eq!(up("Cm", "m2"), "C# minor");
    assert_eq!(up("Bbm", "m3"), "C# minor");
    assert_eq!(up("Bb", "-P5"), "Eb major");
    for (major, minor, _) in CIRCLE {
        for k in [key(major), key(&format!("{minor}m"))] {
            for steps in -8..=8 {
                for semitones in -13..=13 {
                    let Some(by) = Interval::new(steps, semitones) else {
                        continue;
                    };
                    let moved = k.transposed(by);
                    assert_eq!(moved.mode, k.mode);
                    assert_eq!(moved.tonic.class(), k.tonic.class().up(semitones));
                    assert!(moved.fifths().abs() <= 6, "{k} by {by} is {moved}");
                }
            }
        }
    }
}

fn mode_of(parent: ScaleKind, degree: usize) -> Vec<u8> {
    let notes = parent.semitones();
    let root = notes[degree - 1];
    let mut mode: Vec<u8> = notes.iter().map(|n| (n + 12 - root) % 12).collect();
    mode.sort_unstable();
    mode
}

#[test]
fn modes_are_their_parents_from_another_degree() {
    use ScaleKind::*;
    let families = [
        (
            Major,
            vec![
                Major, Dorian, Phrygian, Lydian, Mixolydian, Aeolian, Locrian,
            ],
        ),
        (
            MelodicMinor,
            vec![
                MelodicMinor,
                DorianFlat2,
                LydianAugmented,
                LydianDominant,
                MixolydianFlat6,
                LocrianNatural2,
                Altered,
            ],
        ),
    ];
    for (parent, modes) in families {
        for (place, mode) in modes.into_iter().enumerate() {
            assert_eq!(mode.semitones(), mode_of(parent, place + 1), "{mode:?}");
        }
    }
    assert_eq!(PhrygianDominant.semitones(), mode_of(HarmonicMinor, 5));
    assert_eq!(WholeTone.semitones(), mode_of(WholeTone, 4));
    assert_eq!(
        HalfWholeDiminished.semitones(),
        mode_of(WholeHalfDiminished, 2)
    );
}

#[test]
fn parent_scales_have_their_steps() {
    // Steps in semitones: common practice, from memory.
    let steps = |kind: ScaleKind| {
        let notes = kind.semitones();
        let next = notes.iter().skip(1).chain([&12]);
        notes
            .iter()
            .zip(next)
            .map(|(a, b)| b - a)
            .collect::<Vec<u8>>()
    };
    assert_eq!(steps(ScaleKind::Major), [2, 2, 1, 2, 2, 2, 1]);
    assert_eq!(steps(ScaleKind::MelodicMinor), [2, 1, 2, 2, 2, 2, 1]);
    assert_eq!(steps(ScaleKind::HarmonicMinor), [2, 1, 2, 2, 1, 3, 1]);
    assert_eq!(steps(ScaleKind::WholeTone), [2; 6]);
    assert_eq!(
        steps(ScaleKind::WholeHalfDiminished),
        [2, 1, 2, 1, 2, 1, 2, 1]
    );
}

#[test]
fn a_scale_contains_its_own_notes_and_no_others() {
    for kind in ScaleKind::ALL {
        let scale = Scale::from(kind);
        assert_eq!(scale.semitones().collect::<Vec<_>>(), kind.semitones());
        assert_eq!(scale.kind(), kind);
        assert_eq!(scale.to_string(), kind.name());
        for s in 0..12 {
            assert_eq!(scale.contains(s), kind.semitones().contains(&s));
            assert_eq!(scale.contains(s + 12), scale.contains(s));
        }
        assert_eq!(scale.mask().count_ones() as usize, kind.semitones().len());
    }
}

#[test]
fn no_two_scales_are_alike() {
    let mut masks: Vec<u16> = ScaleKind::ALL
        .iter()
        .map(|&k| Scale::new(k).mask())
        .collect();
    masks.sort_unstable();
    masks.dedup();
    assert_eq!(masks.len(), ScaleKind::ALL.len());
}
