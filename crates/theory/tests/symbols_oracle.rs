//! Chord symbols against another reader, the crate `chordparser`.

use linewright_theory::{Chord, PitchClass};

/// Symbols that both readers should understand alike.
const AGREED: &str = "C Cm Cmin C- Cdim C° Co Caug C+ C5 Csus2 Csus4 Csus C6 Cm6 C6/9 C69 Cm6/9 \
    C7 Cmaj7 CM7 CΔ CΔ7 Cma7 CMaj7 CMA7 Cm7 Cmi7 Cmin7 C-7 CMI7 Cø Cø7 Cm7b5 C-7b5 Cdim7 C°7 Co7 \
    CmMaj7 CmM7 Cm(maj7) C-Δ C9 Cmaj9 Cm9 CmMaj9 C11 Cmaj11 Cm11 C13 Cmaj13 Cm13 C7b9 C7#9 C7b5 \
    C7#5 C7+ C+7 Caug7 C7(b9,#11) C7(b9#11) C13#11 C13b9 C13(b9,#11) C9b5 C9#5 C9#11 C7#11 \
    C7#9#5 C7alt Calt C7sus4 C7sus C9sus4 C9sus C13sus C7sus4b9 C7susb9 Cmaj7sus4 Cmaj7#11 CΔ#11 \
    Cmaj7#5 Cmaj7b5 Cmaj9#11 Cmaj13#11 C+maj7 Cadd9 Cadd2 Cm(add9) Cadd11 Caddb9 Cadd#11 Cno3 \
    Comit3 C7no5 C7(omit3) Cm7(add11) Cm7add13 CdimMaj7 C°maj7 Cdim7(maj7) Cdim7(b13) Cø9 Cm9b5 \
    Cm11b5 Cm7#5 Cmb6 C(b5) C(#5) Cm+5 C7-5 C+9 Cm7-5 C7b5b9 C7(#9,b9) C9sus2 C7add11 C7b6 C6#11 \
    Cm6b5 C/E C7/Bb Cm7/G F#m7b5/C Bbmaj7/A Eb7 Ab13 Dbmaj7 Gbm7 B7alt F#7#9 C♯m7 B♭Δ7 C7♭9";

/// Symbols where the other reader says something else, and why ours stands.
const DISPUTED: [(&str, &str); 13] = [
    (
        "C7b13",
        "it drops the fifth under a flat thirteenth; we keep it, since only 5 replaces 5",
    ),
    ("C7b9b13", "the same"),
    ("C9b13", "the same"),
    ("C7#9b13", "the same"),
    (
        "C7(13)",
        "it adds the ninth; in brackets a number adds that tone alone",
    ),
    ("Cm7(11)", "it adds the ninth; the same"),
    (
        "Cdim9",
        "it takes a minor seventh; the seventh of dim is diminished",
    ),
    (
        "Cm+7",
        "it sharpens the fifth; an old way to write the major seventh",
    ),
    (
        "C7-9",
        "it reads a minor chord; after a number, - is a flat",
    ),
    (
        "C7+9",
        "it reads an augmented ninth chord; after a number, + is a sharp",
    ),
    ("Csus24", "it does not read two suspensions"),
    ("Cmadd9", "it reads ma and stumbles"),
    ("C6/9/E", "it does not read a bass note after 6/9"),
];

fn ours(symbol: &str) -> Option<Vec<u8>> {
    let chord = Chord::parse(symbol).ok()?;
    let root = chord.root.class();
    let mut classes: Vec<u8> = chord
        .tones()
        .iter()
        .map(|d| root.up(i32::from(d.semitones())).get())
        .collect();
    classes.sort_unstable();
    Some(classes)
}

fn theirs(symbol: &str) -> Option<Vec<u8>> {
    let chord = chordparser::parsing::Parser::new().parse(symbol).ok()?;
    let root = PitchClass::new(chord.root.to_midi_code() % 12);
    let mut classes: Vec<u8> = chord
        .semitones
        .iter()
        .map(|&s| root.up(i32::from(s)).get())
        .collect();
    classes.sort_unstable();
    classes.dedup();
    Some(classes)
}

#[test]
fn symbols_sound_as_another_reader_hears_them() {
    let symbols: Vec<&str> = AGREED.split_whitespace().collect();
    assert!(symbols.len() >= 100);
    for symbol in symbols {
        let found = ours(symbol);
        assert!(found.is_some(), "{symbol} is not read");
        assert_eq!(found, theirs(symbol), "{symbol}");
    }
}

#[test]
fn known_disagreements_are_still_there() {
    for (symbol, reason) in DISPUTED {
        assert!(ours(symbol).is_some(), "{symbol}");
        assert_ne!(ours(symbol), theirs(symbol), "{symbol}: {reason}");
    }
}

#[test]
fn the_canonical_symbol_sounds_the_same_to_the_other_reader() {
    // Our b6 prints as b13, see the disputed symbols.
    for symbol in AGREED.split_whitespace().filter(|&s| s != "C7b6") {
        let printed = Chord::parse(symbol).unwrap().to_string();
        assert_eq!(
            ours(symbol),
            theirs(&printed),
            "{symbol} printed as {printed}"
        );
    }
}
