//! The best path of a pass by the Viterbi algorithm.
//!
//! A. Viterbi, "Error bounds for convolutional codes and an asymptotically optimum decoding algorithm", IEEE
//! Transactions on Information Theory 13 (1967). Values are worked out from the last layer to the first and the path is
//! read off from the first to the last without back pointers: at each layer the best successor is found again, and
//! among equals the first, so that ties are broken from the front.

use crate::bits::Bits;
use crate::pass::{DpState, Pass, Tables};
use crate::semiring::Semiring;

/// The best path by the factors that are active, the first among equals; `None` when there is none. Backward tables
/// that are known are taken over, and all are left in their place, if they fit in memory.
///
/// Time is linear in the number of layers.
pub(crate) fn best_path<S: Semiring, const W: usize>(
    pass: &Pass<S, W>,
    known: &mut Option<Tables<S::Value>>,
) -> Option<Vec<u8>>
where
    S::Value: Ord,
{
    if pass.lattice.len() == 1 {
        let paths = pass.single_layer_paths();
        let best = paths.iter().map(|&(_, weight)| weight).max()?;
        return paths
            .iter()
            .find(|&&(_, weight)| weight == best)
            .map(|&(k, _)| vec![k]);
    }
    let mut path = Vec::with_capacity(pass.lattice.len());
    let mut at = None;
    *known = pass.backward_then_forward(known.take(), |t, tables| {
        if t == 1 {
            at = best_initial_state(pass, tables);
            path.extend(at.iter().flat_map(|at: &DpState| at.pair.map(|k| k as u8)));
        } else if let Some(from) = at {
            at = best_successor(pass, t, tables, from);
            path.extend(at.map(|at| at.pair[1] as u8));
        }
    });
    (path.len() == pass.lattice.len()).then_some(path)
}

/// The first of the best states after two layers.
fn best_initial_state<S: Semiring, const W: usize>(
    pass: &Pass<S, W>,
    tables: &Tables<S::Value>,
) -> Option<DpState>
where
    S::Value: Ord,
{
    let mut best = pass.ring.zero();
    let mut found = None;
    pass.initial_states(|at, weight| {
        let value = pass.ring.product(weight, pass.value(1, tables.get(1), at));
        if value > best {
            best = value;
            found = Some(at);
        }
    });
    found
}

/// The first of the best states after layer `t` that follow `from`; linear in the number of candidates.
pub(crate) fn best_successor<S: Semiring, const W: usize>(
    pass: &Pass<S, W>,
    t: usize,
    tables: &Tables<S::Value>,
    from: DpState,
) -> Option<DpState>
where
    S::Value: Ord,
{
    let mut best = pass.ring.zero();
    let mut found = None;
    for k in Bits(pass.embedding.successors(&pass.lattice, t, from.pair[1])) {
        let Some((at, weight)) = pass.follow(t, from, k) else {
            continue;
        };
        let value = pass.ring.product(weight, pass.value(t, tables.get(t), at));
        if value > best {
            best = value;
            found = Some(at);
        }
    }
    found
}
