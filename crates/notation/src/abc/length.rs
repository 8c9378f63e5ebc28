//! Lengths in note values.

use crate::{QUARTER, Ticks};

/// The shortest note value: a 256th.
const SHORTEST: Ticks = QUARTER / 64;

/// Note values in 256ths, dotted ones too, longest first; the longest is a dotted whole note.
const VALUES: [Ticks; 17] = [
    384, 256, 192, 128, 96, 64, 48, 32, 24, 16, 12, 8, 6, 4, 3, 2, 1,
];

/// Tuplets that are written: so many in the time of so many.
const TUPLETS: [(Ticks, Ticks); 3] = [(3, 2), (5, 4), (7, 4)];

/// How a length is written: inside a tuplet of `count` in the time of `time`, as `ticks`.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(super) struct Written {
    pub count: Ticks,
    pub time: Ticks,
    pub ticks: Ticks,
}

impl Written {
    /// Whether it stands in a tuplet.
    pub fn in_tuplet(self) -> bool {
        self.count > 1
    }
}

/// How to write a length: plain, in a tuplet, or, when neither fits, as a bare fraction.
pub(super) fn written(ticks: Ticks) -> Written {
    stretched(ticks).unwrap_or(Written {
        count: 1,
        time: 1,
        ticks,
    })
}

fn stretched(ticks: Ticks) -> Option<Written> {
    [(1, 1)].iter().chain(&TUPLETS).find_map(|&(count, time)| {
        let whole = u64::from(ticks) * u64::from(count);
        let fits = whole.is_multiple_of(u64::from(time * SHORTEST));
        let ticks = Ticks::try_from(whole / u64::from(time)).ok()?;
        fits.then_some(Written { count, time, ticks })
    })
}

/// Whether notes of this length together leave no tuplet open.
pub(super) fn is_closed(ticks: Ticks) -> bool {
    ticks.is_multiple_of(SHORTEST)
}

/// A length cut into single note values, longest first; one that no note values make up stays
/// whole.
pub(super) fn split(ticks: Ticks) -> Vec<Ticks> {
    let Some(Written { count, time, ticks }) = stretched(ticks) else {
        return vec![ticks];
    };
    let mut left = ticks / SHORTEST;
    let mut pieces = Vec::new();
    for value in VALUES {
        while left >= value {
            // The shortest value is a multiple of every `count`.
            pieces.push(value * SHORTEST / count * time);
            left -= value;
        }
    }
    pieces
}

/// A length in units, as it stands after a note: nothing for one, `3/2`, `/2`.
pub(super) fn suffix(ticks: Ticks, unit: Ticks) -> String {
    let common = gcd(ticks, unit).max(1);
    match (ticks / common, unit / common) {
        (1, 1) => String::new(),
        (over, 1) => over.to_string(),
        (1, under) => format!("/{under}"),
        (over, under) => format!("{over}/{under}"),
    }
}

fn gcd(a: Ticks, b: Ticks) -> Ticks {
    if b == 0 { a } else { gcd(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_cut_into_note_values_that_add_up() {
        assert_eq!(split(QUARTER), [QUARTER]);
        assert_eq!(split(QUARTER * 5 / 2), [QUARTER * 2, QUARTER / 2]);
        assert_eq!(split(QUARTER * 7), [QUARTER * 6, QUARTER]);
        assert_eq!(split(QUARTER / 3), [QUARTER / 3]);
        assert_eq!(
            split(QUARTER * 5 / 3),
            [QUARTER * 4 / 3, QUARTER / 3],
            "a half and an eighth of a triplet"
        );
        assert_eq!(split(QUARTER / 5 * 4), [QUARTER / 5 * 4]);
        for ticks in 1..4 * QUARTER {
            assert_eq!(split(ticks).iter().sum::<Ticks>(), ticks);
        }
    }

    #[test]
    fn odd_lengths_stay_whole() {
        assert_eq!(split(1), [1]);
        assert_eq!(split(QUARTER / 15), [QUARTER / 15]);
    }

    #[test]
    fn lengths_read_as_multiples_of_the_unit() {
        let eighth = QUARTER / 2;
        let texts =
            [QUARTER / 2, QUARTER, QUARTER / 4, QUARTER * 3 / 4, 1].map(|t| suffix(t, eighth));
        assert_eq!(texts, ["", "2", "/2", "3/2", "/3360"]);
    }
}
