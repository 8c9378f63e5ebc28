//! Note values: what one note head can say.

use crate::{QUARTER, Ticks};

/// The names of MusicXML's `note-type-value` and their lengths, longest first. Shorter ones than
/// these exist, but their lengths are no whole number of ticks.
const NAMES: [(&str, Ticks); 10] = [
    ("breve", 8 * QUARTER),
    ("whole", 4 * QUARTER),
    ("half", 2 * QUARTER),
    ("quarter", QUARTER),
    ("eighth", QUARTER / 2),
    ("16th", QUARTER / 4),
    ("32nd", QUARTER / 8),
    ("64th", QUARTER / 16),
    ("128th", QUARTER / 32),
    ("256th", QUARTER / 64),
];

/// The shortest value that can be written.
pub(super) const SHORTEST: Ticks = QUARTER / 64;

/// A note value, perhaps dotted once.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Value {
    /// How often a whole note is halved, -1 to 8: 0 is a whole note, 2 a quarter, -1 a breve.
    pub halvings: i8,
    /// Whether it is dotted.
    pub dotted: bool,
}

impl Value {
    /// A whole note.
    pub const WHOLE: Value = Value {
        halvings: 0,
        dotted: false,
    };

    /// The value of exactly this length, if one is.
    pub fn of(ticks: Ticks) -> Option<Self> {
        Self::at_most(ticks).filter(|value| value.ticks() == ticks)
    }

    /// The longest value that is no longer than this.
    pub fn at_most(ticks: Ticks) -> Option<Self> {
        (-1..).zip(NAMES).find_map(|(halvings, (_, length))| {
            let dotted = length.is_multiple_of(2) && length / 2 * 3 <= ticks;
            (dotted || length <= ticks).then_some(Self { halvings, dotted })
        })
    }

    /// Its name in a file and its length without a dot.
    fn entry(self) -> (&'static str, Ticks) {
        NAMES[usize::from(self.halvings.clamp(-1, 8).abs_diff(-1))]
    }

    /// Its length without a tuplet.
    pub fn ticks(self) -> Ticks {
        let plain = self.entry().1;
        if self.dotted { plain / 2 * 3 } else { plain }
    }

    /// Its name in a file: `eighth`.
    pub(crate) fn name(self) -> &'static str {
        self.entry().0
    }

    /// How many flags or beams it has: an eighth note has one.
    pub fn beams(self) -> usize {
        usize::try_from(self.halvings - 2).unwrap_or(0)
    }

    /// The length of the value of this name.
    pub(crate) fn length_of(name: &str) -> Option<Ticks> {
        match name {
            "long" => Some(16 * QUARTER),
            "maxima" => Some(32 * QUARTER),
            _ => NAMES
                .iter()
                .find(|&&(known, _)| known == name)
                .map(|&(_, length)| length),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_value_has_its_own_length_and_name() {
        let mut seen = Vec::new();
        for (place, (name, length)) in NAMES.iter().enumerate() {
            let plain = Value::of(*length).unwrap();
            assert_eq!((plain.name(), plain.ticks()), (*name, *length));
            assert_eq!(Value::length_of(name), Some(*length));
            assert_eq!(plain.beams(), place.saturating_sub(3));
            seen.push(plain.ticks());
            if let Some(dotted) = Value::of(length / 2 * 3).filter(|_| length.is_multiple_of(2)) {
                assert!(dotted.dotted);
                assert_eq!((dotted.name(), dotted.ticks()), (*name, length / 2 * 3));
                seen.push(dotted.ticks());
            }
        }
        let all = seen.len();
        seen.sort_unstable();
        seen.dedup();
        assert_eq!((seen.len(), all), (19, 19));
    }

    #[test]
    fn lengths_between_the_values_have_none_and_the_next_shorter_is_found() {
        for ticks in [0, 1, 104, 5 * QUARTER, QUARTER / 3, 7 * QUARTER / 2] {
            assert_eq!(Value::of(ticks), None, "{ticks}");
        }
        let most = |ticks| Value::at_most(ticks).map(Value::ticks);
        assert_eq!(most(5 * QUARTER), Some(4 * QUARTER));
        assert_eq!(most(7 * QUARTER / 2), Some(3 * QUARTER));
        assert_eq!(most(SHORTEST), Some(SHORTEST));
        assert_eq!(most(SHORTEST - 1), None);
        assert_eq!(most(1000 * QUARTER), Some(12 * QUARTER));
    }
}
