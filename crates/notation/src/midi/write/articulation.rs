//! How a plucked bass sounds what is written: lengths and accents.
//!
//! The rules are common practice, no source; how long and how loud is told.

use super::part::Sounded;

/// How written notes sound.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Articulation {
    /// MIDI velocity of an unaccented note.
    pub velocity: u8,
    /// Velocity added to accented notes.
    pub accent: u8,
    /// Sounding share of a note's length, in thousandths.
    pub length: u16,
}

/// Nine tenths of every length, neither loud nor soft.
impl Default for Articulation {
    fn default() -> Self {
        Self {
            velocity: 80,
            accent: 8,
            length: 900,
        }
    }
}

/// A note as written, before it is played.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Written {
    /// When it starts, in ticks.
    pub(super) start: u32,
    /// Its written length, in ticks.
    pub(super) length: u32,
    /// The MIDI key number.
    pub(super) pitch: u8,
    /// Whether it is a little stronger.
    pub(super) accented: bool,
    /// Whether it is a ghost note, which is felt more than heard.
    pub(super) ghost: bool,
}

/// The velocity of a ghost note.
const GHOST: u8 = 40;

/// The notes of `line`, which is in order of start, as a plucked bass sounds them.
///
/// Each sounds for the share of its length that `sound` gives, and for nine tenths of that
/// where the next note follows at once on the same pitch, so that the string is heard to be
/// plucked again. A length that reaches past the next start counts only up to there, so
/// notes never overlap. No note is shorter than a tick. Velocities are kept within 1 to 127.
/// The same line always sounds the same.
pub(super) fn articulate(line: &[Written], sound: Articulation) -> Vec<Sounded> {
    let mut sounded = Vec::with_capacity(line.len());
    // From the back, so that what follows a note is known: the note after it that
    // starts later. Notes that start together share it.
    let mut later: Option<Written> = None;
    for (index, &note) in line.iter().enumerate().rev() {
        if let Some(&next) = line.get(index + 1)
            && next.start > note.start
        {
            later = Some(next);
        }
        let room = later.map_or(u32::MAX, |next| next.start.saturating_sub(note.start));
        let repeats = note.length >= room && later.is_some_and(|next| next.pitch == note.pitch);
        let accent = if note.accented { sound.accent } else { 0 };
        sounded.push(Sounded {
            start: note.start,
            length: sounding(note.length.min(room), sound, repeats).max(1),
            pitch: note.pitch,
            velocity: if note.ghost {
                GHOST.min(sound.velocity).max(1)
            } else {
                sound.velocity.saturating_add(accent).clamp(1, 127)
            },
        });
    }
    sounded.reverse();
    sounded
}

/// How much of a length sounds, rounded down.
fn sounding(length: u32, sound: Articulation, repeats: bool) -> u32 {
    let share = u64::from(sound.length.min(1000)) * if repeats { 9 } else { 10 };
    // At most the whole length, so it fits again.
    (u64::from(length) * share / 10_000) as u32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::midi::TICKS_PER_QUARTER;
    use proptest::prelude::*;

    const SOUND: Articulation = Articulation {
        velocity: 80,
        accent: 8,
        length: 950,
    };

    /// Quarters in four, one a beat, from beat one.
    fn quarters(pitches: &[u8]) -> Vec<Written> {
        (0u32..)
            .zip(pitches)
            .map(|(i, &pitch)| Written {
                start: i * TICKS_PER_QUARTER,
                length: TICKS_PER_QUARTER,
                pitch,
                accented: i % 2 == 1,
                ghost: false,
            })
            .collect()
    }

    #[test]
    fn a_repeated_pitch_is_let_go_a_little_sooner() {
        let sounded = articulate(&quarters(&[40, 43, 43, 41]), SOUND);
        let lengths: Vec<u32> = sounded.iter().map(|n| n.length).collect();
        assert_eq!(lengths, [456, 410, 456, 456]);
    }

    #[test]
    fn a_repeated_pitch_after_a_rest_is_held_like_any_other() {
        let mut line = quarters(&[40, 40]);
        line[1].start += TICKS_PER_QUARTER;
        assert_eq!(articulate(&line, SOUND)[0].length, 456);
    }

    #[test]
    fn length_and_loudness_are_those_of_the_sound_and_stay_within_what_can_be_played() {
        let loud = Articulation {
            velocity: 120,
            accent: 40,
            length: 500,
        };
        let sounded = articulate(&quarters(&[40, 43]), loud);
        let both: Vec<(u32, u8)> = sounded.iter().map(|n| (n.length, n.velocity)).collect();
        assert_eq!(both, [(240, 120), (240, 127)]);
        let velocities = articulate(&quarters(&[40, 43]), SOUND);
        assert_eq!([80, 88], [velocities[0].velocity, velocities[1].velocity]);
    }

    #[test]
    fn a_written_length_that_reaches_too_far_stops_before_the_next_note() {
        let mut line = quarters(&[40, 43]);
        line[0].length = 5 * TICKS_PER_QUARTER;
        assert_eq!(articulate(&line, SOUND)[0].length, 456);
    }

    proptest! {
        #[test]
        fn notes_never_overlap_and_keep_start_and_pitch(
            steps in prop::collection::vec((1u32..4000, 0u32..6000, 0u8..128), 0..60),
        ) {
            let mut start = 0;
            let line: Vec<Written> = steps
                .iter()
                .map(|&(step, length, pitch)| {
                    start += step;
                    Written { start, length, pitch, accented: false, ghost: false }
                })
                .collect();
            let sounded = articulate(&line, SOUND);
            prop_assert_eq!(sounded.len(), line.len());
            for (played, written) in sounded.iter().zip(&line) {
                prop_assert_eq!((played.start, played.pitch), (written.start, written.pitch));
                prop_assert!(played.length >= 1 && played.length <= written.length.max(1));
            }
            for pair in sounded.windows(2) {
                prop_assert!(pair[0].start + pair[0].length <= pair[1].start);
            }
        }
    }
}
