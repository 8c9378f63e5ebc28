//! The lattice as an explicit graph, for small lattices: outside algorithms and drawings.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;

use crate::active::ActiveFactors;
use crate::auxiliary::Layout;
use crate::bits::Bits;
use crate::lattice::Lattice;
use crate::pass::{DpState, Pass};
use crate::semiring::{MaxPlus64, Semiring};

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
        /// The auxiliary state, a number whose meaning depends on the layer.
        auxiliary: usize,
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
                auxiliary,
            } => {
                write!(
                    f,
                    "layer {layer}: {before} {candidate}, auxiliary {auxiliary}, state {state}"
                )
            }
        }
    }
}

/// The states of a lattice and the transitions between them, as any graph library takes them.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct StateGraph {
    /// The states: the first is [`Node::Source`], the second [`Node::Sink`].
    pub nodes: Vec<Node>,
    /// From and to which node, by their indices, and the weight in thousandths.
    pub edges: Vec<(usize, usize, i64)>,
}

impl StateGraph {
    fn add(&mut self, node: Node) -> usize {
        self.nodes.push(node);
        self.nodes.len() - 1
    }
}

impl Lattice {
    /// The graph of all states that allowed prefixes reach, from [`Node::Source`] to [`Node::Sink`], in layers.
    ///
    /// It is acyclic; its paths from source to sink are the allowed paths, and the weights along one add up to its score.
    /// It has some hundred thousand edges per layer at 30 candidates: meant for small lattices.
    pub fn to_graph(&self) -> StateGraph {
        let layout = Arc::new(Layout::new(self, &ActiveFactors::all(self)));
        // One lane count will do: nothing here is in a hurry.
        let pass = Pass::<MaxPlus64, 64>::new(MaxPlus64, self, &layout);
        let mut graph = StateGraph::default();
        let source = graph.add(Node::Source);
        let sink = graph.add(Node::Sink);
        let last = self.len() - 1;
        if last == 0 {
            for (k, weight) in pass.single_layer_paths() {
                let node = graph.add(first(usize::from(k)));
                graph.edges.push((source, node, weight));
                graph.edges.push((node, sink, 0));
            }
            return graph;
        }
        let mut firsts: BTreeMap<usize, usize> = BTreeMap::new();
        let mut front: BTreeMap<DpState, usize> = BTreeMap::new();
        pass.initial_states(|at, weight| {
            let unary = pass.embedding.unary_weight(self, 0, at.pair[0]);
            if weight == pass.ring.zero() {
                return;
            }
            let before = *firsts.entry(at.pair[0]).or_insert_with(|| {
                let node = graph.add(first(at.pair[0]));
                graph.edges.push((source, node, unary));
                node
            });
            let node = *front.entry(at).or_insert_with(|| graph.add(node_of(1, at)));
            graph.edges.push((before, node, weight - unary));
        });
        for t in 2..=last {
            let mut next: BTreeMap<DpState, usize> = BTreeMap::new();
            for (&from, &node) in &front {
                for k in Bits(pass.embedding.successors(&pass.lattice, t, from.pair[1])) {
                    let Some((at, weight)) = pass.follow(t, from, k) else {
                        continue;
                    };
                    if weight != pass.ring.zero() {
                        let target = *next.entry(at).or_insert_with(|| graph.add(node_of(t, at)));
                        graph.edges.push((node, target, weight));
                    }
                }
            }
            front = next;
        }
        for (at, node) in front {
            if self.accepts_in(at.state) {
                graph.edges.push((node, sink, pass.ring.one()));
            }
        }
        graph
    }
}

/// The state after the first layer, where nothing came before.
fn first(candidate: usize) -> Node {
    let at = DpState {
        state: 0,
        pair: [candidate; 2],
        aux: 0,
    };
    node_of(0, at)
}

fn node_of(layer: usize, at: DpState) -> Node {
    Node::After {
        layer,
        state: at.state,
        before: at.pair[0],
        candidate: at.pair[1],
        auxiliary: at.aux,
    }
}
