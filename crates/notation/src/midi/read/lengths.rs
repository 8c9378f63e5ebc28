//! How long notes last: until the next one, or until a rest that was meant.

use super::file::{Played, Time};
use super::measures::Bars;
use crate::score::QUARTER;

const Q: Time = QUARTER as Time;

/// How much of its length a note sounds, in thousandths, when the file does not show it (common
/// practice, no source).
const USUAL: Time = 900;

/// A note on its place, with what it sounded.
#[derive(Clone, Copy, Debug)]
pub(super) struct Placed {
    pub(super) at: Time,
    pub(super) played: Played,
}

/// Where each note ends: at the next one, unless half a beat of rest or more was meant. The
/// notes are in order, no two at one place; the last may go on to the end of the bars.
pub(super) fn ends(notes: &[Placed], bars: &Bars) -> Vec<Time> {
    let share = share(notes);
    (0..notes.len())
        .map(|nth| {
            let note = &notes[nth];
            let next = notes.get(nth + 1).map_or(bars.end(), |next| next.at);
            let room = next.saturating_sub(note.at);
            let sounded = note.played.to.saturating_sub(note.played.from);
            let meant = sounded.saturating_mul(1000) / share;
            let gap = room.saturating_sub(meant);
            // A long note's share is less sure than a short one's.
            if gap < (Q * 2 / 5).max(room / 9) {
                return next;
            }
            let end = on_half(note.at, meant, bars);
            if next.saturating_sub(end) < Q / 2 {
                next
            } else {
                end
            }
        })
        .collect()
}

/// The same in a file that this program wrote: every note sounds one share of its length, and
/// nine tenths of that before the same pitch again, so that every rest in it is meant.
pub(super) fn exact_ends(notes: &[Placed], bars: &Bars) -> Vec<Time> {
    let sounded = |note: &Placed| note.played.to.saturating_sub(note.played.from);
    let rooms: Vec<Time> = (0..notes.len())
        .map(|nth| {
            let next = notes.get(nth + 1).map_or(bars.end(), |next| next.at);
            next.saturating_sub(notes[nth].at)
        })
        .collect();
    let shares = notes.iter().zip(&rooms);
    let share = shares
        .filter(|(_, room)| **room > 0)
        .map(|(note, room)| sounded(note) * 1000 / room)
        .max()
        .map_or(1000, |share| share.clamp(500, 1000));
    let end = |nth: usize| {
        let (note, room) = (&notes[nth], rooms[nth]);
        let meant = sounded(note) * 1000 / share;
        let again = notes
            .get(nth + 1)
            .is_some_and(|next| next.played.pitch == note.played.pitch);
        let whole = if again { meant * 10 / 9 } else { meant };
        // The finest that is told apart: of long notes, no more than a hundredth.
        let step = if meant < 4 * Q { Q / 24 } else { Q / 2 };
        if whole.abs_diff(room) <= step / 2 + room / 100 {
            return note.at + room;
        }
        let length = ((meant + step / 2) / step * step).max(Q / 24);
        note.at + length.min(room)
    };
    (0..notes.len()).map(end).collect()
}

/// The nearest half beat to a note's end, after its beginning.
fn on_half(at: Time, length: Time, bars: &Bars) -> Time {
    let half = Q / 2;
    let (beat, _) = bars.beat(at + length);
    let end = beat + (at + length - beat + half / 2) / half * half;
    if end > at {
        return end;
    }
    let (beat, _) = bars.beat(at);
    beat + ((at - beat) / half + 1) * half
}

/// How much of its length a note sounds in this file, in thousandths: the median over notes
/// that the next one follows within a beat, or else within two.
fn share(notes: &[Placed]) -> Time {
    for most in [Q * 5 / 4, Q * 9 / 4] {
        let mut shares: Vec<Time> = notes
            .windows(2)
            .filter_map(|pair| {
                let (note, next) = (pair[0].played, pair[1].played);
                let room = next.from.saturating_sub(note.from);
                let sounded = note.to.saturating_sub(note.from);
                (room > 0 && room <= most).then(|| (sounded * 1000 / room).clamp(500, 1000))
            })
            .collect();
        if shares.len() >= 4 {
            shares.sort_unstable();
            return shares[shares.len() / 2];
        }
    }
    USUAL
}

#[cfg(test)]
mod tests {
    use linewright_diagnostic::Diagnostics;

    use super::*;

    /// Ends in hundredths of a beat, of starts and sounding lengths in hundredths.
    fn ended(notes: &[(Time, Time)]) -> Vec<Time> {
        let bars = Bars::new(&[], 8 * Q, &mut Diagnostics::default());
        let placed: Vec<Placed> = notes
            .iter()
            .map(|&(at, length)| Placed {
                at: at * Q / 100,
                played: Played {
                    from: at * Q / 100,
                    to: (at + length) * Q / 100,
                    pitch: 40,
                    channel: 0,
                },
            })
            .collect();
        ends(&placed, &bars)
            .into_iter()
            .map(|end| (end * 100 + Q / 2) / Q)
            .collect()
    }

    #[test]
    fn plucked_notes_last_until_the_next_and_a_rest_is_a_rest() {
        assert_eq!(
            ended(&[
                (0, 93),
                (100, 84),
                (200, 93),
                (400, 186),
                (600, 84),
                (700, 93)
            ]),
            [100, 200, 300, 600, 700, 800]
        );
        let all_short = [
            (0, 50),
            (100, 50),
            (200, 50),
            (300, 50),
            (400, 50),
            (600, 50),
        ];
        assert_eq!(ended(&all_short), [100, 200, 300, 400, 500, 700]);
    }

    #[test]
    fn a_single_eighth_before_a_rest_of_half_a_beat_stays_one() {
        let line = [
            (0, 95),
            (100, 95),
            (200, 95),
            (300, 95),
            (400, 48),
            (500, 95),
            (600, 190),
        ];
        assert_eq!(ended(&line), [100, 200, 300, 400, 450, 600, 800]);
    }

    #[test]
    fn long_notes_are_held_over_the_bar_and_overlaps_end_at_the_next_note() {
        assert_eq!(ended(&[(0, 558), (700, 93)]), [600, 800]);
        assert_eq!(ended(&[(0, 700), (300, 93), (500, 20)]), [300, 400, 550]);
    }
}
