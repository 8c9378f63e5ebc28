//! The k best paths of a pass, in order, by lazy enumeration.
//!
//! Every prefix of a path has a known best completion: the backward table. So paths can be taken best first, and only
//! the deviations of those that were taken are ever looked at. A prefix in the queue stands for its best completion;
//! when it is taken, its path is finished along the tables, and every other way to leave that path behind the prefix
//! enters the queue. The sets of paths that the queue stands for are disjoint and cover all paths not yet taken.
//!
//! Deviations from a shortest path: D. Eppstein, "Finding the k shortest paths", SIAM Journal on Computing 28 (1998).
//! Lazily, over the states of a dynamic programme: L. Huang, D. Chiang, "Better k-best parsing", International Workshop
//! on Parsing Technologies (2005). From memory.

use std::cmp::Ordering;
use std::collections::BTreeSet;
use std::sync::Arc;

use crate::bits::Bits;
use crate::pass::{DpState, Pass, Tables};
use crate::semiring::Semiring;
use crate::viterbi::best_successor;

/// A prefix that deviates from an earlier path (or starts afresh), standing for its best completion.
struct Deviation<V> {
    /// Value of the best completion, the prefix's own weight included.
    value: V,
    /// The prefix's own weight.
    weight: V,
    /// The path that it deviates from.
    path: Arc<[u8]>,
    /// Number of candidates shared with `path`.
    shared: usize,
    /// The candidate that follows them.
    last: u8,
    /// The state after it.
    at: DpState,
}

impl<V> Deviation<V> {
    fn candidates(&self) -> impl Iterator<Item = u8> {
        self.path[..self.shared].iter().copied().chain([self.last])
    }
}

impl<V: Ord> Ord for Deviation<V> {
    fn cmp(&self, other: &Self) -> Ordering {
        other
            .value
            .cmp(&self.value)
            .then_with(|| self.candidates().cmp(other.candidates()))
    }
}

impl<V: Ord> PartialOrd for Deviation<V> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl<V: Ord> PartialEq for Deviation<V> {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl<V: Ord> Eq for Deviation<V> {}

/// The best deviations in order, never more than are still wanted.
struct Queue<V> {
    deviations: BTreeSet<Deviation<V>>,
    wanted: usize,
}

impl<V: Ord + Copy> Queue<V> {
    /// Whether a deviation of this value could still be among those wanted.
    fn admits(&self, value: V) -> bool {
        self.deviations.len() < self.wanted
            || self
                .deviations
                .last()
                .is_some_and(|last| value >= last.value)
    }

    fn push(&mut self, deviation: Deviation<V>) {
        self.deviations.insert(deviation);
        if self.deviations.len() > self.wanted {
            self.deviations.pop_last();
        }
    }
}

/// The first `k` paths in rank by the factors that are active. Backward tables that are known are taken over, and all
/// are left in their place.
///
/// Beyond the tables, time is in `O(k T n log k)` for `T` layers of `n` candidates.
pub(crate) fn first_paths<S: Semiring, const W: usize>(
    pass: &Pass<S, W>,
    known: &mut Option<Tables<S::Value>>,
    k: usize,
) -> Vec<Vec<u8>>
where
    S::Value: Ord,
{
    let (ring, length) = (pass.ring, pass.lattice.len());
    if length == 1 {
        let mut paths = pass.single_layer_paths();
        paths.sort_by_key(|&(_, weight)| std::cmp::Reverse(weight));
        return paths
            .into_iter()
            .take(k)
            .map(|(candidate, _)| vec![candidate])
            .collect();
    }
    let tables = pass.backward_tables(known.take());
    let tables = &*known.insert(tables);
    let mut queue = Queue {
        deviations: BTreeSet::new(),
        wanted: k,
    };
    pass.initial_states(|at, weight| {
        let value = ring.product(weight, pass.value(1, tables.get(1), at));
        if value != ring.zero() && queue.admits(value) {
            let [i, j] = at.pair.map(|k| k as u8);
            queue.push(Deviation {
                value,
                weight,
                path: Arc::from([i]),
                shared: 1,
                last: j,
                at,
            });
        }
    });
    let mut found = Vec::new();
    while let Some(deviation) = queue.deviations.pop_first() {
        queue.wanted -= 1;
        let path = complete(pass, tables, &deviation);
        if queue.wanted > 0 {
            queue_deviations(pass, tables, &deviation, &path, &mut queue);
        }
        found.push(path.to_vec());
    }
    found
}

/// The best completion of a prefix, and among equals the first.
fn complete<S: Semiring, const W: usize>(
    pass: &Pass<S, W>,
    tables: &Tables<S::Value>,
    deviation: &Deviation<S::Value>,
) -> Arc<[u8]>
where
    S::Value: Ord,
{
    let mut path: Vec<u8> = deviation.candidates().collect();
    let mut at = deviation.at;
    for t in path.len()..pass.lattice.len() {
        at =
            best_successor(pass, t, tables, at).expect("a prefix of finite value has a completion");
        path.push(at.pair[1] as u8);
    }
    path.into()
}

/// Queues every other extension behind the prefix of a path that has been taken.
fn queue_deviations<S: Semiring, const W: usize>(
    pass: &Pass<S, W>,
    tables: &Tables<S::Value>,
    deviation: &Deviation<S::Value>,
    path: &Arc<[u8]>,
    queue: &mut Queue<S::Value>,
) where
    S::Value: Ord,
{
    let ring = pass.ring;
    let (mut at, mut weight) = (deviation.at, deviation.weight);
    for t in deviation.shared + 1..path.len() {
        let mut taken = None;
        for k in Bits(pass.embedding.successors(&pass.lattice, t, at.pair[1])) {
            let Some((next, more)) = pass.follow(t, at, k) else {
                continue;
            };
            let so_far = ring.product(weight, more);
            if k == usize::from(path[t]) {
                taken = Some((next, so_far));
                continue;
            }
            let value = ring.product(so_far, pass.value(t, tables.get(t), next));
            if value != ring.zero() && queue.admits(value) {
                let path = Arc::clone(path);
                queue.push(Deviation {
                    value,
                    weight: so_far,
                    path,
                    shared: t,
                    last: k as u8,
                    at: next,
                });
            }
        }
        (at, weight) = taken.expect("the path that was taken can be followed");
    }
}
