//! Chord symbols, and the small texts of theory: names, notes, degrees, intervals, keys.

#![no_main]

use std::fmt::{Debug, Display};
use std::str::FromStr;

use libfuzzer_sys::fuzz_target;
use linewright_diagnostic::Diagnostic;
use linewright_fuzz::frugally;
use linewright_theory::{Chord, Degree, Interval, Key, Mode, Name, Note};

/// What is read prints as what is read back; a refusal has its place in the text.
fn check<T>(text: &str) -> Option<T>
where
    T: FromStr<Err = Diagnostic> + Display + Debug + PartialEq,
{
    match text.parse::<T>() {
        Ok(found) => {
            let printed = found.to_string();
            assert_eq!(printed.parse::<T>(), Ok(found), "{printed}");
            text.parse().ok()
        }
        Err(error) => {
            assert!(
                error.place().byte() <= text.len() && text.is_char_boundary(error.place().byte())
            );
            assert!(!error.message().is_empty() && !error.hint().is_empty());
            assert!(error.to_string().len() < 400, "{error}");
            None
        }
    }
}

fn check_chord(chord: Chord) {
    let tones = chord.tones();
    assert_eq!(tones[0], Degree::new(1, 0));
    assert!(tones.is_sorted());
    let harmony = chord.musicxml_kind();
    let back = Chord::from_musicxml(chord.root, chord.bass, harmony.kind, &harmony.degrees);
    assert_eq!(back, Ok(chord), "{harmony:?}");
    for fifths in [-7, 0, 3] {
        let key = Key::from_fifths(fifths, Mode::Minor).expect("at most seven");
        let scale = chord.scale(key);
        for tone in tones.iter().filter(|tone| tone.number <= 7) {
            let above = chord.root.class().get() + tone.semitones();
            assert!(
                scale
                    .semitones()
                    .any(|s| (s + chord.root.class().get()) % 12 == above % 12),
                "{chord}: {scale:?}"
            );
        }
    }
}

fuzz_target!(|text: &str| {
    frugally(|| {
        if let Some(chord) = check::<Chord>(text) {
            check_chord(chord);
        }
        check::<Name>(text);
        check::<Note>(text);
        check::<Degree>(text);
        check::<Interval>(text);
        check::<Key>(text);
    });
});
