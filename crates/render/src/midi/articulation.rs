//! How a plucked bass sounds what is written: lengths and accents.
//!
//! The numbers are common practice, no source.

use super::part::Sounded;

/// Per cent of its written length that a note sounds: legato, with room for the hand.
pub const LEGATO: u32 = 95;

/// Per cent of its written length that a note sounds when the next one repeats its
/// pitch, so that the string is heard to be plucked again.
pub const REPEATED: u32 = 90;

/// The velocity of an ordinary note on a beat.
pub const VELOCITY: u8 = 80;

/// What an accented beat adds to the velocity.
pub const ACCENT: u8 = 8;

/// What a note between the beats (a skip, a triplet drop) lacks in velocity.
pub const LIGHT: u8 = 14;

/// A note as written, before it is played.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Written {
    /// When it starts, in ticks.
    pub start: u32,
    /// Its written length, in ticks.
    pub length: u32,
    /// The MIDI key number.
    pub pitch: u8,
    /// The beat of the bar that it starts on, counted from 1, or none between the beats.
    pub beat: Option<u8>,
}

/// Which beats are a little stronger.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Accents {
    /// Beats two and four, as one walks in four.
    TwoAndFour,
    /// Beat one, as in two or in a waltz.
    One,
    /// None.
    Level,
}

impl Accents {
    fn stress(self, beat: u8) -> bool {
        match self {
            Self::TwoAndFour => matches!(beat, 2 | 4),
            Self::One => beat == 1,
            Self::Level => false,
        }
    }
}

/// The notes of `line`, which is in order of start, as a plucked bass sounds them.
///
/// Each sounds for [`LEGATO`] per cent of its length, or [`REPEATED`] per cent where
/// the next note follows at once on the same pitch; a length that reaches past the
/// next start counts only up to there, so notes never overlap. No note is shorter than
/// a tick. The same line always sounds the same.
#[must_use]
pub fn articulate(line: &[Written], accents: Accents) -> Vec<Sounded> {
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
        let length = note.length.min(room);
        let repeats = note.length >= room && later.is_some_and(|next| next.pitch == note.pitch);
        sounded.push(Sounded {
            start: note.start,
            length: per_cent(length, if repeats { REPEATED } else { LEGATO }).max(1),
            pitch: note.pitch,
            velocity: match note.beat {
                Some(beat) if accents.stress(beat) => VELOCITY + ACCENT,
                Some(_) => VELOCITY,
                None => VELOCITY - LIGHT,
            },
        });
    }
    sounded.reverse();
    sounded
}

/// `part` per cent of `length`, rounded down.
fn per_cent(length: u32, part: u32) -> u32 {
    // At most 100 per cent, so it fits again.
    (u64::from(length) * u64::from(part) / 100) as u32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::midi::TICKS_PER_QUARTER;
    use proptest::prelude::*;

    /// Quarters in four, one a beat, from beat one.
    fn quarters(pitches: &[u8]) -> Vec<Written> {
        (0u32..)
            .zip(pitches)
            .map(|(i, &pitch)| Written {
                start: i * TICKS_PER_QUARTER,
                length: TICKS_PER_QUARTER,
                pitch,
                beat: Some((i % 4) as u8 + 1),
            })
            .collect()
    }

    #[test]
    fn a_repeated_pitch_is_let_go_a_little_sooner() {
        let sounded = articulate(&quarters(&[40, 43, 43, 41]), Accents::Level);
        let lengths: Vec<u32> = sounded.iter().map(|n| n.length).collect();
        assert_eq!(lengths, [456, 432, 456, 456]);
    }

    #[test]
    fn a_repeated_pitch_after_a_rest_is_held_like_any_other() {
        let mut line = quarters(&[40, 40]);
        line[1].start += TICKS_PER_QUARTER;
        assert_eq!(articulate(&line, Accents::Level)[0].length, 456);
    }

    #[test]
    fn four_leans_on_two_and_four_and_two_leans_on_one() {
        let velocities = |accents| -> Vec<u8> {
            let sounded = articulate(&quarters(&[40, 43, 45, 46, 41]), accents);
            sounded.iter().map(|n| n.velocity).collect()
        };
        assert_eq!(velocities(Accents::TwoAndFour), [80, 88, 80, 88, 80]);
        assert_eq!(velocities(Accents::One), [88, 80, 80, 80, 88]);
        assert_eq!(velocities(Accents::Level), [80; 5]);
    }

    #[test]
    fn a_note_between_the_beats_is_lighter() {
        let mut line = quarters(&[40, 43]);
        line[1].beat = None;
        assert_eq!(articulate(&line, Accents::TwoAndFour)[1].velocity, 66);
    }

    #[test]
    fn a_written_length_that_reaches_too_far_stops_before_the_next_note() {
        let mut line = quarters(&[40, 43]);
        line[0].length = 5 * TICKS_PER_QUARTER;
        assert_eq!(articulate(&line, Accents::Level)[0].length, 456);
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
                    Written { start, length, pitch, beat: None }
                })
                .collect();
            let sounded = articulate(&line, Accents::TwoAndFour);
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
