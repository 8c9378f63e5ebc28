//! The frontier of an A* search over prefixes.
//!
//! A prefix stands for its best completion, whose value the completion bounds tell. The frontier holds prefixes that
//! have no path in common; the best of them (among equals the first in the order of candidates) comes out, and whoever
//! searches says whether it shall be expanded: whether its extensions take its place. Of the extensions of one prefix
//! only the best is in the queue, and the next best takes its place when it comes out (partial expansion: T. Yoshizumi,
//! T. Miura, T. Ishida, "A* with partial expansion for large branching factor problems", AAAI Conference on Artificial
//! Intelligence, 2000; from memory).

use std::sync::Arc;

use crate::completion::{CompletionBounds, Extension, ROOT};
use crate::pass::DpState;

/// A prefix that was expanded: a node in the tree of all of these.
struct Expanded {
    /// The prefix that is one candidate shorter.
    parent: u32,
    depth: u32,
    candidate: u8,
    at: DpState,
    /// The weight of its own.
    weight: i64,
}

/// The extensions of an expanded prefix that are not yet out of the queue, best first.
#[derive(Clone, Copy)]
struct Waiting {
    /// The best completion that is left.
    value: i64,
    from: u32,
    /// Where they stand among all extensions; not empty.
    next: u32,
    end: u32,
}

/// A prefix that came out of the queue.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Popped {
    /// Value of its best completion, with its own weight.
    pub(crate) value: i64,
    /// The expanded prefix that is one candidate shorter.
    pub(crate) from: u32,
    pub(crate) candidate: u8,
}

/// Prefixes that can be expanded, at most: their extensions are numbered in 32 bits.
pub(crate) const MAX_EXPANSIONS: usize = 1 << 25;

/// Prefixes that wait to be looked at, best first. Taking one out, or expanding one, is logarithmic in the number that
/// wait, and linear in the number of candidates.
pub(crate) struct Frontier {
    bounds: Arc<dyn CompletionBounds>,
    expanded: Vec<Expanded>,
    extensions: Vec<Extension>,
    /// A binary heap.
    waiting: Vec<Waiting>,
    /// The extensions of one prefix.
    scratch: Vec<Extension>,
}

impl Frontier {
    /// The frontier of the empty prefix's extensions.
    pub(crate) fn new(bounds: Arc<dyn CompletionBounds>) -> Self {
        let empty = Expanded {
            parent: 0,
            depth: 0,
            candidate: 0,
            at: ROOT,
            weight: 0,
        };
        let mut frontier = Self {
            bounds,
            expanded: vec![empty],
            extensions: Vec::new(),
            waiting: Vec::new(),
            scratch: Vec::new(),
        };
        frontier.queue_extensions(0);
        frontier
    }

    /// Takes the best prefix out of the queue.
    pub(crate) fn pop(&mut self) -> Option<Popped> {
        let top = self.waiting.first_mut()?;
        let extension = self.extensions[top.next as usize];
        let out = Popped {
            value: top.value,
            from: top.from,
            candidate: extension.candidate,
        };
        top.next += 1;
        if top.next < top.end {
            top.value += self.extensions[top.next as usize].value - extension.value;
        } else {
            self.waiting.swap_remove(0);
        }
        self.sift_down();
        Some(out)
    }

    /// The value of the prefix that comes out next.
    pub(crate) fn next_value(&self) -> Option<i64> {
        self.waiting.first().map(|waiting| waiting.value)
    }

    /// Writes the candidates of a prefix into `path`.
    pub(crate) fn path(&self, out: Popped, path: &mut Vec<u8>) {
        path.clear();
        path.push(out.candidate);
        let mut at = out.from as usize;
        while at != 0 {
            path.push(self.expanded[at].candidate);
            at = self.expanded[at].parent as usize;
        }
        path.reverse();
    }

    /// How many candidates a prefix has.
    pub(crate) fn depth(&self, out: Popped) -> usize {
        self.expanded[out.from as usize].depth as usize + 1
    }

    /// The state in which a prefix ends, and its own weight.
    pub(crate) fn state(&self, out: Popped) -> (DpState, i64) {
        let from = &self.expanded[out.from as usize];
        let (at, more) = self
            .bounds
            .advance(from.depth as usize, from.at, out.candidate);
        (at, from.weight + more)
    }

    /// Puts the extensions of a prefix, whose state and weight are given, in its place.
    pub(crate) fn expand(&mut self, out: Popped, (at, weight): (DpState, i64)) -> u32 {
        let number = self.expanded.len() as u32;
        self.expanded.push(Expanded {
            parent: out.from,
            depth: self.expanded[out.from as usize].depth + 1,
            candidate: out.candidate,
            at,
            weight,
        });
        self.queue_extensions(number);
        number
    }

    fn queue_extensions(&mut self, number: u32) {
        let Expanded {
            depth, at, weight, ..
        } = self.expanded[number as usize];
        self.bounds
            .extensions(depth as usize, at, &mut self.scratch);
        // Stable, so equals stay in the order of candidates.
        self.scratch
            .sort_by_key(|extension| std::cmp::Reverse(extension.value));
        let next = self.extensions.len() as u32;
        self.extensions.extend_from_slice(&self.scratch);
        if let Some(best) = self.scratch.first() {
            self.waiting.push(Waiting {
                value: weight + best.value,
                from: number,
                next,
                end: self.extensions.len() as u32,
            });
            self.sift_up();
        }
    }

    /// Whether `a` comes out before `b`.
    fn precedes(&self, a: &Waiting, b: &Waiting) -> bool {
        if a.value != b.value {
            return a.value > b.value;
        }
        // Up to where the two paths part.
        let candidate = |of: &Waiting| self.extensions[of.next as usize].candidate;
        let mut sides = [(a.from, candidate(a)), (b.from, candidate(b))];
        let depth = |side: &(u32, u8)| self.expanded[side.0 as usize].depth;
        while sides[0].0 != sides[1].0 {
            let deeper = usize::from(depth(&sides[1]) > depth(&sides[0]));
            let node = &self.expanded[sides[deeper].0 as usize];
            sides[deeper] = (node.parent, node.candidate);
        }
        sides[0].1 < sides[1].1
    }

    fn sift_up(&mut self) {
        let mut at = self.waiting.len() - 1;
        while at > 0 {
            let above = (at - 1) / 2;
            if !self.precedes(&self.waiting[at], &self.waiting[above]) {
                break;
            }
            self.waiting.swap(at, above);
            at = above;
        }
    }

    fn sift_down(&mut self) {
        let mut at = 0;
        loop {
            let mut best = at;
            for below in [2 * at + 1, 2 * at + 2] {
                if below < self.waiting.len()
                    && self.precedes(&self.waiting[below], &self.waiting[best])
                {
                    best = below;
                }
            }
            if best == at {
                return;
            }
            self.waiting.swap(at, best);
            at = best;
        }
    }
}
