//! The key of a chart that tells none.

use linewright_theory::{Chord, Family, Key, Letter, Mode, Name, PitchClass};

use crate::harmony::Harmony;
use crate::timeline::TimelineBar;

/// The price of one beat of a chord tone outside the key, unless it is the
/// chord's seventh.
const OUTSIDE: i64 = 8;
/// The price of one beat of a seventh outside the key: dominant sevenths are
/// lent to other degrees so often that they say less.
const OUTSIDE_SEVENTH: i64 = 4;
/// The reward for one beat of the tonic chord.
const TONIC: i64 = 12;
/// The reward for one beat of the dominant chord.
const DOMINANT: i64 = 4;
/// The rewards, for each beat of the whole chart, when it begins on the tonic,
/// ends on the tonic, or ends on the dominant (a turnaround).
const BEGINS: i64 = 1;
const ENDS: i64 = 2;
const TURNS: i64 = 1;

/// What inference needs of a chord, and for how many beats it is written.
struct Sound {
    root: PitchClass,
    /// Semitones above the root.
    third: Option<u8>,
    /// Semitones above the root.
    seventh: Option<u8>,
    /// The tones that speak for a key: root, third, fifth and seventh. The
    /// fifth of a dominant is left out, since it is altered at will; further
    /// extensions colour the chord and not the key.
    tones: Vec<PitchClass>,
    beats: i64,
}

/// The key that fits the chords best; C major when there are none.
///
/// Deterministic: integer scores, and ties go to the key whose tonic is the
/// root of the last chord, then to the fewer accidentals, then to major, then
/// to the lower tonic.
pub(crate) fn key(page: &[TimelineBar]) -> Key {
    let spans = || page.iter().flat_map(|bar| &bar.spans);
    let sounds: Vec<Sound> = spans()
        .filter_map(|span| Some(sound(span.harmony.chord()?, span.beats.into())))
        .collect();
    let roots: Vec<Name> = spans()
        .filter_map(|span| match &span.harmony {
            Harmony::Chord(chord) => Some(chord.root),
            Harmony::NoChord => None,
        })
        .collect();
    let last = sounds.last().map(|sound| sound.root);
    let mut best: Option<(Rank, Key)> = None;
    for class in (0..12).map(PitchClass::new) {
        for mode in [Mode::Major, Mode::Minor] {
            let Some(key) = spelled(class, mode, &roots) else {
                continue;
            };
            let rank = Rank {
                score: score(class, mode, &sounds),
                ends_on_tonic: last == Some(class),
                plainness: -key.fifths().abs(),
                major: mode == Mode::Major,
            };
            if best.as_ref().is_none_or(|(other, _)| rank > *other) {
                best = Some((rank, key));
            }
        }
    }
    best.map_or_else(c_major, |(_, key)| key)
}

/// The key that is written without accidentals.
pub(crate) fn c_major() -> Key {
    Key {
        tonic: Name::new(Letter::C, 0),
        mode: Mode::Major,
    }
}

/// Compared in the order of the fields.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Rank {
    score: i64,
    ends_on_tonic: bool,
    plainness: i8,
    major: bool,
}

fn sound(chord: &Chord, beats: i64) -> Sound {
    let root = chord.root.class();
    let (third, seventh) = (chord.third(), chord.seventh());
    let fifth = chord.fifth().filter(|_| chord.family() != Family::Dominant);
    Sound {
        root,
        third,
        seventh,
        tones: [Some(0), third, fifth, seventh]
            .into_iter()
            .flatten()
            .map(|above| root.up(above.into()))
            .collect(),
        beats,
    }
}

fn score(tonic: PitchClass, mode: Mode, sounds: &[Sound]) -> i64 {
    let total: i64 = sounds.iter().map(|sound| sound.beats).sum();
    let each: i64 = sounds
        .iter()
        .map(|sound| {
            let outside: i64 = sound
                .tones
                .iter()
                .filter(|tone| !belongs(tone.above(tonic), mode))
                .map(|tone| {
                    if Some(tone.above(sound.root)) == sound.seventh {
                        OUTSIDE_SEVENTH
                    } else {
                        OUTSIDE
                    }
                })
                .sum();
            let role = if is_tonic(sound, tonic, mode) {
                TONIC
            } else if is_dominant(sound, tonic) {
                DOMINANT
            } else {
                0
            };
            sound.beats * (role - outside)
        })
        .sum();
    let begins = sounds.first().is_some_and(|s| is_tonic(s, tonic, mode));
    let ends = sounds.last().is_some_and(|s| is_tonic(s, tonic, mode));
    let turns = sounds.last().is_some_and(|s| is_dominant(s, tonic));
    let form = i64::from(begins) * BEGINS + i64::from(ends) * ENDS + i64::from(turns) * TURNS;
    each + total * form
}

/// The notes of the key: the major scale, or natural minor with its leading
/// note as well.
fn belongs(above: u8, mode: Mode) -> bool {
    match mode {
        Mode::Major => [0, 2, 4, 5, 7, 9, 11].contains(&above),
        Mode::Minor => [0, 2, 3, 5, 7, 8, 10, 11].contains(&above),
    }
}

fn is_tonic(sound: &Sound, tonic: PitchClass, mode: Mode) -> bool {
    let third = match mode {
        Mode::Major => 4,
        Mode::Minor => 3,
    };
    sound.root == tonic && sound.third == Some(third)
}

fn is_dominant(sound: &Sound, tonic: PitchClass) -> bool {
    sound.root.above(tonic) == 7 && matches!(sound.third, Some(4 | 5))
}

/// The key on a pitch class, spelled like the first chord root that sounds it,
/// or else with the fewer accidentals (flats when both have six).
fn spelled(class: PitchClass, mode: Mode, roots: &[Name]) -> Option<Key> {
    let written = roots.iter().find(|root| root.class() == class);
    if let Some(key) = written.and_then(|root| Key::new(*root, mode)) {
        return Some(key);
    }
    (-7..=7)
        .filter_map(|fifths| Key::from_fifths(fifths, mode))
        .filter(|key| key.tonic.class() == class)
        .min_by_key(|key| key.fifths().abs())
}
