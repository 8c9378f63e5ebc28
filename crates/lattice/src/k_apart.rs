//! Several good paths that differ throughout: diverse k best.
//!
//! D. Batra, P. Yadollahpour, A. Guzman-Rivera, G. Shakhnarovich, "Diverse M-best solutions in Markov random fields",
//! European Conference on Computer Vision (2012; from memory), reach diversity by Lagrangian relaxation. Here a stated
//! distance is an automaton, so the answers are exact.

use crate::automaton::Automaton;
use crate::dead_end::DeadEnd;
use crate::error::BuildError;
use crate::lattice::Lattice;
use crate::score::Scored;

/// Why fewer paths than asked for were found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shortage {
    /// No further path differs enough from those found.
    NoneLeft,
    /// Keeping apart from the paths found needs an automaton of more than 256 states, so the search stopped.
    TooManyStates,
}

/// Paths that keep a distance from each other, best first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Apart {
    /// The paths found. Each is the best of all that keep the distance from every earlier one.
    pub paths: Vec<Scored>,
    /// Why there are fewer than asked for, if so.
    pub shortage: Option<Shortage>,
}

impl Lattice {
    /// Up to `k` paths, of which each is the best that differs in at least `min_changes` layers of every segment
    /// (in all layers of a shorter segment) from every earlier one. Equals rank as in [`Lattice::best`].
    ///
    /// With `min_changes` 0 nothing is asked but to be another path, so these are the [`Lattice::k_best`].
    ///
    /// Keeping away from one path takes an automaton of `min_changes + 1` states, from several their product. A
    /// distance is put in only when a path would break it, yet with many paths close together the product can
    /// outgrow the 256 states of an automaton, and time and memory grow with its states: `k` up to 9 is always
    /// within the limit for one change, 6 for two, 5 for three. Each path takes as many searches as
    /// [`Lattice::best`] as distances are put in for it.
    ///
    /// # Errors
    /// When no path at all is allowed.
    pub fn k_apart(&self, k: usize, min_changes: u8) -> Result<Apart, DeadEnd> {
        if min_changes == 0 {
            let paths = self.k_best(k)?;
            let shortage = (paths.len() < k).then_some(Shortage::NoneLeft);
            return Ok(Apart { paths, shortage });
        }
        let mut paths: Vec<Scored> = Vec::new();
        let first = self.best()?;
        if k > 0 {
            paths.push(first);
        }
        while paths.len() < k {
            match self.best_apart(&paths, min_changes) {
                Ok(path) => paths.push(path),
                Err(shortage) => {
                    return Ok(Apart {
                        paths,
                        shortage: Some(shortage),
                    });
                }
            }
        }
        Ok(Apart {
            paths,
            shortage: None,
        })
    }

    /// The best path that keeps the distance from all of `earlier`: distances are put in one after another, as the
    /// best path without them turns out to break one. Leaving some out can only raise scores, so a path that breaks
    /// none of those left out is the best under all.
    fn best_apart(&self, earlier: &[Scored], min_changes: u8) -> Result<Scored, Shortage> {
        let mut restricted = self.clone();
        loop {
            let found = restricted.best().map_err(|_| Shortage::NoneLeft)?;
            let too_near = |other: &&Scored| !self.is_apart(&found.path, &other.path, min_changes);
            let Some(other) = earlier.iter().find(too_near) else {
                return Ok(found);
            };
            let away = self.away_from(&other.path, min_changes);
            restricted = away
                .and_then(|away| restricted.with_automaton(away))
                .map_err(|_| Shortage::TooManyStates)?;
        }
    }

    /// Whether two paths differ in at least `min_changes` layers of every segment (all, of a shorter one).
    fn is_apart(&self, one: &[u8], other: &[u8], min_changes: u8) -> bool {
        self.starts
            .iter()
            .zip(self.segments.iter())
            .all(|(&start, segment)| {
                let changes = (start..start + segment.len)
                    .filter(|&t| one[t] != other[t])
                    .count();
                changes >= usize::from(min_changes).min(segment.len)
            })
    }

    /// The automaton of the paths that keep the distance: its state is the number of changes in the current
    /// segment, up to the number asked for.
    fn away_from(&self, path: &[u8], min_changes: u8) -> Result<Automaton, BuildError> {
        let longest = self
            .segments
            .iter()
            .map(|segment| segment.len)
            .max()
            .unwrap_or(1);
        let enough = usize::from(min_changes).min(longest);
        let mut ends = vec![None; self.len()];
        for (&start, segment) in self.starts.iter().zip(self.segments.iter()) {
            ends[start + segment.len - 1] = Some(enough.min(segment.len));
        }
        Automaton::new(
            self.len(),
            self.candidates,
            enough + 1,
            0,
            &[0],
            |layer, changes, candidate| {
                let changes =
                    (changes + usize::from(candidate != usize::from(path[layer]))).min(enough);
                match ends[layer] {
                    None => Some(changes),
                    Some(asked) => (changes >= asked).then_some(0),
                }
            },
        )
    }
}
