//! Spelling a sounding pitch the way a bass player expects to read it.

use crate::{Chord, Degree, Key, Letter, Mode, Name, Note, Pitch, PitchClass};

/// The direction to the next note when it lies a half step away.
#[derive(Copy, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Going {
    /// The next note is a half step higher.
    Up,
    /// The next note is a half step lower.
    Down,
}

/// The spelled note for a pitch over a chord in a key (common practice, no source).
///
/// - Written chord tones and extensions take the letter of their degree: the third of D7 is F#, the
///   #9 of G7#9 is A#, the seventh of Db7 is Cb. A bass note is spelled as the symbol spells it.
/// - Other notes of the chord's scale take their name in the key signature, or else the letter of
///   their degree: the b9 of G7 in C minor is Ab, the #11 of F7 in F major is B natural. The sharp
///   ninth of a scale is treated as chromatic.
/// - Chromatic notes are raised when the line goes up a half step from them (F# to G) and lowered
///   when it goes down (Ab to G). Otherwise they take their name in the signature, or the one that
///   the key uses most: F# and Bb before Gb and A# in C major, G# before Ab in A minor.
///
/// No double accidental is written: where a degree would need one, the next letter with at most one
/// accidental stands (the b5 of Ebdim is A, not B double flat). The diminished seventh is a natural
/// where it can be one: A on Cdim7, E on Gdim7, but Ab on Bdim7. Cb, Fb, B# and E# are written for
/// notes of the chord, and for other notes only when the key signature has them.
pub fn spell(pitch: Pitch, chord: &Chord, key: Key, going: Option<Going>) -> Note {
    let name = spelled_class(pitch.class(), chord, key, going);
    Note::spelled(pitch, name.letter)
}

fn spelled_class(class: PitchClass, chord: &Chord, key: Key, going: Option<Going>) -> Name {
    let offset = class.above(chord.root.class());
    let degree = chord.degree(offset);
    let by_degree = degree.above(chord.root).simple();
    if chord.tones().contains(&degree) {
        return match natural(class) {
            Some(plain) if degree == Degree::new(7, -2) => plain,
            _ => by_degree,
        };
    }
    if let Some(bass) = chord.bass.filter(|bass| bass.class() == class) {
        return bass.simple();
    }
    if chord.scale(key).contains(offset) && degree != Degree::new(9, 1) {
        return in_key(class, key).or(natural(class)).unwrap_or(by_degree);
    }
    chromatic(class, key, going)
}

/// The natural name of a class, if it has one.
fn natural(class: PitchClass) -> Option<Name> {
    Letter::ALL
        .into_iter()
        .map(|letter| Name::new(letter, 0))
        .find(|name| name.class() == class)
}

/// The name of a class in the key signature, if it has one.
fn in_key(class: PitchClass, key: Key) -> Option<Name> {
    key.names().into_iter().find(|name| name.class() == class)
}

/// The name of a note outside the scale.
fn chromatic(class: PitchClass, key: Key, going: Option<Going>) -> Name {
    let own = in_key(class, key);
    let Some(going) = going else {
        return own.or(natural(class)).unwrap_or_else(|| by_key(class, key));
    };
    let wanted = match going {
        Going::Up => 1,
        Going::Down => -1,
    };
    if let Some(own) = own.filter(|own| own.alter == wanted) {
        return own;
    }
    if let Some(plain) = natural(class) {
        return plain;
    }
    // Bb goes up to Cb, and C# down to B#, where the key spells the next note so.
    let next = in_key(class.up(i32::from(wanted)), key);
    let alter = match next {
        Some(next) if next.alter == -wanted => -wanted,
        _ => wanted,
    };
    with_accidental(class, alter).unwrap_or_else(|| by_key(class, key))
}

/// The name of a class with a given accidental, if there is one.
fn with_accidental(class: PitchClass, alter: i8) -> Option<Name> {
    Letter::ALL
        .into_iter()
        .map(|letter| Name::new(letter, alter))
        .find(|name| name.class() == class)
}

/// The sharp or flat name of a black key that lies nearer to the key's middle on the line of
/// fifths. C major's twelve usual names run from Db to F#; minor keys, whose raised sixth and
/// seventh are at home, reach three further to the sharps.
fn by_key(class: PitchClass, key: Key) -> Name {
    let middle = 2 * i32::from(key.fifths()) + if key.mode == Mode::Minor { 7 } else { 1 };
    let mut names = [-1, 1]
        .into_iter()
        .filter_map(|alter| with_accidental(class, alter));
    let first = names.next().unwrap_or(Name::with_letter(class, Letter::C));
    names.fold(first, |best, name| {
        let far = |n: Name| (2 * n.fifths() - middle).abs();
        if far(name) < far(best) { name } else { best }
    })
}
