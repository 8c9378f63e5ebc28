//! Reading chord symbols: variants, meanings, refusals, and the way back from print.

use linewright_theory::{Chord, Degree, Family, Letter, Name};
use proptest::prelude::*;

fn chord(text: &str) -> Chord {
    Chord::parse(text).unwrap_or_else(|e| panic!("{text}: {e}"))
}

fn tones(text: &str) -> String {
    let list: Vec<String> = chord(text).tones().iter().map(Degree::to_string).collect();
    list.join(" ")
}

#[test]
fn symbols_have_their_degrees() {
    // Degrees by common practice (no source) unless said otherwise in the module that builds them.
    for (symbol, degrees) in [
        ("C", "1 3 5"),
        ("Cm", "1 b3 5"),
        ("Cdim", "1 b3 b5"),
        ("Caug", "1 3 #5"),
        ("C5", "1 5"),
        ("Csus2", "1 2 5"),
        ("Csus4", "1 4 5"),
        ("C6", "1 3 5 6"),
        ("Cm6", "1 b3 5 6"),
        ("C6/9", "1 3 5 6 9"),
        ("Cm6/9", "1 b3 5 6 9"),
        ("C7", "1 3 5 b7"),
        ("Cmaj7", "1 3 5 7"),
        ("Cm7", "1 b3 5 b7"),
        ("CmMaj7", "1 b3 5 7"),
        ("Cm7b5", "1 b3 b5 b7"),
        ("Cdim7", "1 b3 b5 bb7"),
        ("CdimMaj7", "1 b3 b5 7"),
        ("C7#5", "1 3 #5 b7"),
        ("Cmaj7#5", "1 3 #5 7"),
        ("C9", "1 3 5 b7 9"),
        ("Cmaj9", "1 3 5 7 9"),
        ("Cm9", "1 b3 5 b7 9"),
        ("C11", "1 4 5 b7 9"),
        ("Cm11", "1 b3 5 b7 9 11"),
        ("C13", "1 3 5 b7 9 13"),
        ("Cmaj13", "1 3 5 7 9 13"),
        ("Cm13", "1 b3 5 b7 9 11 13"),
        ("C7b9", "1 3 5 b7 b9"),
        ("C7#9", "1 3 5 b7 #9"),
        ("C7b9b13", "1 3 5 b7 b9 b13"),
        ("C13#11", "1 3 5 b7 9 #11 13"),
        ("C13b9", "1 3 5 b7 b9 13"),
        ("C7alt", "1 3 b5 #5 b7 b9 #9"),
        ("C7sus4", "1 4 5 b7"),
        ("C9sus4", "1 4 5 b7 9"),
        ("C13sus4", "1 4 5 b7 9 13"),
        ("C7sus4b9", "1 4 5 b7 b9"),
        ("Cmaj7#11", "1 3 5 7 #11"),
        ("Cadd9", "1 3 5 9"),
        ("Cm(add11)", "1 b3 5 11"),
        ("C7no5", "1 3 b7"),
        ("C7no3", "1 5 b7"),
        ("Cm(b6)", "1 b3 5 b6"),
        ("C7b5b9", "1 3 b5 b7 b9"),
        ("Cdim7(maj7)", "1 b3 b5 bb7 7"),
        ("Csus24", "1 2 4 5"),
    ] {
        assert_eq!(tones(symbol), degrees, "{symbol}");
    }
}

#[test]
fn the_ways_to_write_a_chord_all_print_as_one() {
    for (canonical, variants) in [
        ("Cmaj7", "CM7 CΔ CΔ7 C∆7 Cma7 CMaj7 CMA7 CMAJ7 C(maj7)"),
        ("Cm7", "Cmi7 Cmin7 C-7 C−7 CMI7 CMin7 Cm7no9"),
        ("Cm7b5", "Cø Cø7 CØ7 C-7b5 Cm7-5 Cmin7♭5 Cm7(b5)"),
        ("Cdim7", "C°7 Co7 Cº7"),
        ("Cdim", "C° Co"),
        ("Caug", "C+ C(#5) C+5"),
        ("C7#5", "C+7 C7+ Caug7 C7+5 C7♯5 C7aug"),
        (
            "CmMaj7",
            "CmM7 Cm(maj7) C-Δ C-Δ7 Cm(M7) Cminmaj7 Cm/maj7 Cm(#7) Cm+7",
        ),
        ("C6/9", "C69 C6(9) C6add9 Cadd9add6"),
        ("C7sus4", "C7sus Cm7sus4 Csus7 Cmsus7"),
        ("C9sus4", "C9sus Csus9 C11 C7sus4(9) C7sus4add9"),
        (
            "C7(b9,#11)",
            "C7b9#11 C7(b9#11) C7#11b9 C7(#11)(b9) C7(♭9,♯11) C7-9+11",
        ),
        ("C7alt", "Calt C7(alt)"),
        ("Cadd9", "Cadd2 C(add9) C(9)"),
        ("C5", "Cno3 C(no3) Comit3 C(omit3)"),
        ("Cmaj7#5", "C+maj7 CaugMaj7 CΔ+ CΔ#5 C+M7"),
        ("C13sus4", "C13sus Csus13"),
        ("C13b9", "C7b9,13 C7(b9,13)"),
        ("C6", "Cadd6 Cmaj6 C(add13)"),
    ] {
        for variant in variants.split(' ') {
            assert_eq!(chord(variant).to_string(), canonical, "{variant}");
        }
    }
    assert_eq!(chord("C7( b9, #11 )").to_string(), "C7(b9,#11)");
}

#[test]
fn spellings_of_tables_of_chords_are_answered_with_what_to_write() {
    for (typed, meant) in [
        ("Cj7", "Cmaj7"),
        ("F#j79", "F#maj9"),
        ("C-j7", "CmMaj7"),
        ("Bbj7/F", "Bbmaj7/F"),
        ("C79b", "C7b9"),
        ("Bb79♭", "Bb7b9"),
        ("C79b/E", "C7b9/E"),
        ("C79#", "C7#9"),
        ("C9b", "C7b9"),
        ("C79", "C9"),
        ("C7913", "C13"),
        ("C79b13b", "C7b9b13"),
        ("C79b13", "C13b9"),
        ("C911#", "C9#11"),
        ("C7911#", "C9#11"),
        ("C-75b", "Cm7b5"),
        ("Csus79", "C9sus4"),
        ("Csus47", "C7sus4"),
    ] {
        let fault = Chord::parse(typed).expect_err(typed);
        let chord = chord(meant).to_string();
        assert_eq!(fault.hint(), format!("write {chord}"), "{typed}: {fault}");
    }
    for other in ["Cx7", "C7b12", "C7/", "H7", "C79q", "j7"] {
        let fault = Chord::parse(other).expect_err(other);
        let symbol = fault.hint().strip_prefix("write ").map(Chord::parse);
        assert!(!matches!(symbol, Some(Ok(_))), "{other}: {fault}");
    }
}

#[test]
fn a_second_or_fourth_that_may_replace_the_third_or_not_is_refused() {
    for (symbol, at) in [("Dm7(2)", 4), ("C(2)", 2), ("C7(b9,2)", 6), ("C2", 1)] {
        let fault = Chord::parse(symbol).expect_err(symbol);
        assert_eq!(fault.place().byte(), at, "{symbol}");
        assert!(
            fault.hint().contains("add9") && fault.hint().contains("sus2"),
            "{fault}"
        );
    }
    let fault = Chord::parse("C7(4)").unwrap_err();
    assert!(
        fault.hint().contains("add11") && fault.hint().contains("sus4"),
        "{fault}"
    );
    assert_eq!(tones("Dm7(add2)"), tones("Dm9"));
}

#[test]
fn capital_m_is_major_and_small_m_is_minor() {
    assert_ne!(chord("CM7"), chord("Cm7"));
    assert_eq!(tones("CM"), "1 3 5");
    assert_eq!(tones("CM9"), "1 3 5 7 9");
}

#[test]
fn accidentals_belong_to_the_root_before_they_belong_to_the_chord() {
    assert_eq!(chord("Cb9").root.to_string(), "Cb");
    assert_eq!(tones("Cb9"), "1 3 5 b7 9");
    assert_eq!(chord("C#11").root.to_string(), "C#");
    assert_eq!(chord("Bbb7").root.to_string(), "Bbb");
    assert_eq!(chord("B♭♭7").root.to_string(), "Bbb");
}

#[test]
fn the_bass_note_is_the_root_of_the_line() {
    assert_eq!(chord("C7/E").line_root().to_string(), "E");
    assert_eq!(chord("C7").line_root().to_string(), "C");
    assert_eq!(
        chord("C6/9/E").bass.map(|b| b.to_string()),
        Some("E".into())
    );
    assert_eq!(chord("F♯m7♭5/C").to_string(), "F#m7b5/C");
}

#[test]
fn what_is_no_single_chord_is_refused_with_place_and_advice() {
    for (text, at, advice) in [
        ("", 0, "root"),
        ("H7", 0, "A to G"),
        ("c7", 0, "capital letter: C"),
        ("N.C.", 0, "leave the chord out"),
        ("C/Dm7", 2, "one chord"),
        ("C7|D", 2, "one chord"),
        ("Cm/G/B", 4, "one bass note"),
        ("C/", 2, "note name"),
        ("C7/x", 3, "note name"),
        ("C7/6", 3, "6/9"),
        ("C2", 1, "sus2"),
        ("C4", 1, "sus4"),
        ("C8", 1, "13"),
        ("Cm5", 2, "C5"),
        ("C7(b9", 2, "add )"),
        ("C7()", 2, "leave them out"),
        ("C7)", 2, "no ( before"),
        ("C(b12)", 2, "b13"),
        ("C7 b9", 2, "without blanks"),
        ("Cmalt", 2, "7alt"),
        ("C9alt", 2, "7alt"),
        ("Cadd7", 1, "Cmaj7"),
        ("Cno1", 1, "no3"),
        ("Cdim6", 4, "dim7"),
        ("Cdim7sus4", 5, "7sus4(b5)"),
        ("B♭x", 4, "quality"),
        ("C7((b9))", 3, "brackets"),
        ("C7,", 2, "quality"),
    ] {
        let error = Chord::parse(text).expect_err(text);
        assert_eq!(error.place().byte(), at, "{text}: {error}");
        assert!(error.hint().contains(advice), "{text}: {error}");
    }
    let long = format!("C{}", "b9".repeat(40));
    assert!(Chord::parse(&long).unwrap_err().message().contains("64"));
}

#[test]
fn tones_that_sound_alike_are_one_degree() {
    assert_eq!(tones("Cm7#9"), "1 b3 5 b7");
    assert_eq!(tones("C7b5#11"), "1 3 b5 b7");
    assert_eq!(tones("C7add6"), "1 3 5 b7 13");
    assert_eq!(tones("Cadd13"), "1 3 5 6");
    assert_eq!(chord("C9sus2"), chord("C7sus2"));
}

#[test]
fn thirds_fifths_and_sevenths_are_found_by_part() {
    let parts = |s: &str| (chord(s).third(), chord(s).fifth(), chord(s).seventh());
    assert_eq!(parts("C7"), (Some(4), Some(7), Some(10)));
    assert_eq!(parts("Cm6"), (Some(3), Some(7), Some(9)));
    assert_eq!(parts("Cdim7"), (Some(3), Some(6), Some(9)));
    assert_eq!(parts("C7sus4"), (Some(5), Some(7), Some(10)));
    assert_eq!(parts("Csus2"), (Some(2), Some(7), None));
    assert_eq!(parts("C5"), (None, Some(7), None));
    assert_eq!(parts("C7alt"), (Some(4), Some(6), Some(10)));
    assert_eq!(parts("C7#5"), (Some(4), Some(8), Some(10)));
    assert_eq!(parts("C13no5"), (Some(4), None, Some(10)));
    assert_eq!(parts("Cmaj9"), (Some(4), Some(7), Some(11)));
}

#[test]
fn a_plain_number_is_the_tone_that_the_chord_has() {
    for (symbol, typed, own) in [
        ("Am7", "1 3 5 6 7 9", "1 b3 5 6 b7 9"),
        ("F7", "3 5 7 b7 #7", "3 5 b7 b7 #7"),
        ("Fmaj7", "3 7 b7", "3 7 b7"),
        ("Bm7b5", "3 5 #5 b3", "b3 b5 #5 b3"),
        ("Cdim7", "3 5 7 b7 6", "b3 b5 bb7 b7 6"),
        ("C7b9b13", "2 9 6 13 11", "b2 b9 b6 b13 11"),
        ("C7alt", "3 5 9 7", "3 5 9 b7"),
        ("C7sus4", "3 4 7", "3 4 b7"),
        ("Cm6", "3 6 13 7", "b3 6 13 7"),
    ] {
        let read = |word: &str| word.parse::<Degree>().expect(word);
        let found: Vec<String> = typed
            .split(' ')
            .map(|word| chord(symbol).own(read(word)).to_string())
            .collect();
        assert_eq!(found.join(" "), own, "{symbol}");
    }
}

#[test]
fn families_gather_the_qualities() {
    use Family::*;
    for (family, symbols) in [
        (Major, "C C6 C6/9 Cmaj7 Cmaj7#11 Cmaj7b5 Cadd9 C(b5)"),
        (Minor, "Cm Cm6 Cm7 Cm9 Cm11 Cm(b6) Cm7#5"),
        (Dominant, "C7 C9 C13 C7alt C7b5 C7#5 C13#11 C7no3"),
        (HalfDiminished, "Cm7b5 Cm9b5 Cø"),
        (Diminished, "Cdim Cdim7 CdimMaj7 Cm6b5"),
        (Augmented, "Caug Cmaj7#5"),
        (MinorMajor, "CmMaj7 CmMaj9"),
        (Suspended, "Csus2 Csus4 C7sus4 C11 C13sus4 Cmaj7sus4"),
        (Power, "C5 C5add9"),
    ] {
        for symbol in symbols.split(' ') {
            assert_eq!(chord(symbol).family(), family, "{symbol}");
        }
    }
}

#[test]
fn quality_keys_are_equal_exactly_when_the_degrees_are() {
    assert_eq!(chord("C7").quality_key(), chord("Gb7/E").quality_key());
    let mut seen: Vec<(Vec<Degree>, _)> = Vec::new();
    for symbol in grid() {
        let found = chord(&symbol);
        seen.push((found.tones(), found.quality_key()));
    }
    seen.sort();
    for pair in seen.windows(2) {
        assert_eq!(pair[0].0 == pair[1].0, pair[0].1 == pair[1].1);
    }
}

#[test]
fn transposing_moves_root_and_bass_by_letters() {
    let up = |c: &str, i: &str| chord(c).transposed(i.parse().unwrap()).to_string();
    assert_eq!(up("C7/E", "m3"), "Eb7/G");
    assert_eq!(up("F#m7b5", "m2"), "Gm7b5");
    assert_eq!(up("Bbmaj7", "A1"), "Bmaj7");
    assert_eq!(up("G7", "-P4"), "D7");
    assert_eq!(up("B##7", "A4"), "G7");
}

const BEGINNINGS: [&str; 44] = [
    "", "m", "dim", "aug", "5", "6", "m6", "6/9", "m6/9", "7", "maj7", "m7", "mMaj7", "dim7", "ø",
    "9", "maj9", "m9", "mMaj9", "dim9", "ø9", "11", "maj11", "m11", "mMaj11", "ø11", "13", "maj13",
    "m13", "mMaj13", "dim11", "dimMaj7", "augMaj7", "aug7", "aug9", "sus4", "sus2", "sus24",
    "7sus4", "9sus4", "13sus4", "7sus2", "maj7sus4", "6sus4",
];
const MODIFIERS: [&str; 24] = [
    "b5", "#5", "b9", "#9", "#11", "b13", "b6", "add9", "add11", "add13", "add6", "addb9", "add#9",
    "add#11", "addb13", "add3", "add5", "add#5", "no3", "no5", "no7", "no9", "no11", "maj7",
];

/// Every beginning with no, one and two modifiers, on C.
fn grid() -> Vec<String> {
    let mut all = Vec::new();
    for beginning in BEGINNINGS {
        all.push(format!("C{beginning}"));
        for one in MODIFIERS {
            all.push(format!("C{beginning}({one})"));
            for two in MODIFIERS {
                all.push(format!("C{beginning}({one},{two})"));
            }
        }
    }
    all.push("C7alt".into());
    all
}

#[test]
fn every_chord_is_read_back_from_its_print() {
    let grid = grid();
    assert!(grid.len() > 20_000);
    for symbol in grid {
        let first = chord(&symbol);
        let printed = first.to_string();
        assert_eq!(chord(&printed), first, "{symbol} printed as {printed}");
        assert!(
            printed.chars().count() <= symbol.chars().count() + 9,
            "{symbol}: {printed}"
        );
    }
}

#[test]
fn every_root_and_bass_is_read_back_from_its_print() {
    let mut names = Vec::new();
    for letter in Letter::ALL {
        for alter in -2..=2 {
            names.push(Name::new(letter, alter));
        }
    }
    for &root in &names {
        for beginning in BEGINNINGS
            .iter()
            .chain(&["7b9", "(b5)", "7(#9,b13)", "7alt", "add9"])
        {
            let plain = chord(&format!("{root}{beginning}"));
            assert_eq!(plain.root, root);
            assert_eq!(chord(&plain.to_string()), plain);
            for &bass in &names {
                let mut slash = plain;
                slash.bass = Some(bass);
                assert_eq!(chord(&slash.to_string()), slash);
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 4000,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn no_text_makes_the_reader_panic(text in "\\PC{0,80}") {
        check(&text)?;
    }

    #[test]
    fn near_symbols_are_read_and_printed_back_or_refused(
        text in "[A-G][#b♭♯]?(m|maj|M|-|dim|°|ø|aug|\\+|Δ|o|sus|7|9|11|13|6|/9|b5|#5|b9|#9|#11|b13|alt|add|no|omit|\\(|\\)|,| |/|[A-G]|[2-9]|[#b]){0,7}"
    ) {
        check(&text)?;
    }

    #[test]
    fn modifiers_count_whatever_their_order(
        beginning in proptest::sample::select(&BEGINNINGS[..]),
        mut some in proptest::sample::subsequence(&MODIFIERS[..], 0..5),
    ) {
        let forward = format!("C{beginning}{}", brackets(&some));
        some.reverse();
        let backward = format!("C{beginning}{}", brackets(&some));
        let found = Chord::parse(&forward).unwrap();
        prop_assert_eq!(Chord::parse(&backward).unwrap(), found);
        prop_assert_eq!(Chord::parse(&found.to_string()).unwrap(), found);
    }
}

fn brackets(list: &[&str]) -> String {
    if list.is_empty() {
        String::new()
    } else {
        format!("({})", list.join(","))
    }
}

fn check(text: &str) -> Result<(), TestCaseError> {
    match Chord::parse(text) {
        Ok(found) => {
            prop_assert_eq!(Chord::parse(&found.to_string()), Ok(found));
            let degrees = found.tones();
            prop_assert_eq!(degrees[0], Degree::new(1, 0));
            prop_assert!(degrees.is_sorted());
        }
        Err(error) => {
            prop_assert!(
                text.is_char_boundary(error.place().byte()) && error.place().byte() <= text.len()
            );
            prop_assert!(!error.message().is_empty() && !error.hint().is_empty());
            prop_assert!(error.to_string().len() < 400);
        }
    }
    Ok(())
}
