//! The lattice as an explicit graph, for small lattices: outside algorithms and drawings.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;

use petgraph::graph::{DiGraph, NodeIndex};

use crate::best::only_layer;
use crate::bits::Bits;
use crate::lattice::Lattice;
use crate::memory::{Plan, Watched};
use crate::pass::{At, Pass};
use crate::semiring::{Best64, Semiring};

/// A node of [`Lattice::to_graph`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Node {
    /// Before the first layer.
    Source,
    /// After some layer.
    After {
        /// The layer.
        layer: usize,
        /// State of the automaton; 0 without one.
        state: usize,
        /// The candidate before; at the first layer the candidate itself.
        before: usize,
        /// The candidate at this layer.
        candidate: usize,
        /// What else is remembered, as a number whose meaning depends on the layer.
        memory: usize,
    },
    /// After the last layer of an accepted path.
    Sink,
}

impl fmt::Display for Node {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Source => f.write_str("source"),
            Self::Sink => f.write_str("sink"),
            Self::After {
                layer,
                state,
                before,
                candidate,
                memory,
            } => {
                write!(
                    f,
                    "layer {layer}: {before} {candidate}, memory {memory}, state {state}"
                )
            }
        }
    }
}

impl Lattice {
    /// The graph of all states that allowed beginnings reach, from [`Node::Source`] (the first node) to
    /// [`Node::Sink`] (the second), in layers; every edge carries its weight in thousandths.
    ///
    /// Its paths from source to sink are the allowed paths, and the weights along one add up to its score. It has
    /// some hundred thousand edges per layer at 30 candidates: meant for small lattices. `petgraph::dot` prints it.
    pub fn to_graph(&self) -> DiGraph<Node, i64> {
        let plan = Arc::new(Plan::new(self, &Watched::all(self)));
        // One lane count will do: nothing here is in a hurry.
        let pass = Pass::<Best64, 64>::new(Best64, self, &plan);
        let mut graph = DiGraph::new();
        let source = graph.add_node(Node::Source);
        let sink = graph.add_node(Node::Sink);
        let last = self.len() - 1;
        if last == 0 {
            for (k, weight) in only_layer(&pass) {
                let node = graph.add_node(opening(usize::from(k)));
                graph.add_edge(source, node, weight);
                graph.add_edge(node, sink, 0);
            }
            return graph;
        }
        let mut firsts: BTreeMap<usize, NodeIndex> = BTreeMap::new();
        let mut front: BTreeMap<At, NodeIndex> = BTreeMap::new();
        pass.openings(|at, weight| {
            let note = pass.lifted.note(self, 0, at.pair[0]);
            if weight == pass.ring.zero() {
                return;
            }
            let first = *firsts.entry(at.pair[0]).or_insert_with(|| {
                let node = graph.add_node(opening(at.pair[0]));
                graph.add_edge(source, node, note);
                node
            });
            let node = *front
                .entry(at)
                .or_insert_with(|| graph.add_node(node_of(1, at)));
            graph.add_edge(first, node, weight - note);
        });
        for t in 2..=last {
            let mut next: BTreeMap<At, NodeIndex> = BTreeMap::new();
            for (&from, &node) in &front {
                for k in Bits(pass.lifted.ways_on(&pass.lattice, t, from.pair[1])) {
                    let Some((at, weight)) = pass.follow(t, from, k) else {
                        continue;
                    };
                    if weight != pass.ring.zero() {
                        let target = *next
                            .entry(at)
                            .or_insert_with(|| graph.add_node(node_of(t, at)));
                        graph.add_edge(node, target, weight);
                    }
                }
            }
            front = next;
        }
        for (at, node) in front {
            if pass.accepts_in(at.state) {
                graph.add_edge(node, sink, pass.ring.path());
            }
        }
        graph
    }
}

/// The state after the first layer, where nothing came before.
fn opening(candidate: usize) -> Node {
    let at = At {
        state: 0,
        pair: [candidate; 2],
        memory: 0,
    };
    node_of(0, at)
}

fn node_of(layer: usize, at: At) -> Node {
    Node::After {
        layer,
        state: at.state,
        before: at.pair[0],
        candidate: at.pair[1],
        memory: at.memory,
    }
}
