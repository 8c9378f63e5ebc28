//! Spelling a sounding pitch the way a bass player expects to read it.

use crate::{Chord, Key, Letter, Mode, Name, Note, Pitch, PitchClass};

/// The direction to the next note when it lies a half step away.
#[derive(Copy, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Going {
    /// The next note is a half step higher.
    Up,
    /// The next note is a half step lower.
    Down,
}

/// The spelled note for a pitch over a chord in a key.
///
/// - Written chord tones and extensions take the letter of their degree: the third of D7 is F#, the
///   #9 of G7#9 is A#.
/// - Other notes of the chord's scale take the letter of their degree too: the b9 of a dominant in a
///   minor key is a flat second, the raised fourth of a lydian chord a sharp fourth.
/// - Chromatic notes are raised when the line goes up a half step from them (F# to G) and lowered
///   when it goes down (Ab to G). Without a half step they follow the key: F# and Bb before Gb and
///   A# in C major, G# before Ab in A minor.
///
/// Double accidentals are never written: where the degree would need one (the bb7 of Cdim7 is B
/// double flat) the simple name stands (A). A natural is preferred to Cb, Fb, B# and E# for
/// chromatic notes, and for scale tones that the chord does not write when the key has the natural.
pub fn spell(pitch: Pitch, chord: &Chord, key: Key, going: Option<Going>) -> Note {
    let class = pitch.class();
    let offset = class.above(chord.root.class());
    let by_degree = || chord.degree(offset).above(chord.root).simple();
    let written = chord.tones().iter().any(|d| d.semitones() == offset);
    let name = if let Some(bass) = chord.bass.filter(|bass| !written && bass.class() == class) {
        bass.simple()
    } else if written {
        by_degree()
    } else if chord.scale(key).contains(offset) {
        let name = by_degree();
        match natural(class) {
            Some(plain) if key.contains(class) && key.names().contains(&plain) => plain,
            _ => name,
        }
    } else {
        chromatic(class, key, going)
    };
    Note::spelled(pitch, name.letter)
}

/// The natural name of a class, if it has one.
fn natural(class: PitchClass) -> Option<Name> {
    Letter::ALL
        .into_iter()
        .map(|letter| Name::new(letter, 0))
        .find(|name| name.class() == class)
}

/// The name of a note outside the scale.
fn chromatic(class: PitchClass, key: Key, going: Option<Going>) -> Name {
    if let Some(plain) = natural(class) {
        return plain;
    }
    let names = Letter::ALL.map(|letter| Name::with_letter(class, letter));
    let with = |alter: i8| names.into_iter().find(|n| n.alter == alter);
    let wanted = match going {
        Some(Going::Up) => with(1),
        Some(Going::Down) => with(-1),
        None => None,
    };
    wanted.unwrap_or_else(|| by_key(&names, key))
}

/// The simple name nearest to the key's middle on the line of fifths: between two flats and six
/// sharps of C major's twelve usual names (Db Ab Eb Bb F … F#), three further up for minor keys,
/// whose raised sixth and seventh are at home.
fn by_key(names: &[Name], key: Key) -> Name {
    let middle = 2 * i32::from(key.fifths()) + if key.mode == Mode::Minor { 7 } else { 1 };
    names
        .iter()
        .copied()
        .filter(|name| name.alter.abs() <= 1)
        .min_by_key(|name| (2 * name.fifths() - middle).abs())
        .unwrap_or(names[0])
}
