//! What a line's distance from players' lines is made of.

use super::figures::into;
use super::{Bar, Counts, Note, Run};

/// One side of lines, with how often each class of it is there.
pub struct Aspect {
    /// What it is called.
    pub name: &'static str,
    /// The classes that a run has, each as often as it has it.
    pub(super) classes: fn(&Run) -> Vec<usize>,
    /// How often players have each class.
    pub(super) practice: &'static [u64],
}

/// Every aspect. Source of the counts: Weimar Jazz Database (Pfleiderer, Frieler, Abeßer, Zaddach,
/// Burkhart, eds., 2017), Open Database Licence (from memory), 35 excerpts of 17 tunes.
pub const ASPECTS: [Aspect; 6] = [
    Aspect {
        // Semitones above the root, beat by beat.
        name: "degrees",
        classes: |run| {
            let class = |n: &Note| usize::from(n.beat * 12 + n.degree());
            run.notes().iter().map(class).collect()
        },
        practice: &[
            190, 12, 16, 31, 14, 27, 20, 72, 11, 10, 23, 9, 59, 20, 72, 19, 31, 47, 20, 46, 9, 27,
            44, 41, 81, 17, 28, 65, 42, 31, 10, 48, 11, 38, 48, 16, 73, 17, 33, 24, 44, 29, 23, 68,
            37, 30, 40, 17,
        ],
    },
    Aspect {
        // Sizes up to an octave, and beyond.
        name: "intervals",
        classes: |run| {
            let sizes = moves(run.notes()).map(|by| by.unsigned_abs().min(13) as usize);
            sizes.collect()
        },
        practice: &[94, 530, 428, 156, 105, 166, 28, 84, 34, 6, 17, 13, 26, 18],
    },
    Aspect {
        // Moves into beat one, from beyond an octave down to beyond an octave up.
        name: "bar line",
        classes: |run| {
            let into_bar =
                |pair: &[Bar]| (into(&pair[0][3], &pair[1][0]).clamp(-13, 13) + 13) as usize;
            run.bars.windows(2).map(into_bar).collect()
        },
        practice: &[
            2, 1, 1, 0, 0, 2, 17, 1, 7, 7, 11, 72, 101, 10, 71, 18, 15, 6, 42, 1, 3, 1, 0, 2, 2, 2,
            5,
        ],
    },
    Aspect {
        // MIDI numbers; what is lower or higher counts as the lowest or highest.
        name: "register",
        classes: |run| {
            let class = |n: &Note| usize::from(n.midi.clamp(LOWEST, HIGHEST) - LOWEST);
            run.notes().iter().map(class).collect()
        },
        practice: &[
            0, 0, 0, 0, 0, 7, 7, 1, 17, 13, 65, 43, 35, 99, 47, 156, 47, 93, 144, 54, 179, 86, 136,
            92, 50, 100, 48, 67, 36, 38, 42, 15, 8, 4, 2, 5, 2, 2, 0, 0, 0, 0, 0, 0, 0,
        ],
    },
    Aspect {
        // Down, the same, up.
        name: "direction",
        classes: |run| moves(run.notes()).map(direction).collect(),
        practice: &[872, 94, 739],
    },
    Aspect {
        // The directions of the three moves of a bar.
        name: "contour",
        classes: |run| {
            let class = |bar: &Bar| moves(bar).fold(0, |class, by| class * 3 + direction(by));
            run.bars.iter().map(class).collect()
        },
        practice: &[
            92, 8, 41, 2, 0, 3, 26, 2, 30, 2, 7, 5, 1, 4, 1, 10, 1, 7, 40, 4, 26, 4, 0, 2, 44, 3,
            70,
        ],
    },
];

const LOWEST: u8 = 23;
const HIGHEST: u8 = 67;

fn moves(notes: &[Note]) -> impl Iterator<Item = i32> {
    notes.windows(2).map(|pair| into(&pair[0], &pair[1]))
}

fn direction(by: i32) -> usize {
    (by.signum() + 1) as usize
}

impl Counts {
    /// How differently lines and players go, for each of [`ASPECTS`]: the Jensen–Shannon
    /// divergence of the two distributions in bits, from 0 (alike) to 1. The distance is the sum.
    pub fn divergences(&self) -> [f64; ASPECTS.len()] {
        std::array::from_fn(|at| divergence(&self.aspects[at], ASPECTS[at].practice))
    }
}

/// The Jensen–Shannon divergence of two distributions given as counts, in bits; not a number
/// where one counts nothing.
fn divergence(one: &[u64], other: &[u64]) -> f64 {
    let of_all = |counts: &[u64]| {
        let all: u64 = counts.iter().sum();
        move |count: u64| count as f64 / all as f64
    };
    let (p, q) = (of_all(one), of_all(other));
    let half = |p: f64, mean: f64| {
        if p > 0.0 {
            p * (p / mean).log2() / 2.0
        } else {
            p
        }
    };
    let classes = one.iter().zip(other).map(|(&a, &b)| {
        let (p, q) = (p(a), q(b));
        half(p, (p + q) / 2.0) + half(q, (p + q) / 2.0)
    });
    classes.sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_divergence_is_zero_for_equals_and_a_bit_for_strangers() {
        assert_eq!(divergence(&[1, 0, 3], &[2, 0, 6]), 0.0);
        assert_eq!(divergence(&[5, 0], &[0, 2]), 1.0);
        // Between them lies (3/4, 1/4): half of log2(4/3) and of 1/2 log2(2/3) + 1/2 log2 2.
        let half = divergence(&[1, 1], &[1, 0]);
        assert!((half - 0.311_278).abs() < 1e-6, "{half}");
        assert!(divergence(&[0, 0], &[1, 1]).is_nan());
    }

    #[test]
    fn practice_has_a_count_for_every_class() {
        let sums = ASPECTS.map(|aspect| aspect.practice.iter().sum::<u64>());
        // Notes, moves, bar lines, notes, moves and bars of the source.
        assert_eq!(sums, [1740, 1705, 400, 1740, 1705, 435]);
    }
}
