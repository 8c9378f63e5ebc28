//! Metres: how many beats a bar has, and how they group.

use std::fmt;

/// A time signature with the quarter note as its beat: `2/4` to `7/4`.
///
/// Only the metres of [`Metre::ALL`] are read from chart text, since a line
/// walks in quarter notes.
#[derive(Copy, Clone, PartialEq, Eq, Hash, Debug)]
pub struct Metre {
    /// Beats in a full bar, 2 to 7.
    pub beats: u8,
    /// The note value of one beat, always 4 (a quarter note).
    pub unit: u8,
}

impl Metre {
    /// Common time.
    pub const FOUR_FOUR: Metre = Metre { beats: 4, unit: 4 };

    /// Every metre that can be read, from short to long.
    pub const ALL: [Metre; 6] = [
        Metre { beats: 2, unit: 4 },
        Metre { beats: 3, unit: 4 },
        Metre { beats: 4, unit: 4 },
        Metre { beats: 5, unit: 4 },
        Metre { beats: 6, unit: 4 },
        Metre { beats: 7, unit: 4 },
    ];

    /// The metre of these numbers, or `None` when it is not one of
    /// [`Metre::ALL`].
    pub fn new(beats: u8, unit: u8) -> Option<Metre> {
        let wanted = Metre { beats, unit };
        Metre::ALL.into_iter().find(|metre| *metre == wanted)
    }

    /// How the beats of a full bar group, in beats; the groups add up to the
    /// bar (common practice, no source).
    ///
    /// Bars of 2, 3 and 4 are one group; 5 is 3+2, 6 is 3+3, 7 is 4+3. Empty
    /// for a metre that is not one of [`Metre::ALL`].
    pub fn groups(self) -> &'static [u8] {
        match self.beats {
            2 => &[2],
            3 => &[3],
            4 => &[4],
            5 => &[3, 2],
            6 => &[3, 3],
            7 => &[4, 3],
            _ => &[],
        }
    }

    /// Reads `4/4` and the like; blanks around the numbers are allowed.
    pub(crate) fn read(text: &str) -> Option<Metre> {
        let (beats, unit) = text.split_once('/')?;
        let number = |part: &str| part.trim().parse::<u8>().ok();
        Metre::new(number(beats)?, number(unit)?)
    }
}

/// The beats, from 0, on which groups of so many beats start.
pub fn group_starts(groups: &[u8]) -> impl Iterator<Item = u8> {
    groups
        .iter()
        .scan(0, |at, length| Some(std::mem::replace(at, *at + length)))
}

impl fmt::Display for Metre {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.beats, self.unit)
    }
}

/// How `count` chords written without any `/` share a bar of `beats` beats:
/// the length of each in beats, or `None` when they cannot share it evenly.
///
/// Two chords in an odd bar lean on its grouping: 2+1 in three, 3+2 in five,
/// 4+3 in seven (common practice, no source).
pub(crate) fn shares(count: usize, beats: u8) -> Option<Vec<u8>> {
    let count = u8::try_from(count).ok().filter(|count| *count > 0)?;
    if beats.is_multiple_of(count) {
        return Some(vec![beats / count; usize::from(count)]);
    }
    match (count, beats) {
        (2, 3) => Some(vec![2, 1]),
        (2, 5) => Some(vec![3, 2]),
        (2, 7) => Some(vec![4, 3]),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_groups_of_every_metre_add_up_to_its_beats() {
        for metre in Metre::ALL {
            assert_eq!(metre.groups().iter().sum::<u8>(), metre.beats, "{metre}");
            let starts: Vec<u8> = group_starts(metre.groups()).collect();
            let lengths = metre.groups();
            assert_eq!(starts.len(), lengths.len(), "{metre}");
            assert!(
                (0..starts.len()).all(|n| starts[n] == lengths[..n].iter().sum::<u8>()),
                "{metre}"
            );
        }
    }

    #[test]
    fn reading_a_metre_undoes_printing_it_and_refuses_the_absurd() {
        for metre in Metre::ALL {
            assert_eq!(Metre::read(&metre.to_string()), Some(metre));
        }
        for text in [
            "", "4", "0/4", "99/4", "4/0", "6/8", "4/4/4", "-3/4", "999/4",
        ] {
            assert_eq!(Metre::read(text), None, "{text}");
        }
    }

    #[test]
    fn shares_fill_the_bar_in_whole_beats_or_are_refused() {
        for beats in 1..=7 {
            for count in 0..=9 {
                if let Some(parts) = shares(count, beats) {
                    assert_eq!(parts.len(), count);
                    assert_eq!(parts.iter().sum::<u8>(), beats);
                    assert!(parts.iter().all(|part| *part > 0));
                }
            }
        }
        assert_eq!(shares(3, 4), None);
        assert_eq!(shares(2, 3), Some(vec![2, 1]));
        assert_eq!(shares(2, 5), Some(vec![3, 2]));
        assert_eq!(shares(2, 7), Some(vec![4, 3]));
        assert_eq!(shares(2, 6), Some(vec![3, 3]));
    }
}
