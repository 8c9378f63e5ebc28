//! Best-first search over beginnings.
//!
//! A beginning stands for its best completion, whose exact value is known. The frontier holds beginnings that share no
//! path; the best of them (among equals the first in the order of candidates) comes out, and whoever searches says
//! whether its ways on shall take its place. Of the ways on from one beginning only the best is in the queue, and the
//! next best takes its place when it comes out.

use std::sync::Arc;

use crate::ahead::{Ahead, NOWHERE, Way};
use crate::pass::At;

/// A beginning that was extended: a node in the tree of all of these.
struct Extended {
    /// The beginning that is one candidate shorter.
    parent: u32,
    depth: u32,
    candidate: u8,
    at: At,
    /// The weight of its own.
    weight: i64,
}

/// The ways on from an extended beginning that are not yet out of the queue, best first.
#[derive(Clone, Copy)]
struct Waiting {
    /// The best completion that is left.
    value: i64,
    from: u32,
    /// Its ways, as places among all; not empty.
    next: u32,
    end: u32,
}

/// A beginning that came out of the queue.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Out {
    /// Value of its best completion, with its own weight.
    pub(crate) value: i64,
    /// The extended beginning that is one candidate shorter.
    pub(crate) from: u32,
    pub(crate) candidate: u8,
}

/// Beginnings that can be extended, at most: their ways are numbered in 32 bits.
pub(crate) const MOST_STEPS: usize = 1 << 25;

pub(crate) struct Frontier {
    ahead: Arc<dyn Ahead>,
    extended: Vec<Extended>,
    ways: Vec<Way>,
    /// A binary heap.
    waiting: Vec<Waiting>,
    /// Ways on of one beginning.
    scratch: Vec<Way>,
}

impl Frontier {
    /// The frontier of the empty beginning's ways on.
    pub(crate) fn new(ahead: Arc<dyn Ahead>) -> Self {
        let empty = Extended {
            parent: 0,
            depth: 0,
            candidate: 0,
            at: NOWHERE,
            weight: 0,
        };
        let mut frontier = Self {
            ahead,
            extended: vec![empty],
            ways: Vec::new(),
            waiting: Vec::new(),
            scratch: Vec::new(),
        };
        frontier.queue_ways(0);
        frontier
    }

    /// Takes the best beginning out of the queue.
    pub(crate) fn pop(&mut self) -> Option<Out> {
        let top = self.waiting.first_mut()?;
        let way = self.ways[top.next as usize];
        let out = Out {
            value: top.value,
            from: top.from,
            candidate: way.candidate,
        };
        top.next += 1;
        if top.next < top.end {
            top.value += self.ways[top.next as usize].value - way.value;
        } else {
            self.waiting.swap_remove(0);
        }
        self.sift_down();
        Some(out)
    }

    /// Writes the candidates of a beginning into `path`.
    pub(crate) fn path(&self, out: Out, path: &mut Vec<u8>) {
        path.clear();
        path.push(out.candidate);
        let mut at = out.from as usize;
        while at != 0 {
            path.push(self.extended[at].candidate);
            at = self.extended[at].parent as usize;
        }
        path.reverse();
    }

    /// How many candidates a beginning has.
    pub(crate) fn depth(&self, out: Out) -> usize {
        self.extended[out.from as usize].depth as usize + 1
    }

    /// The state in which a beginning ends, and its own weight.
    pub(crate) fn state(&self, out: Out) -> (At, i64) {
        let from = &self.extended[out.from as usize];
        let (at, more) = self.ahead.take(from.depth as usize, from.at, out.candidate);
        (at, from.weight + more)
    }

    /// Puts the ways on from a beginning, whose state and weight are given, in its place.
    pub(crate) fn extend(&mut self, out: Out, (at, weight): (At, i64)) -> u32 {
        let number = self.extended.len() as u32;
        self.extended.push(Extended {
            parent: out.from,
            depth: self.extended[out.from as usize].depth + 1,
            candidate: out.candidate,
            at,
            weight,
        });
        self.queue_ways(number);
        number
    }

    fn queue_ways(&mut self, number: u32) {
        let Extended {
            depth, at, weight, ..
        } = self.extended[number as usize];
        self.ahead.ways(depth as usize, at, &mut self.scratch);
        // Stable, so equals stay in the order of candidates.
        self.scratch.sort_by_key(|way| std::cmp::Reverse(way.value));
        let next = self.ways.len() as u32;
        self.ways.extend_from_slice(&self.scratch);
        if let Some(best) = self.scratch.first() {
            self.waiting.push(Waiting {
                value: weight + best.value,
                from: number,
                next,
                end: self.ways.len() as u32,
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
        let candidate = |of: &Waiting| self.ways[of.next as usize].candidate;
        let mut sides = [(a.from, candidate(a)), (b.from, candidate(b))];
        let depth = |side: &(u32, u8)| self.extended[side.0 as usize].depth;
        while sides[0].0 != sides[1].0 {
            let deeper = usize::from(depth(&sides[1]) > depth(&sides[0]));
            let node = &self.extended[sides[deeper].0 as usize];
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
