//! The places on the necks of basses.

use linewright_theory::{Bass, Pitch};

use crate::hand::{self, Finger, Grip, THUMB_FROM};

/// What the hand meets on the neck of a bass.
pub(crate) trait Neck: Copy {
    /// Where the lowest finger can lie.
    fn positions(self) -> impl Iterator<Item = i32>;

    /// The hand that the neck allows in a position.
    fn grip(self, position: i32) -> Grip;

    /// Whether the hand in a position has the thumb on the string.
    fn is_thumb_position(self, position: i32) -> bool;

    /// Whether a stop, in semitones above the open string, lies on a string (from 0 for the
    /// highest) and needs a finger.
    fn is_stopped(self, string: usize, stop: i32) -> bool;

    /// Whether a stop sounds without a finger.
    fn is_open(self, string: usize, stop: i32) -> bool;
}

impl Neck for Bass {
    fn positions(self) -> impl Iterator<Item = i32> {
        let first = 1 - self.extension();
        (first..=self.last_stop()).filter(|&position| position != 0)
    }

    fn grip(self, position: i32) -> Grip {
        match self.has_frets() {
            true => hand::on_frets(position),
            false => hand::on_fingerboard(position),
        }
    }

    fn is_thumb_position(self, position: i32) -> bool {
        !self.has_frets() && position >= THUMB_FROM
    }

    fn is_stopped(self, string: usize, stop: i32) -> bool {
        let on_extension =
            string + 1 == self.strings().len() && (1 - self.extension()..0).contains(&stop);
        on_extension || (1..=self.last_stop()).contains(&stop)
    }

    fn is_open(self, string: usize, stop: i32) -> bool {
        let lowest = string + 1 == self.strings().len();
        stop == 0 || (lowest && stop == -self.extension())
    }
}

/// Every place that a pitch has, in order; none when it lies beyond the neck. Without open
/// strings, a pitch is played open only where it has no other place.
pub fn places(bass: Bass, pitch: Pitch, open_strings: bool) -> Vec<Place> {
    let stop = |open: u8| i32::from(pitch.midi()) - i32::from(open);
    let mut places: Vec<Place> = Vec::new();
    for (string, open) in bass.strings().enumerate() {
        let stop = stop(open);
        if !bass.is_stopped(string, stop) {
            continue;
        }
        for position in bass.positions() {
            let fingers = bass.grip(position).iter();
            let reaching = fingers.filter(|(_, reach)| reach.contains(&(stop - position)));
            places.extend(reaching.map(|&(finger, _)| Place {
                position,
                string,
                finger,
                stop,
            }));
        }
    }
    if open_strings || places.is_empty() {
        for (string, open) in bass.strings().enumerate() {
            let stop = stop(open);
            if bass.is_open(string, stop) {
                // The hand lies ready anywhere meanwhile.
                places.extend(bass.positions().map(|position| Place {
                    position,
                    string,
                    finger: Finger::Open,
                    stop,
                }));
            }
        }
    }
    places.sort_unstable();
    places.dedup();
    places
}

/// A place where a note is played. Ordered by position, then string, then finger.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// Semitones from the open string to where the hand's lowest finger lies, or lies ready
    /// while the string is open: 1 in half position, 2 in first position. Below 0 on the
    /// extension.
    pub position: i32,
    /// The string, from 0 for the highest.
    pub string: usize,
    /// The finger.
    pub finger: Finger,
    /// Semitones from the open string to the note: the fret.
    pub stop: i32,
}

impl Place {
    /// The string's number as players write it: `I` for the highest.
    pub fn string_number(&self) -> &'static str {
        ["I", "II", "III", "IV", "V"]
            .get(self.string)
            .copied()
            .unwrap_or("?")
    }
}
