//! Good paths that keep a distance from each other, one after the other: diverse k best.
//!
//! The next path is the best whose distance (the layers in which two paths differ, their Hamming distance) from each one
//! before is large enough. As D. Batra, P. Yadollahpour, A. Guzman-Rivera and G. Shakhnarovich do in "Diverse M-best
//! solutions in Markov random fields", European Conference on Computer Vision (2012; from memory), every distance has a
//! Lagrange multiplier: a layer in which a path agrees with an earlier one costs so much. That is one lattice with other
//! unary weights, however many paths there are, where a product of automata would grow with each. What they leave to
//! the relaxation is closed here by branch and bound: prefixes come out best first by their Lagrangian bound, and the
//! search ends when the bound of what is left is below the best path found.

use std::ops::Range;

use crate::active::ActiveFactors;
use crate::frontier::{Frontier, MAX_EXPANSIONS};
use crate::lattice::Lattice;
use crate::score::Scored;
use crate::weight::{MAX_WEIGHT, NEVER};

/// Searches for paths apart; made by [`Lattice::apart`].
#[derive(Debug, Clone)]
pub struct Apart {
    lattice: Lattice,
    /// The layers in which distances are counted.
    scope: Range<usize>,
    /// In how many of them a path may agree with an earlier one.
    most_equal: usize,
    /// The paths to keep away from.
    others: Vec<Other>,
    /// Whether a search without multipliers was seen to take too long.
    is_priced: bool,
    /// What a change costs on the best path, about.
    step: i64,
}

#[derive(Debug, Clone)]
struct Other {
    path: Vec<Option<u8>>,
    multiplier: i64,
}

impl Other {
    /// In how many layers of the scope a path agrees with it; `inside` is what the path has there.
    fn equal(&self, inside: &[u8]) -> usize {
        let pairs = inside.iter().zip(&self.path);
        pairs.filter(|(k, other)| Some(**k) == **other).count()
    }
}

/// What a search found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// The best path found, if any.
    pub best: Option<Scored>,
    /// Whether that is proven: that no path is better, or that there is none. Otherwise the search ended before.
    pub proven: bool,
    /// The steps that it took: a prefix that was looked at is one, and tables count as many as take about the same time.
    pub steps: usize,
}

/// How one pass of a search ended.
enum End {
    /// All that could be better was looked at.
    Proven,
    /// As many prefixes as allowed were.
    Spent,
}

/// Steps without multipliers, before they are put in.
const PLAIN_STEPS: usize = 1 << 15;

/// How often multipliers are mended before a search, at most.
const DUAL_STEPS: usize = 3;

/// Passes with multipliers, each with higher ones where the last found no path.
const PASSES: usize = 4;

impl Lattice {
    /// Prepares searches for paths that differ in at least `min_changes` layers of `scope` (in all of a shorter scope)
    /// from given ones. Linear in the number of layers.
    ///
    /// # Panics
    /// When the scope goes beyond the last layer.
    pub fn apart(&self, scope: Range<usize>, min_changes: usize) -> Apart {
        assert!(scope.end <= self.len(), "a scope within the lattice");
        Apart {
            most_equal: scope.len().saturating_sub(min_changes),
            lattice: self.clone(),
            scope,
            others: Vec::new(),
            is_priced: false,
            step: 0,
        }
    }
}

impl Apart {
    /// The same searches, with multipliers from the first prefix on: where the scope is so long that a search without
    /// will not do. Answers are the same.
    #[must_use]
    pub fn with_multipliers(mut self) -> Self {
        self.is_priced = true;
        self
    }

    /// Multipliers stay so small that what the agreements of a layer cost is a weight.
    fn largest_multiplier(&self) -> i64 {
        i64::from(MAX_WEIGHT) / self.others.len().max(1) as i64
    }

    fn multipliers(&self) -> Vec<i64> {
        self.others.iter().map(|other| other.multiplier).collect()
    }

    /// Paths that are found from now on keep away from this one, given by its candidates in the scope; `None` where its
    /// candidate is none of the lattice's, so that every path differs.
    ///
    /// # Panics
    /// When there is not one entry for each layer of the scope.
    pub fn keep_from(&mut self, path: Vec<Option<u8>>) {
        assert_eq!(path.len(), self.scope.len(), "one entry for each layer");
        // A new path is mostly one that was found: it is as hard to keep away from as those before.
        let sum: i64 = self.multipliers().iter().sum();
        let multiplier = sum / self.others.len().max(1) as i64;
        self.others.push(Other { path, multiplier });
    }

    /// Whether a path keeps the distance from all given.
    pub fn is_apart(&self, path: &[u8]) -> bool {
        let inside = &path[self.scope.clone()];
        let mut others = self.others.iter();
        others.all(|other| other.equal(inside) <= self.most_equal)
    }

    /// The best path that keeps the distance and of which `predicate` holds for every prefix (as for
    /// [`Lattice::ranked_where`]); equals rank as in [`Lattice::best`].
    ///
    /// Takes `most_steps` at most: a prefix that is looked at is one (0.6 KB and about two microseconds), and all tables,
    /// which are made up to three times for the multipliers and once for each of up to four passes, count as many as
    /// take that time, in proportion to the layers and the square of the candidates. When that does not do, the best
    /// path found is given as not proven.
    ///
    /// ```
    /// # use std::sync::Arc;
    /// # use linewright_lattice::{BigramTable, LatticeBuilder, Layer, Segment, TrigramTable};
    /// # let bigram = Arc::new(BigramTable::from_fn(3, |_, _| 0)?);
    /// # let trigram = Arc::new(TrigramTable::from_fn(3, |_, _, _, _| 0)?);
    /// # let mut builder = LatticeBuilder::new(3);
    /// # for _ in 0..3 {
    /// #     let (bigram, trigram) = (Arc::clone(&bigram), Arc::clone(&trigram));
    /// #     builder.layer(Layer { unary: vec![30, 20, 10], shift: 0, feature: 0, bigram, trigram });
    /// # }
    /// # builder.segment(Segment { len: 3, ..Segment::default() });
    /// # let lattice = builder.build()?;
    /// let mut apart = lattice.apart(0..3, 2);
    /// apart.keep_from(vec![Some(0); 3]);
    /// let found = apart.best_where(|_| true, 1_000);
    /// assert_eq!(found.best.map(|best| best.path), Some(vec![0, 1, 1]));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn best_where(
        &mut self,
        mut predicate: impl FnMut(&[u8]) -> bool,
        most_steps: usize,
    ) -> Found {
        let mut found = Found {
            best: None,
            proven: false,
            steps: 0,
        };
        if !self.is_priced {
            let multipliers = vec![0; self.others.len()];
            let most = PLAIN_STEPS.min(most_steps);
            let (end, _) = self.pass(&multipliers, &mut predicate, most, &mut found);
            found.proven = matches!(end, End::Proven);
            if found.proven || most == most_steps || self.others.is_empty() {
                return found;
            }
            self.is_priced = true;
        }
        self.mend_multipliers(most_steps / 2, &mut found);
        let largest = self.largest_multiplier();
        let mut multipliers = self.multipliers();
        for pass in 1..=PASSES {
            let left = most_steps - found.steps;
            let most = if pass == PASSES { left } else { left / 2 };
            let (end, refusals) = self.pass(&multipliers, &mut predicate, most, &mut found);
            found.proven = matches!(end, End::Proven);
            if found.proven || found.best.is_some() || left <= self.steps_of_tables() {
                break;
            }
            for (multiplier, refused) in multipliers.iter_mut().zip(refusals) {
                if refused > 0 {
                    *multiplier = (*multiplier * 3 / 2 + self.step).min(largest);
                }
            }
        }
        found
    }

    /// How many steps making all tables counts: in the time of one step, forty moves between two candidates are weighed,
    /// about.
    fn steps_of_tables(&self) -> usize {
        self.lattice.len() * self.lattice.candidates.pow(2) / 40
    }

    /// The lattice in which every agreement with one of the others costs its multiplier.
    fn priced(&self, multipliers: &[i64]) -> Lattice {
        self.lattice.with_layers(|layers| {
            for (other, &multiplier) in self.others.iter().zip(multipliers) {
                let inside = layers[self.scope.clone()].iter_mut().zip(&other.path);
                for (layer, &k) in inside {
                    let weight = k.and_then(|k| layer.unary.get_mut(usize::from(k)));
                    if let Some(weight) = weight.filter(|weight| **weight != NEVER) {
                        *weight -= multiplier as i32;
                    }
                }
            }
        })
    }

    fn frontier(&self, multipliers: &[i64]) -> Frontier {
        let lattice = self.priced(multipliers);
        Frontier::new(lattice.completion_bounds(&ActiveFactors::all(&lattice)))
    }

    /// Moves the multipliers against the agreements of the best path under them: a few steps of the subgradient method
    /// on the dual (N. Shor, "Minimization methods for non-differentiable functions", 1985; from memory).
    fn mend_multipliers(&mut self, most: usize, found: &mut Found) {
        let largest = self.largest_multiplier();
        for _ in 0..DUAL_STEPS {
            if found.steps + self.steps_of_tables() > most {
                return;
            }
            found.steps += self.steps_of_tables();
            let mut frontier = self.frontier(&self.multipliers());
            let mut path = Vec::new();
            // Without a predicate the best path is reached at once; what its second bests lose on the way tells what a
            // change costs.
            let mut losses = 0;
            while let Some(out) = frontier.pop() {
                frontier.path(out, &mut path);
                if path.len() == self.lattice.len() {
                    break;
                }
                losses += frontier
                    .next_value()
                    .map_or(0, |next| out.value - next)
                    .max(0);
                let state = frontier.state(out);
                frontier.expand(out, state);
            }
            if path.len() < self.lattice.len() {
                return;
            }
            if self.step == 0 {
                self.step = (losses / self.scope.len().max(1) as i64).clamp(8, 4_000);
            }
            let mut most_over = 0;
            for other in &mut self.others {
                let equal = other.equal(&path[self.scope.clone()]);
                let over = equal as i64 - self.most_equal as i64;
                most_over = most_over.max(over);
                if over > 0 {
                    other.multiplier += self.step * over.min(4) / 2;
                } else if over < -1 {
                    other.multiplier -= other.multiplier / 8;
                }
                other.multiplier = other.multiplier.min(largest);
            }
            if most_over <= 1 {
                return;
            }
        }
    }

    /// Branch and bound under some multipliers, up to `most` more steps; also by how many prefixes each of the others was
    /// come too near.
    fn pass(
        &self,
        multipliers: &[i64],
        predicate: &mut impl FnMut(&[u8]) -> bool,
        most: usize,
        found: &mut Found,
    ) -> (End, Vec<usize>) {
        let count = self.others.len();
        let mut refusals = vec![0; count];
        let Some(most) = most.checked_sub(self.steps_of_tables()) else {
            return (End::Spent, refusals);
        };
        found.steps += self.steps_of_tables();
        // What a path is worth at most beside its Lagrangian value.
        let allowance = multipliers.iter().sum::<i64>() * self.most_equal as i64;
        let mut frontier = self.frontier(multipliers);
        // Of each prefix that was expanded, how often it agrees with each of the others.
        let mut equal: Vec<u8> = vec![0; count];
        let mut here: Vec<u8> = vec![0; count];
        let mut path = Vec::with_capacity(self.lattice.len());
        let mut looked_at = 0;
        while let Some(out) = frontier.pop() {
            let best = found.best.as_ref();
            if best.is_some_and(|best| out.value + allowance < best.score) {
                break;
            }
            if looked_at == most.min(MAX_EXPANSIONS) {
                return (End::Spent, refusals);
            }
            looked_at += 1;
            found.steps += 1;
            let from = out.from as usize * count;
            here.copy_from_slice(&equal[from..from + count]);
            let t = frontier.depth(out) - 1;
            if self.scope.contains(&t) {
                let mut too_near = None;
                for (nth, other) in self.others.iter().enumerate() {
                    if other.path[t - self.scope.start] == Some(out.candidate) {
                        here[nth] += 1;
                        if usize::from(here[nth]) > self.most_equal {
                            too_near = Some(nth);
                        }
                    }
                }
                if let Some(nth) = too_near {
                    refusals[nth] += 1;
                    continue;
                }
            }
            frontier.path(out, &mut path);
            if !predicate(&path) {
                continue;
            }
            if path.len() == self.lattice.len() {
                let agreements = here.iter().zip(multipliers);
                let prices: i64 = agreements.map(|(&n, &m)| i64::from(n) * m).sum();
                let score = out.value + prices;
                let better = best.is_none_or(|best| {
                    score > best.score || (score == best.score && path < best.path)
                });
                if better {
                    found.best = Some(Scored {
                        path: path.clone(),
                        score,
                    });
                }
                continue;
            }
            let state = frontier.state(out);
            frontier.expand(out, state);
            equal.extend_from_slice(&here);
        }
        (End::Proven, refusals)
    }
}
