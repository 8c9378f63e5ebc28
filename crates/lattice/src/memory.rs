//! What a search must remember at a layer beyond the last two candidates.
//!
//! A segment's four-class head needs the class of its first note when the fourth arrives; an echo needs the first
//! classes of the segment before. Both are short queues of classes, and never needed at once with a running
//! comparison: a comparison is over before the first class of its segment has slid out of the two-candidate window.

use crate::lattice::{Echo, Lattice, Segment};
use crate::weight::{CLASSES, NEVER};

/// Kind of memory after a layer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Memory {
    /// Nothing.
    Nothing,
    /// Whether the first candidate equals that of the segment before (1) or not (0).
    Same,
    /// The class that completes an echo, or [`FREE1`].
    Expect1,
    /// The two classes that complete an echo, `later * 12 + sooner`, or [`FREE2`].
    Expect2,
    /// The class of the segment's first note.
    Record1,
    /// The classes of the segment's first two notes, `first * 12 + second`.
    Record2,
}

/// No echo is running, in [`Memory::Expect1`].
pub(crate) const FREE1: usize = CLASSES;
/// No echo is running, in [`Memory::Expect2`].
pub(crate) const FREE2: usize = CLASSES * CLASSES;

impl Memory {
    /// Number of states.
    pub(crate) fn states(self) -> usize {
        match self {
            Self::Nothing => 1,
            Self::Same => 2,
            Self::Expect1 => FREE1 + 1,
            Self::Expect2 => FREE2 + 1,
            Self::Record1 => CLASSES,
            Self::Record2 => CLASSES * CLASSES,
        }
    }
}

/// How a layer is entered, as far as segments are concerned.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Place {
    /// Memory after the layer.
    pub(crate) memory: Memory,
    /// Place in its segment, from 1.
    pub(crate) nth: usize,
    /// The segment.
    pub(crate) segment: usize,
    /// Whether the segment's four-class head is watched and complete here.
    pub(crate) head4: bool,
    /// Length of the table of one to three classes that is complete here, 0 for none.
    pub(crate) window: usize,
    /// Whether that table is the segment's head rather than its tail.
    pub(crate) window_is_head: bool,
    /// Weight of the echo that is decided here.
    pub(crate) echo: Option<i32>,
}

/// Of which segments a search watches what needs memory. An echo that is not watched weighs nothing for it, and a head
/// that is not watched as much as any run of classes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Watched {
    /// By segment, whether its echo is watched.
    pub(crate) echoes: Vec<bool>,
    /// By segment, whether its head is watched, if it is one of four classes. Others are always seen.
    pub(crate) heads: Vec<bool>,
}

impl Watched {
    /// The echoes of some weights, and all heads.
    pub(crate) fn with_echoes(lattice: &Lattice, echo: impl Fn(i32) -> bool) -> Self {
        let segments = lattice.segments.iter();
        let echoes = segments.map(|segment| segment.echo.is_some_and(|of| echo(of.weight())));
        Self {
            echoes: echoes.collect(),
            heads: vec![true; lattice.segments.len()],
        }
    }

    /// What the heads that are not watched can weigh together at the most.
    pub(crate) fn most_unseen(&self, lattice: &Lattice) -> i64 {
        let segments = lattice.segments.iter().zip(&self.heads);
        let unseen = segments.filter(|(_, watched)| !**watched);
        let heads = unseen.filter_map(|(segment, _)| segment.head.as_ref());
        heads.map(|head| i64::from(head.most())).sum()
    }

    /// How much less than that the head and the echo that are complete at layer `t` weigh, of segments that are not
    /// watched; of a path or its beginning. `None` where one of them is forbidden.
    pub(crate) fn less_unseen(
        &self,
        lattice: &Lattice,
        segment: usize,
        path: &[u8],
        t: usize,
    ) -> Option<i64> {
        let mut less = 0;
        if !self.heads[segment]
            && let Some(head) = &lattice.segments[segment].head
            && let Some(weight) = lattice.head_at(segment, path, t)
        {
            let weight = (weight != NEVER).then_some(weight)?;
            less += i64::from(head.most()) - i64::from(weight);
        }
        if !self.echoes[segment]
            && let Some(weight) = lattice.echo_at(segment, path, t)
        {
            less -= i64::from((weight != NEVER).then_some(weight)?);
        }
        Some(less)
    }

    /// As little as a search for the first paths may begin with. Echoes are left out where none is rewarded, so that
    /// what is left out only costs; and heads in which most runs weigh as much as any.
    pub(crate) fn few(lattice: &Lattice) -> Self {
        let segments = || lattice.segments.iter();
        let weight = |segment: &Segment| segment.echo.map_or(0, |echo| echo.weight());
        let rewarded = segments().any(|segment| weight(segment) > 0);
        let level = |segment: &Segment| {
            let head = segment.head.as_ref();
            head.is_some_and(|head| head.len() == 4 && head.is_level())
        };
        Self {
            echoes: segments()
                .map(|segment| rewarded && weight(segment) != 0)
                .collect(),
            heads: segments().map(|segment| !level(segment)).collect(),
        }
    }

    /// Everything that weighs anything.
    pub(crate) fn all(lattice: &Lattice) -> Self {
        Self::with_echoes(lattice, |weight| weight != 0)
    }
}

/// The places of all layers, for one choice of the echoes and of the four-class heads that are watched.
#[derive(Debug, Clone)]
pub(crate) struct Plan {
    pub(crate) places: Vec<Place>,
}

fn watched_classes(echo: Option<Echo>) -> usize {
    match echo {
        Some(Echo::Classes { count, .. }) => usize::from(count),
        _ => 0,
    }
}

impl Plan {
    /// Lays out the memory for what is watched.
    pub(crate) fn new(lattice: &Lattice, watched: &Watched) -> Self {
        let segments = &lattice.segments;
        let echo_of = |at: usize| {
            segments
                .get(at)
                .and_then(|segment| segment.echo)
                .filter(|_| watched.echoes[at])
        };
        let mut places = Vec::with_capacity(lattice.len());
        for (at, segment) in segments.iter().enumerate() {
            let head = segment.head.as_ref().map_or(0, |table| table.len());
            let head4 = watched.heads[at] && head == 4;
            let tail = segment.tail.as_ref().map_or(0, |table| table.len());
            let echo_in = echo_of(at);
            let echo_out = watched_classes(echo_of(at + 1));
            for nth in 1..=segment.len {
                let (memory, decided) = match echo_in {
                    Some(Echo::Same { .. }) if nth == 1 => (Some(Memory::Same), false),
                    Some(Echo::Same { .. }) => (None, nth == 2),
                    Some(Echo::Classes { count, .. }) => {
                        match usize::from(count).checked_sub(nth) {
                            Some(2) => (Some(Memory::Expect2), false),
                            Some(1) => (Some(Memory::Expect1), false),
                            Some(_) => (None, true),
                            None => (None, false),
                        }
                    }
                    None => (None, false),
                };
                let recorded = echo_out
                    .max(usize::from(head4 && nth == 3))
                    .min(nth.saturating_sub(2));
                let memory = memory.unwrap_or(match recorded {
                    0 => Memory::Nothing,
                    1 => Memory::Record1,
                    _ => Memory::Record2,
                });
                let window_is_head = nth == head && head < 4;
                let window = if window_is_head {
                    head
                } else if nth == segment.len {
                    tail
                } else {
                    0
                };
                places.push(Place {
                    memory,
                    nth,
                    segment: at,
                    head4: head4 && nth == 4,
                    window,
                    window_is_head,
                    echo: echo_in.filter(|_| decided).map(|echo| echo.weight()),
                });
            }
        }
        Self { places }
    }

    /// Memory after layer `t` when the candidates `i` and another came before and `k` is taken at `t` (at least 2); and whether the
    /// echo that is decided at `t` applies.
    #[inline]
    pub(crate) fn advance(
        &self,
        lattice: &Lattice,
        t: usize,
        memory: usize,
        [i, _, k]: [usize; 3],
    ) -> (usize, bool) {
        let class_i = || lattice.class(t - 2, i);
        let class_k = || lattice.class(t, k);
        let (before, after) = (self.places[t - 1].memory, self.places[t].memory);
        if self.places[t].nth == 1 {
            let next = match after {
                Memory::Same => usize::from(i == k),
                Memory::Expect1 => {
                    let (first, second) = match before {
                        Memory::Record2 => (memory / CLASSES, memory % CLASSES),
                        _ => (memory, class_i()),
                    };
                    if class_k() == first { second } else { FREE1 }
                }
                Memory::Expect2 if class_k() == memory / CLASSES => {
                    class_i() * CLASSES + memory % CLASSES
                }
                Memory::Expect2 => FREE2,
                _ => 0,
            };
            return (next, false);
        }
        let matched = match before {
            Memory::Same => memory == 1 && i == k,
            Memory::Expect1 => memory != FREE1 && class_k() == memory,
            _ => false,
        };
        let next = match after {
            Memory::Expect1 if memory != FREE2 && class_k() == memory % CLASSES => memory / CLASSES,
            Memory::Expect1 => FREE1,
            Memory::Record1 => class_i(),
            Memory::Record2 if before == Memory::Record1 => memory * CLASSES + class_i(),
            Memory::Record2 => memory,
            _ => 0,
        };
        (next, matched)
    }
}
