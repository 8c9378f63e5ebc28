//! Where the notes of a profile lie.

use linewright_theory::Pitch;

use super::{Measure, Profile, Value};

/// The shares, in percent, whose notes a profile tells.
pub const PERCENTILES: [u8; 5] = [5, 25, 50, 75, 95];

impl Profile {
    /// The note at or below which so many percent of the notes lie: the lowest such one
    /// (nearest rank). `None` where there are no notes.
    pub fn percentile(&self, percent: u8) -> Option<Pitch> {
        let pitches = self.tally(Measure::Pitches)?;
        let wanted = (pitches.total() * u64::from(percent)).div_ceil(100).max(1);
        let mut below = 0;
        for (value, times) in pitches.iter() {
            below += times;
            if let (Value::Pitch(pitch), true) = (value, below >= wanted) {
                return Some(pitch);
            }
        }
        None
    }

    /// The lowest and the highest note.
    pub fn range(&self) -> Option<(Pitch, Pitch)> {
        Some((self.percentile(0)?, self.percentile(100)?))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(midi: &[u8]) -> Profile {
        let mut profile = Profile::default();
        for &midi in midi {
            let pitch = Pitch::new(midi).unwrap();
            profile.count(Measure::Pitches, Value::Pitch(pitch));
        }
        profile
    }

    #[test]
    fn a_percentile_is_the_note_at_its_rank() {
        // Twenty notes: the fifth percentile is the first of them, the 95th the 19th.
        let notes: Vec<u8> = (30..50).collect();
        let at = |percent| of(&notes).percentile(percent).unwrap().midi();
        assert_eq!(PERCENTILES.map(at), [30, 34, 39, 44, 48]);
        assert_eq!([0, 100].map(at), [30, 49]);
    }

    #[test]
    fn a_single_note_is_every_percentile_and_none_has_none() {
        let profile = of(&[41]);
        assert!(
            PERCENTILES
                .iter()
                .all(|p| profile.percentile(*p) == Pitch::new(41))
        );
        assert_eq!(Profile::default().range(), None);
    }
}
