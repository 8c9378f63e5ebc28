//! Chord symbols: root at full size, `m dim aug` smaller beside it, the rest raised.

use linewright_notation::Symbol;
use linewright_theory::{Chord, Name};

use crate::clean::one_line;
use crate::font::Font;
use crate::typeset::Run;

/// Text size of a root.
const ROOT: i64 = 620;
/// Text size of `m`, `dim`, `aug`.
const KIND: i64 = 500;
/// Text size of what is raised.
const RAISED: i64 = 400;
/// How far it is raised.
const RAISE: i64 = 205;

/// Sets a chord symbol.
pub(crate) fn set(font: &Font, symbol: &Symbol) -> Run {
    match symbol {
        Symbol::Chord(chord) => set_chord(font, chord),
        Symbol::NoChord => Run::plain(font, "N.C.", KIND),
        Symbol::Unread(text) => Run::plain(font, &one_line(text), ROOT),
    }
}

fn set_chord(font: &Font, chord: &Chord) -> Run {
    let suffix = chord.suffix();
    let (kind, raised) = split(&suffix);
    let mut run = Run::new();
    run.name(font, chord.root, ROOT, 0);
    run.text(font, kind, KIND, 0);
    if !raised.is_empty() {
        run.gap(12);
        let spaced = raised.replace(',', "\u{a0}");
        run.degrees(font, &spaced, RAISED, RAISE);
    }
    if let Some(bass) = chord.bass {
        slash(font, &mut run, bass);
    }
    run
}

fn slash(font: &Font, run: &mut Run, bass: Name) {
    run.gap(20);
    run.text(font, "/", ROOT, 0);
    run.gap(10);
    run.name(font, bass, ROOT, 0);
}

/// The part of a suffix that stays on the baseline, and the rest.
fn split(suffix: &str) -> (&str, &str) {
    let minor_major = suffix.starts_with("mMaj");
    for kind in ["dim", "aug", "m"] {
        if suffix.starts_with(kind) && (minor_major || !suffix.starts_with("maj")) {
            return suffix.split_at(kind.len());
        }
    }
    ("", suffix)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mark::{Kind, Shape};

    fn set_text(text: &str) -> Run {
        set(&Font::new(), &Symbol::Chord(text.parse().unwrap()))
    }

    #[test]
    fn the_kind_of_chord_stays_down_and_the_rest_is_raised() {
        assert_eq!(split("m7b5"), ("m", "7b5"));
        assert_eq!(split("mMaj7"), ("m", "Maj7"));
        assert_eq!(split("maj7"), ("", "maj7"));
        assert_eq!(split("dim7"), ("dim", "7"));
        assert_eq!(split("7(#9,#5)"), ("", "7(#9,#5)"));
        assert_eq!(split(""), ("", ""));
    }

    #[test]
    fn the_accidentals_of_a_symbol_are_drawn() {
        let mark = set_text("Bb7#9#5/F#").mark(Kind::ChordSymbol, 0, 0);
        let glyphs = mark
            .shapes
            .iter()
            .filter(|shape| matches!(shape, Shape::Glyph { .. }))
            .count();
        assert_eq!(glyphs, 4);
        assert!(!mark.text().contains('b') && !mark.text().contains('#'));
        assert_eq!(mark.text(), "B♭7(♯5\u{a0}♯9)/F♯");
    }

    #[test]
    fn longer_symbols_are_wider() {
        assert!(set_text("C").width() < set_text("Cm7").width());
        assert!(set_text("Cm7").width() < set_text("Cm7b5").width());
    }
}
