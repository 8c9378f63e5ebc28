//! Pitches, names, notes, intervals and degrees.

use linewright_theory::{Degree, Interval, Letter, Name, Note, Pitch, PitchClass};
use proptest::prelude::*;

fn name(text: &str) -> Name {
    text.parse().unwrap()
}

fn note(text: &str) -> Note {
    text.parse().unwrap()
}

fn interval(text: &str) -> Interval {
    text.parse().unwrap()
}

fn every_name() -> Vec<Name> {
    let mut all = Vec::new();
    for letter in Letter::ALL {
        for alter in -2..=2 {
            all.push(Name::new(letter, alter));
        }
    }
    all
}

#[test]
fn open_strings_of_a_bass_have_their_midi_numbers() {
    // MIDI note 60 is middle C (MIDI 1.0 specification, from memory); a bass is tuned E1 A1 D2 G2 (common practice).
    for (text, midi) in [
        ("B0", 23),
        ("C1", 24),
        ("E1", 28),
        ("A1", 33),
        ("D2", 38),
        ("G2", 43),
        ("C4", 60),
        ("A4", 69),
        ("C-1", 0),
        ("G9", 127),
    ] {
        assert_eq!(note(text).pitch().map(Pitch::midi), Some(midi), "{text}");
    }
}

#[test]
fn the_octave_belongs_to_the_letter() {
    assert_eq!(note("B#3").pitch(), note("C4").pitch());
    assert_eq!(note("Cb4").pitch(), note("B3").pitch());
    assert_eq!(note("Abb2").pitch(), note("G2").pitch());
    let c4 = Pitch::new(60).unwrap();
    assert_eq!(Note::spelled(c4, Letter::B).to_string(), "B#3");
    assert_eq!(Note::spelled(c4, Letter::D).to_string(), "Dbb4");
    let b3 = Pitch::new(59).unwrap();
    assert_eq!(Note::spelled(b3, Letter::C).to_string(), "Cb4");
}

#[test]
fn a_pitch_stays_inside_the_midi_range() {
    assert_eq!(Pitch::new(128), None);
    let low = Pitch::new(0).unwrap();
    let high = Pitch::new(127).unwrap();
    assert_eq!(low.shifted(-1), None);
    assert_eq!(high.shifted(1), None);
    assert_eq!(low.shifted(127), Some(high));
    assert_eq!(high.shifted(i32::MAX), None);
    assert_eq!(low.shifted(i32::MIN), None);
    assert_eq!(note("A9").pitch(), None);
    assert_eq!(note("Cb-1").pitch(), None);
}

#[test]
fn pitch_classes_count_round() {
    let a = PitchClass::new(9);
    assert_eq!(a.up(4).get(), 1);
    assert_eq!(a.up(-10).get(), 11);
    assert_eq!(PitchClass::new(25).get(), 1);
    assert_eq!(PitchClass::new(2).above(PitchClass::new(10)), 4);
    assert_eq!(a.up(i32::MAX).get(), (9 + (i32::MAX % 12) as u8) % 12);
}

#[test]
fn names_are_read_with_any_sign_and_printed_in_plain_ones() {
    for (text, printed) in [
        ("B♭", "Bb"),
        ("F♯", "F#"),
        ("F𝄪", "F##"),
        ("E𝄫", "Ebb"),
        ("C##", "C##"),
        ("G", "G"),
    ] {
        assert_eq!(name(text).to_string(), printed);
    }
    for text in ["", "H", "b", "Bbbb", "C###", "C#b", "Cx", "Bb "] {
        let error = text.parse::<Name>().unwrap_err();
        assert!(
            error.place().byte() <= text.len() && !error.hint().is_empty(),
            "{text}"
        );
    }
}

#[test]
fn the_line_of_fifths_rises_by_fifths() {
    let fifth = interval("P5");
    for fifths in -15..19 {
        let here = Name::from_fifths(fifths).unwrap();
        let next = Name::from_fifths(fifths + 1).unwrap();
        assert_eq!(here.fifths(), fifths);
        assert_eq!(here.transposed(fifth), next, "a fifth above {here}");
    }
    assert_eq!(name("C").fifths(), 0);
    assert_eq!(Name::from_fifths(-16), None);
    assert_eq!(Name::from_fifths(20), None);
}

#[test]
fn intervals_have_their_textbook_names() {
    // Interval names: common practice of staff notation, no single source.
    for (from, to, expected) in [
        ("E1", "A1", "P4"),
        ("C2", "Eb2", "m3"),
        ("C2", "D#2", "A2"),
        ("F1", "B1", "A4"),
        ("B1", "F2", "d5"),
        ("C2", "Bbb2", "d7"),
        ("C2", "E3", "M10"),
        ("G2", "C2", "-P5"),
        ("C4", "B3", "-m2"),
        ("Bb1", "Bb2", "P8"),
        ("C2", "C#2", "A1"),
        ("C2", "Cb2", "-A1"),
        ("C2", "C2", "P1"),
        ("Fb2", "B#2", "AAA4"),
    ] {
        let found = Interval::between(note(from), note(to)).unwrap();
        assert_eq!(found.to_string(), expected, "{from} to {to}");
        assert_eq!(note(from).transposed(found), note(to));
    }
    let tritone = Interval::between_names(name("F"), name("B")).unwrap();
    assert_eq!(tritone.to_string(), "A4");
    let up = Interval::between_names(name("B"), name("C")).unwrap();
    assert_eq!(up.to_string(), "m2");
}

#[test]
fn inversion_turns_thirds_into_sixths_and_back() {
    for (a, b) in [
        ("M3", "m6"),
        ("P4", "P5"),
        ("A4", "d5"),
        ("m2", "M7"),
        ("P1", "P8"),
        ("-M2", "-m7"),
    ] {
        assert_eq!(interval(a).inverted(), interval(b));
        assert_eq!(interval(b).inverted(), interval(a));
    }
    assert_eq!(interval("M10").inverted(), interval("m6"));
}

#[test]
fn interval_texts_that_name_nothing_are_refused() {
    for text in [
        "", "3", "P3", "M5", "m4", "X2", "P0", "M100", "Ad4", "--m3", "m", "m3x", "AAAAAAA4", "m3 ",
    ] {
        assert!(text.parse::<Interval>().is_err(), "{text}");
    }
    assert_eq!(Interval::new(i32::MIN, 0), None);
    assert_eq!(Interval::new(0, i32::MIN), None);
}

#[test]
fn every_interval_is_read_back_from_its_name() {
    let mut count = 0;
    for steps in -77..=77 {
        for semitones in -150..=150 {
            if let Some(found) = Interval::new(steps, semitones) {
                count += 1;
                assert_eq!(interval(&found.to_string()), found);
                assert_eq!(found.reversed().reversed(), found);
            }
        }
    }
    assert!(count > 1500);
}

#[test]
fn degrees_above_f_are_spelled_by_their_letters() {
    for (degree, expected) in [
        ("1", "F"),
        ("b9", "Gb"),
        ("9", "G"),
        ("#9", "G#"),
        ("b3", "Ab"),
        ("3", "A"),
        ("11", "Bb"),
        ("#11", "B"),
        ("b5", "Cb"),
        ("5", "C"),
        ("#5", "C#"),
        ("b13", "Db"),
        ("13", "D"),
        ("bb7", "Ebb"),
        ("b7", "Eb"),
        ("7", "E"),
    ] {
        let parsed: Degree = degree.parse().unwrap();
        assert_eq!(parsed.to_string(), degree);
        assert_eq!(parsed.above(name("F")).to_string(), expected, "{degree}");
    }
    for text in ["", "0", "14", "b", "bbb7", "x7", "7b", "07", "#b3"] {
        assert!(text.parse::<Degree>().is_err(), "{text}");
    }
}

#[test]
fn a_degree_sounds_the_same_by_letter_and_by_semitone() {
    for root in every_name() {
        for number in 1..=13 {
            for alter in -2..=2 {
                let degree = Degree::new(number, alter);
                let above = degree.above(root);
                assert_eq!(above.class().above(root.class()), degree.semitones());
                assert!(above.alter.abs() <= 2);
            }
        }
    }
}

#[test]
fn simple_names_keep_the_sound_with_at_most_one_accidental() {
    for (text, simple) in [
        ("F##", "G"),
        ("Bbb", "A"),
        ("Cbb", "Bb"),
        ("E##", "F#"),
        ("Fbb", "Eb"),
        ("B##", "C#"),
        ("Cb", "Cb"),
        ("E#", "E#"),
    ] {
        assert_eq!(name(text).simple().to_string(), simple);
    }
    for any in every_name() {
        assert_eq!(any.simple().class(), any.class());
        assert!(any.simple().alter.abs() <= 1);
    }
}

proptest! {
    #![proptest_config(ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn names_notes_and_degrees_print_to_what_reads_back(letter in 0..7, alter in -2i8..=2, octave in -1i8..=9) {
        let any = Name::new(Letter::from_index(letter), alter);
        prop_assert_eq!(any.to_string().parse::<Name>().unwrap(), any);
        let placed = Note::new(any, octave);
        prop_assert_eq!(placed.to_string().parse::<Note>().unwrap(), placed);
    }

    #[test]
    fn a_spelled_note_sounds_its_pitch(midi in 0u8..128, letter in 0..7) {
        let pitch = Pitch::new(midi).unwrap();
        let spelled = Note::spelled(pitch, Letter::from_index(letter));
        prop_assert_eq!(spelled.pitch(), Some(pitch));
    }

    #[test]
    fn the_interval_between_two_notes_leads_from_one_to_the_other(
        a in 0..7, x in -2i8..=2, o in -1i8..=9, b in 0..7, y in -2i8..=2, p in -1i8..=9,
    ) {
        let from = Note::new(Name::new(Letter::from_index(a), x), o);
        let to = Note::new(Name::new(Letter::from_index(b), y), p);
        let between = Interval::between(from, to).unwrap();
        prop_assert_eq!(from.transposed(between), to);
        prop_assert_eq!(between.reversed(), Interval::between(to, from).unwrap());
    }

    #[test]
    fn no_text_makes_the_readers_panic(text in "\\PC{0,12}") {
        let length = text.len();
        for error in [
            text.parse::<Name>().err(),
            text.parse::<Note>().err(),
            text.parse::<Degree>().err(),
            text.parse::<Interval>().err(),
            text.parse::<linewright_theory::Key>().err(),
        ].into_iter().flatten() {
            prop_assert!(error.place().byte() <= length && text.is_char_boundary(error.place().byte()));
            prop_assert!(!error.message().is_empty() && !error.hint().is_empty());
        }
    }
}
