//! The k best paths, in order.
//!
//! All completions of a beginning have a known best value: the backward table. So the paths can be taken best first.
//! Every beginning in the queue stands for its best completion; when one is taken, its path is finished along the
//! tables, and every other way to leave that path behind the beginning enters the queue. The sets of paths that the
//! queue stands for are disjoint and cover all paths not yet taken.

use std::cmp::Ordering;
use std::collections::BTreeSet;
use std::sync::Arc;

use crate::best::{Scored, Sought, only_layer};
use crate::bits::Bits;
use crate::dead_end::DeadEnd;
use crate::lattice::Lattice;
use crate::memory::Watched;
use crate::pass::{At, Pass, Tables};
use crate::semiring::Semiring;

impl Lattice {
    /// The `k` best paths, or all when there are fewer: highest score first, equals in the order of candidate
    /// indices compared layer by layer from the first. The first is that of [`Lattice::best`].
    ///
    /// All tables are kept: about 1 MB per four layers at most without an automaton. Beyond them, time and memory
    /// grow with `k` times the number of layers.
    ///
    /// # Errors
    /// When no path is allowed.
    pub fn k_best(&self, k: usize) -> Result<Vec<Scored>, DeadEnd> {
        let found = self.first_in_rank(Sought::First(k.max(1)), &mut Watched::few(self));
        if found.is_empty() {
            return Err(self.dead_end());
        }
        Ok(found.into_iter().take(k).collect())
    }
}

/// A beginning that leaves an earlier path (or starts afresh), standing for its best completion.
struct Beginning<V> {
    /// Value of the best completion, the beginning's own weight included.
    value: V,
    /// The beginning's own weight.
    weight: V,
    /// Its candidates up to where it leaves.
    path: Arc<[u8]>,
    /// Number of candidates shared with `path`.
    shared: usize,
    /// The candidate that follows them.
    last: u8,
    /// State after it.
    at: At,
}

impl<V> Beginning<V> {
    fn candidates(&self) -> impl Iterator<Item = u8> {
        self.path[..self.shared].iter().copied().chain([self.last])
    }
}

impl<V: Ord> Ord for Beginning<V> {
    fn cmp(&self, other: &Self) -> Ordering {
        other
            .value
            .cmp(&self.value)
            .then_with(|| self.candidates().cmp(other.candidates()))
    }
}

impl<V: Ord> PartialOrd for Beginning<V> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl<V: Ord> PartialEq for Beginning<V> {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl<V: Ord> Eq for Beginning<V> {}

/// The first beginnings in order, never more than are still wanted.
struct Queue<V> {
    beginnings: BTreeSet<Beginning<V>>,
    wanted: usize,
}

impl<V: Ord + Copy> Queue<V> {
    /// Whether a beginning of this value could still be among those wanted.
    fn admits(&self, value: V) -> bool {
        self.beginnings.len() < self.wanted
            || self
                .beginnings
                .last()
                .is_some_and(|last| value >= last.value)
    }

    fn push(&mut self, beginning: Beginning<V>) {
        self.beginnings.insert(beginning);
        if self.beginnings.len() > self.wanted {
            self.beginnings.pop_last();
        }
    }
}

/// The first `k` paths in rank of the echoes that are watched. Tables that are known are taken over, and all are
/// left in their place.
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
        let mut ways = only_layer(pass);
        ways.sort_by_key(|&(_, weight)| std::cmp::Reverse(weight));
        return ways
            .into_iter()
            .take(k)
            .map(|(candidate, _)| vec![candidate])
            .collect();
    }
    let tables = pass.sweep(known.take());
    let tables = &*known.insert(tables);
    let mut queue = Queue {
        beginnings: BTreeSet::new(),
        wanted: k,
    };
    pass.openings(|at, weight| {
        let value = ring.settle(ring.times(weight, pass.value(1, tables.get(1), at)));
        if value != ring.zero() && queue.admits(value) {
            let [i, j] = at.pair.map(|k| k as u8);
            queue.push(Beginning {
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
    while let Some(beginning) = queue.beginnings.pop_first() {
        queue.wanted -= 1;
        let path = finish(pass, tables, &beginning);
        if queue.wanted > 0 {
            leave(pass, tables, &beginning, &path, &mut queue);
        }
        found.push(path.to_vec());
    }
    found
}

/// The best completion of a beginning, and among equals the first.
fn finish<S: Semiring, const W: usize>(
    pass: &Pass<S, W>,
    tables: &Tables<S::Value>,
    beginning: &Beginning<S::Value>,
) -> Arc<[u8]>
where
    S::Value: Ord,
{
    let mut path: Vec<u8> = beginning.candidates().collect();
    let mut at = beginning.at;
    for t in path.len()..pass.lattice.len() {
        at = crate::best::best_way_on(pass, t, tables, at)
            .expect("a beginning of finite value has a completion");
        path.push(at.pair[1] as u8);
    }
    path.into()
}

/// Queues every other way on behind the beginning of a path that has been taken.
fn leave<S: Semiring, const W: usize>(
    pass: &Pass<S, W>,
    tables: &Tables<S::Value>,
    beginning: &Beginning<S::Value>,
    path: &Arc<[u8]>,
    queue: &mut Queue<S::Value>,
) where
    S::Value: Ord,
{
    let ring = pass.ring;
    let (mut at, mut weight) = (beginning.at, beginning.weight);
    for t in beginning.shared + 1..path.len() {
        let mut taken = None;
        for k in Bits(pass.lifted.ways_on(&pass.lattice, t, at.pair[1])) {
            let Some((next, more)) = pass.follow(t, at, k) else {
                continue;
            };
            let so_far = ring.settle(ring.times(weight, more));
            if k == usize::from(path[t]) {
                taken = Some((next, so_far));
                continue;
            }
            let value = ring.settle(ring.times(so_far, pass.value(t, tables.get(t), next)));
            if value != ring.zero() && queue.admits(value) {
                let path = Arc::clone(path);
                queue.push(Beginning {
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
