//! Tables of bigram and trigram factors, which layers share.

use std::sync::Arc;

use crate::error::{BuildError, Fault};
use crate::weight::{CLASSES, FORBIDDEN, MAX_CANDIDATES, NEVER, given, is_legal, kept, largest};

/// A bigram factor: weight by the class of the first candidate and the signed difference of indices to the second.
///
/// Dimensions: 12 rows (class of the first candidate) of `2 * candidates - 1` differences, from
/// `-(candidates - 1)` up to `candidates - 1`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BigramTable {
    candidates: usize,
    kept: Arc<[i32]>,
    /// By the first class, the differences that are not forbidden, the most negative in the lowest bit.
    allowed: [u128; CLASSES],
    largest: i64,
}

/// A trigram factor: weight by the features of the middle and the last candidate and both differences of indices.
///
/// Dimensions: `[middle feature 2][last feature 2][first difference][second difference]`, each difference from
/// `-(candidates - 1)` up to `candidates - 1`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TrigramTable {
    candidates: usize,
    along_first: Arc<[i32]>,
    along_middle: Arc<[i32]>,
    along_last: Arc<[i32]>,
    largest: i64,
}

/// Room behind the weights that a search runs along, so that a row may be read past its end.
pub(crate) const PAD: usize = 64;

/// Weights ready for a search to run along: `fill` writes so many, of which none is allowed before.
pub(crate) fn padded(count: usize, fill: impl FnOnce(&mut [i32])) -> Arc<[i32]> {
    let mut weights: Arc<[i32]> = std::iter::repeat_n(FORBIDDEN, count + PAD).collect();
    let room = Arc::get_mut(&mut weights).expect("nothing else holds it yet");
    fill(&mut room[..count]);
    weights
}

/// The same of weights as they are given.
fn padded_copy(weights: &[i32]) -> Arc<[i32]> {
    padded(weights.len(), |room| {
        for (room, &weight) in room.iter_mut().zip(weights) {
            *room = kept(weight);
        }
    })
}

fn check(
    what: &'static str,
    candidates: usize,
    weights: &[i32],
    wanted: usize,
) -> Result<(), BuildError> {
    if !(1..=MAX_CANDIDATES).contains(&candidates) {
        return Err(Fault::Candidates { given: candidates }.into());
    }
    check_weights(what, weights, wanted)
}

pub(crate) fn check_weights(
    what: &'static str,
    weights: &[i32],
    wanted: usize,
) -> Result<(), BuildError> {
    if weights.len() != wanted {
        return Err(Fault::TableSize {
            what,
            given: weights.len(),
            wanted,
        }
        .into());
    }
    match weights.iter().position(|&w| !is_legal(w)) {
        Some(at) => Err(Fault::Weight {
            what,
            at,
            given: weights[at],
        }
        .into()),
        None => Ok(()),
    }
}

impl BigramTable {
    /// Takes `12 * (2 * candidates - 1)` weights, class by class, differences ascending.
    ///
    /// # Errors
    /// When the number of weights does not fit, or a weight is neither [`NEVER`](crate::NEVER) nor within
    /// ±[`MAX_WEIGHT`](crate::MAX_WEIGHT).
    pub fn new(candidates: usize, weights: Vec<i32>) -> Result<Self, BuildError> {
        let wanted = CLASSES * (2 * candidates).saturating_sub(1);
        check("bigram table", candidates, &weights, wanted)?;
        let mut allowed = [0; CLASSES];
        for (allowed, row) in allowed.iter_mut().zip(weights.chunks(2 * candidates - 1)) {
            for (diff, &weight) in row.iter().enumerate() {
                *allowed |= u128::from(weight != NEVER) << diff;
            }
        }
        Ok(Self {
            candidates,
            largest: largest(&weights),
            allowed,
            kept: padded_copy(&weights),
        })
    }

    /// Fills the table from a function of (class of the first candidate, difference), called once for each entry.
    ///
    /// ```
    /// # use linewright_lattice::BigramTable;
    /// let near = BigramTable::from_fn(3, |_class, diff| -diff.abs())?;
    /// assert_eq!(near.weight(0, -2), -2);
    /// # Ok::<(), linewright_lattice::BuildError>(())
    /// ```
    ///
    /// # Errors
    /// As [`BigramTable::new`].
    pub fn from_fn(
        candidates: usize,
        mut weight: impl FnMut(u8, i32) -> i32,
    ) -> Result<Self, BuildError> {
        let mut weights = Vec::new();
        if candidates <= MAX_CANDIDATES {
            weights.extend(Self::entries(candidates).map(|(class, diff)| weight(class, diff)));
        }
        Self::new(candidates, weights)
    }

    /// What the weights of such a table are for, in their order: class of the first candidate, difference.
    pub fn entries(candidates: usize) -> impl Iterator<Item = (u8, i32)> {
        let reach = candidates as i32 - 1;
        (0..CLASSES as u8).flat_map(move |class| (-reach..=reach).map(move |diff| (class, diff)))
    }

    /// Number of candidates that the table is made for.
    pub fn candidates(&self) -> usize {
        self.candidates
    }

    /// Weight of a candidate of class `class` and another `diff` above it.
    ///
    /// # Panics
    /// When the class is not below 12, or the difference is not smaller than the number of candidates.
    pub fn weight(&self, class: usize, diff: i32) -> i32 {
        let width = 2 * self.candidates - 1;
        let diff = (diff + self.candidates as i32 - 1) as usize;
        assert!(
            class < CLASSES && diff < width,
            "a bigram table knows 12 classes and the differences of its candidates"
        );
        given(self.kept[class * width + diff])
    }

    /// The weights as searches read them: `[class]` rows along the difference, and [`PAD`] more.
    pub(crate) fn kept(&self) -> &Arc<[i32]> {
        &self.kept
    }

    /// The candidates that can follow candidate `from` of class `class`.
    #[inline(always)]
    pub(crate) fn targets(&self, class: usize, from: usize) -> u64 {
        (self.allowed[class] >> (self.candidates - 1 - from)) as u64
    }

    pub(crate) fn largest(&self) -> i64 {
        self.largest
    }
}

impl TrigramTable {
    /// Takes `4 * (2 * candidates - 1)²` weights: middle feature, last feature, first difference, second difference,
    /// the last running fastest. They are kept in three orders, so that searches can run along any candidate.
    ///
    /// # Errors
    /// As [`BigramTable::new`].
    pub fn new(candidates: usize, weights: Vec<i32>) -> Result<Self, BuildError> {
        let width = (2 * candidates).saturating_sub(1);
        check("trigram table", candidates, &weights, 4 * width * width)?;
        // Row by row, of each block of features.
        let rows = |fill: fn(&[i32], usize, usize, &mut [i32])| {
            padded(weights.len(), |room| {
                let blocks = room.chunks_mut(width * width);
                for (block, room) in weights.chunks(width * width).zip(blocks) {
                    for (nth, row) in room.chunks_mut(width).enumerate() {
                        fill(block, width, nth, row);
                    }
                }
            })
        };
        let along_first = rows(|block, width, two, row| {
            let ones = block[two..].iter().step_by(width).rev();
            for (room, &weight) in row.iter_mut().zip(ones) {
                *room = kept(weight);
            }
        });
        // Differences are counted from the most negative one, so a sum of them from twice that; only sums that are
        // differences themselves occur.
        let along_middle = rows(|block, width, nth, row| {
            let sum = width / 2 + nth;
            for one in sum.saturating_sub(width - 1)..(sum + 1).min(width) {
                row[one] = kept(block[one * width + sum - one]);
            }
        });
        Ok(Self {
            candidates,
            largest: largest(&weights),
            along_first,
            along_middle,
            along_last: padded_copy(&weights),
        })
    }

    /// Fills the table from a function of (middle feature, last feature, first difference, second difference), called
    /// once for each entry.
    ///
    /// ```
    /// # use linewright_lattice::TrigramTable;
    /// let turns = TrigramTable::from_fn(3, |_, _, first, second| if first * second < 0 { -5 } else { 0 })?;
    /// assert_eq!((turns.weight(false, false, 1, -1), turns.weight(false, false, 1, 1)), (-5, 0));
    /// # Ok::<(), linewright_lattice::BuildError>(())
    /// ```
    ///
    /// # Errors
    /// As [`BigramTable::new`].
    pub fn from_fn(
        candidates: usize,
        mut weight: impl FnMut(bool, bool, i32, i32) -> i32,
    ) -> Result<Self, BuildError> {
        let mut weights = Vec::new();
        if candidates <= MAX_CANDIDATES {
            let entries = Self::entries(candidates);
            weights.extend(
                entries
                    .map(|([middle, last], [first, second])| weight(middle, last, first, second)),
            );
        }
        Self::new(candidates, weights)
    }

    /// What the weights of such a table are for, in their order: features of the middle and of the last candidate, first
    /// and second difference.
    pub fn entries(candidates: usize) -> impl Iterator<Item = ([bool; 2], [i32; 2])> {
        let reach = candidates as i32 - 1;
        let diffs = move || -reach..=reach;
        let features = (0..4).map(|features| [features & 2 != 0, features & 1 != 0]);
        let firsts = features.flat_map(move |features| diffs().map(move |first| (features, first)));
        firsts.flat_map(move |(features, first)| {
            diffs().map(move |second| (features, [first, second]))
        })
    }

    /// Number of candidates that the table is made for.
    pub fn candidates(&self) -> usize {
        self.candidates
    }

    /// Weight of the differences `first` then `second` with these features of the middle and the last candidate.
    ///
    /// # Panics
    /// When a difference is not smaller than the number of candidates.
    pub fn weight(&self, middle: bool, last: bool, first: i32, second: i32) -> i32 {
        let reach = self.candidates as i32 - 1;
        let width = 2 * self.candidates - 1;
        let features = usize::from(middle) * 2 + usize::from(last);
        let [first, second] = [first, second].map(|diff| (diff + reach) as usize);
        assert!(
            first < width && second < width,
            "a trigram table knows the differences of its candidates"
        );
        given(self.along_last[(features * width + first) * width + second])
    }

    /// The weights along the first candidate: `[features][second difference]` rows by the first difference, from the
    /// largest down, and [`PAD`] more.
    pub(crate) fn along_first(&self) -> &Arc<[i32]> {
        &self.along_first
    }

    /// The weights along the middle candidate: `[features][sum of the differences]` rows by the first difference, and
    /// [`PAD`] more.
    pub(crate) fn along_middle(&self) -> &Arc<[i32]> {
        &self.along_middle
    }

    /// The weights along the last candidate: `[features][first difference]` rows by the second difference, and [`PAD`]
    /// more.
    pub(crate) fn along_last(&self) -> &Arc<[i32]> {
        &self.along_last
    }

    pub(crate) fn largest(&self) -> i64 {
        self.largest
    }
}
