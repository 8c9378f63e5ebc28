//! The graph of a lattice, solved by petgraph's own algorithms.

mod support;

use linewright_lattice::{Lattice, LatticeBuilder, Node, Segment};
use num_bigint::BigUint;
use petgraph::algo::{bellman_ford, is_cyclic_directed, toposort};
use petgraph::dot::Dot;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::EdgeRef;
use proptest::prelude::*;
use support::recipes;

/// The graph of a lattice as petgraph takes it.
fn graph(lattice: &Lattice) -> DiGraph<Node, i64> {
    let states = lattice.to_graph();
    let mut graph = DiGraph::new();
    for &node in &states.nodes {
        graph.add_node(node);
    }
    for &(from, to, weight) in &states.edges {
        graph.add_edge(NodeIndex::new(from), NodeIndex::new(to), weight);
    }
    graph
}

/// Greatest weight from source to sink, and the number of ways, by relaxing edges in topological order.
fn longest_and_count(lattice: &Lattice) -> (Option<i64>, BigUint) {
    let graph = graph(lattice);
    let order = toposort(&graph, None).expect("the graph has no cycle");
    let mut longest = vec![None; graph.node_count()];
    let mut ways = vec![BigUint::ZERO; graph.node_count()];
    for node in order {
        if graph[node] == Node::Source {
            longest[node.index()] = Some(0);
            ways[node.index()] = BigUint::from(1u32);
        }
        let Some(here) = longest[node.index()] else {
            continue;
        };
        for edge in graph.edges(node) {
            let target = edge.target().index();
            longest[target] = longest[target].max(Some(here + edge.weight()));
            let more = ways[node.index()].clone();
            ways[target] += more;
        }
    }
    let sink = graph
        .node_indices()
        .find(|&node| graph[node] == Node::Sink)
        .expect("the graph has a sink");
    (longest[sink.index()], ways[sink.index()].clone())
}

/// The same layers without any segment factor or automaton: the bare second-order graph.
fn bare(lattice: &Lattice) -> Lattice {
    let mut builder = LatticeBuilder::new(lattice.candidates());
    for layer in lattice.layers() {
        builder.layer(layer.clone());
    }
    for segment in lattice.segments() {
        builder.segment(Segment {
            len: segment.len,
            ..Segment::default()
        });
    }
    builder.build().unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn the_longest_way_through_the_graph_is_the_best_path(recipe in recipes()) {
        let lattice = recipe.lattice();
        for lattice in [&lattice, &bare(&lattice)] {
            let (longest, ways) = longest_and_count(lattice);
            prop_assert_eq!(lattice.best().ok().map(|best| best.score), longest);
            prop_assert_eq!(lattice.count(), ways);
        }
    }

    #[test]
    fn shortest_ways_by_bellman_and_ford_are_best_paths_turned_about(recipe in recipes()) {
        let lattice = recipe.lattice();
        let graph = graph(&lattice);
        prop_assert!(!is_cyclic_directed(&graph));
        let turned = graph.map(|_, node| *node, |_, &weight| -(weight as f64));
        let node = |wanted: Node| turned.node_indices().find(|&node| turned[node] == wanted).unwrap();
        let ways = bellman_ford(&turned, node(Node::Source)).expect("there is no negative cycle");
        let distance = ways.distances[node(Node::Sink).index()];
        match lattice.best() {
            Ok(best) => prop_assert_eq!(-distance, best.score as f64),
            Err(_) => prop_assert!(distance.is_infinite()),
        }
    }
}

#[test]
fn a_graph_prints_as_dot() {
    let recipe = support::Recipe {
        seed: 1,
        candidates: 2,
        open: 2,
        lengths: vec![2],
        parts: 0,
        forbidden: 0,
        repetitions: 0,
        automaton_states: 0,
    };
    let dot = Dot::new(&graph(&recipe.lattice())).to_string();
    assert!(
        dot.starts_with("digraph") && dot.contains("source") && dot.contains("layer 1: 0 0"),
        "{dot}"
    );
}
