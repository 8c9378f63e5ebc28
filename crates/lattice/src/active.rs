//! Which of the costly factors a search takes into account: see [`crate::best`] for why the others may wait.

use crate::lattice::{Lattice, Segment};
use crate::weight::NEVER;

/// The lazy constraints of a search: the factors that need auxiliary state and are active. A repetition factor that is
/// not active weighs nothing for the search, and a four-class prefix factor that is not active as much as it can at
/// the most.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct ActiveFactors {
    /// By segment, whether its repetition factor is active.
    pub(crate) repetitions: Vec<bool>,
    /// By segment, whether its prefix factor is active, if it is one of four classes. Shorter ones always are.
    pub(crate) prefixes: Vec<bool>,
}

impl ActiveFactors {
    /// The repetition factors of some weights, and all prefix factors.
    pub(crate) fn with_repetitions(lattice: &Lattice, repetition: impl Fn(i32) -> bool) -> Self {
        let segments = lattice.segments.iter();
        let repetitions =
            segments.map(|segment| segment.repetition.is_some_and(|of| repetition(of.weight())));
        Self {
            repetitions: repetitions.collect(),
            prefixes: vec![true; lattice.segments.len()],
        }
    }

    /// What the prefix factors that are not active can weigh together at the most.
    pub(crate) fn most_inactive(&self, lattice: &Lattice) -> i64 {
        let segments = lattice.segments.iter().zip(&self.prefixes);
        let inactive = segments.filter(|(_, active)| !**active);
        let prefixes = inactive.filter_map(|(segment, _)| segment.prefix.as_ref());
        prefixes.map(|prefix| i64::from(prefix.most())).sum()
    }

    /// How much less than they were taken for the factors of a segment weigh that are not active and whose scope ends at
    /// layer `t`, on a path or its beginning: a prefix factor was taken for its greatest weight, a repetition factor for
    /// nothing. `None` where one of them is forbidden.
    pub(crate) fn inactive_slack(
        &self,
        lattice: &Lattice,
        segment: usize,
        path: &[u8],
        t: usize,
    ) -> Option<i64> {
        let mut less = 0;
        if !self.prefixes[segment]
            && let Some(prefix) = &lattice.segments[segment].prefix
            && let Some(weight) = lattice.prefix_at(segment, path, t)
        {
            let weight = (weight != NEVER).then_some(weight)?;
            less += i64::from(prefix.most()) - i64::from(weight);
        }
        if !self.repetitions[segment]
            && let Some(weight) = lattice.repetition_at(segment, path, t)
        {
            less -= i64::from((weight != NEVER).then_some(weight)?);
        }
        Some(less)
    }

    /// As few as a search may begin with. Repetition factors are left out where none is rewarded, so that
    /// what is left out only costs; and prefix factors in which most runs weigh as much as any.
    pub(crate) fn few(lattice: &Lattice) -> Self {
        let segments = || lattice.segments.iter();
        let weight = |segment: &Segment| {
            segment
                .repetition
                .map_or(0, |repetition| repetition.weight())
        };
        let rewarded = segments().any(|segment| weight(segment) > 0);
        let level = |segment: &Segment| {
            let prefix = segment.prefix.as_ref();
            prefix.is_some_and(|prefix| prefix.len() == 4 && prefix.is_level())
        };
        Self {
            repetitions: segments()
                .map(|segment| rewarded && weight(segment) != 0)
                .collect(),
            prefixes: segments().map(|segment| !level(segment)).collect(),
        }
    }

    /// Every factor that weighs anything.
    pub(crate) fn all(lattice: &Lattice) -> Self {
        Self::with_repetitions(lattice, |weight| weight != 0)
    }
}
