//! Tables of factors over runs of classes: prefix and suffix factors.

use std::sync::{Arc, OnceLock};

use crate::error::{BuildError, Fault};
use crate::table::{check_weights, padded};
use crate::weight::{CLASSES, NEVER, given, kept, largest};

/// A factor over a run of one to four classes. At each place of the run, classes may count as one.
#[derive(Debug, Clone)]
pub struct ClassTable {
    /// At each place, the group of each class.
    groups: Vec<[u8; CLASSES]>,
    /// Groups a place.
    count: usize,
    /// By run of groups, the first group most significant.
    kept: Arc<[i32]>,
    /// Of a table of four classes, once they are needed, the rows along the first class.
    along_first: OnceLock<Arc<[i32]>>,
    largest: i64,
    forbids: bool,
    /// The greatest weight of any run.
    most: i32,
    /// Whether at least half of the runs that are not forbidden have that weight.
    level: bool,
}

impl PartialEq for ClassTable {
    fn eq(&self, other: &Self) -> bool {
        (&self.groups, self.count, &self.kept) == (&other.groups, other.count, &other.kept)
    }
}

impl Eq for ClassTable {}

impl ClassTable {
    /// Takes `12^length` weights for runs of `length` classes (1 to 4), the first class most significant.
    ///
    /// # Errors
    /// When the length or the number of weights does not fit, or a weight is out of bounds.
    pub fn new(length: usize, weights: Vec<i32>) -> Result<Self, BuildError> {
        if !(1..=4).contains(&length) {
            return Err(Fault::ClassTableLength { given: length }.into());
        }
        let each: [u8; CLASSES] = std::array::from_fn(|class| class as u8);
        Self::grouped(vec![each; length], CLASSES, weights)
    }

    /// Takes weights for runs of groups of classes: at each place (1 to 4), the group of each class, below `count`;
    /// and `count^length` weights, the first group most significant.
    ///
    /// # Errors
    /// When the length, a group or the number of weights does not fit, or a weight is out of bounds.
    pub fn grouped(
        groups: Vec<[u8; CLASSES]>,
        count: usize,
        weights: Vec<i32>,
    ) -> Result<Self, BuildError> {
        let length = groups.len();
        if !(1..=4).contains(&length) {
            return Err(Fault::ClassTableLength { given: length }.into());
        }
        let mut given = groups.iter().flatten().map(|&group| usize::from(group));
        if let Some(group) = given.find(|&group| group >= count.min(CLASSES)) {
            return Err(Fault::Group {
                given: group,
                count,
            }
            .into());
        }
        check_weights("class table", &weights, count.pow(length as u32))?;
        let most = weights.iter().copied().max().unwrap_or(NEVER);
        let count_of = |wanted: i32| weights.iter().filter(|&&weight| weight == wanted).count();
        let forbidden = count_of(NEVER);
        let level = most != NEVER && 2 * count_of(most) >= weights.len() - forbidden;
        Ok(Self {
            groups,
            count,
            largest: largest(&weights),
            forbids: forbidden > 0,
            most,
            level,
            kept: weights.into_iter().map(kept).collect(),
            along_first: OnceLock::new(),
        })
    }

    /// Fills the table from a function of the run of classes, called once for each of the `12^length`.
    ///
    /// ```
    /// # use linewright_lattice::ClassTable;
    /// let rising = ClassTable::from_fn(2, |run| i32::from(run[0] < run[1]))?;
    /// assert_eq!((rising.weight(&[3, 7]), rising.weight(&[7, 3])), (1, 0));
    /// # Ok::<(), linewright_lattice::BuildError>(())
    /// ```
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
        self.groups.len()
    }

    /// Weight of a run of classes.
    ///
    /// # Panics
    /// When a class is not below 12 or the run has not the table's length.
    pub fn weight(&self, run: &[usize]) -> i32 {
        assert_eq!(
            run.len(),
            self.len(),
            "a run of {} classes was given to a table of runs of {}",
            run.len(),
            self.len()
        );
        let group = |(groups, &class): (&[u8; CLASSES], &usize)| usize::from(groups[class]);
        let groups = self.groups.iter().zip(run).map(group);
        given(self.kept[groups.fold(0, |index, group| index * self.count + group)])
    }

    /// Whether any run is forbidden.
    pub(crate) fn forbids(&self) -> bool {
        self.forbids
    }

    /// The greatest weight of any run, or [`NEVER`].
    pub(crate) fn most(&self) -> i32 {
        self.most
    }

    /// Whether most runs weigh the same, and none more.
    pub(crate) fn is_level(&self) -> bool {
        self.level
    }

    /// The weights of a table of four classes as searches read them: rows along the first class, one for each run of
    /// groups that the others are in, and some more behind the last. Where a row begins, [`ClassTable::row`] tells.
    ///
    /// # Panics
    /// When the table is not one of four classes.
    pub(crate) fn along_first(&self) -> &Arc<[i32]> {
        self.along_first.get_or_init(|| {
            assert_eq!(self.len(), 4, "only a table of four classes has such rows");
            let (first, count) = (&self.groups[0], self.count);
            padded(count.pow(3) * CLASSES, |room| {
                for (row, room) in room.chunks_mut(CLASSES).enumerate() {
                    let (third, fourth, second) =
                        (row / count.pow(2), row / count % count, row % count);
                    let last_three = (second * count + third) * count + fourth;
                    for (room, &group) in room.iter_mut().zip(first) {
                        *room = self.kept[usize::from(group) * count.pow(3) + last_three];
                    }
                }
            })
        })
    }

    /// Where the row of a second, a third and a fourth class begins in [`ClassTable::along_first`].
    #[inline(always)]
    pub(crate) fn row(&self, [second, third, fourth]: [usize; 3]) -> usize {
        let group = |place: usize, class: usize| usize::from(self.groups[place][class]);
        let row = (group(2, third) * self.count + group(3, fourth)) * self.count;
        (row + group(1, second)) * CLASSES
    }

    pub(crate) fn largest(&self) -> i64 {
        self.largest
    }
}
