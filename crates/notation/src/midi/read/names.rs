//! How pitches are spelled.

use linewright_theory::{Chord, Going, Key, Letter, Mode, Name, Note, Pitch, spell};

use super::file::Time;

/// The chord from each time on; `None` where none sounds.
pub(super) type Chords = Vec<(Time, Option<Chord>)>;

/// The notes of pitches that begin at these times, in order.
pub(super) fn names(
    pitches: &[(Time, Pitch)],
    chords: &[(Time, Option<Chord>)],
    key_at: impl Fn(Time) -> Option<Key>,
) -> Vec<Note> {
    let over = |at: Time| {
        let nth = chords.partition_point(|(from, _)| *from <= at);
        chords[..nth].last().and_then(|(_, chord)| *chord)
    };
    (0..pitches.len())
        .map(|nth| {
            let (at, pitch) = pitches[nth];
            let going = pitches.get(nth + 1).and_then(|(_, next)| {
                match i32::from(next.midi()) - i32::from(pitch.midi()) {
                    1 => Some(Going::Up),
                    -1 => Some(Going::Down),
                    _ => None,
                }
            });
            let key = key_at(at).unwrap_or(Key {
                tonic: Name::new(Letter::C, 0),
                mode: Mode::Major,
            });
            match over(at).or_else(|| tonic_chord(key)) {
                Some(chord) => spell(pitch, &chord, key, going),
                None => Note::spelled(pitch, key.tonic.letter),
            }
        })
        .collect()
}

/// The triad on a key's tonic: over it the key's own notes keep the names of the signature.
fn tonic_chord(key: Key) -> Option<Chord> {
    let minor = match key.mode {
        Mode::Major => "",
        Mode::Minor => "m",
    };
    Chord::parse(&format!("{}{minor}", key.tonic)).ok()
}
