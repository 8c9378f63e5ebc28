//! Where notes and signatures stand on the bass staff.

use linewright_theory::{Key, Letter, Name, Note};

use crate::geometry::SPACE;
use crate::glyph::Glyph;

/// Half the distance of two staff lines: the step from a line to its space.
pub(crate) const STEP: i64 = SPACE / 2;

/// The place of a note on the staff, in steps above the middle line. It is written an octave
/// above its sound, so that the lowest string of a bass stands on the first ledger line.
pub(crate) fn place(note: Note) -> i64 {
    let steps = 7 * i64::from(note.octave) + i64::from(note.name.letter.index());
    // The middle line of the bass staff is the written D3, here the sounding D2.
    let middle = 7 * 2 + i64::from(Letter::D.index());
    steps - middle
}

/// The height of a place: the middle line is 0, y grows downwards.
pub(crate) fn height(place: i64) -> i64 {
    -place * STEP
}

/// The ledger lines that a place needs, as places.
pub(crate) fn ledger_lines(place: i64) -> impl Iterator<Item = i64> {
    // Far more than any instrument has; a stray octave must not fill the page.
    let count = ((place.abs() - 4) / 2).clamp(0, 40);
    (1..=count).map(move |n| place.signum() * (4 + 2 * n))
}

/// The signs of a key signature with their places.
pub(crate) fn signature(key: Key) -> Vec<(Name, i64)> {
    // Conventional places in the bass clef; common practice, no source.
    const SHARPS: [i64; 7] = [2, -1, 3, 0, -3, 1, -2];
    const FLATS: [i64; 7] = [-2, 1, -3, 0, -4, -1, -5];
    let places = if key.fifths() >= 0 { SHARPS } else { FLATS };
    key.signature().into_iter().zip(places).collect()
}

/// The glyphs of a key change with their places: naturals for what goes, then the new signs.
pub(crate) fn change(from: Option<Key>, to: Key) -> Vec<(Glyph, i64)> {
    let new = signature(to);
    let naturals = from
        .map(signature)
        .unwrap_or_default()
        .into_iter()
        .filter(|(old, _)| !new.iter().any(|(name, _)| name == old))
        .map(|(_, place)| (Glyph::Natural, place));
    // After a change of side the naturals say enough only when nothing new follows.
    let cancel: Vec<_> =
        if new.is_empty() || from.is_some_and(|k| k.fifths().signum() == to.fifths().signum()) {
            naturals.collect()
        } else {
            Vec::new()
        };
    let signs = new
        .into_iter()
        .map(|(name, place)| (Glyph::accidental(name.alter), place));
    cancel.into_iter().chain(signs).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn note(text: &str) -> Note {
        text.parse().unwrap()
    }

    #[test]
    fn the_open_strings_stand_where_bassists_read_them() {
        // Written E2, A2, D3, G3 in the bass clef; Gerou and Lusk, Essential Dictionary of Music
        // Notation, "Double bass" (from memory).
        assert_eq!(place(note("E1")), -6);
        assert_eq!(place(note("A1")), -3);
        assert_eq!(place(note("D2")), 0);
        assert_eq!(place(note("G2")), 3);
        assert_eq!(ledger_lines(-6).collect::<Vec<_>>(), [-6]);
        assert_eq!(ledger_lines(-5).count(), 0);
        assert_eq!(ledger_lines(9).collect::<Vec<_>>(), [6, 8]);
    }

    #[test]
    fn signatures_stand_on_the_lines_of_their_names() {
        for fifths in -7..=7 {
            let key = Key::from_fifths(fifths, linewright_theory::Mode::Major).unwrap();
            let signs = signature(key);
            assert_eq!(signs.len(), usize::from(fifths.unsigned_abs()));
            for (name, at) in signs {
                assert_eq!((at - place(Note::new(name, 2))) % 7, 0, "{name}");
                assert!((-5..=4).contains(&at), "{name}");
            }
        }
    }

    #[test]
    fn a_key_change_cancels_what_goes() {
        let key = |text: &str| text.parse::<Key>().unwrap();
        let glyphs = |from: &str, to: &str| -> Vec<Glyph> {
            change(Some(key(from)), key(to))
                .into_iter()
                .map(|(glyph, _)| glyph)
                .collect()
        };
        assert_eq!(glyphs("Bb", "C"), [Glyph::Natural, Glyph::Natural]);
        assert_eq!(glyphs("D", "G"), [Glyph::Natural, Glyph::Sharp]);
        assert_eq!(glyphs("D", "F"), [Glyph::Flat]);
    }
}
