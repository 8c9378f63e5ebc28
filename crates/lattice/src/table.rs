//! Weight tables that layers and segments share.

use crate::error::{BuildError, Fault};
use crate::weight::{CLASSES, MAX_CANDIDATES, is_legal, largest};

/// Weight of one step, by the class of the candidate left and the signed difference of indices.
///
/// Shape: 12 rows (class of the candidate left) of `2 * candidates - 1` differences, from
/// `-(candidates - 1)` up to `candidates - 1`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepTable {
    candidates: usize,
    weights: Vec<i32>,
    largest: i64,
}

/// Weight of two neighbouring steps, by the gates of the middle and the last candidate and both differences.
///
/// Shape: `[middle gate 2][last gate 2][first difference][second difference]`, each difference from
/// `-(candidates - 1)` up to `candidates - 1`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShapeTable {
    candidates: usize,
    weights: Vec<i32>,
    largest: i64,
}

/// Weight of a run of one to four classes, first class most significant: `12^length` entries.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClassTable {
    length: usize,
    weights: Vec<i32>,
    largest: i64,
    forbids: bool,
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

fn check_weights(what: &'static str, weights: &[i32], wanted: usize) -> Result<(), BuildError> {
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

impl StepTable {
    /// Takes `12 * (2 * candidates - 1)` weights, class by class, differences ascending.
    ///
    /// # Errors
    /// When the number of weights does not fit, or a weight is neither [`NEVER`](crate::NEVER) nor within
    /// ±[`MAX_WEIGHT`](crate::MAX_WEIGHT).
    pub fn new(candidates: usize, weights: Vec<i32>) -> Result<Self, BuildError> {
        let wanted = CLASSES * (2 * candidates).saturating_sub(1);
        check("step table", candidates, &weights, wanted)?;
        Ok(Self {
            candidates,
            largest: largest(&weights),
            weights,
        })
    }

    /// Fills the table from a function of (class left, difference).
    ///
    /// # Errors
    /// As [`StepTable::new`].
    pub fn from_fn(
        candidates: usize,
        mut weight: impl FnMut(u8, i32) -> i32,
    ) -> Result<Self, BuildError> {
        let reach = candidates as i32 - 1;
        let mut weights = Vec::new();
        if candidates <= MAX_CANDIDATES {
            for class in 0..CLASSES as u8 {
                weights.extend((-reach..=reach).map(|diff| weight(class, diff)));
            }
        }
        Self::new(candidates, weights)
    }

    /// Number of candidates that the table is made for.
    pub fn candidates(&self) -> usize {
        self.candidates
    }

    /// Weight of leaving a candidate of class `class` by `diff`.
    ///
    /// # Panics
    /// When the class is not below 12, or the difference is not smaller than the number of candidates.
    pub fn weight(&self, class: usize, diff: i32) -> i32 {
        let width = 2 * self.candidates - 1;
        self.weights[class * width + (diff + self.candidates as i32 - 1) as usize]
    }

    /// Weights of leaving candidate `from` of class `class` to every candidate.
    pub(crate) fn weights_from(&self, class: usize, from: usize) -> &[i32] {
        let zero = class * (2 * self.candidates - 1) + self.candidates - 1;
        &self.weights[zero - from..][..self.candidates]
    }

    pub(crate) fn largest(&self) -> i64 {
        self.largest
    }
}

impl ShapeTable {
    /// Takes `4 * (2 * candidates - 1)²` weights: middle gate, last gate, first difference, second difference,
    /// the last running fastest.
    ///
    /// # Errors
    /// As [`StepTable::new`].
    pub fn new(candidates: usize, weights: Vec<i32>) -> Result<Self, BuildError> {
        let width = (2 * candidates).saturating_sub(1);
        check("shape table", candidates, &weights, 4 * width * width)?;
        Ok(Self {
            candidates,
            largest: largest(&weights),
            weights,
        })
    }

    /// Fills the table from a function of (middle gate, last gate, first difference, second difference).
    ///
    /// # Errors
    /// As [`StepTable::new`].
    pub fn from_fn(
        candidates: usize,
        mut weight: impl FnMut(bool, bool, i32, i32) -> i32,
    ) -> Result<Self, BuildError> {
        let reach = candidates as i32 - 1;
        let mut weights = Vec::new();
        if candidates <= MAX_CANDIDATES {
            for gates in 0..4 {
                for first in -reach..=reach {
                    weights.extend(
                        (-reach..=reach)
                            .map(|second| weight(gates & 2 != 0, gates & 1 != 0, first, second)),
                    );
                }
            }
        }
        Self::new(candidates, weights)
    }

    /// Number of candidates that the table is made for.
    pub fn candidates(&self) -> usize {
        self.candidates
    }

    /// Weight of the steps `first` then `second` with these gates of the middle and the last candidate.
    ///
    /// # Panics
    /// When a difference is not smaller than the number of candidates.
    pub fn weight(&self, middle: bool, last: bool, first: i32, second: i32) -> i32 {
        let reach = self.candidates as i32 - 1;
        let width = 2 * self.candidates - 1;
        let gates = usize::from(middle) * 2 + usize::from(last);
        self.weights[(gates * width + (first + reach) as usize) * width + (second + reach) as usize]
    }

    pub(crate) fn weights(&self) -> &[i32] {
        &self.weights
    }

    pub(crate) fn largest(&self) -> i64 {
        self.largest
    }
}

impl ClassTable {
    /// Takes `12^length` weights for runs of `length` classes (1 to 4), the first class most significant.
    ///
    /// # Errors
    /// When the length or the number of weights does not fit, or a weight is out of bounds.
    pub fn new(length: usize, weights: Vec<i32>) -> Result<Self, BuildError> {
        if !(1..=4).contains(&length) {
            return Err(Fault::ClassTableLength { given: length }.into());
        }
        check_weights("class table", &weights, CLASSES.pow(length as u32))?;
        let forbids = weights.contains(&crate::weight::NEVER);
        Ok(Self {
            length,
            largest: largest(&weights),
            forbids,
            weights,
        })
    }

    /// Fills the table from a function of the run of classes.
    ///
    /// # Errors
    /// As [`ClassTable::new`].
    pub fn from_fn(
        length: usize,
        mut weight: impl FnMut(&[u8]) -> i32,
    ) -> Result<Self, BuildError> {
        let mut weights = Vec::new();
        if (1..=4).contains(&length) {
            let mut run = vec![0u8; length];
            for index in 0..CLASSES.pow(length as u32) {
                let mut rest = index;
                for place in run.iter_mut().rev() {
                    *place = (rest % CLASSES) as u8;
                    rest /= CLASSES;
                }
                weights.push(weight(&run));
            }
        }
        Self::new(length, weights)
    }

    /// Number of classes in a run.
    #[expect(clippy::len_without_is_empty, reason = "a table is never empty")]
    pub fn len(&self) -> usize {
        self.length
    }

    /// Weight of a run of classes.
    ///
    /// # Panics
    /// When a class is not below 12 or the run has not the table's length.
    pub fn weight(&self, run: &[usize]) -> i32 {
        assert_eq!(
            run.len(),
            self.length,
            "a run of {} classes was given to a table of runs of {}",
            run.len(),
            self.length
        );
        self.weights[run.iter().fold(0, |index, &class| index * CLASSES + class)]
    }

    /// Whether any run is forbidden.
    pub(crate) fn forbids(&self) -> bool {
        self.forbids
    }

    pub(crate) fn weights(&self) -> &[i32] {
        &self.weights
    }

    pub(crate) fn largest(&self) -> i64 {
        self.largest
    }
}
